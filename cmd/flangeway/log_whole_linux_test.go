package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// loggedYard is a survey with readings beyond a limit, and a defects.csv of a few megabytes that goes on.
func loggedYard(t *testing.T, rows int) (dir, log string, old []byte) {
	t.Helper()
	frogs := "location,frog,flangeway_depth,date\n"
	for i := range 20 {
		frogs += fmt.Sprintf("yard,F%d,1-1/4,2026-03-02\n", i)
	}
	dir = sheetsOf(t, map[string]string{"frogs.csv": frogs, "wheels.csv": "car,position,flange_height\nA 1,L1,1\n",
		"railroad.yaml": "schema: 1\ntrack_class: 1\ndate: 2026-03-31\n"})
	var b strings.Builder
	b.WriteString("where,location,rule,quantity,found,opened,remedy,due,protected,closed,closed_by,note\n")
	for i := range rows {
		fmt.Fprintf(&b, "frog/G%d,yard,213.137(a)-class1,flangeway_depth,1-1/4,2025-03-02,weld,2025-04-01,,2025-05-01,"+
			"flangeway_depth 1-7/8 of 2025-05-01,%s\n", i, strings.Repeat("x", 400))
	}
	log = filepath.Join(dir, "defects.csv")
	if err := os.WriteFile(log, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir, log, []byte(b.String())
}

// A disk without room leaves defects.csv as it was, and nothing beside it.
func TestFullDiskLeavesTheLog(t *testing.T) {
	shell, link := shellAndProgram(t)
	dir, log, old := loggedYard(t, 100)
	for _, command := range []string{"check", "plan"} {
		cmd := exec.Command(shell, "-c", `ulimit -f 16 && exec "$0" "$1" "$2" --plain --log`, link, command, dir)
		out, err := cmd.CombinedOutput()
		if codeOf(err) != exitInput || !strings.Contains(string(out), "defects.csv cannot be written") {
			t.Errorf("%s ends with %v and %q", command, err, last(string(out)))
		}
		if got, err := os.ReadFile(log); err != nil || !bytes.Equal(got, old) {
			t.Errorf("%s left %d bytes of %d, %v", command, len(got), len(old), err)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) != 4 {
			t.Errorf("%s left %v beside the sheets, %v", command, left, err)
		}
	}
}

// A program that is killed while it writes leaves the old defects.csv or the new one, whole, and the next run goes on.
func TestKilledLeavesTheLog(t *testing.T) {
	dir, log, old := loggedYard(t, 8000)
	met := false
	for range 12 {
		if err := os.WriteFile(log, old, 0o644); err != nil {
			t.Fatal(err)
		}
		cmd := program(t, "check", dir, "--plain", "--log", "--fail-on", "never")
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		for beside := false; !beside; {
			files, err := os.ReadDir(dir)
			at, gone := os.Stat(log) // it would grow shorter if it were written over
			beside = err == nil && len(files) > 4 || gone != nil || at.Size() < int64(len(old))
			if beside {
				cmd.Process.Signal(syscall.SIGKILL)
			}
			select {
			case err := <-ended:
				ended <- err
				beside = true
			case <-time.After(100 * time.Microsecond):
			}
		}
		<-ended
		got, err := os.ReadFile(log)
		if err != nil {
			t.Fatal(err)
		}
		now := bytes.HasPrefix(got, old) && bytes.Count(got, []byte("\n")) == bytes.Count(old, []byte("\n"))+20
		if !now && !bytes.Equal(got, old) {
			t.Fatalf("%d bytes are left of %d", len(got), len(old))
		}
		files, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		if met = len(files) > 4; met {
			break
		}
	}
	if !met {
		t.Skip("never met in the middle here")
	}
	if out, err := program(t, "check", dir, "--plain", "--log", "--fail-on", "never").CombinedOutput(); err != nil ||
		!strings.Contains(string(out), "20 open") {
		t.Errorf("the next run ends with %v and %q", err, last(string(out)))
	}
}
