package judge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/passage"
	"flangeway/internal/fixture"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// computedPairs judges a survey with what can be computed.
func computedPairs(t testing.TB, in sheets) map[string]*judge.Finding {
	t.Helper()
	return computedPairsOf(t, in, interaction.Options{})
}

func computedPairsOf(t testing.TB, in sheets, opt interaction.Options) map[string]*judge.Finding {
	t.Helper()
	return computedOf(t, in.read(t, fixture.Data(t)), opt)
}

// passed judges one check of the left wheel of such an axle at one place, and nothing else: by check
// alone is as of all, which TestPassagesOfOneCarAsOfAll tries.
func passed(t testing.TB, check, wheel, place string, settings map[string]float64) *judge.Finding {
	t.Helper()
	feature := "frog/F1"
	if strings.HasPrefix(place, "switch:") {
		feature = "switch/S1"
	}
	return computedPairsOf(t, passingSurvey(t, wheel, place, settings),
		interaction.Options{Check: check})[check+" "+feature+" FWR 1 L1"]
}

// An axle of a new narrow wheel L1, changed as a case says, and its mate R1.
const (
	passingWheel = "car FWR 1; position L1; design narrow flange 1:20; flange_height 1.000; flange_thickness 1.156; " +
		"vertical_flange none; tread_hollow none; back_to_back 53.375"
	passingMate = "car FWR 1; position R1; design narrow flange 1:20; flange_height 1.000; flange_thickness 1.156; " +
		"vertical_flange none; tread_hollow none"
	passedFrog = "location yard; frog F1; number 8; type rbm; gauge 56.500; flangeway_depth 1.875; flangeway_width " +
		"1.875; guard_check 54.625; speed_mph 10"
	passedSwitch = "location yard; switch S1; direction facing; gauge 56.500; point_gap 0.000; point_drop 0.250; " +
		"point_thickness 0.125; chip_depth none; face_angle 75; stock_rail_wear none; heel_rise 0.250"
)

func merged(t testing.TB, base, change string) row {
	r := cells(t, base)
	for k, v := range cells(t, change) {
		r[k] = v
	}
	return r
}

func passingSurvey(t testing.TB, w, place string, settings map[string]float64) sheets {
	in := sheets{settings: settings, exact: true, files: map[string]string{"wheels.csv": sheet(merged(t, passingWheel,
		w), cells(t, passingMate))}}
	if strings.HasPrefix(place, "switch:") {
		in.files["switches.csv"] = sheet(merged(t, passedSwitch, strings.TrimPrefix(place, "switch:")))
	} else {
		in.files["frogs.csv"] = sheet(merged(t, passedFrog, place))
	}
	return in
}

