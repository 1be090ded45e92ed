package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/configs"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
)

// jointPlan is the part of the page on what to do, on whose side, at what cost.
func jointPlan(in ReportInput) *Section {
	p := in.Plan
	if p.Plan == nil {
		return nil
	}
	s := &Section{ID: "plan", Title: "The joint plan"}
	if len(p.Actions) == 0 {
		s.para("There is no conflict that the plan knows a work for: nothing to do.")
		return s
	}
	c := &planPage{Document: &Document{Form: HTML}, p: p, o: PlanOptions{Survey: in.Survey}}
	for _, x := range c.sentences() {
		s.para(x)
	}
	for _, t := range []Table{c.actionTable(plan.Track), c.actionTable(plan.Car)} {
		if len(t.Rows) > 0 {
			s.first(t, "action", "actions", "plan DIR --format csv")
		}
	}
	s.placings(p)
	return s
}

// placings adds what places, features and wheels are expected to cost before and after the plan.
func (s *Section) placings(p Planned) {
	if len(p.Placings.Places) == 0 {
		return
	}
	s.para(harmBeforeAndAfter + ". " + placingsSaid(p.Currency))
	for _, l := range placingLists(p.Placings) {
		t := Table{ID: "harm-" + l.of, Caption: harmBeforeAndAfter + ", by " + l.of}
		for i, name := range placingColumns(l.of) {
			t.Columns = append(t.Columns, Column{Name: cmp.Or(name, "rank"), Head: i == 1, Long: i == 1,
				Number: i == 2 || i == 5})
		}
		for _, y := range l.list[:min(maxLines, len(l.list))] {
			y.Name = Name(y.Name)
			t.Rows = append(t.Rows, each.Of(placingRow(y), func(v string) Cell { return Cell{Text: v} }))
		}
		s.add(t)
		if n := len(l.list) - maxLines; n > 0 {
			s.para(worded("and %d more in plan --format json", n))
		}
	}
}

// CostDrawing is the curve of money against what it leaves.
func CostDrawing(p *plan.Plan) []byte {
	var points []draw.CostPoint
	for _, x := range p.Curve {
		points = append(points, draw.CostPoint{Cost: float64(x.Cents) / 100, Left: x.Conflicts,
			Track: float64(x.Track) / 100})
	}
	return draw.CostCurve(points, p.Currency)
}

// reportedOrders is the part with a work order for each crew and the car department's sheet.
func reportedOrders(p Planned) *Section {
	if p.Plan == nil || len(p.Actions) == 0 {
		return nil
	}
	s := &Section{ID: "orders", Title: "Work orders"}
	for n, o := range p.Orders {
		t := Table{ID: fmt.Sprintf("order-%d", n+1), Fixed: true, Caption: o.Crew + ": " + orderSum(o, p.Currency),
			Columns: []Column{{Name: "id", Head: true}, {Name: "place", Long: true}, {Name: "work", Long: true},
				{Name: "reads afterwards; then check", Long: true}, {Name: "read, done, by"}}}
		for _, i := range heldTogether(o.Items) {
			work := Cell{Text: Words(i.What)}
			if i.Before != "" {
				work.Lines = []string{"before: " + Words(i.Before)}
			}
			if i.Protect != "" {
				work.Lines = append(work.Lines, i.Protect)
			}
			for _, b := range few(allHit(i.Because)) {
				work.Lines = append(work.Lines, "because "+b)
			}
			after := Cell{Text: final(i.Final)}
			if len(i.Check) > 0 {
				after = lines(nonempty(after.Text, Words(strings.Join(i.Check, "; "))))
			}
			t.Rows = append(t.Rows,
				Row{{Text: i.ID}, lines(nonempty(Name(i.Location), Name(i.Where))), work, after, {}})
		}
		s.add(t)
	}
	if t := wheelsets(p.Sheet); len(t.Rows) > 0 {
		s.add(t)
	}
	s.para(protectedByPractice + " That person takes every reading again after the work and accepts it.")
	return s
}

