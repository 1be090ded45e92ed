package interaction

import (
	"flangeway/track"
	"flangeway/wheel"
)

func frogWing() *Check {
	return &Check{
		ID: "frog-wing", Meets: "a hollow wheel on the frog's wing",
		Happens:  "false flange climbs the wing and drops at the point",
		Severity: Marginal, // the false flange batters wing and point
		Drawing:  TreadOnWing, Derived: allowedHollow,
		Works:   WheelAlone,
		Formula: "wing_hollow - tread_hollow; spring_wing_hollow at a spring frog", Hurts: []string{"frog"},
		Metric: true, Reserve: "reserve_hollow",
		Believe: "A rule of thumb of this project: it knows the hollow and not the wing's wear. " + frogPassage +
			"The margin is how much less the wing lifts this wheel than one of the allowed hollow on tops that " +
			"conform to a tread.",
		Settings: []string{"wing_hollow", "spring_wing_hollow"}, Passes: OnWing, Passage: "climb of the false flange",
		Looks: AtTread, Computing: []string{"wheel_diameter", "unread_hollow", "passage_allowance", "wing_slope_least",
			"wing_slope_most", "car_weight"}, Figures: append(frogFigures(), "bearing_depth"),
		Look: "the frog's wing, which is climbed where a bright band runs off the tread's, and the form of its " +
			"top under a straight edge",
		Sources: []string{"49 CFR 213.139(a): tread edge must not touch the gage side of a spring wing rail (no " +
			"figure)", "wing_hollow: project's own rule"},
		Reminders: []string{"213.139"},
		Kinds:     []track.Kind{track.Frog},
		wheel:     func(s *wheelSum) { s.add(-1, wheel.TreadHollow) },
		place: func(s *PlaceSum) {
			if s.F.Type == "spring" {
				s.setting(1, "spring_wing_hollow")
				return
			}
			s.setting(1, "wing_hollow")
		},
		FixTrack: func(Fix) []string { return []string{"none on the track side but riser work at the wing"} },
		FixWheel: turnHollow,
	}
}
