package interaction

import (
	"fmt"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func gaugeKinds() []track.Kind {
	return []track.Kind{track.Curve, track.Spot, track.Switch, track.Frog}
}

func wideGauge() *Check {
	return &Check{
		ID: "wide-gauge", Meets: "a thin flange, a narrow axle and wide gauge under load", Happens: "wheel drops in between the rails",
		Formula: "back_to_back + flange_thickness + rim_width of the mate - loaded_gauge - least_bearing; without loaded_gauge: gauge + loaded_gauge_allowance by holding", Hurts: []string{"derailment"},
		Believe:  "Plain geometry with the axle hard against one rail. What gauge opens under load is a reading or an allowance; rail roll and worn rim edges are only in least_bearing.",
		Settings: []string{"least_bearing", "loaded_gauge_allowance", "loaded_gauge_allowance_good", "loaded_gauge_allowance_poor", "rim_width"},
		Sources:  []string{"49 CFR 213.53(b): gage by class", "drop-in gauge B + t + W: plain geometry", "49 CFR 213.110, note 2: up to 1/4 in from rail roll on sound track", "least_bearing: assumed"},
		Kinds:    gaugeKinds(),
		wheel: func(s *wheelSum) {
			s.add(1, wheel.BackToBack)
			s.add(1, wheel.FlangeThickness)
			s.addMateRim()
			s.setting(-1, "least_bearing")
		},
		place: loadedGauge,
		fixTrack: func(x fix) []string {
			return []string{fmt.Sprintf("regauge, or renew ties and fastenings: %s in less than now", sixteenthsUp(x.by))}
		},
		fixWheel: func(x fix) []string {
			return []string{fmt.Sprintf("change the wheelset: back-to-back and flange together %s in more", sixteenthsUp(x.by))}
		},
		notes: effectiveGauge,
	}
}

// loadedGauge is the gauge under load: read, or the static gauge with the
// allowance for what the ties hold.
func loadedGauge(s *placeSum) {
	if s.f.Read(track.LoadedGauge).Measured() {
		s.add(-1, track.LoadedGauge)
		return
	}
	if !s.f.Read(track.Gauge).Measured() {
		s.missing |= trackMask(track.Gauge) | trackMask(track.LoadedGauge)
		return
	}
	s.add(-1, track.Gauge)
	s.setting(-1, allowanceFor(s.f.Holding))
}

func allowanceFor(holding string) string {
	switch holding {
	case "good", "poor":
		return "loaded_gauge_allowance_" + holding
	}
	return "loaded_gauge_allowance"
}

// effectiveGauge prints gauge plus what both flanges have lost.
func effectiveGauge(x fix) []string {
	g, t := x.f.Read(track.Gauge), x.w.Read(wheel.FlangeThickness)
	mate := x.w.Mate()
	if mate == nil || !g.Measured() || g.OneSided() || !t.Measured() || t.OneSided() {
		return nil
	}
	tm := mate.Read(wheel.FlangeThickness)
	if !tm.Measured() || tm.OneSided() {
		return nil
	}
	lost, from := 0.0, ""
	for _, w := range []*wheel.Wheel{x.w, mate} {
		d, ok := x.rules.data.Design(w.Design)
		if !ok {
			if len(x.rules.data.Designs) == 0 {
				return nil
			}
			d = x.rules.data.Designs[0]
			from = " (a new flange taken as " + measure.Inch(d.FlangeThickness) + ", from memory)"
		}
		if l := d.FlangeThickness - w.Read(wheel.FlangeThickness).As; l > 0 {
			lost += l
		}
	}
	return []string{fmt.Sprintf("effective gauge %s in: gauge %s and %s lost by both flanges%s", measure.NearestInch(g.As+lost, 16), measure.NearestInch(g.As, 16), measure.NearestInch(lost, 16), from)}
}

func tightGauge() *Check {
	return &Check{
		ID: "tight-gauge", Meets: "an axle with both flanges in tight gauge", Happens: "axle is too wide for the gauge",
		Formula: "gauge - (back_to_back_max + flange_thickness + flange_thickness of the mate); back_to_back where no greatest was read", Hurts: []string{"derailment"}, Axle: true,
		Believe: "Plain geometry; the flange is thinner at the gauge line than 3/8 in above the tread, so a small conflict may only rub.",
		Sources: []string{"49 CFR 213.53(b): least gage 56 in", "free play G - (B + 2t): guard arithmetic"},
		Kinds:   gaugeKinds(),
		wheel: func(s *wheelSum) {
			s.addSpread(-1)
			s.add(-1, wheel.FlangeThickness)
			s.addMate(-1)
		},
		place: func(s *placeSum) { s.add(1, track.Gauge) },
		fixTrack: func(x fix) []string {
			return []string{fmt.Sprintf("regauge to %s in or more", sixteenthsUp(x.f.Read(track.Gauge).As+x.by))}
		},
		fixWheel: func(x fix) []string {
			return []string{fmt.Sprintf("change the wheelset, or turn its flanges: %s in less over both flanges", sixteenthsUp(x.by))}
		},
	}
}

func openPoint() *Check {
	return &Check{
		ID: "open-point", Meets: "a flange back at the open switch point", Happens: "flange back strikes the open point",
		Formula: "open_clearance - (gauge - (back_to_back + flange_thickness))", Hurts: []string{"switch"},
		Believe: "Plain geometry with the axle hard against the closed side, at the narrowest place of the open point.",
		Sources: []string{"needed clearance G - (B + t): flange-back geometry, derived", "no federal limit of the open clearance"},
		Kinds:   []track.Kind{track.Switch},
		wheel:   func(s *wheelSum) { s.add(1, wheel.BackToBack); s.add(1, wheel.FlangeThickness) },
		place:   func(s *placeSum) { s.add(1, track.OpenClearance); s.add(-1, track.Gauge) },
		fixTrack: func(x fix) []string {
			return []string{fmt.Sprintf("adjust the throw to an open clearance of %s in or more, or regauge", sixteenthsUp(x.f.Read(track.OpenClearance).As+x.by))}
		},
		fixWheel: func(x fix) []string {
			return []string{fmt.Sprintf("change the wheelset: back-to-back and flange together %s in more", sixteenthsUp(x.by))}
		},
	}
}

func outerTread() *Check {
	return &Check{
		ID: "outer-tread", Meets: "a false flange over the stock rail at the heel", Happens: "false flange strikes the stock rail",
		Formula: "heel_rise + ride_over - tread_hollow", Hurts: []string{"switch"}, Metric: true,
		Believe:  "A rule of thumb: the riser lifts the tread, ride_over is what a false flange climbs without harm.",
		Settings: []string{"ride_over"},
		Sources:  []string{"49 CFR 213.135(c): outer edge of tread must not touch the gage side of the stock rail (no figure)", "point rail rise for hollow treads: older AREA glossary", "ride_over: project's own rule"},
		Kinds:    []track.Kind{track.Switch},
		wheel:    func(s *wheelSum) { s.add(-1, wheel.TreadHollow) },
		place:    func(s *placeSum) { s.add(1, track.HeelRise); s.setting(1, "ride_over") },
		fixTrack: func(x fix) []string {
			return []string{fmt.Sprintf("renew the risers to a heel rise of %s in or more", sixteenthsUp(x.f.Read(track.HeelRise).As+x.by))}
		},
		fixWheel: turnHollow,
	}
}
