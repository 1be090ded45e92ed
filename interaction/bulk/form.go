package bulk

import (
	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/wheel"
	wheelbulk "flangeway/wheel/bulk"
)

// form is the wheel's part of a check for wheels of which the same readings are there: the sum of readings with their
// signs and of a constant. It is found by running the check once, so a formula stands in one place.
type form struct {
	check   int
	axle    bool // only at the wheel at which the axle is listed
	missing bool
	terms   []formTerm
	// constant is in parts of [wheelbulk.PerMM].
	constant int64
	// byEntry says that the part is no such sum, but follows from the entries of the terms; if whole is set not even
	// that.
	byEntry, whole bool
}

// entries are those of one wheel.
type entries = [wheel.NumQuantities]int32

// of is the entry that a term stands for, of a wheel and its mate.
func (t *formTerm) of(e, m *entries) int32 {
	if t.mate {
		return m[t.q]
	}
	return e[t.q]
}

// sum is the form for a wheel and its mate.
func (f *form) sum(v *wheelbulk.Values, e, m *entries) (lo, hi int64) {
	lo, hi = f.constant, f.constant
	for i := range f.terms {
		t := &f.terms[i]
		x := v.Ends(t.q)[t.of(e, m)]
		if t.minus {
			x.Lo, x.Hi = -x.Hi, -x.Lo
		}
		lo, hi = lo+x.Lo, hi+x.Hi
	}
	return lo, hi
}

// formTerm is a reading that enters: of which column, of the mate or not.
type formTerm struct {
	q     wheel.Quantity
	mate  bool
	minus bool
}

// pattern is which readings of a wheel are there: bit q for its own (the axle's for back-to-back), those of its mate
// behind them, and the mate's design.
type pattern uint32

const designBits = interaction.WheelBits

// probe is a wheel with the readings of a pattern, all zero.
func (u *summing) probe(p pattern) *wheel.Wheel {
	zero := measure.Exact(0, "0")
	left, right := map[wheel.Quantity]measure.Reading{}, map[wheel.Quantity]measure.Reading{}
	for q := range wheel.NumQuantities {
		if p>>q&1 != 0 {
			left[q] = zero
		}
	}
	if p>>interaction.MateThickness&1 != 0 {
		right[wheel.FlangeThickness] = zero
	}
	if p>>interaction.MateRimWidth&1 != 0 {
		right[wheel.RimWidth] = zero
	}
	design := ""
	if d := p >> designBits; d > 0 {
		design = u.Survey.Data.Designs[d-1].Name
	}
	return wheel.NewAxle(left, right, design)
}

// formOf finds the form of a check for wheels like the probe, whose readings are all zero, which leaves the constant.
func (u *summing) formOf(k int, probe *wheel.Wheel) *form {
	c := u.Checks[k]
	s, terms := c.WheelTerms(u.Rules, probe)
	f := &form{check: k, axle: c.Axle, missing: s.Missing != 0}
	if f.missing {
		return f
	}
	entered := interaction.Mask(0)
	for _, t := range terms {
		entered |= 1 << t.Bit
		f.terms = append(f.terms, termOf(t.Bit, t.Sign < 0))
		f.whole = f.whole || t.Sign != 1 && t.Sign != -1
	}
	if entered != s.Uses || s.Vague != 0 {
		f.terms, f.byEntry = nil, true
		s.Uses.Each(func(bit uint) { f.terms = append(f.terms, termOf(bit, false)) })
		f.whole = len(f.terms) > 2
		return f
	}
	lo, exact := wheelbulk.Parts(s.Lo)
	hi, _ := wheelbulk.Parts(s.Hi)
	f.constant = lo
	f.whole = f.whole || !exact || hi != lo
	return f
}

// termOf is the term of a reading.
func termOf(bit uint, minus bool) formTerm {
	q, mate := interaction.WheelReading(bit)
	return formTerm{q, mate, minus}
}

// only is the quantity on which alone a check rests, whatever else is there; ok is false for a check that rests on
// more.
func (u *summing) only(k int) (q wheel.Quantity, ok bool) {
	const all = pattern(1)<<interaction.WheelBits - 1
	f := u.formOf(k, u.probe(all))
	if f.axle || f.byEntry || f.whole || len(f.terms) != 1 || f.terms[0].mate {
		return 0, false
	}
	q = f.terms[0].q
	return q, u.formOf(k, u.probe(all&^(1<<q))).missing
}
