package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// hold opens a file as a program does that lets nobody else have it.
func hold(t *testing.T, name string) {
	t.Helper()
	p, err := syscall.UTF16PtrFromString(name)
	if err != nil {
		t.Fatal(err)
	}
	h, err := syscall.CreateFile(p, syscall.GENERIC_READ, 0, nil, syscall.OPEN_EXISTING,
		syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := syscall.CloseHandle(h); err != nil {
			t.Error(err)
		}
	})
}

// A sheet that is open in a program which keeps it to itself.
func TestHeldSheet(t *testing.T) {
	for _, name := range []string{"wheels.csv", "frogs.csv", "railroad.yaml"} {
		t.Run(name, func(t *testing.T) {
			dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs,
				"railroad.yaml": "schema: 1\n"})
			hold(t, filepath.Join(dir, name))
			for _, args := range [][]string{{"check", dir}, {"check", dir, "--summary"}} {
				var out, errs bytes.Buffer
				if code := run(args, nil, &out, &errs); code != exitInput || out.Len() > 0 ||
					!strings.Contains(errs.String(), name+": the file is open in another program") {
					t.Errorf("%v ends with %d, %d bytes and %q", args[2:], code, out.Len(), errs.String())
				}
			}
		})
	}
}

// A result that is still open: it stays, and nothing is left beside it.
func TestHeldResult(t *testing.T) {
	dir := sheetsOf(t, map[string]string{"result.xlsx": "old"})
	name := filepath.Join(dir, "result.xlsx")
	t.Run("held", func(t *testing.T) {
		hold(t, name)
		if err := writeWhole(name, []byte("new")); err == nil ||
			!strings.Contains(err.Error(), "result.xlsx cannot be replaced: it is open in another program") {
			t.Errorf("%v", err)
		}
	})
	entries, err := os.ReadDir(dir)
	if b, _ := os.ReadFile(name); string(b) != "old" || err != nil || len(entries) != 1 {
		t.Errorf("%q stands among %d files, %v", b, len(entries), err)
	}
}
