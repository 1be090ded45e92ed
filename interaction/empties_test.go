package interaction

import (
	"math"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

func TestWhatGoesWithTheLoad(t *testing.T) {
	t.Parallel()
	data := fixture.Data(t)
	r := NewRules(survey.NewSettings(data.Settings), data)
	const lb = measure.NewtonsPerPound
	for _, tt := range []struct {
		name      string
		got, want float64
		reason    string
	}{
		{"moment at the reference", r.TurningMoment(286000 * lb), 20e6, "the setting is of that car"},
		{"moment of an empty", r.TurningMoment(50000 * lb), 20e6 * 50 / 286, "3.5 kN·m: in proportion to the load"},
		{"frame at the reference", r.WarpStiffness(false, 286000*lb), 3e9, "as set"},
		{"frame of an empty", r.WarpStiffness(false, 71500*lb), 0.75e9, "a quarter of the load"},
		{"worn frame", r.WarpStiffness(true, 286000*lb), 1e9, "the setting of worn ones"},
		{"loaded car", r.GravityHeight("freight", 286000*lb), 84 * measure.MMPerInch, "as set"},
		{"heavier car", r.GravityHeight("", 315000*lb), 84 * measure.MMPerInch, "no higher than that"},
		{"empty car", r.GravityHeight("freight", 60000*lb), 60 * measure.MMPerInch, "lower"},
		{"lighter than empty_weight", r.GravityHeight("freight", 45000*lb), 60 * measure.MMPerInch, "no lower"},
		{"half loaded", r.GravityHeight("freight", 173000*lb), 72 * measure.MMPerInch, "half way"},
		{"locomotive", r.GravityHeight("locomotive", 60000*lb), 84 * measure.MMPerInch, "carries no load"},
	} {
		if math.Abs(tt.got-tt.want) > 1e-6*tt.want {
			t.Errorf("%s: %g, want %g (%s)", tt.name, tt.got, tt.want, tt.reason)
		}
	}
}
