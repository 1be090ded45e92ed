package interaction

import (
	"flangeway/track"
	"flangeway/wheel"
)

func outerTread() *Check {
	return &Check{
		ID: "outer-tread", Meets: "a false flange over the stock rail at the heel",
		Happens:  "false flange strikes the stock rail",
		Severity: Critical, // the false flange rolls the stock rail or lifts the point
		Drawing:  TreadOverStock,
		Works:    Risers | RenewPoints,
		Formula:  "heel_rise + ride_over - tread_hollow", Hurts: []string{"switch"}, Metric: true,
		Reserve: "reserve_hollow",
		Believe: "A rule of thumb: the riser lifts the tread, ride_over is what a false flange climbs without harm. " +
			pointPassage +
			"The margin is by how much the point holds the outer tread clear of the stock rail, where it has its " +
			"whole rise, and ride_over.",
		Settings: []string{"ride_over"}, Passes: OverStockRail, Passage: "outer tread over the stock rail",
		Looks: AtTread, Computing: []string{"wheel_diameter", "unread_hollow", "passage_allowance"},
		Figures: pointFigures(),
		Look:    "the field side of the stock rail behind the heel, which is bright where false flanges run on it",
		Sources: []string{"49 CFR 213.135(c): outer edge of tread must not touch the gage side of the stock rail " +
			"(no figure)", "point rail rise for hollow treads: older AREA glossary", "ride_over: project's own rule"},
		Reminders: []string{"213.135(c)"},
		Kinds:     []track.Kind{track.Switch},
		wheel:     func(s *wheelSum) { s.add(-1, wheel.TreadHollow) },
		place:     func(s *PlaceSum) { s.add(1, track.HeelRise); s.setting(1, "ride_over") },
		FixTrack:  raiseHeel,
		FixWheel:  turnHollow,
	}
}
