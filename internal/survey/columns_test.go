package survey_test

import (
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// TestBounds: every column of a reading has its range in configs/bounds.yaml, in the unit of
// the column, and every range there is one of a column.
func TestBounds(t *testing.T) {
	data := fixture.Data(t)
	bounded := map[string]bool{}
	look := func(file string, c sheet.Column) {
		if !c.Bounded {
			return
		}
		spec, ok := data.Columns[c.Name]
		switch unit := map[measure.Unit]string{measure.Inches: "in", measure.Millimetres: "mm", measure.Degrees: "deg"}[spec.Unit]; {
		case !ok:
			t.Errorf("%s: %s has no range in configs/bounds.yaml", file, c.Name)
		case spec.Noun != "" && spec.Noun != c.Unit, spec.Noun == "" && unit != c.Unit:
			t.Errorf("%s: %s is in %q, its range in configs/bounds.yaml in %q", file, c.Name, c.Unit, unit+spec.Noun)
		case !(spec.Lo < spec.Hi):
			t.Errorf("%s: %s ranges from %g to %g in configs/bounds.yaml", file, c.Name, spec.Lo, spec.Hi)
		}
		bounded[c.Name] = true
	}
	for _, c := range append(wheel.Columns(wheel.CarSheet), wheel.Columns(wheel.WheelSheet)...) {
		look("cars.csv, wheels.csv", c.Column)
	}
	for k := range track.NumKinds {
		for _, c := range k.Columns() {
			look(k.File(), c.Column)
		}
	}
	for name := range data.Columns {
		if !bounded[name] {
			t.Errorf("configs/bounds.yaml: %s is no column of a reading", name)
		}
	}
}
