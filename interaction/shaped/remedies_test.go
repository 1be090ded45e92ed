package shaped

import (
	"math"
	"testing"
)

// A computed margin is read in the unit of what is measured there.
func TestComputedText(t *testing.T) {
	for _, tt := range []struct {
		name string
		k    Computed
		want string
	}{
		{"a clearance, read with a depth gauge in inches", Computed{Margin: 25.4, Low: 12.7, High: 50.8, Unit: "mm",
			Mechanism: "strike"}, "+1.00 in (+0.50..+2.00)"},
		{"a climb that a hollow makes, read in mm as the hollow is", Computed{Margin: -0.234, Low: -0.66, High: -0.2,
			Unit: "mm", Mechanism: "climb", metric: true}, "-0.23 mm (-0.66..-0.20)"},
		{"a force over the load, whatever the gauge reads", Computed{Margin: 0.031, Low: 0.02, High: 0.1, Unit: "L/V",
			Mechanism: "climb", metric: true}, "+0.03 L/V (+0.02..+0.10)"},
		{"an angle", Computed{Margin: -0.04, Low: -1, High: 0, Unit: "deg", Mechanism: "pick"},
			"+0.0 deg (-1.0..+0.0)"},
		{"a one-sided reading has no value as written", Computed{Margin: math.NaN(), Low: -1, High: 0, Unit: "deg",
			Mechanism: "pick"}, "-1.0..+0.0 deg"},
		{"nothing found", Computed{}, "not computed"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.k.Text(); got != tt.want {
				t.Errorf("%q, want %q", got, tt.want)
			}
		})
	}
}
