package main

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
)

// TestSampleAsJSON: the program's own output of the sample survey is its expected pairs to the letter: the same pairs
// and no other, and no key that is not expected. interaction compares the values behind it.
func TestSampleAsJSON(t *testing.T) {
	t.Parallel()
	const dir = "../../testdata/samples/survey-a"
	out, stderr, code := runFor(t, "check", dir, "--plain", "--format", "json", "--all-pairs")
	if code != exitFindings {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	if strings.Contains(out, "null") || strings.Contains(out, "NaN") {
		t.Error("null or NaN is written")
	}
	var got struct {
		Summary   map[string]any `json:"summary"`
		Locations []struct {
			Location string           `json:"location"`
			Findings []map[string]any `json:"findings"`
		} `json:"locations"`
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	key := func(f map[string]any) string {
		return f["check"].(string) + " " + f["feature"].(string) + " " + f["car"].(string) + " " +
			f["position"].(string)
	}
	found, both, listed := map[string]map[string]any{}, 0, map[string]int{}
	for _, l := range got.Locations {
		for _, f := range l.Findings {
			if found[key(f)] != nil {
				t.Fatalf("%s is listed twice", key(f))
			}
			f["location"] = l.Location
			found[key(f)] = f
			listed[f["verdict"].(string)]++
			stops := f["wheel_within_limits"] == "no" || f["wheel_within_limits"] == "unknown" ||
				f["track_within_limits"] == "no" || f["track_within_limits"] == "unknown"
			if f["verdict"] == "conflict" && f["cause"] == "pair" && !stops {
				both++
			}
		}
	}
	for verdict, name := range map[string]string{"conflict": "conflict", "undecided": "undecided", "clear": "clear",
		"not measured": "not_measured"} {
		if got.Summary[name] != float64(listed[verdict]) {
			t.Errorf("summary: %v %s, %d are listed", got.Summary[name], name, listed[verdict])
		}
	}
	if got.Summary["both_legal_conflicts"] != float64(both) {
		t.Errorf("summary: %v both legal, %d are listed", got.Summary["both_legal_conflicts"], both)
	}
	file, err := os.Open(dir + ".expected.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	pairs, wrong := 0, 0
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		var want map[string]any
		if err := json.Unmarshal(lines.Bytes(), &want); err != nil {
			t.Fatal(err)
		}
		pairs++
		f := found[key(want)]
		for _, name := range []string{"location", "verdict", "close", "at_limit", "wheel_within_limits",
			"track_within_limits",
			"margin_mm", "margin_lo_mm", "margin_hi_mm", "margin_deg", "margin_lo_deg", "margin_hi_deg"} {
			w, expected := want[name]
			g, there := f[name]
			by := 0.002
			if strings.HasSuffix(name, "_deg") {
				by = 0.01
			}
			same := w == g
			switch {
			case strings.HasPrefix(name, "margin"):
				x, ok := g.(float64)
				y, also := w.(float64)
				same = ok == also && math.Abs(x-y) <= by
			case name == "close" || name == "at_limit" && expected:
				same = (w == true) == (g == true)
			case !expected: // any word passes
				same = there == (want["verdict"] != "not measured") || name == "at_limit"
			}
			if !same && wrong < 20 {
				wrong++
				t.Errorf("%s: %s %v, want %v", key(want), name, g, w)
			}
		}
	}
	if err := lines.Err(); err != nil || pairs != len(found) {
		t.Errorf("%d pairs are expected, %d are listed (%v)", pairs, len(found), err)
	}
}
