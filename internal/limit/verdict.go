package limit

import (
	"flangeway/configs"
	"flangeway/internal/measure"
)

// Verdict is a book's judgement of one reading.
type Verdict string

// The verdicts. A reading straddles if it is within as written but its interval reaches into what condemns. It is
// unsure if it is beyond a rule of which nobody knows whether it holds.
const (
	Within      Verdict = "within"
	Beyond      Verdict = "beyond"
	Straddles   Verdict = "straddles"
	Unsure      Verdict = "unknown"
	NotMeasured Verdict = "not measured"
)

const near = measure.Near

// condemned reports whether a value meets the condition; a difference within [near] is none.
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

// judge is the verdict of one reading under one condition. A reading is beyond by its value as written, a range by its
// middle, and straddles if its interval holds a value that condemns, be it an end alone.
func judge(c configs.Condition, r measure.Reading) Verdict {
	switch {
	case !r.Measured():
		return NotMeasured
	case r.OneSided():
		return judgeStep(c, r)
	case condemned(c, r.As):
		return Beyond
	case condemned(c, r.Lo) || condemned(c, r.Hi): // a condition is a half-line: the ends speak for all between
		return Straddles
	}
	return Within
}

// judgeStep is the verdict of a go/no-go reading: of the half-line that its sign points along. The step itself is left
// out, with or without "=", and nothing is widened, so that a notch decides the limit that it is made for: one of 1-1/2
// that the tip did not touch is within "1-1/2 or more", one that it touched is beyond.
func judgeStep(c configs.Condition, r measure.Reading) Verdict {
	toward := r.Form == measure.Above // its sign points to where the condition condemns
	past := r.As - c.Value            // how far the step lies on the side that condemns
	if c.Op == "<" || c.Op == "<=" {
		toward, past = !toward, -past
	}
	switch {
	case toward && past >= -near:
		return Beyond
	case !toward && past <= near:
		return Within
	}
	return Straddles
}

// all joins the verdicts of the conditions that must all be met to condemn: one that is surely not met is enough to be
// within.
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
