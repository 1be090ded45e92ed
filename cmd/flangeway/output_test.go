package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// An output file is written whole or not at all, never over an input, and a failed run leaves nothing behind.
func TestWriteWhole(t *testing.T) {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "trace.csv"), filepath.Join(dir, "axle.svg")
	if err := os.WriteFile(in, []byte("x,y\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := writeWhole(out, []byte("one"), in); err != nil {
		t.Fatal(err)
	}
	if err := writeWhole(out, []byte("two"), in); err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(out); err != nil || string(b) != "two" {
		t.Errorf("%q, %v", b, err)
	}
	if err := writeWhole(filepath.Join(dir, ".", "trace.csv"), []byte("lost"), in); err == nil {
		t.Error("an input was written over")
	}
	if b, err := os.ReadFile(in); err != nil || string(b) != "x,y\n" {
		t.Errorf("the input is now %q, %v", b, err)
	}
	if err := writeWhole(dir, []byte("x")); err == nil {
		t.Error("a folder was written over")
	}
	if err := writeWhole(filepath.Join(dir, "no", "such", "a.svg"), []byte("x")); err == nil {
		t.Error("a file in no folder was written")
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 2 {
		t.Errorf("%d files are left, want the two", len(entries))
	}
}

// No result, page or drawing is written over a file that belongs to the survey, by whatever name it goes.
func TestInputsStay(t *testing.T) {
	t.Parallel()
	files := map[string]string{
		"railroad.yaml": "schema: 1\nlimits: [federal, ours.yaml]\n",
		"ours.yaml":     "schema: 1\ntitle: ours\nrules: []\n",
		"wheels.csv":    "car,position,flange_height,tread_hollow\nA 1,L1,1.2,1\nA 1,R1,1.5,2\n",
		"cars.csv":      "car,kind\nA 1,freight\n",
		"frogs.csv":     "location,frog,number,flangeway_depth\nYard,F1,8,1.3\n",
		"curves.csv":    "location,curve,degree,gauge\nYard,C1,10,56-1/2\n",
	}
	dir := sheetsOf(t, files)
	names := []string{filepath.Join(dir, "wheels.csv"), filepath.Join(dir, "ours.yaml"),
		filepath.Join(dir, "railroad.yaml"), filepath.Join(dir, "..", filepath.Base(dir), "frogs.csv")}
	other := t.TempDir()
	if runtime.GOOS != "windows" { // links need a privilege there
		for name, link := range map[string]func(string, string) error{"soft": os.Symlink, "hard": os.Link} {
			if err := link(filepath.Join(dir, "curves.csv"), filepath.Join(other, name)); err != nil {
				t.Fatal(err)
			}
			names = append(names, filepath.Join(other, name))
		}
	}
	for k, args := range [][]string{
		{"check", dir, "--format", "csv", "-o"}, {"check", dir, "--summary", "--format", "csv", "-o"},
		{"report", dir, "-o"},
		{"plan", dir, "--draw"}, {"plan", dir, "--orders", "--what-if", "drop car A 1", "--draw"},
		{"shape", "--survey", dir, "--draw"}, {"passage", "--survey", dir, "--draw"},
		{"curve", "--survey", dir, "--at", "curve/C1", "--draw"}, {"curve", "--survey", dir, "--at", "curve/C1",
			"--sweep", "mu", "--draw"}, {"curve", "--survey", dir, "--sweep", "hollow", "--draw"},
	} {
		// One name each where the command computes, all of them in turn; every command with
		// every name with FLANGEWAY_VOLUME.
		for i, name := range names {
			if !volume() && !slices.Contains(args, "--summary") && i != k%len(names) {
				continue
			}
			args := append(args[:len(args):len(args)], name)
			if strings.HasSuffix(name, ".yaml") && args[0] == "check" {
				args = append(args, "--format", "text")
			}
			if hasPlain(args) && !volume() {
				args = append(args, "--plain")
			}
			var out, errs bytes.Buffer
			if code := run(args, nil, &out, &errs); code != exitInput || out.Len() > 0 ||
				!strings.Contains(errs.String(), "is an input and would be lost") {
				t.Errorf("%v ends with %d and %q", args, code, errs.String())
			}
			for file, text := range files {
				if b, err := os.ReadFile(filepath.Join(dir, file)); err != nil || string(b) != text {
					t.Fatalf("%v left of %s %.100q, %v", args, file, b, err)
				}
			}
		}
	}
}

// The output's name is a link: it stays, and the file behind it is written, also where
// none stands yet. Links that lead nowhere are told.
func TestWriteThroughLinks(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("links need a privilege there")
	}
	top := t.TempDir()
	at := func(name string) string { return filepath.Join(top, name) }
	for _, dir := range []string{"here", "there"} {
		if err := os.Mkdir(at(dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(at("there/old.csv"), []byte("old"), 0o640); err != nil {
		t.Fatal(err)
	}
	for link, to := range map[string]string{
		"here/old.csv": "../there/old.csv", "here/new.csv": at("there/new.csv"), "here/twice.csv": "old.csv",
		"linked": "here", "a": "b", "b": "a", "gone": "no/such/file",
	} {
		if err := os.Symlink(to, at(link)); err != nil {
			t.Fatal(err)
		}
	}
	for _, tc := range []struct{ name, behind, want, reason string }{
		{"here/old.csv", "there/old.csv", "", "beside the link, not beside the program"},
		{"here/new.csv", "there/new.csv", "", "none stands there yet"},
		{"here/twice.csv", "there/old.csv", "", "a link to a link"},
		{"linked/old.csv", "there/old.csv", "", "its folder is a link too"},
		{"a", "", "its links lead round in a circle", "no end"},
		{"gone", "", "there is no such folder", "to a folder that is none"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			err := writeWhole(at(tc.name), []byte(tc.name))
			if tc.want != "" {
				if err == nil || !strings.Contains(err.Error(), at(tc.name)+" cannot be written: "+tc.want) {
					t.Errorf("%v (%s)", err, tc.reason)
				}
				return
			}
			if b, readErr := os.ReadFile(at(tc.behind)); err != nil || readErr != nil || string(b) != tc.name {
				t.Errorf("%q stands there, %v, %v (%s)", b, err, readErr, tc.reason)
			}
		})
	}
	for _, link := range []string{"here/old.csv", "here/new.csv", "here/twice.csv", "linked", "a", "b", "gone"} {
		if info, err := os.Lstat(at(link)); err != nil || info.Mode()&os.ModeSymlink == 0 {
			t.Errorf("%s is no link any more, %v", link, err)
		}
	}
	if left, err := os.ReadDir(at("there")); err != nil || len(left) != 2 {
		t.Errorf("%d files stand there, want the two, %v", len(left), err)
	}
}

// Who may read a file is left to its owner: of an old one it stays, of a new one the
// system decides. A protected file is not replaced.
func TestWhoMayRead(t *testing.T) {
	dir := t.TempDir()
	old, shut := filepath.Join(dir, "old.csv"), filepath.Join(dir, "shut.csv")
	for name, mode := range map[string]os.FileMode{old: 0o600, shut: 0o444} {
		if err := os.WriteFile(name, []byte("old"), mode); err != nil {
			t.Fatal(err)
		}
	}
	before, err := os.Stat(old)
	if err != nil {
		t.Fatal(err)
	}
	if err := writeWhole(old, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if after, err := os.Stat(old); err != nil || after.Mode() != before.Mode() {
		t.Errorf("it was %v and is %v, %v", before.Mode(), after.Mode(), err)
	}
	plain, made := filepath.Join(dir, "plain.csv"), filepath.Join(dir, "made.csv")
	if err := os.WriteFile(plain, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := writeWhole(made, nil); err != nil {
		t.Fatal(err)
	}
	a, errA := os.Stat(plain)
	b, errB := os.Stat(made)
	if errA != nil || errB != nil || a.Mode() != b.Mode() {
		t.Errorf("a file of the system is %v, ours %v", a.Mode(), b.Mode())
	}
	if err := writeWhole(shut, []byte("new")); err == nil ||
		!strings.Contains(err.Error(), "shut.csv is protected against writing") {
		t.Errorf("a protected file: %v", err)
	}
	if b, err := os.ReadFile(shut); err != nil || string(b) != "old" {
		t.Errorf("the protected file holds %q, %v", b, err)
	}
}
