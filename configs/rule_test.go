package configs

import (
	"errors"
	"math"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

func parseText(data []byte) (Set, error) {
	var problems measure.Problems
	set := ParseSet(ParseMapping("own.yaml", data, &problems), "own", &problems)
	return set, problems.Err()
}

const goodRule = `schema: 1
title: ours
rules:
  - id: ours-1
    subject: frog
    when: {class: ['1', 2], not_type: spring}
    quantity: flangeway_depth
    condemns: {op: '<', value: 1-1/2}
    and: {quantity: speed_mph, op: '>', value: 5 }
    action: repair
    source: our rule book, page 3
    kind: practice
    sure: read
    note: a note
`

func TestParseSet(t *testing.T) {
	set, err := parseText([]byte(goodRule))
	if err != nil {
		t.Fatal(err)
	}
	if set.Name != "own" || set.Title != "ours" || len(set.Rules) != 1 {
		t.Fatalf("%+v", set)
	}
	r := set.Rules[0]
	if r.ID != "ours-1" || r.Subject != "frog" || strings.Join(r.Classes, " ") != "1 2" ||
		strings.Join(r.NotTypes, " ") != "spring" || r.Reminder {
		t.Errorf("%+v", r)
	}
	if len(r.Condemns) != 2 {
		t.Fatalf("%d conditions", len(r.Condemns))
	}
	if c := r.Condemns[0]; c.Quantity != "flangeway_depth" || c.Op != "<" ||
		math.Abs(c.Value-1.5*measure.MMPerInch) > 1e-9 || c.Written != "1-1/2 in" {
		t.Errorf("%+v", c)
	}
	if c := r.Condemns[1]; c.Quantity != "speed_mph" || c.Op != ">" || c.Value != 5 || c.Written != "5 mph" {
		t.Errorf("%+v", c)
	}
	if r.Place.Line != 4 || r.Place.Col != 9 {
		t.Errorf("place %v, want line 4, column 9", r.Place)
	}
}

// Values are in the quantity's own unit unless they bear one.
func TestRuleValuesAndUnits(t *testing.T) {
	for _, tt := range []struct {
		name, subject, quantity, value string
		want                           float64
		written                        string
		reason                         string
	}{
		{"inches", "frog", "gauge", "57-3/4", 57.75 * measure.MMPerInch, "57-3/4 in", "a length is inches"},
		{"feet and inches", "frog", "gauge", `4' 9-3/4"`, 57.75 * measure.MMPerInch, "57-3/4 in",
			"as the rule writes it"},
		{"negative", "curve", "elevation", "-1-3/4", -1.75 * measure.MMPerInch, "-1-3/4 in", "reverse elevation"},
		{"hollow in mm", "wheel", "tread_hollow", "4", 4, "4 mm", "hollow is mm"},
		{"hollow in inches", "wheel", "tread_hollow", `5/16"`, 0.3125 * measure.MMPerInch, `5/16"`, "with its mark"},
		{"a length in mm", "switch", "point_gap", "3 mm", 3, "3 mm", "with its unit"},
		{"speed", "spot", "speed_mph", "10", 10, "10 mph", "mph"},
		{"angle", "switch", "face_angle", "60", 60, "60 deg", "degrees"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.NewReplacer("SUBJECT", tt.subject, "QUANTITY", tt.quantity, "VALUE",
				strings.ReplaceAll(tt.value, "'", "''")).Replace("rules:\n  - {id: x, subject: SUBJECT, quantity: " +
				"QUANTITY, condemns: {op: '>', value: 'VALUE'}, action: a, source: s, kind: practice}\n")
			set, err := parseText([]byte(text))
			if err != nil {
				t.Fatal(err)
			}
			c := set.Rules[0].Condemns[0]
			if math.Abs(c.Value-tt.want) > 1e-9 {
				t.Errorf("value %g, want %g: %s", c.Value, tt.want, tt.reason)
			}
			if c.Written != tt.written {
				t.Errorf("written %q, want %q: %s", c.Written, tt.written, tt.reason)
			}
		})
	}
}

