package plan

import (
	"testing"

	"flangeway/internal/measure"
	wheelshape "flangeway/wheel/shape"
)

// A hollow changes no cut where the flange height says how much tread is worn: asked
// with it and without it the lathe takes the same.
func TestHollowChangesNoCut(t *testing.T) {
	sv := roller{}.plain(t)
	s, err := newShop(sv, 0)
	if err != nil {
		t.Fatal(err)
	}
	shape, err := s.shape(narrowDesign)
	if err != nil {
		t.Fatal(err)
	}
	at := func(v float64) measure.Reading { return measure.Exact(v, "") }
	const in = measure.MMPerInch
	some := false
	for _, height := range []float64{1.2, 1.3, 1.4} {
		for _, thick := range []float64{0.95, 1.05, 1.15} {
			var cuts [2]float64
			for i, hollow := range []measure.Reading{{}, at(3)} {
				worn, err := wheelshape.AsWritten(shape, wheelshape.WornReadings{Height: at(height * in), Thickness: at(thick * in), Hollow: hollow})
				if err != nil {
					t.Fatal(err)
				}
				turned, err := wheelshape.Turn(worn, shape, 0, wheelshape.Rim{})
				if err != nil {
					t.Fatal(err)
				}
				cuts[i] = turned.Least
			}
			if d := cuts[0] - cuts[1]; d > 0.05 || d < -0.05 {
				t.Errorf("height %g, thickness %g: %.3f mm without the hollow, %.3f with it", height, thick, cuts[0], cuts[1])
			}
			some = some || cuts[0] > 1
		}
	}
	if !some {
		t.Error("nothing was cut")
	}
}
