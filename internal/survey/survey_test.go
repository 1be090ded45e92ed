package survey_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// folder writes a survey into a folder of its own.
func folder(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// problems lists the defects of an error, "file:line:col: …" each.
func problems(t *testing.T, err error) []string {
	t.Helper()
	if err == nil {
		return nil
	}
	var list measure.ProblemsError
	if !errors.As(err, &list) {
		t.Fatalf("%v is no list of problems", err)
	}
	var out []string
	for _, p := range list {
		out = append(out, p.Error())
	}
	return out
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

func warnings(s *survey.Survey) []string {
	var out []string
	for _, w := range s.Warnings {
		out = append(out, w.Place.String()+": "+w.Text)
	}
	return out
}

// TestBadSamples: each bad sample is refused at the line that its expect.txt names; the good one among them is read.
func TestBadSamples(t *testing.T) {
	const root = "../../testdata/samples/bad"
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, e := range entries {
		t.Run(e.Name(), func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join(root, e.Name(), "expect.txt"))
			if err != nil {
				t.Fatal(err)
			}
			expect := map[string]string{}
			for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
				key, value, _ := strings.Cut(line, ": ")
				expect[key] = strings.TrimSpace(value)
			}
			_, err = survey.Read(filepath.Join(root, e.Name()))
			if expect["exit"] != "3" {
				if err != nil {
					t.Errorf("%v, want a survey", err)
				}
				return
			}
			refused++
			if err == nil {
				t.Fatalf("read without an error, want one at %s", expect["error"])
			}
			var places []string
			for _, p := range strings.Split(expect["error"], " or ") {
				places = append(places, regexp.QuoteMeta(p))
			}
			at := func(place string) int {
				return len(regexp.MustCompile(`(?m)^(`+place+`):[0-9]+: `).FindAllString(err.Error(), -1))
			}
			if at(strings.Join(places, "|")) == 0 {
				t.Errorf("%v: no place of %q", err, expect["error"])
			}
			if file := expect["once"]; file != "" {
				if n := at(regexp.QuoteMeta(file) + ":[0-9]+"); n != 1 {
					t.Errorf("%v: %d lines of %s, want one", err, n, file)
				}
			}
		})
	}
	if refused < 10 {
		t.Errorf("%d samples were refused, want the ten bad ones", refused)
	}
}

