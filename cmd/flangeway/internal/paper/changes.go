package paper

import (
	"flangeway/cmd/flangeway/internal/export"
)

// changes says what is new, gone or different since an earlier report.
func (c *checkPage) changes() {
	list := export.Changes(c.in.Before, c.in)
	s := &Section{Title: "What changed since the report of " + before(c.in.Before)}
	if len(list) == 0 {
		s.para("Nothing: the worst pair of every check and feature is as it was.")
	}
	for i, x := range list {
		if i == maxChanges {
			s.para(worded("and %d more changes.", len(list)-maxChanges))
			break
		}
		text := x.Location + ", " + x.Feature + ", " + x.Check + ": "
		switch {
		case x.Was == "":
			text += x.Now
		case x.Now == "":
			text += "was " + x.Was
		default:
			text += x.Now + "; was " + x.Was
		}
		s.item(x.What, text)
	}
	c.add(*s)
}

func before(r *export.Report) string {
	if r.Survey.Date != "" {
		return r.Survey.Date
	}
	return "an undated survey"
}
