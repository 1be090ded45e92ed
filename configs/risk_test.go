package configs

import "testing"

// The matrix of MIL-STD-882E as the notes of the standard have it, at and about every threshold of the project's own.
func TestRiskLevels(t *testing.T) {
	r, err := LoadRisk()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name   string
		passes float64
		letter string
		cells  [4]string
		reason string
	}{
		{"every day", 250, "A", [4]string{"High", "High", "Serious", "Medium"}, "at the threshold"},
		{"just below", 249.9, "B", [4]string{"High", "High", "Serious", "Medium"}, "below A"},
		{"once a week", 50, "B", [4]string{"High", "High", "Serious", "Medium"}, "at the threshold"},
		{"below a week", 49, "C", [4]string{"High", "Serious", "Medium", "Low"}, "below B"},
		{"once a month", 12, "C", [4]string{"High", "Serious", "Medium", "Low"}, "at the threshold"},
		{"below a month", 11, "D", [4]string{"Serious", "Medium", "Medium", "Low"}, "below C"},
		{"once a year", 1, "D", [4]string{"Serious", "Medium", "Medium", "Low"}, "at the threshold"},
		{"seldom", 0.2, "E", [4]string{"Medium", "Medium", "Medium", "Low"}, "below D"},
		{"hardly", 0, "E", [4]string{"Medium", "Medium", "Medium", "Low"},
			"the least there is: the level of a hazard that is gone is left out"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := r.LevelOf(tt.passes)
			if l.Letter != tt.letter || r.Cells[l.Letter] != tt.cells {
				t.Errorf("%s %v, want %s %v (%s)", l.Letter, r.Cells[l.Letter], tt.letter, tt.cells, tt.reason)
			}
		})
	}
	sum := 0.0
	for _, s := range r.Shares {
		sum += s.Percent
	}
	if sum < 98 || sum > 102 {
		t.Errorf("the published shares add up to %g percent", sum)
	}
}
