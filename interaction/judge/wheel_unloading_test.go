package judge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// unloading is one car at one place: cells by column, a column that is not there blank.
type unloading struct {
	car, place string // "column value; column value", the place with its kind before it
	exact      bool
	settings   map[string]float64
}

// pair judges it by wheel-unloading alone; nil where there is no pair.
func (u unloading) pair(t testing.TB) *judge.Finding {
	t.Helper()
	kind, text, _ := strings.Cut(u.place, ":")
	file := map[string]string{"switch": "switches.csv", "curve": "curves.csv", "spot": "gauge.csv"}[kind]
	var wheels []row
	axles := 4
	if strings.Contains(u.car, "axles 2") {
		axles = 2
	}
	for axle := 1; axle <= axles; axle++ {
		for _, side := range []string{"L", "R"} {
			wheels = append(wheels, cells(t, fmt.Sprintf("car A 1; position %s%d; flange_height 1", side, axle)))
		}
	}
	in := sheets{exact: u.exact, settings: u.settings, files: map[string]string{
		"cars.csv": sheet(cells(t, u.car).with("car", "A 1")), "wheels.csv": sheet(wheels...),
		file: sheet(cells(t, text).with("location", "here", kind, "X1"))}}
	s := in.read(t, fixture.Data(t))
	book, err := s.Book()
	if err != nil {
		t.Fatal(err)
	}
	e := judge.New(s, book, interaction.Options{Check: "wheel-unloading"})
	if n := e.Judge().Summary.Pairs; n != 0 {
		t.Fatalf("%d pairs of a check that has none by the plain rules", n)
	}
	if _, err := e.Compute(); err != nil {
		t.Fatal(err)
	}
	r := e.Judge()
	var out *judge.Finding
	if err := e.EachPair(r.Tallies, func(f *judge.Finding) error {
		if out != nil {
			t.Fatalf("%s stands twice for one car", pairKey(f))
		}
		out = f
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

const stiffEmpty = "kind freight; gross_lb 50000; axles 4; truck_centers 480; body stiff; load_imbalance 0"

func TestWheelUnloading(t *testing.T) {
	t.Parallel()
	// 2h·2 in/s² is a tenth.
	tenth := map[string]float64{"gravity_height": 0.1 * 59.5 * 59.5 / 4 * inch}
	const loaded = "gross_lb 286000; axles 4; truck_centers 480; body ordinary; load_imbalance "
	for _, tt := range []struct {
		name, car, place string
		settings         map[string]float64
		verdict          interaction.Verdict
		as, lo, hi       float64 // percent; NaN: absent
		settle           string
		close            bool
		reason           string
	}{
		{"at the published least", loaded + "80", "curve: degree 6; elevation 2; speed_mph 0; warp none", tenth,
			undecided,
			0, 0, 0, "look", false, "more than ten percent: at it nothing is clear"},
		{"just above it", loaded + "80", "curve: degree 6; elevation 1.99; speed_mph 0; warp none", tenth, clears, 0.05,
			0.05, 0.05, "", true, "under 10 percent is close"},
		{"just below it", loaded + "80", "curve: degree 6; elevation 2.01; speed_mph 0; warp none", tenth, conflict,
			-0.05, -0.05, -0.05, "", false, "less than the least at every end"},
		{"all within the truck centers", stiffEmpty, "spot: warp 2.5; warp_over 40; crosslevel none", nil, clears,
			100 * (0.9 - 0.728), 100 * (0.9 - 0.728), 100 * (0.9 - 0.728), "", false,
			"vector of 50,000 lb, rigid, 2.5 in"},
		{"read over more than the truck centers", stiffEmpty, "spot: warp 3; crosslevel 3", nil, undecided,
			100 * (0.9 - 0.243 - 0.1424), 100 * (0.9 - 0.840 - 0.1424), 100 * (0.9 - 0.235 - 0.1424), "warp", false,
			"as a ramp 1.94 in, at least half, at most all of it"},
		{"the same with a soft body", strings.Replace(stiffEmpty, "stiff", "soft", 1), "spot: warp 3; crosslevel 3",
			nil,
			clears, 100 * (0.9 - 0.235 - 0.1424), 100 * (0.9 - 0.235 - 0.1424), 100 * (0.9 - 0.235 - 0.1424), "", false,
			"a soft body goes along"},
		{"read over the truck centers", stiffEmpty, "spot: warp 3; warp_over 40; crosslevel 3", nil, conflict,
			100 * (0.9 - 0.840 - 0.1424), 100 * (0.9 - 0.840 - 0.1424), 100 * (0.9 - 0.840 - 0.1424), "", false,
			"on its bearings and tilted"},
		{"three small faults", "gross_lb 60000; axles 4; truck_centers 480; body stiff; load_imbalance 40",
			"spot: warp 2; warp_over 40; crosslevel 2.5", nil, clears, 100 * (0.9 - 0.2487 - 0.1186 - 0.4),
			100 * (0.9 - 0.2487 - 0.1186 - 0.4), 100 * (0.9 - 0.2487 - 0.1186 - 0.4), "", false,
			"each within its limit"},
		{"one more half inch", "gross_lb 60000; axles 4; truck_centers 480; body stiff; load_imbalance 40",
			"spot: warp 2.5; warp_over 40; crosslevel 2.5", nil, conflict, 100 * (0.9 - 0.606957 - 0.118 - 0.4),
			100 * (0.9 - 0.606957 - 0.118 - 0.4), 100 * (0.9 - 0.606957 - 0.118 - 0.4), "", false, "together too many"},
		{"left or right rail high", stiffEmpty, "spot: warp none; crosslevel -3", nil, clears, 100 * (0.9 - 0.142),
			100 * (0.9 - 0.142), 100 * (0.9 - 0.142), "", false, "which way the car stands is not known"},
		{"reverse elevation", stiffEmpty, "curve: degree 6; elevation -2; speed_mph 25; warp none", nil, clears,
			100 * (0.9 - 0.2194), 100 * (0.9 - 0.2194), 100 * (0.9 - 0.2194), "", false,
			"0.0007 x 6 x 625 = 2.625 in on top of 2 in"},
		{"least crosslevel of a curve", stiffEmpty, "curve: degree 6; elevation 1; crosslevel_least -3; speed_mph 0; " +
			"warp none", nil, clears, 100 * (0.9 - 0.1424), 100 * (0.9 - 0.1424), 100 * (0.9 - 0.1424), "", false,
			"the worst place of it"},
		{"running at balance", stiffEmpty, "curve: degree 10; elevation 3; speed_mph 20.7; warp none", nil, clears,
			100 * (0.9 - 0.1424), 100 * (0.9 - 0.1424), 100 * (0.9 - 0.1424), "", false, "it may stop there"},
		{"no weight", strings.Replace(stiffEmpty, "gross_lb 50000; ", "", 1), "spot: warp 1; crosslevel none", nil,
			notMeasured,
			absent, absent, absent, "gross_lb", false, "a share of an unknown load"},
		{"a car of two axles", strings.Replace(stiffEmpty, "axles 4", "axles 2", 1), "spot: warp 1; crosslevel none",
			nil,
			notMeasured, absent, absent, absent, "axles", false, "not in the model"},
		{"warp not read, loaded", loaded + "0", "curve: degree 6; elevation 1; speed_mph 0; track_class 1", nil, clears,
			100 * (0.9 - 0.0475), 100 * (0.9 - 0.0475 - 0.235), 100 * (0.9 - 0.0475), "", false, "tried to 3 in"},
		{"warp not read, empty", stiffEmpty, "curve: degree 6; elevation 3; speed_mph 0; track_class 1", nil, undecided,
			100 * (0.9 - 0.1424), 100 * (0.9 - 0.1424 - 0.840), 100 * (0.9 - 0.1424), "warp", false,
			"up to 3 in, class 1"},
		{"warp not read, empty, class 4", stiffEmpty, "curve: degree 6; elevation 3; speed_mph 0; track_class 4", nil,
			clears, 100 * (0.9 - 0.1424), 100 * (0.9 - 0.1424 - 0.235), 100 * (0.9 - 0.1424), "", false, "1-3/4 in"},
		{"crosslevel not read", stiffEmpty, "spot: warp 2.5; warp_over 40; track_class 1", nil, clears,
			100 * (0.9 - 0.728),
			100 * (0.9 - 0.728 - 0.1424), 100 * (0.9 - 0.728), "", true, "tried to 3 in either way"},
		{"body not read", strings.Replace(stiffEmpty, "; body stiff", "", 1),
			"spot: warp 3; warp_over 40; crosslevel 1.5",
			nil, undecided, 100 * (0.9 - 0.810 - 0.0712), 100 * (0.9 - 0.840 - 0.0712), 100 * (0.9 - 0.235 - 0.0712),
			"body", false, "ordinary as set; stiff it conflicts"},
		{"load not read", strings.Replace(stiffEmpty, "; load_imbalance 0", "", 1), "spot: warp 2.5; warp_over 40; " +
			"crosslevel 2", nil, undecided, 100 * (0.9 - 0.728 - 0.0949), 100 * (0.9 - 0.728 - 0.0949 - 0.1),
			100 * (0.9 - 0.728 - 0.0949), "load_imbalance", false, "a tenth to one side takes what is left"},
		{"switch", loaded + "0", "switch: crosslevel 1; track_class 1", nil, clears, 100 * (0.9 - 0.0475),
			100 * (0.9 - 0.0475), 100 * (0.9 - 0.0475), "", false, "no column for warp along a switch"},
		{"switch, empty", stiffEmpty, "switch: crosslevel 2-1/2; track_class 1", nil, clears, 100 * (0.9 - 0.1186),
			100 * (0.9 - 0.1186), 100 * (0.9 - 0.1186), "", true, "close by the warp that its class allows"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := unloading{tt.car, tt.place, true, tt.settings}.pair(t)
			if f == nil {
				t.Fatal("no pair")
			}
			if f.Verdict != tt.verdict || f.Close != tt.close {
				t.Errorf("%s, close %t; want %s, %t (%s)", f.Verdict, f.Close, tt.verdict, tt.close, tt.reason)
			}
			for _, m := range []struct {
				what string
				got  *float64
				want float64
			}{{"as", f.Margin.As, tt.as}, {"lo", f.Margin.Lo, tt.lo}, {"hi", f.Margin.Hi, tt.hi}} {
				if (m.got == nil) != math.IsNaN(m.want) || m.got != nil && math.Abs(*m.got-m.want) > 0.06 {
					t.Errorf("%s: %v, want %.2f (%s)", m.what, value(m.got), m.want, tt.reason)
				}
			}
			if got := strings.Join(f.Settle(), ", "); !strings.Contains(got, tt.settle) || got != "" &&
				tt.settle == "" {
				t.Errorf("settled by %q, want %q", got, tt.settle)
			}
			if bad := f.Verdict == conflict || f.Verdict == undecided; bad &&
				(len(f.FixTrack) == 0 || len(f.FixWheel) == 0) {
				t.Errorf("no fix: %q, %q", f.FixTrack, f.FixWheel)
			}
		})
	}
}

func value(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

// A place of which none of the three readings was taken has no pair.
func TestWheelUnloadingApplies(t *testing.T) {
	t.Parallel()
	for place, want := range map[string]bool{"spot: gauge 56-1/2": false, "curve: degree 6; gauge 57": false,
		"switch: gauge 57": false, "spot: warp_short 1/4": false, "curve: degree 6; crosslevel_least 1": false,
		"spot: warp 0": true, "spot: crosslevel none": true, "curve: degree 6; elevation 1": true,
		"curve: degree 6; warp 1": true, "switch: crosslevel 0": true} {
		if f := (unloading{car: stiffEmpty, place: place}).pair(t); (f != nil) != want {
			t.Errorf("%s: a pair %t, want %t", place, f != nil, want)
		}
	}
}

// Repairs do what they say: with the warp, or the weight, that a fix names the pair is clear.
func TestWheelUnloadingFixes(t *testing.T) {
	t.Parallel()
	f := unloading{stiffEmpty, "spot: warp 3; warp_over 40; crosslevel 3", true, nil}.pair(t)
	if want := []string{"surface the track: warp of 2-3/8 in or less within 40 ft"}; !slices.Equal(f.FixTrack, want) {
		t.Errorf("%q, want %q", f.FixTrack, want)
	}
	if f := (unloading{stiffEmpty, "spot: warp 2-3/8; warp_over 40; crosslevel 3", true,
		nil}).pair(t); f.Verdict != clears ||
		f.Close {
		t.Errorf("with the warp that is asked for: %s, close %t", f.Verdict, f.Close)
	}
	if f := (unloading{stiffEmpty, "spot: warp 2-1/2; warp_over 40; crosslevel 3", true,
		nil}).pair(t); f.Verdict == clears &&
		!f.Close {
		t.Error("an eighth more is clear too")
	}
	if !strings.Contains(f.FixWheel[0], "weighs less than 90,000 lb") {
		t.Errorf("%q", f.FixWheel)
	}
	for weight, want := range map[string]bool{"90000": true, "85000": false} {
		car := strings.Replace(stiffEmpty, "50000", weight, 1)
		f := unloading{car, "spot: warp 3; warp_over 40; crosslevel 3", true, nil}.pair(t)
		if got := f.Verdict == clears && !f.Close; got != want {
			t.Errorf("%s lb: %s, close %t", weight, f.Verdict, f.Close)
		}
	}
	trimmed := unloading{strings.Replace(stiffEmpty, "load_imbalance 0", "load_imbalance 60", 1),
		"spot: warp 1; warp_over 40; crosslevel 3", true, nil}.pair(t)
	want := "move or trim the load: the heavier side of a truck at most 42 percent over half"
	if len(trimmed.FixWheel) == 0 ||
		trimmed.FixWheel[0] != want {
		t.Errorf("%q, want %q", trimmed.FixWheel, want)
	}
}

// drawnUnloading are cells by column of a car and a place, drawn.
type drawnUnloading struct{ car, place map[string]float64 }

func (d drawnUnloading) of(body string, lessOf ...string) unloading {
	write := func(cells map[string]float64) (out []string) {
		for column, v := range cells {
			if !slices.Contains(lessOf, column) {
				out = append(out, fmt.Sprintf("%s %g", column, v))
			}
		}
		return out
	}
	car := append(write(d.car), "axles 4")
	if body != "" {
		car = append(car, "body "+body)
	}
	return unloading{car: strings.Join(car, "; "), place: "curve: " + strings.Join(write(d.place), "; "), exact: true}
}

// The worse a car stands the less its margin, and the less is known the less is clear; no clear
// car has a wheel that keeps a tenth of its load or less.
func TestWheelUnloadingProperties(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	r, n := rand.New(rand.NewPCG(17, 6)), int(fixture.Drawn(10, 80))
	eighths := func(most float64) float64 { return math.Round(8*most*r.Float64()) / 8 }
	bodies := []string{"stiff", "ordinary", "soft"}
	clear, open := 0, 0
	for i := range n {
		d := drawnUnloading{
			car: map[string]float64{"gross_lb": 1000 * math.Round(30+100*r.Float64()*r.Float64()),
				"truck_centers":  360 + 12*math.Round(30*r.Float64()),
				"load_imbalance": math.Round(60 * r.Float64() * r.Float64())},
			place: map[string]float64{"degree": 1 + math.Round(12*r.Float64()), "elevation": eighths(5),
				"warp":      eighths(3),
				"warp_over": 31 + math.Round(31*r.Float64()), "track_class": 1 + math.Round(2*r.Float64()),
				"speed_mph": 10},
		}
		body := bodies[r.IntN(3)]
		now := d.of(body).pair(t)
		if now.Verdict == clears {
			clear++
			if kept := *now.Margin.Lo + 10; kept <= 10 || 100*now.Unloading.Kept() <= 10 {
				t.Fatalf("%d: clear, and a wheel keeps %g percent of its load", i, kept)
			}
		} else {
			open++
		}
		check := func(what string, worse *judge.Finding) {
			t.Helper()
			if rank(worse.Verdict) > rank(now.Verdict) || *worse.Margin.Lo > *now.Margin.Lo+1e-6 ||
				*worse.Margin.As > *now.Margin.As+1e-6 {
				t.Fatalf("%d %+v %s: %s, margin %g (least %g); with %s %s, %g (%g)", i, d, body, now.Verdict,
					*now.Margin.As,
					*now.Margin.Lo, what, worse.Verdict, *worse.Margin.As, *worse.Margin.Lo)
			}
		}
		for _, x := range []struct {
			side, column string
			by           float64
		}{{"place", "warp", 0.5}, {"car", "gross_lb", -8000}, {"car", "load_imbalance", 5},
			{"place", "elevation", 0.5}} {
			if x.column == "elevation" && d.place["elevation"] < 0.0007*d.place["degree"]*100 {
				continue // nearer to balance
			}
			cells := map[string]map[string]float64{"place": d.place, "car": d.car}[x.side]
			was := cells[x.column]
			cells[x.column] = was + x.by
			check("more "+x.column, d.of(body).pair(t))
			cells[x.column] = was
		}
		if j := slices.Index(bodies, body); j > 0 {
			check("a stiffer body", d.of(bodies[j-1]).pair(t))
		}
		// Not read at all, a figure within what is tried for it is never better known as clear.
		for _, column := range []string{"warp", "elevation", "truck_centers", "load_imbalance", "body"} {
			if column == "load_imbalance" && d.car[column] > 10 || column == "warp" && (d.place[column] > 2 ||
				d.place["warp_over"] < d.car["truck_centers"]/12) {
				continue
			}
			blank := body
			if column == "body" {
				blank = ""
			}
			if f := d.of(blank, column).pair(t); f.Verdict == clears && now.Verdict != clears {
				t.Fatalf("%d %+v %s: %s, and clear without %s", i, d, body, now.Verdict, column)
			}
		}
		wide := d.of(body)
		if wide.exact = false; wide.pair(t).Verdict == clears && now.Verdict != clears {
			t.Fatalf("%d %+v %s: clear, if its readings may err", i, d, body)
		}
	}
	if clear < n/10 || open < n/10 {
		t.Errorf("%d clear and %d not: the draw says little", clear, open)
	}
}

// Every setting of the check's list enters some pair, and none besides.
func TestWheelUnloadingSettings(t *testing.T) {
	t.Parallel()
	entered := map[string]bool{}
	for _, body := range []string{"soft", "ordinary", ""} {
		car := "gross_lb 50000; axles 4"
		if body != "" {
			car += "; body " + body
		}
		f := unloading{car: car, place: "spot: warp 1"}.pair(t)
		for _, x := range f.Readings {
			if x.Setting != "" {
				entered[x.Setting] = true
			}
		}
	}
	list := interaction.CheckByID("wheel-unloading").Settings
	for _, name := range list {
		if !entered[name] {
			t.Errorf("%s never enters", name)
		}
	}
	for name := range entered {
		if !slices.Contains(list, name) {
			t.Errorf("%s enters, and explain does not name it", name)
		}
	}
}

// TestWarpUnderThatWithin10Ft: of two readings of which one must be wrong the worse is not left out.
func TestWarpUnderThatWithin10Ft(t *testing.T) {
	t.Parallel()
	for place, want := range map[string]interaction.Verdict{
		"spot: warp 1/2; warp_over 40; crosslevel 3":                 clears,
		"spot: warp 1/2; warp_over 40; warp_short 3/8; crosslevel 3": clears,
		"spot: warp 1/2; warp_over 40; warp_short 3; crosslevel 3":   undecided,
	} {
		f := unloading{stiffEmpty, place, true, nil}.pair(t)
		if f.Verdict != want {
			t.Errorf("%s: %s, want %s", place, f.Verdict, want)
		}
		if want == undecided && !slices.Contains(f.Settle(), "warp") {
			t.Errorf("%s: settled by %q, want warp", place, f.Settle())
		}
	}
}
