package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// sumOf adds a column of a table of the page up.
func sumOf(t *testing.T, table paper.Table, column string) int {
	t.Helper()
	sum := 0
	for at, c := range table.Columns {
		if c.Name != column {
			continue
		}
		for _, r := range table.Rows {
			if r[at].Key == nil {
				t.Fatalf("%s: %q is no number", table.ID, r[at].Text)
			}
			sum += int(*r[at].Key)
		}
	}
	return sum
}

// What check, page and plan count, each its own way, are one count: by the computed verdicts and by the plain ones of
// the least demo, by the plain ones of a railroad in good order; by both of the whole demo and all samples with
// FLANGEWAY_VOLUME, where the sheets of paper are counted of the computed demo.
func TestPlanPageAndCheckAgree(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	dirs := []string{leastDemo(t)}
	names := []string{"healthy"}
	if volume() {
		names = append(names, "survey-a", "ordinary", "notches")
	}
	for _, s := range names {
		dirs = append(dirs, filepath.Join("../../testdata/samples", s))
	}
	for _, dir := range dirs {
		for _, plain := range []bool{false, true} {
			if !plain && dir != dirs[0] && !volume() {
				continue
			}
			t.Run(fmt.Sprint(filepath.Base(dir), " plain=", plain), func(t *testing.T) {
				var j judged
				var err error
				if !plain && dir == dirs[0] {
					j = computedLeast(t).judged
				} else if j, err = (checkOptions{plain: plain}).judge(&progress{}, dir); err != nil {
					t.Fatal(err)
				}
				var pairs [4]int
				if err := j.Result.Engine().EachPair(j.Result.Tallies, func(f *judge.Finding) error {
					pairs[f.Verdict]++
					return nil
				}); err != nil {
					t.Fatal(err)
				}
				in := j.Input
				if _, in.Risks, err = assessed(j.Result); err != nil {
					t.Fatal(err)
				}
				var b bytes.Buffer
				if err := export.CheckJSON(&b, in); err != nil {
					t.Fatal(err)
				}
				var report export.Report
				if err := json.Unmarshal(b.Bytes(), &report); err != nil {
					t.Fatal(err)
				}
				s := report.Summary
				if got := [4]int{s.Conflict, s.Undecided, s.NotMeasured, s.Clear}; got != pairs {
					t.Errorf("json counts %v, the pairs are %v", got, pairs)
				}
				b.Reset()
				if err := paper.Check(in, paper.Text, dir).Write(&b); err != nil {
					t.Fatal(err)
				}
				words := strings.Join(strings.Fields(b.String()), " ")
				for n, what := range map[int]string{pairs[interaction.Conflict]: "conflict",
					pairs[interaction.Undecided]: "undecided", pairs[interaction.NotMeasured]: "not measured"} {
					if want := paper.Count(n) + " " + what; !strings.Contains(words, want) {
						t.Errorf("the text has no %q", want)
					}
				}
				shown, err := j.reportInput([]string{"places"})
				if err != nil {
					t.Fatal(err)
				}
				page := paper.Report(shown, dir)
				problems := fmt.Sprintf("%d problem", s.Problems)
				if !strings.Contains(words, problems) || !strings.Contains(wordsOf(page, "summary"), problems) {
					t.Errorf("json counts %d problems, text or page does not", s.Problems)
				}
				table := tableOf(t, page, "summary-table")
				for i, v := range []interaction.Verdict{interaction.Conflict, interaction.Undecided,
					interaction.NotMeasured, interaction.Clear} {
					if got := int(*table.Rows[i][1].Key); got != pairs[v] {
						t.Errorf("the page's summary has %d %s, the pairs are %d", got, v, pairs[v])
					}
					if got := sumOf(t, tableOf(t, page, "list-table"), v.String()); got != pairs[v] {
						t.Errorf("the page's locations have %d %s, the pairs are %d", got, v, pairs[v])
					}
				}
				p := export.NewPlan(shown.Plan.Plan)
				if p.ConflictsBefore != pairs[interaction.Conflict] ||
					p.UndecidedBefore != pairs[interaction.Undecided] {
					t.Errorf("the plan counts %d conflicts and %d undecided, the pairs are %v", p.ConflictsBefore,
						p.UndecidedBefore, pairs)
				}
				if want := "Conflicts " + configs.Apart(fmt.Sprint(pairs[interaction.Conflict])) +
					" before"; len(p.Actions) > 0 && !strings.Contains(wordsOf(page, "plan"), want) {
					t.Errorf("the page's plan does not say %q", want)
				}
				if !plain && volume() && dir == dirs[0] {
					file := filepath.Join(t.TempDir(), "computed.html")
					b.Reset()
					if err := page.Write(&b); err != nil {
						t.Fatal(err)
					}
					if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
						t.Fatal(err)
					}
					sheetsOfPaper(t, browser(t), file, demoSheets)
				}
				if p.ConflictsAfter != p.ReadAgain {
					t.Errorf("%d conflicts are left, %d of them to be read again", p.ConflictsAfter, p.ReadAgain)
				}
			})
		}
	}
}

