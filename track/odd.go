package track

import (
	"flangeway/internal/measure"
)

// wideThrow is the open clearance above which the throw of the points was more
// likely measured than the narrowest clearance (a usual throw is 4-3/4 in, common
// practice).
const wideThrow = 4.5 * measure.MMPerInch

// odd warns of readings that a place seldom has, and of readings of one frog that
// contradict each other: the guard check follows from gauge and guard flangeway,
// and guard check, guard face and flangeway width close on themselves.
func (r *reader) odd(f *Feature) {
	switch f.Kind {
	case Switch:
		if c := f.Read(OpenClearance); c.Measured() && !c.OneSided() && c.As > wideThrow+measure.Near {
			r.warn(c.Place, "open_clearance %s of %s is above 4-1/2: was the throw measured in place of the narrowest clearance?", c.Written, f.Name())
		}
	case Frog:
		r.closes(f, "guard_check is gauge less guard_flangeway", [3]Quantity{GuardCheck, Gauge, GuardFlangeway}, [3]float64{1, -1, 1})
		r.closes(f, "guard_check less guard_face is flangeway_width", [3]Quantity{GuardCheck, GuardFace, FlangewayWidth}, [3]float64{1, -1, -1})
	}
}

// closes warns where a sum of readings with their signs, which must be zero, cannot be,
// whatever the readings' errors. Self-guarded frogs have no guard rail, so nothing
// closes there.
func (r *reader) closes(f *Feature, rule string, qs [3]Quantity, signs [3]float64) {
	if f.Type == "self-guarded" {
		return
	}
	lo, hi := 0.0, 0.0
	for i, q := range qs {
		v := f.Read(q)
		switch {
		case !v.Measured():
			return
		case signs[i] > 0:
			lo, hi = lo+v.Lo, hi+v.Hi
		default:
			lo, hi = lo-v.Hi, hi-v.Lo
		}
	}
	if lo <= measure.Near && hi >= -measure.Near {
		return
	}
	text := qs[0].String() + " " + f.Read(qs[0]).Written + ", " + qs[1].String() + " " + f.Read(qs[1]).Written + ", " + qs[2].String() + " " + f.Read(qs[2]).Written
	for _, q := range qs {
		f.contradictedMask |= 1 << q
	}
	r.warn(f.Read(qs[0]).Place, "%s: the readings contradict each other (%s): %s; measure them again, verdicts that rest on them are marked", f.Name(), rule, text)
	if f.Contradiction != "" {
		f.Contradiction += "; "
	}
	f.Contradiction += text
}
