package main

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/page"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/plan"
)

// reportParts are the parts of the page that --without leaves out.
func reportParts() []string {
	return []string{"list", "words", "plan", "orders", "places", "drawings", "wheels", "classes", "limits", "readings", "wear", "assumed", "warnings", "signatures"}
}

// reportPage collects what the page shows. without names parts to leave out.
func (j judged) reportPage(without []string) (*page.Data, error) {
	b := &pageBuilder{j: j, e: j.result.Engine(), without: without, anchors: map[string]string{}}
	list, err := risks(j.result)
	if err != nil {
		return nil, err
	}
	b.ranks = paper.Ranks(list)
	places := paper.WorstFirst(j.result.Locations(), list)
	for i, l := range places {
		b.anchors[l.Name] = fmt.Sprintf("place-%d", i+1)
	}
	d := &page.Data{Title: "Wheels and track together", Cautions: caution.OfSurvey(j.survey), Program: "flangeway " + version(), Hash: j.book.SHA256()}
	b.head(d)
	b.summary(d)
	// The plan first: what was assumed for it stands among the assumptions.
	for _, part := range []struct {
		name string
		to   **page.Section
		make func() (*page.Section, error)
	}{{"plan", &d.Plan, b.jointPlan}, {"orders", &d.Orders, b.orders}, {"wear", &d.Wear, b.wear}} {
		if !b.with(part.name) {
			continue
		}
		var err error
		if *part.to, err = part.make(); err != nil {
			return nil, err
		}
	}
	for _, part := range []struct {
		name string
		to   **page.Section
		make func() *page.Section
	}{
		{"list", &d.List, func() *page.Section { return b.list(places) }},
		{"words", &d.Words, words},
		{"wheels", &d.Wheels, b.wheels},
		{"classes", &d.Classes, b.classes},
		{"limits", &d.Limits, b.limits},
		{"readings", &d.Readings, b.readings},
		{"assumed", &d.Assumed, b.assumed},
		{"warnings", &d.Warnings, b.warnings},
	} {
		if b.with(part.name) {
			*part.to = part.make()
		}
	}
	if b.with("places") {
		for _, l := range places {
			p, err := b.place(l)
			if err != nil {
				return nil, err
			}
			d.Places = append(d.Places, p)
		}
	}
	if b.with("signatures") {
		d.Signers = []string{"Track department", "Car department", "Operating department"}
	}
	return d, nil
}

// pageBuilder builds the sections.
type pageBuilder struct {
	j       judged
	e       *interaction.Engine
	without []string
	anchors map[string]string // of locations
	plan    *plan.Plan        // nil: not yet made
	ranks   map[string]plan.Risk
}

func (b *pageBuilder) with(part string) bool { return !slices.Contains(b.without, part) }

func number(n int) page.Cell {
	v := float64(n)
	return page.Cell{Text: fmt.Sprint(n), Key: &v}
}

func word(s string) page.Cell { return page.Cell{Text: s} }

// ranked is a cell that sorts by a rank rather than by its letters.
func ranked(s string, rank int) page.Cell {
	v := float64(rank)
	return page.Cell{Text: s, Key: &v}
}

