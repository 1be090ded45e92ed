package wheel

import "flangeway/internal/measure"

// narrow is how a narrow flange is told: by the wheel's design, or by the distance of the
// flange backs, which only such flanges leave room for.
type narrow struct {
	design bool
	rule   *narrowRule // nil for a wheel that stands in no sheet
}

// narrowRule is the columns that have its figures.
type narrowRule struct {
	thickness, backToBack measure.Spec
}

func newNarrowRule(columns map[string]measure.Spec) *narrowRule {
	return &narrowRule{thickness: columns[FlangeThickness.String()], backToBack: columns[BackToBack.String()]}
}

// wide reports a back-to-back as only axles with narrow flanges have it.
func (n *narrowRule) wide(b measure.Reading) bool {
	return n.backToBack.NarrowOver != 0 && b.Over(n.backToBack.NarrowOver)
}

// narrowed is a thickness of which only the least was read, as thick as the wheel's flange
// can be.
func (w *Wheel) narrowed(r measure.Reading) measure.Reading {
	if n := w.narrow; n.rule != nil && (n.design || n.rule.wide(w.Read(BackToBack))) {
		return n.rule.thickness.Narrow(r)
	}
	return r
}
