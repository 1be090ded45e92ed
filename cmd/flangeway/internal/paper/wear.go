package paper

import (
	"fmt"

	"flangeway/interaction/plan"
	"flangeway/internal/measure"
)

// wearTitle heads the windows of wear, and wearWords stand under them.
const (
	wearTitle = "When: wear from the dated rows"
	wearWords = "The true date lies in its window about nine times of ten if wear goes on as it did: the window has " +
		"the error of level and slope of the line through the rows, that of reading and uneven years. Where the " +
		"other side wears too, both lines count. What is reached first stands first."
)

// wear prints rates of wear and when limits are reached.
func (c *planPage) wear() {
	if len(c.o.Wear) == 0 {
		return
	}
	c.heading(2, wearTitle)
	c.gap()
	for i, x := range c.o.Wear {
		if i == 3*maxLines {
			c.para(worded("and %d more", len(c.o.Wear)-i))
			break
		}
		where := x.Where
		if x.Place != "" {
			where = x.Place + ", " + where
		}
		c.line(fmt.Sprintf("%s %s: %s from %s", where, x.Column, x.RateText(), plural(x.Rows, "row", "rows")))
		for _, e := range x.Events {
			past := ""
			if pastBy(e, c.o.Survey.Date) {
				past = "; " + pastWords
			}
			c.item("",
				fmt.Sprintf("%s (%s): %s to %s, likely %s%s", e.What, e.At, e.Earliest, latest(e), likely(e), past))
		}
		for _, n := range x.Notes {
			c.item("", n)
		}
	}
	c.gap()
	c.para(wearWords)
	c.gap()
}

// pastWords are said of what should have been reached by now.
const pastWords = "past by now at this rate: measure again"

// pastBy reports whether the likely date lies before that of the survey.
func pastBy(e plan.Event, survey measure.Date) bool {
	return survey.Known() && e.Likely.Known() && e.Likely < survey
}

func latest(e plan.Event) string {
	if e.Latest.Known() {
		return e.Latest.String()
	}
	return "open"
}

func likely(e plan.Event) string {
	if e.Likely.Known() {
		return e.Likely.String()
	}
	return "beyond 40 years"
}

// reportedWear is the part of the signed page on when limits and first conflicts are reached.
func reportedWear(in ReportInput) *Section {
	if len(in.Wear) == 0 {
		return nil
	}
	t := Table{ID: "wear-windows", Caption: "Windows in which limits and first conflicts are reached",
		Columns: []Column{{Name: "where", Head: true, Long: true}, {Name: "reading"}, {Name: "rate"},
			{Name: "what is reached"}, {Name: "earliest"}, {Name: "likely"}, {Name: "latest"}}}
	for _, x := range in.Wear {
		where := Cell{Text: Name(x.Where)}
		if x.Place != "" {
			where = Cell{Text: Name(x.Place), Lines: []string{Name(x.Where)}}
		}
		rate := Cell{Text: x.RateText(), Lines: []string{plural(x.Rows, "row", "rows")}}
		for _, n := range x.Notes {
			rate.Lines = append(rate.Lines, Words(n))
		}
		if len(x.Events) == 0 {
			t.Rows = append(t.Rows,
				Row{where, {Text: x.Column}, rate, {Text: "-"}, {Text: "-"}, {Text: "-"}, {Text: "-"}})
		}
		for _, e := range x.Events {
			when := Cell{Text: likely(e)}
			if pastBy(e, in.Survey.Date) {
				when.Lines = []string{pastWords}
			}
			t.Rows = append(t.Rows, Row{where, {Text: x.Column}, rate, {Text: Words(e.What + " (" + e.At + ")")},
				{Text: e.Earliest.String()}, when, {Text: latest(e)}})
		}
	}
	return &Section{ID: "wear", Title: wearTitle, Blocks: []Block{t, Para{wearWords}}}
}
