package paper

import (
	"cmp"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// backToService stands with whatever says that a defect is closed.
const backToService = "Closed means that a reading of a later day is within the limit, or clear. It puts no place " +
	"and no car back to service: a qualified person does that, by readings."

// Since is the page of what is new, worse, closed, overdue and still open from one survey to the next.
func Since(s *export.Since, sv *survey.Survey, form Form) *Document {
	d := (&Document{Form: form, Title: "What became of it", Caution: s.Cautions[0], Program: s.Program}).measured(sv)
	name := cmp.Or(s.Railroad, "a railroad without a name")
	if form == HTML { // the page bears its title already
		d.heading(2, name)
	} else {
		d.heading(1, "What became of it: "+d.name(name))
	}
	if d.Sheet = SheetName(sv, s.NewSum, s.Program); form == HTML {
		d.Sheet = form.words(d.Sheet)
	} else {
		d.para(d.Sheet)
	}
	n := s.Summary()
	d.para(worded("From the survey of %s to that of %s: %d overdue, %d worse, %d new, %d still open, %d closed. "+
		"Pairs in conflict: %d before, %d now.", cmp.Or(s.OldDay, "no day"), cmp.Or(s.NewDay, "no day"), n.Overdue,
		n.Worse, n.New, n.Open, n.Closed, s.OldPairs, s.NewPairs))
	d.para(backToService)
	for _, part := range []struct {
		title string
		takes func(x *plan.Followed) bool
	}{
		{"Overdue", func(x *plan.Followed) bool { return x.Overdue }},
		{"Worse", func(x *plan.Followed) bool { return !x.Overdue && x.Standing == plan.Worse }},
		{"New", func(x *plan.Followed) bool { return !x.Overdue && x.Standing == plan.New }},
		{"Still open", func(x *plan.Followed) bool { return !x.Overdue && x.Standing == plan.StillOpen }},
		{"Closed", func(x *plan.Followed) bool { return x.Standing == plan.Closed }},
	} {
		d.since(part.title, s.List, part.takes)
	}
	d.heading(2, "Cautions")
	d.gap()
	for _, c := range s.Cautions {
		d.para(c)
	}
	return d
}

// since adds those that a part takes: as a table, or on a page of 80 columns one under the other.
func (d *Document) since(title string, list []plan.Followed, takes func(x *plan.Followed) bool) {
	t := Table{ID: "since-" + strings.ToLower(title[:3]), Caption: title, Columns: []Column{
		{Name: "where", Head: true, Long: true},
		{Name: "rule or check"}, {Name: "was", Typed: true}, {Name: "now", Typed: true}, {Name: "opened"},
		{Name: "due"},
		{Name: "what holds", Long: true}}}
	started := false
	for i := range list {
		x := &list[i]
		if !takes(x) {
			continue
		}
		where := d.name(x.Where)
		if x.Location != "" {
			where = d.name(x.Location) + ", " + where
		}
		if d.Form != Text {
			t.Rows = append(t.Rows, Row{{Text: where}, {Text: d.words(ruleOf(x))}, {Text: d.words(x.Was)},
				{Text: d.words(x.Now)}, {Text: dayWord(x.Opened)}, {Text: dayWord(x.Due)}, {Text: d.words(d.holds(x))}})
			continue
		}
		if !started {
			started = true
			d.heading(2, title)
			d.gap()
		}
		d.line(where + ": " + d.words(became(x)))
		if s := d.holds(x); s != "" {
			d.add(Indented{d.words(s)})
		}
	}
	if len(t.Rows) > 0 {
		d.heading(2, title)
		d.add(t)
	}
	if started {
		d.gap()
	}
}

// ruleOf says which rule a reading is beyond, or what hits; the name of a rule without a known source stays.
func ruleOf(x *plan.Followed) string {
	if c := interaction.CheckByID(x.Rule); c != nil && x.Kind == plan.OfConflict {
		return c.Happens
	}
	return cmp.Or(x.Source, x.Rule)
}

// dayWord is a day, "" if it is not known.
func dayWord(d measure.Date) string {
	if !d.Known() {
		return ""
	}
	return d.String()
}

// became says what a defect or a conflict was and is.
func became(x *plan.Followed) string {
	switch {
	case x.Was == "":
		return x.Now
	case x.Now == "" || x.Now == x.Was:
		return x.Was
	}
	return x.Now + ", was " + x.Was
}

// holds says under which rule it stands, by when it is due, and what closed it or keeps it open.
func (d *Document) holds(x *plan.Followed) string {
	s := ruleOf(x)
	if d.Form != Text {
		s = ""
	} else if x.Opened.Known() {
		s += ", opened " + x.Opened.String()
	}
	add := func(text string) {
		if text == "" {
			return
		}
		if s != "" {
			s += "; "
		}
		s += text
	}
	switch {
	case x.Standing == plan.Closed:
		add("closed by " + x.ClosedBy)
		return s
	case x.Due.Known() && d.Form == Text:
		add("due " + x.Due.String())
	}
	if x.Overdue {
		add("OVERDUE")
	}
	add(x.Protected)
	add(x.Why)
	return s
}
