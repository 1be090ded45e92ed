package configs

import (
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// rule is a whole rule whose lines a test replaces.
const rule = `rules:
  - id: high-flange
    subject: wheel
    quantity: flange_height
    when: {kind: [freight], class: [excepted, 1]}
    condemns: {op: ">=", value: 1-1/2}
    action: shop
    source: a source
    kind: practice
`

func TestParseSet(t *testing.T) {
	for _, tc := range []struct {
		name       string
		old, new   string
		value      float64 // of the condition, in mm, degrees or mph
		written    string
		want       []string
		reason     string
		conditions int
	}{
		{"plain", "", "", 38.1, "1-1/2 in", nil, "a number without a unit is inches", 1},
		{"marked", "1-1/2}", "'1-1/2\"'}", 38.1, "1-1/2 in", nil, "an inch mark changes nothing", 1},
		{"millimetres", "1-1/2}", "38 mm}", 38, "38 mm", nil, "the unit stands once", 1},
		{"hollow", "flange_height", "tread_hollow", 0, "", []string{"which unit?"}, "a bare fraction of hollow", 1},
		{"hollow millimetres", "flange_height\n    when: {kind: [freight], class: [excepted, 1]}\n    condemns: {op: \">=\", value: 1-1/2}",
			"tread_hollow\n    condemns: {op: \">=\", value: 4}", 4, "4 mm", nil, "hollow is mm", 1},
		{"hollow inches", "flange_height\n    when: {kind: [freight], class: [excepted, 1]}\n    condemns: {op: \">=\", value: 1-1/2}",
			"tread_hollow\n    condemns: {op: \">=\", value: 5/16\"}", 7.9375, `5/16"`, nil, "as the rule writes it", 1},
		{"speed", "flange_height\n    when: {kind: [freight], class: [excepted, 1]}\n    condemns: {op: \">=\", value: 1-1/2}",
			"speed_mph\n    condemns: {op: \">\", value: 10}", 10, "10 mph", nil, "a plain number", 1},
		{"speed in words", "flange_height\n    when: {kind: [freight], class: [excepted, 1]}\n    condemns: {op: \">=\", value: 1-1/2}",
			"speed_mph\n    condemns: {op: \">\", value: 10 deg}", 0, "", []string{"not a number of miles per hour (miles per hour as a plain number)"}, "a speed has no degrees", 1},
		{"no such quantity", "flange_height", "flange_hight", 38.1, "1-1/2 in", []string{`quantity: "flange_hight" is not a quantity`}, "misspelt", 1},
		{"no such operator", `">="`, `"=>"`, 38.1, "1-1/2 in", []string{`op: "=>" is not a comparison (<, <=, > or >=)`}, "turned round", 1},
		{"no value", ", value: 1-1/2", "", 0, "", []string{"value: the key is missing"}, "nothing condemns", 1},
		{"blank id", "id: high-flange", "id: ''", 38.1, "1-1/2 in", []string{"id: the value is blank"}, "an id is needed to override", 1},
		{"no such subject", "subject: wheel", "subject: bogie", 38.1, "1-1/2 in", []string{`subject: "bogie" is not a subject`}, "no sheet of it", 1},
		{"no such kind of car", "[freight]", "[freight, tram]", 38.1, "1-1/2 in", []string{`kind: "tram" is not known here (one of freight, locomotive, passenger, steam)`}, "the words of the sheet", 1},
		{"no such class", "[excepted, 1]", "6", 38.1, "1-1/2 in", []string{`class: "6" is not known here (one of excepted, 1, 2, 3, 4, 5)`}, "classes end at 5 here", 1},
		{"no such kind of figure", "kind: practice", "kind: law", 38.1, "1-1/2 in", []string{`kind: "law" is not a kind of figure`}, "regulation, standard, practice or assumed", 1},
		{"unknown key", "action: shop", "action: shop\n    severity: 3", 38.1, "1-1/2 in", []string{"f.yaml:8:5: severity: there is no such key"}, "not passed over", 1},
		{"reminder word", "action: shop", "action: shop\n    reminder: maybe", 38.1, "1-1/2 in", []string{`reminder: "maybe" is neither yes nor no`}, "not taken as no", 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			text := rule
			if tc.old != "" {
				if !strings.Contains(rule, tc.old) {
					t.Fatalf("the rule has no %q to replace", tc.old)
				}
				text = strings.Replace(rule, tc.old, tc.new, 1)
			}
			var ps measure.Problems
			set := ParseSet(ParseMapping("f.yaml", []byte(text), &ps), "own", &ps)
			checkProblems(t, &ps, tc.want, tc.reason)
			if len(set.Rules) != 1 || len(set.Rules[0].Condemns) != tc.conditions {
				t.Fatalf("%d rules; %s", len(set.Rules), tc.reason)
			}
			if c := set.Rules[0].Condemns[0]; c.Value < tc.value-1e-9 || c.Value > tc.value+1e-9 || c.Written != tc.written {
				t.Errorf("condemns at %v, written %q; want %v, %q; %s", c.Value, c.Written, tc.value, tc.written, tc.reason)
			}
		})
	}
}

func TestRuleTwice(t *testing.T) {
	var ps measure.Problems
	ParseSet(ParseMapping("f.yaml", []byte(rule+strings.TrimPrefix(rule, "rules:\n")), &ps), "own", &ps)
	checkProblems(t, &ps, []string{`f.yaml:10:9: id: rule "high-flange" stands twice (each id once; the first stands in line 2)`}, "which one holds?")
}
