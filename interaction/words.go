package interaction

import (
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
