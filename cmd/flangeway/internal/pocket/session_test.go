package pocket

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"flangeway/internal/survey"
)

// demo is the demo survey's files.
func demo(t testing.TB) map[string][]byte {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "..", "testdata", "demo")
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = text
	}
	return files
}

func open(t testing.TB, files map[string][]byte, day string) *Session {
	t.Helper()
	s, err := Open(files, day)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func enter(t testing.TB, s *Session, key, column, text string) Answer {
	t.Helper()
	a, err := s.Enter(Entry{key, column, text})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func (a Answer) of(check string) Verdict {
	i := slices.IndexFunc(a.Verdicts, func(v Verdict) bool { return v.Check == check })
	if i < 0 {
		return Verdict{}
	}
	return a.Verdicts[i]
}

// TestReadings: a day's readings are a new row of their own, are judged at once, and what was not read is not measured.
func TestReadings(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-10-31")
	a := enter(t, s, "frog/F4", "flangeway_depth", "1-7/8")
	if a.Wrong != "" || a.of("frog-floor").Conflict > 0 || a.of("frog-floor").Clear < 300 || a.of("frog-point").Verdict != "not measured" ||
		!slices.Contains(a.Missing, "guard_check") {
		t.Errorf("a deep frog: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "flangeway_depth", "1"); a.of("frog-floor").Verdict != "conflict" ||
		a.of("frog-floor").Conflict == 0 || len(a.of("frog-floor").Fix) == 0 {
		t.Errorf("a shallow frog: %+v", a.of("frog-floor"))
	}
	if a = enter(t, s, "frog/F4", "flangeway_depth", "8-Jan"); !strings.Contains(a.Wrong, "date") ||
		a.of("frog-floor").Verdict != "conflict" {
		t.Errorf("a date: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "guard_check", "52"); a.Wrong != "" || len(a.Odd) == 0 && a.of("frog-point").Verdict != "conflict" {
		t.Errorf("an odd guard check: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "guard_check", ""); a.of("frog-point").Verdict != "not measured" {
		t.Errorf("taken back: %+v", a.of("frog-point"))
	}
	if a = enter(t, s, "wheel/WPV 1204 L2", "flange_height", "1-7/16"); a.Wrong != "" || a.of("frog-floor").Conflict == 0 {
		t.Errorf("a high flange: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "marks", "floor_bright point_nicked"); a.Wrong != "" {
		t.Errorf("marks: %+v", a)
	}
	files, err := s.Changed()
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 2 {
		t.Fatalf("%d files changed", len(files))
	}
	row := ""
	for line := range strings.Lines(string(files["frogs.csv"])) {
		if strings.Contains(line, ",F4,") && strings.Contains(line, "2026-10-31") {
			row = line
		}
	}
	if row != "Pinder yard west lead,F4,8,rbm,1,,,,fair,1,,,,,,,,2026-10-31,,floor_bright point_nicked\n" {
		t.Errorf("the row of today is %q", row)
	}
	all, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for name, text := range all {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := survey.Read(dir); err != nil {
		t.Error(err)
	}
}

// TestKept: what was kept is taken again, whole; what cannot be taken is given back and takes nothing with it.
func TestKept(t *testing.T) {
	t.Parallel()
	files := demo(t)
	one, other := open(t, files, "2026-10-31"), open(t, files, "2026-10-31")
	list := []Entry{{"frog/F4", "flangeway_depth", "1-5/8"}, {"frog/F4", "guard_check", "54-5/8"}, {"joint/J1", "bar_depth", "1-1/4"}}
	for _, e := range list {
		enter(t, one, e.Key, e.Column, e.Text)
	}
	if refused := other.Take(append(list, Entry{"frog/NONE", "gauge", "57"}, Entry{"frog/F1", "gauge", "1/2"})); len(refused) != 2 {
		t.Errorf("refused: %v", refused)
	}
	a, err := one.Changed()
	if err != nil {
		t.Fatal(err)
	}
	b, err := other.Changed()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range a {
		if string(b[name]) != string(text) {
			t.Errorf("%s is\n%s\nand was\n%s", name, b[name], text)
		}
	}
}

// TestWalkingOrder: every place and every wheel once, a location in one piece.
func TestWalkingOrder(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-10-31")
	seen, done, last := map[string]bool{}, map[string]bool{}, ""
	for _, x := range s.Things() {
		if seen[x.Key] || len(x.Columns) == 0 {
			t.Errorf("%s stands twice or has nothing to read", x.Key)
		}
		seen[x.Key] = true
		if x.Location != last {
			if done[x.Location] {
				t.Errorf("%s is walked to twice", x.Location)
			}
			done[x.Location], last = true, x.Location
		}
	}
	if len(seen) != len(s.sv.Track.Features)+len(s.sv.Fleet.Wheels) {
		t.Errorf("%d things, %d places and %d wheels", len(seen), len(s.sv.Track.Features), len(s.sv.Fleet.Wheels))
	}
}

func BenchmarkEnter(b *testing.B) {
	s := open(b, demo(b), "2026-10-31")
	for range b.N {
		enter(b, s, "frog/F4", "flangeway_depth", "1-7/8")
	}
}
