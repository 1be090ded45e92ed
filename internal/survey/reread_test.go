package survey_test

import (
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

func TestDated(t *testing.T) {
	t.Parallel()
	day, err := measure.ParseDate("2026-11-30")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range [][2]string{
		{"", "schema: 1\ndate: 2026-11-30\n"},
		{"# nothing yet\n", "# nothing yet\nschema: 1\ndate: 2026-11-30\n"},
		{"schema: 1\n", "schema: 1\ndate: 2026-11-30\n"},
		{"schema: 1", "schema: 1\ndate: 2026-11-30\n"},
		{"date: 2026-10-01 # last\r\nschema: 1\r\n", "date: 2026-11-30 # last\r\nschema: 1\r\n"},
		{"date:   \"2026-10-01\"\n", "date:   \"2026-11-30\"\n"},
		{"{schema: 1, date: 2026-10-01}\n", "{schema: 1, date: 2026-11-30}\n"},
		{"railroad: Ödmark\ndate: '2026-10-01'\nlimits: [federal]\n",
			"railroad: Ödmark\ndate: '2026-11-30'\nlimits: [federal]\n"},
	} {
		if got, err := survey.Dated([]byte(x[0]), day); err != nil || string(got) != x[1] {
			t.Errorf("%q becomes %q, want %q, %v", x[0], got, x[1], err)
		}
	}
	for _, text := range []string{"{schema: 1}", "date: [2026-10-01]\n", "date: |\n  2026-10-01\n",
		"- a\n- b\n", "a: [\n"} {
		if got, err := survey.Dated([]byte(text), day); err == nil {
			t.Errorf("%q becomes %q", text, got)
		}
	}
}

// FuzzDated: a railroad.yaml that gets another date has it, and all else as it was.
func FuzzDated(f *testing.F) {
	for _, seed := range []string{"", "schema: 1\n", "date: 2026-10-01\n", "a: {date: 2026-10-01}\n",
		"? date\n: 2026-10-01\n", "date: &x 2026-10-01\nb: *x\n", "\"date\": 2026-10-01", "x: é\ndate:\t2026-10-01\n",
		"---\na: 1\n...\n", "date:\n"} {
		f.Add([]byte(seed))
	}
	day, err := measure.ParseDate("2026-11-30")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		out, err := survey.Dated(data, day)
		if err != nil {
			return
		}
		var was, now map[string]yaml.Node
		if yaml.Unmarshal(data, &was) != nil ||
			strings.Contains(string(data), "&") { // an anchor is another name of the date
			return
		}
		if err := yaml.Unmarshal(out, &now); err != nil {
			t.Fatalf("%q becomes %q: %v", data, out, err)
		}
		if d := now["date"]; d.Value != "2026-11-30" {
			t.Fatalf("%q becomes %q", data, out)
		}
		for name, v := range was {
			if got := now[name]; name != "date" && got.Value != v.Value {
				t.Fatalf("%q becomes %q: %s is %q", data, out, name, got.Value)
			}
		}
	})
}
