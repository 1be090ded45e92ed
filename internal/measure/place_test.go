package measure_test

import (
	"errors"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

func TestProblemsInOrder(t *testing.T) {
	var ps measure.Problems
	if ps.Err() != nil {
		t.Fatal("no problem, but an error")
	}
	ps.Add(measure.Place{File: "wheels.csv", Line: 3, Col: 9}, "flange_height", `"std" is not a length`, "such as 1-7/16")
	ps.Add(measure.Place{File: "wheels.csv", Line: 3, Col: 2}, "", "a", "")
	ps.Add(measure.Place{File: "wheels.csv", Line: 2, Col: 30}, "", "b", "")
	ps.Add(measure.Place{File: "frogs.csv", Line: 9}, "", "c", "")
	ps.Add(measure.Place{File: "frogs.csv"}, "", "d", "")
	want := strings.Join([]string{
		"frogs.csv: d",
		"frogs.csv:9: c",
		"wheels.csv:2:30: b",
		"wheels.csv:3:2: a",
		`wheels.csv:3:9: flange_height: "std" is not a length (such as 1-7/16)`,
	}, "\n")
	var list measure.ProblemsError
	if err := ps.Err(); !errors.As(err, &list) || len(list) != 5 || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", ps.Err(), want)
	}
}

func TestProblemsAreCapped(t *testing.T) {
	var ps measure.Problems
	for i := range 1003 {
		ps.Add(measure.Place{File: "wheels.csv", Line: i + 1, Col: 1}, "", "bad", "")
	}
	text := ps.Err().Error()
	if n := strings.Count(text, "\n") + 1; n != 1001 || !strings.HasSuffix(text, "\nand 3 more") {
		t.Errorf("%d lines, the last of them %q; want 1000 and the count of the rest", n, text[strings.LastIndex(text, "\n")+1:])
	}
}

func TestNearest(t *testing.T) {
	known := []string{"flange_height", "flange_thickness", "tread_hollow", "date", "car"}
	for _, tc := range []struct {
		name, word, want, reason string
	}{
		{"letter missing", "flange_hight", "flange_height", "one letter"},
		{"letters swapped", "flange_heigth", "flange_height", "neighbours swapped count once"},
		{"blank for underscore", "Flange Height", "flange_height", "blanks and capitals do not count"},
		{"dash for underscore", "tread-hollow", "tread_hollow", "dashes do not count"},
		{"short word", "cat", "car", "one letter of three"},
		{"short word far", "dog", "", "nothing near"},
		{"far", "axle_load", "", "a hint must not mislead"},
		{"empty", "", "", "nothing near"},
		{"very long", strings.Repeat("flange_height", 1000), "", "no long search"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := measure.Nearest(tc.word, known); got != tc.want {
				t.Errorf("Nearest(%q) = %q, want %q; %s", cutTo(tc.word, 40), got, tc.want, tc.reason)
			}
		})
	}
	if got := measure.Nearest("car", nil); got != "" {
		t.Errorf("no known word, but %q is near", got)
	}
}

func cutTo(s string, n int) string { return s[:min(len(s), n)] }
