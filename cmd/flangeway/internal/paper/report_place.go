package paper

import (
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/judge"
)

// reported is one place of the page that is signed: its worst pair drawn and explained, all its findings, what is not
// measured and what is clear.
func (c *checkPage) reported(l export.Place, id string, in ReportInput) (*Section, error) {
	s := &Section{ID: id, Title: c.name(l.Name), Place: true, Risk: c.risks[l.Name].Short, Back: "summary"}
	if in.shows("list") {
		s.Back = "list"
	}
	c.risk(s, l.Name)
	f, svg, err := DrawnPair(c.e, l.Findings, id)
	if err != nil {
		return nil, err
	}
	if f != nil {
		x := c.finding(f, room{rules: true, fixes: maxFixes})
		if in.shows("drawings") {
			x.Drawing = &Drawing{SVG: svg, Caption: f.Check.Meets + "; " + c.who(f) + ", as read"}
		}
		s.add(x)
	}
	c.tables(s, l.Findings)
	return s, nil
}

// tables list the worst pair of each check and feature, and what is not measured by the reading that is missing; what
// is clear is named in a line behind them.
func (c *checkPage) tables(s *Section, findings []*judge.Finding) {
	t := Table{ID: s.ID + "-table", Caption: "The worst pair of each check and feature",
		Columns: []Column{{Name: "check, feature", Head: true, Long: true}, {Name: "verdict"},
			{Name: "worst wheel", Long: true},
			{Name: "readings", Typed: true}, {Name: "margin"}, {Name: "pairs", Number: true}, {Name: "stopped by"},
			{Name: "what to do", Long: true}}}
	missing := Table{ID: s.ID + "-missing", Fixed: true, Caption: "Not measured (reading, pairs)",
		Columns: []Column{{Name: "reading", Head: true}, {Name: "check and feature that need it", Long: true}}}
	var clear []string
	at := map[string]int{}
	for i, f := range findings {
		switch f.Verdict {
		case interaction.Clear:
			clear = append(clear, c.checkAt(f))
		case interaction.NotMeasured:
			reading, name := needs(f), worded("%s (%d)", c.checkAt(f), f.Sharing)
			k, ok := at[reading]
			if !ok {
				at[reading] = len(missing.Rows)
				missing.Rows = append(missing.Rows, cells(reading, name))
				continue
			}
			missing.Rows[k][1].Text += ", " + name
		default:
			t.Rows = append(t.Rows, c.pairRow(f, i))
		}
	}
	for _, t := range []Table{t, missing} {
		if len(t.Rows) > 0 {
			s.add(t)
		}
	}
	if len(clear) > 0 {
		s.para(clearWords + strings.Join(clear, ", ") + ".")
	}
}

// pairRow is the line of a conflict or an undecided pair.
func (c *checkPage) pairRow(f *judge.Finding, rank int) Row {
	verdict := ranked(f.Verdict.String(), rank)
	var do []string
	if f.Verdict == interaction.Conflict {
		verdict.Strong = true
		verdict.Lines = []string{"of the " + string(f.Cause)}
		for _, x := range fixes(f) {
			do = append(do, x.Label+": "+x.Text)
		}
	} else {
		do = append(do, "settle: "+SettleText(f))
	}
	for _, v := range f.Evidence {
		do = append(do, "seen: "+c.words(v.Text()))
	}
	margin := Cell{Text: c.margin(shownMargin(f)), Key: f.Margin.Hi}
	if f.Computed != nil {
		margin.Key = &f.Computed.High
		if f.Plain != f.Verdict {
			margin.Lines = []string{"computed; plain rule " + f.Plain.String()}
		}
	}
	return Row{{Text: c.checkAt(f)}, verdict, {Text: c.worstWheel(f)}, lines(c.enteredOf(f.Readings, "", false)),
		margin, figure(f.Sharing), {Text: legalText(f, c.in.Book.HasFederal())}, lines(do)}
}
