package paper

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/configs"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/internal/survey"
)

// PlanOptions say how a plan is printed.
type PlanOptions struct {
	Program string
	Survey  *survey.Survey
	Sum     string // of the survey with its limits
	Form    Form
	Before  *plan.Plan // without the edits of --what-if; nil
	Edits   []string
	Notes   []string // what moved along
	// What stands beside the plan; nil if it was not asked for.
	Assessment *plan.Assessment
	Risks      []plan.Risk
	Placings   plan.Placings
	Measure    []plan.Measure
	MeasureWhy string // why there is no Measure
	Wear       []plan.Wear
	Shares     []configs.Share
}

// Planned is a plan with the work orders that carry it out.
type Planned struct {
	*plan.Plan
	Orders []plan.Order
	Sheet  []plan.CarLine // for the car department
	// Placings are the ranks before and after the plan that the page of a report shows.
	Placings plan.Placings
}

type planPage struct {
	*Document
	p Planned
	o PlanOptions
}

// Plan prints a plan: what it does, what it costs, how far from the cheapest it can be.
func Plan(p Planned, o PlanOptions) *Document {
	c := &planPage{Document: (&Document{Form: o.Form}).measured(o.Survey), p: p, o: o}
	c.top()
	c.whatIf()
	c.federal()
	c.curve()
	c.actions(plan.Track)
	c.actions(plan.Car)
	c.met()
	c.placings()
	c.measure()
	c.wear()
	if t := c.planDefaults(c.p.Plan); len(t.Rows) > 0 {
		s := Section{Title: assumedTitle}
		s.gap()
		s.facts(t.Rows, defaultFact)
		c.add(s)
	}
	c.foot()
	return c.Document
}

func (c *planPage) money(cents int64) string { return thousands(cents) + " " + c.p.Currency }

func (c *planPage) top() {
	c.heading(1, "Joint plan: "+surveyName(c.o.Survey))
	for _, x := range c.sentences() {
		c.para(x)
	}
	c.gap()
}

// sentences say what a plan costs, how far from the cheapest it can be and what it leaves.
func (c *planPage) sentences() []string {
	sv, p := c.o.Survey, c.p
	var out []string
	say := func(s string) { out = append(out, s) }
	var track, cars int64
	n := map[string]int{}
	for _, a := range p.Actions {
		n[a.Side]++
		if a.Side == plan.Track {
			track += a.Cents
		} else {
			cars += a.Cents
		}
	}
	years := p.HorizonYears()
	say(fmt.Sprintf("Cost %s over %s (%s a year), with what is paid every year and works whose life ends within it "+
		"done again: track side %s for %s, car side %s for %s; at first %s.", c.money(p.Cents), plural(int(years),
		"year", "years"), c.money((p.Cents+years/2)/years), c.money(track), plural(n[plan.Track], "action", "actions"),
		c.money(cars), plural(n[plan.Car], "action", "actions"), crewDays(p.Actions)))
	if s := nearly(p.Plan); s != "" {
		say(s)
	}
	say(c.proof())
	if s := c.priceRanges(); s != "" {
		say(s)
	}
	out = append(out, federalSentences(p.Plan, c.money)...)
	say(fmt.Sprintf("Conflicts %s before, %s after; undecided %s before, %s after. An action removes the pairs that "+
		"come back or become worse without it, the other works staying; they are named by check. "+
		"Pairs of a held car at its place and of a closed place are no pairs afterwards. No pair is worse than it was.",
		Count(p.Conflict.Before), Count(p.Conflict.After), Count(p.Undecided.Before), Count(p.Undecided.After)))
	if p.Open > 0 {
		say(plural(p.Open, "conflict of a truck in a curve is", "conflicts of trucks in curves are") + " then " +
			"undecided, not clear: forces show neither. --level undecided removes those too.")
	}
	if s := inDoubt(p.Plan); s != "" {
		say(s)
	}
	if p.Apart > 0 {
		say(worded("%s of cars that do not go to the place are counted as check counts them, and left alone (%s); %d "+
			"of them are among the conflicts after.", plural(p.Apart, "pair", "pairs"), goesBy(sv), p.ApartLeft))
	}
	by := "as check judges it, from shapes and forces too"
	if !p.Computed {
		by = "by the plain rules, as check --plain does"
	}
	say(fmt.Sprintf("Every pair is judged %s, and was judged again on the planned readings, anywhere in the windows "+
		"of the orders and with what a reading errs besides. %s offered.", by,
		plural(p.Candidates, "action", "actions")))
	if p.Parts > 0 {
		say(worded("The choice falls into %s that do not bear on each other: %d solved at once, %d by trying sets of "+
			"actions.", plural(p.Parts, "part", "parts"), p.Cuts, p.Parts-p.Cuts))
	}
	return out
}

// nearly says that a few pairs take most of the money, if they do.
func nearly(p *plan.Plan) string {
	x, ok := p.Nearly()
	if !ok {
		return ""
	}
	return fmt.Sprintf("Most of that goes for few pairs: a plan for %s %s leaves %s of %s pairs.",
		thousands(x.Cents), p.Currency, Count(x.Conflicts), Count(p.Curve[0].Conflicts))
}

func crewDays(actions []plan.Action) string {
	crews, millis := plan.CrewDays(actions)
	out := each.Of(crews, func(c string) string { return configs.CrewDays(millis[c]) + " of the " + c + " crew" })
	if len(out) == 0 {
		return "no crew days"
	}
	return strings.Join(out, ", ")
}

