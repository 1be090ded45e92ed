package shaped

import (
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// A point guard stands beside the stock rail from before the tip of the point to behind it, higher than the rail, and
// bears on the field side of the rim, as the raised guard of a self-guarded frog does: US patent 3,026,074 (1962) has
// one that holds the flange away from the actual point. The flange face stands off the stock rail then by
//
//	rim_width - flange_thickness - point_guard
//
// where point_guard is the distance of the guarding face from the gauge line. A thin flange stands off by more than one
// of its design: that is not counted, because no wear may make a pair better. The axle needs as much room to the other
// rail, gauge + point_guard - (back_to_back + rim_width + flange_thickness of the mate) (derived: its other flange
// touches that rail at 0), else the guard wedges it. The plain rule knows no guard.

// guarded is the effect of a point guard on a wheel that passes it.
type guarded struct {
	verdict guardVerdict
	room    span // beside the tip, mm
	text    string
	settle  interaction.Mask
	assumed string // what of it rests on no reading
}

type guardVerdict uint8

const (
	guardNone   guardVerdict = iota // there is none, or it does not hold the flange off far enough
	guardHolds                      // the flange passes beside the tip
	guardOpen                       // nobody can tell whether the axle has room beside it
	guardWedges                     // the axle has none
)

// rim is how wide a wheel's rim is, mm: as read, as its design has it, or anything between the narrowest and the widest
// design; assumed says so.
func (c *Computer) rim(w *wheel.Wheel) (s span, assumed string) {
	if r := w.Read(wheel.RimWidth); r.Measured() {
		return span{middle(r), r.Lo, r.Hi}, ""
	}
	if d, ok := c.data.Design(w.Design); ok {
		return span{d.RimWidth, d.RimWidth, d.RimWidth}, "rim_width was not read and is taken as that of " + d.Name
	}
	s = none()
	s.take(c.Rules.Value("rim_width"))
	for _, d := range c.data.Designs {
		s.take(d.RimWidth)
	}
	return s, "rim_width was not read and is taken as that of any design"
}

// newFlange is how thick a new flange of a wheel may be, mm: that of its design, or the greatest of the designs whose
// rim is no wider than it may be, by an eighth of an inch that nobody tells apart.
func (c *Computer) newFlange(w *wheel.Wheel, rim float64) (mm float64) {
	if d, ok := c.data.Design(w.Design); ok {
		return d.FlangeThickness
	}
	for _, d := range c.data.Designs {
		if d.RimWidth <= rim+2*measure.Sixteenth {
			mm = math.Max(mm, d.FlangeThickness)
		}
	}
	return mm
}

// guard is the effect of the switch's point guard on a wheel; room is what its flange has beside the tip without it,
// over all that was tried.
func (j *pointJob) guard(f *footing, room span) (g guarded) {
	x, gauge := j.f.Read(track.PointGuard), j.f.Read(track.Gauge)
	if !x.Measured() {
		return g
	}
	rim, assumed := j.c.rim(f.w)
	g.assumed = assumed
	back, mate, thick := f.w.Read(wheel.BackToBackMax), f.w.Mate(), f.w.Read(wheel.FlangeThickness)
	if !back.Measured() {
		back = f.w.Read(wheel.BackToBack)
	}
	g.settle = f.spreadUnread()
	if !gauge.Measured() {
		g.settle |= interaction.TrackMask(track.Gauge)
	}
	if g.settle != 0 || mate == nil {
		g.verdict, g.text = guardOpen, "whether the axle has room beside the point guard was not read"
		return g
	}
	other := mate.Read(wheel.FlangeThickness)
	free := span{middle(gauge) + middle(x) - middle(back) - rim.as - middle(other),
		gauge.Lo + x.Lo - back.Hi - rim.hi - other.Hi, gauge.Hi + x.Hi - back.Lo - rim.lo - other.Lo}
	switch {
	case free.hi < -measure.Near:
		g.verdict, g.room = guardWedges, free
		g.text = fmt.Sprintf("the point guard wedges the axle: %.1f mm (%.1f..%.1f) of room to the other rail", free.as,
			free.lo, free.hi)
		return g
	case free.lo < -measure.Near:
		g.verdict, g.settle = guardOpen, interaction.TrackMask(track.PointGuard)|interaction.TrackMask(track.Gauge)
		g.text = fmt.Sprintf("beside the point guard the axle has %.1f mm (%.1f..%.1f) of room to the other rail",
			free.as, free.lo, free.hi)
		return g
	}
	least := j.c.newFlange(f.w, rim.hi)
	off := span{rim.as - math.Max(middle(thick), least) - middle(x), rim.lo - math.Max(thick.Hi, least) - x.Hi,
		rim.hi - math.Max(thick.Lo, least) - x.Lo}
	g.room = room.add(off)
	if g.room.lo >= j.c.Rules.Value("passage_allowance")-measure.Near {
		g.verdict = guardHolds
		g.text = fmt.Sprintf("the point guard holds the flange %.1f mm (%.1f..%.1f) off the stock rail, which leaves "+
			"it %.1f mm at the least beside the tip", off.as, off.lo, off.hi, g.room.lo)
	}
	return g
}

// guardedBy lays over a computed verdict what a point guard does to the wheel, plain being what the plain rule gives.
func (k *Computed) guardedBy(g guarded, plain interaction.Verdict) {
	switch g.verdict {
	case guardNone:
		return
	case guardHolds:
		if k.Verdict != interaction.Clear {
			k.Verdict, k.settle, k.Columns = interaction.Clear, 0, nil
			k.Close, k.assumes = false, nil
			k.Margin, k.Low, k.High = g.room.as, g.room.lo, g.room.hi
			if g.assumed != "" {
				k.Close, k.assumes = true, func() string { return g.assumed }
			}
			k.told = func() string {
				return strings.Join([]string{g.text, "the plain rule knows no guard and gives " + plain.String()}, "; ")
			}
		}
		return
	case guardWedges:
		k.Verdict, k.settle, k.Columns, k.Close, k.assumes = interaction.Conflict, 0, nil, false, nil
		k.Margin, k.Low, k.High = g.room.as, g.room.lo, g.room.hi
	case guardOpen:
		if k.Verdict == interaction.Clear {
			k.Verdict, k.settle, k.Close, k.assumes = interaction.Undecided, 0, false, nil
		}
		if k.Verdict == interaction.Undecided {
			k.settle |= g.settle
		}
	}
	told := k.told
	k.told = func() string { return g.text + "; " + told() }
}
