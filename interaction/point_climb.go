package interaction

import (
	"math"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// ShortChip is the chip length under which a chip is left out, mm.
const ShortChip = 2 * measure.MMPerInch

func pointClimb() *Check {
	return &Check{
		ID: "point-climb", Meets: "a flange tip on a low or chipped switch point",
		Happens:  "flange climbs the switch point",
		Severity: Catastrophic, // the wheel climbs the point
		Drawing:  TipOnPoint, Derived: drawnPoint,
		Works: RenewPoints | MendTip, Sampled: true,
		Formula: "contact angle - least_contact_angle, in degrees; s = flange_height - max(point_drop, chip_depth), " +
			"angle = acos(1 - s/r) on the flange tip of radius r, at most the flange angle; the lesser of that and " +
			"face_angle where read. A chip surely under 2 in long is left out", Hurts: []string{"derailment"},
		Degrees: true, Reserve: "reserve_deg",
		Believe: "A round flange tip on a flat point top. A high flange helps here, while it hurts at frogs. It does " +
			"not know friction or speed. A facing point is met at its own angle, 30 mrad at 16 ft 6 in and 45 at " +
			"11 ft (US Army TI 850-02, eq. 6-12), where friction is spent across the track. " + pointPassage +
			"The least angle is then never under twice the arctangent of dry_friction (53 degrees at 0.5, 62 at " +
			"0.6), below which a flange climbs whatever the truck adds, both wheels loaded alike (from Nadal's " +
			"limit). The margin is the least angle at which the flange, in its own shape, meets the point at a " +
			"station where the point stands out into it.",
		Settings: []string{"least_contact_angle", "flange_tip_radius", "flange_angle"}, Passes: OnPoint,
		Passage: "contact angle on the point", Looks: AtTip,
		Computing: []string{"wheel_diameter", "dry_friction", "passage_allowance_deg"}, Figures: pointFigures(),
		Look: "the switch point, which is bright on its top or nicked where flanges climb it",
		Sources: []string{"TRB Safety IDEA projects 23 and 28: contact below the 60 degree mark of the flange is " +
			"unsafe", "ARTC form ETE0301F-05: blade damage deeper than 19 mm below the running surface (the same " +
			"figure for a flange 1 in high with a tip radius of 1/2 in)", "angle on the tip arc: derived"},
		Reminders: []string{"213.135(b)", "213.135(h)", "213.113", "215.103(d)-(i)", "229.75-other"},
		Kinds:     []track.Kind{track.Switch}, NoTrailing: true,
		wheel: func(s *wheelSum) { s.add(1, wheel.FlangeHeight) },
		place: pointTop,
		Join:  climbMargin,
		FixTrack: func(x Fix) []string {
			return []string{"build up or change the points: top of point no lower than " + pointTopFor(x) +
				" below the stock rail, faces at the flange angle"}
		},
		FixWheel: func(Fix) []string {
			return []string{"none that is safe alone: a lower flange climbs sooner; hold the car off facing moves here"}
		},
		Notes: func(x Fix) []string {
			if !x.Feature.Read(track.FaceAngle).Measured() {
				return []string{"by tip height only: face_angle was not read"}
			}
			return nil
		},
	}
}

// pointTopFor is the depth of the point top at which this wheel meets it at the least contact angle.
func pointTopFor(x Fix) string {
	r := x.Rules.Value("flange_tip_radius")
	need := r * (1 - math.Cos(x.Rules.Value("least_contact_angle")*math.Pi/180))
	d := x.Wheel.Read(wheel.FlangeHeight).Lo - need
	if d <= 0 {
		return "0 in"
	}
	return measure.DownToSixteenth(d) + " in"
}

// pointTop is how far the top of the point lies below the top of the stock rail (lo, hi, as); width and widest as in
// every part. The face angle is not part of it, because the lesser of two angles is no sum.
func pointTop(s *PlaceSum) {
	drop, chip := s.F.Read(track.PointDrop), s.F.Read(track.ChipDepth)
	length := s.F.Read(track.ChipLength)
	noChip := length.Measured() && length.Hi < ShortChip-near
	if noChip && chip.Measured() {
		s.enter(TrackBit+uint(track.ChipLength), s.of(track.ChipLength))
	}
	both := !noChip && drop.Measured() && chip.Measured()
	enter := func(q track.Quantity, r, other measure.Reading) {
		s.enter(TrackBit+uint(q), s.of(q))
		if !both {
			other = measure.Reading{Lo: math.Inf(-1), Hi: math.Inf(-1)}
		}
		// Known, it moves the ends of the deeper no farther than to the other's.
		s.opens(TrackBit+uint(q), math.Max(r.Hi, other.Lo)-math.Max(r.Lo, other.Lo),
			math.Max(r.Hi, other.Hi)-math.Max(r.Lo, other.Hi))
		s.blurred = s.blurred || r.OneSided()
	}
	switch {
	case noChip && drop.Measured():
		enter(track.PointDrop, drop, chip)
		s.Lo, s.Hi, s.as = drop.Lo, drop.Hi, drop.As
	case noChip:
		s.Missing |= TrackMask(track.PointDrop)
	case both:
		enter(track.PointDrop, drop, chip)
		enter(track.ChipDepth, chip, drop)
		s.Lo, s.Hi, s.as = math.Max(drop.Lo, chip.Lo), math.Max(drop.Hi, chip.Hi), math.Max(drop.As, chip.As)
	case drop.Measured():
		enter(track.PointDrop, drop, chip)
		s.Lo, s.low = drop.Lo, true
		s.Vague |= TrackMask(track.ChipDepth)
	case chip.Measured():
		enter(track.ChipDepth, chip, drop)
		s.Lo, s.low = chip.Lo, true
		s.Vague |= TrackMask(track.PointDrop)
	default:
		s.Missing |= TrackMask(track.PointDrop) | TrackMask(track.ChipDepth)
	}
	s.face = faceAngle{lo: 90, hi: 90, as: 90} // steeper than any flange: no matter
	if r := s.F.Read(track.FaceAngle); r.Measured() {
		s.enter(TrackBit+uint(track.FaceAngle), s.of(track.FaceAngle))
		s.face = faceAngle{lo: r.Lo, hi: r.Hi, as: r.As, blurred: r.OneSided()}
	}
	s.note("least_contact_angle")
	s.note("flange_tip_radius")
	s.note("flange_angle")
}

// ContactAngle is the angle in degrees at which a flange tip of radius r (mm) meets a point top that lies s (mm) above
// the tip: acos(1 - s/r) for 0 <= s <= r(1 - cos d0), the flange angle d0 above, 0 for s < 0 (the flange passes over
// the point). r must be positive and d0 from 0 to 90 degrees, which the bounds of the settings see to.
func ContactAngle(s, r, d0 float64) float64 {
	switch {
	case s <= 0:
		return 0
	case s >= r*(1-math.Cos(d0*math.Pi/180)):
		return d0
	}
	return math.Acos(1-s/r) * 180 / math.Pi
}

// climbMargin is the margin in degrees.
func climbMargin(r *Rules, w, p *Part) Margin {
	radius, d0, least := r.Value("flange_tip_radius"), r.Value("flange_angle"), r.Value("least_contact_angle")
	if missing := w.Missing | p.Missing; missing != 0 {
		return Margin{Verdict: NotMeasured, Settle: missing | p.Vague}
	}
	m := Margin{
		Hi:   math.Min(ContactAngle(w.Hi-p.Lo, radius, d0), p.face.hi) - least,
		Lo:   math.Min(ContactAngle(w.Lo-p.Hi, radius, d0), p.face.lo) - least,
		As:   math.Min(ContactAngle(w.as-p.as, radius, d0), p.face.as) - least,
		NoAs: w.blurred || p.blurred || p.face.blurred,
	}
	if p.low { // one of the two depths is missing: the other can only prove a conflict
		if m.Hi < -near {
			return Margin{Verdict: Conflict, Hi: m.Hi, NoLo: true, NoAs: true}
		}
		return Margin{Verdict: NotMeasured, Settle: p.Vague}
	}
	m.Verdict = VerdictOf(m.Lo, m.Hi)
	if m.Verdict == Undecided {
		m.Settle, m.Together = climbSettling(w, p, func(height, top, face float64) bool {
			return math.Min(ContactAngle(height-top, radius, d0), face)-least >= -near
		})
	}
	return m
}

// drawnPoint adds the lower of the two tops of the point, and the contact angle.
func drawnPoint(d Drawn) {
	drop, hasDrop := d.Read["point_drop"]
	chip, hasChip := d.Read["chip_depth"]
	top := drop
	if !hasDrop || hasChip && chip.MM > drop.MM {
		top = chip
		top.Text = "chip " + chip.Text
		if hasDrop {
			top.Text += ", else " + drop.Text
		}
	} else if hasChip {
		top.Text += ", chip " + chip.Text
	}
	if hasDrop || hasChip {
		d.Read["point_top"] = top
	}
	least, ok := d.Read["least_contact_angle"]
	switch {
	case !ok || d.Hi == nil:
	case d.As != nil:
		angle := *d.As + least.MM
		d.Read["contact_angle"] = Dimension{MM: angle, Text: tenths(angle) + " deg"}
	default:
		angle := *d.Hi + least.MM
		d.Read["contact_angle"] = Dimension{MM: angle, Text: "<=" + tenths(angle) + " deg"}
	}
}

// climbSettling names the readings that would decide a margin, of flange height, the top of the point and its face, if
// the others stay as they are: each that does it alone, the widest of the lengths, else those that do it together.
// holds says that a flange so high does not climb a point of this top and face.
func climbSettling(w, p *Part, holds func(height, top, face float64) bool) (Mask, bool) {
	type ends struct{ height, top, face [2]float64 }
	decide := func(set []opening) bool {
		best, worst := ends{}, ends{} // the readings of the set at their best, and at their worst
		for _, e := range []*ends{&best, &worst} {
			*e = ends{[2]float64{w.Lo, w.Hi}, [2]float64{p.Lo, p.Hi}, [2]float64{p.face.lo, p.face.hi}}
		}
		for _, o := range set {
			switch {
			case o.bits == TrackMask(track.FaceAngle):
				best.face[0], worst.face[1] = p.face.hi, p.face.lo
			case o.bits&(1<<TrackBit-1) != 0:
				best.height[0], worst.height[1] = w.Hi, w.Lo
			default:
				best.top[1], worst.top[0] = best.top[1]-o.down, worst.top[0]+o.up
			}
		}
		return holds(best.height[0], best.top[1], best.face[0]) ||
			!holds(worst.height[1], worst.top[0], worst.face[1])
	}
	list := openings(w, p)
	if p.face.hi > p.face.lo {
		list = append(list, opening{bits: TrackMask(track.FaceAngle)})
	}
	var alone Mask
	widest := 0.0
	for _, o := range list {
		if face := o.bits == TrackMask(track.FaceAngle); decide([]opening{o}) && (face || o.wide() >= widest-near) {
			alone, widest = alone|o.bits, math.Max(widest, o.wide())
		}
	}
	if alone != 0 {
		return alone, false
	}
	var all Mask
	for i := range list {
		all |= list[i].bits
		if decide(list[:i+1]) {
			break
		}
	}
	return all, true
}