// priceRanges say over which assumed prices the plan stays the cheapest.
func (c *planPage) priceRanges() string {
	var list []string
	for _, r := range c.p.Prices {
		year := ""
		if r.Yearly {
			year = " a year"
		}
		list = append(list, fmt.Sprintf("%s costs %s to %s%s (%s assumed)", strings.ReplaceAll(r.Work, "_", " "),
			thousands(r.Least), c.money(r.Most), year, thousands(r.Cents)))
	}
	tried := "Of " + plural(c.p.PricesTried, "assumed price", "assumed prices") +
		", each tried alone from half to twice of it, "
	if len(list) == 0 {
		if c.p.PricesTried == 0 {
			return ""
		}
		return tried + "none decides: the plan stays the cheapest."
	}
	return tried + worded("%d may decide: the plan stays the cheapest at least while ", len(list)) +
		strings.Join(list, "; ") + "."
}

// proof says what was minimised and how far from the best the plan can be.
func (c *planPage) proof() string {
	p := c.p
	if !p.Limited() {
		if p.Proven() {
			return fmt.Sprintf("Minimised: the cost. Proven cheapest: no set of the offered actions that does the "+
				"same costs less than %s.", c.money(p.Bound))
		}
		return fmt.Sprintf("Minimised: the cost. Not proven cheapest: no set of the offered actions that does the "+
			"same costs less than %s, so the plan is at most %.1f percent of its cost too dear.", c.money(p.Bound),
			p.GapPercent())
	}
	var limits []string
	if b := p.Options.Budget; b != nil {
		limits = append(limits, c.money(*b))
	}
	if d := p.Options.CrewDays; d != nil {
		limits = append(limits, configs.CrewDays(*d))
	}
	pairs := "pairs in conflict"
	if p.Options.Level == plan.LevelUndecided {
		pairs += " or undecided"
	}
	what, least := map[string]string{plan.ByPasses: "each alike", plan.ByHarm: "each by how bad its conflict can be",
		plan.ByMoney: "each by what an accident of its kind costs"}[p.Minimises()], "fewer"
	s := fmt.Sprintf("Minimised: expected conflicting passes a year of the %s, %s, within %s: %s passes before, %s "+
		"after, no set of the offered actions within it leaves fewer than %s. ", pairs, what,
		strings.Join(limits, " and "),
		plan.PassText(p.PassesBefore), plan.PassText(p.PassesAfter), plan.PassText(p.PassesBound))
	if p.Minimises() != plan.ByPasses {
		least = "less"
		s += fmt.Sprintf("A pass where the worst can happen counted 1, others less: %s before, %s after. ",
			plan.PassText(p.WeighedBefore), plan.PassText(p.WeighedAfter))
	}
	if p.Proven() {
		s += "Proven: no set of the offered actions within it leaves " + least + "."
	} else {
		s += fmt.Sprintf("Not proven: no set of the offered actions within it leaves less than %s (%.1f percent less).",
			plan.PassText(p.WeighedBound), p.GapPercent())
	}
	if p.Cents > p.Bound {
		s += fmt.Sprintf(" What leaves no more costs at least %s.", c.money(p.Bound))
	}
	return s
}

// inDoubt says what a plan leaves for readings that are to be taken again first; "" for nothing.
func inDoubt(p *plan.Plan) string {
	reads := 0
	for _, a := range p.Actions {
		if a.Effect == plan.Reads {
			reads++
		}
	}
	if reads == 0 && p.InDoubt == 0 {
		return ""
	}
	budget := ""
	if p.Options.Budget != nil || p.Options.CrewDays != nil {
		budget = ", nor are they among the conflicting passes that are ended"
	}
	return fmt.Sprintf("%s after the works %s on readings under a warning: read again first, then plan again (%s). "+
		"Nothing is held, turned or moved by such a reading, and what rests on it is not counted as ended%s.",
		plural(p.InDoubt, "conflict", "conflicts"), map[bool]string{true: "rests", false: "rest"}[p.InDoubt == 1],
		plural(reads, "reading again", "readings again"), budget)
}

// whatIf puts the plan without the edits beside this one.
func (c *planPage) whatIf() {
	b, p := c.o.Before, c.p
	if b == nil {
		return
	}
	c.heading(2, "What if: "+strings.Join(c.o.Edits, "; "))
	for _, s := range c.o.Notes {
		c.para(s + ".")
	}
	c.gap()
	c.table([]string{"", "before", "after"}, [][]string{
		{"conflicts", fmt.Sprint(b.Conflict.Before), fmt.Sprint(p.Conflict.Before)},
		{"undecided", fmt.Sprint(b.Undecided.Before), fmt.Sprint(p.Undecided.Before)},
		{"cost of the plan", c.money(b.Cents), c.money(p.Cents)},
		{"least it can cost", c.money(b.Bound), c.money(p.Bound)},
		{"actions", fmt.Sprint(len(b.Actions)), fmt.Sprint(len(p.Actions))},
	}, 1, 2)
	c.gap()
}

// maxLines is how many lines of a long list are printed.
const maxLines = 12

func (c *planPage) foot() {
	c.heading(2, "Cautions")
	c.gap()
	for _, s := range caution.Plan(c.o.Survey) {
		c.para(s)
	}
	c.gap()
	c.para(strings.TrimSpace(c.o.Program) + "; limits: " + strings.Join(c.o.Survey.Sets, ", ") + "; survey " +
		survey.Digits(c.o.Sum) + ".")
}

// goesBy names what says who goes where.
func goesBy(sv *survey.Survey) string {
	if len(sv.Routes.Jobs) > 0 {
		return "jobs.csv, traffic: serves"
	}
	return "traffic: serves"
}
