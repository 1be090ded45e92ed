package main

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"flangeway/interaction"
)

// allowed is which of our packages each package may import. Whatever is not listed imports nothing of ours.
func allowed() map[string][]string {
	measure := "internal/measure"
	base := []string{measure, "internal/regular", "internal/sheet", "internal/outline", "configs", "internal/limit"}
	domain := append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape",
		"internal/survey", "internal/parallel", "interaction/contact", "interaction/curving", "interaction/passage",
		"interaction/load")
	program := append(slices.Clone(domain), "interaction", "interaction/bulk", "interaction/judge",
		"interaction/shaped", "interaction/plan", "interaction/published")
	return map[string][]string{
		"internal/each":    {}, // anything may import it
		"internal/measure": {},
		// readings and dates; a defect carries its place
		"internal/sheet":      {measure},
		"internal/outline":    {measure},
		"configs":             {measure},
		"internal/fixture":    {measure, "configs", "internal/outline"}, // for tests alone
		"internal/parallel":   {},
		"internal/regular":    {},
		"internal/limit":      {measure, "configs"},
		"wheel":               base,
		"wheel/shape":         append(slices.Clone(base), "wheel"),
		"wheel/bulk":          append(slices.Clone(base), "wheel"),
		"track":               base,
		"track/shape":         append(slices.Clone(base), "track"),
		"internal/survey":     append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape"),
		"interaction/contact": append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track", "track/shape"),
		"interaction/curving": append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track",
			"track/shape", "interaction/contact"),
		"interaction/passage": append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track",
			"track/shape", "interaction/contact"),
		"interaction/load":     {measure},
		"interaction":          domain,
		"interaction/bulk":     append(slices.Clone(domain), "interaction"),
		"interaction/shaped":   append(slices.Clone(domain), "interaction"),
		"interaction/exposure": append(slices.Clone(domain), "interaction"),
		"interaction/judge": append(slices.Clone(domain), "interaction", "interaction/exposure",
			"interaction/shaped"),
		"interaction/plan": append(slices.Clone(domain), "interaction", "interaction/exposure",
			"interaction/judge"),
		"interaction/published": append(slices.Clone(domain), "interaction"),
		"cmd/flangeway": append(slices.Clone(program), "testdata", "cmd/flangeway/internal/ask",
			"cmd/flangeway/internal/cli", "cmd/flangeway/internal/caution", "cmd/flangeway/internal/cases",
			"cmd/flangeway/internal/paper", "cmd/flangeway/internal/export", "cmd/flangeway/internal/draw",
			"cmd/flangeway/internal/pocket"),
		"cmd/flangeway/internal/cli": {},
		"cmd/flangeway/internal/pocket": append(slices.Clone(domain), "interaction", "interaction/exposure",
			"interaction/judge"),
		// what of it runs in a page
		"cmd/flangeway/internal/pocket/engine": {"cmd/flangeway/internal/pocket"},
		"cmd/flangeway/internal/ask":           append(slices.Clone(program), "cmd/flangeway/internal/cli"),
		"cmd/flangeway/internal/paper": append(slices.Clone(program), "cmd/flangeway/internal/cli",
			"cmd/flangeway/internal/draw",
			"cmd/flangeway/internal/export", "cmd/flangeway/internal/caution", "cmd/flangeway/internal/cases"),
		"cmd/flangeway/internal/export":     append(slices.Clone(program), "cmd/flangeway/internal/cases"),
		"cmd/flangeway/internal/cases":      {measure, "configs"},
		"cmd/flangeway/internal/draw":       append(slices.Clone(program), "cmd/flangeway/internal/caution"),
		"cmd/flangeway/internal/draw/drawn": {},
		"cmd/flangeway/internal/caution": append(slices.Clone(base), "wheel", "wheel/shape", "wheel/bulk", "track",
			"track/shape", "internal/survey"),
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
			if strings.Contains(imp, "excelize") && name != "internal/sheet" &&
				name != "cmd/flangeway/internal/export" {
				t.Errorf("%s imports %s: workbooks are read and written in internal/sheet and export", name, imp)
			}
			if ours, ok := strings.CutPrefix(imp, "flangeway/"); ok && ours != "internal/each" &&
				!slices.Contains(may, ours) {
				t.Errorf("%s imports %s", name, ours)
			}
			if !strings.HasPrefix(name, "cmd/") &&
				(strings.Contains(imp, "cobra") || strings.Contains(imp, "tablewriter")) {
				t.Errorf("%s imports %s, which belongs to the command line", name, imp)
			}
		}
	}
	if seen < 8 {
		t.Errorf("only %d packages were looked at", seen)
	}
}

