package judge

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/parallel"
	"flangeway/track"
	"flangeway/wheel"
)

// Unsettled is a reading to take, and how many pairs it would help to decide.
type Unsettled struct {
	Reading string
	Where   string // wheel/CAR POSITION, axle/CAR NUMBER or kind/id
	Place   string // the location of a feature; "" for a wheel
	Pairs   int
}

// unsettled counts, for every reading that is missing or too uncertain, the pairs that it leaves open. It grows with
// wheels plus places, and with the pairs that are left open by what was computed.
type unsettled struct {
	e      *Engine
	wheels [][interaction.WheelBits]int32
	places [][track.NumQuantities]int32
	open   []pairAt // what settles these is found when it is asked for
}

func newUnsettled(e *Engine) *unsettled {
	return &unsettled{e: e, wheels: make([][interaction.WheelBits]int32, len(e.wheels)),
		places: make([][track.NumQuantities]int32, len(e.places))}
}

func (u *unsettled) count(at pairAt, m judged) {
	if m.computed != nil && len(m.computed.Again) > 0 {
		u.open = append(u.open, at)
		return
	}
	if u.e.judgedAgain(m) {
		u.open = append(u.open, at)
		u.e.settled.note(u.e, at, m)
		return
	}
	m.Settle.Each(func(bit uint) {
		if bit >= interaction.TrackBit {
			u.places[at.place][bit-interaction.TrackBit]++
			return
		}
		u.wheels[at.wheel][bit]++
	})
}

// list names the readings, those that would decide most pairs first.
func (u *unsettled) list() []Unsettled {
	counts := map[Unsettled]int{}
	settled := &u.e.settled
	worst := slices.Collect(maps.Keys(settled.worst))
	pair := func(at pairAt) judged { return u.e.pair(at.wheel, &u.e.places[at.place].tables[at.table]) }
	parallel.Each(len(worst), func(i int) {
		at := pairAt{worst[i].place, worst[i].table, settled.worst[worst[i]]}
		u.e.settlers(at, pair(at))
	})
	for _, at := range u.open {
		seen := map[taking]bool{}
		for _, s := range u.e.settlers(at, pair(at)) {
			for _, t := range s {
				if !seen[t] {
					counts[t.asked()]++
				}
				seen[t] = true
			}
		}
	}
	for wi := range u.wheels {
		for bit, n := range u.wheels[wi] {
			if n > 0 {
				counts[u.e.takingOf(uint(bit), u.e.wheels[wi].W, nil).asked()] += int(n)
			}
		}
	}
	for pi := range u.places {
		for q, n := range u.places[pi] {
			if n > 0 {
				counts[taking{f: u.e.places[pi].f, column: track.Quantity(q).String()}.asked()] += int(n)
			}
		}
	}
	var out []Unsettled
	for x, n := range counts {
		x.Pairs = n
		out = append(out, x)
	}
	slices.SortFunc(out, func(a, b Unsettled) int {
		return cmp.Or(b.Pairs-a.Pairs, strings.Compare(a.Where, b.Where), strings.Compare(a.Reading, b.Reading))
	})
	return out
}

// asked names a reading to take, and where.
func (t taking) asked() Unsettled {
	switch {
	case t.f != nil:
		return Unsettled{Reading: t.column, Where: t.f.Name(), Place: t.f.Location}
	case t.column == wheel.BackToBack.String(), t.column == wheel.BackToBackMax.String():
		return Unsettled{Reading: t.column, Where: fmt.Sprintf("axle/%s %d", t.w.Car.ID, t.w.Position.Axle)}
	}
	if _, ok := wheel.QuantityOf(t.column); !ok {
		return Unsettled{Reading: t.column, Where: "car/" + t.w.Car.ID}
	}
	at := t.w.Position
	if t.mate {
		at.Side = map[byte]byte{'L': 'R', 'R': 'L'}[at.Side]
	}
	return Unsettled{Reading: t.column, Where: fmt.Sprintf("wheel/%s %s", t.w.Car.ID, at)}
}
