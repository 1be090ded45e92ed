package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"flangeway/internal/fixture"
)

// program is this test binary as the program itself.
func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return &exec.Cmd{Path: self, Args: append([]string{"flangeway"}, args...)}
}

func codeOf(err error) int {
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		return exit.ExitCode()
	}
	if err != nil {
		return -1
	}
	return 0
}

// peak is the most memory that a finished command held, in MiB.
func peak(c *exec.Cmd) int64 { return c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss >> 10 }

// A gigabyte without a line end: the summary says so in bounded memory. The file has a hole, so that it takes no room.
// The plain check reads sheets whole and would hold the gigabyte; it is left out here.
func TestGigabyteLine(t *testing.T) {
	dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs})
	if err := os.Truncate(filepath.Join(dir, "wheels.csv"), 1<<30); err != nil {
		t.Skip("no file of this size here: ", err)
	}
	cmd := program(t, "check", dir, "--summary")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	if out, err := cmd.Output(); codeOf(err) != exitInput || len(out) > 0 ||
		!strings.Contains(errs.String(), "wheels.csv:4:1: row: a cell is too long") {
		t.Errorf("ends with %v, %d bytes and %.200q", err, len(out), errs.String())
	}
	// The system counts what this process held when it started the other, which the race detector multiplies.
	if got := peak(cmd); got > 700 && !fixture.UnderRace {
		t.Errorf("held %d MiB", got)
	}
}

// A full device: the error is told, with exit code 3.
func TestFullDevice(t *testing.T) {
	fixture.InVolumes(t, "the system refuses each file in a run of its own")
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no full device here: ", err)
	}
	defer full.Close()
	demo := fewCars(t)
	for _, args := range [][]string{
		{"check", demo, "--plain"}, {"check", demo, "--plain", "--format", "json"},
		{"check", demo, "--plain", "--format", "csv", "--all-pairs"}, {"check", demo, "--plain", "--format", "json",
			"--all-pairs"},
		{"check", demo, "--summary"}, {"check", demo, "--summary", "--format", "csv"},
		{"check", demo, "--summary", "--format", "json"},
	} {
		cmd := program(t, args...)
		var errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = full, &errs
		if err := cmd.Run(); codeOf(err) != exitInput ||
			!strings.Contains(errs.String(), "the result cannot be written") {
			t.Errorf("%v ends with %v and %q", args, err, last(errs.String()))
		}
	}
}

func last(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return lines[len(lines)-1]
}

// shellAndProgram are a shell to set a limit in, and the program by a name that the test binary goes by.
func shellAndProgram(t *testing.T) (shell, link string) {
	t.Helper()
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell to set the limit in")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	link = filepath.Join(t.TempDir(), "flangeway")
	if err := os.Symlink(self, link); err != nil {
		t.Fatal(err)
	}
	return shell, link
}

// A limit of the file size: what fits is written and the error told.
func TestFileSizeLimit(t *testing.T) {
	fixture.InVolumes(t, "the system refuses each file in a run of its own")
	shell, link := shellAndProgram(t)
	out := filepath.Join(t.TempDir(), "out.csv")
	cmd := exec.Command(shell, "-c", `ulimit -f 8 && exec "$0" check "$1" --plain --all-pairs --format csv >"$2"`, link,
		"../../testdata/demo", out)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	if err := cmd.Run(); codeOf(err) != exitInput || !strings.Contains(errs.String(), "the result cannot be written") {
		t.Errorf("ends with %v and %q", err, last(errs.String()))
	}
}

// A file that takes no more bytes: every command that writes says so in the same words, with the name that was asked
// for, and leaves nothing.
func TestNoRoomForAFile(t *testing.T) {
	fixture.InVolumes(t, "the system refuses each file in a run of its own")
	shell, link := shellAndProgram(t)
	dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs})
	for _, args := range [][]string{
		{"check", dir, "--plain", "-o", "new.txt"}, {"check", dir, "--plain", "-o", "new.xlsx"},
		{"check", dir, "--plain", "--draw", "new"}, {"report", dir, "--plain", "-o", "new.html"},
		{"plan", dir, "--plain", "--draw", "new.svg"}, {"since", dir, dir, "--plain", "-o", "new.md"},
		{"shape", "--draw", "new.svg"}, {"blank", "new"}, {"blank", "--form", "new"}, {"manual", "new"},
	} {
		cmd := exec.Command(shell, append([]string{"-c", `ulimit -f 1 && exec "$0" "$@"`, link}, args...)...)
		cmd.Dir = t.TempDir()
		var errs bytes.Buffer
		cmd.Stderr = &errs
		err := cmd.Run()
		if got := last(errs.String()); codeOf(err) != exitInput || !strings.HasPrefix(got, "flangeway: error: new") ||
			!strings.Contains(got, " cannot be written: file too large") {
			t.Errorf("%v ends with %v and %q", args, err, got)
		}
		if left, err := os.ReadDir(cmd.Dir); err != nil || len(left) > 0 {
			t.Errorf("%v left %v, %v", args, left, err)
		}
	}
}

