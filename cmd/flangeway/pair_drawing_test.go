package main

import (
	"errors"
	"html"
	"regexp"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/draw/drawn"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/judge"
)

// worstOf are the findings that a report shows.
func worstOf(r *judge.Result) (out []*judge.Finding) {
	for i := range r.Tallies {
		out = append(out, r.Worst(&r.Tallies[i]))
	}
	return out
}

// Every measured finding of the demo can be drawn, and shows the readings that it
// rests on as they were written; one that is not measured says which reading it needs.
func TestEveryFindingIsDrawn(t *testing.T) {
	t.Parallel()
	sv, book, err := readSurvey(demo)
	if err != nil {
		t.Fatal(err)
	}
	result := judge.New(sv, book, interaction.Options{}).Judge()
	shows := map[string]int{}
	findings := worstOf(result)
	for _, c := range interaction.Checks() {
		if !c.ComputedOnly {
			continue
		}
		engine := judge.New(sv, book, interaction.Options{Check: c.ID, Car: "WPV 1188"})
		if _, err := engine.Compute(); err != nil {
			t.Fatal(err)
		}
		findings = append(findings, worstOf(engine.Judge())...)
	}
	for _, f := range findings {
		name := f.Check.ID + " " + f.Feature.Name()
		svg, err := draw.Draw(paper.PairDrawing(result.Engine(), f, "p"))
		if f.Verdict == interaction.NotMeasured {
			if !errors.Is(err, draw.ErrNotRead) {
				t.Errorf("%s is not measured and was drawn (%v)", name, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s, %s: %v", name, f.Verdict, err)
			continue
		}
		shows[f.Check.ID]++
		drawn.Uncrossed(t, name, svg)
		_, shown, _ := strings.Cut(string(svg), "</desc>")
		shown = html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(shown, "\n"))
		for _, r := range f.Readings {
			// Left out: a length under which a chip does not count, and the degree of
			// the curve, which is in what is allowed; the description names both.
			if r.Side == "" || r.Default || r.Quantity == "chip_length" || r.Quantity == "degree" {
				continue
			}
			if text := result.Engine().Text(r); !strings.Contains(shown, text) {
				t.Errorf("%s: %s %s does not stand on the drawing", name, r.Quantity, text)
			}
		}
	}
	for _, id := range interaction.CheckIDs() {
		if shows[id] == 0 {
			t.Errorf("the demo has no drawing of %s", id)
		}
	}
}

// No line runs through a label, whatever the samples read.
func TestNoLineThroughALabelOfTheSamples(t *testing.T) {
	t.Parallel()
	n := 0
	for _, dir := range []string{"survey-a", "healthy", "notches", "ordinary"} {
		sv, book, err := readSurvey("../../testdata/samples/" + dir)
		if err != nil {
			t.Fatal(err)
		}
		result := judge.New(sv, book, interaction.Options{}).Judge()
		for _, f := range worstOf(result) {
			svg, err := draw.Draw(paper.PairDrawing(result.Engine(), f, "p"))
			if errors.Is(err, draw.ErrNotRead) {
				continue
			}
			if err != nil {
				t.Errorf("%s, %s %s: %v", dir, f.Check.ID, f.Feature.Name(), err)
			}
			n++
			drawn.Uncrossed(t, dir+", "+f.Check.ID+" "+f.Feature.Name(), svg)
		}
	}
	if n < 50 {
		t.Errorf("%d drawings", n)
	}
}