// The commands judge by the flag they are given: a hollow tread that the plain rule has lift
// the wheel off the wing is undecided by its shape.
func TestPlainIsAFlagOfEveryView(t *testing.T) {
	t.Parallel()
	dir := sheetsOf(t, map[string]string{
		"wheels.csv": "car,position,design,flange_height,flange_thickness,tread_hollow\n" +
			"A 1,L1,narrow flange 1:20,1.25,1.156,4\n",
		"frogs.csv": "location,frog,number,type,gauge,flangeway_depth,flangeway_width,guard_check\n" +
			"Yard,F1,8,rbm,56.500,1.875,1.875,54.625\n",
	})
	counts := map[bool]int{}
	for _, plain := range []bool{false, true} {
		flags := []string{dir, "--format", "json"}
		if plain {
			flags = append(flags, "--plain")
		}
		out, _, _ := runFor(t, append([]string{"check", "--fail-on", "never"}, flags...)...)
		var report export.Report
		if err := json.Unmarshal([]byte(out), &report); err != nil {
			t.Fatal(err)
		}
		out, _, _ = runFor(t, append([]string{"plan"}, flags...)...)
		var p export.Plan
		if err := json.Unmarshal([]byte(out), &p); err != nil {
			t.Fatal(err)
		}
		if p.ConflictsBefore != report.Summary.Conflict || p.UndecidedBefore != report.Summary.Undecided {
			t.Errorf("plain %t: the plan counts %d and %d, check %d and %d", plain, p.ConflictsBefore,
				p.UndecidedBefore, report.Summary.Conflict, report.Summary.Undecided)
		}
		counts[plain] = p.ConflictsBefore
	}
	if counts[false] == counts[true] {
		t.Error("plain and computed count alike here: nothing is tested")
	}
}

// sectionsOf are the parts of a page, those of its appendix too.
func sectionsOf(blocks paper.Blocks) (out []paper.Section) {
	for _, b := range blocks {
		switch b := b.(type) {
		case paper.Section:
			out = append(out, b)
		case paper.Fold:
			out = append(out, sectionsOf(b.Blocks)...)
		}
	}
	return out
}

// wordsOf are the paragraphs of a part of a page, by its ID.
func wordsOf(page *paper.Document, id string) string {
	var out []string
	for _, s := range sectionsOf(page.Blocks) {
		for _, b := range s.Blocks {
			if p, ok := b.(paper.Para); ok && s.ID == id {
				out = append(out, p.Text)
			}
		}
	}
	return strings.Join(out, " ")
}

// tableOf is a table of a page by its ID.
func tableOf(t *testing.T, page *paper.Document, id string) paper.Table {
	t.Helper()
	for _, s := range sectionsOf(page.Blocks) {
		for _, b := range s.Blocks {
			if table, ok := b.(paper.Table); ok && table.ID == id {
				return table
			}
		}
	}
	t.Fatalf("the page has no table %s", id)
	return paper.Table{}
}
