package paper

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/survey"
)

// PlanOptions say how a plan is printed.
type PlanOptions struct {
	Program string
	Survey  *survey.Survey
	Form    Form
	Before  *plan.Plan // without the edits of --what-if; nil
	Edits   []string
	Notes   []string // what moved along
	// What stands beside the plan; nil where it was not asked for.
	Assessment *plan.Assessment
	Measure    []plan.Measure
	MeasureWhy string // why there is no Measure
	Wear       []plan.Wear
	Shares     []configs.Share
}

type planPage struct {
	*Document
	p *plan.Plan
	o PlanOptions
}

// Plan prints a plan: what it does, what it costs, how far from the cheapest it can be.
func Plan(p *plan.Plan, o PlanOptions) *Document {
	c := &planPage{Document: &Document{Form: o.Form}, p: p, o: o}
	c.top()
	c.whatIf()
	c.curve()
	c.actions(plan.Track, "Track side")
	c.actions(plan.Car, "Car side")
	c.met()
	c.measure()
	c.wear()
	c.defaults()
	c.foot()
	return c.Document
}

func (c *planPage) money(cents int64) string { return configs.Money(cents) + " " + c.p.Currency }

func (c *planPage) top() {
	sv, p := c.o.Survey, c.p
	name := sv.Railroad
	if name == "" {
		name = "A railroad without a name"
	}
	if sv.Date.Known() {
		name += ", " + sv.Date.String()
	}
	c.heading(1, "Joint plan: "+name)
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
	c.para(fmt.Sprintf("Cost %s: track side %s for %s, car side %s for %s; %s crew days.", c.money(p.Cents),
		c.money(track), plural(n[plan.Track], "action", "actions"), c.money(cars), plural(n[plan.Car], "action", "actions"), configs.Days(p.Millis)))
	switch {
	case p.Proven():
		c.para(fmt.Sprintf("Proven cheapest: no set of the offered actions that does the same costs less than %s.", c.money(p.Bound)))
	default:
		c.para(fmt.Sprintf("Not proven cheapest: no set of the offered actions that does the same costs less than %s, so the plan is at most %.1f percent of its cost too dear.", c.money(p.Bound), p.GapPercent()))
	}
	c.para(fmt.Sprintf("Conflicts %d before, %d after; undecided %d before, %d after. An action removes the pairs that come back or become worse without it, the other works staying; they are named by check. Pairs of a held car at its place and of a closed place are no pairs afterwards. No pair is worse than it was.",
		p.Conflict.Before, p.Conflict.After, p.Undecided.Before, p.Undecided.After))
	if p.Options.Budget != nil || p.Options.CrewDays != nil {
		var limits []string
		if b := p.Options.Budget; b != nil {
			limits = append(limits, c.money(*b))
		}
		if d := p.Options.CrewDays; d != nil {
			limits = append(limits, configs.Days(*d)+" crew days")
		}
		pairs := "pairs in conflict"
		if p.Options.Level == plan.LevelUndecided {
			pairs += " or undecided"
		}
		c.para(fmt.Sprintf("Within %s: expected conflicting passes a year of the %s %s before, %s after; no plan within it leaves fewer than %s.", strings.Join(limits, " and "), pairs,
			plan.PassText(p.PassesBefore), plan.PassText(p.PassesAfter), plan.PassText(p.PassesBound)))
	}
	if s := InDoubt(p); s != "" {
		c.para(s)
	}
	if p.Apart > 0 {
		c.para(fmt.Sprintf("%s of cars that do not go to the place are counted as check counts them, and left alone (traffic: serves); %d of them are among the conflicts after.", plural(p.Apart, "pair", "pairs"), p.ApartLeft))
	}
	tol, _ := sv.Settings.Setting("work_tolerance")
	by := "as check judges it, from shapes and forces too"
	if !p.Computed {
		by = "by the plain rules, as check --plain does"
	}
	c.para(fmt.Sprintf("Every pair is judged %s, and was judged again on the planned readings, with +-%s where a sheet reads closer. %s offered.", by, tol.Text(), plural(p.Candidates, "action", "actions")))
	if p.Parts > 0 {
		c.para(fmt.Sprintf("The choice falls into %s: %d solved and certified as minimum cuts, %d by branch and bound.",
			plural(p.Parts, "independent part", "independent parts"), p.Cuts, p.Parts-p.Cuts))
	}
	c.gap()
}

