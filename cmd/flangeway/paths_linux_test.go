package main

import (
	"bytes"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"flangeway/internal/fixture"
)

// noFiles makes what a user may name where a file is wanted, and what ends no run that reads it: each has no end, waits
// for a writer, or takes more memory than there is.
func noFiles(t *testing.T) []string {
	t.Helper()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := syscall.Mkfifo(at("pipe"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, pair := range [][2]string{{"loop", "back"}, {"back", "loop"}} {
		if err := os.Symlink(pair[1], at(pair[0])); err != nil {
			t.Fatal(err)
		}
	}
	socket, err := net.Listen("unix", at("socket"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { socket.Close() })
	out := []string{at("pipe"), at("loop"), at("socket"), "/dev/zero"}
	for _, ending := range []string{"csv", "json", "xlsx"} {
		f, err := os.Create(at("huge." + ending))
		if err != nil {
			t.Fatal(err)
		}
		if err := f.Truncate(10 << 30); err != nil {
			t.Skip("no file of this size here: ", err)
		}
		f.Close()
		out = append(out, f.Name())
	}
	return out
}

// ended runs the program in a folder of its own and gives how it ended; ok is false if it did not within the time that
// the slowest machine takes.
func ended(t *testing.T, args ...string) (code int, text string, ok bool) {
	t.Helper()
	var out, errs bytes.Buffer
	done := make(chan int, 1)
	go func() { done <- run(args, strings.NewReader(""), &out, &errs) }()
	select {
	case code = <-done:
		return code, out.String() + errs.String(), true
	case <-time.After(20 * time.Second):
		return 0, "", false
	}
}

// Every flag of every command, and every argument, is given what is no file, whatever it is for: a flag that takes a
// path is not told from one that takes a word, so that a new one is tried too.
func TestNoFlagWaitsForAPipe(t *testing.T) {
	fixture.InVolumes(t, "each flag that names a file has a run of its own")
	dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs})
	t.Chdir(t.TempDir())
	given := map[string][]string{ // what a command wants besides
		"blank": {"new"}, "check": {dir, "--plain"}, "explain": {"frog-floor"},
		"job":    {"J", "--survey", dir, "--plain"},
		"limits": {dir}, "manual": {"man"}, "merge": {dir, dir, "-o", "both"}, "plan": {dir, "--plain"},
		"pocket": {dir, "-o", "page.html"}, "report": {dir, "--plain", "-o", "page.html"},
		"since": {dir, dir, "--plain"}, "curve": {"--degree", "8"}, "shape": {}, "passage": {}, "sources": {},
	}
	names := noFiles(t)
	root := newRootCmd(streams{})
	paths := 0
	// A word that is no path ends as well with the second name as with the first.
	try := func(args func(name string) []string) {
		t.Helper()
		for _, name := range names {
			code, text, ok := ended(t, args(name)...)
			if !ok {
				t.Fatalf("%v does not end", args(name))
			}
			if code >= exitInternal {
				t.Errorf("%v ends with %d and %q", args(name), code, text)
			}
			if code != exitInput {
				return
			}
			paths++
		}
	}
	for _, cmd := range root.Commands() {
		base, known := given[cmd.Name()]
		if !known {
			if cmd.Name() != "completion" && cmd.Name() != "help" {
				t.Errorf("what %s wants is not said here", cmd.Name())
			}
			continue
		}
		for i := range base {
			if !strings.HasPrefix(base[i], "-") {
				try(func(name string) []string {
					args := slices.Clone(base)
					args[i] = name
					return append([]string{cmd.Name()}, args...)
				})
			}
		}
		flags(cmd, func(f *pflag.Flag) {
			try(func(name string) []string {
				return append(append([]string{cmd.Name()}, base...), "--"+f.Name+"="+name)
			})
		})
	}
	if paths < 10*len(names) {
		t.Errorf("only %d were taken for paths", paths)
	}
}

// Every sheet of a survey, and every file that one of them names, is what is no file.
func TestNoSheetWaitsForAPipe(t *testing.T) {
	fixture.InVolumes(t, "each sheet has a run of its own")
	blank := filepath.Join(t.TempDir(), "blank")
	var out, errs bytes.Buffer
	if code := run([]string{"blank", blank}, nil, &out, &errs); code != exitOK {
		t.Fatal(errs.String())
	}
	sheets, err := filepath.Glob(filepath.Join(blank, "*.*"))
	if err != nil || len(sheets) < 8 {
		t.Fatal(sheets, err)
	}
	sheets = append(sheets, "survey.xlsx", "defects.csv")
	for _, name := range noFiles(t)[:5] {
		t.Chdir(t.TempDir())
		for _, sheet := range sheets {
			dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs})
			sheet = filepath.Join(dir, filepath.Base(sheet))
			os.Remove(sheet)
			if err := os.Symlink(name, sheet); err != nil {
				t.Fatal(err)
			}
			for _, args := range [][]string{{"check", dir, "--plain"}, {"check", dir, "--summary"},
				{"check", dir, "--plain", "--log"}, {"merge", dir, dir, "-o", "both"}} {
				code, text, ok := ended(t, args...)
				if !ok {
					t.Fatalf("%s %v does not end", sheet, args)
				}
				// --log alone reads and writes defects.csv
				if code != exitInput && (code >= exitInternal || filepath.Base(sheet) != "defects.csv") {
					t.Errorf("%s as %s: %v ends with %d and %q", sheet, name, args, code, text)
				}
			}
		}
		for file, text := range map[string]string{
			"railroad.yaml": "schema: 1\nlimits: [federal, '" + name + "']\n",
			"wheels.csv":    "car,position,flange_height,profile\nA 1,L1,1.2," + name + "\n",
			"curves.csv":    "location,curve,degree,profile\nYard,C1,8," + name + "\n",
		} {
			files := map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs}
			files[file] = text
			if code, text, ok := ended(t, "check", sheetsOf(t, files)); !ok || code != exitInput {
				t.Errorf("%s named by %s: ends with %d and %q", name, file, code, text)
			}
		}
	}
}

// flags calls f for every flag of a command that takes a text.
func flags(cmd *cobra.Command, f func(*pflag.Flag)) {
	cmd.Flags().VisitAll(func(flag *pflag.Flag) {
		if flag.Value.Type() == "string" || strings.HasPrefix(flag.Value.Type(), "string") {
			f(flag)
		}
	})
}
