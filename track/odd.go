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
		r.closes(f, "guard_check is gauge less guard_flangeway", []Quantity{GuardCheck, Gauge, GuardFlangeway},
			func(v []measure.Reading) (lo, hi float64) {
				return v[0].Lo - v[1].Hi + v[2].Lo, v[0].Hi - v[1].Lo + v[2].Hi
			})
		r.closes(f, "guard_check less guard_face is flangeway_width", []Quantity{GuardCheck, GuardFace, FlangewayWidth},
			func(v []measure.Reading) (lo, hi float64) {
				return v[0].Lo - v[1].Hi - v[2].Hi, v[0].Hi - v[1].Lo - v[2].Lo
			})
	}
}

// closes warns where a sum that must be zero cannot be, whatever the readings'
// errors. Self-guarded frogs have no guard rail, so nothing closes there.
func (r *reader) closes(f *Feature, rule string, qs []Quantity, sum func([]measure.Reading) (lo, hi float64)) {
	if f.Type == "self-guarded" {
		return
	}
	v := make([]measure.Reading, len(qs))
	for i, q := range qs {
		if v[i] = f.Read(q); !v[i].Measured() {
			return
		}
	}
	lo, hi := sum(v)
	if lo <= measure.Near && hi >= -measure.Near {
		return
	}
	text := ""
	for i, q := range qs {
		text += ", " + q.String() + " " + v[i].Written
	}
	for _, q := range qs {
		f.contradictedMask |= 1 << q
	}
	text = text[2:]
	r.warn(v[0].Place, "%s: the readings contradict each other (%s): %s; measure them again, verdicts that rest on them are marked", f.Name(), rule, text)
	if f.Contradiction != "" {
		f.Contradiction += "; "
	}
	f.Contradiction += text
}
