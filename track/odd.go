package track

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/internal/measure"
)

// WidestOpen is the open clearance above which the throw of the points was more likely measured than the narrowest
// clearance (a usual throw is 4-3/4 in, from memory).
const WidestOpen = 4.5 * measure.MMPerInch

// closing is a sum of readings of one place that must be zero: at a frog the guard check follows from gauge and guard
// flangeway, and guard check, guard face and flangeway width close on themselves. If it is a least one, it must not be
// below zero: no load narrows the track.
type closing struct {
	rule   string
	of     [3]Quantity
	minus  [3]bool
	n      int // of them that count
	least  bool
	guard  bool // of a frog with a guard rail alone
	over10 bool // if warp was read over 10 ft or more
}

func closings() [4]closing {
	return [...]closing{
		{rule: "guard_check is gauge less guard_flangeway", n: 3, of: [3]Quantity{GuardCheck, Gauge, GuardFlangeway},
			minus: [3]bool{false, true, false}, guard: true},
		{rule: "guard_check less guard_face is flangeway_width", n: 3,
			of: [3]Quantity{GuardCheck, GuardFace, FlangewayWidth}, minus: [3]bool{false, true, true}, guard: true},
		{rule: "no load narrows the track, so the greater is taken", n: 2, of: [3]Quantity{LoadedGauge, Gauge},
			minus: [3]bool{false, true}, least: true},
		{rule: "two points within 10 ft are within the distance of warp too", n: 2, of: [3]Quantity{Warp, WarpShort},
			minus: [3]bool{false, true}, least: true, over10: true},
	}
}

// quantities are those of the sum.
func (c *closing) quantities() []Quantity { return c.of[:c.n] }

// Odd lists readings of the track that are odd but possible, and worth a second look.
type Odd struct {
	warnings []measure.Warning
	open     []open
}

// open is a sum of a place's readings that does not close.
type open struct {
	f *Feature
	c closing
}

// Warnings words what is odd; of the readings that contradict each other, which a sheet may be full of, at most the
// first by place. more counts the others.
func (o *Odd) Warnings(most int) (list []measure.Warning, more int) {
	if more = len(o.open) - most; more > 0 {
		slices.SortStableFunc(o.open, func(a, b open) int { return a.place().Compare(b.place()) })
		o.open = o.open[:most]
	}
	list = slices.Clip(o.warnings)
	for _, x := range o.open {
		list = append(list,
			measure.Warning{Place: x.place(), Text: fmt.Sprintf("%s: the readings contradict each other (%s): %s; "+
				"measure them again, verdicts that rest on them are marked", x.f.Name(), x.c.rule, x.c.text(x.f))})
	}
	return list, max(0, more)
}

func (x open) place() measure.Place { return x.f.Read(x.c.of[0]).Place }

// text is the readings as they contradict each other.
func (c closing) text(f *Feature) string {
	var b strings.Builder
	for i, q := range c.quantities() {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(q.String() + " " + f.Read(q).Written)
	}
	return b.String()
}

// odd finds readings that a place seldom has, and readings of one place that contradict each other.
func (r *reader) odd(f *Feature) {
	if c := f.Read(OpenClearance); c.Measured() && !c.OneSided() && c.As > WidestOpen+measure.Near {
		r.warn(c.Place, "open_clearance %s of %s is above 4-1/2: was the throw measured in place of the narrowest "+
			"clearance?", c.Written, f.Name())
	}
	f.close()
	for _, c := range f.contradictions() {
		r.found.open = append(r.found.open, open{f, c})
	}
}

func (f *Feature) close() {
	f.open = 0
	for i, c := range closings() {
		if !c.holds(f) {
			f.open |= 1 << i
		}
	}
}

// contradictions are those closings.
func (f *Feature) contradictions() (out []closing) {
	if f.open == 0 { // as of nearly all
		return nil
	}
	for i, c := range closings() {
		if f.open>>i&1 != 0 {
			out = append(out, c)
		}
	}
	return out
}

// holds reports whether the sum can be zero, or not below it, with the readings' errors. Self-guarded frogs have no
// guard rail.
func (c closing) holds(f *Feature) bool {
	if c.guard && (f.Kind != Frog || f.Type == "self-guarded") {
		return true
	}
	if c.over10 && f.WarpOverFt < 10 {
		return true
	}
	lo, hi := 0.0, 0.0
	for i, q := range c.quantities() {
		v := f.Read(q)
		switch {
		case !v.Measured():
			return true
		case c.minus[i]:
			lo, hi = lo-v.Hi, hi-v.Lo
		default:
			lo, hi = lo+v.Lo, hi+v.Hi
		}
	}
	return (c.least || lo <= measure.Near) && hi >= -measure.Near
}
