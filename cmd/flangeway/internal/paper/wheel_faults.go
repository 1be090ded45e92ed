package paper

import (
	"strings"
)

// wheelFaults lists the wheels that conflict on any track, a line each.
func (c *checkPage) wheelFaults() *Section {
	t := Table{ID: "wheels-table", Caption: "A line for each wheel and check", Columns: []Column{{Name: "wheel",
		Head: true, Long: true}, {Name: "check"}, {Name: "readings", Typed: true}, {Name: "what fixes it"}}}
	faults := c.in.Faults
	if len(faults) == 0 {
		return nil
	}
	s := &Section{ID: "wheels", Title: "Wheels that conflict even on unworn track: fix the wheel"}
	s.para("What fixes it is what unworn track asks for; a place of this survey may ask for more.")
	for i, f := range faults {
		if i == maxLimits && c.Form != HTML {
			break
		}
		t.Rows = append(t.Rows, Row{{Text: c.name(f.Wheel.Car.ID) + " " + f.Wheel.Position.String()},
			{Text: f.Check.ID}, lines(c.enteredOf(f.Readings, "wheel", false)), {Text: strings.Join(f.FixWheel, "; ")}})
	}
	if c.Form == HTML {
		s.add(t)
		return s
	}
	s.facts(t.Rows, "%s, %s: %s")
	if more := len(faults) - len(t.Rows); more > 0 {
		s.para(worded("and %d more.", more))
	}
	return s
}
