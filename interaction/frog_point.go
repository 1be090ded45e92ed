package interaction

import (
	"flangeway/track"
	"flangeway/wheel"
)

func frogPoint() *Check {
	return &Check{
		ID: "frog-point", Meets: "a thick flange or wide axle at a small guard check",
		Happens:  "flange reaches the frog point",
		Severity: Catastrophic, // a flange that reaches the frog point can take the wrong side of it
		Drawing:  FlangeAtFrog, Derived: greatestSpread,
		Works: GuardRail,
		Formula: "guard_check + point_relief - (back_to_back_max + flange_thickness); back_to_back where no greatest " +
			"was read", Hurts: []string{"derailment", "frog"},
		Believe: "The flange is thinner at the gauge line than 3/8 in above the tread and the point is blunt and " +
			"lowered; point_relief stands for both. Without it the flange only rubs the point. " + frogPassage +
			"In place of point_relief stands how far this flange, and at most a new one, may pass the gauge line " +
			"until the point stands at less than least_contact_angle on it, from the blunt point to where its wear " +
			"has run out.",
		Settings: []string{"point_relief"}, Passes: besidePoint, Passage: "flange face beside the point", Looks: AtFace,
		Computing: []string{"wheel_diameter", "unread_hollow", "unread_vertical", "passage_allowance",
			"wing_slope_least", "wing_slope_most", "least_contact_angle"},
		Figures: append(frogFigures(), "bearing_depth"),
		Look:    "the side of the frog's point, which is nicked where flanges reach it",
		Sources: []string{"49 CFR 213.143(a): guard check gage by class",
			"point protection GC - (B + t): guard arithmetic, same as EN 13232-9 annex C",
			"point_relief: derived from a 75 degree face and the tip to its 60 degree mark"},
		Reminders: []string{"213.133(a)"},
		Kinds:     []track.Kind{track.Frog}, NotTypes: []string{"self-guarded"},
		wheel:    func(s *wheelSum) { s.addSpread(-1); s.add(-1, wheel.FlangeThickness) },
		place:    func(s *PlaceSum) { s.add(1, track.GuardCheck); s.setting(1, "point_relief") },
		FixTrack: widenCheck,
		FixWheel: func(x Fix) []string { return narrowAxle(x, 1) }, Repairing: turnedSettings(),
		Notes: func(x Fix) []string {
			bare := x.Margin.As - x.Rules.Value("point_relief")
			if x.Margin.NoAs || x.Margin.Verdict == NotMeasured || x.Margin.Verdict == Conflict || bare >= -near {
				return nil
			}
			return []string{"rubs the point: without point_relief the margin is " + Inches(bare)}
		},
	}
}
