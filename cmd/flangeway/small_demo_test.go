package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/internal/fixture"
)

// volume says that the whole demo is computed where a small one serves too.
func volume() bool { return fixture.Volume() }

// demoCars are the cars of the small demo: those that the README names.
func demoCars() []string { return []string{"WPV 1204", "WPV 1188", "WPV 60"} }

// demoPlaces are the places of the least demo: those that the README names, by location or by feature.
func demoPlaces() []string { return []string{"Rip track", "Quarry branch MP 5.8", "F4"} }

// briefly has shape look at small shifts alone, which takes a third of the time; with FLANGEWAY_VOLUME at all.
func briefly(args ...string) []string {
	if !volume() && args[0] == "shape" {
		return append(args, "--max-shift", "1")
	}
	return args
}

// smallDemo is the demo with the wheels of a few cars, in a folder of its own: what takes seconds with all fifty cars
// is computed in a fraction. With FLANGEWAY_VOLUME it is the demo itself.
func smallDemo(t *testing.T) string {
	t.Helper()
	if volume() {
		return wholeDemo(t)
	}
	return fewCars(t)
}

// fewCars is the demo with the wheels of a few cars.
func fewCars(t *testing.T) string {
	t.Helper()
	return partOfDemo(t, []string{"wheels.csv", "cars.csv"},
		func(_, car, _ string) bool { return slices.Contains(demoCars(), car) })
}