// TestRailroadDefects: what is wrong in railroad.yaml is reported at its line.
func TestRailroadDefects(t *testing.T) {
	for _, tc := range []struct {
		name, text string
		want       []string
		reason     string
	}{
		{"good", "schema: 1\nrailroad: X\ndate: 2026-01-05\ntrack_class: 2\nspeed_mph: 10\nlimits: [federal, " +
			"yard-practice]\n", nil, "nothing is wrong"},
		{"empty", "", nil, "every key is optional"},
		{"comment alone", "# nothing yet\n", nil, "every key is optional"},
		{"null values", "date:\ntrack_class: ~\nsettings:\n", nil, "a key without a value is absent"},
		{"schema", "schema: 2\n", []string{"railroad.yaml:1:9: schema: \"2\""}, "another schema"},
		{"control character in the name", "railroad: \"a\\x1b[31m\"\n",
			[]string{"railroad.yaml:1:11: railroad: \"a\\x1b[31m\" holds a control character"},
			"it would reach the terminal"},
		{"class", "track_class: 6\n", []string{"railroad.yaml:1:14: track_class: \"6\" ... excepted or 1 to 5"},
			"no class 6 here"},
		{"class in words", "track_class: Class 1\n", nil, "as people write it"},
		{"class in other words", "track_class: First\n", []string{"railroad.yaml:1:14: track_class"},
			"excepted or 1 to 5"},
		{"body", "settings: {body: Soft}\n", nil, "a word of a setting"},
		{"weight in groups", "settings: {car_weight: \"263,000\", reference_weight: 286K}\n", nil, "as in cars.csv"},
		{"date in US order", "date: 3/31/2026\n",
			[]string{"railroad.yaml:1:7: date: ... US order ... 2026-03-31 for it"},
			"the example rewritten, as in a sheet"},
		{"date with the day first", "date: 31.3.2026\n",
			[]string{"railroad.yaml:1:7: date: ... day first ... 2026-03-31 for it"}, "likewise"},
		{"body as a figure", "settings: {body: 10}\n",
			[]string{"railroad.yaml:1:18: body: \"10\" ... stiff, ordinary, soft"},
			"its figures have settings of their own"},
		{"date", "date: spring\n", []string{"railroad.yaml:1:7: date: ... YYYY-MM-DD"}, "a calendar day"},
		{"no such day", "date: 2026-02-30\n", []string{"railroad.yaml:1:7: date"}, "February has no 30th"},
		{"speed", "speed_mph: fast\n", []string{"railroad.yaml:1:12: speed_mph: ... 0 to 200 mph"}, "a number"},
		{"speed above", "speed_mph: 201\n", []string{"railroad.yaml:1:12: speed_mph"}, "over 200 mph"},
		{"speed NaN", "speed_mph: NaN\n", []string{"railroad.yaml:1:12: speed_mph"}, "no number"},
		{"unknown key", "schema: 1\nsetings:\n  reserve: 1/8\n",
			[]string{"railroad.yaml:2:1: setings: ... did you mean \"settings\"?"}, "a hint"},
		{"unknown setting", "settings:\n  wing_hollows: 3\n",
			[]string{"railroad.yaml:2:3: wing_hollows: ... did you mean \"wing_hollow\"?"}, "a hint"},
		{"setting below its bounds", "settings:\n  rim_width: 3-15/16\n",
			[]string{"railroad.yaml:2:14: rim_width: ... 4 to 8 in"}, "just below 4"},
		{"setting above its bounds", "settings:\n  least_contact_angle: 90.1\n",
			[]string{"railroad.yaml:2:24: least_contact_angle: ... 1 to 90 deg"}, "just above 90"},
		{"settings at their bounds", "settings:\n  rim_width: 4\n  least_contact_angle: 90\n  ride_over: 0\n", nil,
			"the bounds are taken"},
		{"setting one-sided", "settings:\n  reserve: <1/8\n",
			[]string{"railroad.yaml:2:12: reserve: ... not one value"}, "a setting is one value"},
		{"hollow setting as a fraction", "settings:\n  wing_hollow: 1/8\n",
			[]string{"railroad.yaml:2:16: wing_hollow: ... which unit?"}, "a bare fraction of hollow"},
		{"reading error of no column", "reading_error:\n  flange_hight: 1/32\n",
			[]string{"railroad.yaml:2:3: flange_hight: ... did you mean \"flange_height\"?"}, "a hint"},
		{"reading error too large", "reading_error:\n  gauge: 5\n", []string{"railroad.yaml:2:10: gauge"}, "over 4 in"},
		{"reading error negative", "reading_error:\n  gauge: -1/16\n", []string{"railroad.yaml:2:10: gauge"},
			"a ± has no sign"},
		{"unknown set", "limits: [federal, interchnge]\n", []string{"railroad.yaml:1:19: limits: ... did you mean " +
			"\"interchange\"? early-warning, federal, interchange, yard-practice"}, "a hint, and the known"},
		{"limits file missing", "limits:\n  - federal\n  - ours.yaml\n",
			[]string{"railroad.yaml:3:5: limits: there is no file \"ours.yaml\""}, "named at its place"},
		{"key twice", "speed_mph: 10\nspeed_mph: 20\n", []string{"railroad.yaml:2:1: speed_mph: the key stands twice"},
			"which of the two?"},
		{"not yaml", "schema: 1\n\trailroad: X\n", []string{"railroad.yaml:2:2: file: this is not YAML"}, "a tab"},
		{"two documents", "schema: 1\n---\nschema: 1\n", []string{"railroad.yaml:2:1: file: a second document"},
			"one document; the second begins at its mark"},
		{"a list", "- schema\n", []string{"railroad.yaml:1:1: file: this is not a list of keys"}, "key: value lines"},
		{"alias", "railroad: &a X\ndate: *a\n", []string{"railroad.yaml:1:11: railroad: anchors",
			"railroad.yaml:2:7: date: aliases"}, "no settings file needs them"},
		{"several", "date: x\ntrack_class: x\nspeed_mph: x\n", []string{"railroad.yaml:1:7", "railroad.yaml:2:14",
			"railroad.yaml:3:12"}, "all at once"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := survey.Read(folder(t, map[string]string{"railroad.yaml": tc.text}))
			got := problems(t, err)
			if tc.name == "alias" && len(got) > 2 {
				got = got[:2] // the empty date is a further one
			}
			holds(t, "problems", got, tc.want, tc.reason)
		})
	}
}