func TestVerdictsOfPassages(t *testing.T) {
	t.Parallel()
	flat := map[string]float64{"wing_slope_least": 0, "wing_slope_most": 0}
	conform := map[string]float64{"wing_slope_least": 0.05, "wing_slope_most": 0.05}
	for _, v := range []struct {
		name, reason   string
		check          string
		wheel, place   string
		settings       map[string]float64
		plain, verdict interaction.Verdict
	}{
		{"deep frog", "a new wheel in a new frog strikes nothing", "frog-floor", "", "", nil, interaction.Clear,
			interaction.Clear},
		{"cone sinks", "1/16 in of room: a coned tread sinks by more than that on flat tops, less on conforming ones " +
			"with the flange near the point", "frog-floor", "", "flangeway_depth 1.0625", nil, interaction.Clear,
			interaction.Undecided},
		{"cone sinks on flat tops", "0.04 in: less than it sinks in every position on flat tops", "frog-floor", "",
			"flangeway_depth 1.020", flat, interaction.Clear, interaction.Conflict},
		{"strike", "1/4 in too high is a strike whatever the tops", "frog-floor", "flange_height 1.500",
			"flangeway_depth 1.250", nil, interaction.Conflict, interaction.Conflict},
		{"plain stands", "no sections of a heavy-point frog", "frog-floor", "",
			"type heavy-point; flangeway_depth 1.0625",
			nil, interaction.Clear, interaction.Clear},
		{"cone sinks at a spring frog", "as at any other, on the route whose wing no spring holds", "frog-floor", "",
			"type spring; flangeway_depth 1.0625", nil, interaction.Clear, interaction.Undecided},
		{"new wheel on a wing that a spring holds", "no false flange", "frog-wing", "", "type spring", nil,
			interaction.Clear, interaction.Clear},
		{"hollow on a wing that a spring holds", "lifted by more than 2 mm of hollow are", "frog-wing",
			"flange_height 1.250; tread_hollow 3", "type spring", conform, interaction.Conflict, interaction.Conflict},
		{"the same hollow", "3 mm is what a wing takes that nothing holds", "frog-wing",
			"flange_height 1.250; tread_hollow 2.5", "", conform, interaction.Clear, interaction.Clear},
		{"new wheel over a floor that carries it", "no false flange, and the flange bears", "frog-wing", "",
			"type flange-bearing; flangeway_depth 0.875", nil, interaction.Clear, interaction.Clear},
		{"hollow over a floor that carries it", "where the floor is worn the tread carries, and the wing is climbed",
			"frog-wing", "flange_height 1.250; tread_hollow 4", "type flange-bearing; flangeway_depth 0.875", conform,
			interaction.Conflict, interaction.Conflict},
		{"guard holds beside a raised wheel", "1/8 in and more to the gauge line", "frog-point", "",
			"type flange-bearing; flangeway_depth 0.875; guard_check 54.750", nil, interaction.Clear,
			interaction.Clear},
		{"new wheel on the wing", "no false flange", "frog-wing", "", "", nil, interaction.Clear, interaction.Clear},
		{"hollow on conforming tops", "lifted by more than 3 mm of hollow are", "frog-wing",
			"flange_height 1.250; tread_hollow 4", "", conform, interaction.Conflict, interaction.Conflict},
		{"hollow on flat tops", "the cone that sinks takes part of it up; the plain rule does not let it be clear",
			"frog-wing", "flange_height 1.250; tread_hollow 4", "", flat, interaction.Conflict, interaction.Undecided},
		{"guard holds", "1/8 in and more to the gauge line", "frog-point", "", "guard_check 54.750", nil,
			interaction.Clear, interaction.Clear},
		{"past the point", "1/2 in past the gauge line is more than any flange rubs", "frog-point", "",
			"guard_check 54.000", nil, interaction.Conflict, interaction.Conflict},
		{"tight point", "a new flange beside a tight tip", "point-pick", "", "switch:", nil, interaction.Clear,
			interaction.Clear},
		{"wide gap", "3/8 in of gap", "point-pick", "", "switch:point_gap 0.375", nil, interaction.Conflict,
			interaction.Conflict},
		{"new point", "met by its face", "point-climb", "flange_height 1.250", "switch:", nil, interaction.Clear,
			interaction.Clear},
		{"deep chip", "only the flange's tip stands above the bottom of it", "point-climb", "",
			"switch:chip_depth 0.875; chip_length 12.000; point_thickness 0.250; point_gap 0.250", nil,
			interaction.Conflict, interaction.Conflict},
		{"heel", "a new tread over a new riser", "outer-tread", "", "switch:", nil, interaction.Clear,
			interaction.Clear},
		{"worn riser", "5 mm of false flange over no riser", "outer-tread", "flange_height 1.375; tread_hollow 5",
			"switch:heel_rise none", nil, interaction.Conflict, interaction.Conflict},
	} {
		t.Run(v.name, func(t *testing.T) {
			f := passed(t, v.check, v.wheel, v.place, v.settings)
			if f == nil {
				t.Fatal("no such pair")
			}
			if strings.Contains(v.place, "heavy-point") {
				if f.Computed != nil || !strings.Contains(strings.Join(f.Notes, "\n"), "no sections") {
					t.Errorf("computed %v, notes %q", f.Computed, f.Notes)
				}
				return
			}
			if f.Computed == nil {
				t.Fatalf("not computed: %q", f.Notes)
			}
			if f.Plain != v.plain || f.Verdict != v.verdict {
				t.Errorf("plain %s (want %s), computed %s (want %s): %s: %s; %s", f.Plain, v.plain, f.Verdict,
					v.verdict, v.reason, f.Computed.Text(), f.Computed.Why)
			}
			if f.Computed.Why == "" || f.Computed.Mechanism == "" {
				t.Errorf("says nothing: %+v", f.Computed)
			}
		})
	}
}