func wholeDemo(t *testing.T) string {
	t.Helper()
	dir, err := filepath.Abs(demo)
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// leastDemo is the demo with a few cars at a few places and at those that are named; with FLANGEWAY_VOLUME the demo
// itself.
func leastDemo(t *testing.T, more ...string) string {
	t.Helper()
	if volume() {
		return wholeDemo(t)
	}
	return fewPlaces(t, more...)
}

// fewPlaces is the demo with a few cars at a few places, and at those that are named.
func fewPlaces(t *testing.T, more ...string) string {
	t.Helper()
	places := append(demoPlaces(), more...)
	track := []string{"frogs.csv", "switches.csv", "curves.csv", "joints.csv", "gauge.csv"}
	return partOfDemo(t, append(track, "wheels.csv", "cars.csv"), func(file, first, second string) bool {
		if slices.Contains(track, file) {
			return slices.Contains(places, first) || slices.Contains(places, second)
		}
		return slices.Contains(demoCars(), first)
	})
}

// partOfDemo copies the demo with the rows of some files that are kept by their first two cells.
func partOfDemo(t *testing.T, files []string, keep func(file, first, second string) bool) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "demo")
	if err := os.CopyFS(dir, os.DirFS(wholeDemo(t))); err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		file := filepath.Join(dir, name)
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		heading, rows, _ := strings.Cut(string(b), "\n")
		kept := []string{heading}
		for row := range strings.Lines(rows) {
			cells := strings.SplitN(row, ",", 3)
			if len(cells) == 3 && keep(name, cells[0], cells[1]) {
				kept = append(kept, strings.TrimSuffix(row, "\n"))
			}
		}
		if len(kept) == 1 {
			t.Fatalf("%s of the small demo has no row", name)
		}
		if err := os.WriteFile(file, []byte(strings.Join(kept, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	partOfRoutes(t, dir)
	return dir
}

// partOfRoutes leaves out of tracks.csv and jobs.csv what the other sheets of a folder no longer have.
func partOfRoutes(t *testing.T, dir string) {
	t.Helper()
	rows := func(name string) [][]string {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		r := csv.NewReader(bytes.NewReader(b))
		r.FieldsPerRecord, r.LazyQuotes = -1, true
		list, err := r.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	there := map[string]bool{}
	for kind, name := range map[string]string{"frog": "frogs", "switch": "switches", "curve": "curves",
		"joint": "joints", "spot": "gauge"} {
		for _, r := range rows(name + ".csv")[1:] {
			there[r[0]], there[kind+"/"+r[1]] = true, true
		}
	}
	for _, r := range rows("cars.csv")[1:] {
		there[r[0]], there[r[6]] = true, true
	}
	write := func(name string, list [][]string) {
		var b bytes.Buffer
		if err := csv.NewWriter(&b).WriteAll(list); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	tracks := rows("tracks.csv")
	tracks = append(tracks[:1], slices.DeleteFunc(tracks[1:], func(r []string) bool { return !there[r[2]+r[3]] })...)
	for _, r := range tracks[1:] {
		there[r[0]] = true
	}
	write("tracks.csv", tracks)
	jobs := rows("jobs.csv")
	for _, r := range jobs[1:] {
		for i := 1; i <= 3; i++ {
			r[i] = strings.Join(slices.DeleteFunc(strings.Split(r[i], "; "), func(s string) bool { return !there[s] }),
				"; ")
		}
	}
	write("jobs.csv", append(jobs[:1], slices.DeleteFunc(jobs[1:], func(r []string) bool { return r[1] == "" })...))
}

// The demo by the plain rules, which many tests look at, is made once for all of them: in each format and as a page.
var (
	plainDemos = map[string]func() (string, error){
		"text": plainCheck("text"), "markdown": plainCheck("markdown"), "csv": plainCheck("csv"),
		"json": plainCheck("json"),
	}
	plainPage = sync.OnceValues(func() (string, error) {
		dir, err := os.MkdirTemp("", "flangeway")
		if err != nil {
			return "", err
		}
		defer os.RemoveAll(dir)
		file := filepath.Join(dir, "review.html")
		if _, err := answered("report", demo, "--plain", "--appendix", "-o", file); err != nil {
			return "", err
		}
		b, err := os.ReadFile(file)
		return string(b), err
	})
)

// computed is what check computes of the least demo, made once for the tests that look at it, since this takes longer
// than all else they do: the result, and what is printed of it.
type computed struct {
	judged
	text, pairs string // the whole in words; every pair as csv
}

var leastOnce struct {
	sync.Once
	computed
	err error
}

// computedLeast gives the result to one test alone, the printed text to any.
func computedLeast(t *testing.T) computed {
	t.Helper()
	l := &leastOnce
	l.Do(func() {
		dir, text, pairs := demo, bytes.Buffer{}, bytes.Buffer{}
		if !volume() {
			dir = fewPlaces(t)
		}
		if l.judged, l.err = (checkOptions{}).judge(&progress{}, dir); l.err != nil {
			return
		}
		all := l.judged
		all.AllPairs = true
		l.err = errors.Join(l.write(t.Context(), &text, paper.Screen{}, checkOptions{format: "text"}, dir),
			all.write(t.Context(), &pairs, paper.Screen{}, checkOptions{format: "csv"}, dir))
		l.text, l.pairs = text.String(), pairs.String()
	})
	if l.err != nil || l.text == "" {
		t.Fatal("the least demo is not computed: ", l.err)
	}
	return l.computed
}

func plainCheck(format string) func() (string, error) {
	return sync.OnceValues(func() (string, error) {
		return answered("check", demo, "--plain", "--format", format, "--fail-on", "never")
	})
}

// answered is the standard output of a run that must end well.
func answered(args ...string) (string, error) {
	var out, errw bytes.Buffer
	if code := run(args, nil, &out, &errw); code != exitOK {
		return "", fmt.Errorf("%v: exit code %d: %s", args, code, errw.String())
	}
	return out.String(), nil
}

// plainDemo is what check prints of the demo by the plain rules in a format.
func plainDemo(t *testing.T, format string) string {
	t.Helper()
	made := plainDemos[format]
	if made == nil {
		t.Fatalf("the demo is not kept as %s", format)
	}
	out, err := made()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// plainReport is the page of the demo by the plain rules, as a file of the test's own.
func plainReport(t *testing.T) string {
	t.Helper()
	html, err := plainPage()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "review.html")
	if err := os.WriteFile(file, []byte(html), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}
