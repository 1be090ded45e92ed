package paper

import (
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/interaction/plan"
)

// Orders prints the work orders, one for each crew, and the car department's sheet.
func Orders(p Planned, o PlanOptions) *Document {
	c := &planPage{Document: &Document{Form: o.Form}, p: p, o: o}
	for _, x := range p.Orders {
		c.order(x)
	}
	c.carSheet(p.Sheet)
	if len(p.Actions) == 0 {
		c.para("There is nothing to do: no work order.")
	}
	for _, s := range caution.OfSurvey(o.Survey) {
		c.para(s)
	}
	return c.Document
}

func (c *planPage) title() string {
	sv := c.o.Survey
	name := sv.Railroad
	if name == "" {
		name = "a railroad without a name"
	}
	if sv.Date.Known() {
		name += ", survey of " + sv.Date.String()
	}
	return name
}

func (c *planPage) order(x plan.Order) {
	c.heading(1, "Work order, "+x.Crew+": "+c.title())
	c.para(orderSum(x, c.p.Currency) + ".")
	c.gap()
	location := ""
	for _, i := range x.Items {
		if i.Location != location {
			location = i.Location
			c.heading(2, location)
		}
		what := i.What
		if i.Effect == plan.Holds {
			what = i.Where[len("car/"):] + ": " + what
		} else {
			what = i.Where + ": " + what
		}
		c.item(i.ID, what)
		if len(i.Because) > 0 {
			c.item("because", strings.Join(i.Because, ", "))
		}
		if i.Before != "" {
			c.item("before", i.Before)
		}
		if len(i.Final) > 0 {
			c.item("final", strings.Join(i.Final, "; "))
		}
		if len(i.Check) > 0 {
			c.item("check", strings.Join(i.Check, "; "))
		}
		if i.Effect != plan.Holds {
			c.item("read", "____________________  done ____________  by ____________")
		}
	}
	c.gap()
	c.para("Readings after the work, all of them: taken by ______________________  date __________")
	c.para("Accepted by a qualified person: ______________________  date __________")
	c.gap()
}

func (c *planPage) carSheet(lines []plan.CarLine) {
	if len(lines) == 0 {
		return
	}
	c.heading(1, "Sheet for the car department: "+c.title())
	car := ""
	for _, l := range lines {
		if l.Car != car {
			car = l.Car
			c.heading(3, car)
		}
		label := l.Position
		if label == "" {
			label = "hold"
		}
		c.item(label, l.Do)
		if l.Reading != "" {
			c.item("now", l.Reading)
		}
		if len(l.Conflicts) > 0 {
			c.item("because", strings.Join(l.Conflicts, "; "))
		}
		if len(l.Final) > 0 {
			c.item("final", strings.Join(l.Final, "; "))
		}
		if len(l.Note) > 0 {
			c.item("note", strings.Join(l.Note, "; "))
		}
	}
	c.gap()
	c.para("Done and measured by ______________________  date __________")
	c.gap()
}