func TestBackToBackIsOfTheAxle(t *testing.T) {
	set, err := parseText([]byte("rules:\n  - {id: x, subject: wheel, quantity: back_to_back, condemns: {op: '<', " +
		"value: '53'}, action: a, source: s, kind: practice}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if set.Rules[0].Subject != "axle" {
		t.Errorf("subject %s, want axle: both wheels share the reading", set.Rules[0].Subject)
	}
}

// Everything wrong is said, with its place.
func TestParseSetRefuses(t *testing.T) {
	for _, tt := range []struct{ name, old, new, place, what, reason string }{
		{"unknown key", "action:", "acton:", "own.yaml:10:5: acton", `did you mean "action"?`,
			"a slip of the key would drop the action"},
		{"unknown subject", "subject: frog", "subject: frogs", "own.yaml:5:14: subject", "not a subject",
			"it would never judge"},
		{"unknown class", "class: ['1', 2]", "class: [6]", "own.yaml:6:20: class", "not known here",
			"there are five classes here"},
		{"unknown quantity", "quantity: flangeway_depth", "quantity: depth", "own.yaml:7:15: quantity",
			"not a quantity", "it would never judge"},
		{"kind of car on a frog", "when: {class: ['1', 2]", "when: {kind: freight, class: ['1', 2]",
			"own.yaml:6:11: when", "a frog has no kind of car", "it would never judge"},
		{"unknown op", "op: '<'", "op: '=<'", "own.yaml:8:20: op", "not a comparison", "neither < nor <="},
		{"bad value", "value: 1-1/2", "value: 1-1/3", "own.yaml:8:32: value", "not a fraction",
			"a rule is read like a reading"},
		{"one-sided value", "value: 1-1/2", "value: '>1'", "own.yaml:8:32: value", "not one value",
			"a rule has one figure"},
		{"no source", "    source: our rule book, page 3\n", "", "own.yaml:4:5: source", "missing",
			"each figure names its source"},
		{"unknown kind", "kind: practice", "kind: law", "own.yaml:12:11: kind", "not a kind", "one of four"},
		{"doubled key", "    sure: read\n", "    sure: read\n    sure: yes\n", "own.yaml:14:5: sure", "twice",
			"which one holds?"},
		{"neither yes nor no", "    sure: read\n", "    sure: read\n    reminder: true\n", "own.yaml:14:15: reminder",
			"neither yes nor no", "a rule must not turn into none by a slip"},
		{"alias", "note: a note", "note: &a x", "own.yaml:14:11: note", "anchors", "plain values only"},
		{"schema", "schema: 1", "schema: 2", "own.yaml:1:9: schema", "unknown schema", "another format"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(goodRule, tt.old, tt.new, 1)
			if text == goodRule {
				t.Fatal("nothing was replaced")
			}
			_, err := parseText([]byte(text))
			if err == nil {
				t.Fatalf("taken: %s", tt.reason)
			}
			if got := err.Error(); !strings.Contains(got, tt.place) || !strings.Contains(got, tt.what) {
				t.Errorf("%q lacks %q or %q: %s", got, tt.place, tt.what, tt.reason)
			}
		})
	}
	t.Run("the same id twice", func(t *testing.T) {
		_, rules, _ := strings.Cut(goodRule, "rules:\n")
		_, err := parseText([]byte(goodRule + rules))
		if err == nil || !strings.Contains(err.Error(), `own.yaml:15:9: id: rule "ours-1" stands twice`) {
			t.Errorf("%v: one of the two would be lost", err)
		}
	})
	t.Run("a class for a wheel", func(t *testing.T) {
		_, err := parseText([]byte("rules:\n  - {id: x, subject: wheel, when: {class: 1}, quantity: diameter, " +
			"condemns: {op: '<', value: '28'}, action: a, source: s, kind: practice}\n"))
		if err == nil || !strings.Contains(err.Error(), "a wheel has no track class") {
			t.Errorf("%v: it would never judge", err)
		}
	})
	t.Run("a type for a switch", func(t *testing.T) {
		_, err := parseText([]byte("rules:\n  - {id: x, subject: switch, when: {type: rbm}, quantity: gauge, " +
			"condemns: {op: '<', value: '56'}, action: a, source: s, kind: practice}\n"))
		if err == nil || !strings.Contains(err.Error(), "only frogs have a type") {
			t.Errorf("%v: it would never judge", err)
		}
	})
}

// Whatever stands in a limit file, reading it ends in a set or in problems with
// line and column, and a set that is taken is one that can judge.
func FuzzParseSet(f *testing.F) {
	for _, name := range []string{"federal", "interchange", "yard-practice"} {
		data, err := files.ReadFile("limits/" + name + ".yaml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(goodRule))
	f.Add([]byte("rules:\n  - id"))
	f.Add([]byte("a: &a [*a]"))
	f.Add([]byte("? {}\n: x"))
	f.Fuzz(func(t *testing.T, data []byte) {
		set, err := parseText(data)
		if err != nil {
			var list measure.ProblemsError
			if !errors.As(err, &list) || len(list) == 0 {
				t.Fatalf("%v is no list of problems", err)
			}
			for _, p := range list {
				if p.Place.Line < 1 || p.Place.Col < 1 || p.What == "" {
					t.Errorf("problem without place or words: %v", p)
				}
			}
			return
		}
		for _, r := range set.Rules {
			if r.ID == "" || r.Source == "" || r.Action == "" || r.Kind == "" {
				t.Errorf("a rule lacks what each must have: %+v", r)
			}
			if (len(r.Condemns) == 0) != r.Reminder {
				t.Errorf("%d conditions, reminder %v", len(r.Condemns), r.Reminder)
			}
			for _, c := range r.Condemns {
				if _, known := QuantityUnit(c.Quantity); !known || c.Op == "" || math.IsNaN(c.Value) {
					t.Errorf("a condition that judges nothing: %+v", c)
				}
			}
		}
	})
}
