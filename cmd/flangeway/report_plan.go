package main

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/page"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/interaction/plan"
)

// planned makes the joint plan once for the parts that show it.
func (b *pageBuilder) planned() (*plan.Plan, error) {
	if b.plan != nil {
		return b.plan, nil
	}
	var err error
	b.plan, err = plan.Make(b.e, plan.Options{Level: plan.LevelConflict})
	return b.plan, err
}

func money(cents int64) page.Cell {
	v := float64(cents)
	return page.Cell{Text: configs.Money(cents), Key: &v}
}

// jointPlan is the part of the page on what to do, on whose side, at what cost.
func (b *pageBuilder) jointPlan() (*page.Section, error) {
	p, err := b.planned()
	if err != nil {
		return nil, err
	}
	s := &page.Section{ID: "plan", Title: "The joint plan"}
	proven := fmt.Sprintf("Proven cheapest: no set of the offered actions that does the same costs less than %s %s.", configs.Money(p.Bound), p.Currency)
	if !p.Proven() {
		proven = fmt.Sprintf("Not proven cheapest: no set of the offered actions that does the same costs less than %s %s.", configs.Money(p.Bound), p.Currency)
	}
	var track, cars int64
	table := page.Table{ID: "plan-actions", Caption: "What to do", Columns: []page.Column{{Name: "id", Head: true}, {Name: "side"}, {Name: "where", Long: true}, {Name: "what", Long: true}, {Name: "because"}, {Name: "cost " + p.Currency, Number: true}, {Name: "pairs it ends", Number: true}}}
	for _, a := range p.Actions {
		where := page.Name(a.Where)
		if a.Location != "" {
			where = page.Name(a.Location) + ", " + where
		}
		if a.Side == plan.Track {
			track += a.Cents
		} else {
			cars += a.Cents
		}
		what := page.Cell{Text: page.Words(a.What)}
		if a.PaidWith != "" {
			what.Lines = append(what.Lines, "paid with "+a.PaidWith)
		}
		table.Rows = append(table.Rows, page.Row{word(a.ID), word(a.Side), word(where), what, lines(p.Because(a)), money(a.Cents), number(a.Removes)})
	}
	s.Notes = []string{
		fmt.Sprintf("Cost %s %s: track side %s, car side %s; %s crew days. %s", configs.Money(p.Cents), p.Currency, configs.Money(track), configs.Money(cars), configs.Days(p.Millis), proven),
		fmt.Sprintf("Conflicts %d before, %d after; undecided %d before, %d after. Every pair was judged again on the planned readings, with their tolerance, as it is judged on this page; no pair ends worse than it was.",
			p.Conflict.Before, p.Conflict.After, p.Undecided.Before, p.Undecided.After),
	}
	if doubt := paper.InDoubt(p); doubt != "" {
		s.Notes = append(s.Notes, doubt)
	}
	if p.ApartLeft > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("Of the conflicts after, %d are of cars that do not go to the place (traffic: serves); they are left alone.", p.ApartLeft))
	}
	if len(p.Actions) == 0 {
		s.Notes = []string{"There is no conflict that the plan knows a work for: nothing to do."}
		return s, nil
	}
	s.Tables = []page.Table{table}
	if len(p.Curve) > 1 {
		curve := page.Table{ID: "plan-money", Caption: "Money and what it leaves", Fixed: true, Columns: []page.Column{{Name: "cost " + p.Currency, Number: true, Head: true}, {Name: "pairs left", Number: true}, {Name: "track side", Number: true}, {Name: "car side", Number: true}}}
		var points []draw.CostPoint
		for _, x := range p.Curve {
			curve.Rows = append(curve.Rows, page.Row{money(x.Cents), number(x.Conflicts), money(x.Track), money(x.Cars)})
			points = append(points, draw.CostPoint{Cost: float64(x.Cents) / 100, Left: x.Conflicts, Track: float64(x.Track) / 100})
		}
		s.Tables = append(s.Tables, curve)
		if b.with("drawings") {
			s.Drawings = []page.Drawing{{SVG: draw.CostCurve(points, p.Currency), Caption: "Money against the pairs it leaves, each side's share. flangeway plan --budget finds the plans between."}}
		}
	}
	return s, nil
}

