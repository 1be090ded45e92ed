package judge_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// inCurves is the computed findings of hollow-curve: wheels of cars A 0, A 1 and so on, each
// a list of eight rows in the order of seat, in curves.
func inCurves(t testing.TB, cars [][]row, curves ...row) map[string]*judge.Finding {
	t.Helper()
	var wheels, list []row
	for n, car := range cars {
		list = append(list, row{"car": fmt.Sprint("A ", n), "kind": "freight", "gross_lb": "263000", "axles": "4",
			"truck_wheelbase": "70"})
		for i, w := range car {
			w["car"], w["position"] = fmt.Sprint("A ", n), seat(i)
			wheels = append(wheels, w)
		}
	}
	for i, c := range curves {
		c["location"], c["curve"] = "here", fmt.Sprint("C", i)
	}
	s := sheets{class: "1", date: "2026-03-31", files: map[string]string{"cars.csv": sheet(list...),
		"wheels.csv": sheet(wheels...), "curves.csv": sheet(curves...)}}.read(t, fixture.Data(t))
	return computedOf(t, s, interaction.Options{Check: "hollow-curve"})
}

// seat is a wheel's position: L1, R1, L2 and so on.
func seat(i int) string { return fmt.Sprint([]string{"L", "R"}[i%2], i/2+1) }

// carOf is a car with the same readings on all wheels.
func carOf(cells row) []row {
	out := make([]row, 8)
	for i := range out {
		out[i] = row{}
		for k, v := range cells {
			if k != "back_to_back" || i%2 == 0 {
				out[i][k] = v
			}
		}
	}
	return out
}

func hollowCar(hollow float64) []row {
	return carOf(row{"flange_thickness": "1-1/8", "tread_hollow": fmt.Sprintf("%.2fmm", hollow),
		"back_to_back": "53-3/8"})
}

func plainCurve(degree string) row {
	return row{"degree": degree, "elevation": "1", "speed_mph": "10", "gauge": "57", "rail": "115RE",
		"head_wear": "1/8", "gauge_face_wear": "1/8", "holding": "good"}
}

// The computed verdict of a car with hollow on all wheels never gets better with more of
// it, in steps fine enough to meet single states. How a truck runs is not in order by its
// hollow: the levels below what was read count as well.
func TestMoreHollowIsNoBetter(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	hollows := []float64{0, 1, 2, 4, 6.23, 6.24, 6.25, 8}
	degrees := []string{"4"}
	if fixture.Volume() {
		hollows = []float64{0, .5, 1, 1.5, 2, 3, 4, 5, 6.21, 6.22, 6.23, 6.24, 6.25, 6.26, 7, 8}
		degrees = []string{"3", "6", "12"}
	}
	var cars [][]row
	for _, h := range hollows {
		cars = append(cars, hollowCar(h))
	}
	var curves []row
	for _, d := range degrees {
		curves = append(curves, plainCurve(d))
	}
	found := inCurves(t, cars, curves...)
	for i := range curves {
		best := 2
		for n, h := range hollows {
			f := found[fmt.Sprintf("hollow-curve curve/C%d A %d L1", i, n)]
			if h > 4 && f.Verdict == clears {
				t.Errorf("%s degrees: %g mm on all wheels is clear", degrees[i], h)
			}
			if rank(f.Verdict) > best {
				t.Errorf("%s degrees: hollow %g mm is %s after worse with less: %s", degrees[i], h, f.Verdict,
					f.Computed.Why)
			}
			best = min(best, rank(f.Verdict))
		}
		if best == 2 {
			t.Errorf("%s degrees: no hollow changes the verdict", degrees[i])
		}
	}
}

