package curving

import (
	"math"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/track/shape"
)

// A flange drawn at 75 degrees has Nadal's limit at 75 degrees, whatever the hollow and the thickness of the wheel and the
// section and height of the rail, to which the strips of the loaded contact happen to fit otherwise each time; on a rail
// worn to a face of 66 degrees at the angle of that face, turned with the rail by its cant.
func TestSteepestFace(t *testing.T) {
	t.Parallel()
	d := wheelNamed(t, "narrow flange 1:20")
	worn66, err := railNamed(t, "100RE").Worn(0.25*inch, 0.25*inch, 66)
	if err != nil {
		t.Fatal(err)
	}
	cant := shape.CantOf(40)
	for _, thin := range []float64{0, 1.125, 1, 15.0 / 16} {
		for _, hollow := range []float64{0, 1, 2.5, 4} {
			w := worn(t, d, thin*inch, hollow)
			for _, tt := range []struct {
				name string
				rail *shape.RailHead
				want float64 // degrees
			}{
				{"90RA-A", railNamed(t, "90RA-A"), 75}, {"115RE", railNamed(t, "115RE"), 75},
				{"136RE", railNamed(t, "136RE"), 75}, {"worn to 66", worn66, 66 + cant/degree},
			} {
				f, err := NewFlank(w, tt.rail, 457, 0.625*inch, cant, 150e3, contact.Steel)
				if err != nil {
					t.Fatal(err)
				}
				if got := f.steep / degree; math.Abs(got-tt.want) > 0.02 {
					t.Errorf("flange %g in, hollow %g mm on %s: %.3f degrees, want %.3f; under load %.2f", thin, hollow,
						tt.name, got, tt.want, f.flange/degree)
				}
			}
		}
	}
}