// TestPageRunsTheEngineAlone: what runs in the page of pocket holds neither workbooks by library nor the command line,
// and nothing that opens a connection.
func TestPageRunsTheEngineAlone(t *testing.T) {
	t.Parallel()
	cmd := exec.Command("go", "list", "-deps", enginePackage)
	cmd.Dir, cmd.Env = "../..", append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	list := strings.Fields(string(out))
	if !slices.Contains(list, "flangeway/interaction/shaped") {
		t.Errorf("the engine of %d packages judges by no shapes", len(list))
	}
	for _, p := range list {
		if strings.Contains(p, "excelize") || strings.Contains(p, "cobra") || strings.HasPrefix(p+"/", "net/") {
			t.Errorf("the engine of the page holds %s", p)
		}
	}
}

// solving are the methods and functions that solve, judge, plan or read: what prints takes
// their results. EachPair is not among them, since the lists of all pairs are streamed; nor
// is Because, which names the checks of an action's pairs.
func solving() []string {
	return []string{"Compute", "ComputeBeside", "Judge", "Worst", "WorstAt", "First", "WheelFaults", "Unsettled",
		"Asked", "DefaultsUsed", "Row", "Again", "Settles",
		"Make", "Assess", "Risks", "WearRates", "WhatIf", "MeasureNext", "Orders", "CarSheet", "Shares", "Solve",
		"Frog", "Switch", "Rebuild", "Book", "Load", "LoadPassage"}
}

// Printing computes nothing: paper, draw and export know no package that solves shapes or
// forces, and call nothing that does.
func TestPrintingComputesNothing(t *testing.T) {
	for _, dir := range []string{"internal/paper", "internal/draw", "internal/export"} {
		files, err := filepath.Glob(dir + "/*.go")
		if err != nil || len(files) == 0 {
			t.Fatalf("%s has no files (%v)", dir, err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, imp := range file.Imports {
				for _, solver := range []string{"interaction/contact", "interaction/curving", "interaction/passage",
					"wheel/shape", "track/shape"} {
					if imp.Path.Value == `"flangeway/`+solver+`"` {
						t.Errorf("%s imports %s: the command solves, and gives what is printed", name, solver)
					}
				}
			}
			ast.Inspect(file, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok {
					return true
				}
				if f, ok := call.Fun.(*ast.SelectorExpr); ok && slices.Contains(solving(), f.Sel.Name) {
					t.Errorf("%s calls %s: the command computes, and gives what is printed",
						set.Position(call.Pos()), f.Sel.Name)
				}
				return true
			})
		}
	}
}

// eachFile calls f with the path and the text of every file of the program.
func eachFile(t *testing.T, f func(path string, text []byte)) {
	t.Helper()
	files := 0
	err := filepath.WalkDir("../..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		files++
		f(path, text)
		return err
	})
	if err != nil || files < 300 {
		t.Errorf("%d files looked at (%v)", files, err)
	}
}

// TestLinesFit: no line is longer than 120 columns, a tab as four.
func TestLinesFit(t *testing.T) {
	t.Parallel()
	eachFile(t, func(path string, text []byte) {
		for i, line := range strings.Split(string(text), "\n") {
			if n := utf8.RuneCountInString(line) + 3*strings.Count(line, "\t"); n > 120 {
				t.Errorf("%s:%d has %d columns", path, i+1, n)
			}
		}
	})
}

// TestNoSwitchOnACheck: a check says everything of itself. Outside its own file no name of one is compared, switched on
// or the key of a table: a new check touches its file and the list.
func TestNoSwitchOnACheck(t *testing.T) {
	t.Parallel()
	names, own := interaction.CheckIDs(), map[string]bool{}
	eachFile(t, func(path string, text []byte) {
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, text, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		named := func(x ast.Expr) string {
			if l, ok := x.(*ast.BasicLit); ok && l.Kind == token.STRING {
				if s, err := strconv.Unquote(l.Value); err == nil && slices.Contains(names, s) {
					return s
				}
			}
			return ""
		}
		var tried []ast.Expr
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CaseClause:
				tried = append(tried, n.List...)
			case *ast.BinaryExpr:
				tried = append(tried, n.X, n.Y)
			case *ast.IndexExpr:
				tried = append(tried, n.Index)
			case *ast.KeyValueExpr:
				tried = append(tried, n.Key)
				if key, ok := n.Key.(*ast.Ident); ok && key.Name == "ID" && named(n.Value) != "" {
					own[named(n.Value)] = true
				}
			}
			return true
		})
		for _, x := range tried {
			if s := named(x); s != "" {
				t.Errorf("%s asks whether a check is %s: the check says it of itself", set.Position(x.Pos()), s)
			}
		}
	})
	if len(own) != len(names) {
		t.Errorf("%d of %d checks found", len(own), len(names))
	}
}
