package interaction

import (
	"fmt"
	"math"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// StandardGauge in mm: 4 ft 8-1/2 in.
const StandardGauge = 56.5 * measure.MMPerInch

// gaugeKinds are the features at which gauge is read.
func gaugeKinds() []track.Kind {
	return []track.Kind{track.Curve, track.Spot, track.Switch, track.Frog}
}

func wideGauge() *Check {
	return &Check{
		ID: "wide-gauge", Meets: "a thin flange, a narrow axle and wide gauge under load",
		Happens:  "wheel drops in between the rails",
		Severity: Catastrophic, // the wheel drops in
		Drawing:  AxleInWide, Derived: drawnGauge,
		Works: Regauge,
		Formula: "back_to_back + flange_thickness + rim_width of the mate - loaded_gauge - least_bearing; gauge " +
			"where it is the greater; without loaded_gauge: gauge to gauge + loaded_gauge_allowance by holding",
		Hurts:   []string{"derailment"},
		Reserve: "reserve_bearing",
		Believe: "Plain geometry with the axle hard against one rail. What gauge opens under load is a reading, or " +
			"anything from none to an allowance, which alone makes no conflict; rail roll and worn rim edges are " +
			"only in least_bearing.",
		Settings: []string{"least_bearing", "loaded_gauge_allowance", "loaded_gauge_allowance_good",
			"loaded_gauge_allowance_poor", "rim_width"},
		Sources: []string{"49 CFR 213.53(b): gage by class", "drop-in gauge B + t + W: plain geometry",
			"49 CFR 213.110, note 2: up to 1/4 in from rail roll on sound track", "least_bearing: assumed"},
		Reminders: []string{"213.127", "213.109", "213.110", "213.135(i)"},
		Kinds:     gaugeKinds(),
		wheel: func(s *wheelSum) {
			reach(s)
			s.setting(-1, "least_bearing")
		},
		place: loadedGauge,
		FixTrack: func(x Fix) []string {
			most := widest(x.Feature, x.Rules) - x.By
			if most < StandardGauge-near {
				return []string{"none on the track side alone: it would take a gauge under load of " +
					measure.DownToSixteenth(most) + " in or less"}
			}
			return []string{fmt.Sprintf("regauge, or renew ties and fastenings, to a gauge under load of %s in or less",
				measure.DownToSixteenth(most))}
		},
		FixWheel: changeWider,
		Notes:    func(x Fix) []string { return append(treadLeft(x), effectiveGauge(x)...) },
	}
}

// reach is how far an axle reaches from the gauge face of one rail, its flange hard against
// it, to the field side of the other wheel.
func reach(s *wheelSum) {
	s.add(1, wheel.BackToBack)
	s.add(1, wheel.FlangeThickness)
	s.addMateRim()
}

// treadLeft prints how much of the far wheel's tread is left on its rail with the flange
// hard against the other, by the readings as written: on the gauge as it lies, and under
// the load that was read, or by how much less an allowance makes it.
func treadLeft(x Fix) []string {
	s := &wheelSum{sum: sum{rules: x.Rules}, w: x.Wheel}
	reach(s)
	g, load := x.Feature.Read(track.Gauge), x.Feature.Read(track.LoadedGauge)
	point := func(r measure.Reading) bool { return r.Measured() && !r.OneSided() }
	if s.Missing != 0 || s.blurred || !point(g) {
		return nil
	}
	lies := s.as - g.As
	text := fmt.Sprintf("tread left on the rail: %.2f in as it lies, ", lies/measure.MMPerInch)
	switch {
	case point(load):
		text += fmt.Sprintf("%.2f in under load", (s.as-max(load.As, g.As))/measure.MMPerInch)
	case load.Measured():
		text += "as much or less under load, which was read to one side alone"
	default:
		text += fmt.Sprintf("down to %.2f in under load by the allowance; no load was put on",
			(lies-x.Rules.Value(AllowanceSetting(x.Feature.Holding)))/measure.MMPerInch)
	}
	return []string{text}
}

// loadedGauge is the gauge under load: as read, or the gauge as it lies if that is the greater, because no load narrows
// the track; if no load was put on, the gauge as it lies and anything up to the allowance for what the ties hold.
func loadedGauge(s *PlaceSum) {
	gauge, loaded := s.of(track.Gauge), s.of(track.LoadedGauge)
	switch {
	case gauge.Reading.Measured() && loaded.Reading.Measured():
		s.addGreater(-1, TrackBit+uint(track.LoadedGauge), TrackBit+uint(track.Gauge), loaded, gauge)
	case loaded.Reading.Measured():
		s.add(-1, track.LoadedGauge)
	case gauge.Reading.Measured():
		s.add(-1, track.Gauge)
		name := AllowanceSetting(s.F.Holding)
		allowance := s.rules.Value(name)
		s.Lo, s.as = s.Lo-allowance, s.as-allowance
		s.note(name)
		// It may have opened by no more than nothing, or by any width.
		s.Vague, s.vague.up, s.vague.down = s.Vague|TrackMask(track.LoadedGauge), allowance, math.Inf(1)
	default:
		s.Missing |= TrackMask(track.Gauge) | TrackMask(track.LoadedGauge)
	}
}

// widest is the gauge under load as written; if none was read, the most that it may be.
func widest(f *track.Feature, r *Rules) float64 {
	gauge, loaded := f.Read(track.Gauge), f.Read(track.LoadedGauge)
	switch {
	case !loaded.Measured():
		return gauge.As + r.Value(AllowanceSetting(f.Holding))
	case !gauge.Measured():
		return loaded.As
	}
	return math.Max(gauge.As, loaded.As)
}

// AllowanceSetting is the name of the setting of what gauge opens under load on ties that
// hold so (good, fair, poor; blank is fair).
func AllowanceSetting(holding string) string {
	switch holding {
	case "good", "poor":
		return "loaded_gauge_allowance_" + holding
	}
	return "loaded_gauge_allowance"
}

// effectiveGauge prints gauge plus what both flanges have lost.
func effectiveGauge(x Fix) []string {
	g, t := x.Feature.Read(track.Gauge), x.Wheel.Read(wheel.FlangeThickness)
	mate := x.Wheel.Mate()
	if mate == nil || !g.Measured() || g.OneSided() || !t.Measured() || t.OneSided() {
		return nil
	}
	tm := mate.Read(wheel.FlangeThickness)
	if !tm.Measured() || tm.OneSided() {
		return nil
	}
	lost, from := 0.0, ""
	for _, w := range []*wheel.Wheel{x.Wheel, mate} {
		d, ok := x.Rules.data.Design(w.Design)
		if !ok {
			if len(x.Rules.data.Designs) == 0 {
				return nil
			}
			d = x.Rules.data.Designs[0]
		}
		if !ok || configs.MemoryMark(d.Sure) != "" {
			from = " (a new flange taken as " + measure.Inch(d.FlangeThickness) + configs.MemoryMark(d.Sure) + ")"
		}
		if l := d.FlangeThickness - w.Read(wheel.FlangeThickness).As; l > 0 {
			lost += l
		}
	}
	return []string{fmt.Sprintf("effective gauge %s in: gauge %s and %s lost by both flanges%s",
		measure.NearestInch(g.As+lost, 16), measure.NearestInch(g.As, 16), measure.NearestInch(lost, 16), from)}
}

// drawnGauge adds the gauge under load as it counts, and the bearing that is left.
func drawnGauge(d Drawn) {
	g, lies := d.Read["gauge"]
	switch loaded, ok := d.Read["loaded_gauge"]; {
	case ok && lies: // the greater counts, because no load narrows the track
		loaded.MM, loaded.Lo, loaded.Hi = max(loaded.MM, g.MM), max(loaded.Lo, g.Lo), max(loaded.Hi, g.Hi)
		loaded.Text += ", as it lies " + g.Text
		d.Read["loaded_gauge"] = loaded
	case lies:
		for name, a := range d.Read {
			if strings.HasPrefix(name, "loaded_gauge_allowance") {
				d.Read["loaded_gauge"] = Dimension{MM: g.MM + a.MM, Lo: g.Lo, Hi: g.Hi + a.MM,
					Text: g.Text + " and up to " + a.Text + " allowed"}
			}
		}
	}
	least, ok := d.Read["least_bearing"]
	if !ok || d.Hi == nil || d.Lo == nil {
		return
	}
	lo, hi := *d.Lo+least.MM, *d.Hi+least.MM
	bearing := Dimension{MM: (lo + hi) / 2, Lo: lo, Hi: hi, Text: between64ths(lo, hi) + " in"}
	if d.As != nil {
		bearing.MM = *d.As + least.MM
		bearing.Text = measure.NearestInch(bearing.MM, 64) + " in"
	}
	d.Read["bearing"] = bearing
}
