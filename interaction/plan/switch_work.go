package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"flangeway/internal/measure"
	"flangeway/track"
)

// turnout combines the works on a switch with regauging it.
func (s *workshop) turnout(c choices) []draft {
	base := []draft{{}}
	if c.adjust {
		if d, ok := s.adjusted(); ok {
			base = append(base, d)
		}
	}
	if c.risers && s.read(track.HeelRise) {
		a := work(s.sv.Costs, "risers_renew")
		to := map[track.Quantity]string{track.HeelRise: nearest(s.designed(track.HeelRise))}
		a.What = "renew the risers: heel rise " + to[track.HeelRise] + " in"
		for _, d := range base {
			base = append(base, d.with(a, to))
		}
	}
	if c.tip {
		for _, mend := range []func(draft) (draft, bool){s.pointGround, s.tipWelded} {
			for _, d := range base {
				if slices.ContainsFunc(d.acts, func(a Action) bool { return a.Work == "point_grind" }) {
					continue // what is welded is ground with it
				}
				if d, ok := mend(d); ok {
					base = append(base, d)
				}
			}
		}
	}
	guarded := base
	if c.points {
		base = append(base, s.newPoints()...)
	}
	out := base
	if c.guardTip {
		for _, d := range guarded {
			if d, ok := s.tipGuarded(d); ok {
				out = append(out, d)
			}
		}
	}
	if c.gauge {
		for _, d := range base { // what a guard leaves an axle goes by the gauge as it is
			// A clearance that adjusting or new points set stays what they set.
			if r, ok := s.regauged(d); ok {
				if v, ok := d.to[track.OpenClearance]; ok {
					r.to[track.OpenClearance] = v
				}
				out = append(out, r)
			}
		}
	}
	return out
}

// adjusted closes the point tight and throws it as far as designed; ok is false if nothing of that was read.
func (s *workshop) adjusted() (d draft, ok bool) {
	to := map[track.Quantity]string{}
	if s.read(track.PointGap) {
		to[track.PointGap] = "none"
	}
	if s.read(track.OpenClearance) {
		if v, ok := s.as(track.OpenClearance); !ok || v < s.designed(track.OpenClearance) {
			to[track.OpenClearance] = nearest(s.designed(track.OpenClearance))
		} else {
			to[track.OpenClearance] = measure.DownToSixteenth(v)
		}
	}
	if len(to) == 0 {
		return d, false
	}
	a := work(s.sv.Costs, "switch_adjust")
	a.What = "adjust the switch until the point closes tight"
	if v, ok := to[track.OpenClearance]; ok {
		a.What += ", open clearance " + v + " in"
	}
	a.Note = append(a.Note, throwBoth)
	return d.with(a, to), true
}

// tipGuarded puts point guards beside the stock rails, as near as a new axle of any reference design still passes with
// guardRoom to the other rail. A wheel that they would wedge, or that nobody can tell of, is worse than it was: the
// engine says so.
func (s *workshop) tipGuarded(d draft) (draft, bool) {
	gauge, ok := s.as(track.Gauge)
	if !ok || s.read(track.PointGuard) {
		return d, false
	}
	widest := 0.0
	for _, x := range s.sv.Data.Designs {
		if x.Reference {
			widest = max(widest, x.BackToBack+x.RimWidth+x.FlangeThickness)
		}
	}
	to := measure.UpToSixteenth(widest + guardRoom - gauge)
	a := work(s.sv.Costs, "point_guard")
	a.What = "put point guards beside the stock rails, from before the tip to behind it: guarding face " + to +
		" in from the gauge line"
	a.Note = append(a.Note, "run the widest axle through by hand and see that no guard wedges it; "+throwBoth)
	return d.with(a, map[track.Quantity]string{track.PointGuard: to}), true
}

// guardRoom is what a new axle has at least to the other rail beside a point guard as it is ordered, mm: what gauge,
// guard and axle may err by their readings and the tolerance of the work. Project's own choice.
const guardRoom = 5.0 / 16 * measure.MMPerInch

const throwBoth = "throw the switch to both ends and read again"

