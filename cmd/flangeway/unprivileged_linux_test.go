package main

import (
	"bytes"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"flangeway/internal/fixture"
)

// nobody is a user without rights, whom a run by root becomes: root may write anywhere.
const nobody = 65534

// unprivileged is the program run by a user without rights, and a folder that this user may look into and not write.
type unprivileged struct {
	path, dir string
	who       *syscall.SysProcAttr
}

// newUnprivileged copies this test binary where that user may run it.
func newUnprivileged(t *testing.T) unprivileged {
	t.Helper()
	top, err := os.MkdirTemp("", "flangeway") // the folder of t.TempDir is closed to others
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = filepath.WalkDir(top, func(name string, e fs.DirEntry, _ error) error {
			if e != nil && e.IsDir() {
				return os.Chmod(name, 0o755)
			}
			return nil
		})
		if err := os.RemoveAll(top); err != nil {
			t.Error(err)
		}
	})
	u := unprivileged{path: filepath.Join(top, "flangeway"), dir: filepath.Join(top, "work")}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	from, err := os.Open(self)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	to, err := os.OpenFile(u.path, os.O_WRONLY|os.O_CREATE, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(to, from); err != nil {
		t.Fatal(err)
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{top, u.path} {
		if err := os.Chmod(name, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(u.dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if os.Getuid() == 0 {
		u.who = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	if code, _, errs := u.run(t, "--version"); code != exitOK {
		t.Skipf("the program cannot be run by another user here: %s", errs)
	}
	return u
}

func (u unprivileged) run(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	cmd := program(t, args...)
	cmd.Path, cmd.Dir, cmd.SysProcAttr = u.path, u.dir, u.who
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	return codeOf(cmd.Run()), stdout.String(), stderr.String()
}

// file writes a file that everybody may read.
func (u unprivileged) file(t *testing.T, name, text string) {
	t.Helper()
	name = filepath.Join(u.dir, name)
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func (u unprivileged) chmod(t *testing.T, name string, mode fs.FileMode) {
	t.Helper()
	if err := os.Chmod(filepath.Join(u.dir, name), mode); err != nil {
		t.Fatal(err)
	}
}

// all lists the files below the folder with their content.
func (u unprivileged) all(t *testing.T) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(u.dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			out = append(out, name)
			return err
		}
		b, err := os.ReadFile(name)
		out = append(out, name+": "+string(b))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// yard writes a survey on which every command has something to do.
func (u unprivileged) yard(t *testing.T, dir string) {
	t.Helper()
	u.file(t, dir+"/railroad.yaml", "schema: 1\nlimits: [federal, ours.yaml]\n")
	u.file(t, dir+"/ours.yaml", "schema: 1\ntitle: ours\nrules: []\n")
	u.file(t, dir+"/cars.csv", "car,kind\nA 1,freight\n")
	u.file(t, dir+"/wheels.csv", "car,position,flange_height,tread_hollow\nA 1,L1,1.2,1\nA 1,R1,1.5,2\n")
	u.file(t, dir+"/frogs.csv", "location,frog,number,flangeway_depth\nYard,F1,8,1.3\n")
	u.file(t, dir+"/curves.csv", "location,curve,degree,gauge\nYard,C1,10,56-1/2\n")
}

// Every command that writes, into a folder that takes no file and over files in it:
// the error names what was asked for and why, the folder stays as it was. By the plain rules,
// since what is written makes no difference to where it cannot be.
func TestUnwritableFolder(t *testing.T) {
	fixture.InVolumes(t, "the system refuses each file in a run of its own")
	u := newUnprivileged(t)
	u.yard(t, "yard")
	for _, name := range []string{"old.csv", "old.html", "old.svg", "drawn/yard.svg"} {
		u.file(t, "shut/"+name, "kept\n")
	}
	if err := os.Mkdir(filepath.Join(u.dir, "shut", "empty"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"shut/empty", "shut/drawn", "shut"} {
		u.chmod(t, name, 0o555)
	}
	before := u.all(t)
	for _, tc := range []struct {
		args []string
		name string // that the error holds
	}{
		{[]string{"check", "yard", "-o", "shut/new.txt"}, "shut/new.txt"},
		{[]string{"check", "yard", "-o", "shut/new.md"}, "shut/new.md"},
		{[]string{"check", "yard", "-o", "shut/new.csv", "--all-pairs"}, "shut/new.csv"},
		{[]string{"check", "yard", "-o", "shut/new.json"}, "shut/new.json"},
		{[]string{"check", "yard", "-o", "shut/new.xlsx"}, "shut/new.xlsx"},
		{[]string{"check", "yard", "-o", "shut/old.csv"}, "shut/old.csv"},
		{[]string{"check", "yard", "-o", filepath.Join(u.dir, "shut", "old.csv")},
			filepath.Join(u.dir, "shut", "old.csv")},
		{[]string{"check", "yard", "--summary", "-o", "shut/new.csv"}, "shut/new.csv"},
		{[]string{"check", "yard", "--draw", "shut/new"}, "shut/new"},
		{[]string{"check", "yard", "--draw", "shut/drawn"}, "shut/drawn/yard.svg"},
		{[]string{"check", "yard", "--draw", "shut/empty"}, "shut/empty/yard.svg"},
		{[]string{"report", "yard", "-o", "shut/new.html"}, "shut/new.html"},
		{[]string{"report", "yard", "-o", "shut/old.html"}, "shut/old.html"},
		{[]string{"plan", "yard", "--draw", "shut/new.svg"}, "shut/new.svg"},
		{[]string{"plan", "yard", "--orders", "--draw", "shut/old.svg"}, "shut/old.svg"},
		{[]string{"shape", "--draw", "shut/new.svg"}, "shut/new.svg"},
		{[]string{"passage", "--draw", "shut/new.svg"}, "shut/new.svg"},
		{[]string{"curve", "--degree", "8", "--draw", "shut/new.svg"}, "shut/new.svg"},
		{[]string{"curve", "--degree", "8", "--sweep", "hollow", "--draw", "shut/new.svg"}, "shut/new.svg"},
		{[]string{"curve", "--survey", "yard", "--sweep", "hollow", "--draw", "shut/new.svg"}, "shut/new.svg"},
		{[]string{"blank", "shut/new"}, "shut/new"},
		{[]string{"blank", "shut/new/deep"}, "shut/new/deep"},
		{[]string{"blank", "shut/empty"}, "shut/empty"},
		{[]string{"blank", "--xlsx", "shut/new"}, "shut/new"},
		{[]string{"blank", "--xlsx", "shut/empty"}, "shut/empty"},
		{[]string{"blank", "shut/new.xlsx"}, "shut"},
	} {
		args := slices.Clone(tc.args)
		if hasPlain(args) {
			args = append(args, "--plain")
		}
		code, out, errs := u.run(t, args...)
		if why := last(errs); code != exitInput || out != "" || !strings.Contains(why, tc.name) ||
			!strings.Contains(why, "this user may not write there") {
			t.Errorf("%v ends with %d, %d bytes on standard output and %q", tc.args, code, len(out), why)
		}
		if after := u.all(t); !slices.Equal(before, after) {
			t.Fatalf("%v left %q", tc.args, after)
		}
	}
}

// A file that belongs to another, in a folder where only the owner may take it away, stays; nothing is left beside it.
func TestStickyFolder(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("this needs a file of another user")
	}
	u := newUnprivileged(t)
	u.yard(t, "yard")
	u.file(t, "shared/theirs.csv", "kept\n")
	u.chmod(t, "shared", 0o777|fs.ModeSticky)
	before := u.all(t)
	if code, out, errs := u.run(t, "check", "yard", "-o", "shared/theirs.csv"); code != exitInput || out != "" ||
		!strings.Contains(errs, "shared/theirs.csv cannot be written: this user may not write there") {
		t.Errorf("ends with %d, %d bytes on standard output and %q", code, len(out), errs)
	}
	if after := u.all(t); !slices.Equal(before, after) {
		t.Errorf("left %q", after)
	}
}

// What this user may not read is named, with nothing on standard output.
func TestUnreadable(t *testing.T) {
	fixture.InVolumes(t, "the system refuses each file in a run of its own")
	u := newUnprivileged(t)
	u.file(t, "trace.csv", "y,z\n0,0\n")
	u.chmod(t, "trace.csv", 0)
	u.file(t, "old.json", "{}")
	u.chmod(t, "old.json", 0)
	u.yard(t, "yard")
	const mayNot = "the file may not be read by this user"
	for _, tc := range []struct {
		name string
		shut string // what is closed
		mode fs.FileMode
		want string
	}{
		{"wheels", "wheels.csv", 0, "wheels.csv:1:1: file: " + mayNot},
		{"cars", "cars.csv", 0, "cars.csv:1:1: file: " + mayNot},
		{"frogs", "frogs.csv", 0, "frogs.csv:1:1: file: " + mayNot},
		{"settings", "railroad.yaml", 0, "railroad.yaml:1:1: file: " + mayNot},
		{"limits", "ours.yaml", 0, `limits: "ours.yaml": ` + mayNot},
		{"workbook", "survey.xlsx", 0, "survey.xlsx:1:1: file: " + mayNot},
		{"folder", ".", 0, mayNot},
		{"folder that may be listed and not entered", ".", 0o444, mayNot},
		{"folder that may be entered and not listed", ".", 0o311, "the folder cannot be listed"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := strings.ReplaceAll(t.Name(), "/", "-")
			u.yard(t, dir)
			if tc.shut == "survey.xlsx" {
				u.file(t, dir+"/survey.xlsx", "")
			}
			u.chmod(t, dir+"/"+tc.shut, tc.mode)
			commands := [][]string{{"check", dir}, {"check", dir, "--summary"}}
			if tc.shut == "wheels.csv" { // the others read a survey in the same way
				commands = append(commands, []string{dir}, []string{"limits", dir},
					[]string{"plan", dir}, []string{"report", dir, "-o", "x.html"}, []string{"shape", "--survey", dir},
					[]string{"passage", "--survey", dir}, []string{"curve", "--survey", dir, "--at", "curve/C1"})
			}
			for _, args := range commands {
				want := tc.want
				if args[0] == "report" { // where it goes is tried before the survey is read
					want = "x.html cannot be written: this user may not write there"
				}
				if code, out, errs := u.run(t, args...); code != exitInput || out != "" ||
					!strings.Contains(errs, want) {
					t.Errorf("%v ends with %d, %d bytes on standard output and %q", args, code, len(out), errs)
				}
			}
		})
	}
	for _, args := range [][]string{
		{"shape", "--wheel", "trace.csv"}, {"shape", "--rail", "trace.csv"}, {"passage", "--wheel", "trace.csv"},
		{"curve", "--degree", "8", "--wheel", "trace.csv"},
	} {
		if code, out, errs := u.run(t, args...); code != exitInput || out != "" ||
			!strings.Contains(errs, "trace.csv: the file may not be read by this user") {
			t.Errorf("%v ends with %d, %d bytes on standard output and %q", args, code, len(out), errs)
		}
	}
	if code, out, errs := u.run(t, "check", "yard", "--since", "old.json"); code != exitInput || out != "" ||
		!strings.Contains(errs, "old.json: there is no report that can be read: the file may not be read by this user") {
		t.Errorf("an earlier report: %d, %d bytes on standard output and %q", code, len(out), errs)
	}
}
