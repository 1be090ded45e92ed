package survey

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// folder writes files into a folder of the test.
func folder(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// mergedFiles are the files of a merged survey by name.
func mergedFiles(t testing.TB, a, b string) map[string]string {
	t.Helper()
	m, err := Merge(a, b)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range m.Files {
		if _, twice := out[f.Name]; twice {
			t.Errorf("the file %s stands twice", f.Name)
		}
		out[f.Name] = string(f.Data)
	}
	return out
}

func TestMergeRows(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	const heads = "car,position,date,flange_height,tread_hollow,note\n"
	for name, c := range map[string]struct {
		a, b, want string // of wheels.csv
		fault      string // part of the one error
	}{
		"history joined": {heads + "A 1,L1,2026-01-02,1-1/8,2,\n", heads + "A 1,L1,2026-03-04,1-3/16,,\n",
			heads + "A 1,L1,2026-01-02,1-1/8,2,\nA 1,L1,2026-03-04,1-3/16,,\n", ""},
		"equal rows once, written in two ways": {heads + "A 1,L1,2026-01-02,1-1/8,2,\n",
			"date,car,position,flange_height\n2026-01-02,A  1,l1,1 1/8\n", heads + "A  1,L1,2026-01-02,1 1/8,2,\n", ""},
		"what one left open": {heads + "A 1,L1,2026-01-02,1-1/8,-,\n", heads + "A 1,L1,2026-01-02,n/m,2.5,\n",
			heads + "A 1,L1,2026-01-02,1-1/8,2.5,\n", ""},
		"notes are kept both": {heads + "A 1,L1,2026-01-02,1-1/8,,wet\n", heads + "A 1,L1,2026-01-02,1-1/8,,by lamp\n",
			heads + "A 1,L1,2026-01-02,1-1/8,,by lamp; wet\n", ""},
		"other cars": {heads + "B 2,L1,,1-1/8,,\nA 1,L1,,1-1/8,,\n", heads + "B 2,L1,,1-1/8,,\nC 3,R1,,1-1/8,,\n",
			heads + "B 2,L1,,1-1/8,,\nA 1,L1,,1-1/8,,\nC 3,R1,,1-1/8,,\n", ""},
		"none is a value": {heads + "A 1,L1,2026-01-02,1-1/8,none,\n", heads + "A 1,L1,2026-01-02,1-1/8,,\n",
			heads + "A 1,L1,2026-01-02,1-1/8,none,\n", ""},
		"another value": {heads + "A 1,L1,2026-01-02,1-1/8,2,\n", heads + "A 1,L1,2026-01-02,1-3/16,2,\n", "",
			`wheels.csv:2:19: flange_height: "1-1/8" here, and "1-3/16" in `},
		"another value, undated": {heads + "A 1,L1,,1-1/8,2,\n", heads + "A 1,L1,,1-1/8,3,\n", "",
			`wheels.csv:2:15: tread_hollow: "2" here, and "3" in `},
		"a closer reading is another one": {heads + "A 1,L1,2026-01-02,1-1/8,2,\n",
			heads + "A 1,L1,2026-01-02,1.1250,2,\n", "", `flange_height: "1-1/8" here, and "1.1250" in `},
		"a row without a date beside one with it": {heads + "A 1,L1,,1-1/8,2,\n",
			heads + "A 1,L1,2026-01-02,1-1/8,3,\n", "", `wheels.csv:2: date: the row has no date, and `},
		"a survey that is wrong by itself": {heads + "A 1,L1,,1/8/2026,2,\n", heads + "A 1,L1,2026-01-02,1-1/8,3,\n",
			"", `wheels.csv:2:9: flange_height: `},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, b := folder(t, map[string]string{"wheels.csv": c.a}), folder(t, map[string]string{"wheels.csv": c.b})
			for _, x := range [][2]string{{a, b}, {b, a}} {
				m, err := Merge(x[0], x[1])
				var list measure.ProblemsError
				switch {
				case c.fault != "":
					if !errors.As(err, &list) || len(list) != 1 || !strings.Contains(strings.ReplaceAll(err.Error(), b,
						a), c.fault) || !strings.HasPrefix(err.Error(), a) && !strings.HasPrefix(err.Error(), b) {
						t.Errorf("error %v, want %s", err, c.fault)
					}
				case err != nil:
					t.Fatal(err)
				case string(m.Files[0].Data) != c.want:
					t.Errorf("got\n%swant\n%s", m.Files[0].Data, c.want)
				}
			}
		})
	}
}

