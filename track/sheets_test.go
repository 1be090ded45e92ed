package track_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
)

// read reads the sheets from text, by file name. Problems and warnings come back as "file:line:col: …".
func read(t testing.TB, data *configs.Data, defaults track.Defaults, files map[string]string) (tr *track.Track,
	problems, warnings []string) {
	t.Helper()
	var in [track.NumKinds]*sheet.Source
	for k := range in {
		if text, ok := files[track.Kind(k).File()]; ok {
			in[k] = sheet.CSV(track.Kind(k).File(), []byte(text))
		}
	}
	var ps measure.Problems
	tr, odd := track.Read(in, data.Columns, data, defaults, &ps)
	warned, _ := odd.Warnings(math.MaxInt)
	if err := ps.Err(); err != nil {
		var list measure.ProblemsError
		if !errors.As(err, &list) {
			t.Fatalf("%T is no list of problems", err)
		}
		for _, p := range list {
			problems = append(problems, p.Error())
		}
	}
	for _, w := range warned {
		warnings = append(warnings, w.Place.String()+": "+w.Text)
	}
	return tr, problems, warnings
}

// holds compares a list with the texts that its items must hold, one for one; parts of a text are parted by " ... ".
func holds(t *testing.T, what string, got, want []string, reason string) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s %q, want %d that hold %q; %s", what, got, len(want), want, reason)
		return
	}
	for i, w := range want {
		for _, part := range strings.Split(w, " ... ") {
			if !strings.Contains(got[i], part) {
				t.Errorf("%s %q does not hold %q; %s", what, got[i], part, reason)
			}
		}
	}
}

