package wheel

import (
	"math"

	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// Subject is the wheel as the limit books see it: its own readings, and the book
// of its car's kind.
func (w *Wheel) Subject() limit.Subject {
	return limit.Subject{Kind: "wheel", CarKind: w.Car.Kind, Read: func(quantity string) measure.Reading {
		if q, ok := QuantityOf(quantity); ok {
			return w.Read(q)
		}
		return measure.Reading{}
	}}
}

// Subject is the axle as the limit books see it: its back-to-back and what follows
// from the readings of both wheels. A difference is derived only where both
// readings stand.
func (a *Axle) Subject() limit.Subject {
	return limit.Subject{Kind: "axle", CarKind: a.Car.Kind, Read: func(quantity string) measure.Reading {
		switch quantity {
		case BackToBack.String(), BackToBackMax.String():
			q, _ := QuantityOf(quantity)
			return a.Listed().Read(q)
		case "back_to_back_variation":
			return difference(a.Listed().Read(BackToBackMax), a.Listed().Read(BackToBack))
		case "diameter_difference":
			if a.L == nil || a.R == nil {
				return measure.Reading{}
			}
			return difference(a.L.Read(Diameter), a.R.Read(Diameter))
		}
		return measure.Reading{}
	}}
}

// TruckSubject is a truck of a six-axle unit as the limit books see it: the
// greatest difference of wheel diameters over its axles. ok is false for other
// arrangements.
func (c *Car) TruckSubject(axles []int) (s limit.Subject, ok bool) {
	if len(axles) != 3 {
		return limit.Subject{}, false
	}
	return limit.Subject{Kind: "truck", CarKind: c.Kind, Read: func(quantity string) measure.Reading {
		if quantity != "truck_diameter_difference" {
			return measure.Reading{}
		}
		var least, most measure.Reading
		for _, n := range axles {
			a := c.Axle(n)
			if a == nil {
				return measure.Reading{}
			}
			for _, w := range []*Wheel{a.L, a.R} {
				if w == nil || !w.Read(Diameter).Measured() {
					return measure.Reading{}
				}
				d := w.Read(Diameter)
				if !least.Measured() || d.As < least.As {
					least = d
				}
				if !most.Measured() || d.As > most.As {
					most = d
				}
			}
		}
		return difference(most, least)
	}}, true
}

// difference is |a − b| as a reading, its interval from both; missing where one is
// missing or has no value of its own.
func difference(a, b measure.Reading) measure.Reading {
	if !a.Measured() || !b.Measured() || a.OneSided() || b.OneSided() {
		return measure.Reading{}
	}
	lo, hi := a.Lo-b.Hi, a.Hi-b.Lo
	r := measure.Reading{Form: measure.Point, As: math.Abs(a.As - b.As), Place: a.Place}
	switch {
	case lo > 0:
		r.Lo, r.Hi = lo, hi
	case hi < 0:
		r.Lo, r.Hi = -hi, -lo
	default:
		r.Lo, r.Hi = 0, math.Max(-lo, hi)
	}
	r.Written = measure.Inch(r.As) + " in"
	return r
}
