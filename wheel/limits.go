package wheel

import (
	"fmt"
	"math"
	"slices"

	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// Readable lists what can be read of a wheel, an axle or a truck, or derived from its readings, as the limit books name
// it.
func Readable(subject string) []string {
	switch subject {
	case "wheel":
		return append(quantityNames[:], "nominal_diameter", "nominal_diameter_most")
	case "axle":
		return []string{BackToBack.String(), BackToBackMax.String(), "back_to_back_variation", "diameter_difference"}
	case "truck":
		return []string{"truck_diameter_difference"}
	}
	return nil
}

// Subject is the wheel as the limit books see it: its own readings, and the book of its car's kind.
func (w *Wheel) Subject() limit.Subject {
	return limit.Subject{Kind: "wheel", CarKind: w.Car.Kind, Service: w.Car.service(), Flange: w.Flange,
		Read: func(quantity string) measure.Reading {
			switch quantity {
			case "nominal_diameter":
				return nominalDiameter(w.Read(Diameter), 0)
			case "nominal_diameter_most":
				return nominalDiameter(w.Read(Diameter), mostTurned)
			}
			if q, ok := QuantityOf(quantity); ok {
				return w.Read(q)
			}
			return measure.Reading{}
		}}
}

// Subject is the axle as the limit books see it: its back-to-back and what follows from the readings of both wheels. A
// difference is derived only if both readings stand.
func (a *Axle) Subject() limit.Subject {
	flange, likely := a.flange()
	return limit.Subject{Kind: "axle", CarKind: a.Car.Kind, Service: a.Car.service(), Flange: flange,
		LikelyFlange: likely,
		Read: func(quantity string) measure.Reading {
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

// service is that of a locomotive; no other car has one.
func (c *Car) service() string {
	if c.Kind == "locomotive" {
		return c.Service
	}
	return ""
}

// flange is narrow or wide if the designs of the axle's wheels name it, and what it is likely to be if they do not: a
// flange thicker than any narrow one is wide, and a set that stands wider than wide flanges may, as written, and is
// surely no thicker than a narrow one, is narrow (common practice, no source). "" is not known.
func (a *Axle) flange() (named, likely string) {
	for _, w := range a.Wheels() {
		switch {
		case w.Flange == "" || w.Flange == named:
		case named == "":
			named = w.Flange
		default:
			return "", "" // they differ
		}
	}
	if named != "" {
		return named, named
	}
	for _, w := range a.Wheels() {
		if w.Read(FlangeThickness).Measured() && w.Read(FlangeThickness).Lo > thickestNarrow {
			return "", "wide"
		}
	}
	b := a.Listed().Read(BackToBack)
	if b.Measured() && b.As > widestWide+measure.Near && a.thinAsNarrow() {
		return "", "narrow"
	}
	return "", ""
}

// thinAsNarrow reports whether a flange of the axle was read that is surely no thicker than a narrow one.
func (a *Axle) thinAsNarrow() bool {
	return slices.ContainsFunc(a.Wheels(), func(w *Wheel) bool {
		t := w.Read(FlangeThickness)
		return t.Measured() && !t.OneSided() && t.Hi <= thickestNarrow+measure.Near
	})
}

// The thickest narrow flange that is made, and the widest that a set of wide flanges may stand, 49 CFR 229.73(c).
const (
	thickestNarrow = (1 + 7.0/32) * measure.MMPerInch
	widestWide     = 53.25 * measure.MMPerInch
)

// nominalDiameter is the size that a wheel may have had when new, from its present diameter: the greatest size made
// that it can have come down from by so much wear and turning, the least for 0. A diameter that reads as a size made is
// that size, because the column often holds the size and not a reading; one that was not read is taken as 36 in, the
// most common one (common practice, no source).
func nominalDiameter(d measure.Reading, turned float64) measure.Reading {
	size := 36.0
	if d.Measured() && !d.OneSided() {
		const over = 0.5 // a new wheel may tape so much above its size, in
		sizes := []float64{28, 30, 33, 36, 38}
		fits := slices.IndexFunc(sizes, func(s float64) bool { return d.As <= (s+over)*measure.MMPerInch+measure.Near })
		if fits < 0 {
			return measure.Exact(d.As, d.Written)
		}
		size = sizes[fits]
		for _, s := range sizes[fits:] {
			if !readsAs(d, size) && (s-turned)*measure.MMPerInch <= d.As+measure.Near {
				size = s
			}
		}
	}
	r := measure.Exact(size*measure.MMPerInch, fmt.Sprintf("%g", size))
	r.Place = d.Place
	return r
}

// readsAs reports whether a reading is a size in inches, or as near to it as a whole millimetre comes.
func readsAs(d measure.Reading, size float64) bool {
	return math.Abs(d.As-size*measure.MMPerInch) <= 0.5+measure.Near
}

// mostTurned is by how much wear and turning may bring a diameter down before the rim is at the figure of all sizes,
// in: a rim of 2-1/2 in, of wheels that are turned many times, worn to 3/4 (assumed).
const mostTurned = 3.5

// TruckSubject is a truck of a six-axle unit as the limit books see it: the greatest difference of wheel diameters over
// its axles. ok is false for other arrangements.
func (c *Car) TruckSubject(axles []int) (s limit.Subject, ok bool) {
	if len(axles) != 3 {
		return limit.Subject{}, false
	}
	return limit.Subject{Kind: "truck", CarKind: c.Kind, Service: c.service(),
		Read: func(quantity string) measure.Reading {
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

// difference is |a − b| as a reading, its interval from both; missing if one is missing or has no value of its own.
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