// TestSheetDefects: every defect is reported at its line.
func TestSheetDefects(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, file, text string
		want             []string
		reason           string
	}{
		{"good", "frogs.csv", "location,frog,type\nyard,F1,rbm\nyard,F2,\n", nil, "nothing is wrong"},
		{"duplicate", "frogs.csv", "location,frog\nyard,F1\nyard,F2\nyard, F1 \n",
			[]string{"frogs.csv:4: ... frog/F1 stands twice ... line 2"}, "two undated rows"},
		{"one date twice", "switches.csv", "location,switch,date\nyard,S1,2026-01-01\nyard,S1,2026-01-01\n",
			[]string{"switches.csv:3: ... switch/S1 stands twice"}, "one row a date"},
		{"undated beside dated", "curves.csv", "location,curve,date\nyard,C1,2026-01-01\nyard,C1,\n",
			[]string{"curves.csv:3: ... date: ... undated row beside a dated one ... line 2"}, "a date in every row"},
		{"one id at two locations", "gauge.csv", "location,spot,date\nyard,G1,2026-01-01\nmill,G1,2026-02-01\n",
			[]string{"gauge.csv:3: ... spot/G1 stands at yard and at mill ... line 2"}, "unique over the railroad"},
		{"unknown rail", "joints.csv", "location,joint,rail\nyard,J1,115 RF\n",
			[]string{"joints.csv:2:9: rail: \"115 RF\" ... 90RA-A, 100RE, 115RE, 132RE, 136RE, 141RE"},
			"the message lists the known"},
		{"unknown rail of a curve", "curves.csv", "location,curve,rail\nyard,C1,85\n",
			[]string{"curves.csv:2:9: rail: ... 115RE"}, "curves have a rail too"},
		{"unknown type", "frogs.csv", "location,frog,type\nyard,F1,self guarded\n",
			[]string{"frogs.csv:2:9: type: ... did you mean \"self-guarded\"?"}, "a hint"},
		{"unknown class", "frogs.csv", "location,frog,track_class\nyard,F1,6\nyard,F2,exepted\nyard,F3,Class " +
			"6\nyard,F4,class\n",
			[]string{"frogs.csv:2:9: track_class", "frogs.csv:3:9: track_class: ... did you mean \"excepted\"?",
				"frogs.csv:4:9", "frogs.csv:5:9"}, "excepted, 1 to 5"},
		{"class in words of the trade", "frogs.csv",
			"location,frog,track_class\nyard,F1,X\nyard,F2,class II\nyard,F3,q\n",
			[]string{`frogs.csv:2:9: track_class: "X" is not known here (write "excepted" for it; one of excepted`,
				`frogs.csv:3:9: ... write "2" for it`, `frogs.csv:4:9: track_class: "q" is not known here (one of`},
			"named and not taken; one letter is no misspelt class"},
		{"warp over", "gauge.csv", "location,spot,warp_over\ny,G1,0\ny,G2,31.5\ny,G3,101\ny,G4,100\ny,G5,31mm\n",
			[]string{"gauge.csv:2:6: warp_over: ... a whole number from 1 to 100", "gauge.csv:3:6", "gauge.csv:4:6",
				"gauge.csv:6:6"}, "whole feet"},
		{"crosslevel", "gauge.csv", "location,spot,crosslevel,warp,warp_short\ny,G1,-6,6,6\ny,G2,-6-1/8,6-1/8,-1/8\n",
			[]string{"gauge.csv:3:6: crosslevel: ... -6 to 8 in", "gauge.csv:3:13: warp: ... 0 to 6 in",
				"gauge.csv:3:19: warp_short"}, "the left rail may be low, a difference is not negative"},
		{"guard rail and condition", "switches.csv",
			"location,switch,guard_rail,condition\ny,S1,Yes,WORN\ny,S2,half,bad\n",
			[]string{"switches.csv:3:6: guard_rail: ... yes, no", "switches.csv:3:11: condition: ... good, worn, poor"},
			"the known words"},
		{"marks of another kind", "joints.csv", "location,joint,marks\ny,J1,Bar_Shaved\ny,J2,point_nicked\n",
			[]string{"joints.csv:3:6: marks: \"point_nicked\" ... any of bar_shaved"}, "each kind has its own"},
		{"unknown direction", "switches.csv", "location,switch,direction\nyard,S1,fac\n",
			[]string{"switches.csv:2:9: direction"}, "facing, trailing, both"},
		{"unknown holding", "gauge.csv", "location,spot,holding\nyard,G1,bad\n",
			[]string{"gauge.csv:2:9: holding: ... good, fair, poor"}, "the known words"},
		{"unknown lubrication", "curves.csv", "location,curve,lubricated\nyard,C1,yes\n",
			[]string{"curves.csv:2:9: lubricated"}, "high, low, both, none"},
		{"cant", "curves.csv", "location,curve,rail_cant\nyard,C1,40\nyard,C2,1:40\nyard,C3,none\nyard,C4,1 : 20\n",
			[]string{"curves.csv:2:9: rail_cant: ... 1:40, 1:20 or none"}, "a bare number is no cant"},
		{"speed", "curves.csv", "location,curve,speed_mph\nyard,C1,201\nyard,C2,-1\nyard,C3,160\n",
			[]string{"curves.csv:2:9: speed_mph", "curves.csv:3:9: speed_mph"},
			"0 to 200 mph: Appendix A Table 1 ends at 160"},
		{"degree", "curves.csv", "location,curve,degree\nyard,C1,61\nyard,C2,sharp\nyard,C3,60\n",
			[]string{"curves.csv:2:9: degree", "curves.csv:3:9: degree"}, "0 to 60 degrees"},
		{"gauge as a deviation", "gauge.csv", "location,spot,gauge\nyard,G1,1/2\n",
			[]string{"gauge.csv:2:9: gauge: ... could be a gauge or a deviation"}, "nothing is guessed"},
		{"no location", "frogs.csv", "location,frog\n,F1\nyard,\n",
			[]string{"frogs.csv:2:1: location", "frogs.csv:3:6: frog"}, "both names are needed"},
		{"column missing", "frogs.csv", "location,number\nyard,8\n",
			[]string{"frogs.csv:1:1: frog: the column is missing"}, "a frog needs a name"},
		{"column of another sheet", "joints.csv", "location,joint,gauge\nyard,J1,57\n",
			[]string{"joints.csv:1:16: ... \"gauge\""}, "joints have no gauge"},
		{"outside the bounds", "frogs.csv", "location,frog,flangeway_depth,guard_check\nyard,F1,4.1,58-1/16\n",
			[]string{"frogs.csv:2:9: flangeway_depth: ... 0 to 4 in", "frogs.csv:2:13: guard_check: ... 50 to 58 in"},
			"beyond what the quantity can be"},
		{"face angle in inches", "switches.csv", "location,switch,face_angle\nyard,S1,91\n",
			[]string{"switches.csv:2:9: face_angle: ... 0 to 90 deg"}, "degrees from horizontal"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, problems, _ := read(t, data, track.Defaults{}, map[string]string{tc.file: tc.text})
			holds(t, "problems", problems, tc.want, tc.reason)
		})
	}
	t.Run("one id in two sheets", func(t *testing.T) {
		_, problems, _ := read(t, data, track.Defaults{}, map[string]string{"frogs.csv": "location,frog\nyard,1\n",
			"switches.csv": "location,switch\nyard,1\n"})
		holds(t, "problems", problems, nil, "ids are unique within their kind: frog/1 and switch/1 are two things")
	})
}