// Limits that leave the federal set out are warned of, at their place.
func TestLimitsWithoutFederal(t *testing.T) {
	own := "schema: 1\ntitle: ours\nrules: []\n"
	for _, tc := range []struct {
		name, limits string
		want         bool
		reason       string
	}{
		{"absent", "", false, "federal is there by itself"},
		{"federal", "limits: [federal]\n", false, "it is there"},
		{"federal behind another", "limits: [interchange, federal]\n", false, "it is there"},
		{"practice alone", "limits: [early-warning]\n", true, "no regulation judges anything"},
		{"a file alone", "limits: [ours.yaml]\n", true, "no regulation judges anything"},
		{"none at all", "limits: []\n", true, "nothing judges anything"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := survey.Read(folder(t, map[string]string{"railroad.yaml": "schema: 1\n" + tc.limits,
				"ours.yaml": own}))
			if err != nil {
				t.Fatal(err)
			}
			found := false
			for _, w := range s.Warnings {
				found = found || w.Place.File == "railroad.yaml" && w.Place.Line == 2 &&
					strings.Contains(w.Text, "leave the federal set out")
			}
			if found != tc.want {
				t.Errorf("warned %t of %v, want %t: %s", found, s.Warnings, tc.want, tc.reason)
			}
		})
	}
}

// TestRailroad: what railroad.yaml says reaches the readings, the settings and the features.
func TestRailroad(t *testing.T) {
	s, err := survey.Read(folder(t, map[string]string{
		"railroad.yaml": "schema: 1\nrailroad: \"  Mill   Valley \"\ndate: 2026-01-05\ntrack_class: " +
			"excepted\nspeed_mph: 10\nreading_error:\n  flange_height: 1/16\n  step_error: 0\nsettings:\n  " +
			"rim_width: 5-3/4\n  wing_hollow: 2.5\n",
		"wheels.csv": "car,position,flange_height,flange_thickness\nA 1,L1,1.250,>15/16\n",
		"frogs.csv":  "location,frog\nyard,F1\n"}))
	if err != nil {
		t.Fatal(err)
	}
	if s.Railroad != "Mill Valley" || s.Date.String() != "2026-01-05" || s.Class != "excepted" {
		t.Errorf("%q, %s, class %q", s.Railroad, s.Date, s.Class)
	}
	if f := s.Track.Features[0]; f.Class != "excepted" || f.Speed != 10 || !f.SpeedKnown {
		t.Errorf("the frog has class %q and %g mph, want the railroad's", f.Class, f.Speed)
	}
	const in = measure.MMPerInch
	near := func(what string, got, want float64) {
		t.Helper()
		if d := got - want; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s %g, want %g", what, got, want)
		}
	}
	w := s.Fleet.Wheels[0]
	near("flange_height lo", w.Read(wheel.FlangeHeight).Lo, 1.1875*in)
	near("flange_height hi", w.Read(wheel.FlangeHeight).Hi, 1.3125*in)
	near("flange_thickness lo", w.Read(wheel.FlangeThickness).Lo, .9375*in)
	near("rim_width", s.Settings.Value("rim_width"), 5.75*in)
	near("wing_hollow", s.Settings.Value("wing_hollow"), 2.5)
	near("reserve", s.Settings.Value("reserve"), in/16)
	if x, _ := s.Settings.Setting("reserve"); x.Given {
		t.Error("reserve is a default")
	}
	if x, _ := s.Settings.Setting("rim_width"); !x.Given {
		t.Error("rim_width is the railroad's own")
	}
	if got := fmt.Sprint(s.Sets); got != "[federal early-warning]" {
		t.Errorf("limits %s, want the two-tier habit where the key is absent", got)
	}
	if v := s.Settings.Value("no such"); v == v {
		t.Errorf("an unknown setting gives %g, want NaN, which nothing takes for clear", v)
	}
}

