package shaped

import (
	"fmt"
	"slices"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/wheel"
)

// Flanges that were not read are tried each thick with the others thin as well, of more than two each axle: an axle of
// thick flanges behind one of thin ones runs otherwise than a truck whose flanges are alike.
func TestUnreadFlangesNeedNotBeAlike(t *testing.T) {
	t.Parallel()
	data := fixture.Data(t)
	c, err := New(Fleet{Rules: interaction.NewRules(survey.NewSettings(data.Settings), data)}, data, fixture.Shapes(t))
	if err != nil {
		t.Fatal(err)
	}
	// The wheels of a truck that were not read: each group is thick apart from the others.
	for _, open := range [][][]int{{{1}, {3}}, {{0}, {1}}, {{0, 1}, {2, 3}}} {
		truck := &truckJob{car: &wheel.Car{ID: "A", Kind: "freight"}, axles: 2}
		for i := range 4 {
			w := &wheel.Wheel{Car: truck.car, Position: wheel.Position{Side: "LR"[i%2], Axle: 1 + i/2}}
			w.Set(wheel.TreadHollow, measure.Exact(0, ""))
			w.Set(wheel.BackToBack, measure.Exact(1354, ""))
			w.Set(wheel.FlangeThickness, measure.Exact(29, ""))
			if slices.Contains(slices.Concat(open...), i) {
				w.Set(wheel.FlangeThickness, measure.Reading{})
			}
			truck.wheels[i] = w
		}
		if err := c.hollows(truck); err != nil {
			t.Fatal(err)
		}
		c.fit(truck)
		tried := map[string]bool{} // which of the groups are thick, the others being thin
		for _, f := range truck.fits {
			thick := ""
			for _, group := range open {
				n := 0
				for _, k := range group {
					if v := c.flangeOf(f, k); v > 29 {
						n++
					}
				}
				thick += fmt.Sprint(n, " of ", len(group), "; ")
			}
			tried[thick] = true
		}
		n := len(open[0])
		for _, want := range []string{fmt.Sprintf("0 of %d; %[1]d of %[1]d; ", n),
			fmt.Sprintf("%[1]d of %[1]d; 0 of %[1]d; ", n)} {
			if !tried[want] {
				t.Errorf("open %v: thick are %v and never %q", open, tried, want)
			}
		}
	}
}
