package plan

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
)

// sound is a row of each sheet that is within every federal limit.
var sound = map[string]map[string]string{
	"frog": {"location": "yard", "frog": "X1", "gauge": "56-1/2", "flangeway_depth": "1-7/8",
		"flangeway_width": "1-7/8", "guard_check": "54-5/8", "guard_face": "52-3/4", "guard_flangeway": "1-7/8",
		"speed_mph": "5"},
	"switch": {"location": "yard", "switch": "X1", "gauge": "56-1/2", "speed_mph": "5"},
	"curve": {"location": "yard", "curve": "X1", "gauge": "56-1/2", "degree": "6", "elevation": "1",
		"speed_mph": "5"},
	"spot":  {"location": "yard", "spot": "X1", "gauge": "56-1/2", "speed_mph": "5"},
	"joint": {"location": "yard", "joint": "X1"},
	"wheel": {"car": "A 1", "position": "L1", "flange_height": "1-1/8", "flange_thickness": "1-1/8",
		"rim_thickness": "1-1/2", "tread_hollow": "none", "back_to_back": "53-1/8"},
}

// breaking are the sheets of a survey whose one place, or one car, is beyond a rule.
func breaking(r configs.Rule, class string) (f files, railroad string) {
	row := maps.Clone(sound[r.Subject])
	if r.Subject == "axle" {
		row = maps.Clone(sound["wheel"])
	}
	car := map[string]string{"car": "A 1", "kind": "freight", "axles": "4"}
	if len(r.Kinds) > 0 {
		car["kind"] = r.Kinds[0]
	}
	if len(r.Services) > 0 {
		car["service"] = r.Services[0]
	}
	if len(r.Trains) > 0 && r.Trains[0] == "passenger" {
		car["kind"] = "passenger"
	}
	if len(r.Flanges) > 0 {
		row["design"] = map[string]string{"wide": wideDesign, "narrow": narrowDesign}[r.Flanges[0]]
	}
	if len(r.Types) > 0 {
		row["type"] = r.Types[0]
	}
	if row["type"] == "self-guarded" {
		delete(row, "guard_face")
		delete(row, "guard_flangeway")
	}
	for _, c := range r.Condemns {
		if c.Where && c.Op == "<" { // a distance, or an elevation below one
			continue
		}
		unit, _ := configs.QuantityUnit(c.Quantity)
		step := map[string]float64{"in": 25.4 / 16, "mm": 0.5, "mph": 5}[unit]
		if c.Op == "<" || c.Op == "<=" {
			step = -step
		}
		v := c.Value + step
		text := fmt.Sprintf("%.4fmm", v)
		switch {
		case unit == "mph":
			text = fmt.Sprintf("%g", v)
		case unit == "in":
			text = fmt.Sprintf("%.4f", v/25.4)
		}
		switch c.Quantity {
		case "over_curve_speed":
			row["degree"], row["elevation"], row["speed_mph"] = "12", "0", "40"
		case "back_to_back_variation":
			row["back_to_back"], row["back_to_back_max"] = "53", "53-3/8"
		case "back_to_back_max":
			row["back_to_back"], row["back_to_back_max"] = "53-1/8", text
		case "warp":
			row["warp_over"] = "60"
			row["warp"] = text
		default:
			row[c.Quantity] = text
		}
	}
	if class != "" {
		row["track_class"] = class
	}
	if r.Subject == "frog" && row["speed_mph"] == "5" && strings.Contains("2345", class) {
		row["speed_mph"] = "25"
	}
	f = files{}
	table := func(name string, rows ...map[string]string) {
		heads := map[string]bool{}
		for _, r := range rows {
			for k := range r {
				heads[k] = true
			}
		}
		first := map[string]int{"location": -2, "car": -2, "position": -1, "frog": -1, "switch": -1, "curve": -1,
			"spot": -1, "joint": -1}
		order := slices.SortedFunc(maps.Keys(heads), func(a, b string) int {
			if first[a] != first[b] {
				return first[a] - first[b]
			}
			return strings.Compare(a, b)
		})
		f[name] = [][]string{order}
		for _, r := range rows {
			var cells []string
			for _, k := range order {
				cells = append(cells, r[k])
			}
			f[name] = append(f[name], cells)
		}
	}
	table("cars.csv", car)
	wheel := maps.Clone(sound["wheel"])
	switch r.Subject {
	case "wheel", "axle":
		wheel = row
	default:
		table(map[string]string{"frog": "frogs.csv", "switch": "switches.csv", "curve": "curves.csv",
			"joint": "joints.csv", "spot": "gauge.csv"}[r.Subject], row)
	}
	mate := maps.Clone(sound["wheel"])
	mate["position"] = "R1"
	delete(mate, "back_to_back")
	mate["design"] = wheel["design"]
	table("wheels.csv", wheel, mate)
	return f, "schema: 1\ndate: 2026-10-31\nlimits: [federal]\n"
}

