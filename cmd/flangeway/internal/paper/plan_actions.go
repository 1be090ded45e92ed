package paper

import (
	"slices"
	"strings"

	"flangeway/interaction/plan"
)

func money(cents int64) Cell {
	v := float64(cents)
	return Cell{Text: thousands(cents), Key: &v}
}

func (c *planPage) actionTable(side string) Table {
	t := Table{ID: "plan-" + side, Caption: map[string]string{plan.Track: "Track side", plan.Car: "Car side"}[side],
		Columns: []Column{{Name: "id", Head: true}, {Name: "where", Long: true},
			{Name: "cost " + c.p.Currency, Number: true}, {Name: "removes", Number: true}, {Name: "what", Long: true},
			{Name: "because"}}}
	hits := allHit
	if c.Form == HTML { // the tables of the appendix name checks by their ids
		hits = slices.Clone[[]string]
	}
	for _, a := range c.p.Actions {
		if a.Side != side {
			continue
		}
		what := Cell{Text: c.words(a.What)}
		if a.PaidWith != "" {
			what.Lines = []string{"paid with " + a.PaidWith}
		}
		t.Rows = append(t.Rows, Row{{Text: a.ID}, {Text: c.where(a)}, money(a.Cents), figure(a.Removes), what,
			lines(hits(c.p.Because(a)))})
	}
	return t
}

// where is the place of an action: a car has none.
func (c *planPage) where(a plan.Action) string {
	if a.Side == plan.Track {
		return c.name(a.Location) + ", " + c.name(a.Where)
	}
	return c.name(a.Where)
}

// actions adds the actions of one side: as a table, or if a page of 80 columns has no room for one, with what is done
// under each.
func (c *planPage) actions(side string) {
	t := c.actionTable(side)
	if len(t.Rows) == 0 {
		return
	}
	c.heading(2, t.Caption)
	c.gap()
	if c.Form == Markdown {
		c.add(t)
		return
	}
	for _, a := range c.p.Actions {
		if a.Side != side {
			continue
		}
		cost, what := c.money(a.Cents), a.What
		if a.PaidWith != "" {
			cost = "paid with " + a.PaidWith
		}
		if why := allHit(c.p.Because(a)); len(why) > 0 {
			what += "; " + because(a) + strings.Join(why, ", ")
		}
		c.line(worded("%-5s %s; %s, removes %d", a.ID, c.where(a), cost, a.Removes))
		c.add(Indented{what})
	}
	c.gap()
}

// because introduces the checks of the pairs of an action: a reading again ends none.
func because(a plan.Action) string {
	if a.Effect == plan.Reads {
		return "on it rest "
	}
	return "because "
}

// costTable is the curve of money against what it leaves.
func (c *planPage) costTable() Table {
	t := Table{ID: "plan-money", Caption: "Money and what it leaves", Fixed: true,
		Columns: []Column{{Name: "cost " + c.p.Currency, Number: true, Head: true}, {Name: "pairs left", Number: true},
			{Name: "track side", Number: true}, {Name: "car side", Number: true}}}
	for _, x := range c.p.Curve {
		t.Rows = append(t.Rows, Row{money(x.Cents), figure(x.Conflicts), money(x.Track), money(x.Cars)})
	}
	return t
}

// costWords stand under the curve.
const costWords = "Each line is the plan that ends most conflicting passes for its money. Pairs left are those that " +
	"it does not end."

// curve adds money against what is left.
func (c *planPage) curve() {
	if len(c.p.Curve) < 2 {
		return
	}
	t := c.costTable()
	c.heading(2, t.Caption)
	c.add(Gap{}, t, Gap{}, Para{costWords + " --budget finds the plans between."}, Gap{})
}
