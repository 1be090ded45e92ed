package plan

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/internal/fixture"
)

// With a sheet of tracks a car is kept off each of them once: the plan costs what trying everything costs, and carried
// out it holds.
func TestTracksMatchBruteForce(t *testing.T) {
	t.Parallel()
	tracks, several, seeds := 0, 0, fixture.Drawn(10, 40)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(83, seed))}
		f := r.survey(2, 1, 4, 0.05)
		f["tracks.csv"] = [][]string{{"track", "order", "location", "feature"}}
		for _, of := range [][2]string{{"frog", "frogs.csv"}, {"switch", "switches.csv"}, {"curve", "curves.csv"},
			{"joint", "joints.csv"}, {"spot", "gauge.csv"}} {
			for _, row := range f[of[1]][1:] {
				var n int
				fmt.Sscanf(row[1], "P%d", &n)
				if n == 3 && seed%2 == 0 { // on none, or on both
					if seed%4 == 0 {
						continue
					}
					f["tracks.csv"] = append(f["tracks.csv"], []string{"2", "9", "", of[0] + "/" + row[1]})
				}
				f["tracks.csv"] = append(f["tracks.csv"], []string{"1", fmt.Sprint(n + 1), "", of[0] + "/" + row[1]})
			}
		}
		railroad := plainRailroad + fmt.Sprintf("costs: {car_hold: %d, foreign_hold: %d, guard_move: %d, "+
			"wheelset_turn: %d, place_close: %d}\n", 50+r.IntN(1500), 50+r.IntN(900), 100+r.IntN(1500), 100+r.IntN(900),
			500+r.IntN(4000))
		sv := f.write(t, railroad)
		opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed%3%2], IgnoreLimits: seed%3 == 2}
		p, err := Make(plain(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		if want := brute(t, sv, opt); p.Cents != want || p.Bound != want {
			t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, want)
		}
		if last := p.Curve[len(p.Curve)-1]; p.Cents > p.model.rereadCents && last.Cents != p.Cents ||
			last.Conflicts > p.model.leftInDoubt(p.chosen(), p.holds) {
			t.Errorf("seed %d: the last of the curve costs %d and leaves %d, the plan costs %d", seed, last.Cents,
				last.Conflicts, p.Cents)
		}
		recheck(t, f, railroad, sv, p, false)
		for _, a := range p.Actions {
			if strings.HasPrefix(a.At, "track/") {
				tracks++
				if len(a.Off) > 1 {
					several++
				}
			}
		}
	}
	if tracks == 0 || several == 0 {
		t.Errorf("%d cars kept off a track, %d of them for several places", tracks, several)
	}
}