// InDoubt says what a plan leaves for readings that are to be taken again first; "" for
// nothing.
func InDoubt(p *plan.Plan) string {
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
	return fmt.Sprintf("%s after the works %s on readings under a warning: read again first, then plan again (%s). Nothing is held, turned or moved by such a reading, and what rests on it is not counted as ended%s.",
		plural(p.InDoubt, "conflict", "conflicts"), map[bool]string{true: "rests", false: "rest"}[p.InDoubt == 1], plural(reads, "reading again", "readings again"), budget)
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

// curve prints money against what is left.
func (c *planPage) curve() {
	if len(c.p.Curve) < 2 {
		return
	}
	c.heading(2, "Money and what it leaves")
	c.gap()
	var rows [][]string
	for _, x := range c.p.Curve {
		rows = append(rows, []string{configs.Money(x.Cents), fmt.Sprint(x.Conflicts), configs.Money(x.Track), configs.Money(x.Cars)})
	}
	c.table([]string{"cost " + c.p.Currency, "pairs left", "track side", "car side"}, rows, 0, 1, 2, 3)
	c.gap()
	c.para("Each line is the plan that ends most conflicting passes for its money; --budget finds the plans between. Pairs left are those of --level that are not clear.")
	c.gap()
}

func (c *planPage) actions(side, title string) {
	list := slices.DeleteFunc(slices.Clone(c.p.Actions), func(a plan.Action) bool { return a.Side != side })
	if len(list) == 0 {
		return
	}
	c.heading(2, title)
	c.gap()
	var rows [][]string
	for _, a := range list {
		where, why := a.Where, strings.Join(c.p.Because(a), ", ")
		if side == plan.Track {
			where = a.Location + ", " + a.Where
		}
		if c.Form == Markdown {
			what := a.What
			if a.PaidWith != "" {
				what += ", paid with " + a.PaidWith
			}
			rows = append(rows, []string{a.ID, where, configs.Money(a.Cents), fmt.Sprint(a.Removes), what, why})
			continue
		}
		cost, what := configs.Money(a.Cents)+" "+c.p.Currency, a.What
		if a.PaidWith != "" {
			cost = "paid with " + a.PaidWith
		}
		if why != "" {
			what += "; " + because(a) + why
		}
		c.line(fmt.Sprintf("%-5s %s; %s, removes %d", a.ID, where, cost, a.Removes))
		for _, l := range wrap(what, width-6) {
			c.line("      " + l)
		}
	}
	if c.Form == Markdown {
		c.table([]string{"id", "where", "cost", "removes", "what", "because"}, rows, 2, 3)
		return
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

// maxLines is how many lines of a long list are printed.
const maxLines = 12

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
		sampled = fmt.Sprintf("; for point-climb and point-pick it is drawn %d times with fixed seeds 1 and 2, standard error at most %.3f", interaction.Samples, interaction.SampleError)
	}
	if a.Shares {
		sampled += "; a pair that is open by what was computed alone counts with the part of the computed range that fails, with the allowance, every margin in it alike (assumed)"
	}
	if a.Assumed {
		sampled += ", or with one half where there is no range (assumed)"
	}
	c.para(fmt.Sprintf("%s expected conflicting passes a year. A pair that the readings leave open counts with its chance, each reading anywhere in its interval alike (assumed)%s. They are no accident probabilities.", plan.PassText(a.Total), sampled))
	c.gap()
	var rows [][]string
	for _, l := range a.Locations {
		rows = append(rows, []string{l.Name, plan.PassText(l.Passes), fmt.Sprint(l.Conflicts), fmt.Sprint(l.Undecided)})
	}
	c.table([]string{"location", "passes a year", "conflict", "undecided"}, rows, 1, 2, 3)
	c.gap()
	rows = nil
	for _, l := range a.Checks {
		rows = append(rows, []string{l.Name, plan.PassText(l.Passes), fmt.Sprint(l.Conflicts), fmt.Sprint(l.Undecided)})
	}
	c.table([]string{"check", "passes a year", "conflict", "undecided"}, rows, 1, 2, 3)
	c.gap()
	rows = nil
	for i, l := range a.Wheels {
		if i == maxLines {
			break
		}
		rows = append(rows, []string{l.Name, plan.PassText(l.Passes), fmt.Sprint(l.Conflicts), fmt.Sprint(l.Undecided)})
	}
	c.table([]string{"wheel (the worst)", "passes a year", "conflict", "undecided"}, rows, 1, 2, 3)
	for _, g := range a.Pools {
		c.para(fmt.Sprintf("Pool %s: %d cars measured as a sample; %d of %d wheels conflict somewhere; %s conflicting passes a year in %s trips.", g.Group, g.Cars, g.Bad, g.Wheels, plan.PassText(g.Passes), plan.PassText(g.Trips)))
	}
	c.gap()
	if len(c.o.Shares) > 0 {
		var parts []string
		for _, s := range c.o.Shares {
			parts = append(parts, fmt.Sprintf("%s %g%%", s.What, s.Percent))
		}
		c.para("For comparison only, in no weight: causes of derailments at turnouts (" + c.o.Shares[0].Source + "): " + strings.Join(parts, ", ") + ".")
		c.gap()
	}
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
		rows = append(rows, []string{x.Reading, where, fmt.Sprintf("%.0f", x.Value/100), chance, saves, fmt.Sprint(x.Pairs)})
	}
	c.table([]string{"reading", "where", "value " + c.p.Currency, "chance", "saves", "open pairs"}, rows, 2, 3, 4, 5)
	c.gap()
	c.para("Value: the chance that the reading, once settled, makes an action of the plan at --level undecided needless, times what that action costs; each action by itself.")
	c.gap()
}

