package paper

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/judge"
)

// room is how much of one location is printed.
type room struct {
	rows           int  // findings in its table
	missing, clear int  // names of what was not measured and of what is clear
	rules          bool // the sources of the rule that explains a finding; else the command that prints them
	fixes          int  // of either side of a finding; the command that prints the others stands behind
}

// rooms are tried one after another until a location fits a page: fewer names of what is no finding, then fewer
// findings in the table, so that one is explained, then fewer of its fixes.
func rooms() []room {
	out := []room{{maxRows, maxMissing, maxClear, true, maxFixes}}
	for rows := maxRows; rows >= minRows; rows-- {
		out = append(out, room{rows, minNames, minNames, true, maxFixes})
	}
	return append(out, room{minRows, minNames, minNames, false, maxFixes},
		room{minRows, minNames, minNames, false, minFixes})
}

// location is one place so that it fits a page.
func (c *checkPage) location(l export.Place) (s *Section, err error) {
	for _, r := range rooms() {
		if s, err = c.place(l, r); err != nil || c.in.AllPairs || linesOf(c.Form, []Block{*s}) <= pageLines {
			break
		}
	}
	return s, err
}

func (c *checkPage) place(l export.Place, r room) (*Section, error) {
	s := &Section{Title: c.name(l.Name), Place: true, Risk: c.risks[l.Name].Short}
	c.risk(s, l.Name)
	s.gap()
	if c.in.AllPairs {
		t, err := c.allPairs(l)
		if err != nil {
			return nil, err
		}
		s.add(t, Gap{})
	} else {
		c.listed(s, l, r)
	}
	// The empty line behind a place may fall off the page.
	lines := linesOf(c.Form, []Block{*s}) - linesOf(c.Form, []Block{Gap{}})
	for i, f := range explained(l.Findings) {
		if i == maxDetails {
			break
		}
		x := c.finding(f, r)
		if lines += linesOf(c.Form, []Block{x}); i > 0 && lines > pageLines {
			break
		}
		s.add(x)
	}
	return s, nil
}

// risk says why a place has its rank, and where it does not meet the class it is run at.
func (c *checkPage) risk(s *Section, location string) {
	s.para(c.words("Risk " + c.risks[location].Text() + "."))
	var short []string
	for _, t := range c.in.Result.Track {
		if t.Location == location && t.Met.Short {
			short = append(short, c.words(shortText(c.name(t.Feature), t)))
		}
	}
	if len(short) > 0 {
		s.para("Short of its class: " + strings.Join(short, "; ") + ".")
	}
}

// listed adds the conflicts and undecided findings as a table, and names the others in a line each.
func (c *checkPage) listed(s *Section, l export.Place, r room) {
	t := Table{Columns: []Column{{Name: "verdict"}, {Name: "check"}, {Name: "feature"}, {Name: "worst wheel"},
		{Name: "margin"}, {Name: "pairs", Number: true}, {Name: "whose"}, {Name: "stopped by"}}}
	var missing, clear, anywhere, seen []string
	more := 0
	for _, f := range l.Findings {
		for _, v := range f.Evidence {
			if s := c.words(v.Column + " " + v.Word + " at " + v.Where); !slices.Contains(seen, s) {
				seen = append(seen, s)
			}
		}
		switch {
		case f.Verdict == interaction.NotMeasured:
			missing = append(missing, worded("%s (%s, %d)", c.checkAt(f), needs(f), f.Sharing))
		case f.Verdict == interaction.Clear:
			clear = append(clear, c.checkAt(f))
		case f.Verdict == interaction.Conflict && f.Cause == interaction.CauseWheel && f.OnlyWheels:
			anywhere = append(anywhere, worded("%s (%d)", c.checkAt(f), f.Sharing))
		case len(t.Rows) == r.rows:
			more++
		default:
			whose := ""
			if f.Verdict == interaction.Conflict {
				whose = string(f.Cause)
			}
			row := cells(verdictWord(f), f.Check.ID, c.feature(f), c.worstWheel(f),
				c.margin(shownMargin(f)), fmt.Sprint(f.Sharing), whose, legalText(f, c.in.Book.HasFederal()))
			row[0].Strong = f.Verdict == interaction.Conflict
			t.Rows = append(t.Rows, row)
		}
	}
	s.add(t)
	list := fmt.Sprintf("flangeway check %s --location %q --format csv", c.judged(), l.Name)
	if more > 0 {
		s.para(worded("and %d more: %s", more, list))
	}
	if len(t.Rows) > 0 {
		s.gap()
	}
	for _, x := range []struct {
		words string
		list  []string
		most  int
	}{{"What was seen tells against the readings (flangeway explain CHECK): ", seen,
		r.missing}, {"Conflicts of wheels that conflict on any track, listed further on: ", anywhere,
		r.missing}, {"Not measured (reading, pairs): ", missing, r.missing}, {clearWords, clear, r.clear}} {
		if len(x.list) > 0 {
			s.para(x.words + shorten(x.list, x.most) + ".")
		}
	}
	if cut := max(len(anywhere), len(missing)) > r.missing || len(clear) > r.clear; cut && more == 0 {
		s.para("All: " + list)
	}
	if len(missing)+len(clear)+len(anywhere)+len(seen) > 0 {
		s.gap()
	}
}

// clearWords stand before the checks and features that are clear.
const clearWords = "Clear for every other pair there: "

// shorten names the first of a list and counts the others.
func shorten(list []string, most int) string {
	if len(list) > most {
		return strings.Join(list[:most], ", ") + worded(" and %d more", len(list)-most)
	}
	return strings.Join(list, ", ")
}

// allPairs lists every pair of a location, a line each.
func (c *checkPage) allPairs(l export.Place) (Table, error) {
	t := Table{Columns: []Column{{Name: "verdict"}, {Name: "check"}, {Name: "feature"}, {Name: "wheel"},
		{Name: "margin"}, {Name: "whose"}, {Name: "stopped by"}}}
	err := c.e.EachPair(l.Tallies, func(f *judge.Finding) error {
		margin := shownMargin(f)
		if f.Verdict == interaction.NotMeasured {
			margin = "needs " + needs(f)
		}
		t.Rows = append(t.Rows, cells(verdictWord(f), f.Check.ID, c.feature(f), c.wheel(f), c.margin(margin),
			string(f.Cause), legalText(f, c.in.Book.HasFederal())))
		return nil
	})
	return t, err
}