func several(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (b *pageBuilder) head(d *page.Data) {
	sv := b.j.survey
	add := func(label, text string) {
		if text != "" {
			d.Boxes = append(d.Boxes, page.Box{Label: label, Text: text})
		}
	}
	name := page.Name(sv.Railroad)
	if name == "" {
		name = "not named"
	} else {
		d.Title += ": " + name
	}
	date := "not dated"
	if sv.Date.Known() {
		date = sv.Date.String()
	}
	class := "not given"
	if sv.Class != "" {
		class = paper.ClassName(sv.Class)
	}
	add("railroad", name)
	add("survey of", date)
	add("track run as", class)
	add("cars", fmt.Sprint(len(sv.Fleet.Cars)))
	add("wheels read", fmt.Sprint(len(sv.Fleet.Wheels)))
	add("locations", fmt.Sprint(sv.Locations()))
	var sets []string
	for _, s := range sv.Sets {
		sets = append(sets, page.Name(s))
	}
	add("limits, later over earlier", strings.Join(sets, ", "))
}

func (b *pageBuilder) summary(d *page.Data) {
	s := b.j.result.Summary
	say := func(format string, args ...any) {
		d.Summary.Sentences = append(d.Summary.Sentences, fmt.Sprintf(format, args...))
	}
	if s.Pairs == 0 {
		say("No pair was judged: the survey needs wheels and at least one frog, switch, curve, joint or gauge spot.")
		return
	}
	d.Summary.Sentences = append(d.Summary.Sentences, paper.Headline(s)...)
	cause := func(c interaction.Cause) page.Cell { return number(s.ByCause[c]) }
	row := func(v interaction.Verdict, means string) page.Row {
		return page.Row{ranked(v.String(), int(v)), number(s.Count(v)), word(means)}
	}
	d.Summary.Table = &page.Table{ID: "summary-table", Fixed: true, Caption: fmt.Sprintf("All %d pairs of a wheel and a feature", s.Pairs),
		Columns: []page.Column{{Name: "verdict", Head: true}, {Name: "pairs", Number: true}, {Name: "what it means"}},
		Rows: []page.Row{
			row(interaction.Conflict, fmt.Sprintf("they hit, whatever the reading error: %s by the place, %s by the wheel, %s by the pair", cause(interaction.CausePlace).Text, cause(interaction.CauseWheel).Text, cause(interaction.CausePair).Text)),
			row(interaction.Undecided, "it may be either, for the reading error, for what was not read or for forms that are assumed"),
			row(interaction.NotMeasured, "a reading is missing; a missing reading is never taken for zero, nor for clear"),
			row(interaction.Clear, "they miss over the reading error; those marked close have little to spare, or none if what is assumed is not so"),
		}}
}

func (b *pageBuilder) list(places []interaction.Location) *page.Section {
	if len(places) == 0 {
		return nil
	}
	t := page.Table{ID: "list-table", Caption: "Locations, worst first", Columns: []page.Column{{Name: "risk", Number: true}, {Name: "location", Head: true, Long: true}, {Name: "worst there, and what it hurts"},
		{Name: "conflict", Number: true}, {Name: "undecided", Number: true}, {Name: "not measured", Number: true}, {Name: "clear", Number: true}}}
	for i, l := range places {
		n := paper.Counts(l)
		name := page.Cell{Text: page.Name(l.Name)}
		if b.with("places") {
			name.Link = b.anchors[l.Name]
		}
		r := b.ranks[l.Name] // its reason stands with the place itself
		t.Rows = append(t.Rows, page.Row{number(r.Rank), name, ranked(r.Short, i), number(n[interaction.Conflict]), number(n[interaction.Undecided]), number(n[interaction.NotMeasured]), number(n[interaction.Clear])})
	}
	return &page.Section{ID: "list", Title: "Locations", Tables: []page.Table{t}, After: []string{
		paper.RiskWords}}
}

// words says what the words of the page mean.
func words() *page.Section {
	t := page.Table{ID: "words-table", Fixed: true, Caption: "The words on this page", Columns: []page.Column{{Name: "word", Head: true}, {Name: "meaning"}}}
	for _, w := range [][2]string{
		{"conflict", "they hit, whatever the reading error"},
		{"undecided", "it may be either, for the reading error, for what was not read or for forms that are assumed; \"settle\" names what to read or to look at"},
		{"not measured", "a reading is missing"},
		{"clear", "they miss over the reading error; close: with little to spare, or none if what is assumed is not so; stale: on an old or undated reading"},
		{"margin", "what is left between wheel and track, as read and ± the reading error, or from..to; negative conflicts; where it is computed from shapes and forces, as read and (from..to) over all that was tried"},
		{"place", "any ordinary wheel conflicts there: fix the track"},
		{"wheel", "that wheel conflicts even on unworn track: fix the wheel"},
		{"pair", "only the two together conflict: the two departments decide"},
		{"stopped by", "what a federal rule stops: no rule stops either side, or the wheel, the track, both; not known where it cannot be told which rule holds (class, kind of car, service, flange design)"},
		{"beyond, straddles", "one reading against one limit: beyond as written; within as written, and the reading error crosses it"},
		{"pairs", "wheels with this verdict at this check and feature"},
		{"reading", "as written on the sheet; < and > are go/no-go readings; inches where no unit stands, tread hollow millimetres"},
	} {
		t.Rows = append(t.Rows, page.Row{word(w[0]), word(w[1])})
	}
	return &page.Section{ID: "words", Title: "How to read this page", Tables: []page.Table{t},
		After: []string{"The drawings are to scale in the dimensions that are written on them: wheels in white outline, track in grey, what both would fill in black. A go/no-go reading is drawn at its given end. Treads are drawn without their taper; the curves between the dimensions are those of a freight wheel and a rail head, and are no readings."}}
}

func (b *pageBuilder) wheels() *page.Section {
	t := page.Table{ID: "wheels-table", Caption: "A line for each wheel and check", Columns: []page.Column{{Name: "wheel", Head: true, Long: true}, {Name: "check"}, {Name: "readings", Typed: true}, {Name: "what fixes it"}}}
	for _, f := range b.j.result.WheelFaults() {
		t.Rows = append(t.Rows, page.Row{word(page.Name(f.Wheel.Car.ID) + " " + f.Wheel.Position.String()), word(f.Check.ID), lines(b.enteredOf(f.Readings, "wheel", false)), word(strings.Join(f.FixWheel, "; "))})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return &page.Section{ID: "wheels", Title: "Wheels that conflict even on unworn track: fix the wheel", Tables: []page.Table{t}, After: []string{"What fixes it is what unworn track asks for; a location above may ask for more."}}
}

func (b *pageBuilder) classes() *page.Section {
	t := page.Table{ID: "classes-table", Caption: "On the readings there are", Columns: []page.Column{{Name: "feature", Head: true, Long: true}, {Name: "location", Long: true}, {Name: "run as"}, {Name: "meets"}, {Name: "curve mph", Number: true}, {Name: "what stops the next class", Long: true}}}
	for _, c := range b.j.result.Track {
		meets := paper.MeetsText(c)
		if meets == "" && c.Speed == nil {
			continue
		}
		speed := word("")
		if c.Speed != nil {
			speed = number(*c.Speed)
		}
		met := page.Cell{Text: meets, Strong: c.Met.Short}
		t.Rows = append(t.Rows, page.Row{word(page.Name(c.Feature)), word(page.Name(c.Location)), word(c.Class), met, speed, word(page.Words(paper.NextText(c, len(c.Met.NextNeeds))))})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return &page.Section{ID: "classes", Title: "Track class met", Tables: []page.Table{t}}
}

func (b *pageBuilder) readings() *page.Section {
	t := page.Table{ID: "readings-table", Caption: "By how many pairs they would help to decide", Columns: []page.Column{{Name: "reading", Head: true}, {Name: "where", Long: true}, {Name: "pairs", Number: true}}}
	const most = 60
	list := b.j.result.Unsettled()
	for i, u := range list {
		if i == most {
			break
		}
		where := page.Name(u.Where)
		if u.Place != "" {
			where = page.Name(u.Place) + ", " + where
		}
		t.Rows = append(t.Rows, page.Row{word(u.Reading), word(where), number(u.Pairs)})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := &page.Section{ID: "readings", Title: "Readings to take next", Tables: []page.Table{t}}
	if len(list) > most {
		s.After = append(s.After, fmt.Sprintf("and %d more readings; flangeway check --format json lists all.", len(list)-most))
	}
	return s
}

func (b *pageBuilder) assumed() *page.Section {
	t := page.Table{ID: "assumed-table", Caption: "Defaults that entered; railroad.yaml, settings, changes them", Columns: []page.Column{{Name: "setting", Head: true}, {Name: "value", Long: true}, {Name: "kind"}, {Name: "source", Long: true}}}
	for _, s := range b.j.result.DefaultsUsed() {
		t.Rows = append(t.Rows, page.Row{word(s.Name), word(page.Name(s.Text())), word(s.Kind), word(page.Words(s.Source))})
	}
	s := &page.Section{ID: "assumed", Title: "Assumptions"}
	if len(t.Rows) > 0 {
		s.Tables = append(s.Tables, t)
	}
	if b.plan != nil && len(b.plan.Defaults) > 0 {
		t := page.Table{ID: "plan-assumed", Caption: "Defaults that entered the plan; railroad.yaml changes them", Columns: t.Columns}
		for _, d := range b.plan.Defaults {
			t.Rows = append(t.Rows, page.Row{word(d.Setting), word(page.Words(plusMinus(d.Value))), word(d.Kind), word(page.Words(d.Source))})
		}
		s.Tables = append(s.Tables, t)
	}
	if len(s.Tables) == 0 {
		return nil
	}
	return s
}

func (b *pageBuilder) warnings() *page.Section {
	t := page.Table{ID: "warnings-table", Caption: "Odd, and taken as written", Columns: []page.Column{{Name: "at", Head: true, Typed: true}, {Name: "what is odd", Long: true}}}
	for _, w := range b.j.survey.Warnings {
		t.Rows = append(t.Rows, page.Row{word(page.Name(w.Place.String())), word(page.Words(w.Text))})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return &page.Section{ID: "warnings", Title: "What is odd in the sheets", Tables: []page.Table{t}}
}
