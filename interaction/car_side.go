package interaction

import (
	"fmt"
	"math"

	"flangeway/internal/measure"
	"flangeway/wheel"
)

// What the car side can do is the same at several checks. A repair names one figure.

// turnHollow is the car side's repair of a hollow tread.
func turnHollow(Fix) []string {
	return []string{"turn the wheelset, which leaves no hollow, or change it"}
}

// turnHeight is the car side's repair of a high flange.
func turnHeight(x Fix) []string {
	most := x.Wheel.Read(wheel.FlangeHeight).As - x.By
	if least, _ := x.Rules.ofNew(wheel.FlangeHeight); most < least-near {
		return []string{"none by turning alone: it would take a flange height of " + measure.DownToSixteenth(most) +
			" in or less, under that of a new flange"}
	}
	return []string{"turn the wheel to a flange height of " + measure.DownToSixteenth(most) +
		" in or less, or change the wheelset"}
}

// ofNew is the range over the new wheels of the sum of some readings, mm.
func (r *Rules) ofNew(sum ...wheel.Quantity) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, w := range newWheels(r.data) {
		v := 0.0
		for _, q := range sum {
			v += w.Read(q).As
		}
		least, most = math.Min(least, v), math.Max(most, v)
	}
	return least, most
}

// turnThickness is the car side's repair of a thick flange. Turned until it is thin it is no repair, and nobody
// turns more than so much off.
func turnThickness(x Fix) []string {
	most := x.Wheel.Read(wheel.FlangeThickness).As - x.By
	switch {
	case most <= thinFlange+near:
		return []string{"none: it would take a flange of " + measure.DownToSixteenth(most) +
			" in or less, which is thin"}
	case !x.Rules.turnable(x.Wheel.Read(wheel.FlangeThickness).As, most):
		return []string{"change the wheelset for one with a flange of " + measure.DownToSixteenth(most) +
			" in or less: that is more than turning takes off"}
	}
	return []string{"turn the flange to a thickness of " + measure.DownToSixteenth(most) + " in or less"}
}

// turnedSettings are the settings that bound the turning of a flange.
func turnedSettings() []string { return []string{"flange_turned"} }

// TurnedLeast is the least thickness, mm, that a repair turns a flange to. What is thicker than any new one comes off
// freely.
func (r *Rules) TurnedLeast(from float64) float64 {
	_, full := r.ofNew(wheel.FlangeThickness)
	return math.Min(from, full) - r.Value("flange_turned")
}

// turnable reports whether a repair turns a flange to a thickness, mm.
func (r *Rules) turnable(from, to float64) bool { return to >= r.TurnedLeast(from)-near }

// narrowAxle is the car side's repair of an axle that is too wide with the flanges given: turned flanges if those stay
// thicker than thin ones and not too much is to come off, else a narrower back-to-back.
func narrowAxle(x Fix, flanges int) []string {
	if turned := thinnerFlanges(x, flanges); turned != "" {
		return []string{turned}
	}
	spread := x.Wheel.Read(wheel.BackToBackMax)
	if !spread.Measured() {
		spread = x.Wheel.Read(wheel.BackToBack)
	}
	most := spread.As - x.By
	if least, _ := x.Rules.ofNew(wheel.BackToBack); most < least-near {
		return []string{"none on this axle alone: it would take a back-to-back of " + measure.DownToSixteenth(most) +
			" in or less, under that of any new one"}
	}
	return []string{"press or change the wheelset: back-to-back of " + measure.DownToSixteenth(most) + " in or less"}
}

// thinnerFlanges says how the flanges of an axle are turned so that they take so much less together: the thicker one as
// far as the thinner, then both; "" if that is no repair.
func thinnerFlanges(x Fix, flanges int) string {
	thick, thin := x.Wheel, x.Wheel.Mate()
	if flanges < 2 || thin == nil || !thin.Read(wheel.FlangeThickness).Measured() {
		thin = thick
	}
	if thick.Read(wheel.FlangeThickness).As < thin.Read(wheel.FlangeThickness).As {
		thick, thin = thin, thick
	}
	most, least := thick.Read(wheel.FlangeThickness).As, thin.Read(wheel.FlangeThickness).As
	alone := flanges == 1 || x.By <= most-least+near
	to := most - x.By
	if !alone {
		to = (most + least - x.By) / 2
	}
	switch {
	case to <= thinFlange+near || !x.Rules.turnable(most, to):
		return ""
	case flanges == 1:
		return "turn the flange to a thickness of " + measure.DownToSixteenth(to) + " in or less"
	case alone:
		return fmt.Sprintf("turn the flange of %s to a thickness of %s in or less", thick.Position,
			measure.DownToSixteenth(to))
	case most-least <= near:
		return "turn the wheelset: " + measure.UpToSixteenth(most-to) + " in less on each flange"
	}
	return "turn the wheelset: both flanges to a thickness of " + measure.DownToSixteenth(to) + " in or less"
}

// widenAxle is the car side's repair of an axle whose wheels stand too close.
func widenAxle(x Fix) []string {
	least := x.Wheel.Read(wheel.BackToBack).As + x.By
	if _, most := x.Rules.ofNew(wheel.BackToBack); least > most+near {
		return []string{"none on this axle alone: it would take a back-to-back of " + measure.UpToSixteenth(least) +
			" in or more, over that of any new one"}
	}
	return []string{"press or change the wheelset: back-to-back of " + measure.UpToSixteenth(least) + " in or more"}
}

// changeWider is the car side's repair of a narrow axle with thin flanges.
func changeWider(x Fix) []string {
	least := x.Wheel.Read(wheel.BackToBack).As + x.Wheel.Read(wheel.FlangeThickness).As + x.By
	if _, most := x.Rules.ofNew(wheel.BackToBack, wheel.FlangeThickness); least > most+near {
		return []string{"none on this axle alone: it would take a back-to-back and flange of " +
			measure.UpToSixteenth(least) + " in together, over that of any new one"}
	}
	return []string{"press or change the wheelset: back-to-back and flange together " + measure.UpToSixteenth(least) +
		" in or more"}
}