// In words: what is computed is given beside the plain margin, and what was assumed.
func TestPassagesSayWhatTheyAssume(t *testing.T) {
	t.Parallel()
	for _, v := range []struct{ check, wheel, place, says string }{
		{"frog-floor", "tread_hollow n/m", "flangeway_depth 1.0625", "tread_hollow was not read"},
		{"frog-floor", "design n/m", "flangeway_depth 1.0625", "design not given"},
		{"frog-floor", "", "type n/m", "type of the frog not read"},
		{"frog-floor", "flange_height 1.500", "flangeway_depth 1.250", "at 10 mph on a blunt end of the floor adds"},
		{"frog-wing", "flange_height 1.250; tread_hollow 4", "", "P2"},
		{"frog-point", "vertical_flange n/m", "", "vertical_flange was not read"},
		{"point-pick", "", "switch:point_thickness n/m", "point_thickness of the switch not read"},
		{"point-pick", "", "switch:gauge n/m", "its yaw at none and at unread_play"},
		{"point-climb", "", "switch:", "from memory"},
		{"outer-tread", "", "switch:", "ride_over"},
	} {
		f := passed(t, v.check, v.wheel, v.place, nil)
		if f == nil || f.Computed == nil || !strings.Contains(f.Computed.Why, v.says) {
			t.Errorf("%s, wheel %q, place %q does not say %q: %+v", v.check, v.wheel, v.place, v.says, f)
		}
	}
	// What is not read of a frog is tried over what it can be, and named.
	for _, place := range []string{"number -", "flangeway_width n/m"} {
		f := passed(t, "frog-floor", "", place, nil)
		if name, _, _ := strings.Cut(place, " "); f == nil || f.Computed == nil ||
			!strings.Contains(f.Computed.Why, name) || !strings.Contains(f.Computed.Why, "of the frog not read") {
			t.Errorf("%s: %+v", place, f)
		}
	}
}

