package interaction

import (
	"os"
	"testing"
)

// Every published value is computed again; the table names the source of each.
func TestPublishedValues(t *testing.T) {
	f, err := os.Open("../testdata/published.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	values, err := CheckPublished(f)
	if err != nil {
		t.Fatal(err)
	}
	if len(values) < 150 {
		t.Fatalf("only %d published values", len(values))
	}
	seen := map[string]bool{}
	for _, v := range values {
		if seen[v.ID] {
			t.Errorf("%s stands twice", v.ID)
		}
		seen[v.ID] = true
		if !v.Agrees {
			t.Errorf("%s: %s: published %s, computed %s (%s, %s)", v.ID, v.What, v.Published, v.Computed, v.Source, v.Section)
		}
	}
}
