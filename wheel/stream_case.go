package wheel

import (
	"context"
	"slices"
	"strings"

	"flangeway/internal/sheet"
)

// letters says which letters ids are written in.
type letters uint8

const (
	small letters = 1 << iota
	capital
)

// lettersOf are the letters of an id; one beyond ASCII counts as both.
func lettersOf[T string | []byte](id T) (l letters) {
	for i := range len(id) {
		switch c := id[i]; {
		case c >= 'a' && c <= 'z':
			l |= small
		case c >= 'A' && c <= 'Z':
			l |= capital
		case c >= 0x80:
			l |= small | capital
		}
	}
	return l
}

// oddCase adds the warnings of ids that look alike. The sheet is read again for them
// only where ids hold small letters and capital ones, or anything beyond ASCII.
func (s *Stream) oddCase(ctx context.Context, t *Totals) error {
	for id := range s.roster.cars {
		t.letters |= lettersOf(id)
	}
	if t.letters != small|capital {
		return nil
	}
	r := &reader{fleet: &Fleet{}}
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
	r.oddCase()
	t.Warnings = append(t.Warnings, r.warnings...)
	return err
}
