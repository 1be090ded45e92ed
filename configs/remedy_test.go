package configs

import (
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// TestEveryRegulationHasARemedy: whoever plans has to know what a rule lets him do besides the repair. Only taking the
// place out of service answers 213.4 beyond its gauge.
func TestEveryRegulationHasARemedy(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range d.Sets[Federal].Rules {
		x := r.Remedy
		out := r.Action == "repair, or out of service"
		if !r.Reminder && (x == Remedy{}) != out {
			t.Errorf("%s: %q has the remedy %+v", r.ID, r.Action, x)
		}
		if x != (Remedy{}) && (x.Source == "" || x.Sure == "") {
			t.Errorf("%s: the remedy names no source, or not how sure it is", r.ID)
		}
		rolling := r.Subject == "wheel" || r.Subject == "axle"
		if !r.Reminder && rolling != (x.Moved != "") {
			t.Errorf("%s of a %s: moved by %q", r.ID, r.Subject, x.Moved)
		}
		if strings.HasSuffix(r.Action, " mph") && x.SpeedMPH == 0 {
			t.Errorf("%s: %q names no speed", r.ID, r.Action)
		}
	}
}

// TestRemedies: a remedy that no rule has, or that cannot be read, is a mistake of the book.
func TestRemedies(t *testing.T) {
	const rule = "rules:\n  - {id: a, subject: frog, quantity: gauge, condemns: {op: '>', value: '58'}, action: " +
		"slow, source: x, kind: practice}\n"
	for text, want := range map[string]string{
		"remedies: [{action: slow, speed: '10', source: x, sure: read}]\n" + rule:        "",
		"remedies: [{action: slow, speed: curve speed, source: x, sure: read}]\n" + rule: "",
		"remedies: [{action: stop, source: x, sure: read}]\n" +
			rule: "no rule here has the action",
		"remedies: [{action: slow, speed: fast, source: x, sure: read}]\n" + rule:               "is no amount",
		"remedies: [{action: slow, lower_class: maybe, source: x, sure: read}]\n" + rule:        "neither yes nor no",
		"remedies: [{action: slow, speed: '10', sure: read}]\n" + rule:                          "source",
		"remedies: [{action: slow, spede: '10', source: x, sure: read}]\n" + rule:               "spede",
		"remedies: [{action: slow, kind: [wagon], source: x, sure: read, days: '30'}]\n" + rule: "not known here",
	} {
		var problems measure.Problems
		m := ParseMapping("own.yaml", []byte(text), &problems)
		ParseSet(m, "own", &problems)
		got := ""
		if err := problems.Err(); err != nil {
			got = err.Error()
		}
		if want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}
