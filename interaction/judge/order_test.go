package judge_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// place in the list, written down a second time: harm, then verdict, then the margin in
// units of the check's reserve. What is clear hurts nothing and comes last.
func listed(f *judge.Finding) [5]float64 {
	harm := map[string]float64{"derailment": 0, "switch": 1, "frog": 2, "rail": 3, "guard rail": 4,
		"bar": 5}[f.Check.Hurts[0]]
	reserve := map[string]float64{"frog-wing": .5, "outer-tread": .5, "hollow-curve": .5, "point-climb": 5,
		"wide-gauge": .75 * inch}[f.Check.ID]
	if reserve == 0 {
		reserve = inch / 16
	}
	if f.Verdict == clears {
		harm = 99
	}
	last := 0.0 // 1: to be read again first
	switch {
	case f.Verdict == clears:
		last = 2
	case f.Doubt != "" && f.Verdict != notMeasured:
		last = 1
	}
	out := [5]float64{last, harm, float64(f.Verdict), 0, 0}
	if f.Verdict == notMeasured {
		return out
	}
	out[3], out[4] = math.Inf(1), math.Inf(-1)
	if f.Margin.Hi != nil {
		out[3] = *f.Margin.Hi / reserve
	}
	if f.Margin.Lo != nil {
		out[4] = *f.Margin.Lo / reserve
	}
	return out
}

// after reports that a stands behind b in the list.
func after(a, b [5]float64) bool {
	for i := range a {
		if d := a[i] - b[i]; !(math.Abs(d) < 1e-6) && a[i] != b[i] {
			return a[i] > b[i]
		}
	}
	return false
}

// TestFindingsInOrder: all pairs of a location, and its worst ones, stand in the order of
// harm, verdict and margin.
func TestFindingsInOrder(t *testing.T) {
	t.Parallel()
	s := readDemo(t)
	j := judgeAll(t, s, interaction.Options{})
	units := map[string]bool{}
	check := func(what string, list []*judge.Finding) {
		for i := 1; i < len(list); i++ {
			a, b := list[i-1], list[i]
			if a.Feature.Location == b.Feature.Location && after(listed(a), listed(b)) {
				t.Fatalf("%s: %s %v stands before %s %v", what, pairKey(a), listed(a), pairKey(b), listed(b))
			}
		}
	}
	check("all pairs", j.all)
	for _, l := range j.result.Locations() {
		list := j.result.WorstAt(l)
		check("worst at "+l.Name, list)
		for _, f := range list {
			units[f.Check.Reserve] = true
		}
	}
	if len(units) != 4 {
		t.Errorf("the findings have reserves %v, want four", units)
	}
}

// TestProblems: a place at fault is one problem however many wheels it strikes, a wheelset
// at fault is one wherever it runs, and what conflicts only together is one for each check
// and feature.
func TestProblems(t *testing.T) {
	wheels := "car,position,flange_height\n"
	for _, w := range []string{"A 1,L1,2", "A 1,R1,2", "A 1,L2,1-1/8", "A 1,R2,1-1/8", "A 2,L1,1-7/16", "A 2,R1,1-7/16",
		"A 2,L2,1-7/16"} {
		wheels += w + "\n"
	}
	s := sheets{exact: true, files: map[string]string{"wheels.csv": wheels,
		"frogs.csv": "location,frog,flangeway_depth\nyard,F1,0.9\nyard,F2,1-3/8\nyard,F3,1-3/8\nmill,F4,1-7/8\nmill,F5,n/m\n"}}
	sum := judgeAll(t, s.read(t, fixture.Data(t)), interaction.Options{Check: "frog-floor"}).result.Summary
	// F1 strikes new wheels: one. The axle of two high flanges strikes an unworn frog: one.
	// The three of 1-7/16 strike F2 and F3 only together with them: two.
	want := map[interaction.Cause]int{interaction.CausePlace: 1, interaction.CauseWheel: 1, interaction.CausePair: 2}
	for cause, n := range want {
		if sum.Problems[cause] != n {
			t.Errorf("%d problems of cause %s, want %d", sum.Problems[cause], cause, n)
		}
	}
	if sum.AllProblems() != 4 || sum.Unknown != 1 || sum.AllPlaces != 2 {
		t.Errorf("%d problems, %d of %d places with something unknown; want 4, 1 of 2", sum.AllProblems(), sum.Unknown,
			sum.AllPlaces)
	}
}