// The same for cars whose wheels are hollow each by its own: what is added on all of them.
func TestMoreHollowOnAllWheels(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	n := int(fixture.Drawn(1, 4))
	r := rand.New(rand.NewPCG(6, 24))
	steps := []float64{0, 0.2, 1.1, 2}
	var cars [][]row
	for range n {
		var h [8]float64
		for i := range h {
			h[i] = float64(r.IntN(25)) / 10
		}
		for _, more := range steps {
			car := hollowCar(0)
			for i := range car {
				car[i]["tread_hollow"] = fmt.Sprintf("%.1fmm", h[i]+more)
			}
			cars = append(cars, car)
		}
	}
	found := inCurves(t, cars, plainCurve("7"))
	for i := range 1 {
		for k := range n {
			for w := range 8 {
				best := 2
				for s, more := range steps {
					f := found[fmt.Sprintf("hollow-curve curve/C%d A %d %s", i, k*len(steps)+s, seat(w))]
					if rank(f.Verdict) > best {
						t.Errorf("car %d %s: %g mm more hollow on all wheels is %s after worse with less", k, seat(w),
							more, f.Verdict)
					}
					best = min(best, rank(f.Verdict))
				}
			}
		}
	}
}

// A car seen in a mirror, and one turned end for end, runs alike: curves are taken both
// ways, and what was not read of an axle is not taken from one of its wheels.
func TestTurnedCars(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	for _, tt := range []struct{ name, reason, back string }{
		{"read", "every reading goes with its wheel", "53-5/16"},
		{"back-to-back not read", "the designs of both wheels give its bounds, not the left one's", ""},
	} {
		car := carOf(row{"back_to_back": tt.back})
		for i, c := range []struct{ thickness, hollow string }{{"1-5/16", "2.5mm"}, {"1-1/16", "1mm"}, {"1-1/8", "3mm"},
			{"1-1/4", "0mm"}, {"1-1/16", "1.5mm"}, {"1-5/16", "2mm"}, {"1-1/8", "0mm"}, {"1", "3.5mm"}} {
			car[i]["flange_thickness"], car[i]["tread_hollow"] = c.thickness, c.hollow
		}
		place := func(at func(i int) int) []row {
			out := make([]row, 8)
			for i := range out {
				out[at(i)] = maps.Clone(car[i])
				delete(out[at(i)], "back_to_back")
				if at(i)%2 == 0 && tt.back != "" {
					out[at(i)]["back_to_back"] = tt.back
				}
			}
			return out
		}
		ways := []func(i int) int{
			func(i int) int { return i },     // as it is
			func(i int) int { return i ^ 1 }, // in a mirror
			func(i int) int { return 7 - i }, // turned end for end
		}
		var cars [][]row
		for _, w := range ways {
			cars = append(cars, place(w))
		}
		found := inCurves(t, cars, plainCurve("8"))
		for c := range 1 {
			for i := range 8 {
				first := found[fmt.Sprintf("hollow-curve curve/C%d A 0 %s", c, seat(i))]
				for n, w := range ways[1:] {
					f := found[fmt.Sprintf("hollow-curve curve/C%d A %d %s", c, n+1, seat(w(i)))]
					if f.Verdict != first.Verdict || !closeTo(f.Computed.Margin, first.Computed.Margin, 1e-5) ||
						!closeTo(f.Computed.Low, first.Computed.Low, 1e-5) {
						t.Errorf("%s, curve %d, %s: %s %.4f, as car %d it is %s %.4f (%s)", tt.name, c, seat(i),
							first.Verdict, first.Computed.Margin, n+1, f.Verdict, f.Computed.Margin, tt.reason)
					}
				}
			}
		}
	}
}

