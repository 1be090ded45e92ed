package plan

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
)

// The roadmaster's list counts what the result and the plan count: the pairs of every feature, all passes of a year,
// the cost and the pairs of every work on track and of every hold, every reading beyond a federal limit; and it is in
// order.
func TestRankedCountsWhatThePlanCounts(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	works, wheels, federal := 0, 0, 0
	for seed := range fixture.Drawn(6, 12) {
		r := roller{rand.New(rand.NewPCG(77, seed))}
		sv := r.survey(4, 4, 3, 0.06).write(t, plainRailroad+"costs: {wheelset_turn: 100, wheelset_change: 300}\n")
		e := plain(t, sv)
		result := e.Judge()
		opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed%2]}
		if budget := int64(500_000); seed%3 == 2 {
			opt.Budget, opt.By = &budget, Bys()[seed%uint64(len(Bys()))]
		}
		p, err := Make(e, opt)
		if err != nil {
			t.Fatal(err)
		}
		a, err := Assess(e)
		if err != nil {
			t.Fatal(err)
		}
		list := p.Ranked(result)
		if len(list) != len(sv.Track.Features) {
			t.Errorf("seed %d: %d of %d features", seed, len(list), len(sv.Track.Features))
		}
		var counts [interaction.NumVerdicts]int
		passes, cents, beyond := 0.0, int64(0), 0
		listed := map[string]bool{}
		for i, x := range list {
			if x.Rank != i+1 || x.Of != len(list) {
				t.Errorf("seed %d: %d of %d at %d", seed, x.Rank, x.Of, i)
			}
			if i > 0 && cmp.Or(-cmp.Compare(list[i-1].worth(), x.worth()),
				cmp.Compare(list[i-1].grade(), x.grade())) > 0 {
				t.Errorf("seed %d: %s stands before %s", seed, list[i-1].Feature.Name(), x.Feature.Name())
			}
			hits, most := 0, 0
			for v, n := range x.Counts {
				counts[v] += n
			}
			for _, h := range x.Hits {
				hits += h.Pairs
			}
			if v, ok := x.Verdict(); ok && v <= interaction.Undecided && hits != x.Counts[v] {
				t.Errorf("seed %d: %s: %d pairs hit of %d", seed, x.Feature.Name(), hits, x.Counts[v])
			}
			passes, cents, beyond = passes+x.Passes, cents+x.Cents, beyond+len(x.Federal)
			for _, w := range x.Works {
				listed[w.ID] = true
				most += w.Removes
			}
			if x.Ends > most || x.EndsPasses > x.Passes+1e-6 || len(x.Works) == 0 && x.Ends > 0 {
				t.Errorf("seed %d: %s ends %d pairs, %g passes of %g", seed, x.Feature.Name(), x.Ends, x.EndsPasses,
					x.Passes)
			}
			if len(x.Works) > 0 {
				works++
			}
			wheels += len(x.CarWorks)
		}
		for v, n := range counts {
			if n != result.Summary.Counts[v] {
				t.Errorf("seed %d: %d pairs %s, the result has %d", seed, n, interaction.Verdict(v),
					result.Summary.Counts[v])
			}
		}
		if math.Abs(passes-a.Total) > 1e-6*(1+a.Total) {
			t.Errorf("seed %d: %g passes a year, the assessment has %g", seed, passes, a.Total)
		}
		want := int64(0)
		for _, x := range p.Actions {
			onWheel := x.Side == Car && (x.Effect != Holds || x.At == "")
			if onWheel == listed[x.ID] {
				t.Errorf("seed %d: %s (%s) listed: %v", seed, x.ID, x.What, listed[x.ID])
			}
			if !onWheel {
				want += x.Cents
			}
		}
		for _, l := range result.Limits {
			if l.Side == "track" && l.Kind == "regulation" && l.Verdict == limit.Beyond {
				beyond--
				federal++
			}
		}
		if cents != want || beyond != 0 {
			t.Errorf("seed %d: works of %d, the plan's cost %d; %d readings beyond too many", seed, cents, want, beyond)
		}
	}
	if works == 0 || wheels == 0 || federal == 0 {
		t.Error(fmt.Sprint(works, wheels, federal), "works at places, on wheels, readings beyond: too little was tried")
	}
}
