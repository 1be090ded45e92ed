package interaction

import (
	"flangeway/track"
	"flangeway/wheel"
)

func frogFloor() *Check {
	return &Check{
		ID: "frog-floor", Meets: "a high flange over a shallow frog", Happens: "flange strikes the frog floor",
		Severity: Marginal, // the flange strikes the floor, frog and wheel break before a car leaves the rail
		Drawing:  TipOverFloor,
		Works:    Depth,
		Formula:  "flangeway_depth - flange_height", Hurts: []string{"frog", "wheel"},
		Believe: "Plain geometry at the places where the depth was read. A coned tread on a wing without risers " +
			"sinks up to about 1/16 in more than this; a hollow one rides higher. Speed and force are not in it. " +
			frogPassage +
			"The tread's height in the frog is added to the margin, over three positions across within the play, the " +
			"nearest to the point 3 mm off the gauge line.",
		Passes: OverFloor, Passage: "flange tip over the floor", Looks: AtTread,
		Computing: []string{"wheel_diameter", "unread_hollow", "passage_allowance", "wing_slope_least",
			"wing_slope_most", "car_weight"}, Figures: frogFigures(),
		Look: "the frog's floor and the flange tips, which are bright where they meet",
		Sources: []string{"49 CFR 213.137(a): flangeway depth 1-3/8 in (class 1), 1-1/2 in (classes 2-5)",
			"49 CFR 215.103(b) and 229.75(h): flange height 1-1/2 in (both from memory)",
			"49 CFR 230.113(i): flange height of steam locomotives 1 to 1-1/2 in",
			"clearance as a difference of the two readings: derived"},
		Reminders: []string{"213.133(a)"},
		Kinds:     []track.Kind{track.Frog}, NotTypes: []string{"flange-bearing"},
		wheel:    func(s *wheelSum) { s.add(-1, wheel.FlangeHeight) },
		place:    func(s *PlaceSum) { s.add(1, track.FlangewayDepth) },
		FixTrack: deepen,
		FixWheel: turnHeight,
	}
}
