package paper

import (
	"fmt"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/track"
)

// Ranking is the roadmaster's list: features of some kinds by what the plan's work there ends for the money.
func Ranking(p Planned, list []plan.Ranked, kinds []track.Kind, o PlanOptions) *Document {
	c := &planPage{Document: (&Document{Form: o.Form}).measured(o.Survey), p: p, o: o}
	c.heading(1, rankedTitle(kinds)+": "+surveyName(o.Survey))
	c.para(c.sentences()[0])
	c.para(c.rankedBy())
	c.gap()
	switch {
	case len(list) == 0:
		c.para("There is none in the survey.")
	case o.Form == Text:
		c.rankedFacts(list)
	default:
		c.add(c.rankedTable("ranked", "", list))
	}
	if o.Form != Text {
		c.gap()
	}
	c.foot()
	return c.Document
}

func rankedTitle(kinds []track.Kind) string {
	words := each.Of(kinds, manyOf)
	s := words[0]
	if n := len(words); n > 1 {
		s = strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.ToUpper(s[:1]) + s[1:] + " ranked for the money"
}

// manyOf is a kind of feature in the plural.
func manyOf(k track.Kind) string {
	return map[track.Kind]string{track.Frog: "frogs", track.Switch: "switches", track.Curve: "curves",
		track.Joint: "joints", track.Spot: "spots"}[k]
}

func (c *planPage) rankedBy() string {
	weigh := map[string]string{plan.ByPasses: "each alike", plan.ByHarm: "each by how bad its conflict can be",
		plan.ByMoney: "each by what an accident of its kind costs"}
	by := c.p.Minimises()
	if !c.p.Limited() {
		by = plan.ByHarm
	}
	return fmt.Sprintf("First is what ends most expected conflicting passes a year, %s, for the cost of the plan's "+
		"work there. Then come those where the plan does no such work: in conflict, beyond a federal limit, "+
		"undecided, not measured, clear. As ranked: a pass where the worst can happen counts 1, others less. A wheel "+
		"that is turned or changed counts at no place with its cost.", weigh[by])
}

// rankedFacts are the features as facts under their names.
func (c *planPage) rankedFacts(list []plan.Ranked) {
	for i := range list {
		x := &list[i]
		c.line(worded("%d of %d  %s, %s", x.Rank, x.Of, c.name(x.Feature.Location), c.name(x.Feature.Name())))
		c.item("hits", strings.Join(hitsThere(x), "; "))
		c.item("pairs", pairsText(x))
		c.item("met", oftenText(x))
		c.item("read", c.rankedReadings(x.Feature))
		for _, w := range c.rankedWorks(x) {
			c.item("work", w)
		}
		c.item("wheels", onWheels(x))
		c.item("ends", c.endsText(x))
		for _, f := range federalTexts(x) {
			c.item("federal", c.words(f))
		}
		c.gap()
	}
}

// rankedTable is the same as a table.
func (c *planPage) rankedTable(id, caption string, list []plan.Ranked) Table {
	t := Table{ID: id, Caption: caption, Columns: []Column{{Name: "rank", Number: true}, {Name: "place", Head: true,
		Long: true}, {Name: "what it hits", Long: true},
		{Name: "met a year", Number: true}, {Name: "work", Long: true}, {Name: "cost " + c.p.Currency, Number: true},
		{Name: "ends", Number: true}, {Name: "ends for 1,000 " + c.p.Currency, Number: true},
		{Name: "federal remedy", Long: true}}}
	for i := range list {
		x := &list[i]
		per := Cell{}
		if passes, weighed, ok := x.PerThousand(); ok {
			per = Cell{Text: plan.PassText(passes), Key: &passes,
				Lines: []string{"as ranked " + plan.PassText(weighed)}}
		}
		works := each.Of(c.rankedWorks(x), c.words)
		if w := onWheels(x); w != "" {
			works = append(works, "on wheels: "+w)
		}
		cost := Cell{}
		if len(x.Works) > 0 {
			cost = money(x.Cents)
			cost.Text = thousands(x.Cents)
		}
		met := x.Passes
		t.Rows = append(t.Rows, Row{figure(x.Rank),
			{Text: c.name(x.Feature.Location), Lines: []string{c.name(x.Feature.Name()), c.rankedReadings(x.Feature)}},
			lines(append(hitsThere(x), pairsText(x))), {Text: plan.PassText(met), Key: &met}, lines(works), cost,
			ranked(Count(x.Ends), x.Ends), per, lines(federalTexts(x))})
	}
	return t
}

// hitsThere says what hits there, or if no pair conflicts what may.
func hitsThere(x *plan.Ranked) (out []string) {
	v, _ := x.Verdict()
	for _, h := range x.Hits {
		out = append(out, fmt.Sprintf("%s (%s, %s %s)", h.Check.Happens, h.Check.ID, v, Count(h.Pairs)))
	}
	return out
}

// pairsText counts the pairs of a feature.
func pairsText(x *plan.Ranked) string {
	if _, ok := x.Verdict(); !ok {
		return "no wheel meets it"
	}
	var out []string
	for v, n := range x.Counts {
		if n > 0 {
			out = append(out, Count(n)+" "+interaction.Verdict(v).String())
		}
	}
	return strings.Join(out, ", ")
}

// onWheels names the works on wheels that end pairs there too.
func onWheels(x *plan.Ranked) string { return shorten(x.CarWorks, maxPulled) }

// oftenText is how often the conflicts of a feature are met.
func oftenText(x *plan.Ranked) string {
	if len(x.Hits) == 0 {
		return ""
	}
	return plan.PassText(x.Passes) + " expected conflicting passes a year"
}

// shownAt are the readings that a list shows of a kind of feature: what the pairs there hang on most.
func shownAt(k track.Kind) []track.Quantity {
	switch k {
	case track.Frog:
		return []track.Quantity{track.FlangewayDepth, track.GuardCheck}
	case track.Switch:
		return []track.Quantity{track.PointGap, track.PointDrop, track.OpenClearance}
	case track.Curve:
		return []track.Quantity{track.Degree, track.Gauge, track.LoadedGauge}
	case track.Joint:
		return []track.Quantity{track.HeadWear, track.BarDepth}
	}
	return []track.Quantity{track.Gauge, track.LoadedGauge}
}

// rankedReadings are these readings as written, with the date of their row.
func (c *planPage) rankedReadings(f *track.Feature) string {
	var out []string
	for _, q := range shownAt(f.Kind) {
		text := "n/m"
		if r := f.Read(q); r.Measured() {
			text = judge.PrintReading(c.o.Survey.Columns, q.String(), r)
		}
		out = append(out, q.String()+" "+text)
	}
	if f.Date.Known() {
		out = append(out, "read "+f.Date.String())
	}
	return strings.Join(out, ", ")
}

// rankedWorks are the works of the plan at a feature, cars that are kept off it as one.
func (c *planPage) rankedWorks(x *plan.Ranked) []string {
	var out, cars []string
	var cents int64
	for _, a := range x.Works {
		if a.Effect == plan.Holds {
			cars, cents = append(cars, a.ID), cents+a.Cents
			continue
		}
		out = append(out, fmt.Sprintf("%s: %s; %s %s", a.ID, a.What, thousands(a.Cents), c.p.Currency))
	}
	if len(cars) > 0 {
		out = append(out, fmt.Sprintf("%s: keep %s off; %s %s", shorten(cars, maxPulled),
			plural(len(cars), "car", "cars"), thousands(cents), c.p.Currency))
	}
	return out
}

func (c *planPage) endsText(x *plan.Ranked) string {
	if x.Ends == 0 {
		return ""
	}
	s := fmt.Sprintf("%s, %s passes a year", plural(x.Ends, "pair", "pairs"), plan.PassText(x.EndsPasses))
	if passes, weighed, ok := x.PerThousand(); ok {
		s += fmt.Sprintf("; for 1,000 %s %s a year, as ranked %s", c.p.Currency, plan.PassText(passes),
			plan.PassText(weighed))
	}
	return s
}

// federalTexts are the readings beyond a federal limit with what answers them, and by when.
func federalTexts(x *plan.Ranked) []string {
	return each.Of(x.Federal, func(d plan.Defect) string {
		return fmt.Sprintf("%s %s: %s (%s)", d.Quantity, d.Reading, federalAnswer(d), d.Source)
	})
}

// reportedRanking is the roadmaster's list on the page that is signed.
func reportedRanking(in ReportInput) *Section {
	if in.Plan.Plan == nil || len(in.Ranked) == 0 {
		return nil
	}
	c := &planPage{Document: &Document{Form: HTML}, p: in.Plan, o: PlanOptions{Survey: in.Survey}}
	s := &Section{ID: "ranked", Title: "The roadmaster's list"}
	s.para(c.rankedBy())
	for kind := range track.NumKinds {
		var list []plan.Ranked
		for _, x := range in.Ranked {
			if x.Feature.Kind == kind {
				x.Rank = len(list) + 1
				list = append(list, x)
			}
		}
		command := "plan DIR"
		if kind == track.Frog || kind == track.Switch || kind == track.Curve {
			command += " --" + manyOf(kind)
		}
		if len(list) > 0 {
			s.first(c.rankedTable("ranked-"+kind.String(), rankedTitle([]track.Kind{kind}), list), "place",
				"places", command)
		}
	}
	return s
}