// TestDoubtedReading: a flange that cannot be as low as it was read neither leads a finding
// where another can nor sets a dimension of a repair.
func TestDoubtedReading(t *testing.T) {
	data := fixture.Data(t)
	worst := func(heights ...string) *judge.Finding {
		var rows []row
		for i, h := range heights {
			rows = append(rows, row{"car": "A 1", "position": "L" + string(rune('1'+i)), "flange_height": h})
		}
		s := sheets{exact: true, files: map[string]string{"wheels.csv": sheet(rows...),
			"switches.csv": "location,switch,direction,point_drop,chip_depth,face_angle\nhere,S1,facing,0.9,none,75\n"}}.read(t, data)
		r := judgeAll(t, s, interaction.Options{Check: "point-climb"}).result
		return r.Worst(&r.Tallies[0])
	}
	f := worst("5/8", "1", "1-1/16")
	if f.Verdict != conflict || f.Wheel.Position.String() != "L2" || f.Sharing != 3 || f.Doubt != "" {
		t.Errorf("%s leads with %s, shared by %d (%q), want L2: 5/8 is under a warning", f.Wheel.Position, f.Verdict,
			f.Sharing, f.Doubt)
	}
	if notes := strings.Join(f.Notes, "; "); !strings.Contains(notes,
		"left out, since a reading is under a warning: A 1 L1 (flange_height 5/8)") {
		t.Errorf("the finding does not say what was left out: %q", notes)
	}
	if fixes := strings.Join(f.FixTrack, ""); !strings.Contains(fixes, "no lower than 5/8 in") {
		t.Errorf("%q is not measured by L2", fixes)
	}
	f = worst("5/8", "1-3/4")
	if f.Verdict != conflict || f.Wheel.Position.String() != "L1" || !strings.Contains(f.Doubt, "flange_height 5/8") {
		t.Errorf("%s of %s, doubt %q: the only conflict is still listed, and marked", f.Verdict, f.Wheel.Position,
			f.Doubt)
	}
	if fixes := append(f.FixTrack, f.FixWheel...); len(fixes) > 0 {
		t.Errorf("%q: to read again is no repair, and none is measured by a reading under a warning", fixes)
	}
	if notes := strings.Join(f.Notes, "; "); !strings.Contains(notes,
		"read again first what is under a warning, since no repair is measured by it: A 1 L1 (flange_height 5/8)") ||
		!slices.Contains(f.SettleBy(), "flange_height") {
		t.Errorf("notes %q, settled by %q: the reading to take again is not named", notes, f.SettleBy())
	}
}

