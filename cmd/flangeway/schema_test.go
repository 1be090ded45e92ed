package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/fixture"
)

// outputs are the commands with json and csv, by the name of their schema.
func outputs(dir string) map[string][]string {
	wheel := []string{"--survey", dir, "--car", "WPV 1188", "--position", "L2"}
	return map[string][]string{
		"check":                 {"check", dir, "--plain"},
		"check-summary":         {"check", dir, "--summary"},
		"plan":                  {"plan", dir, "--plain", "--frogs", "--what-if", "drop car WPV 60"},
		"since":                 {"since", dir, dir, "--plain"},
		"limits":                {"limits"},
		"job":                   {"job", "quarry turn", dir, "--plain"},
		"shape":                 briefly("shape", "--survey", dir, "--car", "WPV 1204", "--position", "L1"),
		"curve":                 append([]string{"curve", "--at", "curve/C2"}, wheel...),
		"curve-sweep":           append([]string{"curve", "--at", "curve/C2", "--sweep", "mu"}, wheel...),
		"passage":               append([]string{"passage", "--at", "frog/F4"}, wheel...),
		"passage-over-a-switch": append([]string{"passage", "--at", "switch/S6"}, wheel...),
		"sources-cases":         {"sources", "--cases"},
	}
}

// The schemas that are checked in are those of the types; flangeway manual --format schema writes the same.
func TestSchemasAreThoseOfTheTypes(t *testing.T) {
	t.Parallel()
	made := t.TempDir()
	if _, stderr, code := runFor(t, "manual", made, "--format", "schema"); code != 0 {
		t.Fatal(stderr)
	}
	kept := filepath.Join("testdata", "schema")
	files, err := os.ReadDir(made)
	if err != nil || len(files) != len(export.Schemas())+1 {
		t.Fatal(len(files), err)
	}
	for _, f := range files {
		got, err := os.ReadFile(filepath.Join(made, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if *update {
			if err := os.WriteFile(filepath.Join(kept, f.Name()), got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(filepath.Join(kept, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), string(got)); diff != "" {
			t.Errorf("%s differs (-want +got), go test -update rewrites it:\n%s", f.Name(), diff)
		}
	}
}

// What is written follows its schema, and every column of a csv is documented.
func TestOutputsFollowTheirSchemas(t *testing.T) {
	fixture.InVolumes(t, "every command in two formats takes three seconds")
	t.Parallel()
	dir := fewPlaces(t)
	documented := map[string]bool{}
	for _, line := range strings.Split(string(export.CSVColumns()), "\n") {
		if cells := strings.Split(line, "|"); len(cells) == 4 {
			for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(cells[1], -1) {
				documented[m[1]] = true
			}
		}
	}
	for name, args := range outputs(dir) {
		out, stderr, code := runFor(t, append(slices.Clone(args), "--format", "json")...)
		if code > 1 {
			t.Fatalf("%s: exit %d: %s", name, code, stderr)
		}
		var v any
		if err := json.Unmarshal([]byte(out), &v); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		named, _, _ := strings.Cut(name, "-over")
		// The one that is checked in: one made anew of the types would let a key vanish with its type's.
		schema, err := os.ReadFile(filepath.Join("testdata", "schema", named+".schema.json"))
		if err != nil {
			t.Fatal(err)
		}
		var s map[string]any
		if err := json.Unmarshal(schema, &s); err != nil {
			t.Fatal(err)
		}
		for _, fault := range follows(s, s, v, name) {
			t.Error(fault)
		}
		rows, err := csv.NewReader(strings.NewReader(func() string {
			out, _, _ := runFor(t, append(slices.Clone(args), "--format", "csv")...)
			return out
		}())).ReadAll()
		if err != nil || len(rows) == 0 {
			t.Fatalf("%s: csv of %d rows, %v", name, len(rows), err)
		}
		for _, column := range rows[0] {
			if !documented[column] {
				t.Errorf("%s: the csv column %s is not documented", name, column)
			}
		}
	}
}

// follows lists where a value does not follow a schema of the kind that is generated.
func follows(root, s map[string]any, v any, at string) (out []string) {
	if ref, ok := s["$ref"].(string); ok {
		s = root["$defs"].(map[string]any)[strings.TrimPrefix(ref, "#/$defs/")].(map[string]any)
	}
	if list, ok := s["anyOf"].([]any); ok {
		for _, one := range list {
			if out = follows(root, one.(map[string]any), v, at); len(out) == 0 {
				return nil
			}
		}
		return out
	}
	wrong := func() []string { return append(out, fmt.Sprintf("%s: %v is no %v", at, v, s["type"])) }
	switch s["type"] {
	case "object":
		object, ok := v.(map[string]any)
		if !ok {
			return wrong()
		}
		properties, _ := s["properties"].(map[string]any)
		required, _ := s["required"].([]any)
		for _, name := range required {
			if _, ok := object[name.(string)]; !ok {
				out = append(out, fmt.Sprintf("%s: %v is missing", at, name))
			}
		}
		for name, x := range object {
			of, ok := properties[name].(map[string]any)
			if !ok {
				if of, ok = s["additionalProperties"].(map[string]any); !ok {
					out = append(out, fmt.Sprintf("%s: %s is in no schema", at, name))
					continue
				}
			}
			out = append(out, follows(root, of, x, at+"."+name)...)
		}
	case "array":
		list, ok := v.([]any)
		if !ok {
			return wrong()
		}
		for _, x := range list {
			out = append(out, follows(root, s["items"].(map[string]any), x, at+"[]")...)
		}
	case "string":
		if _, ok := v.(string); !ok {
			return wrong()
		}
	case "boolean":
		if _, ok := v.(bool); !ok {
			return wrong()
		}
	case "number":
		if _, ok := v.(float64); !ok {
			return wrong()
		}
	case "integer":
		if n, ok := v.(float64); !ok || n != float64(int(n)) {
			return wrong()
		}
	default:
		return append(out, fmt.Sprintf("%s: no schema of type %v", at, s["type"]))
	}
	return out
}