// TestOddReadings: what is odd is a warning at its place; readings of one frog that cannot all be right are marked.
func TestOddReadings(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, file, text string
		want             []string
		marked           []track.Quantity
		reason           string
	}{
		{"open clearance at 4-1/2", "switches.csv", "location,switch,open_clearance\nyard,S1,4-1/2\n", nil, nil,
			"not above 4-1/2"},
		{"open clearance like a throw", "switches.csv", "location,switch,open_clearance\nyard,S1,4-3/4\n",
			[]string{"switches.csv:2:9: open_clearance 4-3/4 ... was the throw measured"}, nil,
			"a usual throw is 4-3/4 in"},
		{"guard closes", "frogs.csv", "location,frog,gauge,guard_check,guard_flangeway\nyard,F1,56-1/2,54-5/8,1-7/8\n",
			nil, nil, "56-1/2 less 1-7/8"},
		{"guard closes within the readings", "frogs.csv",
			"location,frog,gauge,guard_check,guard_flangeway\nyard,F1,56-1/2,54-5/8,1-11/16\n", nil, nil,
			"3/16 apart, each ±1/16"},
		{"guard does not close", "frogs.csv",
			"location,frog,gauge,guard_check,guard_flangeway\nyard,F1,56-1/2,54-5/8,1-5/8\n",
			[]string{"frogs.csv:2:16: frog/F1: the readings contradict each other (guard_check is gauge less " +
				"guard_flangeway): guard_check 54-5/8, gauge 56-1/2, guard_flangeway 1-5/8"},
			[]track.Quantity{track.GuardCheck, track.Gauge, track.GuardFlangeway}, "1/4 apart with 3/16 of ±"},
		{"face does not close", "frogs.csv", "location,frog,guard_check,guard_face,flangeway_width\nyard,F1,54-5/8,52-3/4,2-1/8\n",
			[]string{"guard_check less guard_face is flangeway_width"},
			[]track.Quantity{track.GuardCheck, track.GuardFace, track.FlangewayWidth}, "1/4 apart with 5/32 of ±"},
		{"neither closes", "frogs.csv", "location,frog,gauge,guard_check,guard_flangeway,guard_face,flangeway_width\nyard,F1,56-1/2,54-5/8,1-1/2,52-3/4,2-1/8\n",
			[]string{"guard_check is gauge", "guard_check less guard_face"},
			[]track.Quantity{track.GuardCheck, track.Gauge, track.GuardFlangeway, track.GuardFace,
				track.FlangewayWidth}, "both rules are told"},
		{"self-guarded", "frogs.csv", "location,frog,type,gauge,guard_check,guard_flangeway\nyard,F1,self-guarded,56-1/2,54-5/8,1-1/2\n", nil, nil, "no guard rail: nothing closes there"},
		{"one missing", "frogs.csv", "location,frog,gauge,guard_check\nyard,F1,56-1/2,54\n", nil, nil,
			"two of three say nothing"},
		{"loaded gauge under gauge", "curves.csv", "location,curve,gauge,loaded_gauge\nyard,C1,58-1/2,57\n",
			[]string{"curves.csv:2:16: curve/C1: the readings contradict each other (no load narrows the track, so " +
				"the greater is taken): loaded_gauge 57, gauge 58-1/2"},
			[]track.Quantity{track.LoadedGauge, track.Gauge}, "surely below"},
		{"loaded gauge hardly under gauge", "gauge.csv", "location,spot,gauge,loaded_gauge\nyard,G1,57,56-7/8\n", nil,
			nil, "1/8 apart with 1/8 of ±"},
		{"loaded gauge just under gauge", "gauge.csv", "location,spot,gauge,loaded_gauge\nyard,G1,57,56.874\n",
			[]string{"loaded_gauge 56.874, gauge 57"}, []track.Quantity{track.LoadedGauge, track.Gauge},
			"just beyond the ±"},
		{"loaded gauge of a self-guarded frog", "frogs.csv",
			"location,frog,type,gauge,loaded_gauge\nyard,F1,self-guarded,57,56\n",
			[]string{"loaded_gauge 56, gauge 57"}, []track.Quantity{track.LoadedGauge, track.Gauge},
			"no load narrows this one either"},
		{"loaded gauge with an upper bound", "switches.csv", "location,switch,gauge,loaded_gauge\nyard,S1,57,<58\n",
			nil, nil, "an upper bound says nothing against it"},
		{"loaded gauge under an upper bound", "switches.csv", "location,switch,gauge,loaded_gauge\nyard,S1,<58,57\n",
			nil, nil, "the gauge may be less"},
		{"loaded gauge under a lower bound", "switches.csv", "location,switch,gauge,loaded_gauge\nyard,S1,>58,57\n",
			[]string{"loaded_gauge 57, gauge >58"}, []track.Quantity{track.LoadedGauge, track.Gauge},
			"the gauge is more"},
		{"ids differ in case", "frogs.csv", "location,frog\nyard,F1\nyard,f1\n",
			[]string{"frogs.csv:3: ... frog/F1 and frog/f1 differ only in capital letters"}, nil, "taken as two"},
		{"locations differ in what does not show", "frogs.csv", "location,frog\nyard,F1\n\u2060yard,F2\n",
			[]string{"locations yard and \u2060yard differ only in characters that do not show (\"yard\", " +
				"\"\\u2060yard\")"}, nil, "taken as two"},
		{"ids differ in blanks", "frogs.csv", "location,frog\nyard,F1\nyard,F 1\n",
			[]string{"frog/F 1 and frog/F1 differ only in blanks"}, nil, "taken as two"},
		{"locations differ in zeros", "frogs.csv", "location,frog\nyard 1,F1\nyard 01,F2\n",
			[]string{"locations yard 01 and yard 1 differ only in zeros before a number"}, nil, "taken as two"},
		{"locations differ in case", "frogs.csv", "location,frog\nYard,F1\nyard,F2\n",
			[]string{"locations Yard and yard differ only in capital letters"}, nil, "taken as two"},
		{"one location, blanks apart", "frogs.csv", "location,frog\n\"mill  siding\",F1\n\" mill siding \",F2\n", nil,
			nil, "runs of blanks are joined"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tr, problems, warnings := read(t, data, track.Defaults{}, map[string]string{tc.file: tc.text})
			holds(t, "problems", problems, nil, tc.reason)
			holds(t, "warnings", warnings, tc.want, tc.reason)
			f := tr.Features[0]
			for q := range track.NumQuantities {
				if f.Contradicted(q) != slices.Contains(tc.marked, q) {
					t.Errorf("%s contradicted: %t; %s", q, f.Contradicted(q), tc.reason)
				}
			}
			if (f.Contradiction() != "") != (len(tc.marked) > 0) {
				t.Errorf("contradiction %q; %s", f.Contradiction(), tc.reason)
			}
		})
	}
}

