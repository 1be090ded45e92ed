package interaction

import (
	"flangeway/internal/limit"
	"flangeway/wheel"
)

// words are how one reading or side stands against the regulations and against the
// other books.
type words struct {
	limits, practice limit.Standing
}

// join is the words of two readings together.
func join(a, b words) words {
	return words{limit.Join(a.limits, b.limits), limit.Join(a.practice, b.practice)}
}

// noWords are those of a side without a reading.
func noWords() words {
	none := limit.Standing{Word: limit.None}
	return words{none, none}
}

// ask asks the book how a reading stands.
func ask(book *limit.Book, s limit.Subject, quantity string) words {
	l, p := book.Legality(s, quantity)
	return words{l, p}
}

// wheelWords asks the book once for every reading of a wheel and its mate.
func wheelWords(book *limit.Book, w *wheel.Wheel) (bits [wheelBits]words) {
	subject, axle := w.Subject(), w.Axle().Subject()
	for q := wheel.Quantity(0); q < wheel.NumQuantities; q++ {
		s := subject
		if q == wheel.BackToBack || q == wheel.BackToBackMax {
			s = axle
		}
		bits[q] = ask(book, s, q.String())
	}
	bits[mateThickness], bits[mateRimWidth] = noWords(), noWords()
	if m := w.Mate(); m != nil {
		bits[mateThickness] = ask(book, m.Subject(), wheel.FlangeThickness.String())
		bits[mateRimWidth] = ask(book, m.Subject(), wheel.RimWidth.String())
	}
	return bits
}

// carSubjects gives the wheels, axles and trucks of a car to judge against a book.
func carSubjects(c *wheel.Car, add func(s limit.Subject, side, where, place string)) {
	for _, a := range c.AxleList {
		for _, w := range []*wheel.Wheel{a.L, a.R} {
			if w != nil {
				add(w.Subject(), "wheel", "wheel/"+c.ID+" "+w.Position.String(), "")
			}
		}
		add(a.Subject(), "wheel", "axle/"+c.ID+" "+string(rune('0'+a.Number)), "")
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
