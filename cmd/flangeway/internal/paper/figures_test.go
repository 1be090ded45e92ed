package paper

import (
	"bytes"
	"strings"
	"testing"
)

// Whole numbers have their thousands set apart, in every form alike, in sentences and in columns of figures; a year and
// a name are no figures.
func TestThousandsApart(t *testing.T) {
	for _, form := range []Form{Text, Markdown, HTML} {
		d := &Document{Form: form, Title: "a page"}
		d.para(worded("%s of %d, read in 2026", plural(2498, "pair", "pairs"), 80200))
		d.table([]string{"car", "pairs", "cost"}, [][]string{{"WPV 1204", "4113", "219345.50"}}, 1, 2)
		var b bytes.Buffer
		if err := d.Write(&b); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"2,498 pairs of 80,200, read in 2026", "WPV 1204", "4,113", "219,345.50"} {
			if !strings.Contains(b.String(), want) {
				t.Errorf("form %d has no %q", form, want)
			}
		}
	}
	for in, want := range map[string]string{"30000 USD a year": "30,000 USD a year", "0.5 friction": "0.5",
		"1/8 in": "1/8 in", "180 days": "180 days", "-2000": "-2,000"} {
		if got := apartValue(in); got != want {
			t.Errorf("%q reads %q, want %q", in, got, want)
		}
	}
}
