package limit

import (
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

// in is a length of so many inches in mm.
func in(v float64) float64 { return v * measure.MMPerInch }

// inch is an exact reading of so many inches.
func inch(v float64) measure.Reading { return measure.Exact(in(v), measure.Inch(in(v))) }

// about is a reading of v inches, ± half.
func about(v, half float64) measure.Reading {
	r := inch(v)
	r.Lo, r.Hi = in(v-half), in(v+half)
	return r
}

// mph is a speed.
func mph(v float64) measure.Reading { return measure.Exact(v, "") }

// readings makes a Read of a map.
func readings(m map[string]measure.Reading) func(string) measure.Reading {
	return func(q string) measure.Reading { return m[q] }
}

// book overlays built-in sets, which must go together without a problem.
func book(t testing.TB, names ...string) *Book {
	t.Helper()
	d := fixture.Data(t)
	var sets []configs.Set
	for _, n := range names {
		s, ok := d.Sets[n]
		if !ok {
			t.Fatalf("there is no set %q", n)
		}
		sets = append(sets, s)
	}
	b, problems := Overlay(sets...)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return b
}

// ownSet is a railroad's own file.
func ownSet(t testing.TB, name, yaml string) configs.Set {
	t.Helper()
	var problems measure.Problems
	s := configs.ParseSet(configs.ParseMapping(name, []byte(yaml), &problems), name, &problems)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}