// hunger asks for more memory than there is as soon as it is read.
type hunger struct{}

func (hunger) Read([]byte) (int, error) {
	return len(make([]byte, 1<<(strconv.IntSize-20))), nil
}

// Without memory the run ends by a signal and not as a mistake on the command line does. The program itself does not run
// out of any here: what it reads asks for 16 TB.
func TestOutOfMemory(t *testing.T) {
	const hungry = "FLANGEWAY_HUNGRY"
	if os.Getenv(hungry) != "" {
		os.Exit(start(nil, true, hunger{}, io.Discard, io.Discard))
	}
	if fixture.UnderRace || strconv.IntSize < 64 {
		t.Skip("the race detector's own memory does not fit; 4 kB more do on 32 bits")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, "-test.run=^TestOutOfMemory$")
	cmd.Dir, cmd.Env = t.TempDir(), append(os.Environ(), hungry+"=1")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	var exit *exec.ExitError
	err = cmd.Run()
	if !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGABRT ||
		!strings.Contains(errs.String(), "out of memory") {
		t.Errorf("ends with %v and %q", err, last(errs.String()))
	}
	if left, err := os.ReadDir(cmd.Dir); err != nil || len(left) > 0 {
		t.Errorf("left %v, %v", left, err)
	}
}

// An interrupt in the middle of a long list: the program ends with its error soon.
func TestInterruptedList(t *testing.T) {
	cmd := program(t, "check", "../../testdata/demo", "--plain", "--all-pairs", "--format", "csv")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadFull(out, make([]byte, 100)); err != nil { // it writes, and the pipe is soon full
		t.Fatal(err)
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	time.Sleep(50 * time.Millisecond)
	rest, err := io.ReadAll(out)
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); codeOf(err) != exitInterrupted ||
		!strings.Contains(errs.String(), "interrupted; the output is incomplete") {
		t.Errorf("ends with %v and %q behind %d bytes", err, last(errs.String()), len(rest))
	}
}

// slowSheets is a survey whose wheels take long to read: quoted notes with line ends go the slow way.
func slowSheets(t *testing.T, frogs string) string {
	var wheels strings.Builder
	wheels.WriteString("car,position,flange_height,note\n")
	for i := range 150_000 {
		fmt.Fprintf(&wheels, "A%07d,L1,1.2,\"two\nlines\"\n", i)
	}
	return sheetsOf(t, map[string]string{"wheels.csv": wheels.String(), "frogs.csv": frogs})
}

// interrupted starts a program again and again until an interrupt meets it in the middle of its work, and gives how it
// ended: earlier where it had finished, later where it did not listen yet and the system ended it. behind waits for
// what the interrupt is to come behind.
func interrupted(t *testing.T, behind func(out io.Reader) error, args ...string) (code int, dir, out, errs string) {
	t.Helper()
	wait := 300 * time.Millisecond
	for range 10 {
		cmd := program(t, args...)
		cmd.Dir = t.TempDir()
		var stderr bytes.Buffer
		cmd.Stderr = &stderr
		pipe, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if err := behind(pipe); err != nil {
			t.Fatal(err)
		}
		time.Sleep(wait)
		late := cmd.Process.Signal(os.Interrupt) != nil
		rest, err := io.ReadAll(pipe)
		if err != nil {
			t.Fatal(err)
		}
		switch code = codeOf(cmd.Wait()); {
		case late, code == exitOK, code == exitFindings:
			wait /= 2
		case code == -1:
			if len(rest) > 0 {
				t.Errorf("%d bytes were written by a program that the system ended", len(rest))
			}
			wait *= 2
		default:
			return code, cmd.Dir, string(rest), stderr.String()
		}
	}
	t.Fatalf("%v was never interrupted in the middle", args)
	return 0, "", "", ""
}

func atOnce(io.Reader) error { return nil }

