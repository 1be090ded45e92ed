package wheel

import "flangeway/internal/measure"

// narrow is how a narrow flange is told: by the wheel's design, or by the distance of the flange backs, which only such
// flanges leave room for.
type narrow struct {
	design bool
	rule   *NarrowRule // nil for a wheel that stands in no sheet
}

// NarrowRule is the columns that have its figures.
type NarrowRule struct {
	thickness, backToBack measure.Spec
}

// NewNarrowRule takes the figures of columns.
func NewNarrowRule(columns map[string]measure.Spec) *NarrowRule {
	return &NarrowRule{thickness: columns[FlangeThickness.String()], backToBack: columns[BackToBack.String()]}
}

// Wide reports a back-to-back as only axles with narrow flanges have it.
func (n *NarrowRule) Wide(b measure.Reading) bool {
	return n.backToBack.NarrowOver != 0 && b.Over(n.backToBack.NarrowOver)
}

// Narrow is a thickness of a wheel with a narrow flange.
func (n *NarrowRule) Narrow(r measure.Reading) measure.Reading { return n.thickness.Narrow(r) }

// narrowed is a thickness of which only the least was read, as thick as the wheel's flange can be.
func (w *Wheel) narrowed(r measure.Reading) measure.Reading {
	if n := w.narrow; n.rule != nil && (n.design || n.rule.Wide(w.Read(BackToBack))) {
		return n.rule.Narrow(r)
	}
	return r
}
