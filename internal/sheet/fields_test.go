package sheet

import (
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// A name goes to terminals and pages as typed, so it holds no control characters.
func TestNamesHoldNoControlCharacters(t *testing.T) {
	var problems measure.Problems
	table := Read("cars.csv", []byte("car\nA\x1b[31m\n\"B\n1\"\n"), []string{"car"}, &problems)
	f := &Fields{Table: table, Problems: &problems}
	if got := f.NeedID(table.Rows[0], "car"); got != "" {
		t.Errorf("%q was taken", got)
	}
	if got := f.NeedID(table.Rows[1], "car"); got != "B 1" {
		t.Errorf("a line end in a name gives %q, want it joined to one blank", got)
	}
	if err := problems.Err(); err == nil || !strings.Contains(err.Error(),
		"cars.csv:2:1: car: \"A\\x1b[31m\" holds a control character") {
		t.Errorf("%v", err)
	}
}