// What is known less well, or not at all, clears no hollow truck that is not clear when it
// is known; the cell is named where it decides.
func TestUnreadInCurves(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	type unread struct {
		name, reason string
		hollow       string
		change       func(wheel, curve row)
		want         interaction.Verdict
		settle       string
	}
	again := []string{"gauge at least", "gauge below", "gauge blank, no hollow", "hollow above none",
		"loaded gauge above",
		"loaded gauge as read", "usual rim there", "loaded gauge blank", "flange blank", "wear blank"} // in volumes
	alike := map[string][]unread{} // by what is written of the wheels: one car in a curve each
	for _, tt := range []unread{
		{"all read", "a small hollow in an easy curve", "1.0mm", func(row, row) {}, clears, ""},
		{"gauge blank", "the curve may be as wide as any", "1.0mm", func(_, c row) { c["gauge"] = "" }, undecided,
			"gauge"},
		{"gauge above", "a go/no-go gauge has no upper end", "1.0mm", func(_, c row) { c["gauge"] = ">56-1/2" },
			undecided, "gauge"},
		{"gauge at least", "with or without =", "1.0mm", func(_, c row) { c["gauge"] = ">=56-1/2" }, undecided,
			"gauge"},
		{"gauge below", "its upper end is a reading", "1.0mm", func(_, c row) { c["gauge"] = "<57-1/4" }, clears, ""},
		{"gauge blank, no hollow", "nobody's hollow is in question", "none", func(_, c row) { c["gauge"] = "" }, clears,
			""},
		{"hollow above none", "the high end counts, not the one written", ">0mm", func(row, row) {}, undecided,
			"tread_hollow"},
		{"loaded gauge above", "it may be so wide that the rim falls in", "1.0mm",
			func(_, c row) { c["loaded_gauge"] = ">57" }, undecided, "loaded_gauge"},
		{"loaded gauge as read", "its bearing is enough", "1.0mm", func(_, c row) { c["loaded_gauge"] = "57-1/4" },
			clears, ""},
		{"loaded gauge a range", "the far end falls in, the middle does not", "1.0mm",
			func(_, c row) { c["loaded_gauge"] = "57..62" }, undecided, "loaded_gauge"},
		{"narrow rim", "the rim as read bears, not the design's", "1.0mm",
			func(w, c row) { w["rim_width"] = "4"; c["loaded_gauge"] = "59" }, conflict, ""},
		{"usual rim there", "the same with a rim that bears", "1.0mm",
			func(w, c row) { w["rim_width"] = "5-1/2"; c["loaded_gauge"] = "58" }, clears, ""},
		{"loaded gauge blank", "its greatest is tried", "1.0mm", func(_, c row) { c["loaded_gauge"] = "" }, clears, ""},
		{"rim blank", "a narrow one is tried, and the loaded gauge was not read", "1.0mm",
			func(w, c row) { w["rim_width"], w["flange_thickness"] = "", "15/16" }, undecided, "rim_width"},
		{"flange blank", "all four, tried as new and as thin as unread_thickness", "1.0mm",
			func(w, c row) { w["flange_thickness"], c["degree"] = "", "1" }, clears, ""},
		{"speed blank", "standing, balance and the class's greatest are tried", "1.0mm",
			func(_, c row) { c["speed_mph"] = "" }, clears, ""},
		{"wear blank", "tried as none and as 3/8 in", "1.0mm",
			func(_, c row) { c["head_wear"], c["gauge_face_wear"] = "", "" }, clears, ""},
	} {
		if slices.Contains(again, tt.name) && !fixture.Volume() {
			continue
		}
		w := unreadWheel(tt.hollow)
		tt.change(w, row{})
		alike[fmt.Sprint(w)] = append(alike[fmt.Sprint(w)], tt)
	}
	for _, list := range alike {
		var wheels row
		var curves []row
		for _, tt := range list {
			w, c := unreadWheel(tt.hollow), plainCurve("3")
			tt.change(w, c)
			wheels, curves = w, append(curves, c)
		}
		found := inCurves(t, [][]row{carOf(wheels)}, curves...)
		for n, tt := range list {
			t.Run(tt.name, func(t *testing.T) {
				f := found[fmt.Sprintf("hollow-curve curve/C%d A 0 L1", n)]
				if f.Verdict != tt.want {
					t.Errorf("%s, want %s (%s): %s %s", f.Verdict, tt.want, tt.reason, f.Computed.Text(),
						f.Computed.Why)
				}
				if tt.settle != "" && !strings.Contains(strings.Join(f.SettleBy(), ","), tt.settle) {
					t.Errorf("settled by %v, want %s", f.SettleBy(), tt.settle)
				}
			})
		}
	}
}

// unreadWheel is what is written of each wheel of a car, with its hollow.
func unreadWheel(hollow string) row {
	return row{"flange_thickness": "1-1/8", "tread_hollow": hollow, "back_to_back": "53-3/8", "rim_width": "5-1/2",
		"diameter": "36"}
}

