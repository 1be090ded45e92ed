package judge

import (
	"cmp"
	"slices"

	"flangeway/interaction"
	"flangeway/track"
	"flangeway/wheel"
)

// Met is a car at a feature: how many of their pairs have each verdict, and the worst of them.
type Met struct {
	Car     *wheel.Car
	Feature *track.Feature
	Counts  [interaction.NumVerdicts]int
	// Conflicts names the checks in conflict.
	Conflicts []string
	tally     *Tally
	wheel     int
	judged    judged
	order     order
}

// Verdict is the worst of the pairs.
func (m *Met) Verdict() interaction.Verdict { return m.judged.Verdict }

// Compare puts the worse first: by the verdict, then as findings are listed.
func (m *Met) Compare(o *Met) int {
	return cmp.Or(cmp.Compare(m.Verdict(), o.Verdict()), m.order.compare(o.order))
}

// Met lists the cars of a result at the features that they have pairs with, by car in the order of the fleet and there
// by feature in the order of the track.
func (r *Result) Met() []Met {
	e := r.engine
	type key struct {
		car   *wheel.Car
		place int
	}
	at := map[key]int{}
	number := map[*wheel.Car]int{}
	for i, c := range e.Survey.Fleet.Cars {
		number[c] = i
	}
	var out []Met
	for i := range r.Tallies {
		t := &r.Tallies[i]
		pt := &e.places[t.Place].tables[t.table]
		for wi := range e.wheels {
			ws := &e.wheels[wi]
			if !ws.chosen || !e.meet(t.Check, ws.W, t.Feature) {
				continue
			}
			m := e.pair(wi, pt)
			x := Met{Car: ws.W.Car, Feature: t.Feature, tally: t, wheel: wi, judged: m,
				order: e.order(t.Check, m.Margin, e.doubts(wi, &e.places[t.Place], pt) != 0)}
			n, known := at[key{x.Car, t.Place}]
			if !known {
				n = len(out)
				at[key{x.Car, t.Place}] = n
				out = append(out, x)
			} else if y := &out[n]; x.Compare(y) < 0 {
				y.tally, y.wheel, y.judged, y.order = x.tally, x.wheel, x.judged, x.order
			}
			y := &out[n]
			y.Counts[m.Verdict]++
			if m.Verdict == interaction.Conflict && !slices.Contains(y.Conflicts, t.Check.ID) {
				y.Conflicts = append(y.Conflicts, t.Check.ID)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Met) int {
		return cmp.Or(cmp.Compare(number[a.Car], number[b.Car]), cmp.Compare(a.tally.Place, b.tally.Place))
	})
	return out
}

// WorstOf is the finding of the worst pair of a car at a feature.
func (r *Result) WorstOf(m *Met) *Finding { return r.engine.finding(m.tally, m.wheel, m.judged) }
