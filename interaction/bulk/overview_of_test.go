package bulk

import (
	"cmp"
	"slices"

	"flangeway/interaction"
	"flangeway/interaction/judge"
)

// Of counts a judged survey by location and check. [Summarize] gives the same
// without a wheel in memory.
func Of(r *judge.Result) *Overview {
	s := r.Engine().Survey
	o := &Overview{Cars: len(s.Fleet.Cars), Wheels: len(s.Fleet.Wheels), Locations: s.Locations(), Trains: s.Trains()}
	type worst struct {
		m  interaction.Margin
		wi int
	}
	var rows []Row
	var at []worst // of each row
	for i := range r.Tallies {
		t := &r.Tallies[i]
		j := -1
		for k := len(rows) - 1; k >= 0 && rows[k].Location == t.Feature.Location; k-- {
			if rows[k].Check == t.Check {
				j = k
			}
		}
		if j < 0 {
			j = len(rows)
			rows, at = append(rows, Row{Location: t.Feature.Location, Check: t.Check}), append(at, worst{wi: -1})
		}
		row := &rows[j]
		for v, n := range t.Counts {
			row.Counts[v] += n
		}
		row.BothLegal += t.BothLegal
		old := at[j]
		if wi, m := t.First(); old.wi < 0 || interaction.Worse(m, old.m) || !interaction.Worse(old.m, m) &&
			wi < old.wi {
			at[j] = worst{m, wi}
			w := s.Fleet.Wheels[wi]
			row.Car, row.Position = w.Car.ID, w.Position
			row.MarginMM, row.HasMargin = shownMargin(t.Check, m)
		}
	}
	sortRows(rows)
	o.walk = func(word func([]byte, *Row) []byte, take func([]Row, []byte) error) error {
		var text []byte
		for i := range rows {
			if word != nil {
				text = word(text, &rows[i])
			}
		}
		return take(rows, text)
	}
	return o
}

func sortRows(rows []Row) {
	slices.SortStableFunc(rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(a.Location, b.Location), cmp.Compare(a.Check.ID, b.Check.ID))
	})
}