// A conflict of a hollow truck is one by published limits, or by a gauge that was read; a
// rail that only its fastenings hold is none. Both the limits and the new wheels are said.
func TestHollowCurveSays(t *testing.T) {
	t.Parallel()
	curve := plainCurve("12")
	curve["gauge"], curve["rail"], curve["holding"] = "57-1/2", "100RE", "poor"
	found := inCurves(t, [][]row{hollowCar(2.5), hollowCar(5)}, curve)
	for key, f := range found {
		if f.Verdict == conflict && f.Computed.Mechanism == "rail rollover" {
			t.Errorf("%s is a conflict by a rail held by nothing", key)
		}
		for _, want := range []string{"49 CFR 238 appendix C", "new wheels here", "Nadal"} {
			if !strings.Contains(f.Computed.Why, want) {
				t.Errorf("%s does not say %q: %s", key, want, f.Computed.Why)
			}
		}
		if f.Wheel.Car.ID == "A 1" && f.Verdict == clears {
			t.Errorf("%s is clear in a sharp, wide curve: %s", key, f.Computed.Why)
		}
	}
}

// A diameter that was not read, or by a bound alone, is tried within what mates differ by of the
// other, and mates that were read farther apart are taken as that far apart: clear is close
// then, and says so. Else who reads them would come off worse than who does not.
func TestDiametersOfMates(t *testing.T) {
	leftToVolumes(t)
	car := func(hollow, left, right string) []row {
		out := carOf(row{"flange_thickness": "1-1/8", "tread_hollow": hollow, "back_to_back": "53-3/8"})
		out[0]["diameter"], out[1]["diameter"] = left, right
		return out
	}
	cars := map[string]struct {
		cells   []row
		verdict interaction.Verdict
		settle  string
	}{
		"equal, not hollow":         {car("none", "35", "35"), clears, ""},
		"not read, not hollow":      {car("none", "", ""), clears, ""},
		"a bound about the mate's":  {car("none", ">34-7/8", "35"), clears, ""},
		"bounds that hold one size": {car("none", ">34-7/8", "<35-1/8"), clears, ""},
		"three tape sizes apart":    {car("none", "34-5/8", "35"), clears, ""},
		"an inch apart":             {car("none", "34", "35"), undecided, "diameter of L1, R1"},
		"a bound an inch above":     {car("none", ">36", "34-7/8"), undecided, "diameter of L1, R1"},
		"two bounds far apart":      {car("none", ">36-1/2", "<34"), undecided, "diameter of L1, R1"},
	}
	names := slices.Sorted(maps.Keys(cars))
	var list [][]row
	for _, name := range names {
		list = append(list, cars[name].cells)
	}
	found := inCurves(t, list, plainCurve("4"))
	for n, name := range names {
		f, want := found[fmt.Sprintf("hollow-curve curve/C0 A %d L1", n)], cars[name]
		if f.Verdict != want.verdict || want.settle != "" &&
			!strings.Contains(strings.Join(f.SettleBy(), ","), want.settle) {
			t.Errorf("%s: %s, settled by %q; want %s, %q: %v", name, f.Verdict, f.SettleBy(), want.verdict, want.settle,
				f.Computed)
		}
		apart := strings.Contains(name, " apart") || name == "a bound an inch above"
		if f.Close != (apart && f.Verdict == clears) ||
			apart != strings.Contains(f.Computed.Why, "farther apart than two tape sizes") ||
			apart != strings.Contains(f.Computed.Why, "as written but for the diameters") {
			t.Errorf("%s: close %t: %s", name, f.Close, f.Computed.Why)
		}
	}
}

