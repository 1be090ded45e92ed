package limit

import (
	"flangeway/configs"
	"flangeway/internal/measure"
)

// Verdict is what a book says of one reading.
type Verdict string

// The verdicts. A reading straddles where it is within as written but its interval
// reaches into what condemns.
const (
	Within      Verdict = "within"
	Beyond      Verdict = "beyond"
	Straddles   Verdict = "straddles"
	NotMeasured Verdict = "not measured"
)

const near = measure.Near

// condemned reports whether a value meets the condition; a difference within
// [near] is none.
func condemned(c configs.Condition, v float64) bool {
	d := v - c.Value
	switch c.Op {
	case "<":
		return d < -near
	case "<=":
		return d <= near
	case ">":
		return d > near
	case ">=":
		return d >= -near
	}
	return false
}

// judge is the verdict of one reading under one condition. Only a reading that has
// a value of its own can be beyond by that value; a go/no-go reading is beyond only
// where its whole interval condemns.
func judge(c configs.Condition, r measure.Reading) Verdict {
	if !r.Measured() {
		return NotMeasured
	}
	// A condition is a half-line, so the two ends speak for all between them.
	lo, hi := condemned(c, r.Lo), condemned(c, r.Hi)
	beyond := condemned(c, r.As)
	if r.OneSided() {
		beyond = lo && hi
	}
	switch {
	case beyond:
		return Beyond
	case lo || hi:
		return Straddles
	}
	return Within
}

// all joins the verdicts of the conditions that must all be met to condemn: one
// that is surely not met is enough to be within.
func all(verdicts []Verdict) Verdict {
	beyond, missing := 0, 0
	for _, v := range verdicts {
		switch v {
		case Within:
			return Within
		case Beyond:
			beyond++
		case NotMeasured:
			missing++
		}
	}
	switch {
	case missing > 0:
		return NotMeasured
	case beyond == len(verdicts):
		return Beyond
	}
	return Straddles
}
