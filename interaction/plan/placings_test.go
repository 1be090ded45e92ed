package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction"
)

// Places, features and wheels stand after the plan as a check of the survey in which it was carried out finds them, and
// before it as one of the survey does.
func TestPlacingsAreThoseOfTheCarriedOutSurvey(t *testing.T) {
	t.Parallel()
	compared, fell := 0, 0
	for seed := range uint64(12) {
		r := roller{rand.New(rand.NewPCG(71, seed))}
		railroad := plainRailroad + "date: 2026-10-31\ntrack_class: 1\nspeed_mph: 25\n"
		f := r.survey(3, 2, 5, 0.12)
		sv := f.write(t, railroad)
		e := plain(t, sv)
		p, err := Make(e, Options{TrackOnly: seed%2 == 0, NoCurve: true})
		if err != nil {
			t.Fatal(err)
		}
		a, err := Assess(e)
		if err != nil {
			t.Fatal(err)
		}
		risks, err := Risks(e.Judge(), a)
		if err != nil {
			t.Fatal(err)
		}
		got := p.Placings(risks, a)
		out, held, closed := carry(t, f, sv, p.Actions)
		carried := out.write(t, railroad)
		is, then := ranked(t, sv, interaction.Options{}), ranked(t, carried, interaction.Options{})
		for i, x := range got.Places {
			if x.Before.Rank != i+1 || x.Before.Rank != is[x.Name].Rank || !nearHarm(x.Before.Harm, is[x.Name].Harm) ||
				x.Before.FirstPercent != is[x.Name].FirstPercent {
				t.Errorf("seed %d, %s before: %+v, as the check ranks it %+v", seed, x.Name, x.Before, is[x.Name])
			}
			if len(held)+len(closed) == 0 && !nearHarm(x.After.Harm, then[x.Name].Harm) {
				t.Errorf("seed %d, %s after: %+v, as the check ranks it %+v", seed, x.Name, x.After, then[x.Name].Harm)
			}
		}
		if len(held)+len(closed) > 0 || len(p.Actions) == 0 {
			continue
		}
		after, err := Assess(plain(t, carried))
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range after.Wheels {
			for _, x := range got.Wheels {
				if x.Name == w.Name && math.Abs(x.After.Expected-w.Expected) > 1e-6*(1+w.Expected) {
					t.Errorf("seed %d, %s after: %g, as the check finds it %g", seed, x.Name, x.After.Expected,
						w.Expected)
				}
			}
		}
		for _, list := range [][]Placing{got.Places, got.Features, got.Wheels} {
			seen := make([]bool, len(list))
			for _, x := range list {
				seen[x.After.Rank-1] = true
				if compared++; x.After.Expected < x.Before.Expected-1e-9 {
					fell++
				}
			}
			for i := range seen {
				if !seen[i] {
					t.Errorf("seed %d: nothing has rank %d after the plan", seed, i+1)
				}
			}
		}
	}
	if compared < 20 || fell < 5 {
		t.Errorf("%d compared, %d of them with less harm after the plan: the draws say little", compared, fell)
	}
}

func nearHarm(a, b Harm) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-6*(1+y) }
	return near(a.Low, b.Low) && near(a.Mid, b.Mid) && near(a.High, b.High)
}
