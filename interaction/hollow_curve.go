package interaction

import (
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func hollowCurve() *Check {
	return &Check{
		ID: "hollow-curve", Passes: InTruck, Meets: "a hollow tread in a sharp curve",
		Happens:  "hollow wheel does not steer the curve",
		Severity: Critical, // the truck does not steer and the rail rolls or the wheel climbs
		Drawing:  TreadOnRail, Derived: allowedHollow,
		Works:   WheelAlone,
		Formula: "allowed hollow - tread_hollow; allowed 4 mm to 4 degrees, 3 mm to 8, 2 mm above",
		Hurts:   []string{"derailment", "rail"}, Metric: true, Reserve: "reserve_hollow",
		Believe: "The formula is a rule of thumb of this project; it knows neither truck, load, friction nor the " +
			"mate. Without --plain the verdict is computed instead: each truck runs through the curve with its four " +
			"wheels as they are worn, either end leading, either side on the high rail, on dry rail. A truck on " +
			"hollow wheels can stand in several steady states; each limit is judged in the state that is worst for " +
			"it. Published limits: L/V of a wheel by Nadal at the friction of the place, 0.6 for a truck side and " +
			"more than 10 percent of its load on every wheel (49 CFR 238 appendix C); clear and conflict keep, or " +
			"fail by, model_allowance. A truck is held against new wheels on the same curve too: undecided where a " +
			"rail held by nothing would turn over under it, and under them would not or would by less, by more than " +
			"model_allowance (good fastenings are taken to hold so much); that alone is no conflict. Less room than " +
			"model_allowance, or more than fastening_hold less than new wheels have, is clear and close. The bearing " +
			"under gauge spread counts for hollow trucks and is a conflict by a gauge that was read alone. At each " +
			"point every level of hollow up to the one read is tried, all wheels of the truck less alike, in steps " +
			"of 1/2 mm, and the worst counts, so that more hollow on all wheels is never better. Readings count as " +
			"written and at both ends, what was not read over what it can be; against rollover, which rests on " +
			"assumed fastenings, as written (a range or a bound at its ends), and what they may err makes a clear " +
			"truck close. A cant that was not read is tried as 1 in 40, 1 in 20 and upright. Hollow is rounded to " +
			"1/2 mm and flange thickness to 1/8 in, the ends of their intervals outward; flangeway curve computes " +
			"with them as written. A truck of three axles has a rigid frame, its middle axle free sideways by " +
			"middle_axle_clearance; without weight and truck_wheelbase in cars.csv it is not computed, and nothing " +
			"is clear. Wheels whose turned lies within freshly_turned days are tried at rough_friction besides, as " +
			"written: a clear truck that is not so there is clear and close; a freshly ground rail is as rough and " +
			"has no column. A guard rail (guard_rail yes) takes the climb of the lead high wheel away, and the " +
			"finding says what comes on it. Nadal's angle is that of the steepest face that wheel and rail both " +
			"have. On a flange that attacks at less than 5 mrad the law of creep stands 0.14 to 0.2 of friction over " +
			"an integration in strips. Mates are taken to have been mounted with equal flange tips: a diameter that " +
			"was not read, or by a bound alone, is less than its mate's by twice what its tread has lost more (by " +
			"the heights, else by the hollows), tried up to two tape sizes off that, and on to equal diameters, and " +
			"one read farther off is taken as so far off; a weight is tried as car_weight and as an empty car, and a " +
			"loaded gauge up to an inch over the widest gauge of the class. Where something has no figure of its " +
			"own, because it was not read or is a range or one-sided, a clear truck has untried_allowance to spare " +
			"besides, and untried_allowance_more for each further cell (a back-to-back counts as three, a flange " +
			"thickness as two), for what lies between the values that are tried. So a loaded gauge read wider can " +
			"leave open what is clear where it was not read: that is a fault of its own. A worn rail is tried as it " +
			"was new too, so that more wear of it is no better. What cannot be computed for the readings it has is " +
			"never clear, nor is a wheel of deepest_hollow or more. Twist by warp that was read and a load to one " +
			"side that was read take from the load of the lightest wheel, and L/V is taken against what is left; " +
			"more L by what stands on the wheels across is not in it (flangeway curve solves for that). A warp that " +
			"was read can leave open what is clear where it was not: that is a fault of its own, and " +
			"wheel-unloading's. No published figures of a three-piece truck by degree of curve were found to hold it " +
			"against.",
		Computing: curveSettings(),
		Look: "the curve: a band at the gauge corner, a rail that stands canted, plates that have moved, spikes " +
			"lifted under the low rail",
		Sources: []string{"project's own rule", "computed: Nadal 1908; truck side 0.6 and least wheel load 10 " +
			"percent, 49 CFR 238 appendix C; rollover (b/2 + e)/h, plain geometry; the model stands in the " +
			"documentation of package curving", "rolling radius needed by a curve: geometry; a hollow of 4 mm " +
			"cancels that of about a 10 degree curve (36 in wheel)"},
		Reminders: []string{"213.55(a)", "213.59", "213.63(a)-profile", "213.63(a)-note2"},
		Kinds:     []track.Kind{track.Curve},
		wheel:     func(s *wheelSum) { s.add(-1, wheel.TreadHollow) },
		place: func(s *PlaceSum) {
			d := s.F.Read(track.Degree)
			if !d.Measured() {
				s.Missing |= TrackMask(track.Degree)
				return
			}
			s.enter(TrackBit+uint(track.Degree), s.of(track.Degree))
			s.constant(hollowAllowed(d.As))
		},
		FixTrack: func(Fix) []string {
			return []string{"regauge a wide curve and grease the high rail; the curve itself stays"}
		},
		FixWheel: turnHollow,
		Notes:    mateOfHollow,
	}
}

// hollowAllowed is the hollow in mm that the plain rule allows in a curve of d degrees.
func hollowAllowed(d float64) float64 {
	switch {
	case d <= 4+near:
		return 4
	case d <= 8+near:
		return 3
	}
	return 2
}

// mateOfHollow puts the mate's thin flange into the same finding: a false flange
// holds the mate's flange against its rail (Army TR0655).
func mateOfHollow(x Fix) []string {
	m := x.Wheel.Mate()
	if m == nil || x.Margin.Verdict == Clear || x.Margin.Verdict == NotMeasured {
		return nil
	}
	if t := m.Read(wheel.FlangeThickness); t.Measured() && t.Hi < 1.0*measure.MMPerInch {
		return []string{"the mate " + m.Position.String() + " has a thin flange (" + t.Written +
			"): often one cause, the false flange holds the mate to its rail"}
	}
	return nil
}

// curveSettings are the settings that enter a truck's run through a curve.
func curveSettings() []string {
	return []string{"model_allowance", "dry_friction", "damp_friction", "greased_friction", "fastening_hold",
		"deepest_hollow", "gravity_height", "gravity_height_empty", "reference_weight",
		"car_weight", "truck_wheelbase", "middle_axle_clearance", "wheel_diameter",
		"rim_width", "unread_thickness", "unread_back_to_back", "unread_rim_width", "unread_rail_wear", "empty_weight",
		"unread_face_angle_least", "unread_face_angle_most", "untried_allowance",
		"untried_allowance_more", "freshly_turned", "rough_friction", "sharp_curve",
		"turning_moment", "warp_stiffness", "warp_stiffness_worn", "least_bearing", "loaded_gauge_allowance"}
}
