package interaction

import (
	"cmp"
	"math"
)

// order is by what findings are listed: what they hurt, then the verdict, then the margin
// in units of the check's reserve, since millimetres of a flange, of a hollow and of
// bearing, and degrees, are no measure of each other. What rests on a reading under a
// warning comes behind all that does not, and what is clear hurts nothing and comes last.
type order struct {
	again   bool // it conflicts, or may, by a reading under a warning
	harm    int
	verdict Verdict
	hi, lo  float64
}

func (a order) compare(b order) int {
	return cmp.Or(cmp.Compare(a.last(), b.last()), cmp.Compare(a.harm, b.harm), cmp.Compare(a.verdict, b.verdict), cmp.Compare(a.hi, b.hi), cmp.Compare(a.lo, b.lo))
}

// last is 0 for what leads, 1 for what is to be read again first, 2 for what hurts nothing.
func (a order) last() int {
	switch {
	case a.again:
		return 1
	case a.harm == math.MaxInt:
		return 2
	}
	return 0
}

// order is where a pair stands among the findings.
func (e *Engine) order(c *Check, m Margin, doubted bool) order {
	o := order{harm: Harm(c), verdict: m.Verdict}
	o.again = doubted && (m.Verdict == Conflict || m.Verdict == Undecided)
	switch m.Verdict {
	case NotMeasured:
		return o
	case Clear:
		o.harm = math.MaxInt
	}
	unit := c.reserve(e.Rules)
	if unit <= near { // a railroad without a reserve: the one of the built-in settings
		unit = e.Rules.builtIn(c.Reserve)
	}
	o.hi, o.lo = OnGrid(high(m)/unit), OnGrid(low(m)/unit)
	return o
}