// newPoints renews the points with their stock rails, and the points alone where the stock rail's wear was read and a
// new point fits it.
func (s *workshop) newPoints() []draft {
	to := map[track.Quantity]string{track.PointGap: "none", track.PointDrop: nearest(s.designed(track.PointDrop)),
		track.PointThickness: newTip, track.ChipDepth: "none", track.ChipLength: "none", track.FaceAngle: "75",
		track.HeelRise:      nearest(s.designed(track.HeelRise)),
		track.OpenClearance: nearest(s.designed(track.OpenClearance))}
	final := ": top of point " + to[track.PointDrop] + " in below the stock rail, closed tight, open clearance " +
		to[track.OpenClearance] + " in"
	var out []draft
	if s.stockFits("points_change") {
		a := work(s.sv.Costs, "points_change")
		a.What = "new points on the stock rails that lie there" + final
		a.Note = append(a.Note, "see that each point fits its stock rail over all of its planing; "+throwBoth)
		out = append(out, draft{}.with(a, to))
	}
	a := work(s.sv.Costs, "points_renew")
	a.What = "new points and stock rails" + final
	a.Note = append(a.Note, throwBoth)
	to = maps.Clone(to)
	to[track.StockRailWear], to[track.Undercut] = "none", "none"
	return append(out, draft{}.with(a, to))
}

// newTip is how thick a point is made at its tip.
const newTip = "1/8"

// stockFits reports whether the stock rail is known to be worn by no more than a work on the point alone allows: then a
// new point fits it, and it is the point's face that is shallow, not the stock rail's.
func (s *workshop) stockFits(name string) bool {
	wear, ok := s.as(track.StockRailWear)
	c, _ := s.sv.Costs.Of(name)
	return ok && wear <= c.StockWearMM+measure.Near
}

// groundHeight is the height of a point's face from its top down to where it is ground, mm: the project's own choice.
const groundHeight = 3.0 / 4 * measure.MMPerInch

// pointGround grinds the face of a point steeper: what comes off its top is bounded by the reach of the work, so a
// shallow face is gained back in part.
func (s *workshop) pointGround(d draft) (draft, bool) {
	cost, _ := s.sv.Costs.Of("point_grind")
	face, ok := s.as(track.FaceAngle)
	if !ok || face <= 0 || face >= cost.FaceDegrees || !s.stockFits("point_grind") {
		return d, false
	}
	off := 1/math.Tan(face*math.Pi/180) - cost.ReachMM/groundHeight
	to := math.Floor(min(cost.FaceDegrees, math.Atan2(1, off)*180/math.Pi))
	if to <= face {
		return d, false
	}
	cols := map[track.Quantity]string{track.FaceAngle: fmt.Sprintf(">=%g", to)}
	if tip, ok := s.as(track.PointThickness); ok {
		cols[track.PointThickness] = nearest(min(tip, max(measure.MMPerInch/8, tip-cost.ReachMM)))
	} else if s.read(track.PointThickness) {
		return d, false
	}
	a := work(s.sv.Costs, "point_grind")
	a.What = fmt.Sprintf("grind the point's face to %g degrees or more, at most %s in off its top", to,
		measure.Inch(cost.ReachMM))
	a.Note = append(a.Note, "try the face with a template over the first 2 ft")
	return d.with(a, cols), true
}

// tipWelded builds up a low or chipped tip and grinds it to contour, if all of it is known to be within the reach of
// the work.
func (s *workshop) tipWelded(d draft) (draft, bool) {
	cost, _ := s.sv.Costs.Of("point_weld")
	drop, ok1 := s.as(track.PointDrop)
	chip, ok2 := s.as(track.ChipDepth)
	length, ok3 := s.as(track.ChipLength)
	top := s.designed(track.PointDrop)
	most := max(drop, chip)
	if !ok1 || !ok2 || most <= top+measure.Near && !(chip > 0) || most-top > cost.ReachMM+measure.Near ||
		chip > 0 && (!ok3 || length > cost.AlongMM+measure.Near) {
		return d, false
	}
	cols := map[track.Quantity]string{track.PointDrop: nearest(min(top, drop)), track.ChipDepth: "none"}
	if s.read(track.ChipLength) {
		cols[track.ChipLength] = "none"
	}
	if s.read(track.PointThickness) {
		cols[track.PointThickness] = newTip
	}
	a := work(s.sv.Costs, "point_weld")
	a.What = "build up the tip of the point by welding and grind it to contour: top of point " +
		cols[track.PointDrop] + " in below the stock rail"
	if s.read(track.FaceAngle) && s.stockFits("point_weld") {
		cols[track.FaceAngle] = fmt.Sprintf(">=%g", cost.FaceDegrees)
		a.What += fmt.Sprintf(", face %g degrees or more", cost.FaceDegrees)
	}
	a.Note = append(a.Note, "try top and face with a template over the first 2 ft; "+throwBoth)
	return d.with(a, cols), true
}
