package sheet_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/internal/sheet"
)

// TestLookalike: ids that people take for one look alike, and what sets them apart is said.
func TestLookalike(t *testing.T) {
	for _, tc := range []struct {
		name, a, b string
		differ     string // "" where they do not look alike
		reason     string
	}{
		{"capital letters", "BHT 1", "bht 1", "only in capital letters", "as ever"},
		{"blanks", "A1", "A 1", "only in blanks", "a mark and its number"},
		{"zeros", "BHT 0101", "BHT 101", "only in zeros before a number", "a spreadsheet drops them"},
		{"many zeros", "F007", "F7", "only in zeros before a number", "however many"},
		{"Cyrillic", "A1", "\u04101", "only in letters of another alphabet (\"A1\", \"\\u04101\")",
			"nobody can see it"},
		{"Greek", "NB", "\u039d\u0392", "only in letters of another alphabet", "nobody can see it"},
		{"composed", "Montr\u00e9al", "Montre\u0301al", "only in how an accent is written",
			"two systems write it in two ways"},
		{"hidden", "A1", "A\u200b1", "only in characters that do not show", "from a web page"},
		{"blanks and zeros", "A 01", "a1", "look alike", "several at once"},
		{"another number", "A 10", "A 1", "", "a zero behind a number counts"},
		{"zero", "A 0", "A", "", "zero is a number"},
		{"another letter", "A 1", "B 1", "", "two cars"},
		{"an accent", "Jos\u00e9", "Jose", "", "an accent shows"},
		{"a dash", "A-1", "A1", "", "a dash shows"},
	} {
		same := sheet.Lookalike(tc.a) == sheet.Lookalike(tc.b)
		if same != (tc.differ != "") {
			t.Errorf("%s: %q and %q look alike: %t; %s", tc.name, tc.a, tc.b, same, tc.reason)
		}
		if got := sheet.Differ(tc.a, tc.b); same && !strings.Contains(got, tc.differ) {
			t.Errorf("%s: %q and %q %s, want %q; %s", tc.name, tc.a, tc.b, got, tc.differ, tc.reason)
		}
	}
}

// TestAlikeMissesNothing: where two ids look alike, the gathering says that they can; ids
// of one pattern, as most railroads have them, cannot.
func TestAlikeMissesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	signs := []string{"A", "B", "b", "1", "0", "2", " ", "-", "\u0410", "e\u0301"}
	possible, alike := 0, 0
	for range 20000 {
		letters := signs[:3+r.IntN(len(signs)-2)]
		var a, b sheet.Alike
		seen, found := map[string]string{}, false
		for range 1 + r.IntN(4) {
			var id strings.Builder
			for range 1 + r.IntN(5) {
				id.WriteString(letters[r.IntN(len(letters))])
			}
			s := strings.Join(strings.Fields(id.String()), " ")
			if s == "" {
				continue
			}
			look := sheet.Lookalike(s)
			if other, twice := seen[look]; twice && other != s {
				found = true
			}
			seen[look] = s
			into := &a
			if r.IntN(2) == 0 {
				into = &b
			}
			sheet.AddID(into, []byte(s))
		}
		a.Join(b)
		if found && !a.Possible() {
			t.Fatalf("some of %q look alike and it is said that none can", seen)
		}
		if a.Possible() {
			possible++
		}
		if found {
			alike++
		}
	}
	if alike < 100 || possible > 19000 {
		t.Errorf("of 20000 draws %d look alike and %d could: the draws say nothing", alike, possible)
	}
	for _, ids := range [][]string{{"CAR0000001", "CAR0000002", "CAR0010001"}, {"BHT 1", "BHT 20", "OSR 300"},
		{"F1", "F20", "S300"}, {"1", "20", "300"}} {
		var a sheet.Alike
		for _, id := range ids {
			sheet.AddID(&a, id)
		}
		if a.Possible() {
			t.Errorf("%q could look alike, it is said", ids)
		}
	}
}
