package measure

import (
	"fmt"
	"math"
	"strings"
)

// Unit is the unit that a number without one has.
type Unit uint8

// The units of sheet columns.
const (
	Inches      Unit = iota // lengths; a bare number is inches
	Millimetres             // tread hollow; a bare number is millimetres
	Degrees                 // angles from horizontal
)

// Spec describes a column: its unit, its physical bounds and how well it can be read. Lo, Hi, Floor, Step and
// Replace are in mm, or in degrees for an angle.
type Spec struct {
	Column string
	Unit   Unit
	Lo, Hi float64 // physical bounds: an interval is cut at them
	Floor  float64 // the least ± of a one-value reading; 0 if the notation alone says it
	Step   float64 // by how much the given ends of go/no-go and range readings are widened
	// LeastMade and MostMade are the best that is made: a one-sided reading that runs toward the better ends there, or
	// at its step if that lies beyond. 0: at the bound.
	LeastMade, MostMade float64
	// MostNarrow takes the place of MostMade for a wheel with a narrow flange; see [Spec.Narrow]. An axle with a
	// reading over NarrowOver has such wheels. 0: none.
	MostNarrow, NarrowOver float64
	// Replace is the railroad's own ± for this column (railroad.yaml, reading_error); it takes the place of the
	// notation's and of Floor.
	Replace    float64
	HasReplace bool
	// Metric says that readings are printed in millimetres.
	Metric bool
	// Nominal is the standard value from which small entries could be deviations (gauge): an entry within 4 in of zero
	// is refused as ambiguous. 0: none.
	Nominal float64
	// Notch is how to write what a go/no-go gauge says of the column; "" if none is used.
	Notch string
	// Noun is the thing that a Degrees column counts if it holds no angle, such as "days"; its numbers carry no mark.
	// "": degrees.
	Noun string
}

// BoundsText is the column's physical range in words, "1/2 to 2-1/2 in".
func (s Spec) BoundsText() string {
	switch s.Unit {
	case Degrees:
		unit := "deg"
		if s.Noun != "" {
			unit = s.Noun
		}
		return fmt.Sprintf("%s to %s %s", decimal(s.Lo), decimal(s.Hi), unit)
	case Millimetres:
		return fmt.Sprintf("%s to %s mm", decimal(s.Lo), decimal(s.Hi))
	}
	return fmt.Sprintf("%s to %s in", Inch(s.Lo), Inch(s.Hi))
}

// Near is the difference that comparisons treat as none, in mm or degrees.
const Near = 1e-9

// reading turns a parsed entry into the interval of the column.
func (s Spec) reading(e entry) (Reading, *Fault) {
	r := Reading{Form: e.form}
	if f := s.check(e); f != nil {
		return Reading{}, f
	}
	switch e.form {
	case Missing:
		return r, nil
	case None:
		return r, nil // exactly 0, whatever the column's ±
	case Point:
		half := e.first.half
		if s.HasReplace {
			half = s.Replace
		} else {
			half = math.Max(half, s.Floor)
		}
		r.As = e.first.value
		r.Lo, r.Hi = r.As-half, r.As+half
	case Above:
		r.As = e.first.value
		r.Lo, r.Hi = r.As-s.Step, s.Hi
		if s.MostMade != 0 {
			r.Hi = math.Max(s.MostMade, r.As)
		}
	case Below:
		r.As = e.first.value
		r.Lo, r.Hi = s.Lo, r.As+s.Step
		if s.LeastMade != 0 {
			r.Lo = math.Min(s.LeastMade, r.As)
		}
	case Range:
		first, second := e.first.value, e.second.value
		switch e.first.tail {
		case '+':
			second = math.Min(first+Sixteenth, s.Hi)
		case '-':
			first, second = math.Max(first-Sixteenth, s.Lo), first
		}
		r.As = (first + second) / 2
		r.Lo, r.Hi = first-s.Step, second+s.Step
	}
	r.Lo = math.Min(math.Max(r.Lo, s.Lo), s.Hi)
	r.Hi = math.Min(math.Max(r.Hi, s.Lo), s.Hi)
	return r, nil
}

// Narrow is a reading of the column of a wheel with a narrow flange.
func (s Spec) Narrow(r Reading) Reading {
	if r.Form == Above && s.MostNarrow != 0 {
		r.Hi = math.Min(r.Hi, math.Max(s.MostNarrow, r.As))
	}
	return r
}

// Over reports a reading that is over v as written; one that says only what it is not over is none.
func (r Reading) Over(v float64) bool {
	return (r.Form == Point || r.Form == Range || r.Form == Above) && r.As > v+Near
}

// check refuses a value that the quantity cannot have.
func (s Spec) check(e entry) *Fault {
	outside := func(v float64) bool { return v < s.Lo-Near || v > s.Hi+Near }
	switch e.form {
	case Missing:
		return nil
	case None:
		if outside(0) {
			return faultf(s.BoundsText(), "%q would be exactly 0, which no %s can be", "none", s.Column)
		}
		return nil
	case Range:
		if e.first.tail != 0 {
			break // its other end is cut
		}
		if e.first.value > e.second.value {
			return faultf("the smaller end first", "the range runs backwards")
		}
		if outside(e.second.value) {
			return s.outside(e.second)
		}
	}
	if outside(e.first.value) {
		return s.outside(e.first)
	}
	return nil
}

// outside words the refusal, with what the typist may have meant.
func (s Spec) outside(v value) *Fault {
	switch {
	case s.Nominal > 0 && math.Abs(v.value) < 4*MMPerInch:
		return faultf("the distance itself, as "+Inch(s.Nominal),
			"%q could be %s or a deviation from the standard one", v.text, withArticle(s.Column))
	case v.bare && v.number > 30000 && v.number < 80000 && v.decimals < 0 && v.denominator == 0:
		return faultf(s.BoundsText()+"; format the column as text in the spreadsheet",
			"%q looks like a spreadsheet's date number", v.text)
	case s.Unit == Inches && v.bare && v.value/MMPerInch >= s.Lo-Near && v.value/MMPerInch <= s.Hi+Near:
		return faultf(s.BoundsText()+"; a number without a unit is inches, millimetres are written "+
			strings.Join(strings.Fields(v.text), " ")+"mm",
			"%q is outside what %s can be", v.text, withArticle(s.Column))
	}
	return faultf(s.BoundsText(), "%q is outside what %s can be", v.text, withArticle(s.Column))
}

// withArticle is a column's name behind its article.
func withArticle(column string) string {
	if column != "" && strings.ContainsRune("aeio", rune(column[0])) || strings.HasPrefix(column, "un") {
		return "an " + column
	}
	return "a " + column
}
