package plan

import (
	"errors"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
)

// What can be tried besides readings: closing, holding, turning, and the works of the plan.
func TestWhatIfWorks(t *testing.T) {
	sv := files{
		"frogs.csv": {{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}, {"lead", "F2", "1-3/8"}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "rim_thickness", "back_to_back"},
			{"A 1", "L1", "1-9/16", "1-1/8", "2", "53-3/8"}, {"A 1", "R1", "1-5/8", "1-1/8", "2", ""},
			{"B 2", "L1", "1-9/16", "1-1/8", "", "53-3/8"}, {"B 2", "R1", "1-1/4", "1-1/8", "", ""}},
		"cars.csv":   {{"car", "kind"}, {"A 1", "freight"}, {"B 2", "freight"}},
		"tracks.csv": {{"track", "order", "location", "feature"}, {"one", "1", "yard", "frog/F1"}},
	}.write(t, "schema: 1\nlimits: [interchange]\n")
	conflicts := func(sv *survey.Survey) int { return plain(t, sv).Judge().Summary.Count(interaction.Conflict) }
	if n := conflicts(sv); n != 6 {
		t.Fatalf("%d conflicts, want 6", n)
	}
	for _, c := range []struct {
		edits []string
		left  int
		says  string
	}{
		{[]string{"close frog F1"}, 3, ""}, {[]string{"close frog/F1"}, 3, ""},
		{[]string{"hold A 1"}, 2, ""}, {[]string{"hold A 1 off frog F1"}, 4, ""},
		{[]string{"hold A 1 off frog/F2"}, 4, ""},
		{[]string{"hold A 1 off track one"}, 4, ""}, {[]string{"hold B 2 off yard"}, 5, ""},
		{[]string{"hold B 2 off yard", "hold A 1 off lead"}, 3, ""},
		{[]string{"turn A 1 1"}, 2, "wheel/A 1 L1: turn the wheelset, with R1"},
		{[]string{"frog F1 flangeway_depth=1-3/4", "frog F1 flangeway_depth=1-7/8"}, 3,
			"warning: the edits contradict each other: frog/F1 flangeway_depth=1-3/4, then 1-7/8; the last one counts"},
	} {
		edited, notes, err := WhatIf(sv, c.edits)
		if err != nil {
			t.Errorf("%q: %v", c.edits, err)
			continue
		}
		if n := conflicts(edited); n != c.left || !strings.Contains(strings.Join(notes, "\n"), c.says) {
			t.Errorf("%q leaves %d conflicts, want %d, and says %q", c.edits, n, c.left, notes)
		}
		p, err := Make(plain(t, edited), Options{Level: LevelConflict, NoCurve: true})
		if err != nil {
			t.Fatal(err)
		}
		if p.Conflict.Before != c.left {
			t.Errorf("%q: the plan counts %d, the check %d", c.edits, p.Conflict.Before, c.left)
		}
	}
	if conflicts(sv) != 6 {
		t.Error("the survey itself was edited")
	}
	for _, bad := range []string{"hold C 3", "hold C 3 off frog F1", "hold A 1 off frog F9", "hold A 1 off track two",
		"turn C 3 1", "turn A 1 2", "turn B 2 1", "close car A 1", "close frog F9"} {
		if _, _, err := WhatIf(sv, []string{bad}); !errors.Is(err, ErrWhatIf) {
			t.Errorf("%q is taken: %v", bad, err)
		}
	}

	// All works of a plan, carried out one by one, end what the plan ends.
	p, err := Make(plain(t, sv), Options{Level: LevelConflict})
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, a := range p.Actions {
		edits, err := p.Edits(a.ID)
		if err != nil {
			t.Fatal(a.ID, err)
		}
		all = append(all, edits...)
	}
	edited, _, err := WhatIf(sv, all)
	if err != nil {
		t.Fatal(err)
	}
	if n := conflicts(edited); n != p.Conflict.After {
		t.Errorf("%q leave %d conflicts, the plan %d", all, n, p.Conflict.After)
	}
	if _, err := p.Edits("T99"); !errors.Is(err, ErrWhatIf) {
		t.Errorf("T99: %v", err)
	}
}

// A car that is held off a place has no pair there, in the list of pairs as in the counts.
func TestHeldCarHasNoPair(t *testing.T) {
	sv := files{"frogs.csv": {{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}},
		"wheels.csv": {{"car", "position", "flange_height"}, {"A 1", "L1", "1-9/16"}, {"B 2", "L1", "1"}},
	}.write(t, plainRailroad)
	edited, _, err := WhatIf(sv, []string{"hold A 1 off frog F1"})
	if err != nil {
		t.Fatal(err)
	}
	r := plain(t, edited).Judge()
	n := 0
	err = r.Engine().EachPair(r.Tallies, func(f *judge.Finding) error {
		if n++; f.Wheel.Car.ID == "A 1" {
			t.Errorf("%s at %s", f.Wheel.Car.ID, f.Feature.Name())
		}
		return nil
	})
	if err != nil || n != r.Summary.Pairs {
		t.Errorf("%d pairs are listed, %d counted, %v", n, r.Summary.Pairs, err)
	}
}
