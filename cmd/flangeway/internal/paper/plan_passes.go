package paper

import (
	"fmt"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
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
		"probabilities. Harm is what they are expected to cost in %s, by what is assumed of accidents.",
		plan.PassText(a.Total), sampled, a.Currency))
	c.gap()
	c.passes("location", a.Locations)
	c.gap()
	c.passes("check", a.Checks)
	for _, g := range a.Pools {
		c.para(worded("Pool %s: %d cars measured as a sample; %d of %d wheels conflict somewhere; %s conflicting "+
			"passes a year in %s trips.", g.Group, g.Cars, g.Bad, g.Wheels, plan.PassText(g.Passes),
			plan.PassText(g.Trips)))
	}
	c.gap()
	if len(c.o.Shares) > 0 {
		parts := each.Of(c.o.Shares, func(s configs.Share) string { return fmt.Sprintf("%s %g%%", s.What, s.Percent) })
		c.para("For comparison only, in no weight: causes of derailments at turnouts (" + c.o.Shares[0].Source + "): " +
			strings.Join(parts, ", ") + ".")
		c.gap()
	}
}

// placings prints what places, features and wheels are expected to cost before and after the plan.
func (c *planPage) placings() {
	x := c.o.Placings
	if len(x.Places) == 0 {
		return
	}
	c.heading(2, harmBeforeAndAfter)
	c.gap()
	c.para(placingsSaid(c.p.Currency))
	c.gap()
	for _, l := range placingLists(x) {
		rows := each.Of(l.list[:min(maxLines, len(l.list))], placingRow)
		c.table(placingColumns(l.of), rows, 0, 2, 3, 4, 5, 6)
		if n := len(l.list) - maxLines; n > 0 {
			c.para(worded("and %d more in plan --format json", n))
		}
		c.gap()
	}
}

const harmBeforeAndAfter = "Expected harm before and after the plan"

// placingsSaid says what the ranks before and after a plan are by.
func placingsSaid(currency string) string {
	return fmt.Sprintf("What conflicting passes are expected to cost in %s a year: passes, times the chance that one "+
		"ends in an accident, times what that costs at the speed; chance and price are assumed, so the least and the "+
		"most are given, these with all that is not clear. What conflicts stands first, then what is beyond a federal "+
		"limit, undecided, not measured. First is in how many of 1,000 draws of what is assumed it is the worst of "+
		"those; then is the rank after the plan, and how often first. After the plan a pair whose readings change and "+
		"that shapes or forces leave open counts with at most one half (assumed).", currency)
}

// placingList are the ranks of the things of one sort.
type placingList struct {
	of   string
	list []plan.Placing
}

func placingLists(x plan.Placings) []placingList {
	return []placingList{{"place", x.Places}, {"feature", x.Features}, {"wheel", x.Wheels}}
}

func placingColumns(of string) []string {
	return []string{"", of, "now", "least to most", "first", "after", "then"}
}

func placingRow(y plan.Placing) []string {
	return []string{fmt.Sprint(y.Before.Rank), y.Name, plan.RoundMoney(y.Before.Expected),
		plan.RoundMoney(y.Before.Harm.Low) + " to " + plan.RoundMoney(y.Before.Harm.High), firstIn(&y.Before),
		plan.RoundMoney(y.After.Expected),
		strings.Join(nonempty(fmt.Sprint(y.After.Rank), firstIn(&y.After)), ", ")}
}

// firstIn is in how many of the draws it is the worst.
func firstIn(s *plan.Stood) string {
	switch v := s.FirstPercent; {
	case v >= 0.5:
		return fmt.Sprintf("%.0f%%", v)
	case v > 0:
		return "<1%"
	}
	return ""
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
