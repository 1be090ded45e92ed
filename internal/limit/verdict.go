package limit

import (
	"math"

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

// judge is the verdict of one reading under one condition. A reading is beyond by its
// value as written; a go/no-go reading, which has none, where all that its gauge says
// condemns: one that touched at 1-1/2 is "1-1/2 or more", though the step has its ±.
func judge(c configs.Condition, r measure.Reading) Verdict {
	if !r.Measured() {
		return NotMeasured
	}
	// A condition is a half-line, so the two ends speak for all between them.
	lo, hi := condemned(c, r.Lo), condemned(c, r.Hi)
	beyond := condemned(c, r.As)
	if r.OneSided() {
		beyond = lo && hi || asWritten(c, r)
	}
	switch {
	case beyond:
		return Beyond
	case lo || hi:
		return Straddles
	}
	return Within
}

// asWritten reports whether every value that a go/no-go reading leaves, its step taken
// as exact, meets the condition.
func asWritten(c configs.Condition, r measure.Reading) bool {
	switch c.Op {
	case ">", ">=":
		if r.Form != measure.Above {
			return false
		}
	default:
		if r.Form != measure.Below {
			return false
		}
	}
	if r.Strict() { // "more than 4" is more than 4
		return condemned(c, r.As) || math.Abs(r.As-c.Value) <= near
	}
	return condemned(c, r.As)
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
