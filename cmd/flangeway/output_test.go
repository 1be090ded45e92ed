package main

import (
	"os"
	"path/filepath"
	"testing"
)

// An output file is written whole or not at all, never over an input, and a failed
// run leaves nothing behind.
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
