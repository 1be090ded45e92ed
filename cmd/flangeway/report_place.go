package main

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/page"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
)

// place is one location of the page.
func (b *pageBuilder) place(l interaction.Location) (page.Place, error) {
	id := b.anchors[l.Name]
	out := page.Place{ID: id, Name: page.Name(l.Name), Risk: b.ranks[l.Name].Short, Back: "summary"}
	if b.with("list") {
		out.Back = "list"
	}
	out.Notes = append(out.Notes, page.Words("Risk "+b.ranks[l.Name].Text()+"."))
	for _, t := range b.j.result.Track {
		if t.Location == l.Name && t.Met.Short {
			out.Notes = append(out.Notes, "Short of its class: "+page.Words(paper.ShortText(page.Name(t.Feature), t))+".")
		}
	}
	findings := b.j.result.WorstAt(l)
	f, svg, err := drawnPair(b.e, findings, id)
	if err != nil {
		return out, err
	}
	if f != nil {
		out.Worst = &page.Worst{Title: findingTitle(f) + " (" + f.Check.ID + ")", Facts: b.facts(f)}
		if b.with("drawings") {
			out.Worst.Drawing = &page.Drawing{SVG: svg, Caption: f.Check.Meets + "; " + whoText(f) + ", as read"}
		}
	}
	b.tables(&out, findings)
	return out, nil
}

// facts explain one finding.
func (b *pageBuilder) facts(f *interaction.Finding) []page.Fact {
	var out []page.Fact
	add := func(label, text string) {
		if text != "" {
			out = append(out, page.Fact{Label: label, Text: text})
		}
	}
	add("wheel", whoText(f)+": "+b.entered(f, "wheel", true))
	add("track", b.entered(f, "track", true))
	margin := plusMinus(paper.MarginText(f.Margin))
	switch {
	case f.Computed != nil:
		add("computed", plusMinus(f.Computed.Text())+" (negative conflicts): "+page.Words(f.Computed.Why))
		add("plain rule", f.Plain.String()+", "+margin)
	case f.Verdict == interaction.Undecided:
		add("margin", margin+" (negative conflicts); the reading error holds both answers")
	default:
		add("margin", margin+" (negative conflicts)")
	}
	add("pairs", fmt.Sprintf("%s on %s here with this verdict", several(f.Sharing, "wheel", "wheels"), several(f.CarsSharing, "car", "cars")))
	if f.Verdict == interaction.Conflict {
		add("whose", paper.CauseText(f))
		if f.BothSharing > 0 {
			add("legal", several(f.BothSharing, "pair", "pairs")+" of these: no federal limit stops either side, and together they conflict")
		}
	}
	add("limits", paper.LimitsText(f, b.e.Book.HasFederal()))
	add("settle", paper.SettleText(f))
	b.fixes(f, add)
	for _, s := range f.Notes {
		add("note", page.Words(s))
	}
	add("rule", strings.Join(f.Check.Sources, "; "))
	return out
}

// fixes names what fixes a finding, on the side at fault.
func (b *pageBuilder) fixes(f *interaction.Finding, add func(label, text string)) {
	if f.Cause != interaction.CauseWheel || f.Verdict != interaction.Conflict {
		for _, s := range f.FixTrack {
			add("fix track", s)
		}
	}
	if !byPlace(f) {
		for _, s := range f.FixWheel {
			add("fix wheel", s)
		}
	}
}

// entered lists the readings of one side of a finding; "" of both, settings left out.
func (b *pageBuilder) entered(f *interaction.Finding, side string, where bool) string {
	if out := b.enteredOf(f.Readings, side, where); len(out) > 0 {
		return strings.Join(out, ", ")
	}
	return "no reading enters"
}

// enteredOf is entered as a list.
func (b *pageBuilder) enteredOf(list []interaction.Entered, side string, where bool) []string {
	var out []string
	for _, r := range list {
		if r.Side == "" && side == "track" {
			out = append(out, r.Quantity+" "+page.Name(r.Reading.Written))
		}
		if r.Side == "" || side != "" && r.Side != side {
			continue
		}
		s := r.Quantity + " "
		if r.Of != "" {
			s = r.Of + "'s " + s
		}
		switch {
		case r.Default:
			s += page.Name(b.e.Text(r)) + " (not read)"
		case !r.Reading.Measured():
			s += "not read"
		default:
			s += page.Name(b.e.Text(r))
			if where {
				s += fmt.Sprintf(" (%s:%d)", r.Reading.Place.File, r.Reading.Place.Line)
			}
		}
		out = append(out, s)
	}
	return out
}

