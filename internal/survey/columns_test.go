package survey_test

import (
	"fmt"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/internal/survey"
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
		switch unit := map[measure.Unit]string{measure.Inches: "in", measure.Millimetres: "mm",
			measure.Degrees: "deg"}[spec.Unit]; {
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

// TestReadableRules: a rule is taken if its quantity can be read of its subject, and every
// built-in one is; every reading can be ruled.
func TestReadableRules(t *testing.T) {
	data := fixture.Data(t)
	var problems measure.Problems
	for _, set := range data.Sets {
		set.CheckReadings(survey.Readable, &problems)
	}
	if err := problems.Err(); err != nil {
		t.Error(err)
	}
	subjects := []string{"wheel", "axle", "truck"}
	for k := range track.NumKinds {
		subjects = append(subjects, k.String())
	}
	for _, subject := range subjects {
		for _, q := range survey.Readable(subject) {
			if _, known := configs.QuantityUnit(q); !known {
				t.Errorf("%s of a %s has no unit", q, subject)
			}
		}
	}
	rule := "rules:\n  - {id: ours, subject: frog, quantity: %s, condemns: {op: '<', value: 1}, action: repair, " +
		"source: ours, kind: practice}\n"
	for _, tc := range []struct {
		quantity string
		want     []string
		reason   string
	}{
		{"flangeway_depth", nil, "a reading of a frog"}, {"speed_mph", nil, "a frog has a speed"},
		{"flange_height", []string{"ours.yaml:2:41: quantity: a frog has no reading flange_height (one of "},
			"it would never judge"},
		{"warp", []string{"ours.yaml:2:41: quantity: a frog has no reading warp"}, "a reading of other features"},
	} {
		_, err := survey.Read(folder(t, map[string]string{"railroad.yaml": "limits: [federal, ours.yaml]\n",
			"ours.yaml": fmt.Sprintf(rule, tc.quantity)}))
		var got []string
		if err != nil {
			got = strings.Split(err.Error(), "\n")
		}
		holds(t, tc.quantity, got, tc.want, tc.reason)
	}
}
