package plan

import (
	"math"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// Rates by hand: a sixteenth a year is 1.5875 mm a year.
func TestWearRates(t *testing.T) {
	head := []string{"location", "frog", "date", "flangeway_depth"}
	tests := []struct {
		name, reason string
		rows         [][]string
		rate         float64 // in a year; NaN: none
		says         string
		event        string // limit 213.137(a)-class1 is at 1-3/8
		from, to     string // window in which the event's likely date lies
	}{
		{"three springs", "1/16 in a year straight", [][]string{{"yard", "F1", "2023-04-01", "1-11/16"},
			{"yard", "F1", "2024-04-01", "1-5/8"}, {"yard", "F1", "2025-04-01", "1-9/16"}},
			1.0 / 16, "", "213.137(a)", "2028-03-25", "2028-04-08"},
		{"two rows", "the spread is that of reading", [][]string{{"yard", "F1", "2024-04-01", "1-3/4"},
			{"yard", "F1", "2025-04-01", "1-5/8"}}, 1.0 / 8, "two rows only", "213.137(a)", "2027-03-25", "2027-04-08"},
		{"repaired in between", "built up: older rows do not count", [][]string{{"yard", "F1", "2022-04-01", "1-1/2"},
			{"yard", "F1", "2023-04-01", "1-7/8"}, {"yard", "F1", "2024-04-01", "1-13/16"},
			{"yard", "F1", "2025-04-01", "1-3/4"}},
			1.0 / 16, "repaired or read otherwise between 2022-04-01 and 2023-04-01", "213.137(a)", "2031-03-20",
			"2031-04-10"},
		{"repaired last", "nothing is known of the new rate", [][]string{{"yard", "F1", "2023-04-01", "1-1/2"},
			{"yard", "F1", "2024-04-01", "1-7/8"}}, math.NaN(), "one row since", "", "", ""},
		{"go/no-go", "no values", [][]string{{"yard", "F1", "2023-04-01", ">1-1/2"},
			{"yard", "F1", "2024-04-01", ">1-1/2"}}, math.NaN(), "go/no-go", "", "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			sv := files{"frogs.csv": append([][]string{head}, tt.rows...)}.write(t, "schema: 1\ntrack_class: 1\n")
			got, err := WearRates(sv)
			if err != nil || len(got) != 1 {
				t.Fatalf("%d rates, %v", len(got), err)
			}
			x := got[0]
			if math.IsNaN(tt.rate) == x.Known || x.Known && math.Abs(x.Rate/measure.MMPerInch-tt.rate) > 2e-4 {
				t.Errorf("rate %s, want %g in (%s)", x.RateText(), tt.rate, tt.reason)
			}
			if tt.says != "" && !strings.Contains(strings.Join(x.Notes, "; "), tt.says) {
				t.Errorf("notes %q do not say %q", x.Notes, tt.says)
			}
			found := tt.event == ""
			for _, e := range x.Events {
				if strings.Contains(e.What, tt.event) && tt.event != "" && strings.Contains(e.At, "1-3/8") {
					found = true
					if s := e.Likely.String(); s < tt.from || s > tt.to {
						t.Errorf("%s on %s, want %s to %s", e.What, s, tt.from, tt.to)
					}
					if e.Earliest > e.Likely || e.Latest.Known() && e.Latest < e.Likely {
						t.Errorf("window %s, %s, %s", e.Earliest, e.Likely, e.Latest)
					}
				}
			}
			if !found {
				t.Errorf("no event %q in %+v", tt.event, x.Events)
			}
		})
	}
}

// The first conflict of a wearing frog: a flange 1-3/8 in high meets a depth that loses
// 1/16 in a year from 1-9/16 in three years.
func TestFirstConflict(t *testing.T) {
	sv := files{"frogs.csv": {{"location", "frog", "date", "flangeway_depth"}, {"yard", "F1", "2024-04-01", "1-5/8"},
		{"yard", "F1", "2025-04-01", "1-9/16"}},
		"wheels.csv": {{"car", "position", "flange_height"}, {"A 1", "L1", "1-3/8"}, {"A 1", "R1", "1-1/4"}}}.write(t,
		"schema: 1\n")
	got, err := WearRates(sv)
	if err != nil || len(got) != 1 {
		t.Fatalf("%d rates, %v", len(got), err)
	}
	for _, e := range got[0].Events {
		if strings.HasPrefix(e.What, "first further conflict: frog-floor with A 1 L1") {
			if s := e.Likely.String(); s < "2028-03-25" || s > "2028-04-08" || e.At != "1-3/8 in" {
				t.Errorf("%+v", e)
			}
			return
		}
	}
	t.Errorf("no first conflict in %+v", got[0].Events)
}