// What an axle's diameters leave open never makes its truck clear: a blank or a bound is no
// better than both read alike, where mates may differ.
func TestDiameterNotReadIsNoBetter(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	car := func(hollow, left, right string) []row {
		out := carOf(row{"flange_thickness": "1-1/8", "tread_hollow": hollow, "back_to_back": "53-3/8"})
		for i := range out {
			out[i]["diameter"] = []string{left, right}[i%2]
		}
		return out
	}
	worse := 0
	for _, hollow := range []string{"1mm", "2mm"} {
		found := inCurves(t, [][]row{car(hollow, "36", "36"), car(hollow, "36-1/16", "36"), car(hollow, "", "36"),
			car(hollow, "36", ""), car(hollow, "", ""), car(hollow, ">35-7/8", "36"),
			car(hollow, ">35-7/8", "<36-1/8")},
			plainCurve("6"))
		for curve := range 1 {
			of := func(n int) *judge.Finding {
				return found[fmt.Sprintf("hollow-curve curve/C%d A %d L1", curve, n)]
			}
			for n := 2; n < 7; n++ {
				if a, b := rank(of(n).Verdict), min(rank(of(0).Verdict), rank(of(1).Verdict)); a > b {
					t.Errorf("hollow %s, curve %d, car %d: %s: %s", hollow, curve, n, of(n).Verdict, of(n).Computed.Why)
				} else if a < rank(of(0).Verdict) || of(n).Computed.Low < of(0).Computed.Low {
					worse++
				}
			}
		}
	}
	if worse == 0 {
		t.Error("no blank widens a margin")
	}
}

// A wheel whose truck is not clear for want of the hollow of another one is settled by that one.
func TestHollowOfAnotherWheelIsNamed(t *testing.T) {
	car := carOf(row{"flange_thickness": "1-1/4", "tread_hollow": "none", "back_to_back": "53"})
	car[2]["tread_hollow"] = ""
	f := inCurves(t, [][]row{car}, plainCurve("3"))["hollow-curve curve/C0 A 0 R1"]
	if f.Verdict != undecided || !slices.Equal(f.SettleBy(), []string{"tread_hollow of L2"}) {
		t.Errorf("%s, settled by %q: %s", f.Verdict, f.SettleBy(), f.Computed.Why)
	}
}

// A sharper curve, and more wear of its rail, never give a better verdict: a worn rail steers a
// hollow truck better, and new wheels have less room in a sharp curve too.
func TestSharperOrWornIsNoBetter(t *testing.T) {
	leftToVolumes(t)
	car := carOf(row{"flange_height": "1-1/8", "flange_thickness": "1-1/8", "back_to_back": "53-3/8", "diameter": "36",
		"rim_width": "5-1/2"})
	for i, h := range []string{"1.0", "1.5", "2.0", "1.5", "none", "none", "none", "none"} {
		car[i]["tread_hollow"] = h
	}
	degrees, wears := []string{"2", "6", "8", "12"}, []string{"none", "1/16", "1/4"}
	var curves []row
	for _, d := range degrees {
		for _, w := range wears {
			curves = append(curves, row{"degree": d, "elevation": "none", "speed_mph": "10", "gauge": "57",
				"loaded_gauge": "57-1/4", "rail": "115RE", "head_wear": "none", "gauge_face_wear": w})
		}
	}
	found := inCurves(t, [][]row{car}, curves...)
	at := func(d, w int) *judge.Finding {
		return found[fmt.Sprintf("hollow-curve curve/C%d A 0 L1", d*len(wears)+w)]
	}
	seen := map[interaction.Verdict]bool{}
	for d := range degrees {
		for w := range wears {
			f := at(d, w)
			seen[f.Verdict] = true
			if d > 0 && rank(f.Verdict) > rank(at(d-1, w).Verdict) {
				t.Errorf("%s degrees, wear %s: %s, and %s in one of %s degrees: %s", degrees[d], wears[w], f.Verdict,
					at(d-1, w).Verdict, degrees[d-1], f.Computed.Why)
			}
			if w > 0 && rank(f.Verdict) > rank(at(d, w-1).Verdict) {
				t.Errorf("%s degrees, wear %s: %s, and %s with wear %s: %s", degrees[d], wears[w], f.Verdict,
					at(d, w-1).Verdict, wears[w-1], f.Computed.Why)
			}
		}
	}
	if !seen[clears] || !seen[undecided] {
		t.Error("no verdict changes: the test tests nothing")
	}
}

