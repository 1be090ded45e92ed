package ask

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/configs"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/wheel/shape"
)

// yard is a survey whose railroad has its own reading errors and settings.
func yard(t *testing.T) string {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"railroad.yaml": "schema: 1\nreading_error: {tread_hollow: 0.25, gauge: 1/4}\nsettings: {car_weight: 200000}\n",
		"cars.csv":      "car,kind,gross_lb,axles\nF1,freight,263000,4\nF2,freight,,4\n",
		"wheels.csv":    "car,position,flange_height,flange_thickness,vertical_flange,tread_hollow,back_to_back,design\nF1,L1,1-1/8,>15/16,<1,2,53-3/8,narrow flange 1:20\nF1,R1,1-1/8,1-1/8,,,,narrow flange 1:20\n",
		"curves.csv":    "location,curve,degree,gauge,rail\nleg,C1,8,57,115RE\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func open(t *testing.T, f Flags) *Start {
	t.Helper()
	s, err := Open(f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Flag, then survey, then setting, then default: the first that has a value stands and is listed, no other.
func TestTheFirstSourceStands(t *testing.T) {
	t.Parallel()
	place := measure.Place{File: "cars.csv", Line: 2, Col: 1}
	read := func(known bool) Source { return Known(263000, known, "263000 lb", place) }
	for _, c := range []struct {
		why   string
		flags Flags
		read  bool
		want  float64 // of the flag N, else lb
		from  string
	}{
		{"a flag overrides all", Flags{"gross": "200kN"}, true, 200e3, "flag"},
		{"the survey, where no flag is given", nil, true, 263000, "survey cars.csv:2:1"},
		{"the setting, where the survey has none", nil, false, 286000, "setting car_weight (assumed)"},
	} {
		s := open(t, c.flags)
		got, err := s.By("gross", Pounds, Flag("gross"), read(c.read), Setting("car_weight"), Default("1", "never"))
		if err != nil || got != c.want {
			t.Errorf("%s: %g (%v), want %g", c.why, got, err, c.want)
		}
		if len(s.Used) != 1 || s.Used[0].From != c.from {
			t.Errorf("%s: listed %v, want %s", c.why, s.Used, c.from)
		}
	}
	s := open(t, nil)
	if v := s.Ask("gauge", Flag("gauge"), Default("56-1/2", "default")); v.Text != "56-1/2" || v.From != "default" {
		t.Errorf("nothing but a default: %v", v)
	}
}

// A setting of the railroad's is not listed among the built-in ones that entered.
func TestSettingsOfTheRailroad(t *testing.T) {
	t.Parallel()
	s := open(t, Flags{"survey": yard(t)})
	if _, err := s.Number("gross", 0, 1e6, Setting("car_weight")); err != nil ||
		s.Used[0] != (Used{"gross", "200000 lb", "setting car_weight (railroad.yaml)"}) || len(s.BuiltIn) != 0 {
		t.Errorf("listed %v, built in %v (%v)", s.Used, s.BuiltIn, err)
	}
	if _, err := s.Number("height", 0, 1e6, Setting("gravity_height")); err != nil || len(s.BuiltIn) != 1 {
		t.Errorf("built in %v (%v), want gravity_height", s.BuiltIn, err)
	}
}

// A reading reaches the shape as it was read: written, with the railroad's own error and
// its interval. Printed and parsed again by the built-in columns it would be ±0.5 mm.
func TestReadingsAreHandedOn(t *testing.T) {
	t.Parallel()
	s := open(t, Flags{"survey": yard(t), "car": "F1", "position": "L1", "at": "curve/C1"})
	of, err := s.Wheel()
	if err != nil {
		t.Fatal(err)
	}
	at, err := s.Place("curve/C1")
	if err != nil {
		t.Fatal(err)
	}
	rails, err := s.Rails(at)
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Axle(of, rails.Near, false)
	if err != nil {
		t.Fatal(err)
	}
	want := shape.ReadingsOf(of)
	for g, r := range fields(&want) {
		got := *fields(&a.Near.Readings)[g]
		if got.Written != r.Written || got.Form != r.Form || got.Lo != r.Lo || got.Hi != r.Hi || got.As != r.As {
			t.Errorf("%s: %v, the sheet has %v", wornNames()[g], got, *r)
		}
	}
	if h := a.Near.Readings.Hollow; h.Lo != 1.75 || h.Hi != 2.25 {
		t.Errorf("a hollow of 2 with an error of 0.25: %g to %g", h.Lo, h.Hi)
	}
	if a.Far.Readings.Hollow.Measured() {
		t.Errorf("the mate has no hollow, got %v", a.Far.Readings.Hollow)
	}
}

// A flag's reading has the errors of the railroad that the survey is of.
func TestFlagsAreReadAsTheSurveyIs(t *testing.T) {
	t.Parallel()
	dir := yard(t)
	for _, c := range []struct {
		flags  Flags
		lo, hi float64
	}{
		{Flags{"hollow": "3"}, 2.5, 3.5},
		{Flags{"survey": dir, "hollow": "3"}, 2.75, 3.25},
	} {
		s := open(t, c.flags)
		r, _, err := s.Pair("hollow", s.Columns["tread_hollow"], Flag("hollow"))
		if err != nil || r[0].Lo != c.lo || r[0].Hi != c.hi {
			t.Errorf("%v: %v (%v), want %g to %g", c.flags, r[0], err, c.lo, c.hi)
		}
	}
}

// A go/no-go reading stands for its end where wear can only be less; where wear can be more it gives no comfort.
func TestOneShape(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		why    string
		column int
		text   string
		refuse bool
	}{
		{"thicker than the notch: the notch is the thinnest", thickness, ">15/16", false},
		{"thinner than the notch: how thin is not known", thickness, "<15/16", true},
		{"lower than the notch: the notch is the highest", height, "<1-1/2", false},
		{"higher: how high is not known", height, ">=1-1/2", true},
		{"not vertical so high", vertical, "<1", false},
		{"vertical so high or higher", vertical, ">=1", true},
		{"less hollow", hollow, "<4", false},
		{"more hollow", hollow, ">2", true},
		{"a value", hollow, "2", false},
		{"a range has a middle", hollow, "2..3", false},
	} {
		s := open(t, nil)
		r, err := s.wornSpecs()[c.column].Parse(c.text)
		if err != nil {
			t.Fatal(err)
		}
		w := &Wheel{Label: "L1"}
		*fields(&w.Readings)[c.column] = r
		err = s.OneShape(w)
		var input *cli.InputError
		if errors.As(err, &input) != c.refuse || err != nil &&
			!strings.Contains(err.Error(), "--"+wornFlags()[c.column]) {
			t.Errorf("%s: %v, refused should be %v", c.why, err, c.refuse)
		}
		s.SayReadings()
		if said := len(s.Warnings) > 0; said != (r.OneSided() && !c.refuse) {
			t.Errorf("%s: said %v", c.why, s.Warnings)
		}
	}
}

// In a curve an upright face is the better one: a notch may not lend it.
func TestOneRunning(t *testing.T) {
	t.Parallel()
	s := open(t, nil)
	for _, c := range []struct {
		why, text string
		measured  bool
	}{{"not vertical up to the notch: as designed", "<1", false}, {"vertical up to the notch at least", ">=1", true},
		{"a value", "1/2", true}} {
		r, err := s.wornSpecs()[vertical].Parse(c.text)
		if err != nil {
			t.Fatal(err)
		}
		w := &Wheel{Label: "L1", Readings: shape.WornReadings{Vertical: r}}
		if err := s.OneRunning(w); err != nil || w.Readings.Vertical.Measured() != c.measured {
			t.Errorf("%s: %v (%v)", c.why, w.Readings.Vertical, err)
		}
	}
}

// The tightest rule decides whether a rim holds, the regulation what is done.
func TestRimIsHeldToTheBook(t *testing.T) {
	t.Parallel()
	in := func(v float64) float64 { return v * measure.MMPerInch }
	s := open(t, nil)
	var l Lathe
	if err := s.rimLimit(&l, nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		why  string
		left float64
		want Held
	}{
		{"above 11/16, 49 CFR 215.103(c)", 0.75, Held{Holds: true, Known: true}},
		{"at it: condemned at 11/16 or less", 0.6875, Held{Known: true, Action: changeWheel}},
		{"below", 0.625, Held{Known: true, Action: changeWheel}},
	} {
		if got := l.Held(in(c.left), c.left > 0.6875); got != c.want {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
	if l.Turning[0].Rim.Limit != in(0.6875) || l.Turning[0].Rim.LimitHolds {
		t.Errorf("limit %v, want 11/16, itself condemned", l.Turning[0].Rim)
	}
}

// Where two rules stand for two services and the service is not given, a rim between them is neither within nor beyond.
func TestRimOfAnUnknownService(t *testing.T) {
	t.Parallel()
	in := func(v float64) float64 { return v * measure.MMPerInch }
	rule := func(service string, least float64) configs.Rule {
		return configs.Rule{ID: service, Subject: "wheel", Kinds: []string{"locomotive"}, Services: []string{service},
			Kind: "regulation", Condemns: []configs.Condition{{Quantity: "rim_thickness", Op: "<", Value: in(least)}}}
	}
	book := &limit.Book{Rules: []configs.Rule{rule("road", 1), rule("yard", 0.75)}}
	for _, c := range []struct {
		why, service string
		left         float64
		want         Held
	}{
		{"above both", "", 1, Held{Holds: true, Known: true}},
		{"between them, service not given", "", 0.875, Held{}},
		{"below both", "", 0.7, Held{Known: true, Action: changeWheel}},
		{"between them, in the road", "road", 0.875, Held{Known: true, Action: changeWheel}},
	} {
		l := Lathe{book: book, subject: limit.Subject{Kind: "wheel", CarKind: "locomotive", Service: c.service}}
		got := l.Held(in(c.left), c.left >= 1)
		if open := !c.want.Known; open && !strings.Contains(got.Action, "service") {
			t.Errorf("%s: %q does not ask for the service", c.why, got.Action)
		} else if open {
			got.Action = ""
		}
		if got != c.want {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
}

// A warning before a limit condemns no rim: what is left holds, and what the warning asks for is said.
func TestRimUnderAWarning(t *testing.T) {
	t.Parallel()
	const in = measure.MMPerInch
	s := open(t, nil)
	book, _ := limit.Overlay(s.Data.Sets["federal"], s.Data.Sets["early-warning"])
	l := Lathe{book: book, subject: limit.Subject{Kind: "wheel", CarKind: "freight"}}
	for _, c := range []struct {
		why, asks string
		left      float64
		want      Held
	}{
		{"above both", "", 13.0 / 16, Held{Holds: true, Known: true}},
		{"at the warning", "plan the wheel out", 3.0 / 4, Held{Holds: true, Known: true}},
		{"at the limit", changeWheel, 11.0 / 16, Held{Known: true}},
	} {
		got := l.Held(c.left*in, c.left > 11.0/16)
		if !strings.HasPrefix(got.Action, c.asks) || (got.Action == "") != (c.asks == "") {
			t.Errorf("%s: asks for %q, want %q", c.why, got.Action, c.asks)
		}
		if got.Action = ""; got != c.want {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
}

func TestUnknownNames(t *testing.T) {
	t.Parallel()
	dir := yard(t)
	for _, c := range []struct {
		flags Flags
		hint  string
	}{
		{Flags{"car": "F3", "position": "L1"}, `did you mean "F1"`},
		{Flags{"car": "f1", "position": "L1"}, `did you mean "F1"`},
		{Flags{"car": "F1", "position": "L9"}, "L1 to L8"},
		{Flags{"car": "F1", "position": "L2"}, "it has L1, R1"},
		{Flags{"car": "F2", "position": "L2"}, "no wheel of car"},
		{Flags{"car": "F1"}, "go together"},
		{Flags{"at": "C1"}, `did you mean "curve/C1"`},
		{Flags{"at": "Curve/c1"}, `did you mean "curve/C1"`},
		{Flags{"at": "spot/Z9"}, "such as"},
	} {
		s := open(t, c.flags.With("survey", dir))
		_, err := s.Wheel()
		if err == nil {
			_, err = s.Place("curve/C3")
		}
		var usage *cli.UsageError
		if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.hint) {
			t.Errorf("%v: %v, want a usage error with %q", c.flags, err, c.hint)
		}
	}
}
