package interaction

import (
	"math"

	"flangeway/internal/measure"
	"flangeway/wheel"
)

// What the car side can do is the same at several checks.

// turnHollow is the car side's repair of a hollow tread.
func turnHollow(x fix) []string {
	most := x.w.Read(wheel.TreadHollow).As - x.by
	if most < 0.05 {
		return []string{"turn the wheelset until no hollow is left, or change it"}
	}
	return []string{"turn the wheelset to a hollow of " + Millimetres(most) + " or less, or change it"}
}

// turnHeight is the car side's repair of a high flange.
func turnHeight(x fix) []string {
	most := x.w.Read(wheel.FlangeHeight).As - x.by
	if least := newHeight(x.rules); most < least-near {
		return []string{"no turning alone: it would take a flange height of " + measure.DownToSixteenth(most) + " in or less, and a new flange has " + measure.Inch(least) + " in"}
	}
	return []string{"turn the wheel to a flange height of " + measure.DownToSixteenth(most) + " in or less, or change the wheelset"}
}

// newHeight is the height in mm of the lowest new flange.
func newHeight(r *Rules) float64 {
	least := math.Inf(1)
	for _, d := range r.data.Designs {
		if d.Reference {
			least = math.Min(least, d.FlangeHeight)
		}
	}
	return least
}

// turnThickness is the car side's repair of a thick flange.
func turnThickness(x fix) []string {
	return []string{"turn the flange to a thickness of " + measure.DownToSixteenth(x.w.Read(wheel.FlangeThickness).As-x.by) + " in or less"}
}

// changeWider is the car side's repair of a narrow axle with thin flanges.
func changeWider(x fix) []string {
	return []string{"change the wheelset: back-to-back and flange together " + measure.UpToSixteenth(x.by) + " in more"}
}
