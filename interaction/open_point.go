package interaction

import (
	"flangeway/track"
	"flangeway/wheel"
)

func openPoint() *Check {
	return &Check{
		ID: "open-point", Meets: "a flange back at the open switch point",
		Happens:  "flange back strikes the open point",
		Severity: Critical, // a struck open point bends rods and can gap the closed one
		Drawing:  BackAtOpenPoint,
		Works:    AdjustSwitch | RenewPoints | Regauge,
		Formula:  "open_clearance - (gauge - (back_to_back + flange_thickness))", Hurts: []string{"switch"},
		Believe: "Plain geometry with the axle hard against the closed side, at the narrowest place of the open point.",
		Sources: []string{"needed clearance G - (B + t): flange-back geometry, derived",
			"no federal limit of the open clearance"},
		Reminders: []string{"213.135(e)", "213.135(f)"},
		Kinds:     []track.Kind{track.Switch},
		wheel:     func(s *wheelSum) { s.add(1, wheel.BackToBack); s.add(1, wheel.FlangeThickness) },
		place:     func(s *PlaceSum) { s.add(1, track.OpenClearance); s.add(-1, track.Gauge) },
		FixTrack:  openWider,
		FixWheel:  changeWider,
	}
}