// A new narrow flange may be made 1/16 in thicker than its design: whoever does not name the design has the same wheel,
// in the rollover that is judged with the readings as written too.
func TestThickNarrowFlange(t *testing.T) {
	of := row{"flange_thickness": "1-3/16", "tread_hollow": "1.5", "back_to_back": "53-3/8", "diameter": "36",
		"rim_width": "5-1/2"}
	named := maps.Clone(of)
	named["design"] = "narrow flange 1:20"
	curve := row{"degree": "6", "elevation": "1/2", "speed_mph": "10", "gauge": "57-1/4", "rail": "115RE",
		"head_wear": "1/8", "gauge_face_wear": "1/8", "holding": "fair"}
	all := inCurves(t, [][]row{carOf(of), carOf(named)}, curve)
	a, b := all["hollow-curve curve/C0 A 0 L1"], all["hollow-curve curve/C0 A 1 L1"]
	if a.Verdict != b.Verdict || a.Verdict != clears || a.Computed.Margin != b.Computed.Margin {
		t.Errorf("%s %s without its design, %s %s with it", a.Verdict, a.Computed.Text(), b.Verdict, b.Computed.Text())
	}
}

// TestUnmatedAreReadAgain: two diameters or flange heights that the wheels of one axle cannot have leave nothing of
// their truck clear, and are asked for again, of the wheels that have them by name.
func TestUnmatedAreReadAgain(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	again := []string{"half an inch short of odd", "an inch", "uneven heights",
		"heights that tell nothing"} // in volumes
	for _, tt := range []struct {
		name, reason, column, l, r string
		bare                       bool // no other diameters were read
		verdict                    interaction.Verdict
	}{
		{"half an inch short of odd", "two tape sizes and more: a fault of its own, close", "diameter", "36", "36-7/16",
			false, clears},
		{"half an inch", "no axle is mounted so", "diameter", "36", "36-1/2", false, undecided},
		{"an inch", "no axle is mounted so", "diameter", "36", "35", false, undecided},
		{"by a bound", "it leaves room for a match", "diameter", "36", ">35", false, clears},
		{"heights that tell", "by these the diameters differ that were not read", "flange_height", "1", "1-3/4", true,
			undecided},
		{"uneven heights", "worn so, seldom", "flange_height", "1", "1-1/4", true, clears},
		{"heights that tell nothing", "both diameters were read", "flange_height", "1", "1-3/4", false, clears},
	} {
		if slices.Contains(again, tt.name) && !fixture.Volume() {
			continue
		}
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cells := row{"flange_height": "1", "flange_thickness": "1-1/8", "tread_hollow": "none",
				"back_to_back": "53-3/8", "diameter": "36", "rim_width": "5-1/2"}
			if tt.bare {
				delete(cells, "diameter")
			}
			car := carOf(cells)
			car[0][tt.column], car[1][tt.column] = tt.l, tt.r
			all := inCurves(t, [][]row{car}, row{"degree": "3", "gauge": "56-1/2", "rail": "115RE", "elevation": "none",
				"speed_mph": "10", "holding": "good", "head_wear": "none", "gauge_face_wear": "none"})
			f, other, far := all["hollow-curve curve/C0 A 0 L1"], all["hollow-curve curve/C0 A 0 L2"],
				all["hollow-curve curve/C0 A 0 L3"]
			if f.Verdict != tt.verdict || other.Verdict != tt.verdict || far.Verdict != clears {
				t.Fatalf("%s, of the other axle %s, of the other truck %s: want %s of its truck (%s): %s", f.Verdict,
					other.Verdict, far.Verdict, tt.verdict, tt.reason, f.Computed.Why)
			}
			want := tt.column + " of L1, R1"
			if tt.verdict == undecided && (!slices.Equal(f.SettleBy(), []string{want}) ||
				!slices.Equal(other.SettleBy(), []string{want})) {
				t.Errorf("settled by %q and %q, want %q", f.SettleBy(), other.SettleBy(), want)
			}
		})
	}
}
