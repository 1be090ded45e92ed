package paper

import (
	"fmt"
	"strings"

	"flangeway/configs"
	"flangeway/interaction/plan"
)

// federalSentences say how many readings are beyond a federal limit and what the plan does about them; none if none is.
func federalSentences(p *plan.Plan, money func(cents int64) string) (out []string) {
	if len(p.Federal) == 0 {
		return nil
	}
	beyond := plural(len(p.Federal), "reading", "readings") + " beyond a federal limit"
	left := p.Unanswered()
	switch {
	case p.Options.IgnoreLimits && left == 0:
		out = append(out, beyond+": the works for the pairs bring all of them within.")
	case p.Options.IgnoreLimits:
		out = append(out, worded("%s: this plan leaves %d of them unanswered (--ignore-limits). They ask for "+
			"repair, or for what the rule says, whatever is decided here.", beyond, left))
	default:
		out = append(out, beyond+": the plan answers all of them, by repair or by what the rule itself allows; each "+
			"has its day and what holds until then. No work takes a reading beyond such a limit.")
	}
	if b := p.Options.Budget; b != nil && p.Cents > *b {
		out = append(out, fmt.Sprintf("The budget of %s is exceeded by %s: what federal limits ask for is done "+
			"whatever it costs.", money(*b), money(p.Cents-*b)))
	}
	if d := p.Options.CrewDays; d != nil && p.Millis > *d {
		out = append(out, fmt.Sprintf("The limit of %s is exceeded by %s: what federal limits ask for is done "+
			"whatever it takes.", configs.CrewDays(*d), configs.CrewDays(p.Millis-*d)))
	}
	return out
}

// federal lists the readings beyond a federal limit with what answers each.
func (c *planPage) federal() {
	if len(c.p.Federal) == 0 {
		return
	}
	c.heading(2, "Federal limits first")
	c.gap()
	for _, d := range c.p.Federal {
		where := c.name(d.Where)
		if d.Location != "" {
			where = c.name(d.Location) + ", " + where
		}
		c.line(fmt.Sprintf("%s: %s %s", where, d.Quantity, c.name(d.Reading)))
		c.add(Indented{fmt.Sprintf("beyond %s, %s%s; %s", c.words(d.Limit), d.Source, configs.MemoryMark(d.Sure),
			federalAnswer(d))})
	}
	c.gap()
}

// federalAnswer says what answers a reading beyond a federal limit, by when, and what holds until then.
func federalAnswer(d plan.Defect) string {
	if !d.Answered {
		return "left unanswered by this plan"
	}
	parts := []string{"answered by " + strings.Join(d.IDs, ", ")}
	if len(d.IDs) == 0 {
		parts[0] = "answered by the works of the plan"
	}
	if d.Due.Known() {
		parts[0] += ", by " + d.Due.String()
	}
	if d.Protect != "" {
		parts = append(parts, d.Protect)
	}
	return strings.Join(parts, "; ")
}