func TestMergeRailroad(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	const wheels = "car,position,flange_height\nA 1,L1,1-1/8\n"
	for name, c := range map[string]struct{ a, b, fault string }{
		"the same":              {"schema: 1\ndate: 2026-01-02\n", "# ours\ndate: 2026-01-02\nschema: 1\n", ""},
		"another date":          {"schema: 1\ndate: 2026-01-02\n", "schema: 1\ndate: 2026-01-05\n", ""},
		"in one alone":          {"schema: 1\nrailroad: X\n", "", ""},
		"a key without a value": {"schema: 1\nrailroad: \"\"\n", "schema: 1\n", ""},
		"another value": {"schema: 1\ntrack_class: 1\n", "schema: 1\n\ntrack_class: 2\n",
			": track_class: another value stands in "},
		"a key in one": {"schema: 1\ntrack_class: 1\n", "schema: 1\n",
			"railroad.yaml:2:1: track_class: the key is missing in "},
		"how readings are read, in none": {"schema: 1\nreading_error: {flange_height: 1/8}\n", "",
			"reading_error: it says how readings are read, and "},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var dirs []string
			for _, text := range []string{c.a, c.b} {
				files := map[string]string{"wheels.csv": wheels}
				if text != "" {
					files["railroad.yaml"] = text
				}
				dirs = append(dirs, folder(t, files))
			}
			for _, x := range [][2]string{{dirs[0], dirs[1]}, {dirs[1], dirs[0]}} {
				m, err := Merge(x[0], x[1])
				if name == "another date" && err == nil && !slices.ContainsFunc(m.Files, func(f BlankFile) bool {
					return f.Name == railroadFile && string(f.Data) == c.b
				}) {
					t.Errorf("the later date does not hold: %v", m.Files)
				}
				if c.fault == "" && err != nil || c.fault != "" &&
					(err == nil || !strings.Contains(err.Error(), c.fault)) {
					t.Errorf("error %v, want %q", err, c.fault)
				}
			}
		})
	}
}

// drawnSheet is a sheet of some wheels on some days, in any order.
func drawnSheet(r *rand.Rand) string {
	rows := map[string]string{}
	for range 1 + r.IntN(8) {
		key := fmt.Sprintf("A %d,%s%d,2026-0%d-01", r.IntN(3), []string{"L", "R"}[r.IntN(2)], 1+r.IntN(2), 1+r.IntN(3))
		rows[key] = key + "," + []string{"", "1-1/8", "1 1/8", "1.125", "<1-1/4", "n/m"}[r.IntN(6)] + "," + []string{"",
			"2", "none"}[r.IntN(3)] + "," + []string{"", "wet", `"=cmd|' /C calc'!A0"`, "a; b"}[r.IntN(4)] + "\n"
	}
	list := slices.Collect(maps.Values(rows))
	slices.Sort(list)
	r.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
	return "car,position,date,flange_height,tread_hollow,note\n" + strings.Join(list, "")
}

// TestMergeHolds: a survey merged with itself is itself, the order of the two makes no difference, and merged again
// with either nothing changes any more.
func TestMergeHolds(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	merged, refused := 0, 0
	for seed := range fixture.Drawn(3, 12) {
		r := rand.New(rand.NewPCG(seed, 1883))
		textA, textB := drawnSheet(r), drawnSheet(r)
		a, b := folder(t, map[string]string{"wheels.csv": textA}), folder(t, map[string]string{"wheels.csv": textB})
		if got := mergedFiles(t, a, a); got["wheels.csv"] != textA {
			t.Errorf("seed %d: merged with itself\n%s\nis\n%s", seed, textA, got["wheels.csv"])
		}
		_, err := Merge(a, b)
		_, back := Merge(b, a)
		if (err == nil) != (back == nil) {
			t.Fatalf("seed %d: %v, the other way %v", seed, err, back)
		}
		if err != nil {
			refused++
			if strings.Count(err.Error(), "\n") != strings.Count(back.Error(), "\n") {
				t.Errorf("seed %d: %v, the other way %v", seed, err, back)
			}
			continue
		}
		merged++
		one, other := mergedFiles(t, a, b), mergedFiles(t, b, a)
		if one["wheels.csv"] != other["wheels.csv"] {
			t.Errorf("seed %d: A and B are\n%s\nB and A are\n%s", seed, one["wheels.csv"], other["wheels.csv"])
		}
		both := folder(t, one)
		for _, x := range []string{a, b, both} {
			if again := mergedFiles(t, both, x); again["wheels.csv"] != one["wheels.csv"] {
				t.Errorf("seed %d: merged again\n%s\nis\n%s", seed, one["wheels.csv"], again["wheels.csv"])
			}
		}
		s, err := Read(both)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Fleet.Wheels) == 0 {
			t.Errorf("seed %d: no wheel is left", seed)
		}
	}
	if merged == 0 || refused == 0 {
		t.Errorf("%d were merged, %d refused", merged, refused)
	}
}

