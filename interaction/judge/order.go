package judge

import (
	"cmp"
	"math"

	"flangeway/interaction"
	"flangeway/internal/measure"
)

// order is by what findings are listed: what they hurt, then the verdict, then the margin in units of the check's
// reserve, because millimetres of a flange, of a hollow and of bearing, and degrees, are no measure of each other. What
// rests on a reading under a warning comes behind all that does not, and what is clear hurts nothing and comes last.
type order struct {
	again   bool // it conflicts, or may, by a reading under a warning
	harm    int
	verdict interaction.Verdict
	hi, lo  float64
}

func (a order) compare(b order) int {
	return cmp.Or(cmp.Compare(a.last(), b.last()), cmp.Compare(a.harm, b.harm), cmp.Compare(a.verdict, b.verdict),
		cmp.Compare(a.hi, b.hi), cmp.Compare(a.lo, b.lo))
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
func (e *Engine) order(c *interaction.Check, m interaction.Margin, doubted bool) order {
	o := order{harm: interaction.Harm(c), verdict: m.Verdict}
	o.again = doubted && (m.Verdict == interaction.Conflict || m.Verdict == interaction.Undecided)
	switch m.Verdict {
	case interaction.NotMeasured:
		return o
	case interaction.Clear:
		o.harm = math.MaxInt
	}
	unit := c.CloseBelow(e.Rules)
	if unit <= measure.Near { // a railroad without a reserve: the one of the built-in settings
		unit = e.Rules.BuiltIn(c.Reserve)
	}
	o.hi, o.lo = interaction.OnGrid(interaction.High(m)/unit), interaction.OnGrid(interaction.Low(m)/unit)
	return o
}
