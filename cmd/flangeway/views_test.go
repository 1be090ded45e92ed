package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
)

// beyondBy counts the readings of places beyond a regulation, by location.
func beyondBy(list []judge.LimitFinding) map[string]int {
	out := map[string]int{}
	for _, l := range list {
		if l.Place != "" && l.Kind == "regulation" && l.Verdict == limit.Beyond {
			out[l.Place]++
		}
	}
	return out
}

// Whatever part of a survey is looked at, in whatever format: the counts of a view are those of what it shows, and a
// place has the readings beyond a limit that it has in the whole.
func TestViewsCountWhatTheyShow(t *testing.T) {
	fixture.LeftToVolumes(t)
	dir := leastDemo(t, "Mill spur")
	whole, err := checkOptions{plain: true}.judge(&progress{}, dir)
	if err != nil {
		t.Fatal(err)
	}
	beyond := beyondBy(whole.Result.Limits)
	if len(beyond) < 3 {
		t.Fatalf("too few places beyond a limit: %v", beyond)
	}
	car := demoCars()[0]
	for _, v := range []struct {
		name string
		o    checkOptions
		args []string
	}{
		{"whole", checkOptions{}, nil},
		{"location", checkOptions{location: "Mill spur"}, []string{"--location", "Mill spur"}},
		{"car", checkOptions{car: car}, []string{"--car", car}},
		{"check", checkOptions{check: "frog-floor"}, []string{"--check", "frog-floor"}},
		{"car at a location", checkOptions{car: car, location: "Rip track"},
			[]string{"--car", car, "--location", "Rip track"}},
	} {
		t.Run(v.name, func(t *testing.T) {
			v.o.plain = true
			j, err := v.o.judge(&progress{}, dir)
			if err != nil {
				t.Fatal(err)
			}
			view := func(format string, more ...string) string {
				t.Helper()
				out, errs, code := runFor(t, append(append([]string{"check", dir, "--plain", "--fail-on", "never",
					"--format", format}, v.args...), more...)...)
				if code != 0 {
					t.Fatalf("%s: exit code %d: %s", format, code, errs)
				}
				return out
			}
			var pairs [4]int
			if err := j.Result.Engine().EachPair(j.Result.Tallies, func(f *judge.Finding) error {
				pairs[f.Verdict]++
				return nil
			}); err != nil {
				t.Fatal(err)
			}
			all := 0
			for location, n := range beyond {
				if v.o.location == "" || location == v.o.location {
					all += n
				}
			}
			countsOfText(t, view("text"), pairs, all)
			countsOfText(t, view("markdown"), pairs, all)
			countsOfJSON(t, view("json"), pairs, beyond)
			countsOfCSV(t, view("csv", "--all-pairs"), pairs)
			countsOfPage(t, j, pairs, all)
		})
	}
}

func countsOfText(t *testing.T, out string, pairs [4]int, beyond int) {
	t.Helper()
	words := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{
		paper.Count(pairs[interaction.Conflict]) + " conflict (",
		fmt.Sprintf("%s undecided, %s not measured, %s clear.", paper.Count(pairs[interaction.Undecided]),
			paper.Count(pairs[interaction.NotMeasured]), paper.Count(pairs[interaction.Clear])),
		fmt.Sprintf("Track readings beyond or straddling a limit (%d beyond", beyond),
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the text has no %q", want)
		}
	}
}

var reBeyond = regexp.MustCompile(`(\d+) readings? beyond a federal limit`)

func countsOfJSON(t *testing.T, out string, pairs [4]int, beyond map[string]int) {
	t.Helper()
	var r export.Report
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	s := r.Summary
	if got := [4]int{s.Conflict, s.Undecided, s.NotMeasured, s.Clear}; got != pairs {
		t.Errorf("json counts %v, the pairs are %v", got, pairs)
	}
	listed := map[string]int{}
	for _, l := range r.Limits {
		if l.Location != "" && l.Kind == "regulation" && l.Verdict == string(limit.Beyond) {
			listed[l.Location]++
		}
	}
	for _, l := range r.Locations {
		said := 0
		if m := reBeyond.FindStringSubmatch(l.Risk.Reason); m != nil {
			fmt.Sscan(m[1], &said)
		}
		if n := beyond[l.Location]; said != n || listed[l.Location] != n {
			t.Errorf("%s: its risk says %d readings beyond a federal limit, json lists %d, there are %d", l.Location,
				said, listed[l.Location], n)
		}
	}
}

func countsOfCSV(t *testing.T, out string, pairs [4]int) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := -1
	for i, name := range rows[0] {
		if name == "verdict" {
			at = i
		}
	}
	var got [4]int
	for _, r := range rows[1:] {
		for v := range got {
			if r[at] == interaction.Verdict(v).String() {
				got[v]++
			}
		}
	}
	if got != pairs {
		t.Errorf("csv has %v, the pairs are %v", got, pairs)
	}
}

func countsOfPage(t *testing.T, j judged, pairs [4]int, beyond int) {
	t.Helper()
	in, err := j.reportInput([]string{"plan", "orders", "places", "drawings"})
	if err != nil {
		t.Fatal(err)
	}
	page := paper.Report(in, "")
	for v, n := range pairs {
		if got := sumOf(t, tableOf(t, page, "list-table"), interaction.Verdict(v).String()); got != n {
			t.Errorf("the page's locations have %d %s, the pairs are %d", got, interaction.Verdict(v), n)
		}
	}
	caption := tableOf(t, page, "limits-track").Caption
	if want := fmt.Sprintf("Track department: %d beyond a regulation", beyond); !strings.HasPrefix(caption, want) {
		t.Errorf("the page says %q, want %q", caption, want)
	}
}
