package curving

import (
	"math"
	"testing"
)

// A guard rail changes nothing of how a truck runs; it takes the climb of the lead high wheel away and bears what that
// flange pressed with. A flange that bears elsewhere is judged as before.
func TestGuardRail(t *testing.T) {
	t.Parallel()
	d := wheelNamed(t, "narrow flange 1:20")
	truck := freight(american(t, d, d, "115RE"))
	for _, degrees := range []float64{1, 6, 12} {
		c := Curve{Radius: radiusOf(degrees), Speed: 4}
		bare := solved(t, truck, c, Same(0.5))
		guarded := truck
		guarded.Guarded = true
		s := solved(t, guarded, c, Same(0.5))
		if s.Lead.High != bare.Lead.High || s.Trail != bare.Trail || s.Rollover != bare.Rollover {
			t.Errorf("%g degrees: the guard rail changes how the truck runs", degrees)
		}
		if s.Climbing == "lead high" || bare.Climbing != "lead high" || bare.Guard != 0 {
			t.Errorf("%g degrees: %q climbs, without the guard rail %q with %g N on it", degrees, s.Climbing,
				bare.Climbing,
				bare.Guard)
		}
		want := 0.0
		if s.Lead.High.Flanging {
			want = s.Lead.High.L
		}
		if s.Guard != want || degrees > 5 && !(want > 0) {
			t.Errorf("%g degrees: %g N on the guard rail, the lead high wheel presses with %g", degrees, s.Guard, want)
		}
		least := math.Inf(1)
		for i, a := range s.Axles() {
			for side, w := range []*Wheel{&a.High, &a.Low} {
				if (i > 0 || side > 0) && w.Flanging {
					least = math.Min(least, w.ClimbMargin)
				}
			}
		}
		if s.Climbing != "" && s.ClimbMargin != least || s.Climbing == "" && !math.IsInf(least, 1) {
			t.Errorf("%g degrees: climb margin %g of %q, the least of the others %g", degrees, s.ClimbMargin,
				s.Climbing, least)
		}
	}
}