// TestRepairsOneCanDo: each names one figure at most, and asks for nothing that no axle or
// gauge can have.
func TestRepairsOneCanDo(t *testing.T) {
	data := fixture.Data(t)
	for _, tt := range []struct {
		name, check, wheel, mate, place, wheelSide, trackSide string
	}{
		{"turning leaves no hollow", "frog-wing", "tread_hollow 5", "", "frog: type rbm",
			"turn the wheelset, which leaves no hollow, or change it", ""},
		{"a flange that can be turned", "frog-point", "flange_thickness 1.375; back_to_back 53.25", "",
			"frog: guard_check 54.375", "turn the flange to a thickness of 1-3/16 in or less",
			"guard check of 54-9/16 in or more"},
		{"an axle off by two inches", "frog-point", "flange_thickness 1.25; back_to_back 55.25", "",
			"frog: guard_check 54.5", "press or change the wheelset: back-to-back of 53-5/16 in or less", ""},
		{"an axle off by two inches in tight gauge", "tight-gauge", "flange_thickness 1.25; back_to_back 55.25",
			"flange_thickness 1.25", "spot: gauge 56.5",
			"press or change the wheelset: back-to-back of 53-15/16 in or less", ""},
		{"both flanges turned", "tight-gauge", "flange_thickness 1.375; back_to_back 53.25", "flange_thickness 1.375",
			"spot: gauge 55.875", "turn the wheelset: 1/8 in less on each flange", "regauge to 56-1/2 in or more"},
		{"wider than standard", "tight-gauge", "flange_thickness 1.375; back_to_back 53.75", "flange_thickness 1.375",
			"spot: gauge 55.875", "", "regauge to 56-9/16 in or more"},
		{"the thick flange of two is turned", "tight-gauge", "flange_thickness 2; back_to_back 53.25",
			"flange_thickness 1.25", "spot: gauge 56", "turn the flange of L1 to a thickness of 1-7/16 in or less", ""},
		{"the thick flange of two, by a little", "tight-gauge", "flange_thickness 1.4375; back_to_back 53.5",
			"flange_thickness 1.0625", "spot: gauge 55.9375",
			"turn the flange of L1 to a thickness of 1-5/16 in or less", ""},
		{"the thick flange is the mate's", "tight-gauge", "flange_thickness 1.0625; back_to_back 53.5",
			"flange_thickness 1.4375", "spot: gauge 55.9375",
			"turn the flange of R1 to a thickness of 1-5/16 in or less", ""},
		{"nobody turns that much off a full flange", "tight-gauge", "flange_thickness 1.375; back_to_back 53.75",
			"flange_thickness 1.375", "spot: gauge 56",
			"press or change the wheelset: back-to-back of 53-3/16 in or less", ""},
		{"a thin flange is no repair", "flangeway-width", "flange_thickness 1.25", "", "frog: flangeway_width 0.9",
			"none: it would take a flange of 13/16 in or less, which is thin", ""},
		{"a narrow axle", "guard-bind", "back_to_back 52.5", "", "frog: guard_face 53.25",
			"press or change the wheelset: back-to-back of 53-5/16 in or more", "guard face of 53 in or less"},
		{"an axle that no guard rail helps", "guard-bind", "back_to_back 51", "", "frog: guard_face 52.75",
			"press or change the wheelset: back-to-back of 52-13/16 in or more",
			"none on the track side: it would take a guard face of 50-15/16 in or less, under that of unworn track: " +
				"the axle is too narrow"},
		{"an axle that no guard rail protects", "frog-point", "flange_thickness 1.25; back_to_back 55.25", "",
			"frog: guard_check 54.5; gauge 56.5", "press or change",
			"none on the track side: it would take a guard check of 56-7/16 in or more, which leaves less than 1-1/2 " +
				"in"},
		{"a guard rail at its least flangeway", "frog-point", "flange_thickness 1.3125; back_to_back 53.75", "",
			"frog: guard_check 54.5; gauge 56.5", "", "move or shim the guard rail to a guard check of 55 in or more"},
		{"a sixteenth under it", "frog-point", "flange_thickness 1.375; back_to_back 53.75", "",
			"frog: guard_check 54.5; gauge 56.5", "", "none on the track side: it would take a guard check of 55-1/16"},
		{"on gauge that is a sixteenth wider", "frog-point", "flange_thickness 1.375; back_to_back 53.75", "",
			"frog: guard_check 54.5; gauge 56.5625", "", "guard rail to a guard check of 55-1/16 in or more"},
		{"the deepest that a floor is ground", "frog-floor", "flange_height 1.9375", "", "frog: flangeway_depth 1.375",
			"", "to a flangeway depth of 2 in or more"},
		{"a flange higher than any frog is deep", "frog-floor", "flange_height 2", "", "frog: flangeway_depth 1.375",
			"", "none on the track side: it would take a flangeway depth of 2-1/16 in or more, which no frog has"},
		{"the widest that track is regauged to", "tight-gauge", "flange_thickness 1.375; back_to_back 54.6875",
			"flange_thickness 1.375", "spot: gauge 56.5", "", "regauge to 57-1/2 in or more"},
		{"a sixteenth more", "tight-gauge", "flange_thickness 1.375; back_to_back 54.75",
			"flange_thickness 1.375", "spot: gauge 56.5", "",
			"none on the track side: it would take a gauge of 57-9/16"},
		{"the widest that a throw opens", "open-point", "flange_thickness 1; back_to_back 53", "",
			"switch: open_clearance 3; gauge 58.4375", "", "adjust the throw to an open clearance of 4-1/2 in or more"},
		{"wider than a throw opens", "open-point", "flange_thickness 1; back_to_back 53", "",
			"switch: open_clearance 3; gauge 58.5", "", "regauge to 56-15/16 in or less, since no throw opens"},
		{"neither throw nor gauge", "open-point", "flange_thickness 0.875; back_to_back 51.5", "",
			"switch: open_clearance 3; gauge 57.25", "",
			"none on the track side: it would take an open clearance of 4-15/16"},
		{"the highest risers", "outer-tread", "tread_hollow 11", "", "switch: heel_rise 0.125", "",
			"renew the risers to a heel rise of 3/8 in or more"},
		{"no risers so high", "outer-tread", "tread_hollow 11.5", "", "switch: heel_rise 0.125", "",
			"none on the track side: it would take a heel rise of 7/16 in or more, which no risers give"},
		{"a guard face over every axle", "guard-bind", "back_to_back 53.25", "", "frog: guard_face 54",
			"none on this axle alone: it would take a back-to-back of 54-1/16 in or more, over that of any new one",
			""},
		{"gauge", "wide-gauge", "flange_thickness 1; back_to_back 53", "-", "spot: loaded_gauge 59.5", "",
			"regauge, or renew ties and fastenings, to a gauge under load of 58-1/2 in or less"},
	} {
		f, ok := onePair(t, data, tt.check, checkCase{wheel: tt.wheel, mate: tt.mate, place: tt.place})
		if !ok || f.Verdict != conflict {
			t.Errorf("%s: no conflict", tt.name)
			continue
		}
		if got := strings.Join(f.FixWheel, "; "); !strings.Contains(got, tt.wheelSide) {
			t.Errorf("%s: wheel side %q, want %q", tt.name, got, tt.wheelSide)
		}
		if got := strings.Join(f.FixTrack, "; "); !strings.Contains(got, tt.trackSide) {
			t.Errorf("%s: track side %q, want %q", tt.name, got, tt.trackSide)
		}
		for _, fix := range append(f.FixWheel, f.FixTrack...) {
			if n := strings.Count(fix, " in or "); n > 1 {
				t.Errorf("%s: %q names %d figures", tt.name, fix, n)
			}
		}
	}
}

