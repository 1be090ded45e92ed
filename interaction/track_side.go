package interaction

import (
	"fmt"

	"flangeway/internal/measure"
	"flangeway/track"
)

// What the track side can do ends at what track is built to: a repair that asks for more is none, and the wheel is what
// is to be mended.

// LeastFlangeway is the least width of a flangeway at a guard rail by the federal rules, mm.
func (r *Rules) LeastFlangeway() float64 {
	return r.federalLeast("frog", track.GuardFlangeway.String(), "1")
}

// widestGauge is the most gauge of the best class of freight track by the federal rules, mm: any track may be brought
// to it.
func (r *Rules) widestGauge() float64 { return r.federalMost("curve", track.Gauge.String(), "5") }

// designed is a dimension of the place as it is designed, mm; ok is false if configs has none.
func (x Fix) designed(q track.Quantity) (mm float64, ok bool) {
	d := DesignedFeature(x.Rules.data, x.Feature.Kind)
	if d == nil || !d.Read(q).Measured() {
		return 0, false
	}
	return d.Read(q).As, true
}

// over reports whether a repair asks for more of a dimension than the place has as designed and so much besides.
func (x Fix) over(q track.Quantity, least, besides float64) bool {
	most, ok := x.designed(q)
	return ok && least > most+besides+near
}

// none words that nothing mends a place: what it would take, and why that is not to be had.
func none(format string, args ...any) []string {
	return []string{"none on the track side: it would take " + fmt.Sprintf(format, args...)}
}

// deepen is the track side's repair of a shallow flangeway.
func deepen(x Fix) []string {
	least := x.Feature.Read(track.FlangewayDepth).As + x.By
	if x.over(track.FlangewayDepth, least, x.Rules.Reach("frog_grind")) {
		return none("a flangeway depth of %s in or more, which no frog has: the flange is too high",
			measure.UpToSixteenth(least))
	}
	return []string{fmt.Sprintf("build the frog's tread up, or grind its floor, to a flangeway depth of %s in or more",
		measure.UpToSixteenth(least))}
}

// widenCheck is the track side's repair of a small guard check. The guard rail takes from its flangeway what it gives
// the guard check.
func widenCheck(x Fix) []string {
	least := x.Feature.Read(track.GuardCheck).As + x.By
	gauge := StandardGauge
	if g := x.Feature.Read(track.Gauge); g.Measured() && !g.OneSided() {
		gauge = g.As
	}
	if way := x.Rules.LeastFlangeway(); least > gauge-way+near {
		return none("a guard check of %s in or more, which leaves less than %s in of flangeway at the guard rail "+
			"(49 CFR 213.133(c)): the axle is too wide", measure.UpToSixteenth(least), measure.UpToSixteenth(way))
	}
	return []string{fmt.Sprintf("move or shim the guard rail to a guard check of %s in or more (guard face moves with "+
		"it: check both)", measure.UpToSixteenth(least))}
}

// narrowFace is the track side's repair of a large guard face.
func narrowFace(x Fix) []string {
	most := x.Feature.Read(track.GuardFace).As - x.By
	if face, ok := x.designed(track.GuardFace); ok && most < face-near {
		return none("a guard face of %s in or less, under that of unworn track: the axle is too narrow",
			measure.DownToSixteenth(most))
	}
	return []string{fmt.Sprintf("move the guard rail, or open the wing, to a guard face of %s in or less (guard check "+
		"moves with it: check both)", measure.DownToSixteenth(most))}
}

// widenGauge is the track side's repair of tight gauge. Nobody regauges to less than the standard gauge.
func widenGauge(x Fix) []string {
	least := max(x.Feature.Read(track.Gauge).As+x.By, StandardGauge)
	if most := x.Rules.widestGauge(); least > most+near {
		return none("a gauge of %s in or more, over the %s of classes 4 and 5 (49 CFR 213.53(b)): the axle is too wide",
			measure.UpToSixteenth(least), measure.UpToSixteenth(most))
	}
	return []string{fmt.Sprintf("regauge to %s in or more", measure.UpToSixteenth(least))}
}

// openWider is the track side's repair of an open point that stands too near: the throw, or the gauge if no throw opens
// the point so far.
func openWider(x Fix) []string {
	least := x.Feature.Read(track.OpenClearance).As + x.By
	if least <= track.WidestOpen+near {
		return []string{fmt.Sprintf("adjust the throw to an open clearance of %s in or more, or regauge",
			measure.UpToSixteenth(least))}
	}
	most := x.Feature.Read(track.Gauge).As - x.By
	if most < StandardGauge-near {
		return none("an open clearance of %s in or more, which no throw gives", measure.UpToSixteenth(least))
	}
	return []string{fmt.Sprintf("regauge to %s in or less, since no throw opens the point so far",
		measure.DownToSixteenth(most))}
}

// raiseHeel is the track side's repair of a heel that lifts the tread too little.
func raiseHeel(x Fix) []string {
	least := x.Feature.Read(track.HeelRise).As + x.By
	if x.over(track.HeelRise, least, x.Rules.Reach("risers_renew")) {
		return none("a heel rise of %s in or more, which no risers give: the wheel is too hollow",
			measure.UpToSixteenth(least))
	}
	return []string{fmt.Sprintf("renew the risers to a heel rise of %s in or more", measure.UpToSixteenth(least))}
}