// lines is a cell with a line for each text.
func lines(list []string) page.Cell {
	if len(list) == 0 {
		return page.Cell{}
	}
	return page.Cell{Text: list[0], Lines: list[1:]}
}

func plusMinus(s string) string { return strings.ReplaceAll(s, "+-", "±") }

// tables list the worst pair of each check and feature, and what is not measured by the
// reading that is missing; what is clear is named in a line behind them.
func (b *pageBuilder) tables(out *page.Place, findings []*interaction.Finding) {
	t := page.Table{ID: out.ID + "-table", Caption: "The worst pair of each check and feature", Columns: []page.Column{{Name: "check, feature", Head: true, Long: true}, {Name: "verdict"}, {Name: "worst wheel", Long: true},
		{Name: "readings", Typed: true}, {Name: "margin"}, {Name: "pairs", Number: true}, {Name: "stopped by"}, {Name: "what to do", Long: true}}}
	missing := page.Table{ID: out.ID + "-missing", Fixed: true, Caption: "Not measured (wheels)", Columns: []page.Column{{Name: "reading", Head: true}, {Name: "check and feature that need it", Long: true}}}
	var clear []string
	at := map[string]int{}
	for i, f := range findings {
		name := f.Check.ID + " " + featureText(f.Feature)
		switch f.Verdict {
		case interaction.Clear:
			if f.Close {
				name += " (close)"
			}
			if f.Stale {
				name += " (stale)"
			}
			clear = append(clear, name)
		case interaction.NotMeasured:
			needs := paper.NeedsText(f)
			name += fmt.Sprintf(" (%d)", f.Sharing)
			k, ok := at[needs]
			if !ok {
				at[needs] = len(missing.Rows)
				missing.Rows = append(missing.Rows, page.Row{word(needs), word(name)})
				continue
			}
			missing.Rows[k][1].Text += ", " + name
		default:
			t.Rows = append(t.Rows, b.pairRow(f, name, i))
		}
	}
	for _, t := range []page.Table{t, missing} {
		if len(t.Rows) > 0 {
			out.Tables = append(out.Tables, t)
		}
	}
	if len(clear) > 0 {
		out.After = append(out.After, "Clear for every pair there: "+strings.Join(clear, ", ")+".")
	}
}

// pairRow is the line of a conflict or an undecided pair.
func (b *pageBuilder) pairRow(f *interaction.Finding, name string, rank int) page.Row {
	verdict := ranked(f.Verdict.String(), rank)
	who := page.Name(f.Wheel.Car.ID) + " " + f.Wheel.Position.String()
	if f.Verdict == interaction.Conflict {
		verdict.Strong = true
		verdict.Lines = []string{"of the " + string(f.Cause)}
	}
	switch {
	case byPlace(f) && f.AtFault:
		who += ", at fault itself"
	case byPlace(f):
		who = "any ordinary wheel"
	}
	if f.Doubt != "" {
		who += ", read again"
	}
	var do []string
	if f.Verdict == interaction.Undecided {
		do = append(do, "settle: "+paper.SettleText(f))
	} else {
		b.fixes(f, func(label, text string) { do = append(do, strings.TrimPrefix(label, "fix ")+": "+text) })
	}
	margin := page.Cell{Text: plusMinus(paper.ShownMargin(f)), Key: f.Margin.Hi}
	if f.Computed != nil {
		margin.Key = &f.Computed.High
		if f.Plain != f.Verdict {
			margin.Lines = []string{"computed; plain rule " + f.Plain.String()}
		}
	}
	return page.Row{word(name), verdict, word(who), lines(b.enteredOf(f.Readings, "", false)), margin, number(f.Sharing), word(paper.LegalText(f, b.e.Book.HasFederal())), lines(do)}
}
