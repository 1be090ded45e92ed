package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// volume says that the whole demo is computed where a small one serves too, as .ci/run
// does once without the race detector.
func volume() bool { return os.Getenv("FLANGEWAY_VOLUME") != "" }

// demoCars are the cars of the small demo: those that the README names.
func demoCars() []string { return []string{"WPV 1204", "WPV 1188", "WPV 60"} }

// smallDemo is the demo with the wheels of a few cars, in a folder of its own: what takes
// seconds with all fifty cars is computed in a fraction. With FLANGEWAY_VOLUME it is the
// demo itself.
func smallDemo(t *testing.T) string {
	t.Helper()
	whole, err := filepath.Abs(demo)
	if err != nil {
		t.Fatal(err)
	}
	if volume() {
		return whole
	}
	dir := filepath.Join(t.TempDir(), "demo")
	if err := os.CopyFS(dir, os.DirFS(whole)); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"wheels.csv", "cars.csv"} {
		file := filepath.Join(dir, name)
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		heading, rows, _ := strings.Cut(string(b), "\n")
		kept := []string{heading}
		for row := range strings.Lines(rows) {
			if car, _, _ := strings.Cut(row, ","); slices.Contains(demoCars(), car) {
				kept = append(kept, strings.TrimSuffix(row, "\n"))
			}
		}
		if len(kept) <= len(demoCars()) {
			t.Fatalf("%s of the small demo has %d rows", name, len(kept)-1)
		}
		if err := os.WriteFile(file, []byte(strings.Join(kept, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}
