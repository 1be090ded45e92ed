package paper

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/configs"
	"flangeway/interaction/plan"
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
			s.add(t)
		}
	}
	if len(p.Curve) < 2 {
		return s
	}
	s.add(c.costTable(), Para{costWords})
	if in.shows("drawings") {
		s.add(Drawing{SVG: CostDrawing(p.Plan), Caption: "Money against the pairs it leaves, each side's share."})
	}
	return s
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
				{Name: "because"}, {Name: "final reading"}, {Name: "check after"}, {Name: "read, done, by"}}}
		for _, i := range o.Items {
			work := Cell{Text: Words(i.What)}
			if i.Before != "" {
				work.Lines = []string{"before: " + Words(i.Before)}
			}
			t.Rows = append(t.Rows, Row{{Text: i.ID}, {Text: Name(i.Location), Lines: []string{Name(i.Where)}}, work,
				lines(i.Because), {Text: final(i.Final)}, {Text: Words(strings.Join(i.Check, "; "))}, {}})
		}
		s.add(t)
	}
	if len(p.Sheet) > 0 {
		t := Table{ID: "car-sheet", Caption: "Sheet for the car department", Fixed: true,
			Columns: []Column{{Name: "car", Head: true, Long: true}, {Name: "wheel"}, {Name: "do", Long: true},
				{Name: "final"}, {Name: "because", Long: true}}}
		for _, l := range p.Sheet {
			do := Cell{Text: Words(l.Do)}
			if l.Reading != "" {
				do.Lines = append(do.Lines, "now "+Words(l.Reading))
			}
			for _, n := range l.Note {
				do.Lines = append(do.Lines, Words(n))
			}
			var because []string
			for _, c := range l.Conflicts {
				because = append(because, Name(c))
			}
			t.Rows = append(t.Rows, Row{{Text: Name(l.Car)}, {Text: l.Position}, do, {Text: final(l.Final)},
				lines(because)})
		}
		s.add(t)
	}
	s.para("A qualified person takes every reading again after the work and accepts it.")
	return s
}

// final are the readings that a work must end at.
func final(list []string) string { return Words(HTML.margin(strings.Join(list, "; "))) }

// orderSum is an order in numbers.
func orderSum(o plan.Order, currency string) string {
	return fmt.Sprintf("%s in travel order, %s crew days, %s %s", plural(len(o.Items), "piece of work",
		"pieces of work"), configs.Days(o.Millis), configs.Money(o.Cents), currency)
}
