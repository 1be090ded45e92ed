package curving

import (
	"math"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/internal/fixture"
	"flangeway/track/shape"
)

// A flange drawn at 75 degrees has Nadal's limit at 75 degrees, whatever the hollow and the thickness of the wheel and
// the section and height of the rail, to which the strips of the loaded contact happen to fit otherwise each time; on a
// rail worn to a face of 66 degrees at the angle of that face, turned with the rail by its cant.
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

// However a rail is worn, Nadal's angle is near what the loaded contact meets: by no more than that differs from place
// to place, and less than it only as far as the worn face lies.
func TestSteepestFaceIsMet(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	d := wheelNamed(t, "narrow flange 1:20")
	for _, section := range []string{"90RA-A", "115RE", "136RE"} {
		for _, wear := range []float64{1.0 / 16, 1.0 / 8, 1.0 / 4, 1.0 / 2} {
			for _, angle := range []float64{55, 66, 75, 85} {
				r, err := railNamed(t, section).Worn(0, wear*inch, angle)
				if err != nil {
					continue
				}
				for _, thin := range []float64{0, 1.125, 15.0 / 16} {
					f, err := NewFlank(worn(t, d, thin*inch, 1.5), r, 457, 0.625*inch, shape.CantOf(40), 150e3,
						contact.Steel)
					if err != nil {
						t.Fatal(err)
					}
					if got := f.steep / degree; got > 75.02 || got < math.Min(f.flange/degree-5, angle-1) {
						t.Errorf("%s worn by %g in to %g degrees, flange %g in: %.2f, under load %.2f", section, wear,
							angle, thin,
							got, f.flange/degree)
					}
				}
			}
		}
	}
}
