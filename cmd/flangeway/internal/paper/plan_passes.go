package paper

import (
	"fmt"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/plan"
)

// met prints how often the conflicts are met as things are.
func (c *planPage) met() {
	a := c.o.Assessment
	if a == nil || len(a.Locations) == 0 {
		return
	}
	c.heading(2, "How often conflicts are met, as things are")
	c.gap()
	sampled := ""
	if a.Sampled {
		var drawn []string
		for _, check := range interaction.Checks() {
			if check.Sampled {
				drawn = append(drawn, check.ID)
			}
		}
		sampled = worded("; for %s it is drawn %d times with fixed seeds 1 and 2, standard error at most %.3f",
			strings.Join(drawn, " and "), interaction.Samples, interaction.SampleError)
	}
	if a.Shares {
		sampled += "; a pair that is open by what was computed alone counts with the part of the computed range that " +
			"fails, with the allowance, every margin in it alike (assumed)"
	}
	if a.Assumed {
		sampled += ", or with one half where there is no range (assumed)"
	}
	c.para(fmt.Sprintf("%s expected conflicting passes a year. A pair that the readings leave open counts with its "+
		"chance, each reading anywhere in its interval alike (assumed)%s. They are no accident "+
		"probabilities. Harm is what they are expected to cost in %s, by what is assumed of accidents; wheels stand by "+
		"it.", plan.PassText(a.Total), sampled, a.Currency))
	c.gap()
	c.passes("location", a.Locations)
	c.gap()
	c.passes("check", a.Checks)
	c.gap()
	c.passes("wheel (the worst)", a.Wheels[:min(maxLines, len(a.Wheels))])
	for _, g := range a.Pools {
		c.para(worded("Pool %s: %d cars measured as a sample; %d of %d wheels conflict somewhere; %s conflicting "+
			"passes a year in %s trips.", g.Group, g.Cars, g.Bad, g.Wheels, plan.PassText(g.Passes),
			plan.PassText(g.Trips)))
	}
	c.gap()
	if len(c.o.Shares) > 0 {
		var parts []string
		for _, s := range c.o.Shares {
			parts = append(parts, fmt.Sprintf("%s %g%%", s.What, s.Percent))
		}
		c.para("For comparison only, in no weight: causes of derailments at turnouts (" + c.o.Shares[0].Source + "): " +
			strings.Join(parts, ", ") + ".")
		c.gap()
	}
}

// passes adds a table of the expected passes, a line for each of a kind.
func (c *planPage) passes(of string, list []plan.Passes) {
	var rows [][]string
	for _, l := range list {
		rows = append(rows, []string{l.Name, plan.PassText(l.Passes), fmt.Sprint(l.Conflicts), fmt.Sprint(l.Undecided),
			plan.RoundMoney(l.Expected)})
	}
	c.table([]string{of, "passes a year", "conflict", "undecided", "harm a year"}, rows, 1, 2, 3, 4)
}

// measure prints what to measure next.
func (c *planPage) measure() {
	if len(c.o.Measure) == 0 && c.o.MeasureWhy == "" {
		return
	}
	c.heading(2, "What to measure next")
	c.gap()
	if len(c.o.Measure) == 0 {
		c.para(c.o.MeasureWhy)
		c.gap()
		return
	}
	var rows [][]string
	for i, x := range c.o.Measure {
		if i == maxLines {
			break
		}
		where := x.Where
		if x.Place != "" {
			where += " (" + x.Place + ")"
		}
		chance, saves := "", ""
		if x.Saves > 0 {
			chance, saves = fmt.Sprintf("%.0f%%", 100*x.Chance), configs.Money(x.Saves)
		}
		rows = append(rows, []string{x.Reading, where, fmt.Sprintf("%.0f", x.Value/100), chance, saves,
			fmt.Sprint(x.Pairs)})
	}
	c.table([]string{"reading", "where", "value " + c.p.Currency, "chance", "saves", "open pairs"}, rows, 2, 3, 4, 5)
	c.gap()
	value := "Value: the chance that the reading, once settled, makes an action of a plan at --level undecided " +
		"needless, times what that action costs; each action by itself."
	if c.p.Limited() || c.p.Options.Level != plan.LevelUndecided {
		value += " The plan is a cheap one, not the cheapest, of works that may do it."
	}
	c.para(value)
	c.gap()
}
