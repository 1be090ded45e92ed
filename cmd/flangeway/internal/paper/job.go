package paper

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/internal/each"
	"flangeway/internal/survey"
)

// maxRiders is up to how many cars of a job are listed by name on the page.
const maxRiders = 60

// Job is the page of a job: its cars against its route, the worst first.
func Job(in export.Job, form Form, dir string) *Document {
	c := newCheckPage(in.Input, form, dir)
	c.heading(1, "Job "+c.name(in.Job.Name)+": its cars on its route, the worst first")
	c.para(c.words(SheetName(in.Survey, in.Survey.Sum(in.Book), in.Program)) + ".")
	c.para(c.words(consist(in)))
	c.gap()
	c.para(jobHeadline(in))
	if list := c.anyWheel(in); len(list) > 0 {
		c.para("There any ordinary wheel conflicts, whatever the car: " + shorten(list, maxClear) +
			". Mend the track before anything is decided by cars.")
	}
	c.gap()
	c.riders(in)
	c.route(in)
	shown := 0
	for _, l := range c.places {
		if hits(l) && shown < maxDetails {
			shown++
			c.add(Later(func() (*Section, error) { return c.location(l) }))
		}
	}
	c.section(c.defaults())
	c.heading(3, "Cautions")
	c.add(Bullets(in.Cautions))
	return c.Document
}

// hits reports whether something conflicts or is open at a place.
func hits(l export.Place) bool {
	for _, f := range l.Findings {
		if f.Verdict == interaction.Conflict || f.Verdict == interaction.Undecided {
			return true
		}
	}
	return false
}

// consist says how often the job runs, over what and with whom.
func consist(in export.Job) string {
	j := in.Job
	tracks := each.Of(j.Lines, func(l *survey.Line) string { return l.Name })
	trips := fmt.Sprintf("%g trips a year", j.Trips)
	if !j.TripsGiven {
		trips += " (one each working day, since the sheet gives none)"
	}
	who := "any car of the survey, since the sheet names none"
	if !j.Anyone() {
		who = strings.Join(append(append([]string{}, j.Cars...), groupNames(j)...), ", ")
	}
	return fmt.Sprintf("%s over %s. %s in it: %s.", trips, strings.Join(tracks, ", "),
		plural(len(in.Riders), "car", "cars"), who)
}

func groupNames(j *survey.Job) (out []string) {
	for _, g := range j.Groups {
		out = append(out, "group "+g)
	}
	return out
}

// jobHeadline counts the cars by what they meet.
func jobHeadline(in export.Job) string {
	var n [interaction.NumVerdicts]int
	for i := range in.Riders {
		n[in.Riders[i].Verdict()]++
	}
	if len(in.Riders) == 0 {
		return "No car of the survey is in it: nothing was judged."
	}
	return worded("%d of %s meet a conflict and may not go over the whole route; %d are open, %d not known, %d clear.",
		n[interaction.Conflict], plural(len(in.Riders), "car", "cars"), n[interaction.Undecided],
		n[interaction.NotMeasured], n[interaction.Clear])
}

// anyWheel names the features of the route where the place is at fault.
func (c *checkPage) anyWheel(in export.Job) (out []string) {
	for i := range in.Result.Tallies {
		t := &in.Result.Tallies[i]
		name := c.words(t.Feature.Name())
		if t.Counts[interaction.Conflict] > 0 && t.Cause == interaction.CausePlace && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

func (c *checkPage) riders(in export.Job) {
	t := Table{Columns: []Column{{Name: "car"}, {Name: "verdict"}, {Name: "worst"}, {Name: "wheel"}, {Name: "margin"},
		{Name: "not on"}}}
	clear := 0
	var many []string
	for i := range in.Riders {
		r := &in.Riders[i]
		f := export.Leading(in.Result, r)
		switch {
		case r.Verdict() == interaction.Clear && f != nil && !f.Close && !f.Stale:
			clear++
			continue
		case len(t.Rows) == maxRiders:
			many = append(many, c.name(r.Car.ID))
			continue
		}
		row := []string{c.name(r.Car.ID), r.Verdict().String(), "no wheel was read", "", "", ""}
		if f != nil {
			row[1], row[2], row[3], row[4] = verdictWord(f), c.checkAt(f), f.Wheel.Position.String(),
				c.margin(shownMargin(f))
			if f.Verdict == interaction.NotMeasured {
				row[4] = "needs " + needs(f)
			}
		}
		if row[5] = c.words(strings.Join(r.Barred, ", ")); len(r.Behind) > 0 {
			row[5] += "; behind it " + c.words(strings.Join(r.Behind, ", "))
		}
		t.Rows = append(t.Rows, cells(row...))
	}
	if len(t.Rows) > 0 {
		c.add(t)
	}
	if len(many) > 0 {
		c.para("and " + shorten(many, maxClear) + ".")
	}
	if clear > 0 {
		c.para(fmt.Sprintf("Clear on the whole route, with room to spare: %s.", plural(clear, "car", "cars")))
	}
	c.gap()
}

// route lists the tracks in the order of the run.
func (c *checkPage) route(in export.Job) {
	c.heading(2, "The route")
	type found struct {
		barred, open int
		at           map[string]bool // of its features
	}
	by := map[*survey.Line]*found{}
	for _, l := range in.Job.Lines {
		by[l] = &found{at: map[string]bool{}}
	}
	for i := range in.Riders {
		for k := range in.Riders[i].Tracks {
			a := &in.Riders[i].Tracks[k]
			x := by[a.Line]
			switch a.Verdict {
			case interaction.Conflict:
				x.barred++
			case interaction.Undecided, interaction.NotMeasured:
				x.open++
			}
			for _, m := range a.Met {
				if m.Verdict() == interaction.Conflict {
					x.at[m.Feature.Name()] = true
				}
			}
		}
	}
	var rows [][]string
	for n, l := range in.Job.Lines {
		x := by[l]
		var where []string
		for _, s := range l.Stops {
			for _, f := range s.Features {
				if x.at[f] {
					where = append(where, c.words(f))
				}
			}
		}
		rows = append(rows, []string{fmt.Sprint(n + 1), c.name(l.Name), fmt.Sprint(x.barred), fmt.Sprint(x.open),
			shorten(where, minNames)})
	}
	c.table([]string{"", "track", "cars not on it", "open or not known", "conflicts at"}, rows, 0, 2, 3)
	c.gap()
}
