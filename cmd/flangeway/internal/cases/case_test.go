package cases

import (
	"strings"
	"testing"
	"testing/fstest"

	"flangeway/testdata"
)

// Every case says what was read, what was not, and expects something that can fail.
func TestShippedCases(t *testing.T) {
	list, err := Load(testdata.CaseFiles())
	if err != nil {
		t.Fatal(err)
	}
	ids := map[string]bool{}
	for _, c := range list {
		if ids[c.ID] {
			t.Errorf("case %s stands twice", c.ID)
		}
		ids[c.ID] = true
		for _, e := range c.Expect {
			if said, ok := e.test(Answer{}); ok && !strings.HasPrefix(said, "0 conflicts") {
				t.Errorf("case %s: %q holds of an empty answer (%s)", c.ID, e.Says, said)
			}
		}
	}
	for _, id := range strings.Fields("A B C D E F 1 2 3 4 5 6") {
		if !ids[id] {
			t.Errorf("case %s is not there", id)
		}
	}
}

// A case file that cannot be tested is refused at its place.
func TestBadCaseFile(t *testing.T) {
	const head = "schema: 1\ncase: X\ntitle: x\nsource: x\nread: x\nnot_read: x\nconcluded: x\ntried: x\n"
	for _, x := range []struct{ name, file, want string }{
		{"nothing expected", head, "nothing is expected"},
		{"an expectation without a test", head + "expect:\n  - says: x\n", "nothing that tests it"},
		{"a key nobody knows",
			head + "expect:\n  - says: x\n    class: {feature: x, most: none}\n    margin: 1\n", "margin"},
		{"a span that is none", head + "expect:\n  - says: x\n    pair: {check: x, feature: x, car: x, position: " +
			"L1}\n    margin_in: [2, 1]\n", "least and a greatest"},
		{"no word on what was read", strings.Replace(head, "not_read: x\n", "", 1) +
			"expect:\n  - says: x\n    class: {feature: x, most: none}\n", "not_read"},
	} {
		_, err := Load(fstest.MapFS{"x/" + File: &fstest.MapFile{Data: []byte(x.file)}})
		if err == nil || !strings.Contains(err.Error(), x.want) || !strings.Contains(err.Error(), "x/"+File) {
			t.Errorf("%s: %v", x.name, err)
		}
	}
}

// Each expectation fails on an answer that is a little off.
func TestExpectations(t *testing.T) {
	num := func(v float64) *float64 { return &v }
	const pair = "    pair: {check: wide-gauge, feature: spot/S, car: C, position: L1}\n"
	good := Finding{Check: "wide-gauge", Feature: "spot/S", Car: "C", Position: "L1", Verdict: "undecided",
		Cause: "pair", MarginMM: num(-1), MarginLoMM: num(-3), MarginHiMM: num(1),
		WheelWithinLimits: "yes", TrackWithinLimits: "none", SettleBy: []string{"loaded_gauge"},
		Notes: []string{treadNote + "1.00 in as it lies, 0.50 in under load"}}
	for _, x := range []struct {
		name, expect string
		spoil        func(*Finding)
	}{
		{"verdict", "verdict: undecided", func(f *Finding) { f.Verdict = "clear" }},
		{"not this verdict", "not_verdict: conflict", func(f *Finding) { f.Verdict = "conflict" }},
		{"verdict of the readings", "plain_verdict: undecided", func(f *Finding) { f.PlainVerdict = "conflict" }},
		{"cause", "cause: pair", func(f *Finding) { f.Cause = "place" }},
		{"margin as written", "as_written_mm: [-1.1, -0.9]", func(f *Finding) { f.MarginMM = num(-1.2) }},
		{"no margin as written", "as_written_mm: [-1.1, -0.9]", func(f *Finding) { f.MarginMM = nil }},
		{"margin", "margin_mm: [-2, 1.5]", func(f *Finding) { f.MarginHiMM = num(2) }},
		{"what is asked for", "asks: loaded_gauge", func(f *Finding) { f.SettleBy = []string{"gauge"} }},
		{"both legal", "both_legal: true", func(f *Finding) { f.WheelWithinLimits = "unknown" }},
		{"tread as it lies", "tread_left_in: [0.99, 1.01]",
			func(f *Finding) { f.Notes = []string{treadNote + "0.90 in as it lies, 0.50 in under load"} }},
		{"tread under load", "tread_left_under_load_in: [0.49, 0.51]",
			func(f *Finding) { f.Notes = []string{treadNote + "1.00 in as it lies, as much or less"} }},
	} {
		list, err := Load(fstest.MapFS{"x/" + File: &fstest.MapFile{Data: []byte("schema: 1\ncase: X\ntitle: " +
			"x\nsource: x\nread: x\nnot_read: x\nconcluded: x\ntried: x\nexpect:\n  - says: x\n" + pair + "    " +
			x.expect + "\n")}})
		if err != nil {
			t.Fatalf("%s: %v", x.name, err)
		}
		holds := func(f Finding) bool {
			var a Answer
			a.Report.Locations = append(a.Report.Locations, Location{Findings: []Finding{f}})
			return Compare(list[0], a).Met()
		}
		bad := good
		x.spoil(&bad)
		if !holds(good) || holds(bad) {
			t.Errorf("%s: holds %v, of a spoiled answer %v", x.name, holds(good), holds(bad))
		}
	}
}
