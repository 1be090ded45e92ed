package judge_test

import (
	"slices"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

const demoDir = "../../testdata/demo"

func readDemo(t testing.TB) *survey.Survey {
	t.Helper()
	s, err := survey.Read(demoDir)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// exactly is a length without ±, for wheels and places that are as drawn.
func exactly(inches float64) measure.Reading {
	return measure.Exact(inches*inch, measure.Inch(inches*inch))
}

// newWheels is a car of each kind of the fleet with every axle replaced by one of new wheels: of the
// one design, or of two designs axle by axle. The designs are those of the reference wheels in
// configs; wheels of one design are alike, so these say what fifty cars do.
func newWheels(t testing.TB, s *survey.Survey, designs ...configs.Design) *wheel.Fleet {
	t.Helper()
	first := map[string]*wheel.Car{}
	for _, c := range s.Fleet.Cars {
		if first[c.Kind] == nil {
			first[c.Kind] = c
		}
	}
	few := s.Fleet.Only(func(c *wheel.Car) bool { return c == first[c.Kind] })
	var rows []row
	for i, w := range few.Wheels {
		d := designs[(i/2+w.Position.Axle)%len(designs)]
		if w.Position.Side == 'R' && w.Mate() != nil { // one axle is of one design
			for _, r := range rows {
				if r["car"] == w.Car.ID && r["position"] == w.Mate().Position.String() {
					d, _ = s.Data.Design(r["design"])
				}
			}
		}
		in := func(mm float64) string { return measure.Inch(mm) }
		rows = append(rows, row{"car": w.Car.ID, "position": w.Position.String(), "design": d.Name,
			"flange_height":    in(d.FlangeHeight),
			"flange_thickness": in(d.FlangeThickness), "rim_width": in(d.RimWidth), "back_to_back": in(d.BackToBack),
			"vertical_flange": "none", "tread_hollow": "none"})
	}
	fresh := sheets{exact: true, files: map[string]string{"wheels.csv": sheet(rows...)}}.read(t, s.Data)
	if len(fresh.Fleet.Wheels) != len(few.Wheels) {
		t.Fatalf("%d new wheels for %d", len(fresh.Fleet.Wheels), len(few.Wheels))
	}
	return fresh.Fleet
}

func referenceDesigns(t testing.TB, data *configs.Data) []configs.Design {
	t.Helper()
	var out []configs.Design
	for _, d := range data.Designs {
		if d.Reference {
			out = append(out, d)
		}
	}
	if len(out) != 2 {
		t.Fatalf("%d reference designs, want a narrow and a wide flange", len(out))
	}
	return out
}

// TestNewOnDesigned: a railroad of new wheels and of track as designed has nothing to
// report. Every pair of every check is clear.
func TestNewOnDesigned(t *testing.T) {
	s := readDemo(t)
	s.Fleet = newWheels(t, s, referenceDesigns(t, s.Data)...)
	designed := &track.Track{}
	for _, f := range s.Track.Features {
		g := interaction.DesignedFeature(s.Data, f.Kind)
		if g == nil {
			t.Fatalf("configs has no %s as designed", f.Kind)
		}
		h := *g
		h.Location, h.ID, h.Type, h.Direction, h.Holding, h.Class = f.Location, f.ID, f.Type, f.Direction, f.Holding,
			f.Class
		designed.Features = append(designed.Features, &h)
	}
	s.Track = designed
	j := judgeAll(t, s, interaction.Options{})
	met := map[string]bool{}
	bad := 0
	for _, f := range j.all {
		met[f.Check.ID] = true
		if f.Verdict == clears {
			continue
		}
		if bad++; bad <= 20 {
			t.Errorf("%s (%s) is %s, settle by %v: new wheels on track as designed are clear", pairKey(f),
				f.Wheel.Design, f.Verdict, f.SettleBy())
		}
	}
	for _, c := range interaction.PlainChecks() {
		if !met[c.ID] {
			t.Errorf("%s met no pair", c.ID)
		}
	}
	if n := j.result.Summary.WheelFault; n != 0 {
		t.Errorf("%d new wheels count as faulty", n)
	}
}

// TestNewWheelsFindPlaces: over the demo's own worn track new wheels still strike
// somewhere, and there the place is at fault, never the wheel.
func TestNewWheelsFindPlaces(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	designs := referenceDesigns(t, readDemo(t).Data)
	for _, tc := range []struct {
		name    string
		designs []configs.Design
	}{{designs[0].Name, designs[:1]}, {designs[1].Name, designs[1:]}} {
		t.Run(tc.name, func(t *testing.T) {
			s := readDemo(t)
			s.Fleet = newWheels(t, s, tc.designs...)
			placesOnly(t, s)
		})
	}
}

// placesOnly: there are conflicts and the cause of all of them is the place. The
// fleet is of one of the reference designs: what can fail here is that nothing strikes,
// or that a new wheel is called faulty. Whether a mixed fleet is spared is
// TestMixedFleetAtFederalLimits.
func placesOnly(t *testing.T, s *survey.Survey) {
	t.Helper()
	conflicts := 0
	for _, f := range judgeAll(t, s, interaction.Options{}).all {
		if f.Verdict != conflict {
			continue
		}
		conflicts++
		if f.Cause != interaction.CausePlace {
			t.Fatalf("%s: the cause is %s, want the place: the wheel is new", pairKey(f), f.Cause)
		}
	}
	if conflicts == 0 {
		t.Error("no conflict at all: the test tests nothing")
	}
}

// TestNewWheelsAtFederalLimits: every frog and every gauge of the demo put at the
// class 1 limits (49 CFR 213.53(b): gage 58 in; 213.133(c): flangeway 1-1/2;
// 213.137(a): depth 1-3/8; 213.143(a): guard check 54-1/8, guard face 53-1/4). The
// limits do not promise that new wheels pass: a wide axle has 53-3/32 + 1-3/8 =
// 54-15/32 to a check of 54-1/8, and its backs 53-3/32 do not clear a face of 53-1/4.
// That is the place's fault, and no wheel's.
func TestNewWheelsAtFederalLimits(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	s := readDemo(t)
	wide := referenceDesigns(t, s.Data)[1]
	s.Fleet = newWheels(t, s, wide)
	atLimits := &track.Track{}
	for _, f := range s.Track.Features {
		g := *f
		h := &g
		h.Class = "1"
		for q, inches := range map[track.Quantity]float64{track.Gauge: 58, track.FlangewayDepth: 1.375,
			track.FlangewayWidth: 1.5, track.GuardFlangeway: 1.5, track.GuardCheck: 54.125, track.GuardFace: 53.25} {
			h = h.With(q, exactly(inches))
		}
		atLimits.Features = append(atLimits.Features, h)
	}
	s.Track = atLimits
	placesOnly(t, s)
	for _, f := range judgeAll(t, s, interaction.Options{}).all {
		if f.Feature.Kind != track.Frog {
			continue
		}
		want, judgedHere := map[string]interaction.Verdict{"frog-floor": clears, "flangeway-width": clears,
			"frog-point": conflict, "guard-bind": conflict}[f.Check.ID]
		if judgedHere && f.Verdict != want {
			t.Fatalf("%s is %s, want %s", pairKey(f), f.Verdict, want)
		}
		if judgedHere && f.TrackWithinLimits == "no" {
			t.Fatalf("%s: the frog stands at the limit, not beyond it", pairKey(f))
		}
	}
}

// TestMixedFleetAtFederalLimits: the demo's own fleet, most of which passes, on frogs
// at the class 1 limits of 49 CFR 213.143(a). A new narrow axle (53-3/8 + 1-5/32)
// reaches past a guard check of 54-1/8 and a new wide one (53-3/32) binds at a guard
// face of 53-1/4, so the table names the frogs and not a list of innocent wheels.
func TestMixedFleetAtFederalLimits(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	s := readDemo(t)
	for i, f := range s.Track.Features {
		if f.Kind == track.Frog {
			s.Track.Features[i] = f.With(track.GuardCheck, exactly(54.125)).With(track.GuardFace, exactly(53.25))
		}
	}
	conflicts, spared := map[string]int{}, map[string]int{}
	for _, f := range judgeAll(t, s, interaction.Options{}).all {
		if f.Check.ID != "frog-point" && f.Check.ID != "guard-bind" {
			continue
		}
		if f.Verdict == clears {
			spared[f.Check.ID]++
		}
		if f.Verdict != conflict {
			continue
		}
		conflicts[f.Check.ID]++
		if f.Cause != interaction.CausePlace {
			t.Fatalf("%s: the cause is %s, want the place: a new wheel conflicts there", pairKey(f), f.Cause)
		}
	}
	for _, id := range []string{"frog-point", "guard-bind"} {
		if conflicts[id] == 0 {
			t.Errorf("no conflict of %s: the test tests nothing", id)
		}
	}
	if n := conflicts["guard-bind"]; n >= spared["guard-bind"] {
		t.Errorf("%d wheels bind and %d pass: the rule of more than half would name the place anyhow", n,
			spared["guard-bind"])
	}
}

// TestDemoShowsEverything: the demo holds every verdict of every check, every cause,
// and conflicts of the pair with both sides within federal limits.
func TestDemoShowsEverything(t *testing.T) {
	t.Parallel()
	j := judgeAll(t, readDemo(t), interaction.Options{})
	verdicts, causes, both := map[string]int{}, map[interaction.Cause]int{}, 0
	for _, f := range j.all {
		verdicts[f.Check.ID+" "+f.Verdict.String()]++
		if f.Verdict == conflict {
			causes[f.Cause]++
		}
		if f.BothLegal() {
			both++
			if f.Check.ID == "frog-floor" && len(f.Readings) != 2 {
				t.Errorf("%s rests on %d readings, want two", pairKey(f), len(f.Readings))
			}
		}
	}
	for _, c := range interaction.PlainChecks() {
		for _, v := range []interaction.Verdict{conflict, undecided, notMeasured, clears} {
			if verdicts[c.ID+" "+v.String()] == 0 {
				t.Errorf("%s is never %s in the demo", c.ID, v)
			}
		}
	}
	for _, c := range []interaction.Cause{interaction.CausePlace, interaction.CauseWheel, interaction.CausePair} {
		if causes[c] == 0 {
			t.Errorf("no conflict of the demo has the cause %s", c)
		}
	}
	if both == 0 {
		t.Error("the demo has no conflict with both sides within federal limits")
	}
}

// TestCauses: frogs and a fleet of four show the three causes. A depth of 0.9 in strikes
// new wheels (1 in), one under 1-1/4 in an ordinary worn one; a flange of 2 in strikes a frog as designed (1-7/8 in);
// 1-7/16 on a depth of 1-3/8 strikes only as a pair.
func TestCauses(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, depth string
		heights     []string // of the first wheel and the others
		want        interaction.Cause
		reason      string
	}{
		{"place", "0.9", []string{"1.2", "0.8", "0.8", "0.8"}, interaction.CausePlace,
			"new wheels of 1 in strike a depth of 0.9, though few of this fleet do"},
		{"struck by all", "1.375", []string{"1.4", "1.4", "1.4", "1.4"}, interaction.CausePair,
			"the cars that happen to be in the sheet do not vote"},
		{"place that an ordinary worn wheel strikes", "1.2499", []string{"1.4", "1", "1", "1"}, interaction.CausePlace,
			"1-1/4 in is an ordinary worn flange"},
		{"place that it just clears", "1.25", []string{"1.4", "1", "1", "1"}, interaction.CausePair,
			"1-1/4 in on 1-1/4 in is clear"},
		{"wheel", "1.375", []string{"2", "1", "1", "1"}, interaction.CauseWheel, "2 in strikes an unworn frog too"},
		{"wheel just not", "1.375", []string{"1.875", "1", "1", "1"}, interaction.CausePair,
			"1-7/8 just clears a frog as designed"},
		{"pair", "1.375", []string{"1.4375", "1", "1", "1"}, interaction.CausePair, "neither is at fault alone"},
		{"place before wheel", "0.9", []string{"2", "1", "1", "1"}, interaction.CausePlace,
			"a place that strikes new wheels is told once, on the track side"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var rows []row
			for i, h := range tc.heights {
				rows = append(rows, row{"car": "A 1", "position": "L" + string(rune('1'+i)), "flange_height": h})
			}
			s := sheets{exact: true, files: map[string]string{"wheels.csv": sheet(rows...),
				"frogs.csv": "location,frog,flangeway_depth\nhere,F1," + tc.depth + "\n"}}.read(t, data)
			f := byPair(t, judgeAll(t, s, interaction.Options{}).all)["frog-floor frog/F1 A 1 L1"]
			if f.Verdict != conflict || f.Cause != tc.want {
				t.Errorf("%s of cause %s, want a conflict of cause %s; %s", f.Verdict, f.Cause, tc.want, tc.reason)
			}
		})
	}
}

