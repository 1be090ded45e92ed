package judge

import (
	"fmt"
	"sort"

	"flangeway/interaction"
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

// unsettled counts, for every reading that is missing or too uncertain, the pairs
// that it leaves open. It grows with wheels plus places.
type unsettled struct {
	e      *Engine
	wheels [][interaction.WheelBits]int32
	places [][track.NumQuantities]int32
}

func newUnsettled(e *Engine) *unsettled {
	return &unsettled{e: e, wheels: make([][interaction.WheelBits]int32, len(e.wheels)),
		places: make([][track.NumQuantities]int32, len(e.places))}
}

func (u *unsettled) count(wi, pi int, settle interaction.Mask) {
	settle.Each(func(bit uint) {
		if bit >= interaction.TrackBit {
			u.places[pi][bit-interaction.TrackBit]++
			return
		}
		u.wheels[wi][bit]++
	})
}

// list names the readings, those that would decide most pairs first.
func (u *unsettled) list() []Unsettled {
	counts := map[[2]string]int{}
	for wi := range u.wheels {
		ws := &u.e.wheels[wi]
		w := ws.W
		own := fmt.Sprintf("wheel/%s %s", w.Car.ID, w.Position)
		mateSide := byte('L')
		if w.Position.Side == 'L' {
			mateSide = 'R'
		}
		mate := fmt.Sprintf("wheel/%s %s", w.Car.ID, wheel.Position{Side: mateSide, Axle: w.Position.Axle})
		axle := fmt.Sprintf("axle/%s %d", w.Car.ID, w.Position.Axle)
		for bit, n := range u.wheels[wi] {
			if n == 0 {
				continue
			}
			where, name := own, ""
			switch uint(bit) {
			case interaction.MateThickness:
				where, name = mate, wheel.FlangeThickness.String()
			case interaction.MateRimWidth:
				where, name = mate, wheel.RimWidth.String()
			case uint(wheel.BackToBack), uint(wheel.BackToBackMax):
				where, name = axle, wheel.Quantity(bit).String()
			default:
				name = wheel.Quantity(bit).String()
			}
			counts[[2]string{where, name}] += int(n)
		}
	}
	var out []Unsettled
	for key, n := range counts {
		out = append(out, Unsettled{Reading: key[1], Where: key[0], Pairs: n})
	}
	for pi := range u.places {
		for q, n := range u.places[pi] {
			if n > 0 {
				f := u.e.places[pi].f
				out = append(out, Unsettled{Reading: track.Quantity(q).String(), Where: f.Name(), Place: f.Location,
					Pairs: int(n)})
			}
		}
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if a.Pairs != b.Pairs {
			return a.Pairs > b.Pairs
		}
		if a.Where != b.Where {
			return a.Where < b.Where
		}
		return a.Reading < b.Reading
	})
	return out
}