// TestStepErrorOfHollow: step_error is a length in inches and widens the go/no-go readings of every length column.
func TestStepErrorOfHollow(t *testing.T) {
	for _, tc := range []struct {
		name, step string
		hi         float64 // mm
		reason     string
	}{
		{"default", "", 2.5, "0.5 mm for hollow"},
		{"own", "reading_error: {step_error: \"1 mm\"}\n", 3, "the railroad's own"},
		{"none", "reading_error: {step_error: 0}\n", 2, "exact steps"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := survey.Read(folder(t, map[string]string{"railroad.yaml": "schema: 1\n" + tc.step,
				"wheels.csv": "car,position,tread_hollow\nA 1,L1,<2\n"}))
			if err != nil {
				t.Fatal(err)
			}
			if got := s.Fleet.Wheels[0].Read(wheel.TreadHollow).Hi; got-tc.hi > 1e-9 || tc.hi-got > 1e-9 {
				t.Errorf("<2 reaches %g mm, want %g; %s", got, tc.hi, tc.reason)
			}
		})
	}
}

// TestFolders: a folder that is none, an empty one, and things that are no file.
func TestFolders(t *testing.T) {
	empty := t.TempDir()
	if _, err := survey.Read(filepath.Join(empty, "none")); !errors.Is(err, survey.ErrNoFolder) {
		t.Errorf("a missing folder gives %v", err)
	}
	if _, err := survey.Read(empty); !errors.Is(err, survey.ErrNoSheets) {
		t.Errorf("an empty folder gives %v", err)
	}
	if _, err := survey.Read(folder(t, map[string]string{"notes.txt": "x"})); !errors.Is(err, survey.ErrNoSheets) {
		t.Errorf("a folder without a sheet gives %v", err)
	}
	file := filepath.Join(folder(t, map[string]string{"wheels.csv": "car,position\n"}), "wheels.csv")
	if _, err := survey.Read(file); !errors.Is(err, survey.ErrNoFolder) {
		t.Errorf("a file in place of the folder gives %v", err)
	}
	dir := folder(t, map[string]string{"frogs.csv": "location,frog\nyard,F1\n"})
	if err := os.Mkdir(filepath.Join(dir, "wheels.csv"), 0o700); err != nil {
		t.Fatal(err)
	}
	_, err := survey.Read(dir)
	holds(t, "problems", problems(t, err), []string{"wheels.csv:1:1: file: it is a folder or a device, not a file"},
		"a folder named wheels.csv is no absent sheet")
}

// TestFewSheets: every file is optional.
func TestFewSheets(t *testing.T) {
	for _, tc := range []struct {
		name   string
		files  map[string]string
		wheels int
		places int
		want   []string
		reason string
	}{
		{"wheels alone", map[string]string{"wheels.csv": "car,position\nA 1,L1\n"}, 1, 0,
			[]string{"wheels.csv: there is no cars.csv"}, "one warning for all cars"},
		{"frogs alone", map[string]string{"frogs.csv": "location,frog\nyard,F1\nmill,F2\nmill,F3\n"}, 0, 2, nil,
			"no wheel is no defect"},
		{"railroad alone", map[string]string{"railroad.yaml": "schema: 1\n"}, 0, 0, nil, "no sheet yet"},
		{"headings alone", map[string]string{"wheels.csv": "car,position\n"}, 0, 0, nil, "an empty sheet"},
		{"a stranger", map[string]string{"frogs.csv": "location,frog\nyard,F1\n", "wheel.csv": "x"}, 0, 1,
			[]string{"wheel.csv: the file is no sheet ... did you mean wheels.csv?"},
			"a mistyped name would lose its readings silently"},
		{"a sheet of spots", map[string]string{"frogs.csv": "location,frog\nyard,F1\n", "spots.csv": "x",
			"railroad.yml": "x", "mates.csv": "x"}, 0, 1,
			[]string{"mates.csv: the file is no sheet of a survey and was not read",
				"railroad.yml: the file is no sheet ... did you mean railroad.yaml?",
				"spots.csv: the file is no sheet ... did you mean gauge.csv?"}, "the spots stand in gauge.csv"},
		{"BOM and CRLF", map[string]string{"frogs.csv": "\ufefflocation,frog,flangeway_depth\r\nyard,F1,1-1/2\r\n"}, 0,
			1, nil, "a spreadsheet's own"},
		{"traffic", map[string]string{"railroad.yaml": "schema: 1\ntraffic: {working_days: 200}\n",
			"frogs.csv": "location,frog\nyard,F1\n"}, 0, 1, nil, "traffic draws no warning"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := survey.Read(folder(t, tc.files))
			if err != nil {
				t.Fatal(err)
			}
			if len(s.Fleet.Wheels) != tc.wheels || s.Locations() != tc.places {
				t.Errorf("%d wheels, %d locations; want %d, %d; %s", len(s.Fleet.Wheels), s.Locations(), tc.wheels,
					tc.places, tc.reason)
			}
			holds(t, "warnings", warnings(s), tc.want, tc.reason)
		})
	}
}

