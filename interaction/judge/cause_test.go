package judge_test

import (
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/track"
	"flangeway/wheel"
)

// viewed is a survey with conflicts of all causes at two locations. The first car is
// hollow enough to be faulty by the plain rule; whether it is by what is computed must
// not depend on what else is looked at.
func viewed(t *testing.T) sheets {
	return sheets{exact: true, files: map[string]string{
		"wheels.csv": sheet(merged(t, passingWheel, "tread_hollow 6; flange_height 1.5"),
			merged(t, passingMate, "tread_hollow 6; flange_height 1.5"),
			merged(t, passingWheel, "car FWR 2; flange_height 1.9"), merged(t, passingMate, "car FWR 2")),
		"frogs.csv": sheet(cells(t, passedFrog), merged(t, passedFrog,
			"location mill; frog F2; flangeway_depth 1.4; point_worn_down 0.5; point_worn_back 6"),
			merged(t, passedFrog, "location mill; frog F3; flangeway_depth 0.9; type spring")),
		"curves.csv": sheet(cells(t, "location yard; curve C1; degree 6; gauge 56.5; rail 115RE"),
			cells(t, "location mill; curve C2; degree 12; gauge 57.25; rail 115RE")),
		"switches.csv": sheet(cells(t, passedSwitch),
			merged(t, passedSwitch, "location mill; switch S2; heel_rise 0.125; point_drop 0.9")),
	}}
}

// TestCauseOfEveryView: the cause of a pair, and its verdict, are the same in every view.
func TestCauseOfEveryView(t *testing.T) {
	t.Parallel()
	all := computedPairs(t, viewed(t))
	causes := map[interaction.Cause]int{}
	for _, f := range all {
		if f.Verdict == conflict {
			causes[f.Cause]++
		}
	}
	for _, c := range []interaction.Cause{interaction.CausePlace, interaction.CauseWheel, interaction.CausePair} {
		if causes[c] == 0 {
			t.Errorf("no conflict has the cause %s", c)
		}
	}
	views := []interaction.Options{{Location: "yard"}, {Car: "FWR 1"}, {Location: "mill", Car: "FWR 1"},
		{Check: "frog-floor", Location: "yard"}}
	for _, check := range []string{"frog-floor", "frog-wing", "hollow-curve", "outer-tread"} {
		views = append(views, interaction.Options{Check: check})
	}
	seen := 0
	for _, opt := range views {
		for key, f := range computedPairsOf(t, viewed(t), opt) {
			seen++
			if g := all[key]; f.Cause != g.Cause || f.Verdict != g.Verdict {
				t.Errorf("%+v: %s is %s of cause %s, with all else %s of cause %s", opt, key, f.Verdict, f.Cause,
					g.Verdict, g.Cause)
			}
		}
	}
	if seen < 60 {
		t.Errorf("%d pairs were looked at", seen)
	}
}

// TestReferenceWheels: what every place is tried against is clear of every place as
// designed, else no wheel could be told from a place.
func TestReferenceWheels(t *testing.T) {
	data := fixture.Data(t)
	trial := interaction.NewTrial(sheets{}.read(t, data).Settings, data)
	list := interaction.ReferenceWheels(data)
	if len(list) != 3 {
		t.Errorf("%d reference wheels, want a new narrow, a new wide and an ordinary worn one", len(list))
	}
	for _, w := range list {
		for kind := range track.NumKinds {
			a, b := trial.Wheel(w), trial.Place(interaction.DesignedFeature(data, kind))
			for k, c := range trial.Checks {
				if trial.Has(k, a, b) && trial.Verdict(k, a, b) != clears {
					t.Errorf("%s: a flange of %s, %s thick on a %s as designed is %s", c.ID,
						w.Read(wheel.FlangeHeight).Written, w.Read(wheel.FlangeThickness).Written, kind,
						trial.Verdict(k, a, b))
				}
			}
		}
	}
}

// TestOrdinaryWheelsAreNamed: which of the ordinary wheels conflict at a place is said, so that nobody reads that a new
// wheel conflicts where a worn one alone does.
func TestOrdinaryWheelsAreNamed(t *testing.T) {
	const narrow, wide, worn = "new narrow flange 1:20", "new wide flange 1:20", "ordinary worn"
	for _, tt := range []struct {
		name, check, wheel, place, ordinary string
		all                                 bool
	}{
		{"too shallow for a worn flange, not for new ones", "frog-floor", "flange_height 1.5",
			"frog: flangeway_depth 1.125", worn, false},
		{"too shallow for any", "frog-floor", "flange_height 1.5", "frog: flangeway_depth 0.9375",
			narrow + ", " + wide + ", " + worn, true},
		{"too small for the widest alone", "frog-point", "flange_thickness 1.375; back_to_back 53.125",
			"frog: guard_check 54.325", "new narrow flange 1:20, new wide flange 1:20", false},
		{"for none of them", "frog-floor", "flange_height 1.5", "frog: flangeway_depth 1.375", "", false},
	} {
		f, ok := onePair(t, fixture.Data(t), tt.check, checkCase{wheel: tt.wheel, place: tt.place})
		if got := strings.Join(f.Ordinary, ", "); !ok || got != tt.ordinary || f.AllOrdinary != tt.all {
			t.Errorf("%s: %q, all: %t", tt.name, got, f.AllOrdinary)
		}
		if place := f.Cause == interaction.CausePlace; place != (tt.ordinary != "") {
			t.Errorf("%s: cause %s", tt.name, f.Cause)
		}
	}
}