// TestDefaults: class and speed of a row, else of the railroad, else unknown. A joint has no speed of its own.
func TestDefaults(t *testing.T) {
	data := fixture.Data(t)
	railroad := track.Defaults{Class: "2", Speed: 25, SpeedKnown: true}
	for _, tc := range []struct {
		name     string
		defaults track.Defaults
		row      string
		class    string
		given    bool
		speed    float64
		known    bool
		reason   string
	}{
		{"own", railroad, "3,40", "3", true, 40, true, "the row's own"},
		{"railroad's", railroad, ",", "2", false, 25, true, "blank falls back"},
		{"marks of blank", railroad, "-,n/m", "2", false, 25, true, "- and n/m are blank"},
		{"unknown", track.Defaults{}, ",", "", false, 0, false, "unknown is not class 1, nor 0 mph"},
		{"zero speed", railroad, "excepted,0", "excepted", true, 0, true, "0 mph is a speed"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tr, problems, _ := read(t, data, tc.defaults,
				map[string]string{"curves.csv": "location,curve,track_class,speed_mph\nyard,C1," + tc.row + "\n"})
			holds(t, "problems", problems, nil, tc.reason)
			f := tr.Features[0]
			if f.Class != tc.class || f.ClassGiven != tc.given || f.Speed != tc.speed || f.SpeedKnown != tc.known {
				t.Errorf("class %q (own %t), %g mph (known %t); want %q (%t), %g (%t); %s", f.Class, f.ClassGiven,
					f.Speed, f.SpeedKnown, tc.class, tc.given, tc.speed, tc.known, tc.reason)
			}
		})
	}
	tr, _, _ := read(t, data, track.Defaults{}, map[string]string{"switches.csv": "location,switch\nyard,S1\n"})
	if f := tr.Features[0]; f.Direction != "both" || f.Holding != "fair" {
		t.Errorf("blank direction %q, holding %q; want both and fair", f.Direction, f.Holding)
	}
}

