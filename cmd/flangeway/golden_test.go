package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/internal/fixture"
)

const demo = "../../testdata/demo"

// runFor runs the program in this process.
func runFor(t testing.TB, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errw bytes.Buffer
	code = run(args, strings.NewReader(""), &out, &errw)
	return out.String(), errw.String(), code
}

// The demo in text and markdown against golden files: what a roadmaster sees does not change unseen.
func TestDemoGolden(t *testing.T) {
	t.Parallel()
	for _, g := range []struct{ name, file string }{{"text", "demo.txt"}, {"markdown", "demo.md"},
		{"csv", "demo.csv"}} {
		t.Run(g.name, func(t *testing.T) {
			isGolden(t, g.file, plainDemo(t, g.name))
		})
	}
}

// isGolden compares what was printed with a golden file, or rewrites the file.
func isGolden(t *testing.T, file, got string) {
	t.Helper()
	got = strings.ReplaceAll(got, "flangeway "+version()+";", "flangeway VERSION;")
	name := filepath.Join("testdata", "golden", file)
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("golden file differs (-want +got), go test -update rewrites it:\n%s", diff)
	}
}

// One location fits a letter page in print: at most 60 lines.
func TestLocationFitsAPage(t *testing.T) {
	t.Parallel()
	fitsPages(t, plainDemo(t, "text"), 12)
}

// fitsPages holds so many locations or more to a page each.
func fitsPages(t *testing.T, got string, least int) {
	t.Helper()
	rule := strings.Repeat("-", 80)
	lines := strings.Split(got, "\n")
	name, from, pages := "", 0, 0
	for i, l := range lines {
		if l != rule || i+2 >= len(lines) || lines[i+2] != rule {
			continue
		}
		if name != "" && i-from > 60 {
			t.Errorf("%q takes %d lines", name, i-from)
		}
		name, from, pages = lines[i+1], i, pages+1
		if strings.HasPrefix(name, "Track readings") {
			break
		}
	}
	if pages < least {
		t.Errorf("only %d locations were looked at", pages)
	}
}

// The same survey gives the same bytes: text, markdown and csv are held against golden files, which other runs of the
// program wrote, and json of a few places against a second run; all of them are of the whole with FLANGEWAY_VOLUME.
func TestOutputIsByteStable(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	if !volume() {
		args := []string{"check", fewPlaces(t), "--plain", "--format", "json", "--fail-on", "never"}
		a, errA := answered(args...)
		if b, errB := answered(args...); errA != nil || errB != nil || a != b {
			t.Errorf("json differs between two runs, %v, %v", errA, errB)
		}
		return
	}
	for _, f := range formats() {
		again, _, _ := runFor(t, "check", demo, "--plain", "--format", f)
		if again != plainDemo(t, f) {
			t.Errorf("format %s differs between two runs", f)
		}
	}
}

// Text is ASCII but for names as typed.
func TestTextIsASCII(t *testing.T) {
	t.Parallel()
	isASCII(t, plainDemo(t, "text"))
}

func isASCII(t *testing.T, got string) {
	t.Helper()
	for i, r := range got {
		if r > 126 || r < 32 && r != '\n' {
			t.Fatalf("%q at byte %d", r, i)
		}
	}
}

// What is computed from shapes and forces is printed in ASCII, a location to a page, with the plain rule beside it. A
// golden file holds the text of the whole demo, which is computed with FLANGEWAY_VOLUME.
func TestComputedDemo(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	a, locations := computedLeast(t).text, 3
	if volume() {
		locations = 12
		isGolden(t, "computed.txt", a)
	}
	fitsPages(t, a, locations)
	isASCII(t, a)
	for _, want := range []string{"   computed  ", "   plain rule ", "truck side L/V",
		"plain rule stands, not computed"} {
		if !strings.Contains(a, want) {
			t.Errorf("%q is nowhere", want)
		}
	}
}

// What is computed is printed as a golden file of a few cars and places has it, which another
// run wrote, and twice alike in one process with FLANGEWAY_VOLUME.
func TestComputedIsByteStable(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	if !volume() {
		isGolden(t, "computed-few.csv", computedLeast(t).pairs)
		return
	}
	args := []string{"check", fewPlaces(t), "--all-pairs", "--format", "csv", "--fail-on", "never"}
	a, err := answered(args...)
	if err != nil {
		t.Fatal(err)
	}
	isGolden(t, "computed-few.csv", a)
	if b, err := answered(args...); err != nil || a != b {
		t.Errorf("two runs differ, %v", err)
	}
}

