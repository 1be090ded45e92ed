package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/fixture"
)

// A figure that is from memory or second hand says so wherever it is printed: a page that
// names such a rule has its word on it too. csv of check has no figures of rules.
func TestUnreadFiguresSaySo(t *testing.T) {
	t.Parallel()
	data, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	space, few := regexp.MustCompile(`[\s\\]+`), leastDemo(t)
	for _, tt := range []struct {
		name  string
		made  func() (string, error)
		least int // rules of that kind which the demo brings up
	}{
		{"check, text", plainDemos["text"], 3},
		{"check, markdown", plainDemos["markdown"], 3},
		{"check, json", plainDemos["json"], 10},
		{"limits", func() (string, error) { return answered("limits", demo) }, 20},
		{"plan", func() (string, error) { return answered("plan", few, "--plain") }, 3},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.made()
			if err != nil {
				t.Fatal(err)
			}
			got = space.ReplaceAllString(got, " ")
			// A paragraph that a check cites as its source has its own words there.
			ids := strings.ReplaceAll(got, "CFR 215.103", "")
			named := 0
			for _, set := range data.Sets {
				for _, r := range set.Rules {
					if !strings.Contains(r.Sure, "from memory") && !strings.Contains(r.Sure, "second hand") ||
						!strings.Contains(ids, r.ID) {
						continue
					}
					named++
					if !strings.Contains(got, r.Sure) {
						t.Errorf("%s is printed without %q", r.ID, r.Sure)
					}
				}
			}
			if named < tt.least {
				t.Errorf("only %d rules were named that nobody read", named)
			}
		})
	}
	if got, _, _ := runFor(t, "shape", "--hollow", "3", "--rim-thickness", "1-1/4", "--step",
		"5"); !strings.Contains(space.ReplaceAllString(got, " "), "49 CFR 215.103(c) (freight), from memory") {
		t.Error("shape gives the rim limit of 215.103 as read")
	}
	if got, _, _ := runFor(t, "explain", "frog-floor"); !strings.Contains(space.ReplaceAllString(got, " "),
		"flange height 1-1/2 in (both from memory)") {
		t.Error("explain frog-floor gives the flange height of 215.103 as read")
	}
}

// No output of any command prints a figure that nobody read without saying so: a page that
// names such a rule says how it is known, and a figure of a setting, a design, a section or
// a detail has the mark behind it. Every command is asked in every format it has.
func TestNoOutputHidesThatAFigureIsFromMemory(t *testing.T) {
	fixture.InVolumes(t, "every command in every format takes long")
	data, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	outputs := allOutputs(t)
	space := regexp.MustCompile(`[\s\\]+|<[^>]*>`)
	// What is printed of these comes from memory: the mark stands within so many bytes.
	near := []struct {
		figure *regexp.Regexp
		bytes  int
		least  int // outputs that print it
		reason string
	}{
		{regexp.MustCompile(`\b322 kN`), 220, 4, "the bound of the vertical force, GM/TT0088"},
		{regexp.MustCompile(`"bound_kN": 322`), 200, 2, "the same in json"},
		{regexp.MustCompile(`default of the design`), 40, 6, "back-to-back of a new wheel"},
		{regexp.MustCompile(`\bdesign (narrow|wide) flange 1:20`), 160, 1,
			"the rim of a design that stands for the mate's"},
		{regexp.MustCompile(`\bdetail plain,`), 40, 1, "the heights of a switch point, in the drawing"},
		{regexp.MustCompile(`CFR 215\.103`), 1 << 30, 10, "no figure of freight wheels was read"},
	}
	seen := make([]int, len(near))
	for name, raw := range outputs {
		got := space.ReplaceAllString(raw, " ")
		if strings.TrimSpace(got) == "" {
			t.Errorf("%s is empty", name)
		}
		marked := strings.Contains(got, "memory") || strings.Contains(got, "second hand")
		for _, set := range data.Sets {
			for _, r := range set.Rules {
				if configs.MemoryMark(r.Sure) == "" && !strings.Contains(r.Sure, "second hand") ||
					!strings.Contains(got, r.ID) {
					continue
				}
				if !marked {
					t.Errorf("%s names %s and not that it is %s", name, r.ID, r.Sure)
				}
			}
		}
		for i, n := range near {
			found := n.figure.FindAllStringIndex(got, -1)
			if len(found) > 0 {
				seen[i]++
			}
			for _, at := range found {
				around := got[max(0, at[0]-n.bytes):min(len(got), at[1]+n.bytes)]
				if !strings.Contains(around, "memory") {
					t.Errorf("%s: no mark near %q: %s", name, around[:min(len(around), 300)], n.reason)
					break
				}
			}
		}
	}
	for i, n := range near {
		if seen[i] < n.least {
			t.Errorf("%s stands in %d outputs, want %d at least: %s", n.figure, seen[i], n.least, n.reason)
		}
	}
}

// allOutputs is what the commands print and write of the demo, by name.
func allOutputs(t *testing.T) map[string]string {
	t.Helper()
	dir, small := t.TempDir(), smallDemo(t)
	out := map[string]string{}
	run := func(name string, args ...string) {
		got, errText, code := runFor(t, args...)
		if code != 0 {
			t.Fatalf("%s: exit code %d: %s", name, code, errText)
		}
		if got != "" {
			out[name] = got
		}
	}
	file := func(name string) string { return filepath.Join(dir, name) }
	passing := []string{"passage", "--number", "8", "--flangeway-depth", "1-3/8"}
	climbing := []string{"passage", "--over", "switch", "--chip-depth", "3/4", "--chip-length", "8"}
	turning := []string{"curve", "--degree", "10", "--speed", "10"}
	shaping := []string{"shape", "--hollow", "3", "--rim-thickness", "1-1/4", "--step", "5"}
	for _, format := range []string{"text", "markdown", "json", "csv"} {
		for name, args := range map[string][]string{
			"check":  {"check", demo, "--plain", "--fail-on", "never"},
			"limits": {"limits", "--set", "federal,interchange,yard-practice,early-warning"},
			"plan":   {"plan", small, "--plain"}, "frog": passing, "switch": climbing, "curve": turning,
			"shape": shaping, "sources": {"sources"}, "cases": {"sources", "--cases"},
		} {
			if name == "cases" && (format == "markdown" || format == "json") && !volume() {
				continue // as long again as all others; text and csv say the same
			}
			run(name+", "+format, append(slices.Clone(args), "--format", format)...)
		}
	}
	for _, format := range []string{"text", "json", "csv"} {
		run("summary, "+format, "check", demo, "--summary", "--fail-on", "never", "--format", format)
	}
	for _, format := range []string{"text", "json", "csv"} {
		run("pairs, "+format, "check", demo, "--plain", "--all-pairs", "--location", "Team track", "--fail-on", "never",
			"--format", format)
	}
	run("orders", "plan", small, "--plain", "--orders", "--draw", file("plan.svg"))
	for _, c := range interaction.Checks() {
		run("explain "+c.ID, "explain", c.ID)
	}
	run("drawings", "check", demo, "--plain", "--fail-on", "never", "--draw", file("pairs"))
	run("frog drawing", append(slices.Clone(passing), "--draw", file("frog.svg"))...)
	run("switch drawing", append(slices.Clone(climbing), "--draw", file("switch.svg"))...)
	run("curve drawing", append(slices.Clone(turning), "--draw", file("curve.svg"))...)
	run("shape drawing", append(slices.Clone(shaping), "--draw", file("shape.svg"))...)
	run("page", "report", demo, "--plain", "-o", file("page.html"))
	run("workbook", "check", small, "--plain", "--fail-on", "never", "--format", "xlsx", "-o", file("check.xlsx"))
	run("blank", "blank", file("blank"))
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if filepath.Ext(path) != ".xlsx" {
			b, err := os.ReadFile(path)
			out[path[len(dir)+1:]] = string(b)
			return err
		}
		f, err := excelize.OpenFile(path)
		if err != nil {
			return err
		}
		defer f.Close()
		var b strings.Builder
		for _, sheet := range f.GetSheetList() {
			rows, err := f.GetRows(sheet)
			if err != nil {
				return err
			}
			for _, r := range rows {
				b.WriteString(strings.Join(r, " | ") + "\n")
			}
		}
		out[path[len(dir)+1:]] = b.String()
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
