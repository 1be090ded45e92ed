package interaction

import (
	"flangeway/track"
	"flangeway/wheel"
)

func tightGauge() *Check {
	return &Check{
		ID: "tight-gauge", Meets: "an axle with both flanges in tight gauge", Happens: "axle is too wide for the gauge",
		Severity: Critical, // the axle climbs or spreads the rails
		Drawing:  AxleInTight, Derived: greatestSpread,
		Works: Regauge,
		Formula: "gauge - (back_to_back_max + flange_thickness + flange_thickness of the mate); back_to_back where " +
			"no greatest was read", Hurts: []string{"derailment"}, Axle: true,
		Believe: "Plain geometry; the flange is thinner at the gauge line than 3/8 in above the tread, so a small " +
			"conflict may only rub.",
		Sources: []string{"49 CFR 213.53(b): least gage 56 in", "free play G - (B + 2t): guard arithmetic"},
		Kinds:   gaugeKinds(),
		wheel: func(s *wheelSum) {
			s.addSpread(-1)
			s.add(-1, wheel.FlangeThickness)
			s.addMate(-1)
		},
		place:    func(s *PlaceSum) { s.add(1, track.Gauge) },
		FixTrack: widenGauge,
		FixWheel: func(x Fix) []string { return narrowAxle(x, 2) }, Repairing: turnedSettings(),
	}
}
