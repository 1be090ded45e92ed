package shaped

import (
	"math"
	"testing"

	"flangeway/internal/measure"
)

// TestStepsHoldForAnyUnit: a reading halfway between two steps goes to the same one whether it was written in inches or
// in millimetres, which differ by the last digit of the number.
func TestStepsHoldForAnyUnit(t *testing.T) {
	for sixteenths := 1.0; sixteenths < 48; sixteenths += 2 {
		in := sixteenths / 16 * measure.MMPerInch
		want := nearest(in, thicknessStep).As
		for _, v := range []float64{math.Nextafter(in, 0), math.Nextafter(in, 99)} {
			if got := nearest(v, thicknessStep).As; got != want {
				t.Errorf("%g mm goes to %g, %g mm to %g", v, got, in, want)
			}
			if got := nearest(-v, thicknessStep).As; got != -want {
				t.Errorf("%g mm goes to %g, %g mm to %g", -v, got, in, want)
			}
		}
	}
}
