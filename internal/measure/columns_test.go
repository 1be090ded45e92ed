package measure_test

import (
	"math"

	"flangeway/internal/measure"
)

const (
	inch = measure.MMPerInch
	deg  = 1.0
	mm   = 1.0
)

// The columns of the tests, with the bounds, floors and steps of the sheets.
var (
	flangeHeight = measure.Spec{Column: "flange_height", Lo: inch / 2, Hi: 2.5 * inch, Step: inch / 32,
		LeastMade: 15. / 16 * inch}
	flangeThickness = measure.Spec{Column: "flange_thickness", Lo: inch / 2, Hi: 2 * inch, Step: inch / 32,
		MostMade: 1.4375 * inch, MostNarrow: 1.21875 * inch}
	verticalFlange = measure.Spec{Column: "vertical_flange", Lo: 0, Hi: 1.5 * inch, Step: inch / 32,
		MostMade: 1.25 * inch}
	diameter = measure.Spec{Column: "diameter", Lo: 20 * inch, Hi: 90 * inch, Step: inch / 32}
	gauge    = measure.Spec{Column: "gauge", Lo: 54 * inch, Hi: 62 * inch, Step: inch / 32, Floor: inch / 16,
		Nominal: 56.5 * inch}
	guardCheck = measure.Spec{Column: "guard_check", Lo: 50 * inch, Hi: 58 * inch, Step: inch / 32, Floor: inch / 16,
		Nominal: 54.625 * inch}
	pointDrop = measure.Spec{Column: "point_drop", Lo: 0, Hi: 3 * inch, Step: inch / 32, Floor: inch / 16}
	elevation = measure.Spec{Column: "elevation", Lo: -4 * inch, Hi: 10 * inch, Step: inch / 32}
	hollow    = measure.Spec{Column: "tread_hollow", Unit: measure.Millimetres, Lo: 0, Hi: 12, Step: 0.5}
	faceAngle = measure.Spec{Column: "face_angle", Unit: measure.Degrees, Lo: 0, Hi: 90}
	days      = measure.Spec{Column: "stale_after", Unit: measure.Degrees, Lo: 0, Hi: 365, Noun: "days"}
	pounds    = measure.Spec{Column: "car_weight", Unit: measure.Degrees, Lo: 0, Hi: 5e5, Noun: "lb"}
)

// wide takes any length, so that the notation alone decides.
var wide = measure.Spec{Column: "length", Lo: -1e8, Hi: 1e8, Step: inch / 32}

func allColumns() []measure.Spec {
	return []measure.Spec{flangeHeight, flangeThickness, verticalFlange, diameter, gauge, guardCheck, pointDrop,
		elevation, hollow, faceAngle, days, wide}
}

func with(s measure.Spec, change func(*measure.Spec)) measure.Spec {
	change(&s)
	return s
}

// same treats a difference within 1e-9 as none, as every comparison does.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }
