package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed is which of our packages each package may import. Whatever
// is not listed imports nothing of ours.
func allowed() map[string][]string {
	measure := "internal/measure"
	base := []string{measure, "internal/sheet", "internal/outline", "configs", "internal/limit"}
	domain := append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape", "internal/survey", "internal/parallel", "interaction/contact", "interaction/curving", "interaction/passage")
	program := append(slices.Clone(domain), "interaction", "interaction/bulk", "interaction/plan", "interaction/published")
	return map[string][]string{
		"internal/measure": {},
		// readings and dates; a defect carries its place
		"internal/sheet":                 {measure},
		"internal/outline":               {measure},
		"configs":                        {measure},
		"internal/fixture":               {"configs"}, // for tests alone
		"internal/parallel":              {},
		"internal/limit":                 {measure, "configs"},
		"wheel":                          base,
		"wheel/shape":                    append(slices.Clone(base), "wheel"),
		"wheel/bulk":                     append(slices.Clone(base), "wheel"),
		"track":                          base,
		"track/shape":                    append(slices.Clone(base), "track"),
		"internal/survey":                append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape"),
		"interaction/contact":            append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape"),
		"interaction/curving":            append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape", "interaction/contact"),
		"interaction/passage":            append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape", "interaction/contact"),
		"interaction":                    domain,
		"interaction/bulk":               append(slices.Clone(domain), "interaction"),
		"interaction/plan":               append(slices.Clone(domain), "interaction"),
		"interaction/published":          append(slices.Clone(domain), "interaction"),
		"cmd/flangeway":                  append(slices.Clone(program), "testdata", "cmd/flangeway/internal/ask", "cmd/flangeway/internal/cli", "cmd/flangeway/internal/caution", "cmd/flangeway/internal/cases", "cmd/flangeway/internal/paper", "cmd/flangeway/internal/export", "cmd/flangeway/internal/draw"),
		"cmd/flangeway/internal/cli":     {},
		"cmd/flangeway/internal/ask":     append(slices.Clone(program), "cmd/flangeway/internal/cli"),
		"cmd/flangeway/internal/paper":   append(slices.Clone(program), "cmd/flangeway/internal/draw", "cmd/flangeway/internal/export", "cmd/flangeway/internal/caution", "cmd/flangeway/internal/cases"),
		"cmd/flangeway/internal/export":  append(slices.Clone(program), "cmd/flangeway/internal/cases"),
		"cmd/flangeway/internal/cases":   {measure, "configs"},
		"cmd/flangeway/internal/draw":    append(slices.Clone(program), "cmd/flangeway/internal/caution"),
		"cmd/flangeway/internal/caution": append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape", "internal/survey"),
	}
}

// The layout holds only while imports go one way: physics knows no command line,
// wheel and track do not know each other.
func TestImportsGoOneWay(t *testing.T) {
	t.Parallel()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports", "./...")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	rules := allowed()
	dec := json.NewDecoder(strings.NewReader(string(out)))
	seen := 0
	for {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimPrefix(p.ImportPath, "flangeway/")
		may, known := rules[name]
		if !known {
			t.Errorf("package %s is not in the design", name)
			continue
		}
		seen++
		for _, imp := range p.Imports {
			if strings.Contains(imp, "excelize") && name != "internal/sheet" && name != "cmd/flangeway/internal/export" {
				t.Errorf("%s imports %s: workbooks are read and written in internal/sheet and export", name, imp)
			}
			if ours, ok := strings.CutPrefix(imp, "flangeway/"); ok && !slices.Contains(may, ours) {
				t.Errorf("%s imports %s", name, ours)
			}
			if !strings.HasPrefix(name, "cmd/") && (strings.Contains(imp, "cobra") || strings.Contains(imp, "tablewriter")) {
				t.Errorf("%s imports %s, which belongs to the command line", name, imp)
			}
		}
	}
	if seen < 8 {
		t.Errorf("only %d packages were looked at", seen)
	}
}