// TestAllDefectsTogether: the defects of all files come at once, sorted by file, line and column.
func TestAllDefectsTogether(t *testing.T) {
	_, err := survey.Read(folder(t, map[string]string{
		"railroad.yaml": "track_class: 9\n",
		"wheels.csv":    "car,position,flange_height,tread_hollow\nA 1,L9,8-Jan,1/8\nA 1,L1,9,\n",
		"frogs.csv":     "location,frog,flangeway_depth\nyard,F1,1-5/0\n", "cars.csv": "car;kind\nA 1;freight\n"}))
	holds(t, "problems", problems(t, err), []string{"cars.csv:1:1: ... semicolons", "frogs.csv:2:9: flangeway_depth",
		"railroad.yaml:1:14: track_class", "wheels.csv:2:5: position", "wheels.csv:2:8: flange_height: ... date",
		"wheels.csv:2:14: tread_hollow", "wheels.csv:3:8: flange_height"}, "all files, in order")
}

// TestSheetForms: a quote that never closes is reported where it opens; bytes that are
// not UTF-8 and semicolons are refused.
func TestSheetForms(t *testing.T) {
	for _, tc := range []struct {
		name, text, want, reason string
	}{
		{"open quote", "car,position,note\nA 1,L1,\"read twice\nA 1,R1,\n", "wheels.csv:2:8: ",
			"where it opens, not at the end"},
		{"not UTF-8", "car,position,note\nA 1,L1,\xff\n", "wheels.csv:2:8: ", "saved in another encoding"},
		{"semicolons", "car;position\nA 1;L1\n", "wheels.csv:1:1: heading: the cells are separated by semicolons",
			"refused with a hint"},
		{"NUL", "car,position\nA 1,L1\x00\n", "wheels.csv:2:", "not a text file"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := survey.Read(folder(t, map[string]string{"wheels.csv": tc.text}))
			holds(t, "problems", problems(t, err), []string{tc.want}, tc.reason)
		})
	}
}

// TestOwnLimits: a railroad's own limits file beside railroad.yaml is read, and one
// that loosens a regulation is refused.
func TestOwnLimits(t *testing.T) {
	const head, tail = "schema: 1\ntitle: ours\nrules:\n  - id: \"213.137(a)-class1\"\n    subject: frog\n    when: " +
		"{class: [\"1\"], not_type: [flange-bearing]}\n    quantity: flangeway_depth\n    condemns: {op: \"<\", " +
		"value: \"", "\"}\n    action: build up\n    source: ours\n    kind: practice\n    sure: ours\n"
	for _, tc := range []struct {
		name, value string
		ok          bool
		reason      string
	}{
		{"tighter", "1-7/16", true, "a railroad may ask for more than 1-3/8 (49 CFR 213.137(a))"},
		{"the same", "1-3/8", true, "as tight"},
		{"looser", "1-5/16", false, "loosening a regulation is an error"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := survey.Read(folder(t, map[string]string{"railroad.yaml": "limits: [federal, ours.yaml]\n",
				"ours.yaml": head + tc.value + tail}))
			if err != nil {
				t.Fatal(err)
			}
			if got := len(s.Warnings); got != 0 {
				t.Errorf("%q: the limits file is no stranger", warnings(s))
			}
			_, err = s.Book()
			if (err == nil) != tc.ok {
				t.Errorf("book: %v; %s", err, tc.reason)
			}
		})
	}
}

