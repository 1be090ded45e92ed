package caution

import (
	"strings"
	"testing"

	"flangeway/wheel"
)

// The caution names the parts that govern the cars there are, all where one is unknown.
func TestRelease(t *testing.T) {
	for _, x := range []struct {
		name      string
		kinds     []string // of the cars
		has, lack string
	}{
		{"freight cars alone", []string{"freight", "freight"},
			"part 213 for track and part 215 for freight cars)", "229"},
		{"an engine among freight cars", []string{"freight", "locomotive"},
			"part 215 for freight cars and part 229 for locomotives)", "230"},
		{"steam alone", []string{"steam"}, "part 213 for track and part 230 for steam locomotives)", "215"},
		{"passenger alone", []string{"passenger"}, "part 238", "215"},
		{"a car of unknown kind", []string{"freight", ""}, "part 230", "-"},
		{"no cars", nil, "part 229", "-"},
	} {
		fleet := &wheel.Fleet{}
		for _, k := range x.kinds {
			fleet.Cars = append(fleet.Cars, &wheel.Car{Kind: k})
		}
		s := Release(Kinds(fleet))
		if !strings.Contains(s, x.has) || strings.Contains(s, x.lack) {
			t.Errorf("%s: %s", x.name, s)
		}
	}
	if Release(Kinds(nil)) != Release(nil) {
		t.Error("a survey whose cars are not kept names less than all parts")
	}
}