// Every command that the README shows runs, on the least demo by the plain rules: what is looked
// for is a flag, a name or a format that the program does not take. That check, plan and page
// compute too is tried by TestPlanPageAndCheckAgree and TestComputedDemo, and here with
// FLANGEWAY_VOLUME. What a command's help shows too is run by TestHelpExamplesRun.
func TestShownCommandsRun(t *testing.T) {
	fixture.LeftToVolumes(t)
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir, part := t.TempDir(), fewPlaces(t)
	t.Chdir("../..")
	examples := map[string]bool{}
	for _, cmd := range newRootCmd(streams{}).Commands() {
		for line := range strings.Lines(cmd.Example) {
			examples[strings.TrimSpace(line)] = true
		}
	}
	ran := 0
	inBlock := false
	for _, line := range strings.Split(string(readme), "\n") {
		if strings.HasPrefix(line, "```") {
			inBlock = !inBlock
			continue
		}
		if !inBlock {
			continue
		}
		if examples[line] && !strings.Contains(line, "my-yard") {
			ran++
			continue
		}
		line = strings.ReplaceAll(line, "my-yard", filepath.ToSlash(filepath.Join(dir, "my-yard")))
		line = strings.ReplaceAll(line, "testdata/demo", filepath.ToSlash(part))
		args := splitWords(line)
		switch {
		case strings.HasPrefix(line, "go run ./cmd/flangeway "):
			args = args[3:]
		case strings.HasPrefix(line, "flangeway "):
			args = args[1:]
		case strings.HasPrefix(line, "go build -o flangeway ./cmd/flangeway"), strings.HasPrefix(line, "go test ./..."):
			continue // what this test is part of
		default:
			t.Errorf("README shows %q, which no test runs", line)
			continue
		}
		if !volume() && args[0] == "pocket" { // what runs in its page takes half a minute to build
			ran++
			continue
		}
		if !volume() && hasPlain(args) {
			args = append(args, "--plain")
		}
		if _, stderr, code := runFor(t, briefly(args...)...); code != 0 {
			t.Errorf("%q ends with %d: %s", line, code, stderr)
		}
		ran++
	}
	if ran < 9 {
		t.Errorf("only %d commands were found in the README", ran)
	}
}

// hasPlain says that a command may judge by the plain rules alone.
func hasPlain(args []string) bool {
	cmd, _, err := newRootCmd(streams{}).Find(args)
	return err == nil && cmd.Flags().Lookup("plain") != nil
}

// Every command has an example in its help text, and each example runs in the folder of a new user, who has an empty
// survey my-yard; one of blank runs where there is none. What a script runs as it stands is not run again.
func TestHelpExamplesRun(t *testing.T) {
	fixture.LeftToVolumes(t)
	inScripts := map[string]bool{}
	files, err := filepath.Glob("testdata/script/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no scripts", err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(b)) {
			if cmd, ok := strings.CutPrefix(strings.TrimSpace(line), "exec "); ok {
				inScripts[cmd] = true
				inScripts[strings.ReplaceAll(cmd, " --plain", "")] = true // the same, by the plain rules
			}
		}
	}
	home := t.TempDir()
	t.Chdir(home)
	if _, stderr, code := runFor(t, "blank", "my-yard"); code != 0 {
		t.Fatal(stderr)
	}
	root := newRootCmd(streams{})
	ran := 0
	for _, cmd := range append(root.Commands(), root) {
		if cmd.Example == "" {
			t.Errorf("%s has no example", cmd.Name())
		}
		for line := range strings.Lines(cmd.Example) {
			args := splitWords(strings.TrimSpace(line))
			if args[0] != "flangeway" {
				t.Errorf("%s shows %q", cmd.Name(), line)
				continue
			}
			if ran++; inScripts[strings.TrimSpace(line)] {
				continue
			}
			if args[1] == "pocket" { // builds what runs in the page: TestShownCommandsRun does that too
				continue
			}
			if t.Chdir(home); args[1] == "blank" {
				t.Chdir(t.TempDir())
			}
			if _, stderr, code := runFor(t, args[1:]...); code != 0 {
				t.Errorf("%q ends with %d: %s", line, code, stderr)
			}
		}
	}
	if ran < 14 {
		t.Errorf("only %d examples were found", ran)
	}
}

// splitWords splits a shown command at blanks outside double quotes.
func splitWords(s string) []string {
	var out []string
	word, quoted, has := "", false, false
	for _, r := range s {
		switch {
		case r == '"':
			quoted, has = !quoted, true
		case r == ' ' && !quoted:
			if has || word != "" {
				out = append(out, word)
			}
			word, has = "", false
		default:
			word += string(r)
		}
	}
	if has || word != "" {
		out = append(out, word)
	}
	return out
}
