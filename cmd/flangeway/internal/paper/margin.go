package paper

import (
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
)

func shownMargin(f *judge.Finding) string {
	if f.Computed != nil {
		return f.Computed.Text()
	}
	return marginText(f.Margin)
}

// marginText is a margin against the reading error, with its unit: its value and ±, or its two ends.
func marginText(m judge.Margin) string {
	write, unit := inchesAlike(m), " in"
	switch {
	case m.Degrees:
		write, unit = func(v float64) string { return fmt.Sprintf("%+.1f", v) }, " deg"
	case m.Percent:
		write, unit = func(v float64) string { return fmt.Sprintf("%+.1f", v) }, " percent of its load"
	case m.Metric:
		write, unit = func(v float64) string { return fmt.Sprintf("%+.2f", v) }, " mm"
	}
	switch {
	case m.Hi == nil && m.Lo == nil:
		return ""
	case m.Hi == nil:
		return write(*m.Lo) + unit + " at least"
	case m.Lo == nil:
		return write(*m.Hi) + unit + " at most"
	case m.As != nil && math.Abs((*m.As-*m.Lo)-(*m.Hi-*m.As)) < 1e-6:
		return write(*m.As) + " +-" + strings.TrimPrefix(write(*m.Hi-*m.As), "+") + unit
	}
	return write(*m.Lo) + ".." + write(*m.Hi) + unit
}

// inchesAlike writes the figures of one margin alike: as fractions if all of them are whole 64ths, else as decimals.
func inchesAlike(m judge.Margin) func(mm float64) string {
	for _, v := range []*float64{m.As, m.Lo, m.Hi} {
		if v != nil && strings.Contains(interaction.Inches(*v), ".") {
			return func(mm float64) string { return fmt.Sprintf("%+.3f", mm/measure.MMPerInch) }
		}
	}
	return func(mm float64) string { return strings.TrimSuffix(interaction.Inches(mm), " in") }
}
