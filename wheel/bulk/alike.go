package bulk

import (
	"context"
	"slices"
	"strings"

	"flangeway/internal/sheet"
	"flangeway/wheel"
)

// oddIDs adds the warnings of ids that look alike. The sheet is read again for them only if they could.
func (s *Stream) oddIDs(ctx context.Context, t *Totals) error {
	cars := s.roster.Cars()
	for _, c := range cars {
		sheet.AddID(&t.alike, c.ID)
	}
	if !t.alike.Possible() {
		return nil
	}
	fields := sheet.Fields{Table: s.sheet.Table}
	last := ""
	err := s.eachRow(ctx, func(row sheet.Row) {
		if id := fields.ID(row, "car"); id != last {
			if last = id; !s.roster.Has(id) {
				cars = append(cars, &wheel.Car{ID: strings.Clone(id), Place: fields.Place(row, "car")})
			}
		}
	}, nil)
	slices.SortFunc(cars, func(a, b *wheel.Car) int { return strings.Compare(a.ID, b.ID) })
	t.Warnings = append(t.Warnings, wheel.OddIDs(cars, s.roster)...)
	return err
}
