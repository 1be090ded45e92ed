package survey

import (
	"os"
	"path/filepath"
	"testing"
)

// The sum of a survey is that of its readings, settings and limits, and of no folder.
func TestSum(t *testing.T) {
	sheets := map[string]string{"wheels.csv": "car,position,flange_height\nA 1,L1,1-1/8\n",
		"frogs.csv": "location,frog,flangeway_depth\nYard,F1,1-1/2\n", "railroad.yaml": "schema: 1\nrailroad: A & B\n"}
	sum := func(change, to string) string {
		dir := t.TempDir()
		for name, text := range sheets {
			if name == change {
				text = to
			}
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		s, err := Read(dir)
		if err != nil {
			t.Fatal(err)
		}
		book, err := s.Book()
		if err != nil {
			t.Fatal(err)
		}
		return s.Sum(book)
	}
	as := sum("", "")
	if again := sum("", ""); again != as || len(as) != 64 || len(Digits(as)) != sumDigits {
		t.Errorf("the same files elsewhere: %s and %s", as, again)
	}
	for _, c := range []struct{ name, file, text string }{
		{"a reading", "wheels.csv", "car,position,flange_height\nA 1,L1,1-3/16\n"},
		{"a setting", "railroad.yaml", "schema: 1\nrailroad: A & B\nsettings:\n  reserve: 1/8\n"},
		{"the limits", "railroad.yaml", "schema: 1\nrailroad: A & B\nlimits: [federal]\n"},
	} {
		if sum(c.file, c.text) == as {
			t.Errorf("%s changes no sum", c.name)
		}
	}
}
