package plan

import (
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
)

// ranked ranks the places of a survey by its plain verdicts.
func ranked(t *testing.T, sv *survey.Survey, opt interaction.Options) map[string]Risk {
	t.Helper()
	book, err := sv.Book()
	if err != nil {
		t.Fatal(err)
	}
	r := judge.New(sv, book, opt).Judge()
	a, err := Assess(r.Engine())
	if err != nil {
		t.Fatal(err)
	}
	list, err := Risks(r, a)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]Risk{}
	for i, x := range list {
		if x.Rank != i+1 || x.Of != len(list) {
			t.Errorf("%s is %d of %d at place %d of %d", x.Location, x.Rank, x.Of, i+1, len(list))
		}
		if strings.Contains(strings.ToLower(x.Text()+x.Short), "eliminated") {
			t.Errorf("%s: %s", x.Location, x.Text())
		}
		out[x.Location] = x
	}
	return out
}

// A place is never ranked as safe because nobody looked: what is known to be wrong comes
// first, then what is not known, and what is surely clear last.
func TestRiskOrder(t *testing.T) {
	head := []string{"location", "frog", "flangeway_depth", "flangeway_width", "guard_check", "guard_face",
		"guard_flangeway", "gauge", "loaded_gauge"}
	// all clear of the wheel below
	good := map[string]string{"flangeway_depth": "1-7/8", "flangeway_width": "1-7/8", "guard_check": "54-5/8",
		"guard_face": "52-3/4", "guard_flangeway": "1-7/8", "gauge": "56-1/2", "loaded_gauge": "56-3/4"}
	rows := [][]string{head}
	for _, place := range []struct {
		location string
		change   map[string]string
	}{
		{"a clear", nil},
		{"b not read", map[string]string{"flangeway_depth": "n/m"}},
		{"c less read", map[string]string{"flangeway_depth": "n/m", "flangeway_width": ""}},
		{"d undecided", map[string]string{"guard_check": "54-3/8"}},
		{"e over the limit", map[string]string{"loaded_gauge": "58-1/2"}},
		{"f over the limit, less read", map[string]string{"loaded_gauge": "58-1/2", "flangeway_depth": ""}},
		{"g frog struck", map[string]string{"flangeway_depth": "7/8"}},
		{"h derails", map[string]string{"guard_check": "54"}},
	} {
		row := []string{place.location, strings.ToUpper(place.location[:1])}
		for _, c := range head[2:] {
			v, changed := place.change[c]
			if !changed {
				v = good[c]
			}
			row = append(row, v)
		}
		rows = append(rows, row)
	}
	wheel := []string{"1.125", "1.25", "0.5", "53.25", "5.5", "0"}
	sv := files{"frogs.csv": rows, "wheels.csv": {
		{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "back_to_back", "rim_width",
			"tread_hollow"},
		append([]string{"A 1", "L1"}, wheel...), append([]string{"A 1", "R1"}, wheel...)}}.write(t,
		"schema: 1\ntrack_class: 1\nlimits: [federal]\n")
	got := ranked(t, sv, interaction.Options{})
	want := []string{"h derails", "g frog struck", "f over the limit, less read", "e over the limit", "d undecided",
		"c less read", "b not read", "a clear"}
	for i, location := range want {
		if got[location].Rank != i+1 {
			t.Errorf("%s has rank %d, want %d: %s", location, got[location].Rank, i+1, got[location].Reason)
		}
	}
	for location, n := range map[string]int{"a clear": 0, "b not read": 2, "c less read": 4,
		"f over the limit, less read": 2} {
		if r := got[location]; r.NotKnown != n || strings.Contains(r.Reason, "not known") != (n > 0) {
			t.Errorf("%s: %d pairs not known, want %d: %s", location, r.NotKnown, n, r.Reason)
		}
	}
	for location, words := range map[string]string{"a clear": "every pair is clear",
		"e over the limit": "1 reading beyond a federal limit (loaded_gauge 58-1/2 at frog/E)",
		"g frog struck":    "flange strikes the frog floor (frog-floor): 2 pairs conflict, which hurts: frog; met daily",
		"d undecided":      "may conflict"} {
		if !strings.Contains(got[location].Reason, words) {
			t.Errorf("%s: %q, want %q in it", location, got[location].Reason, words)
		}
	}
	// Of what is not shown nothing is said.
	if r := ranked(t, sv, interaction.Options{Check: "frog-wing"})["h derails"]; strings.Contains(r.Reason,
		"conflict") || r.Of != 8 {
		t.Errorf("with frog-wing alone: %s", r.Text())
	}
	if list := ranked(t, sv, interaction.Options{Location: "b not read"}); len(list) != 1 ||
		list["b not read"].NotKnown != 2 {
		t.Errorf("of one place: %v", list)
	}
}

// The level of the matrix is that of the check that leads.
func TestRiskLevels(t *testing.T) {
	for _, tt := range []struct{ name, height, days, level, reason string }{
		{"every day", "1-1/2", "250", "Serious", "250 passes of severity 3"},
		{"seldom", "1-1/2", "10", "Medium", "ten trips a year"},
		{"an even chance", "1-3/8", "100", "Serious", "half of 100"},
		{"clear", "1", "250", "", "there is no level of what cannot happen"},
	} {
		sv := files{"frogs.csv": {{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}},
			"wheels.csv": {{"car", "position", "flange_height"}, {"A 1", "L1", tt.height}}}.write(t,
			"schema: 1\ntraffic: {working_days: "+tt.days+"}\n")
		if r := ranked(t, sv, interaction.Options{Check: "frog-floor"})["yard"]; r.Level != tt.level {
			t.Errorf("%s: level %q, want %q (%s): %s", tt.name, r.Level, tt.level, tt.reason, r.Reason)
		}
	}
}