// TestSettingsThatEnterAreListed: explain names every setting of a check, so each
// that enters a pair of the demo stands in the check's list, and each in the list is a
// setting.
func TestSettingsThatEnterAreListed(t *testing.T) {
	t.Parallel()
	s := readDemo(t)
	entered := map[string]bool{}
	for _, f := range judgeAll(t, s, interaction.Options{}).all {
		for _, r := range f.Readings {
			if r.Setting == "" {
				continue
			}
			entered[f.Check.ID+" "+r.Setting] = true
			if !slices.Contains(f.Check.Settings, r.Setting) {
				t.Fatalf("%s enters %s, which its list does not name", r.Setting, f.Check.ID)
			}
		}
	}
	figures := fixture.Figures(t)
	for _, c := range interaction.Checks() {
		for _, name := range c.Computing {
			if _, ok := s.Settings.Setting(name); !ok {
				t.Errorf("what is computed of %s names %s, which is no setting", c.ID, name)
			}
		}
		for _, name := range c.Figures {
			if _, ok := figures.Constant(name); !ok {
				t.Errorf("what is computed of %s names %s, which is no built-in figure", c.ID, name)
			}
		}
		for _, name := range c.Settings {
			if _, ok := s.Settings.Setting(name); !ok {
				t.Errorf("%s names %s, which is no setting", c.ID, name)
			}
			if !entered[c.ID+" "+name] && !c.ComputedOnly {
				t.Errorf("%s never enters %s in the demo", name, c.ID)
			}
		}
	}
}