// orders is the part with a work order for each crew and the car department's sheet.
func (b *pageBuilder) orders() (*page.Section, error) {
	p, err := b.planned()
	if err != nil {
		return nil, err
	}
	if len(p.Actions) == 0 {
		return nil, nil
	}
	s := &page.Section{ID: "orders", Title: "Work orders"}
	for n, o := range p.Orders() {
		t := page.Table{ID: fmt.Sprintf("order-%d", n+1), Fixed: true,
			Caption: fmt.Sprintf("%s: %s in travel order, %s crew days, %s %s", o.Crew, several(len(o.Items), "piece of work", "pieces of work"), configs.Days(o.Millis), configs.Money(o.Cents), p.Currency),
			Columns: []page.Column{{Name: "id", Head: true}, {Name: "place", Long: true}, {Name: "work", Long: true}, {Name: "because"}, {Name: "final reading"}, {Name: "check after"}, {Name: "read, done, by"}}}
		for _, i := range o.Items {
			work := page.Cell{Text: page.Words(i.What)}
			if i.Before != "" {
				work.Lines = []string{"before: " + page.Words(i.Before)}
			}
			t.Rows = append(t.Rows, page.Row{word(i.ID), {Text: page.Name(i.Location), Lines: []string{page.Name(i.Where)}}, work, lines(i.Because), word(page.Words(plusMinus(strings.Join(i.Final, "; ")))), word(page.Words(strings.Join(i.Check, "; "))), word("")})
		}
		s.Tables = append(s.Tables, t)
	}
	if sheet := p.CarSheet(); len(sheet) > 0 {
		t := page.Table{ID: "car-sheet", Caption: "Sheet for the car department", Fixed: true,
			Columns: []page.Column{{Name: "car", Head: true, Long: true}, {Name: "wheel"}, {Name: "do", Long: true}, {Name: "final"}, {Name: "because", Long: true}}}
		for _, l := range sheet {
			do := page.Cell{Text: page.Words(l.Do)}
			if l.Reading != "" {
				do.Lines = append(do.Lines, "now "+page.Words(l.Reading))
			}
			for _, n := range l.Note {
				do.Lines = append(do.Lines, page.Words(n))
			}
			var because []string
			for _, c := range l.Conflicts {
				because = append(because, page.Name(c))
			}
			t.Rows = append(t.Rows, page.Row{word(page.Name(l.Car)), word(l.Position), do, word(page.Words(plusMinus(strings.Join(l.Final, "; ")))), lines(because)})
		}
		s.Tables = append(s.Tables, t)
	}
	s.After = []string{"A qualified person takes every reading again after the work and accepts it."}
	return s, nil
}

// wear is the part on when limits and first conflicts are reached.
func (b *pageBuilder) wear() (*page.Section, error) {
	list, err := plan.WearRates(b.j.survey)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	t := page.Table{ID: "wear-windows", Caption: "Windows in which limits and first conflicts are reached", Columns: []page.Column{{Name: "where", Head: true, Long: true}, {Name: "reading"}, {Name: "rate"}, {Name: "what is reached"}, {Name: "earliest"}, {Name: "likely"}, {Name: "latest"}}}
	for _, x := range list {
		where := page.Cell{Text: page.Name(x.Where)}
		if x.Place != "" {
			where = page.Cell{Text: page.Name(x.Place), Lines: []string{page.Name(x.Where)}}
		}
		rate := page.Cell{Text: x.RateText(), Lines: []string{several(x.Rows, "row", "rows")}}
		for _, n := range x.Notes {
			rate.Lines = append(rate.Lines, page.Words(n))
		}
		if len(x.Events) == 0 {
			t.Rows = append(t.Rows, page.Row{where, word(x.Column), rate, word("-"), word("-"), word("-"), word("-")})
		}
		for _, e := range x.Events {
			latest, likely := "open", "beyond 40 years"
			if e.Latest.Known() {
				latest = e.Latest.String()
			}
			if e.Likely.Known() {
				likely = e.Likely.String()
			}
			t.Rows = append(t.Rows, page.Row{where, word(x.Column), rate, word(page.Words(e.What + " (" + e.At + ")")), word(e.Earliest.String()), word(likely), word(latest)})
		}
	}
	return &page.Section{ID: "wear", Title: "When: wear from the dated rows", Tables: []page.Table{t},
		After: []string{"Windows are those of a rate two standard errors faster and slower. Too few or contradicting rows, and repairs in between, are said beside the rate."}}, nil
}
