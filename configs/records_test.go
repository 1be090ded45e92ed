package configs

import (
	"io/fs"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
)

// Every record of every built-in file says where it comes from and what kind of figure it is. A file may say it once
// for all its records. The files are read plainly here, not by the loader that is under test.
func TestEveryRecordHasSourceAndKind(t *testing.T) {
	names, err := fs.Glob(files, "*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	more, err := fs.Glob(files, "limits/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	names = append(names, more...)
	for _, want := range []string{"bounds.yaml", "settings.yaml", "rails.yaml", "wheels.yaml", "asdesigned.yaml",
		"limits/federal.yaml", "limits/early-warning.yaml", "limits/interchange.yaml", "limits/yard-practice.yaml"} {
		if !strings.Contains(" "+strings.Join(names, " ")+" ", " "+want+" ") {
			t.Errorf("%s is not built in", want)
		}
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			data, err := files.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			var doc map[string]any
			if err := yaml.Unmarshal(data, &doc); err != nil {
				t.Fatal(err)
			}
			n := 0
			for _, key := range []string{"columns", "settings", "sections", "designs", "features", "rules", "wheels",
				"rails", "costs", "levels", "cells", "shares", "supports", "details"} {
				for _, rec := range recordsOf(doc[key]) {
					n++
					source, kind := textOf(rec, "source", doc), textOf(rec, "kind", doc)
					if len(strings.TrimSpace(source)) < 5 {
						t.Errorf("record %v: source %q", rec, source)
					}
					switch kind {
					case "regulation", "standard", "practice", "assumed":
					default:
						t.Errorf("record %v: kind %q", rec, kind)
					}
					if key == "rules" && textOf(rec, "sure", nil) == "" {
						t.Errorf("rule %v does not say how sure it is", rec["id"])
					}
					if key == "rules" && textOf(rec, "edition", nil) == "" {
						t.Errorf("rule %v does not say in which edition it was read", rec["id"])
					}
				}
			}
			if n == 0 {
				t.Error("no record was found")
			}
		})
	}
}

// recordsOf are the records of a list, or of a mapping by name.
func recordsOf(v any) []map[string]any {
	var out []map[string]any
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			if rec, ok := x.(map[string]any); ok {
				out = append(out, rec)
			}
		}
	case map[string]any:
		for _, x := range v {
			if rec, ok := x.(map[string]any); ok {
				out = append(out, rec)
			}
		}
	}
	return out
}

// textOf is a record's own text of a key, else that of its file.
func textOf(rec map[string]any, key string, doc map[string]any) string {
	if s, ok := rec[key].(string); ok {
		return s
	}
	s, _ := doc[key].(string)
	return s
}

// A figure that is from memory must say so where it is printed. The list is that of
// the sections that could not be read.
func TestFiguresFromMemorySaySo(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	notRead := []string{"213.13-", "213.59", "213.109(e)", "213.113", "213.115", "213.141", "215.103(", "229.73(a)",
		"229.73(b)", "229.73(c)-most-narrow", "229.75(h)", "229.75(i)"}
	found := map[string]bool{}
	for _, r := range d.Sets["federal"].Rules {
		for _, prefix := range notRead {
			if strings.HasPrefix(r.ID, prefix) {
				found[prefix] = true
				if !strings.Contains(r.Sure, "from memory") {
					t.Errorf("%s: sure %q does not say that it is from memory", r.ID, r.Sure)
				}
			}
		}
		if r.Kind != "regulation" {
			t.Errorf("%s is of kind %s", r.ID, r.Kind)
		}
	}
	for _, prefix := range notRead {
		if !found[prefix] {
			t.Errorf("no rule %s…", prefix)
		}
	}
	for _, r := range d.Sets["early-warning"].Rules {
		if strings.Contains(r.Source, "from memory") != strings.Contains(r.Action, "from memory") {
			t.Errorf("%s: %q names the federal figure, which is as sure as %q says", r.ID, r.Action, r.Source)
		}
	}
	for _, r := range d.Sets["interchange"].Rules {
		if r.Sure != "second hand" || r.Kind != "practice" || len(r.Kinds) != 1 || r.Kinds[0] != "freight" {
			t.Errorf("%s: sure %q, kind %s, cars %v", r.ID, r.Sure, r.Kind, r.Kinds)
		}
	}
	for _, r := range d.Sets["yard-practice"].Rules {
		if r.Kind != "practice" {
			t.Errorf("%s is of kind %s", r.ID, r.Kind)
		}
	}
}

// Every rule says in which edition it was read, and on which day or that nobody noted it;
// what was not read says so, and so does Part 215, which was being changed.
func TestEditionsSayTheDay(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for name, set := range d.Sets {
		for _, r := range set.Rules {
			said := false
			for _, words := range []string{"read 2026-", "day of reading is not known", "not read in any edition",
				"no document", "without a date", "verified in June 2026"} {
				said = said || strings.Contains(r.Edition, words)
			}
			if !said {
				t.Errorf("%s of %s: edition %q says neither a day nor that none is known", r.ID, name, r.Edition)
			}
			if strings.HasPrefix(r.ID, "215.") && !strings.Contains(r.Edition, "Part 215 was being changed") {
				t.Errorf("%s: edition %q does not say that the part was being changed", r.ID, r.Edition)
			}
			if r.Sure == "read" && strings.HasPrefix(r.Edition, "not read") {
				t.Errorf("%s is read and was not read in any edition", r.ID)
			}
		}
	}
}

// A page for a yard in the United States has miles per hour and no pilots.
func TestNoForeignOrders(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for name, set := range d.Sets {
		for _, r := range set.Rules {
			for _, text := range []string{r.Action, r.Source, r.Note, r.Tell, r.Edition} {
				if strings.Contains(text, "km/h") || strings.Contains(text, "pilot") {
					t.Errorf("%s of %s: %q", r.ID, name, text)
				}
			}
		}
	}
}

// Excepted track has the limits of 213.4 and no other: every other federal track
// rule names its classes, and not this one.
func TestExceptedTrackHasItsOwnLimitsOnly(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range d.Sets["federal"].Rules {
		if r.Subject == "wheel" || r.Subject == "axle" || r.Subject == "truck" {
			continue
		}
		if len(r.Classes) == 0 {
			t.Errorf("%s names no class and would hold on excepted track", r.ID)
		}
		for _, c := range r.Classes {
			if c == "excepted" && !r.Reminder && !strings.Contains(r.Source, "213.4") {
				t.Errorf("%s holds on excepted track by %s", r.ID, r.Source)
			}
		}
	}
}
