package paper

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/cases"
)

// Cases prints the reports that the main job is held against, and what it says of each.
func Cases(results []cases.Result, cautions []string, form Form) *Document {
	p := &Document{Form: form}
	p.heading(1, "Investigation reports and legal pairs, put to check and curve")
	said, lines, awaits, open := 0, 0, 0, 0
	for _, r := range results {
		open += len(r.Open)
		for _, l := range r.Lines {
			lines++
			switch {
			case l.OK:
				said++
			case l.Awaits != "":
				awaits++
			}
		}
	}
	p.para(worded("%d cases, %d things that the program should say of them: it says %d of them, %d are not built "+
		"yet, %d it says otherwise. %d questions stay open for want of a reading that no report gives. Each "+
		"survey stands in testdata/cases.", len(results), lines, said, awaits, lines-said-awaits, open))
	p.gap()
	for _, r := range results {
		oneCase(p, r)
	}
	p.heading(2, "Cautions")
	p.add(Bullets(cautions))
	return p
}

func oneCase(p *Document, r cases.Result) {
	p.heading(2, fmt.Sprintf("Case %s: %s", r.ID, r.Title))
	p.item("source", r.Source)
	p.item("read", r.Read)
	p.item("not read", r.NotRead)
	p.item("found", r.Concluded)
	p.item("survey", r.Tried+" ("+r.Name+")")
	p.gap()
	for _, l := range r.Lines {
		mark := "agrees"
		switch {
		case !l.OK && l.Awaits != "":
			mark = "NOT YET"
		case !l.OK:
			mark = "DIFFERS"
		}
		text := "should say: " + l.Says + ". Says: " + l.Said + "."
		if l.Awaits != "" {
			text += " Awaits " + l.Awaits + "."
		}
		p.item(mark, text)
	}
	for _, o := range r.Open {
		p.item("open", fmt.Sprintf("%s: missing is %s.", o.What, o.Reading))
	}
	p.gap()
	if len(r.Ran) == 0 {
		return
	}
	var rows [][]string
	opt := func(v *float64) string {
		if v == nil {
			return "-"
		}
		return fmt.Sprintf("%.3f", *v)
	}
	for _, x := range r.Ran {
		rows = append(rows, []string{x.Of, x.At, fmt.Sprintf("%.2f", x.Unbalance), fmt.Sprintf("%.3f", x.Lead.High.LV),
			fmt.Sprintf("%.3f", x.Lead.Low.LV), fmt.Sprintf("%.3f", max(x.TruckSide.High, x.TruckSide.Low)),
			opt(x.ClimbMargin), opt(x.RolloverMargin), fmt.Sprintf("%.1f", x.SpreadingKN)})
	}
	p.table([]string{"curve", "speed", "unbal. in", "high L/V", "low L/V", "side", "climb", "roll", "spread kN"}, rows,
		2, 3, 4, 5, 6, 7, 8)
	p.para("Lead axle's wheels and the greater truck side; margins to climbing and to a free rail that rolls over; " +
		"force that spreads the gauge. flangeway " + strings.TrimSpace("curve "+r.Ran[0].Flags) + " gives the first.")
	p.gap()
}