// TestMergeBesides: limits and traces come along, two files of one name do not.
func TestMergeBesides(t *testing.T) {
	t.Parallel()
	const wheels = "car,position,flange_height,profile\nA 1,%s,1-1/8,traces/%s.csv\n"
	trace := fixture.Traced(wornWheel(t).Outline)
	a := folder(t, map[string]string{"wheels.csv": fmt.Sprintf(wheels, "L1", "one"), "traces/one.csv": trace})
	b := folder(t, map[string]string{"wheels.csv": fmt.Sprintf(wheels, "R1", "two"), "traces/two.csv": trace + "# b\n"})
	c := folder(t, map[string]string{"wheels.csv": fmt.Sprintf(wheels, "R1", "one"), "traces/one.csv": trace + "# c\n"})
	got := mergedFiles(t, a, b)
	if got[filepath.FromSlash("traces/one.csv")] != trace ||
		got[filepath.FromSlash("traces/two.csv")] != trace+"# b\n" {
		t.Errorf("the traces are %v", slices.Sorted(maps.Keys(got)))
	}
	if _, err := Merge(a, c); err == nil || !strings.Contains(err.Error(), "the file is another one than") {
		t.Errorf("two traces of one name: %v", err)
	}
}

// TestMergeOrigin: what only the two together get wrong is named where it stood.
func TestMergeOrigin(t *testing.T) {
	t.Parallel()
	a := folder(t, map[string]string{"wheels.csv": "car,position,flange_height,back_to_back\nB 1,L1,1-1/8,\nA " +
		"1,L1,1-1/8,53-1/4\n"})
	b := folder(t, map[string]string{"wheels.csv": "car,position,back_to_back\nA 1,R1,53-3/8\n"})
	m, err := Merge(a, b)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range m.Files {
		files[f.Name] = string(f.Data)
	}
	_, err = Read(folder(t, files))
	var list measure.ProblemsError
	if !errors.As(err, &list) || len(list) == 0 {
		t.Fatalf("two values of one axle: %v", err)
	}
	if p := m.Origin(*list[0]); p.Place.File != filepath.Join(b, "wheels.csv") || p.Place.Line != 2 ||
		p.Place.Col != 8 {
		t.Errorf("%v is named at %v", list[0], p.Place)
	}
}

func FuzzMerge(f *testing.F) {
	f.Add([]byte("car,position,date,flange_height,note\nA 1,L1,2026-01-02,1-1/8,\"a\nb\"\n"),
		[]byte("car,position,date,flange_height,note\nA 1,L1,2026-01-02,1 1/8,=1+1\n"))
	f.Add([]byte("# wheels\ncar,position,flange_height\nA 1,L1,1-1/8\"\nA 2,L1,\n"),
		[]byte("position,car\r\nl1,A 1\r\n"))
	f.Add([]byte("car,position\nB,L1\nA,L1\n"), []byte("car,position\nA,L1\nB,L1\n"))
	f.Fuzz(func(t *testing.T, a, b []byte) {
		var s blankSheet
		for _, x := range blankSheets() {
			if x.name == "wheels" {
				s = x
			}
		}
		rows := func(data []byte) ([]mergedRow, bool) {
			var problems measure.Problems
			table := sheet.Read("wheels.csv", data, s.names(), &problems)
			seen := map[string]bool{}
			for _, r := range table.Rows { // what Read refuses before anything is merged
				key := strings.ToUpper(strings.Join(strings.Fields(r.Cell("position").Text), " ")) + "\x00" +
					strings.Join(strings.Fields(r.Cell("car").Text), " ") + "\x00" +
					strings.TrimSpace(blankless(r.Cell("date").Text))
				if seen[key] {
					return nil, false
				}
				seen[key] = true
			}
			return rowsIn(table, func(p measure.Place) measure.Place { return p }), problems.Len() == 0
		}
		x, okX := rows(a)
		y, okY := rows(b)
		if !okX || !okY {
			return
		}
		merge := func(x, y []mergedRow) ([]byte, int) {
			var problems measure.Problems
			t := sheetMerge{s: s, problems: &problems}
			return written(s.names(), t.merge(x, y)), problems.Len()
		}
		one, faults := merge(x, y)
		other, back := merge(y, x)
		if faults != back || faults == 0 && !bytes.Equal(one, other) {
			t.Errorf("%d errors and\n%s\nthe other way %d and\n%s", faults, one, back, other)
		}
		if faults > 0 {
			return
		}
		z, ok := rows(one)
		if !ok {
			t.Fatalf("the merged sheet cannot be read:\n%s", one)
		}
		if again, faults := merge(z, x); faults > 0 || !bytes.Equal(again, one) {
			t.Errorf("merged again, %d errors:\n%s\nwas\n%s", faults, again, one)
		}
	})
}
