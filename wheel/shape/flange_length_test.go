package shape

import (
	"math"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

// A new narrow flange: 0.08 in of straight face and the rounding of the tip from 75 to 26.6 degrees, about 0.53 in
// (worked out for this project from the design's radii, apart from this program).
func TestFlangeLength(t *testing.T) {
	for _, name := range []string{"narrow flange 1:20", "wide flange 1:20"} {
		w, err := Named(fixture.Shapes(t), name)
		if err != nil {
			t.Fatal(err)
		}
		l, err := w.FlangeLength()
		if err != nil || math.Abs(l/measure.MMPerInch-0.528) > 0.003 {
			t.Errorf("%s: %.4f in, %v", name, l/measure.MMPerInch, err)
		}
		_, face, _ := w.FlangeAngle()
		if l < face {
			t.Errorf("%s: %.2f mm, less than its straight face of %.2f", name, l, face)
		}
	}
	cone, err := Named(fixture.Shapes(t), "cone:1/20")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := cone.FlangeLength(); err == nil {
		t.Error("a cone has a flange")
	}
}
