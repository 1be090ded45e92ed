package curving

import (
	"math"
	"testing"
)

// A load that stands over one rail does what a higher centre of gravity does at the same
// unbalance, takes nothing from the weight, and brings the wheel that it leaves nearer to climbing.
func TestLoadShift(t *testing.T) {
	t.Parallel()
	d := wheelNamed(t, "narrow flange 1:20")
	truck := threePiece(american(t, d, d, "115RE"))
	c := Curve{Radius: radiusOf(8), Elevation: 75, Speed: 4}
	f := Same(0.4)
	run := func(change func(*Truck)) Solution {
		n := truck
		change(&n)
		s, err := Solve(n, c, f)
		if err != nil || !s.Converged {
			t.Fatalf("%+v: %v, %s", n, err, s.Reason)
		}
		return s
	}
	even := run(func(*Truck) {})
	spacing := 2 * truck.Lead.half
	const higher = 400.0
	tall := run(func(n *Truck) { n.CentreHeight += higher })
	shifted := run(func(n *Truck) { n.Shift = 2 * c.Unbalance(spacing) * higher / spacing })
	if math.Abs(tall.ClimbMargin-shifted.ClimbMargin) > 1e-9 || math.Abs(tall.Lead.High.V-shifted.Lead.High.V) > 1e-6 {
		t.Errorf("as a higher centre of gravity: margin %.9f and %.9f, V %.6f and %.6f", tall.ClimbMargin,
			shifted.ClimbMargin, tall.Lead.High.V, shifted.Lead.High.V)
	}
	last := even.ClimbMargin
	for _, part := range []float64{0.1, 0.25, 0.5} {
		s := run(func(n *Truck) { n.Shift = -part })
		for _, a := range []Axle{s.Lead, s.Trail} {
			if v := a.High.V + a.Low.V; math.Abs(v-truck.AxleLoad) > 1e-4*truck.AxleLoad {
				t.Errorf("%g missing on the high rail: both wheels carry %.0f N of %.0f", part, v, truck.AxleLoad)
			}
			if got := a.High.V - (even.Lead.High.V - part*truck.AxleLoad/2); math.Abs(got) > 1e-4*truck.AxleLoad {
				t.Errorf("%g missing on the high rail: its wheel carries %.0f N more than that", part, got)
			}
		}
		if s.ClimbMargin > last {
			t.Errorf("%g missing on the high rail: climb margin %.3f, with less %.3f", part, s.ClimbMargin, last)
		}
		last = s.ClimbMargin
	}
	n := truck
	n.Shift = -1.2
	if _, err := Solve(n, c, f); err == nil {
		t.Error("more than all of a side's load is none")
	}
}
