package interaction

import (
	"math"
	"strconv"

	"flangeway/internal/measure"
)

// Inches writes a margin in mm as a report does: a sign, then inches.
func Inches(mm float64) string {
	s := measure.Inch(mm)
	if mm > 0 && s != "0" {
		s = "+" + s
	}
	return s + " in"
}

// Millimetres writes a hollow.
func Millimetres(mm float64) string {
	s := strconv.FormatFloat(mm, 'f', 1, 64)
	if math.Abs(mm) < 0.05 {
		s = "0"
	}
	return s + " mm"
}
