package wheel

import (
	"context"
	"slices"
	"strings"

	"flangeway/internal/sheet"
)

// oddIDs adds the warnings of ids that look alike. The sheet is read again for them
// only where they could.
func (s *Stream) oddIDs(ctx context.Context, t *Totals) error {
	for id := range s.roster.cars {
		sheet.AddID(&t.alike, id)
	}
	if !t.alike.Possible() {
		return nil
	}
	r := &reader{fleet: &Fleet{}, roster: s.roster}
	for _, c := range s.roster.cars {
		r.fleet.Cars = append(r.fleet.Cars, c)
	}
	fields := sheet.Fields{Table: s.sheet.Table}
	last := ""
	err := s.eachRow(ctx, func(row sheet.Row) {
		if id := fields.ID(row, "car"); id != last {
			if last = id; !s.roster.Has(id) {
				r.fleet.Cars = append(r.fleet.Cars, &Car{ID: strings.Clone(id), Place: fields.Place(row, "car")})
			}
		}
	}, nil)
	slices.SortFunc(r.fleet.Cars, func(a, b *Car) int { return strings.Compare(a.ID, b.ID) })
	r.oddIDs()
	t.Warnings = append(t.Warnings, r.warnings...)
	return err
}
