package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/survey"
)

// What of a long list is printed; the rest is named with the way to see it.
const (
	maxRows      = 14 // findings of one location, and if that is more than a page
	minRows      = 6
	maxFixes     = 100 // of either side of a finding: all
	minFixes     = 1
	maxMissing   = 8 // of what was not measured at one location, and of what is clear
	maxClear     = 12
	minNames     = 3  // of both, if a location is more than a page
	maxDetails   = 3  // explained findings of one location
	pageLines    = 58 // of a letter page in print, for one location
	maxLimits    = 24 // readings beyond a limit, of each department
	maxUnsettled = 16
	maxChanges   = 40
	maxReported  = 60 // readings to take next, on the page that is signed
	// maxWhole is how many places, or works of a side, the appendix of the page that is signed shows whole: a browser
	// does not open the page of ten thousand.
	maxWhole = 400
	// maxConflicts is how many conflicts stand beside one axle there.
	maxConflicts = 100
)

// checkPage builds the page of a check: for text and markdown as much as fits letter pages, for HTML everything.
type checkPage struct {
	*Document
	in     export.Input
	dir    string // the survey's folder as typed, for the commands that are suggested
	e      *judge.Engine
	places []export.Place // worst first
	risks  map[string]plan.Risk
}

func newCheckPage(in export.Input, form Form, dir string) *checkPage {
	return &checkPage{Document: (&Document{Form: form}).measured(in.Survey), in: in, dir: dir, e: in.Result.Engine(),
		places: worstFirst(in.Places, in.Risks), risks: ranks(in.Risks)}
}

// Check is the page of a judged survey as text or markdown; dir is its folder as typed.
func Check(in export.Input, form Form, dir string) *Document {
	c := newCheckPage(in, form, dir)
	c.top()
	if in.WhatIf != nil {
		c.whatIf()
	}
	if in.Before != nil {
		c.changes()
	}
	c.section(c.carTracks())
	for _, l := range c.places {
		c.add(Later(func() (*Section, error) { return c.location(l) }))
	}
	c.section(c.wheelFaults())
	c.section(c.classTable())
	c.limits("track", "Track readings beyond or straddling a limit")
	c.limits("wheel", "Wheel readings beyond or straddling a limit")
	c.section(c.readingsNext(maxUnsettled))
	c.section(c.defaults())
	c.foot()
	return c.Document
}

// section adds a part that has something to show.
func (c *checkPage) section(s *Section) {
	if s != nil {
		c.add(*s)
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Count(n) + " " + many
}

// surveyName is the railroad with the survey's date.
func surveyName(sv *survey.Survey) string {
	name := cmp.Or(sv.Railroad, "A railroad without a name")
	if sv.Date.Known() {
		name += ", " + sv.Date.String()
	}
	return name
}

// jsonLists names the way to all of a list that is cut.
func (c *checkPage) jsonLists(more int, what string) string {
	return worded("and %d more%s: flangeway check %s --format json lists all", more, what, c.judged())
}

// worstFirst orders locations by their rank.
func worstFirst(places []export.Place, risks []plan.Risk) []export.Place {
	rank := ranks(risks)
	places = slices.Clone(places)
	slices.SortStableFunc(places, func(a, b export.Place) int { return rank[a.Name].Rank - rank[b.Name].Rank })
	return places
}

func ranks(risks []plan.Risk) map[string]plan.Risk {
	out := map[string]plan.Risk{}
	for _, r := range risks {
		out[r.Location] = r
	}
	return out
}

// foot names the command that explains the worst finding, and the cautions.
func (c *checkPage) foot() {
	if w := c.in.First; w != nil {
		c.para(fmt.Sprintf("The worst finding is %s at %s, %s. To see its formula, its sources and how far to believe "+
			"it:", w.Check.ID, w.Feature.Location, w.Feature.Name()))
		c.line("   flangeway explain " + w.Check.ID)
		c.gap()
	}
	if n := len(c.in.Survey.Warnings); n > 0 {
		c.para(fmt.Sprintf("%s about the sheets (printed on standard error, and in the json).",
			plural(n, "warning", "warnings")))
		c.gap()
	}
	c.heading(3, "Cautions")
	c.add(Bullets(c.in.Cautions))
	c.gap()
	sum := c.in.Book.SHA256()
	if len(sum) > 12 {
		sum = sum[:12]
	}
	c.para(fmt.Sprintf("%s; limits %s; survey %s", c.in.Program, sum, c.sum()))
	c.gap()
	c.inShort()
}

// inShort is the result once more in the last lines, because they are what stands on a terminal at the end.
func (c *checkPage) inShort() {
	s := c.in.Result.Summary
	c.heading(3, "In short")
	if s.Pairs == 0 {
		c.para(noPair)
		return
	}
	if w := c.in.First; w != nil && w.Verdict != interaction.Clear {
		c.item("worst", c.words(fmt.Sprintf("%s, %s (%s)", c.name(w.Feature.Location), c.findingTitle(w), w.Check.ID)))
	}
	c.item("to mend", worded("%s in conflict: %d of a place, %d of a wheelset, %d of the two together",
		plural(s.Count(interaction.Conflict), "pair", "pairs"), s.ByCause[interaction.CausePlace],
		s.ByCause[interaction.CauseWheel], s.ByCause[interaction.CausePair]))
	c.item("not known", worded("%s undecided, %d not measured, of %d", plural(s.Count(interaction.Undecided),
		"pair", "pairs"), s.Count(interaction.NotMeasured), s.Pairs))
	c.item("survey", c.sum()+" (the same digits stand on every sheet that is made of these readings)")
	if s.Count(interaction.Conflict) > 0 {
		c.item("next", "flangeway plan "+c.judged()+" (what to repair at the least cost)")
	}
}

// sum are the digits that name the survey on every sheet.
func (c *checkPage) sum() string { return survey.Digits(c.in.Survey.Sum(c.in.Book)) }

// SheetName names one sheet of paper: the railroad, the day of its survey, the sum of all that entered, the program.
func SheetName(sv *survey.Survey, sum, program string) string {
	return fmt.Sprintf("%s; survey %s; %s", surveyName(sv), survey.Digits(sum), program)
}

// judged is the survey as a command names it that judges it as this page does.
func (c *checkPage) judged() string {
	if c.in.Result.Engine().Computing() {
		return QuoteDir(c.dir)
	}
	return QuoteDir(c.dir) + " --plain"
}

// QuoteDir writes a folder so that it can be pasted.
func QuoteDir(dir string) string {
	if strings.ContainsAny(dir, " \t'\"&|<>()$;") {
		return `"` + dir + `"`
	}
	return dir
}
