package survey_test

import (
	"testing"

	"flangeway/internal/survey"
)

// TestIncidents: the log of accidents is read, and what it cannot mean is told with its place.
func TestIncidents(t *testing.T) {
	for _, tc := range []struct{ name, incidents, want string }{
		{"a log", "{years: 4.5, at: {mill  spur: 2, yard: 0}}", ""},
		{"no years", "{at: {yard: 1}}",
			"railroad.yaml:2:12: years: it is not said over how many years (how many years the log goes back)"},
		{"none of them", "{years: 0, at: {yard: 1}}",
			"railroad.yaml:2:20: years: 0 years are no log (how many years it goes back)"},
		{"no such place", "{years: 1, at: {yrad: 1}}",
			`railroad.yaml:2:34: incidents: "yrad" is not in the sheets (did you mean "yard"? a location)`},
		{"half an accident", "{years: 1, at: {yard: 1.5}}",
			"railroad.yaml:2:34: incidents: accidents are counted whole (a whole number of accidents)"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := survey.Read(folder(t, map[string]string{"frogs.csv": "location,frog\nyard,F1\nmill spur,F2\n",
				"railroad.yaml": "schema: 1\nincidents: " + tc.incidents + "\n"}))
			if got := ""; err != nil {
				got = err.Error()
				holds(t, "error", []string{got}, []string{tc.want}, "with its place")
			} else if x := s.Incidents; tc.want != "" || x.Years != 4.5 || x.At["mill spur"] != 2 || len(x.At) != 2 {
				t.Errorf("%+v, want %q", x, tc.want)
			}
		})
	}
}