// TestUndecidedSaysWhatSettles: every undecided pair names a reading that settles it, or
// that none in the sheets does and what to look at. Lifted are the conflicts of the plain
// rule that are none as computed.
func TestUndecidedSaysWhatSettles(t *testing.T) {
	open, looks, lifted := 0, 0, 0
	for _, f := range computedPairs(t, viewed(t)) {
		if f.Computed != nil && f.Plain == conflict && f.Verdict != conflict {
			lifted++
		}
		if f.Verdict != undecided {
			continue
		}
		open++
		if f.LookAt() != "" {
			looks++
		}
		if len(f.Settle()) == 0 || len(f.SettleBy()) > 0 && f.LookAt() != "" {
			t.Errorf("%s: settled by %q, look at %q", pairKey(f), f.SettleBy(), f.LookAt())
		}
	}
	if open == 0 || lifted == 0 {
		t.Errorf("%d undecided, %d of them to look at, %d lifted: this says little", open, looks, lifted)
	}
	in := viewed(t)
	if sum := resultOf(t, in.read(t, fixture.Data(t)), interaction.Options{}).Summary; sum.Lifted != lifted || !sum.Computed {
		t.Errorf("the summary counts %d lifted, the pairs are %d", sum.Lifted, lifted)
	}
}

// TestPlaceAndWheelAtFault: the worst pair is listed also where its wheel is at fault itself;
// the place's repair is then measured by the reference wheel that conflicts there, and the
// wheelset is a problem of its own beside that of the place.
func TestPlaceAndWheelAtFault(t *testing.T) {
	data := fixture.Data(t)
	bad, good := row{"car": "A", "position": "L1", "back_to_back": "51.125"},
		row{"car": "B", "position": "L1", "back_to_back": "53.1875"}
	for _, tt := range []struct {
		name    string
		rows    []row
		car     string
		atFault bool
		face    string
	}{
		{"with a wheel that is sound", []row{bad, good}, "A", true, "guard face of 53 in or less"},
		{"with none that is", []row{bad}, "A", true, "guard face of 53 in or less"},
	} {
		s := sheets{exact: true, files: map[string]string{"wheels.csv": sheet(tt.rows...),
			"frogs.csv": "location,frog,type,guard_face\nhere,F1,rbm,53-5/16\n"}}.read(t, data)
		r := judgeAll(t, s, interaction.Options{Check: "guard-bind"}).result
		f := r.Worst(&r.Tallies[0])
		if f.Cause != interaction.CausePlace || f.Wheel.Car.ID != tt.car || f.AtFault != tt.atFault {
			t.Errorf("%s: cause %s, %s leads, at fault itself: %v", tt.name, f.Cause, f.Wheel.Car.ID, f.AtFault)
		}
		if got := strings.Join(f.FixTrack, "; "); !strings.Contains(got, tt.face) {
			t.Errorf("%s: %q, want a %s", tt.name, got, tt.face)
		}
		if p := r.Summary.Problems; p[interaction.CausePlace] != 1 || p[interaction.CauseWheel] != 1 {
			t.Errorf("%s: problems %v, want one of the place and one of the wheelset", tt.name, p)
		}
	}
}

// TestDoubtedReadingComesLast: a finding by a reading under a warning stands behind all
// others, however bad it would be.
func TestDoubtedReadingComesLast(t *testing.T) {
	s := sheets{exact: true, files: map[string]string{
		"wheels.csv": sheet(row{"car": "A 1", "position": "L1", "flange_height": "5/8"},
			row{"car": "A 1", "position": "L2", "flange_height": "1-5/8"}),
		"switches.csv": "location,switch,direction,point_drop,chip_depth,face_angle\nhere,S1,facing,0.9,none,75\n",
		"frogs.csv":    "location,frog,type,flangeway_depth\nhere,F1,rbm,1-9/16\n"}}.read(t, fixture.Data(t))
	r := judgeAll(t, s, interaction.Options{}).result
	list := slices.DeleteFunc(r.WorstAt(r.Locations()[0]), func(f *judge.Finding) bool {
		return f.Verdict != interaction.Conflict
	})
	if f := list[0]; f.Check.ID != "frog-floor" {
		t.Errorf("%+v leads, want the frog floor: 5/8 is under a warning", f)
	}
}