// TestHistory: the newest row, whole, is the reading; the others are its history.
func TestHistory(t *testing.T) {
	data := fixture.Data(t)
	rows := []string{"yard,F1,rbm,1-7/16,,2026-03-01", "yard,F1,bolted,1-1/2,54-5/8,2025-03-01",
		"yard,F1,,1-5/8,54-3/4,2024-03-01"}
	for first := range rows {
		text := "location,frog,type,flangeway_depth,guard_check,date\n" +
			strings.Join(append(slices.Clone(rows[first:]), rows[:first]...), "\n") + "\n"
		tr, problems, _ := read(t, data, track.Defaults{}, map[string]string{"frogs.csv": text})
		holds(t, "problems", problems, nil, "a history is no defect")
		if len(tr.Features) != 1 {
			t.Fatalf("%d features, want one", len(tr.Features))
		}
		f := tr.Features[0]
		if got := f.Read(track.FlangewayDepth).Written; got != "1-7/16" || f.Type != "rbm" {
			t.Errorf("depth %s of a %s frog, want the newest row's", got, f.Type)
		}
		if f.Read(track.GuardCheck).Measured() {
			t.Error("a blank of the newest row was filled from an older one; a repair may lie between")
		}
		if len(f.Earlier) != 2 || f.Earlier[0].Date.String() != "2024-03-01" {
			t.Errorf("history of %d rows, want two, oldest first", len(f.Earlier))
		}
	}
}

// TestOrder: features by location, kind and id.
func TestOrder(t *testing.T) {
	tr, _, _ := read(t, fixture.Data(t), track.Defaults{}, map[string]string{
		"frogs.csv": "location,frog\nyard,F2\nyard,F1\nmill,F3\n", "gauge.csv": "location,spot\nmill,A\n",
		"switches.csv": "location,switch\nyard,A\n"})
	var got []string
	for _, f := range tr.Features {
		got = append(got, f.Location+" "+f.Name())
	}
	if want := []string{"mill frog/F3", "mill spot/A", "yard frog/F1", "yard frog/F2",
		"yard switch/A"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestCurveSpeed holds a selection of the rows of 49 CFR 213, Appendix A, Table 1 (three inches of unbalance): maximum
// speed in mph, rounded to the nearest, by degree of curve and elevation of the outer rail in inches.
func TestCurveSpeed(t *testing.T) {
	for _, row := range []struct {
		degree float64
		mph    [7]int // at 0, 1, 2 … 6 in
	}{
		{0.5, [7]int{93, 107, 120, 131, 141, 151, 160}},
		{1, [7]int{65, 76, 85, 93, 100, 107, 113}},
		{2, [7]int{46, 53, 60, 65, 71, 76, 80}},
		{2.5, [7]int{41, 48, 53, 59, 63, 68, 72}},
		{4, [7]int{33, 38, 42, 46, 50, 53, 57}},
		{5, [7]int{29, 34, 38, 41, 45, 48, 51}},
		{6, [7]int{27, 31, 35, 38, 41, 44, 46}},
		{8, [7]int{23, 27, 30, 33, 35, 38, 40}},
		{10, [7]int{21, 24, 27, 29, 32, 34, 36}},
		{12, [7]int{19, 22, 24, 27, 29, 31, 33}},
	} {
		for ea, want := range row.mph {
			v, err := track.CurveSpeedMPH(float64(ea), track.UnbalanceIn, row.degree)
			if err != nil {
				t.Fatal(err)
			}
			if got := int(math.Round(v)); got != want {
				t.Errorf("%g degrees, %d in: %d mph (%.3f), the table says %d", row.degree, ea, got, v, want)
			}
			f := track.New(track.Curve, "here", "C1", map[track.Quantity]measure.Reading{
				track.Degree:    measure.Exact(row.degree, ""),
				track.Elevation: measure.Exact(float64(ea)*measure.MMPerInch, "")})
			if got, ok := f.CurveSpeed(); !ok || got != want {
				t.Errorf("a curve of %g degrees and %d in: %d mph (%t), the table says %d", row.degree, ea,
					got, ok, want)
			}
		}
	}
}

// TestCurveSpeedRange: outside its range the formula gives an error and no number.
func TestCurveSpeedRange(t *testing.T) {
	for _, tc := range []struct {
		name      string
		ea, eu, d float64
		ok        bool
		reason    string
	}{
		{"tangent", 1, 3, 0, false, "no curve has no curve speed"},
		{"just a curve", 1, 3, 1e-6, true, "any degree above 0"},
		{"negative degree", 1, 3, -4, false, "a degree is positive"},
		{"sharpest", 1, 3, 60, true, "up to 60 degrees"},
		{"too sharp", 1, 3, 60.01, false, "beyond 60 degrees"},
		{"not a number", 1, 3, math.NaN(), false, "no number"},
		{"reverse elevation at the unbalance", -3, 3, 4, true, "0 mph"},
		{"reverse elevation beyond", -3.01, 3, 4, false, "no speed at all"},
		{"elevation not a number", math.NaN(), 3, 4, false, "no number"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			v, err := track.CurveSpeedMPH(tc.ea, tc.eu, tc.d)
			if (err == nil) != tc.ok || math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%g, error %v; %s", v, err, tc.reason)
			}
		})
	}
	double, _ := track.CurveSpeedMPH(5, 3, 4)
	single, _ := track.CurveSpeedMPH(-1, 3, 4)
	if math.Abs(double-2*single) > 1e-9 {
		t.Errorf("four times the elevation and unbalance gives %g mph, want twice %g", double, single)
	}
}