// nonempty are the texts that say something.
func nonempty(list ...string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

// heldTogether makes one item of all cars that are kept off a place, where the first of them stands.
func heldTogether(items []plan.Item) []plan.Item {
	var out []plan.Item
	at := map[string]int{}
	for _, i := range items {
		if i.Effect != plan.Holds || i.At == "" { // a car that does not go at all stands by itself
			out = append(out, i)
			continue
		}
		car := Name(strings.TrimPrefix(i.Where, "car/"))
		k, ok := at[i.At]
		if !ok {
			at[i.At] = len(out)
			i.What, i.Where = "keep off: "+car+" ("+i.ID+")", i.At
			out = append(out, i)
			continue
		}
		o := &out[k]
		first, _, _ := strings.Cut(o.ID, " ")
		o.ID = first + " ..."
		o.What += "; " + car + " (" + i.ID + ")"
		for _, b := range i.Because {
			if !slices.Contains(o.Because, b) {
				o.Because = append(slices.Clone(o.Because), b)
			}
		}
	}
	return out
}

// maxBecause is how many reasons stand beside a work; the appendix and csv have all.
const maxBecause = 1

func few(list []string) []string {
	if len(list) <= maxBecause {
		return list
	}
	out := slices.Clone(list[:maxBecause])
	out[maxBecause-1] += worded(" and %d more", len(list)-maxBecause)
	return out
}

// wheelsets lists the work of the car department: a wheelset is one row. Cars that are kept off a place stand in the
// order of transportation, and every reading before and after in the appendix.
func wheelsets(list []plan.CarLine) Table {
	t := Table{ID: "car-work", Caption: "Sheet for the car department", Fixed: true,
		Columns: []Column{{Name: "car", Head: true, Long: true}, {Name: "wheels"}, {Name: "do", Long: true},
			{Name: "because", Long: true}, {Name: "read, done, by"}}}
	last := ""
	for _, l := range list {
		if l.Position == "" {
			continue
		}
		because := each.Of(l.Conflicts, func(c string) string { return hit(Name(c)) })
		if len(because) == 0 {
			for _, a := range l.Answers {
				because = append(because, Words(a))
			}
		}
		if axle := l.Car + " " + l.Position[1:]; axle != last {
			last = axle
			t.Rows = append(t.Rows, Row{{Text: Name(l.Car)}, {Text: l.Position, Lines: []string{l.ID}}, wheelWork(l),
				lines(few(because)), {}})
			continue
		}
		r := t.Rows[len(t.Rows)-1] // the mate
		r[1].Text += ", " + l.Position
		r[1].Lines[0] += ", " + l.ID
		switch w := l.Wheel; {
		case w == nil && r[2].Text != Words(l.Do):
			r[2].Lines = append(r[2].Lines, l.Position+": "+Words(l.Do))
		case w == nil, w.Cut == "" && w.Height == "": // the row says it of both
		case w.Cut == "":
			r[2].Lines[0] = "both: flange " + w.Height + " in high and " + w.Thickness + " in thick"
		default:
			r[2].Lines[0] = "each " + r[2].Lines[0] + ", " + l.Position + " " + w.Rim + " in"
		}
		if r[3].Text == "" {
			r[3] = lines(few(because))
		}
	}
	return t
}

// wheelWork is the work on the wheel of a wheelset that is listed first, in two lines: what both get, and what it
// has of its own.
func wheelWork(l plan.CarLine) Cell {
	w := l.Wheel
	switch {
	case w == nil:
		return Cell{Text: Words(l.Do)}
	case w.Cut == "" && w.Height == "":
		return Cell{Text: w.Do + ": back-to-back " + w.BackToBack + " in"}
	case w.Cut == "":
		return Cell{Text: w.Do + ": back-to-back " + w.BackToBack + " in",
			Lines: []string{"flange " + w.Height + " in high and " + w.Thickness + " in thick"}}
	}
	what := "turn the wheelset"
	if w.Cut == "0" {
		what = "turn the flanges alone"
	}
	return Cell{Text: what + ": flange " + w.Height + " in high, " + w.Thickness + " in thick",
		Lines: []string{w.Cut + " in off the radius; rim left " + l.Position + " " + w.Rim + " in"}}
}

// carReadings is the car department's sheet with every reading before and after the work.
func carReadings(p Planned) *Section {
	if p.Plan == nil || len(p.Sheet) == 0 {
		return nil
	}
	t := Table{ID: "car-sheet", Caption: "Readings before and after the work, and why", Fixed: true,
		Columns: []Column{{Name: "car", Head: true, Long: true}, {Name: "wheel"}, {Name: "do", Long: true},
			{Name: "after"}, {Name: "because", Long: true}}}
	for _, l := range plan.Axles(p.Sheet) {
		do := Cell{Text: Words(l.Do)}
		if l.Reading != "" {
			do.Lines = append(do.Lines, "now "+Words(l.Reading))
		}
		for _, n := range l.Note {
			do.Lines = append(do.Lines, Words(n))
		}
		var because []string
		for i, c := range l.Conflicts {
			if i == maxConflicts && len(l.Conflicts) > maxConflicts+1 {
				because = append(because, fmt.Sprintf("and %s more", Count(len(l.Conflicts)-i)))
				break
			}
			because = append(because, Name(c))
		}
		t.Rows = append(t.Rows, Row{{Text: Name(l.Car)}, {Text: l.Position}, do, {Text: final(l.Final)},
			lines(because)})
	}
	s := &Section{ID: "car-readings", Title: "Wheels before and after the work"}
	s.first(t, "row", "rows", "plan DIR --orders")
	return s
}

// final are the readings that a work must end at.
func final(list []string) string { return Words(HTML.margin(finals(list))) }

// finals joins them; what is to be gone is named behind the others in one.
func finals(list []string) string {
	var out, gone []string
	for _, s := range list {
		if name, ok := strings.CutSuffix(s, " none"); ok {
			gone = append(gone, name)
		} else {
			out = append(out, s)
		}
	}
	if n := len(gone); n > 1 {
		gone = []string{strings.Join(gone[:n-1], ", ") + " or " + gone[n-1]}
	}
	if len(gone) > 0 {
		out = append(out, "no "+gone[0])
	}
	return strings.Join(out, "; ")
}

func orderSum(o plan.Order, currency string) string {
	return fmt.Sprintf("%s in travel order, %s, %s %s", plural(len(o.Items), "piece of work",
		"pieces of work"), configs.CrewDays(o.Millis), thousands(o.Cents), currency)
}