// TestEveryFederalRuleIsAnswered breaks each federal rule that a survey can break, in each class that it is written
// for: the plan answers it with a price and a day, and when it is carried out no reading is beyond a rule.
func TestEveryFederalRuleIsAnswered(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	data := fixture.Data(t)
	broken := map[string]bool{}
	for i, r := range data.Sets[configs.Federal].Rules {
		if r.Reminder || i%6 != 0 && !fixture.Volume() {
			continue
		}
		classes := r.Classes
		if len(classes) == 0 {
			classes = []string{""}
		}
		if !fixture.Volume() {
			classes = classes[len(classes)-1:]
		}
		for _, class := range classes {
			t.Run(r.ID+" in class "+class, func(t *testing.T) {
				broken[r.ID] = answersRule(t, r, class) || broken[r.ID]
			})
		}
	}
	if len(broken) < int(fixture.Drawn(15, 100)) {
		t.Errorf("only %d rules were broken", len(broken))
	}
}

// answersRule breaks a rule and reports whether it could be broken.
func answersRule(t *testing.T, r configs.Rule, class string) bool {
	t.Helper()
	f, railroad := breaking(r, class)
	sv := f.write(t, railroad)
	e := plain(t, sv)
	found := false
	for _, l := range e.Judge().Limits {
		found = found || l.Rule == r.ID && l.Verdict == limit.Beyond
	}
	if !found {
		t.Errorf("not broken by %v", f)
		return false
	}
	p, err := Make(e, Options{NoCurve: true})
	if err != nil {
		t.Fatal(err)
	}
	recheck(t, f, railroad, sv, p, false)
	answered := false
	for _, d := range p.Federal {
		if d.Rule != r.ID {
			continue
		}
		answered = d.Answered && len(d.IDs) > 0
		if !d.Due.Known() {
			t.Error("answered by no day")
		}
	}
	if !answered || !p.Proven() {
		t.Errorf("answered %t, proven %t", answered, p.Proven())
	}
	free, err := Make(plain(t, sv), Options{IgnoreLimits: true, NoCurve: true})
	if err != nil {
		t.Fatal(err)
	}
	if free.Unanswered() == 0 && len(free.Actions) == 0 && p.Cents > 0 || free.Cents > p.Cents {
		t.Errorf("ignoring limits leaves %d for %d cents, answering costs %d", free.Unanswered(), free.Cents, p.Cents)
	}
	return true
}

// TestSoundSurveyHasNoFederalAction: a railroad in good order is told to do nothing.
func TestSoundSurveyHasNoFederalAction(t *testing.T) {
	t.Parallel()
	for _, subject := range []string{"frog", "switch", "curve", "spot", "wheel"} {
		f, railroad := breaking(configs.Rule{Subject: subject}, "1")
		if subject == "wheel" {
			f, railroad = breaking(configs.Rule{Subject: subject}, "")
		}
		p, err := Make(plain(t, f.write(t, railroad)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Actions) > 0 || len(p.Federal) > 0 {
			t.Errorf("%s: %d actions, %d readings beyond a limit", subject, len(p.Actions), len(p.Federal))
		}
	}
}