// TestUnbalance: 0.0007 D V² less the elevation (49 CFR 213.57(b)), missing where one of the three is not known.
func TestUnbalance(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, row  string
		measured   bool
		as, lo, hi float64 // in
		reason     string
	}{
		{"four degrees at 50 mph", "4,4,50", true, 3, 2.96875, 3.03125, "0.0007 x 4 x 2500 = 7 less 4, read to 1/32"},
		{"four degrees at 60 mph", "4,4,60", true, 6.08, 6.04875, 6.11125,
			"0.0007 x 4 x 3600 = 10.08 less 4, read to 1/32"},
		{"no elevation", "4,,50", false, 0, 0, 0, "not measured is not zero"},
		{"level", "4,none,50", true, 7, 7, 7, "none is exactly 0"},
		{"no speed", "4,4,", false, 0, 0, 0, "no speed"},
		{"no degree", ",4,50", false, 0, 0, 0, "no curve"},
		{"one-sided elevation", "4,<4,50", false, 0, 0, 0, "has no value of its own"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tr, problems, _ := read(t, data, track.Defaults{},
				map[string]string{"curves.csv": "location,curve,degree,elevation,speed_mph\nyard,C1," + tc.row + "\n"})
			holds(t, "problems", problems, nil, tc.reason)
			r := tr.Features[0].Subject().Read("unbalance")
			if r.Measured() != tc.measured {
				t.Fatalf("measured %t; %s", r.Measured(), tc.reason)
			}
			for _, v := range [][2]float64{{r.As, tc.as}, {r.Lo, tc.lo}, {r.Hi, tc.hi}} {
				if math.Abs(v[0]/measure.MMPerInch-v[1]) > 1e-9 {
					t.Errorf("%g in, want %g; %s", v[0]/measure.MMPerInch, v[1], tc.reason)
				}
			}
		})
	}
}

// TestWith: a copy with one reading replaced leaves the feature alone.
func TestWith(t *testing.T) {
	f := track.New(track.Frog, "here", "F1",
		map[track.Quantity]measure.Reading{track.FlangewayDepth: measure.Exact(38, "38")})
	g := f.With(track.FlangewayDepth, measure.Exact(40, "40"))
	if f.Read(track.FlangewayDepth).As != 38 || g.Read(track.FlangewayDepth).As != 40 {
		t.Errorf("%g and %g, want 38 and 40", f.Read(track.FlangewayDepth).As, g.Read(track.FlangewayDepth).As)
	}
	if f.Read(track.Degree).Measured() || g.Read(track.Degree).Measured() {
		t.Error("a frog has no degree of curve")
	}
}
