package export

import (
	"bytes"
	"encoding/csv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/cmd/flangeway/internal/cases"
)

// The table of cases has a row for each thing that is said, agreeing or not, and one for each
// that cannot be answered, with the cautions in the last column of the first.
func TestCasesCSV(t *testing.T) {
	c := cases.Case{Name: "folder", ID: "A", Source: "report", Read: "gauge", NotRead: "wheels",
		Open: []cases.Open{{What: "whether it drops in", Reading: "rim_width"}}}
	expect := func(says, awaits string) cases.Expect { return cases.Expect{Says: says, Awaits: awaits} }
	results := []cases.Result{{Case: c, Lines: []cases.Line{{Expect: expect("a conflict", ""), Said: "clear"},
		{Expect: expect("class 1", "classes"), Said: "class 1", OK: true}}}}
	var b bytes.Buffer
	if err := CasesCSV(&b, NewCases("test", results, []string{"not released"})); err != nil {
		t.Fatal(err)
	}
	got, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{
		{"case", "folder", "source", "should_say", "says", "agrees", "awaits", "missing", "read",
			"not_read", "caution"},
		{"A", "folder", "report", "a conflict", "clear", "false", "", "", "gauge", "wheels", "not released"},
		{"A", "folder", "report", "class 1", "class 1", "true", "classes", "", "gauge", "wheels", ""},
		{"A", "folder", "report", "whether it drops in", "cannot be answered", "", "", "rim_width", "gauge",
			"wheels", ""},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
