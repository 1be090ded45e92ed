package interaction

import (
	"math"

	"flangeway/internal/measure"
	"flangeway/wheel"
)

// What the car side can do is the same at several checks. A repair names one figure.

// turnHollow is the car side's repair of a hollow tread.
func turnHollow(fix) []string {
	return []string{"turn the wheelset, which leaves no hollow, or change it"}
}

// turnHeight is the car side's repair of a high flange.
func turnHeight(x fix) []string {
	most := x.w.Read(wheel.FlangeHeight).As - x.by
	if least := x.rules.newLeast(func(w *wheel.Wheel) float64 { return w.Read(wheel.FlangeHeight).As }); most < least-near {
		return []string{"none by turning alone: it would take a flange height of " + measure.DownToSixteenth(most) + " in or less, under that of a new flange"}
	}
	return []string{"turn the wheel to a flange height of " + measure.DownToSixteenth(most) + " in or less, or change the wheelset"}
}

// newLeast and newMost are the least and the greatest of a figure over the new wheels.
func (r *Rules) newLeast(of func(*wheel.Wheel) float64) float64 {
	least := math.Inf(1)
	for _, w := range newWheels(r.data) {
		least = math.Min(least, of(w))
	}
	return least
}

func (r *Rules) newMost(of func(*wheel.Wheel) float64) float64 {
	return -r.newLeast(func(w *wheel.Wheel) float64 { return -of(w) })
}

func backToBack(w *wheel.Wheel) float64 { return w.Read(wheel.BackToBack).As }

// turnThickness is the car side's repair of a thick flange. One that is turned to what is
// thin already is no repair.
func turnThickness(x fix) []string {
	most := x.w.Read(wheel.FlangeThickness).As - x.by
	if most <= thinFlange+near {
		return []string{"none: it would take a flange of " + measure.DownToSixteenth(most) + " in or less, which is thin"}
	}
	return []string{"turn the flange to a thickness of " + measure.DownToSixteenth(most) + " in or less"}
}

// narrowAxle is the car side's repair of an axle that is too wide with the flanges given:
// turned flanges where those stay thicker than thin ones, else a narrower back-to-back.
func narrowAxle(x fix, flanges int) []string {
	off := x.by / float64(flanges)
	thickest := x.w.Read(wheel.FlangeThickness).As
	if mate := x.w.Mate(); mate != nil && flanges == 2 && mate.Read(wheel.FlangeThickness).Measured() {
		thickest = math.Min(thickest, mate.Read(wheel.FlangeThickness).As)
	}
	if thickest-off > thinFlange+near {
		if flanges == 2 {
			return []string{"turn the wheelset: " + measure.UpToSixteenth(off) + " in less on each flange"}
		}
		return []string{"turn the flange to a thickness of " + measure.DownToSixteenth(thickest-off) + " in or less"}
	}
	spread := x.w.Read(wheel.BackToBackMax)
	if !spread.Measured() {
		spread = x.w.Read(wheel.BackToBack)
	}
	most := spread.As - x.by
	if most < x.rules.newLeast(backToBack)-near {
		return []string{"none on this axle alone: it would take a back-to-back of " + measure.DownToSixteenth(most) + " in or less, under that of any new one"}
	}
	return []string{"press or change the wheelset: back-to-back of " + measure.DownToSixteenth(most) + " in or less"}
}

// widenAxle is the car side's repair of an axle whose wheels stand too close.
func widenAxle(x fix) []string {
	least := x.w.Read(wheel.BackToBack).As + x.by
	if least > x.rules.newMost(backToBack)+near {
		return []string{"none on this axle alone: it would take a back-to-back of " + measure.UpToSixteenth(least) + " in or more, over that of any new one"}
	}
	return []string{"press or change the wheelset: back-to-back of " + measure.UpToSixteenth(least) + " in or more"}
}

// changeWider is the car side's repair of a narrow axle with thin flanges.
func changeWider(x fix) []string {
	least := x.w.Read(wheel.BackToBack).As + x.w.Read(wheel.FlangeThickness).As + x.by
	if least > x.rules.newMost(func(w *wheel.Wheel) float64 { return backToBack(w) + w.Read(wheel.FlangeThickness).As })+near {
		return []string{"none on this axle alone: it would take a back-to-back and flange of " + measure.UpToSixteenth(least) + " in together, over that of any new one"}
	}
	return []string{"press or change the wheelset: back-to-back and flange together " + measure.UpToSixteenth(least) + " in or more"}
}
