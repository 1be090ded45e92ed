package plan

import (
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// A hollow changes no cut where the flange height says how much tread is worn: asked
// with it and without it the lathe takes the same.
func TestHollowChangesNoCut(t *testing.T) {
	sv := roller{}.plain(t)
	s, err := newShop(sv, interaction.NewRules(sv.Settings, sv.Data))
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
				worn, err := wheelshape.AsWritten(shape, wheelshape.WornReadings{Height: at(height * in),
					Thickness: at(thick * in), Hollow: hollow})
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
				t.Errorf("height %g, thickness %g: %.3f mm without the hollow, %.3f with it", height, thick, cuts[0],
					cuts[1])
			}
			some = some || cuts[0] > 1
		}
	}
	if !some {
		t.Error("nothing was cut")
	}
}

// A turning whose rim lands under a warning before the limit is offered, and the action says so; at the limit it is
// not.
func TestWarningForbidsNoTurning(t *testing.T) {
	for _, tt := range []struct {
		name, rim, warned string
		holds             bool
	}{
		{"above the warning of 3/4", "13/16", "", true},
		{"at the warning", "3/4", "plan the wheel out", true},
		{"at the limit of 11/16", "11/16", "", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sv := files{"cars.csv": {{"car", "kind"}, {"A 1", "freight"}},
				"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "rim_thickness"},
					{"A 1", "L1", "1-1/4", "1-1/8", tt.rim}}}.write(t,
				"schema: 1\nreading_error: {rim_thickness: 0}\n")
			s, err := newShop(sv, interaction.NewRules(sv.Settings, sv.Data))
			if err != nil {
				t.Fatal(err)
			}
			w := sv.Fleet.Wheels[0]
			warned, holds := s.rimHolds(w, w.Read(wheel.RimThickness).As)
			if holds != tt.holds || !strings.HasPrefix(warned, tt.warned) || (warned == "") != (tt.warned == "") {
				t.Errorf("holds %t, warned %q", holds, warned)
			}
		})
	}
}

// The plan turns no more off a flange than check asks for as a repair: the setting
// flange_turned, of the railroad's own or built in.
func TestThicknessesKeepToWhatIsTurnedOff(t *testing.T) {
	for _, tt := range []struct {
		name, setting, left, right string
		want                       []string
	}{
		{"a new wide flange keeps all but a quarter", "", "1-3/8", "1-3/8", []string{"1-3/8", "1-1/8"}},
		{"a worn one may come down to a thin one", "", "1-5/16", "1-5/16", []string{"1-3/8", "1-1/16"}},
		{"the thicker of the two decides", "", "1-5/16", "1-3/8", []string{"1-3/8", "1-1/8"}},
		{"what is thicker than any new one comes off freely", "", "1-7/16", "1-3/8", []string{"1-3/8", "1-1/8"}},
		{"as much more as the railroad allows", "settings: {flange_turned: 5/16}\n", "1-3/8", "1-3/8",
			[]string{"1-3/8", "1-1/16"}},
		{"nothing is turned off", "settings: {flange_turned: \"0\"}\n", "1-3/8", "1-3/8", []string{"1-3/8"}},
		{"a narrow flange is a tenth above a thin one", "", "1-5/32", "1-5/32", []string{"1-5/32", "1-1/16"}},
		{"known from below alone: it may be as thick as a wide one", "", ">15/16", "1", []string{"1-5/32", "1-1/8"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sv := files{"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "rim_thickness"},
				{"A 1", "L1", "1-1/4", tt.left, "1-1/2"}, {"A 1", "R1", "1-1/4", tt.right, "1-1/2"}}}.write(t,
				plainRailroad+"costs: {shop: lathe}\n"+tt.setting)
			s, err := newShop(sv, interaction.NewRules(sv.Settings, sv.Data))
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, w := range s.works(sv.Fleet.Wheels[0].Axle()) {
				if w.name == "wheelset_turn" {
					got = append(got, w.sets[wheel.FlangeThickness])
				}
			}
			if !slices.Equal(got, tt.want) {
				t.Errorf("turned to %q, want %q", got, tt.want)
			}
		})
	}
}
