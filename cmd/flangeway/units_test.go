package main

import (
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"flangeway/internal/fixture"
)

var (
	tradeFigure = regexp.MustCompile(`[0-9] ?(in|inch|inches|ft|feet|foot|mph|lb|lbf|pounds|kips?)\b|(^|[^\w./:-])\d+(-\d+)?/\d+|\bmph\b`)
	// English after a whole number, and what is typed: places, dates and names.
	notFigures   = regexp.MustCompile(`[0-9] in (conflict|doubt|all|the|travel)\b|\d+ of \d+`)
	metricFigure = regexp.MustCompile(`[0-9] ?(mm|kN|km/h|MPa|N|m)\b|(^| )(mm|kN|N|MPa)( |$)`)
	hollowLine   = regexp.MustCompile(`(?i)hollow|N s/m`)
	tags         = regexp.MustCompile(`(?s)<(style|script).*?</(style|script)>|<[^>]+>`)
)

// No page mixes systems of units: with units: metric every page, drawing and order is in mm, m, km/h and kN, without it
// the pages that compute one wheel or truck are in inches, mph, pounds and kips, but for tread hollow.
func TestUnitsDoNotMix(t *testing.T) {
	fixture.InVolumes(t, "every page in both systems of units takes four seconds")
	t.Parallel()
	dir := fewPlaces(t)
	run := func(args ...string) string {
		out, errs, code := runFor(t, args...)
		if code > 1 {
			t.Fatalf("%s: exit %d: %s", strings.Join(args, " "), code, errs)
		}
		return out
	}
	one := []string{"--survey", dir, "--car", "WPV 1188", "--position", "L2"}
	analyses := [][]string{briefly("shape", "--survey", dir, "--car", "WPV 1204", "--position", "L1"),
		append([]string{"curve", "--at", "curve/C2"}, one...), append([]string{"passage", "--at", "frog/F4"}, one...),
		append([]string{"curve", "--at", "curve/C2", "--sweep", "gauge"}, one...)}
	mixed := func(name, page string, other, but *regexp.Regexp) {
		for _, line := range strings.Split(page, "\n") {
			if but == notFigures {
				line = but.ReplaceAllString(line, "")
			} else if but.MatchString(line) {
				continue
			}
			if x := other.FindString(line); x != "" {
				t.Errorf("%s: %q stands in %q", name, x, strings.TrimSpace(line))
			}
		}
	}
	for _, a := range analyses {
		mixed(strings.Join(a[:2], " "), run(a...), metricFigure, hollowLine)
	}
	railroad := filepath.Join(dir, "railroad.yaml")
	old, err := os.ReadFile(railroad)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(railroad, append(old, []byte("\nunits: metric\n")...), 0o644); err != nil {
		t.Fatal(err)
	}
	pages := append(analyses, []string{"check", dir, "--plain"},
		[]string{"check", dir, "--plain", "--format", "markdown"}, []string{"plan", dir, "--plain"}, []string{"plan",
			dir, "--plain", "--orders"}, []string{"plan", dir, "--plain", "--frogs", "--switches", "--curves"},
		[]string{"check", dir, "--location", "Quarry branch MP 5.8", "--car", "WPV 1204"})
	said := ""
	for _, a := range pages {
		said = run(a...)
		mixed(strings.Join(a[:2], " "), said, tradeFigure, notFigures)
	}
	if !strings.Contains(said, "   computed  ") {
		t.Error("nothing is computed")
	}
	page, drawings := filepath.Join(t.TempDir(), "page.html"), filepath.Join(t.TempDir(), "drawn")
	run("report", dir, "--plain", "--appendix", "-o", page)
	run("check", dir, "--plain", "--draw", drawings)
	files, err := filepath.Glob(filepath.Join(drawings, "*.svg"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range append(files, page) {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		mixed(filepath.Base(f), html.UnescapeString(tags.ReplaceAllString(string(b), "\n")), tradeFigure, notFigures)
	}
	// Named units stay: json and csv are the same but for the sum of the survey and words.
	printed := run("check", dir, "--plain", "--format", "json")
	for _, keep := range []string{`"margin_mm"`, `"as_written": "`} {
		if !strings.Contains(printed, keep) {
			t.Errorf("json has no %s", keep)
		}
	}
}
