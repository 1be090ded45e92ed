package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"flangeway/internal/fixture"
)

var update = flag.Bool("update", false, "rewrite the golden sections of the scripts and the golden files")

func TestMain(m *testing.M) {
	testscript.Main(fixture.Spacious{M: m}, map[string]func(){
		"flangeway": func() {
			Version = "0.0.0-test" // the reports print it
			os.Exit(start(os.Args[1:], false, os.Stdin, os.Stdout, os.Stderr))
		},
	})
}

// TestScript runs every command, format, exit code and class of error against its golden output; under the race
// detector a script for each command that computes, since one format or error after the other tells it nothing new.
func TestScript(t *testing.T) {
	repo, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	raced := map[string]bool{"blank": true, "check-unloading": true, "check-errors": true, "check-summary": true,
		"curve-survey": true, "limits": true, "passage-chip": true, "plan-text": true, "report": true,
		"survey-speed": true}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script", UpdateScripts: *update, RequireExplicitExec: true, RequireUniqueNames: true,
		Setup: func(env *testscript.Env) error {
			if name := filepath.Base(env.WorkDir); fixture.UnderRace && !raced[strings.TrimPrefix(name, "script-")] {
				env.T().Skip("a script for each command runs under the race detector; .ci/run runs all without it")
			}
			env.Setenv("REPO", repo)
			env.Setenv("GOGC", "400") // a run is short and has memory enough
			return nil
		},
		Condition: func(name string) (bool, error) {
			if name != "volume" {
				return false, fmt.Errorf("%q is no condition", name)
			}
			return fixture.Volume(), nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exitcode": exitCode, "workbook": workbook,
			"cells": cells},
	})
}

// exitCode runs a command that must end with the given code: exitcode N prog args…
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exitcode N prog args...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, not %d", got, want)
	}
}