// An interrupt behind the rows of a summary, while a reading beyond a limit is looked for: that is no internal error.
func TestInterruptedLimits(t *testing.T) {
	dir := slowSheets(t, "location,frog,flangeway_depth\nyard,F1,1-7/8\n")
	rows := func(out io.Reader) error {
		_, err := io.ReadFull(out, make([]byte, 200))
		return err
	}
	code, _, _, errs := interrupted(t, rows, "check", dir, "--summary", "--format", "csv", "--fail-on", "limit")
	if code != exitInterrupted || !strings.Contains(errs, "interrupted; ") {
		t.Errorf("ends with %d and %q", code, last(errs))
	}
}

// An interrupt while the wheels are read: no result at all.
func TestInterruptedSummary(t *testing.T) {
	code, _, out, errs := interrupted(t, atOnce, "check", slowSheets(t, goodFrogs), "--summary", "--format", "csv")
	if code != exitInterrupted || len(out) > 0 || !strings.Contains(errs, "interrupted; there is no result") {
		t.Errorf("ends with %d, %d bytes and %q", code, len(out), last(errs))
	}
}

// A request to terminate and a closed terminal in the middle of writing a file leave nothing
// of it, and end with the number of their signal.
func TestEndedWhileWriting(t *testing.T) {
	demo, err := filepath.Abs("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	for _, end := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP} {
		t.Run(end.String(), func(t *testing.T) {
			if signal.Ignored(end) {
				t.Skip("ignored here, as under nohup, and so by every program that is started")
			}
			for range 10 {
				cmd := program(t, "check", demo, "--plain", "--all-pairs", "--format", "csv", "-o", "new.csv")
				cmd.Dir = t.TempDir()
				if err := cmd.Start(); err != nil {
					t.Fatal(err)
				}
				ended := make(chan error, 1)
				go func() { ended <- cmd.Wait() }()
				if !begun(cmd.Dir, ended) {
					continue // it had written the file between two looks
				}
				cmd.Process.Signal(end)
				code := codeOf(<-ended)
				left, err := os.ReadDir(cmd.Dir)
				if err != nil {
					t.Fatal(err)
				}
				if len(left) == 1 && left[0].Name() == "new.csv" {
					continue // it had finished
				}
				if code != exitSignal+int(end) || len(left) > 0 {
					t.Errorf("ends with %d and leaves %v", code, left)
				}
				return
			}
			t.Error("never met in the middle")
		})
	}
}

// begun waits until a folder holds a file; false if the program has ended.
func begun(dir string, ended chan error) bool {
	for {
		if files, _ := os.ReadDir(dir); len(files) > 0 {
			return true
		}
		select {
		case err := <-ended:
			ended <- err
			return false
		case <-time.After(time.Millisecond):
		}
	}
}

// Names on the command line reach a terminal as text alone, and no longer than a line of it.
func TestHostileNames(t *testing.T) {
	for _, name := range []string{"no\x1b[31mred", "no\nflangeway: all clear", "no\u202ethgir",
		strings.Repeat("x", 30_000)} {
		for _, args := range [][]string{{"check", name}, {"shape", "--wheel", "./" + name},
			{"check", ".", "--fail-on", name},
			{"explain", name}, {"limits", "--set", name}} {
			var out, errs bytes.Buffer
			if code := run(args, nil, &out, &errs); code != exitInput && code != exitUsage {
				t.Errorf("%.40q: ends with %d", args, code)
			}
			if strings.ContainsAny(errs.String(), "\x1b\u202e") || strings.Contains(errs.String(),
				"\nflangeway: all") || errs.Len() > 5000 {
				t.Errorf("%.40q: %.200q", args, errs.String())
			}
		}
	}
}

// An interrupt while something long is computed: the program ends without a result and without a file.
func TestInterruptedWork(t *testing.T) {
	demo, err := filepath.Abs("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"check", demo, "-o", "new.xlsx"}, {"report", demo, "-o", "new.html"}, {"plan", demo, "--draw", "new.svg"},
		{"curve", "--survey", demo, "--sweep", "hollow", "--draw", "new.svg"},
	} {
		t.Run(args[0], func(t *testing.T) {
			code, dir, out, errs := interrupted(t, atOnce, args...)
			if code != exitInterrupted || !strings.Contains(errs, "interrupted; there is no result") {
				t.Errorf("ends with %d and %q", code, last(errs))
			}
			if left, err := os.ReadDir(dir); len(out) > 0 || err != nil || len(left) > 0 {
				t.Errorf("%d bytes were written, %d files, %v", len(out), len(left), err)
			}
		})
	}
}