// What check computes from rounded readings agrees with the passage of the wheel as it was
// read: the least clearance over all positions, flat tops.
func TestFloorAgreesWithThePassage(t *testing.T) {
	figures := fixture.Figures(t)
	design, err := wheelshape.Named(fixture.Shapes(t), "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	flat := map[string]float64{"wing_slope_least": 0, "wing_slope_most": 0}
	for _, v := range []struct {
		number       float64
		high, hollow float64 // in, mm
	}{{6, 1.25, 2}, {8, 1.3125, 3}, {10, 1.25, 1.5}, {15, 1.375, 2.5}} {
		w := wheelshape.WornReadings{Height: exactly(v.high), Thickness: exactly(1), Hollow: exactly(v.hollow / inch)}
		worn, err := wheelshape.Rebuild(design, w)
		if err != nil {
			t.Fatal(err)
		}
		made, err := passage.NewWheel(worn.Middle, 36*inch)
		if err != nil {
			t.Fatal(err)
		}
		plan := trackshape.NewFrogPlan(figures, "rbm", v.number)
		plan.FlangewayDepth = 1.5 * inch
		m, err := trackshape.NewFrogModel(plan)
		if err != nil {
			t.Fatal(err)
		}
		const back = 53.375 * inch
		s, err := passage.Frog(m, made, passage.Axle{BackToBack: back, MateThickness: 1.156 * inch, GuardCheck: back +
			1*inch + 3, Gauge: 56.5 * inch}, passage.FrogOptions{})
		if err != nil {
			t.Fatal(err)
		}
		f := passed(t, "frog-floor", fmt.Sprintf("flange_height %.4f; flange_thickness 1.0000; tread_hollow %g; "+
			"vertical_flange n/m", v.high, v.hollow), fmt.Sprintf("number %g; flangeway_depth 1.5000", v.number), flat)
		if f == nil || f.Computed == nil {
			t.Fatalf("No. %g: not computed", v.number)
		}
		if d := f.Computed.Margin - s.FloorMargin; math.Abs(d) > 0.3 || f.Computed.Low > f.Computed.Margin {
			t.Errorf("No. %g, hollow %g: check has %.2f mm and %.2f at least, the passage %.2f", v.number, v.hollow,
				f.Computed.Margin, f.Computed.Low, s.FloorMargin)
		}
	}
}

// Over random wheels and places: nothing computed is clear where the plain rule is not,
// nor where a reading of the shape is missing that decides; a better verdict says why; the
// margin lies between its ends; a conflict has no end on the clear side.
func TestComputedPassagesNeverClearMoreThanThePlainRule(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	random := rand.New(rand.NewPCG(7, 11))
	pick := func(list ...string) string { return list[random.IntN(len(list))] }
	rounds := fixture.Drawn(3, 20)
	seen := map[string]int{}
	for range rounds {
		w := func(position string) row {
			return cells(t, fmt.Sprintf("car FWR 1; position %s; flange_height %s; flange_thickness %s; "+
				"vertical_flange %s; tread_hollow %s; back_to_back 53-3/8", position,
				pick("1", "1-1/8", "1-1/4", "1-7/16", "<=1-3/8", ">1", "n/m"),
				pick("1-1/8", "1", "15/16", "7/8", ">15/16", "n/m"), pick("n/m", "<1", ">=1", "1/2", "7/8", "none"),
				pick("n/m", "none", "1", "2.5", "3", "4", "<4", ">3")))
		}
		in := sheets{files: map[string]string{
			"wheels.csv": sheet(w("L1"), w("R1"), w("L2"), w("R2")),
			"frogs.csv": sheet(cells(t, fmt.Sprintf("location a; frog F1; number %s; type %s; gauge 56-%s; "+
				"flangeway_depth %s; flangeway_width %s; guard_check 54-%s; tread_wear %s; point_worn_down %s; "+
				"point_worn_back %s",
				pick("6", "8", "10", "20", "7.5"), pick("rbm", "solid", "self-guarded", "bolted", "n/m"),
				pick("1/2", "3/4", "7/8"), pick("1-3/8", "1-1/2", "1-9/16", "1-7/8", ">1-3/8"),
				pick("1-7/8", "1-3/4", "1-5/8"),
				pick("1/8", "3/8", "5/8"), pick("n/m", "1/8", "3/8"), pick("n/m", "1/4", "1/2"),
				pick("n/m", "4", "8")))),
			"switches.csv": sheet(cells(t, fmt.Sprintf("location a; switch S1; gauge 56-%s; point_gap %s; point_drop "+
				"%s; point_thickness %s; chip_depth %s; chip_length %s; face_angle %s; stock_rail_wear %s; undercut "+
				"%s; heel_rise %s",
				pick("1/2", "7/8"), pick("none", "1/8", "1/4", "n/m"), pick("1/4", "3/8", "9/16", "n/m"),
				pick("1/8", "1/4", "n/m"), pick("none", "1/2", "7/8", "n/m"), pick("1", "6", "10", "n/m"),
				pick("75", "65", "55", "n/m"),
				pick("none", "1/8", "1/4", "n/m"), pick("none", "1/4", "3/8", "n/m"),
				pick("1/4", "1/8", "none", "n/m")))),
		}}
		for key, f := range computedPairs(t, in) {
			k := f.Computed
			if k == nil || f.Check.ID == "hollow-curve" {
				continue
			}
			seen[f.Check.ID+" "+f.Verdict.String()]++
			if f.Verdict == interaction.Clear && f.Plain != interaction.Clear {
				t.Errorf("%s: clear, the plain rule gives %s", key, f.Plain)
			}
			if f.Verdict > f.Plain && !strings.Contains(strings.Join(f.Notes, "\n"), "shapes and forces better") {
				t.Errorf("%s: %s, plain %s, and does not say why", key, f.Verdict, f.Plain)
			}
			if !(k.Low <= k.High) || !math.IsNaN(k.Margin) && !(k.Low-1e-9 <= k.Margin && k.Margin <= k.High+1e-9) {
				t.Errorf("%s: margin %g from %g to %g", key, k.Margin, k.Low, k.High)
			}
			if f.Verdict == interaction.Conflict && k.High >= 0 || f.Verdict == interaction.Clear && k.Low <= 0 &&
				!k.Close {
				t.Errorf("%s: %s from %g to %g", key, f.Verdict, k.Low, k.High)
			}
			if k.Close != (k.Assumed != "") || k.Close && !(f.Close && f.Verdict == interaction.Clear) {
				t.Errorf("%s: %s, close %v and %v: %q", key, f.Verdict, k.Close, f.Close, k.Assumed)
			}
			if f.Verdict == interaction.Undecided && len(f.SettleBy()) == 0 && f.LookAt() == "" {
				t.Errorf("%s: undecided, settled by nothing and nothing to look at: %q", key, f.Notes)
			}
		}
	}
	for _, id := range []string{"frog-floor", "frog-point", "frog-wing", "outer-tread", "point-climb", "point-pick"} {
		if seen[id+" conflict"]+seen[id+" undecided"] == 0 || fixture.Volume() && seen[id+" clear"] == 0 {
			t.Errorf("%s was not tried on both sides: %v", id, seen)
		}
	}
}

// A place of which no sections can be made, or on which no tread rests, is clear for nobody, whatever the plain rule
// says.
func TestWhatCannotBeComputedIsNotClear(t *testing.T) {
	t.Parallel()
	for _, width := range []string{"4", "1/4"} {
		f := passed(t, "frog-floor", "", "flangeway_width "+width, nil)
		if f.Plain != interaction.Clear || f.Verdict != interaction.Undecided || f.Computed.Why == "" {
			t.Errorf("a frog %s in wide: plain %s, %s (%s)", width, f.Plain, f.Verdict, f.Computed.Why)
		}
	}
}

// More wear never makes a conflict of a passage clear.
func TestPassagesWithMoreWear(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	for _, v := range []struct {
		check, name string
		wheel       func(i int) string
		place       func(i int) string
	}{
		{"frog-floor", "a higher flange", func(i int) string {
			return fmt.Sprintf("flange_height %.4f",
				1+float64(i)/16)
		}, func(int) string { return "flangeway_depth 1.3750" }},
		{"frog-floor", "a shallower frog", func(int) string { return "flange_height 1.2500" },
			func(i int) string { return fmt.Sprintf("flangeway_depth %.4f", 1.6-float64(i)/16) }},
		{"frog-wing", "more hollow", func(i int) string {
			return fmt.Sprintf("flange_height 1.4000; tread_hollow %.1f",
				float64(i)*0.8)
		}, func(int) string { return "" }},
		{"frog-point", "a smaller guard check", func(int) string { return "" },
			func(i int) string { return fmt.Sprintf("guard_check %.4f", 54.75-float64(i)/12) }},
		{"point-pick", "a wider gap", func(int) string { return "" },
			func(i int) string { return fmt.Sprintf("switch:point_gap %.4f", float64(i)/16) }},
		{"point-climb", "a lower point", func(int) string { return "" },
			func(i int) string { return fmt.Sprintf("switch:point_drop %.4f; point_gap 0.2500", 0.25+float64(i)/12) }},
		{"point-climb", "a deeper chip", func(int) string { return "" }, func(i int) string {
			return fmt.Sprintf("switch:gauge 57.000; point_gap 0.125; chip_length 6; chip_depth %.4f",
				0.6875+float64(i)/16)
		}},
		{"outer-tread", "a lower riser", func(int) string { return "flange_height 1.3750; tread_hollow 4.5" },
			func(i int) string { return fmt.Sprintf("switch:heel_rise %.4f", 0.25-float64(i)/32) }},
	} {
		t.Run(v.check+" "+v.name, func(t *testing.T) {
			last := 0.0
			conflict := false
			for i := range 6 {
				f := passed(t, v.check, v.wheel(i), v.place(i), nil)
				if f == nil || f.Computed == nil {
					t.Fatalf("step %d: not computed: %+v", i, f)
				}
				conflict = conflict || f.Verdict == interaction.Conflict
				if conflict && f.Verdict == interaction.Clear {
					t.Errorf("step %d: clear after a conflict", i)
				}
				if i > 0 && f.Computed.Margin > last+0.05 {
					t.Errorf("step %d: the margin grew from %.3f to %.3f", i, last, f.Computed.Margin)
				}
				last = f.Computed.Margin
			}
		})
	}
}

// What is computed of a car does not depend on which cars and which check are asked for, nor
// does the cause.
func TestPassagesOfOneCarAsOfAll(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	var rows []row
	const cars = 2
	for i := range cars {
		for _, position := range []string{"L1", "R1"} {
			rows = append(rows, merged(t, passingWheel,
				fmt.Sprintf("car FWR %d; position %s; design wide flange 1:20; flange_height 1.250; flange_thickness "+
					"%.3f; tread_hollow %d", i+1, position, 0.75+0.375*float64(i), 3*i)))
		}
	}
	in := sheets{exact: true, settings: map[string]float64{"wing_hollow": 0},
		files: map[string]string{"wheels.csv": sheet(rows...),
			"frogs.csv": sheet(cells(t, passedFrog),
				merged(t, passedFrog, "frog F2; type bolted; point_worn_down 0.750; point_worn_back 4")),
			"switches.csv": sheet(cells(t, passedSwitch))}}
	all := computedPairs(t, in)
	asked := []interaction.Options{{Car: "FWR 1"}}
	for _, check := range []string{"frog-floor", "frog-point", "frog-wing", "outer-tread", "point-climb",
		"point-pick"} {
		asked = append(asked, interaction.Options{Check: check})
	}
	n := map[string]int{} // by car that was asked for
	for _, opt := range asked {
		for key, f := range computedPairsOf(t, in, opt) {
			g := all[key]
			if f.Computed == nil {
				continue
			}
			n[opt.Car]++
			if f.Cause != g.Cause || f.Verdict != g.Verdict || f.Computed.Low != g.Computed.Low ||
				f.Computed.High != g.Computed.High || f.Computed.Why != g.Computed.Why {
				t.Errorf("%s: %+v alone %s, %s, %s: %s;\nwith the others %s, %s, %s: %s", key, opt, f.Verdict, f.Cause,
					f.Computed.Text(), f.Computed.Why, g.Verdict, g.Cause, g.Computed.Text(), g.Computed.Why)
			}
		}
	}
	computed := 0
	for _, f := range all {
		if f.Computed != nil {
			computed++
		}
	}
	if computed < 30 || 2*n["FWR 1"] != computed || n[""] != computed {
		t.Errorf("of %d computed pairs %v were compared", computed, n)
	}
}

// Where the shapes say that something is wrong nothing is clear, and no fix is asked of a
// plain margin that needs none.
func TestNothingIsClearWhereNoPassageIsFound(t *testing.T) {
	for _, v := range []struct{ check, wheel, place, says string }{
		{"frog-floor", "", "flangeway_width 3.000", "rests on nothing"},
		{"frog-wing", "", "flangeway_width 3.000", "rests on nothing"},
		{"frog-point", "", "flangeway_width 3.000; guard_check 54.750", "rests on nothing"},
		{"point-pick", "", "switch:point_drop 1.125", "passes above the point"},
	} {
		f := passed(t, v.check, v.wheel, v.place, nil)
		if f == nil || f.Computed == nil || f.Plain != interaction.Clear || f.Verdict != interaction.Undecided ||
			!strings.Contains(f.Computed.Why, v.says) {
			t.Errorf("%s, %s: %+v", v.check, v.place, f)
			continue
		}
		if len(f.FixWheel)+len(f.FixTrack) > 0 {
			t.Errorf("%s, %s: fixes %q %q", v.check, v.place, f.FixWheel, f.FixTrack)
		}
	}
}

// A one-sided hollow is not tried at values that it rules out, and nothing is said to be
// as written of it.
func TestPassagesOfOneSidedHollow(t *testing.T) {
	conform := map[string]float64{"wing_slope_least": 0.05, "wing_slope_most": 0.05}
	for _, v := range []struct{ check, place string }{{"frog-wing", ""}, {"outer-tread", "switch:heel_rise none"}} {
		f := passed(t, v.check, "flange_height 1.375; tread_hollow >5", v.place, conform)
		if f == nil || f.Computed == nil || f.Plain != interaction.Conflict || f.Verdict != interaction.Conflict {
			t.Errorf("%s: %+v", v.check, f)
			continue
		}
		if strings.Contains(f.Computed.Why, "as written") {
			t.Errorf("%s: %s", v.check, f.Computed.Why)
		}
	}
}

// The greatest least_contact_angle that can be set keeps no flange from being computed.
func TestRightAngleAsLeastContactAngle(t *testing.T) {
	f := passed(t, "point-climb", "flange_height 1.250", "switch:", map[string]float64{"least_contact_angle": 90})
	if f == nil || f.Computed == nil || f.Verdict != interaction.Conflict {
		t.Errorf("%+v", f)
	}
}

// At a facing point friction is spent: where it is high it asks for a steeper flange than
// least_contact_angle, twice its arctangent.
func TestFrictionAtFacingPoint(t *testing.T) {
	leftToVolumes(t)
	for _, v := range []struct {
		name     string
		friction float64
		clear    bool
	}{
		{"53.1 degrees at 0.5: least_contact_angle rules", 0.5, true},
		{"59.8 degrees at 0.575, just below", 0.575, true},
		{"61.9 degrees at 0.6, over the face's 61", 0.6, false},
		{"77.3 degrees at 0.8, over any flange", 0.8, false},
	} {
		f := computedPairs(t, passingSurvey(t, "flange_height 1.250", "switch:face_angle 61; point_gap none",
			map[string]float64{"dry_friction": v.friction}))["point-climb switch/S1 FWR 1 L1"]
		if f == nil || f.Computed == nil || (f.Verdict == interaction.Clear) != v.clear {
			t.Errorf("%s: %+v", v.name, f)
		}
	}
}

// The length of a point's loss that was not read is tried as far as one can be written: no length
// that is read is worse than none.
func TestLengthOfALossNotReadIsNoBetter(t *testing.T) {
	leftToVolumes(t)
	tried := 0
	for _, depth := range []string{"1.5625", "1.625", "1.6875"} {
		of := func(back string) *judge.Finding {
			return passed(t, "frog-floor", "flange_height 1.375", "point_worn_down 0.375; point_worn_back "+back+
				"; flangeway_depth "+depth, nil)
		}
		long, blank := of("48"), of("n/m")
		if long.Verdict != clears {
			tried++
		}
		if long.Verdict != clears && blank.Verdict == clears {
			t.Errorf("depth %s: 48 in back is %s, not read is clear: %s", depth, long.Verdict, blank.Computed.Text())
		}
	}
	if tried == 0 {
		t.Error("no length of loss matters: the test tests nothing")
	}
}
