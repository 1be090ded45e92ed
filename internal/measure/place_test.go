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
	ps.Add(measure.Place{File: "wheels.csv", Line: 3, Col: 9}, "flange_height", `"std" is not a length`,
		"such as 1-7/16")
	ps.Add(measure.Place{File: "wheels.csv", Line: 3, Col: 2}, "", "a", "")
	ps.Add(measure.Place{File: "wheels.csv", Line: 2, Col: 30}, "", "b", "")
	ps.Add(measure.Place{File: "frogs.csv", Line: 9}, "", "c", "")
	ps.Add(measure.Place{File: "frogs.csv"}, "", "d", "")
	want := strings.Join([]string{
		"frogs.csv:1:1: file: d",
		"frogs.csv:9: file: c",
		"wheels.csv:2:30: file: b",
		"wheels.csv:3:2: file: a",
		`wheels.csv:3:9: flange_height: "std" is not a length (such as 1-7/16)`,
	}, "\n")
	var list measure.ProblemsError
	if err := ps.Err(); !errors.As(err, &list) || len(list) != 5 || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", ps.Err(), want)
	}
}

// TestPlaceInAWorkbook: a cell is named as the spreadsheet names it.
func TestPlaceInAWorkbook(t *testing.T) {
	for _, tc := range []struct {
		name                string
		place               measure.Place
		text, short, source string
		line                string
		reason              string
	}{
		{"cell", measure.Place{File: "survey.xlsx", Sheet: "wheels", Line: 14, Col: 3}, "survey.xlsx:wheels!C14",
			"survey.xlsx:wheels!C14", "survey.xlsx:wheels", "row 14", "column letters and the row"},
		{"last single letter", measure.Place{File: "b.xlsx", Sheet: "w", Line: 1, Col: 26}, "b.xlsx:w!Z1",
			"b.xlsx:w!Z1", "b.xlsx:w", "row 1", "26 is Z"},
		{"first double letter", measure.Place{File: "b.xlsx", Sheet: "w", Line: 1, Col: 27}, "b.xlsx:w!AA1",
			"b.xlsx:w!AA1", "b.xlsx:w", "row 1", "27 is AA"},
		{"last double letter", measure.Place{File: "b.xlsx", Sheet: "w", Line: 1, Col: 702}, "b.xlsx:w!ZZ1",
			"b.xlsx:w!ZZ1", "b.xlsx:w", "row 1", "702 is ZZ"},
		{"last column", measure.Place{File: "b.xlsx", Sheet: "w", Line: 1, Col: 16384}, "b.xlsx:w!XFD1",
			"b.xlsx:w!XFD1", "b.xlsx:w", "row 1", "16384 is XFD"},
		{"row", measure.Place{File: "b.xlsx", Sheet: "w", Line: 5}, "b.xlsx:w!5", "b.xlsx:w!5", "b.xlsx:w",
			"row 5", "no column"},
		{"sheet", measure.Place{File: "b.xlsx", Sheet: "w"}, "b.xlsx:w", "b.xlsx:w", "b.xlsx:w", "row 0",
			"the whole sheet"},
		{"line of a file", measure.Place{File: "wheels.csv", Line: 14, Col: 3}, "wheels.csv:14:3", "wheels.csv:14",
			"wheels.csv", "line 14", "as ever"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := tc.place
			if p.String() != tc.text || p.Short() != tc.short || p.Source() != tc.source || p.LineText() != tc.line {
				t.Errorf("%q, %q, %q, %q; %s", p.String(), p.Short(), p.Source(), p.LineText(), tc.reason)
			}
		})
	}
}

// Places of a workbook are in the order of sheets, rows and columns.
func TestPlacesOfAWorkbookInOrder(t *testing.T) {
	var ps measure.Problems
	for _, p := range []measure.Place{{File: "b.xlsx", Sheet: "wheels", Line: 1, Col: 1},
		{File: "b.xlsx", Sheet: "cars", Line: 9, Col: 27}, {File: "b.xlsx", Sheet: "cars", Line: 9, Col: 3},
		{File: "b.xlsx"}} {
		ps.Add(p, "", "x", "")
	}
	if want := "b.xlsx:1:1: file: x\nb.xlsx:cars!C9: file: x\nb.xlsx:cars!AA9: file: x\nb.xlsx:wheels!A1: file: x"; ps.Err().Error() != want {
		t.Errorf("%v", ps.Err())
	}
}

func TestProblemsAreCapped(t *testing.T) {
	var ps measure.Problems
	for i := range 1003 {
		ps.Add(measure.Place{File: "wheels.csv", Line: i + 1, Col: 1}, "", "bad", "")
	}
	text := ps.Err().Error()
	if n := strings.Count(text, "\n") + 1; n != 1001 || !strings.HasSuffix(text, "\nand 3 more") {
		t.Errorf("%d lines, the last of them %q; want 1000 and the count of the rest", n,
			text[strings.LastIndex(text, "\n")+1:])
	}
}

// TestNearOfManyNames: a sheet full of names that are nowhere is told without looking for each among all.
func TestNearOfManyNames(t *testing.T) {
	var ps measure.Problems
	asked := 0
	known := func() []string { asked++; return []string{"frog/F1"} }
	if got := ps.Near("frog/F2", known); got != "frog/F1" {
		t.Errorf("the first is %q", got)
	}
	for range 10_000 {
		ps.Near("frog/F2", known)
	}
	if asked != 100 {
		t.Errorf("%d names were looked for among all", asked)
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
