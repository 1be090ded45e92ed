package wheel

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Roster is cars.csv: the listed cars by id.
type Roster struct {
	cars   map[string]*Car
	Listed bool   // there is a cars.csv
	name   string // of the sheet, as warnings say it
	looks  sync.Once
	byLook map[string]string // ids by what they look like
}

// ReadCars reads the sheet of cars alone; nil is an absent one.
func ReadCars(from *sheet.Source, columns map[string]measure.Spec, built *configs.Data,
	problems *measure.Problems) *Roster {
	r := &reader{columns: columns, data: built, problems: problems, fleet: &Fleet{}, cars: map[string]*Car{}}
	if from == nil {
		return &Roster{}
	}
	r.readCars(from)
	return &Roster{cars: r.cars, Listed: true, name: from.Name()}
}

// Count is the number of listed cars.
func (r *Roster) Count() int { return len(r.cars) }

// Cars are the listed cars, by id.
func (r *Roster) Cars() []*Car {
	return slices.SortedFunc(maps.Values(r.cars), func(a, b *Car) int { return strings.Compare(a.ID, b.ID) })
}

// Find is a listed car, nil for none.
func (r *Roster) Find(id []byte) *Car { return r.cars[string(id)] }

// Has reports whether a car is listed.
func (r *Roster) Has(id string) bool { return r != nil && r.cars[id] != nil }

// alike is the listed car whose id looks like a given one, "" for none.
func (r *Roster) alike(id string) string {
	r.looks.Do(func() {
		r.byLook = map[string]string{}
		for _, c := range slices.Sorted(maps.Keys(r.cars)) {
			r.byLook[sheet.Lookalike(c)] = c
		}
	})
	return r.byLook[sheet.Lookalike(id)]
}

// car is a copy of a listed car without wheels.
func (r *Roster) car(id string) (*Car, bool) {
	if r == nil {
		return nil, false
	}
	listed, ok := r.cars[id]
	if !ok {
		return nil, false
	}
	c := *listed
	c.Rostered = r.Listed
	return &c, true
}