// wear prints rates of wear and when limits are reached.
func (c *planPage) wear() {
	if len(c.o.Wear) == 0 {
		return
	}
	c.heading(2, "When: wear from the dated rows")
	c.gap()
	for i, x := range c.o.Wear {
		if i == 3*maxLines {
			c.para(fmt.Sprintf("and %d more", len(c.o.Wear)-i))
			break
		}
		where := x.Where
		if x.Place != "" {
			where = x.Place + ", " + where
		}
		c.line(fmt.Sprintf("%s %s: %s from %s", where, x.Column, x.RateText(), plural(x.Rows, "row", "rows")))
		for _, e := range x.Events {
			late := "open"
			if e.Latest.Known() {
				late = e.Latest.String()
			}
			past := ""
			if d := c.o.Survey.Date; d.Known() && e.Likely.Known() && e.Likely < d {
				past = "; past by now at this rate: measure again"
			}
			c.item("", fmt.Sprintf("%s (%s): %s to %s, likely %s%s", e.What, e.At, e.Earliest, late, likely(e), past))
		}
		for _, n := range x.Notes {
			c.item("", n)
		}
	}
	c.gap()
	c.para("Windows are those of a rate two standard errors faster and slower; the error is that of the line through the rows, at least that of reading.")
	c.gap()
}

func likely(e plan.Event) string {
	if e.Likely.Known() {
		return e.Likely.String()
	}
	return "beyond 40 years"
}

func (c *planPage) defaults() {
	if len(c.p.Defaults) == 0 {
		return
	}
	c.heading(2, "Defaults that entered")
	c.gap()
	for _, d := range c.p.Defaults {
		c.item(d.Setting, d.Value+" ("+d.Kind+": "+d.Source+")")
	}
	c.gap()
}

func (c *planPage) foot() {
	c.heading(2, "Cautions")
	c.gap()
	for _, s := range caution.Plan(c.o.Survey) {
		c.para(s)
	}
	c.gap()
	c.para(strings.TrimSpace(c.o.Program) + "; limits: " + strings.Join(c.o.Survey.Sets, ", ") + ".")
}
