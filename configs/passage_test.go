package configs

import "testing"

// The built-in figures of the passage load, have distinct names, and every switch detail
// runs from its tip backward without a step back.
func TestPassageFigures(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	p, err := d.LoadPassage()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, c := range p.Constants {
		if seen[c.Name] {
			t.Errorf("%s stands twice", c.Name)
		}
		seen[c.Name] = true
	}
	if len(p.Supports) < 2 || len(p.Details) < 2 {
		t.Fatalf("%d supports, %d details", len(p.Supports), len(p.Details))
	}
	for _, s := range p.Details {
		if len(s.Stations) < 2 || s.Stations[0].At != 0 {
			t.Errorf("%s: stations %v", s.Name, s.Stations)
		}
		for i := 1; i < len(s.Stations); i++ {
			if a, b := s.Stations[i-1], s.Stations[i]; b.At <= a.At || b.Thick < a.Thick {
				t.Errorf("%s: station %v after %v", s.Name, b, a)
			}
		}
	}
}
