package paper

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/internal/limit"
)

// What of a list stands on the sheet that is signed; the rest is named with where it stands.
const (
	maxDecided = 40 // lines of places and of what stands under them
	maxPulled  = 8  // cars of a place, works on wheels
	maxSets    = 24 // cars with wheelsets
	maxHeld    = 2  // places
	maxNext    = 3  // readings
	maxFederal = 18
)

// Fold is the part of a page that is folded on the screen, and left out of print but if Printed.
type Fold struct {
	ID, Title string
	Printed   bool
	Blocks
}

func (Fold) block() {}

// decision is the sheet that is signed: what hits where, what it costs to end it, what is not known, and what each
// department does about it.
func (c *checkPage) decision(in ReportInput) *Section {
	s := &Section{ID: "decision", Title: "To decide"}
	sum := c.in.Result.Summary
	switch w := c.in.First; {
	case sum.Pairs == 0:
		s.para(noPair)
	case w != nil && w.Verdict == interaction.Conflict:
		s.para(fmt.Sprintf("What hits: %s in conflict, the worst at %s, %s: %s.",
			plural(sum.Count(interaction.Conflict), "pair of a wheel and a place", "pairs of a wheel and a place"),
			c.name(w.Feature.Location), c.feature(w), w.Check.Happens))
	default:
		s.para("What hits: no pair that was judged conflicts.")
	}
	if p := in.Plan.Plan; p != nil && len(p.Actions) > 0 {
		open := ""
		if p.Open > 0 {
			open = fmt.Sprintf(", %s more undecided", Count(p.Open))
		}
		s.para(strings.TrimSpace(fmt.Sprintf("What it costs to end it: %s %s over %s and %s leave %s of %s%s. %s",
			thousands(p.Cents), p.Currency, plural(int(p.HorizonYears()), "year", "years"), crewDays(p.Actions),
			plural(p.Conflict.After, "conflict", "conflicts"), Count(p.Conflict.Before), open, nearly(p))))
	}
	if sum.Pairs > 0 {
		s.para(fmt.Sprintf("What is not known: %s undecided and %s not measured.",
			plural(sum.Count(interaction.Undecided), "pair", "pairs"), Count(sum.Count(interaction.NotMeasured))))
	}
	if in.Plan.Plan != nil {
		c.decided(s, in)
	}
	if text := c.nextReadings(); text != "" {
		s.item("read next", text)
	}
	if in.shows("signatures") {
		s.add(Section{ID: "signatures", Title: "Signatures", Blocks: []Block{Signatures{"Track department",
			"Car department", "Operating department"}}})
	}
	return s
}

