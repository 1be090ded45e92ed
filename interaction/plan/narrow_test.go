package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/internal/fixture"
)

// TestNarrowedBoundHolds: dividing the choices never raises the bound above what the best choice leaves, and comes to
// it.
func TestNarrowedBoundHolds(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	raised, met, tried := 0, 0, 0
	for seed := range fixture.Drawn(12, 40) {
		r := roller{rand.New(rand.NewPCG(47, seed))}
		sv := r.survey(2, 2, 2, 0.04).write(t, plainRailroad)
		budget, days := int64(r.IntN(400000)), int64(r.IntN(2500))
		opt := Options{Level: LevelConflict, By: ByPasses, IgnoreLimits: true, TrackOnly: seed%8 == 5}
		if seed%3 != 0 {
			opt.Budget = &budget
		}
		if seed%3 != 1 {
			opt.CrewDays = &days
		}
		least, _, ok := bruteSpend(t, sv, opt)
		if !ok {
			continue
		}
		m, err := newModel(plain(t, sv), sv, opt)
		if err != nil {
			t.Fatal(err)
		}
		s := newSpending(m)
		first := s.bound()
		found := noLimit / weightScale
		got := s.narrow(func() int64 { return found }, first, 200, func(c choice) {
			if x, ok := s.best(c, -1); ok {
				found = min(found, x.left)
			}
		})
		tried++
		switch {
		case got > float64(weightScale*(least+1)):
			t.Errorf("seed %d: no plan leaves less than %g, by trying everything %d are left", seed, got/weightScale,
				least)
		case got < first.bound:
			t.Errorf("seed %d: the bound falls from %g to %g", seed, first.bound, got)
		case got > first.bound:
			raised++
		}
		if math.Ceil(got/weightScale) >= float64(least-1) {
			met++
		}
	}
	t.Logf("%d surveys, %d bounds raised, %d at the best", tried, raised, met)
	if raised == 0 || met*2 < tried {
		t.Errorf("of %d bounds only %d were raised and %d come to the best", tried, raised, met)
	}
}
