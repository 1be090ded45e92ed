package shaped

import (
	"math"
	"testing"

	"flangeway/interaction/passage"
	"flangeway/internal/fixture"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// What a flange may pass the gauge line is that of the form of the tops it is asked for,
// whichever form was asked for before.
func TestReliefIsThatOfItsTops(t *testing.T) {
	figures := fixture.Figures(t)
	design, err := wheelshape.Named(fixture.Shapes(t), "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	face, err := passage.NewWheel(design, 914)
	if err != nil {
		t.Fatal(err)
	}
	const least = 60.0 // degrees
	var forms []*frogForm
	for _, slope := range []float64{0, 0.1} {
		plan := trackshape.NewFrogPlan(figures, "rbm", 8)
		plan.WingSlope = slope
		m, err := trackshape.NewFrogModel(plan)
		if err != nil {
			t.Fatal(err)
		}
		forms = append(forms, &frogForm{model: m})
	}
	var differ bool
	for h := -12.0; h <= 4; h++ {
		var seen [2]float64
		for i, form := range forms {
			want, _ := face.PointRelief(form.model, h, least*math.Pi/180)
			if seen[i] = form.rub(face, h, least).relief; seen[i] != want {
				t.Errorf("form %d, height %g mm: %.2f mm (want %.2f)", i, h, seen[i], want)
			}
		}
		differ = differ || seen[0] != seen[1]
	}
	if !differ {
		t.Error("the form of the tops turns nothing")
	}
}