// decided lists the places where the plan works, first what ends most for the money, the wheels to pull and the cars
// that are kept off.
func (c *checkPage) decided(s *Section, in ReportInput) {
	p := in.Plan
	t := Table{ID: "decision-places", Caption: "Places, first where 1,000 " + p.Currency + " end most", Fixed: true,
		Columns: []Column{{Name: "place", Head: true, Long: true}, {Name: "what hits what", Long: true},
			{Name: "whose work", Long: true}, {Name: "cost " + p.Currency, Number: true},
			{Name: "ends pairs", Number: true}, {Name: "for 1,000 *", Number: true},
			{Name: "total " + p.Currency, Number: true}}}
	facts := beside(p)
	used := printedLines(Row{{Text: c.nextReadings()}}, 115)
	for _, f := range facts {
		used += printedLines(Row{{Text: f.Text}}, 115)
	}
	var total, left int64
	more := 0
	for i := range in.Ranked {
		x := &in.Ranked[i]
		if x.Ends == 0 {
			continue
		}
		total += x.Cents
		row := decidedRow(x, total)
		if used += printedLines(row[:3], 26, 28, 44); more > 0 || used > maxDecided {
			more, left = more+1, left+x.Cents
			continue
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 {
		s.add(t)
		s.para("* conflicting passes a year; a pass counts less where the worst cannot come of it.")
	}
	if more > 0 {
		s.para(fmt.Sprintf("and %s for %s %s: the roadmaster's list and the work orders have all.",
			plural(more, "place", "places"), thousands(left), p.Currency))
	}
	for _, f := range facts {
		s.add(f)
	}
}

// decidedRow is a place with what hits there, whose work ends it, and what that and all before it costs.
func decidedRow(x *plan.Ranked, total int64) Row {
	hits, works, off := "", []string{}, 0
	if len(x.Hits) > 0 {
		hits = x.Hits[0].Check.Happens
	}
	for _, a := range x.Works {
		if a.Effect == plan.Holds {
			off++
			continue
		}
		what, _, _ := strings.Cut(a.What, ", ")
		what, _, _ = strings.Cut(what, ": ") // the readings stand in the work order
		if a.Effect == plan.Reads {
			what = "read again first"
		}
		works = append(works, a.ID+" "+a.Crew+": "+Words(what))
	}
	if off > 0 {
		works = append(works, "keep "+plural(off, "car", "cars")+" off")
	}
	ended := Cell{}
	if _, weighed, ok := x.PerThousand(); ok {
		ended.Text = plan.PassText(weighed)
	}
	return Row{{Text: Name(x.Feature.Location) + ", " + Name(x.Feature.Name())}, {Text: hits}, lines(works),
		{Text: thousands(x.Cents)}, {Text: Count(x.Ends)}, ended, {Text: thousands(total)}}
}

// beside lists the decisions besides the places: wheels to pull and cars that are kept off.
func beside(p Planned) (out []Fact) {
	if list, sets, cents := pulled(p); len(list) > 0 {
		out = append(out, Fact{"pull", fmt.Sprintf("%s, %s %s: %s", plural(sets, "wheelset", "wheelsets"),
			thousands(cents), p.Currency, shorten(list, maxSets))})
	}
	if off := keptOff(p); len(off) > 0 {
		list := strings.Join(off[:min(len(off), maxHeld)], "; ")
		if n := len(off) - maxHeld; n > 0 {
			list += fmt.Sprintf("; and %s, in the order of transportation", plural(n, "more place", "more places"))
		}
		out = append(out, Fact{"keep off", list})
	}
	return out
}

// printedLines is about how many lines a row takes whose cells hold so many letters a line.
func printedLines(row Row, wide ...int) int {
	most := 1
	for i, c := range row {
		n := 0
		for _, s := range append([]string{c.Text}, c.Lines...) {
			n += 1 + len(s)/wide[i]
		}
		most = max(most, n)
	}
	return most
}

// pulled names the wheelsets that the plan works on by their cars, with how many they are and what that costs.
func pulled(p Planned) (list []string, sets int, cents int64) {
	var cars []string
	axles := map[string][]string{}
	for _, a := range p.Actions {
		if a.Side != plan.Car || a.Effect != plan.Sets {
			continue
		}
		cents += a.Cents
		car, axle := strings.TrimPrefix(a.Where, "wheel/"), ""
		if i := strings.LastIndexByte(car, ' '); i >= 0 && car != a.Where { // the axle: L2 and R2 are one
			car, axle = car[:i], car[i+2:]
		}
		if axles[car] == nil {
			cars = append(cars, car)
		}
		if !slices.Contains(axles[car], axle) {
			axles[car] = append(axles[car], axle)
			sets++
		}
	}
	for _, car := range cars {
		id := Name(car)
		if of := axles[car]; of[0] != "" {
			id += " axle " + strings.Join(of, "+")
		}
		list = append(list, id)
	}
	return list, sets, cents
}

// keptOff lists the cars that are held, a line for each place, in the order of the plan.
func keptOff(p Planned) []string {
	cars := map[string][]string{}
	var places []string
	for _, a := range p.Actions {
		if a.Effect != plan.Holds {
			continue
		}
		at := a.Location + ", " + a.At
		switch {
		case a.At == "" && a.Federal:
			at = "every place, until repaired"
		case a.At == "":
			at = "every place, returned to its owner"
		}
		if cars[at] == nil {
			places = append(places, at)
		}
		if car := Name(strings.TrimPrefix(a.Where, "car/")); !slices.Contains(cars[at], car) {
			cars[at] = append(cars[at], car)
		}
	}
	return each.Of(places, func(at string) string {
		return fmt.Sprintf("%s: %s", Name(at), shorten(cars[at], maxPulled))
	})
}

// nextReadings names the readings that would decide most; "" if none would.
func (c *checkPage) nextReadings() string {
	var list []string
	for _, u := range c.in.Open {
		list = append(list, fmt.Sprintf("%s of %s (%s)", u.Reading, c.name(u.Where), plural(u.Pairs, "pair", "pairs")))
	}
	return shorten(list, maxNext)
}

// federalAnswers are the plan's answers to each reading beyond a federal limit, by where and rule; none without one.
func federalAnswers(p *plan.Plan) map[[2]string][]string {
	out := map[[2]string][]string{}
	if p == nil {
		return out
	}
	for _, d := range p.Federal {
		by, _, _ := strings.Cut(federalAnswer(d), "; ") // what holds until then stands on the order
		out[[2]string{d.Where, d.Rule}] = []string{by}
	}
	return out
}

// federal lists the readings beyond a federal limit, those that leave no choice.
func (c *checkPage) federal(p *plan.Plan) *Section {
	t := Table{ID: "federal-table", Caption: "Readings beyond a federal limit", Fixed: true,
		Columns: []Column{{Name: "where", Head: true, Long: true}, {Name: "reading", Long: true},
			{Name: "limit", Long: true},
			{Name: "what the rule asks for", Long: true}}}
	more := 0
	answers := federalAnswers(p)
	for _, l := range byWeight(c.in.Result.Limits) {
		if l.Kind != "regulation" || l.Verdict != limit.Beyond {
			continue
		}
		if len(t.Rows) == maxFederal {
			more++
			continue
		}
		where := Cell{Text: c.name(l.Where)}
		if l.Place != "" {
			where = Cell{Text: c.name(l.Place), Lines: []string{c.name(l.Where)}}
		}
		_, condemns := limitWords(l)
		t.Rows = append(t.Rows, Row{where, {Text: l.Quantity + " " + c.name(l.Shown)},
			{Text: c.words(condemns)}, {Text: c.words(asksFor(l)),
				Lines: []string{strings.Join(append([]string{l.Source},
					answers[[2]string{l.Where, l.Rule}]...), "; ")}}})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := &Section{ID: "federal", Title: "What leaves no choice", Blocks: []Block{t}}
	if more > 0 {
		s.para(worded("and %d more, in the appendix.", more))
	}
	return s
}

// reportedMoney is the part of the page on what money ends, from nothing to the whole plan.
func reportedMoney(in ReportInput) *Section {
	p := in.Plan
	if p.Plan == nil || len(p.Curve) < 2 || len(p.Actions) == 0 {
		return nil
	}
	c := &planPage{Document: &Document{Form: HTML}, p: p, o: PlanOptions{Survey: in.Survey}}
	s := &Section{ID: "money", Title: "What the money ends", Blocks: []Block{c.costTable(), Para{costWords}}}
	if in.shows("drawings") {
		s.add(Drawing{SVG: CostDrawing(p.Plan), Caption: "Money against the pairs it leaves, each side's share."})
	}
	return s
}

// thousands is an amount of hundredths with its thousands set apart.
func thousands(cents int64) string { return configs.Apart(configs.Money(cents)) }
