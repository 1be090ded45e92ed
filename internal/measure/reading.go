package measure

// Form says in which way a reading was written.
type Form uint8

// The forms of a reading.
const (
	Missing Form = iota // blank, "-" or "n/m": not measured, never zero
	None                // "none": looked at and there is none, exactly 0
	Point               // one value with its ±
	Above               // ">15/16", ">=1": the value is at least this
	Below               // "<1", "<=15/16": the value is at most this
	Range               // "1-1/4..1-1/2"
)

// Reading is the knowledge of one quantity at one place: everything between Lo and Hi, in the unit of its [Spec] (mm or
// degrees). The zero Reading is a missing one.
type Reading struct {
	Written string // as typed, trimmed
	Form    Form
	As      float64 // the value as written; the middle of a range; the given end of a one-sided reading
	Lo, Hi  float64
	Place   Place
}

// Measured reports whether there is a reading at all.
func (r Reading) Measured() bool { return r.Form != Missing }

// OneSided reports a go/no-go reading, which has no value of its own.
func (r Reading) OneSided() bool { return r.Form == Above || r.Form == Below }

// Width is Hi − Lo.
func (r Reading) Width() float64 { return r.Hi - r.Lo }

// Exact is a value without ±, as for reference wheels and track as designed.
func Exact(v float64, written string) Reading {
	return Reading{Written: written, Form: Point, As: v, Lo: v, Hi: v}
}
