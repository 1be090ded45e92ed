package interaction

import "flangeway/internal/measure"

// Verdict is the result of a pair. The values are in the order in which findings are listed, the worst first.
type Verdict uint8

// The verdicts.
const (
	Conflict    Verdict = iota // the whole interval of the margin is below zero
	Undecided                  // the interval holds zero: the readings do not tell
	NotMeasured                // a reading is missing
	Clear                      // the whole interval is zero or above
	NumVerdicts
)

// String is the verdict as reports print it.
func (v Verdict) String() string {
	return [NumVerdicts]string{"conflict", "undecided", "not measured", "clear"}[v]
}

const near = measure.Near

// VerdictOf is the verdict of a margin's interval.
func VerdictOf(lo, hi float64) Verdict {
	switch {
	case hi < -near:
		return Conflict
	case lo >= -near:
		return Clear
	}
	return Undecided
}

// Cause says whose fault a conflict is.
type Cause string

// The causes.
const (
	CausePlace Cause = "place" // any ordinary wheel conflicts there
	CauseWheel Cause = "wheel" // the wheel conflicts even on an unworn place
	CausePair  Cause = "pair"  // only the two together conflict
)
