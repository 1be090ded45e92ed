package paper

import (
	"cmp"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/interaction/plan"
)

// Orders prints the work orders, one for each crew, and the car department's sheet.
func Orders(p Planned, o PlanOptions) *Document {
	c := &planPage{Document: (&Document{Form: o.Form}).measured(o.Survey), p: p, o: o}
	bulletins := p.Bulletins()
	on := onBulletins(bulletins)
	for _, x := range p.Orders {
		all := len(x.Items)
		x.Items = slices.DeleteFunc(slices.Clone(x.Items), func(i plan.Item) bool {
			if on[i.ID] {
				x.Cents, x.Millis = x.Cents-i.Cents, x.Millis-i.Millis
			}
			return on[i.ID]
		})
		if len(x.Items) > 0 || all == 0 {
			c.order(x)
		}
	}
	c.bulletins(bulletins)
	c.carSheet(p.Sheet)
	if len(p.Actions) == 0 {
		c.para("There is nothing to do: no work order.")
	}
	for _, s := range caution.OfSurvey(o.Survey) {
		c.para(s)
	}
	return c.Document
}

// title is the railroad with the date of its survey.
func (c *planPage) title() string {
	name := cmp.Or(c.o.Survey.Railroad, "a railroad without a name")
	if c.o.Survey.Date.Known() {
		name += ", survey of " + c.o.Survey.Date.String()
	}
	return name
}

// SheetName tells the sheets of one survey from those of another.
func (c *planPage) SheetName() string { return SheetName(c.o.Survey, c.o.Sum, c.o.Program) }

func (c *planPage) order(x plan.Order) {
	c.heading(1, "Work order, "+x.Crew+": "+c.title())
	c.para(c.SheetName())
	c.para(orderSum(x, c.p.Currency) + ".")
	c.gap()
	location := ""
	for _, i := range x.Items {
		if i.Location != location {
			location = i.Location
			c.heading(2, location)
		}
		where := i.Where
		if i.Effect == plan.Holds {
			where = strings.TrimPrefix(where, "car/")
		}
		c.item(i.ID, where+": "+i.What)
		c.item("because", strings.Join(allHit(i.Because), ", "))
		c.item("found", finals(i.Found))
		c.item("bring", i.Material)
		c.item("done at", i.DoneAt)
		c.item("movement", i.Movement)
		c.item("federal", c.words(strings.Join(i.Answers, "; ")))
		c.item("by", dayWord(i.Due))
		c.item("protect", i.Protect)
		c.item("before", i.Before)
		c.item("after", finals(i.Final))
		c.item("check", strings.Join(i.Check, "; "))
		if i.Effect != plan.Holds {
			c.item("read", "____________________  done ____________  by ____________")
		}
	}
	c.gap()
	c.para(protectedByPractice)
	c.para("Readings after the work, all of them: taken by ______________________  date __________")
	c.para("Accepted by a qualified person: ______________________  date __________")
	c.gap()
}

// protectedByPractice says where the protection comes from that no rule asks for.
const protectedByPractice = "Protection that names no rule is common practice, no source; a qualified person decides."

func (c *planPage) carSheet(lines []plan.CarLine) {
	if len(lines) == 0 {
		return
	}
	c.heading(1, "Sheet for the car department: "+c.title())
	c.para(c.SheetName())
	car := ""
	for _, l := range plan.Axles(lines) {
		if l.Car != car {
			car = l.Car
			c.heading(3, car)
		}
		c.item(cmp.Or(l.Position, "hold"), l.ID+": "+l.Do)
		c.item("found", l.Reading)
		c.item("bring", l.Material)
		c.item("done at", l.DoneAt)
		c.item("movement", l.Movement)
		c.item("federal", c.words(strings.Join(l.Answers, "; ")))
		c.item("by", l.Due)
		c.item("protect", l.Protect)
		c.item("because", strings.Join(allHit(l.Conflicts), "; "))
		c.item("after", finals(l.Final))
		c.item("note", strings.Join(l.Note, "; "))
		if l.Wheel != nil {
			c.item("read", "____________________  done ____________  by ____________")
		}
	}
	c.gap()
	c.para(protectedByPractice)
	c.para("Done and measured by ______________________  date __________")
	c.gap()
}
