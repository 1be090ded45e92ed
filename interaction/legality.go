package interaction

import (
	"flangeway/internal/limit"
	"flangeway/wheel"
)

// Legality are how one reading or side stands against the regulations and against the other books.
type Legality struct {
	Limits, Practice limit.Standing
}

// JoinLegality is the words of two readings together.
func JoinLegality(a, b Legality) Legality {
	return Legality{limit.Join(a.Limits, b.Limits), limit.Join(a.Practice, b.Practice)}
}

// NoLegality are those of a side without a reading.
func NoLegality() Legality {
	none := limit.Standing{Word: limit.None}
	return Legality{none, none}
}

// LegalityOf asks the book how a reading stands.
func LegalityOf(book *limit.Book, s limit.Subject, quantity string) Legality {
	l, p := book.Legality(s, quantity)
	return Legality{l, p}
}

// WheelLegality asks the book once for every reading of a wheel and its mate.
func WheelLegality(book *limit.Book, w *wheel.Wheel) (bits [WheelBits]Legality) {
	subject, axle := w.Subject(), w.Axle().Subject()
	for q := range wheel.NumQuantities {
		s := subject
		if q == wheel.BackToBack || q == wheel.BackToBackMax {
			s = axle
		}
		bits[q] = LegalityOf(book, s, q.String())
	}
	bits[MateThickness], bits[MateRimWidth] = NoLegality(), NoLegality()
	if m := w.Mate(); m != nil {
		bits[MateThickness] = LegalityOf(book, m.Subject(), wheel.FlangeThickness.String())
		bits[MateRimWidth] = LegalityOf(book, m.Subject(), wheel.RimWidth.String())
	}
	return bits
}

// CarSubjects gives the wheels, axles and trucks of a car to judge against a book.
func CarSubjects(c *wheel.Car, add func(s limit.Subject, side, where, place string)) {
	for _, a := range c.AxleList {
		for _, w := range a.Wheels() {
			add(w.Subject(), "wheel", "wheel/"+c.ID+" "+w.Position.String(), "")
		}
		add(a.Subject(), "wheel", "axle/"+a.Name(), "")
	}
	trucks, ok := c.Trucks()
	if !ok {
		return
	}
	for i, axles := range trucks {
		if s, ok := c.TruckSubject(axles); ok {
			add(s, "wheel", "truck/"+c.ID+" "+string(rune('1'+i)), "")
		}
	}
}
