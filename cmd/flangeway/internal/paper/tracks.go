package paper

import (
	"fmt"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
)

// mayWord says whether a car may go by a verdict.
func mayWord(v interaction.Verdict) string {
	switch v {
	case interaction.Conflict:
		return "NO"
	case interaction.Undecided:
		return "open"
	case interaction.NotMeasured:
		return "not known"
	}
	return "clear as read"
}

// carTracks says which tracks the one car that was asked for may use, and which jobs it fits.
func (c *checkPage) carTracks() *Section {
	t := c.in.Tracks
	if t == nil || len(t.Accesses) == 0 {
		return nil
	}
	s := &Section{ID: "tracks", Title: "Tracks that " + c.name(t.Accesses[0].Car.ID) + " may use"}
	var rows [][]string
	for i := range t.Accesses {
		a := &t.Accesses[i]
		may := mayWord(a.Verdict)
		if len(a.Behind) > 0 && may != "NO" {
			may = "NO WAY IN"
		}
		rows = append(rows, []string{c.name(a.Line.Name), may, c.words(accessWhy(a))})
	}
	s.table([]string{"track", "may use", "why"}, rows)
	for _, j := range t.Jobs {
		s.para(fmt.Sprintf("Job %s: %s.", c.name(j.Job.Name), fitWords(j.Verdict)))
	}
	s.para("Open and not known are no leave to go: the readings do not tell, or were not taken. Nor is clear as " +
		"read: what was read conflicts nowhere on the track, and who may send a car there is not for this page to say.")
	s.gap()
	return s
}

// accessWhy says what keeps a car off a track, what is open there, and what lies behind.
func accessWhy(a *plan.Access) string {
	var parts []string
	for _, v := range []interaction.Verdict{interaction.Conflict, interaction.Undecided, interaction.NotMeasured} {
		if list := metAt(a.Met, v); len(list) > 0 {
			word := v.String() + " at "
			if v == interaction.Conflict {
				word = ""
			}
			parts = append(parts, word+shorten(list, minNames))
		}
	}
	if len(a.Met) == 0 && a.Verdict == interaction.NotMeasured {
		parts = append(parts, "none of its wheels was read")
	}
	if len(a.Beyond) > 0 {
		parts = append(parts, "behind it "+shorten(a.Beyond, minNames))
	}
	if len(a.Behind) > 0 {
		parts = append(parts, "its jobs come there over "+strings.Join(a.Behind, ", ")+", which it may not use")
	}
	return strings.Join(parts, "; ")
}

// metAt names the features with a verdict, those in conflict with their checks.
func metAt(list []*judge.Met, v interaction.Verdict) (out []string) {
	for _, m := range list {
		if m.Verdict() != v {
			continue
		}
		name := m.Feature.Name()
		if len(m.Conflicts) > 0 {
			name += " (" + strings.Join(m.Conflicts, ", ") + ")"
		}
		out = append(out, name)
	}
	return out
}

// fitWords says whether a job can take a car.
func fitWords(v interaction.Verdict) string {
	switch v {
	case interaction.Conflict:
		return "may NOT take it over its whole route"
	case interaction.Undecided:
		return "not settled: the readings leave a place of its route open"
	case interaction.NotMeasured:
		return "not known: not all was read that its route asks for"
	}
	return "clear as read over its route"
}