// TestBlank: the sheets that blank writes read back without a defect, hold every column and explain each.
func TestBlank(t *testing.T) {
	good, err := survey.Read(folder(t, map[string]string{"railroad.yaml": "schema: 1\n"}))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range survey.Blank(good.Data) {
		files[f.Name] = string(f.Data)
	}
	if len(files) != 5+int(track.NumKinds) {
		t.Errorf("%d files, want railroad.yaml, cars.csv, wheels.csv, tracks.csv, jobs.csv and one a kind", len(files))
	}
	s, err := survey.Read(folder(t, files))
	if err != nil {
		t.Fatalf("the blank survey does not read back: %v", err)
	}
	holds(t, "warnings", warnings(s), nil, "nothing is odd in it")
	columns := map[string][]string{}
	for _, c := range wheel.Columns(wheel.CarSheet) {
		columns["cars.csv"] = append(columns["cars.csv"], c.Name)
	}
	for _, c := range wheel.Columns(wheel.WheelSheet) {
		columns["wheels.csv"] = append(columns["wheels.csv"], c.Name)
	}
	for k := range track.NumKinds {
		for _, c := range k.Columns() {
			columns[k.File()] = append(columns[k.File()], c.Name)
		}
	}
	columns["tracks.csv"] = []string{"track", "order", "location", "feature", "direction"}
	columns["jobs.csv"] = []string{"job", "tracks", "cars", "groups", "trips_per_year"}
	for name, list := range columns {
		lines := strings.Split(strings.TrimRight(files[name], "\n"), "\n")
		if got := lines[len(lines)-1]; got != strings.Join(list, ",") {
			t.Errorf("%s: headings %q", name, got)
		}
		for _, c := range list {
			if !regexp.MustCompile(`(?m)^"?# ` + c + `: .`).MatchString(files[name]) {
				t.Errorf("%s does not explain %s", name, c)
			}
		}
	}
	for _, set := range good.Settings.All() {
		if !strings.Contains(files["railroad.yaml"], "#   "+set.Name+": ") {
			t.Errorf("railroad.yaml does not show the setting %s", set.Name)
		}
	}
}

// TestBlankSettings: the settings and costs that blank shows commented out, taken as they stand, are the defaults.
func TestBlankSettings(t *testing.T) {
	plain, err := survey.Read(folder(t, map[string]string{"railroad.yaml": "schema: 1\n"}))
	if err != nil {
		t.Fatal(err)
	}
	var text string
	for _, f := range survey.Blank(plain.Data) {
		if f.Name == "railroad.yaml" {
			text = string(f.Data)
		}
	}
	_, settings, found := strings.Cut(text, "# settings:")
	if !found {
		t.Fatal("railroad.yaml shows no settings")
	}
	settings, costs, found := strings.Cut(settings, "# costs:")
	if !found {
		t.Fatal("railroad.yaml shows no costs")
	}
	settings, _, _ = strings.Cut(settings, "# traffic:")
	lines := append(append(strings.Split(settings, "\n")[1:], "#costs:"), strings.Split(costs, "\n")[1:]...)
	yaml := "settings:\n"
	for _, l := range lines {
		yaml += strings.TrimPrefix(l, "#") + "\n"
	}
	s, err := survey.Read(folder(t, map[string]string{"railroad.yaml": yaml,
		"curves.csv": "location,curve\nyard,C1\n"})) // the place that costs name as an example
	if err != nil {
		t.Fatal(err)
	}
	for _, set := range s.Settings.All() {
		if !set.Given || set.Value != plain.Settings.Value(set.Name) {
			t.Errorf("%s: %g (given %t), the default is %g", set.Name, set.Value, set.Given,
				plain.Settings.Value(set.Name))
		}
	}
	for _, c := range s.Costs.List {
		was, _ := plain.Costs.Of(c.Name)
		if !c.Given || !c.DayGiven || c.Cents != was.Cents || c.Millis != was.Millis {
			t.Errorf("cost %s: %d, %d days, the default is %d, %d", c.Name, c.Cents, c.Millis, was.Cents, was.Millis)
		}
	}
}
