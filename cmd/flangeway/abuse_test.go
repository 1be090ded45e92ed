package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
)

// sheetsOf writes a survey folder.
func sheetsOf(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

const (
	goodWheels = "car,position,flange_height\nA 1,L1,1.2\nA 1,R1,1.5\n"
	goodFrogs  = "location,frog,flangeway_depth\nYard,F1,1.3\n"
)

// TestDefectiveFiles: a defective file ends both kinds of check with its place on
// standard error, nothing on standard output and exit code 3.
func TestDefectiveFiles(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		name   string
		spoil  func(t *testing.T, dir string)
		want   string
		reason string
	}{
		{"ten million columns", write("wheels.csv", strings.Repeat(",", 10_000_000)+"\n"),
			"wheels.csv:1:257: row: too many cells in a row", "a row is bounded"},
		{"a heading and a line without end", write("wheels.csv", "car,position\n"+strings.Repeat("x", 20<<20)),
			"wheels.csv:2:1: row: a cell is too long", "a cell is bounded"},
		{"a quote without end", write("wheels.csv", "car,position\n\""+strings.Repeat("x\n", 10<<20)),
			"wheels.csv:2:1: row: a quote that never closes", "said where it opens"},
		{"a quote that closes far behind", write("wheels.csv", "car,position\n\""+strings.Repeat("x\n", 10<<20)+
			"\",L1\n"), "wheels.csv:2:1: row: a cell is too long", "it does close"},
		{"NUL bytes", write("wheels.csv", "car,position\nA,L1\n\x00\x00\x00,L1\n"), "wheels.csv:3:1: row: a NUL byte",
			"no text file"},
		{"half-written", write("wheels.csv", goodWheels+"A 2,L1"),
			"wheels.csv:4:5: row: the row has 2 cells under 3 headings", "the line is cut off"},
		{"empty file", write("wheels.csv", ""), "wheels.csv:1:1: heading: there is no heading line",
			"an empty sheet is no sheet"},
		{"many blank lines", write("wheels.csv", strings.Repeat("\n", 5<<20)),
			"wheels.csv:1:1: heading: there is no heading line", "blank lines are passed over"},
		{"folder in place of the wheels", folder("wheels.csv"),
			"wheels.csv:1:1: file: it is a folder or a device, not a file", "said in words"},
		{"folder in place of the frogs", folder("frogs.csv"),
			"frogs.csv:1:1: file: it is a folder or a device, not a file", "said in words"},
		{"folder in place of the settings", folder("railroad.yaml"),
			"railroad.yaml:1:1: file: it is a folder or a device, not a file", "said in words"},
		{"loop of links", func(t *testing.T, dir string) {
			if runtime.GOOS == "windows" {
				t.Skip("links need a privilege there")
			}
			os.Remove(filepath.Join(dir, "wheels.csv"))
			for _, pair := range [][2]string{{"wheels.csv", "other"}, {"other", "wheels.csv"}} {
				if err := os.Symlink(pair[0], filepath.Join(dir, pair[1])); err != nil {
					t.Fatal(err)
				}
			}
		}, "wheels.csv:1:1: file: the file cannot be read", "no endless search"},
		{"bytes of another encoding", write("frogs.csv", "location,frog,note\nYard,F1,\xff\xfe\n"),
			"frogs.csv:2:9: row: bytes that are not UTF-8 text", "not guessed"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs})
			tc.spoil(t, dir)
			for _, args := range [][]string{{"check", dir}, {"check", dir, "--summary"}} {
				var out, errs bytes.Buffer
				if code := run(args, nil, &out, &errs); code != exitInput || out.Len() > 0 ||
					!strings.Contains(errs.String(), tc.want) {
					t.Errorf("%v ends with %d, %d bytes on standard output and %.300q; want %q (%s)", args[2:], code,
						out.Len(), errs.String(), tc.want, tc.reason)
				}
				if errs.Len() > 64<<10 {
					t.Errorf("%v prints %d bytes of errors", args[2:], errs.Len())
				}
			}
		})
	}
}

func write(name, text string) func(*testing.T, string) {
	return func(t *testing.T, dir string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func folder(name string) func(*testing.T, string) {
	return func(t *testing.T, dir string) {
		os.Remove(filepath.Join(dir, name))
		if err := os.Mkdir(filepath.Join(dir, name), 0o755); err != nil {
			t.Fatal(err)
		}
	}
}

// TestUnreadableByThisUser: a sheet that the user may not read is named.
func TestUnreadableByThisUser(t *testing.T) {
	if runtime.GOOS == "windows" || os.Getuid() == 0 {
		t.Skip("this user may read everything")
	}
	dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs})
	if err := os.Chmod(filepath.Join(dir, "wheels.csv"), 0); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"check", dir}, {"check", dir, "--summary"}} {
		var out, errs bytes.Buffer
		if code := run(args, nil, &out, &errs); code != exitInput || out.Len() > 0 ||
			!strings.Contains(errs.String(), "wheels.csv: the file may not be read by this user") {
			t.Errorf("%v ends with %d and %q", args, code, errs.String())
		}
	}
}

// TestTwoRunsOneOutput: two runs that write one file leave the whole file of one of them, and no other file.
func TestTwoRunsOneOutput(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "drawing.svg")
	texts := []string{strings.Repeat("a", 1<<20), strings.Repeat("b", 1<<20)}
	var wait sync.WaitGroup
	for _, text := range texts {
		wait.Go(func() {
			for range 20 {
				if err := writeWhole(name, []byte(text)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	got, err := os.ReadFile(name)
	if err != nil || string(got) != texts[0] && string(got) != texts[1] {
		t.Errorf("the file holds %d bytes of both, %v", len(got), err)
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 1 {
		t.Errorf("%d files were left, %v", len(entries), err)
	}
}
