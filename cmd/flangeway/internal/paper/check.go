package paper

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// Options say how a check is printed.
type Options struct {
	Program  string
	Dir      string // as typed, for the commands that are suggested
	Form     Form
	AllPairs bool
	Car      string
	Before   *export.Report
}

// What of a long list is printed; the rest is named with the way to see it.
const (
	maxRows      = 14 // findings of one location, and where that is more than a page
	minRows      = 6
	maxMissing   = 8 // of what was not measured at one location, and of what is clear
	maxClear     = 12
	minNames     = 3  // of both, where a location is more than a page
	maxDetails   = 3  // explained findings of one location
	pageLines    = 58 // of a letter page in print, for one location
	maxLimits    = 24 // readings beyond a limit, of each department
	maxUnsettled = 16
	maxChanges   = 40
)

// Check is the page of a judged survey.
func Check(in export.Input, o Options) (*Document, error) {
	c := &checkPage{Document: &Document{Form: o.Form}, in: in, o: o, risks: ranks(in.Risks)}
	places := worstFirst(in.Result.Locations(), in.Risks)
	c.top(places)
	if in.WhatIf != nil {
		c.whatIf()
	}
	if o.Before != nil {
		c.changes()
	}
	for _, l := range places {
		if err := c.location(l); err != nil {
			return nil, err
		}
	}
	c.wheelFaults()
	c.classTable()
	c.limits("track", "Track readings beyond or straddling a limit")
	c.limits("wheel", "Wheel readings beyond or straddling a limit")
	c.unsettled()
	c.defaults()
	c.foot()
	return c.Document, nil
}

type checkPage struct {
	*Document
	in    export.Input
	o     Options
	risks map[string]plan.Risk
	room  room // of the location that is printed
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (c *checkPage) top(places []interaction.Location) {
	sv, s := c.in.Survey, c.in.Result.Summary
	name := sv.Railroad
	if name == "" {
		name = "A railroad without a name"
	}
	if sv.Date.Known() {
		name += ", " + sv.Date.String()
	}
	c.heading(1, "Wheels and track together: "+name)
	c.para(fmt.Sprintf("%s, %s, %s; limits: %s.", plural(len(sv.Fleet.Cars), "car", "cars"), plural(len(sv.Fleet.Wheels), "wheel", "wheels"),
		plural(sv.Locations(), "location", "locations"), strings.Join(sv.Sets, ", ")))
	c.gap()
	for _, sentence := range Headline(s) {
		c.para(sentence)
	}
	c.para(fmt.Sprintf("%s: %d conflict (%d place, %d wheel, %d pair), %d undecided, %d not measured, %d clear.", plural(s.Pairs, "pair", "pairs"),
		s.Count(interaction.Conflict), s.ByCause[interaction.CausePlace], s.ByCause[interaction.CauseWheel], s.ByCause[interaction.CausePair],
		s.Count(interaction.Undecided), s.Count(interaction.NotMeasured), s.Count(interaction.Clear)))
	if s.Pairs == 0 {
		c.para("No pair was judged: the survey needs wheels and at least one frog, switch, curve, joint or gauge spot.")
	}
	c.gap()
	var rows [][]string
	for _, l := range places {
		n := counts(l)
		r := c.risks[l.Name]
		rows = append(rows, []string{fmt.Sprint(r.Rank), l.Name, r.Short, fmt.Sprint(n[interaction.Conflict]), fmt.Sprint(n[interaction.Undecided]),
			fmt.Sprint(n[interaction.NotMeasured]), fmt.Sprint(n[interaction.Clear])})
	}
	c.table([]string{"risk", "location", "worst there", "conflict", "undecided", "not measured", "clear"}, rows, 0, 3, 4, 5, 6)
	if len(rows) > 0 {
		c.gap()
		c.para(RiskWords)
	}
	c.gap()
}

// RiskWords says what the rank of a place goes by.
const RiskWords = "Risk ranks the places that were looked at, 1 the worst: those with a conflict first, then those with a reading beyond a federal limit, with undecided pairs, with pairs that were not measured, and last those where every pair is clear; " +
	"among alike by the severity of the check (1 worst) and how often it is met (A to E), by the matrix of MIL-STD-882E, its cells second hand; severities and the passes a year of each letter are the project's own (assumed). " +
	"Expected conflicting passes count an undecided pair with its chance; they are no accident probabilities. What was not measured is not known, and no place is called safe."

// Headline says what is to be mended, and what nobody knows.
func Headline(s interaction.Summary) []string {
	of := func(c interaction.Cause) int { return s.Problems[c] }
	out := []string{fmt.Sprintf("%s: %s where any ordinary wheel conflicts, %s by a wheelset on any track, %s by the two together; %s of a pair that no federal limit stops on either side.",
		plural(s.AllProblems(), "problem", "problems"), plural(of(interaction.CausePlace), "place", "places"), plural(of(interaction.CauseWheel), "conflict", "conflicts"),
		plural(of(interaction.CausePair), "conflict", "conflicts"), plural(s.BothLegal, "conflict", "conflicts"))}
	if open := s.Count(interaction.Undecided) + s.Count(interaction.NotMeasured); open > 0 {
		out = append(out, fmt.Sprintf("Not known: %d undecided and %d not measured of %s, at %d of %s.", s.Count(interaction.Undecided), s.Count(interaction.NotMeasured), plural(s.Pairs, "pair", "pairs"),
			s.Unknown, plural(s.AllPlaces, "place", "places")))
	} else if s.Pairs > 0 {
		out = append(out, fmt.Sprintf("Every one of %s was measured and is decided.", plural(s.Pairs, "pair", "pairs")))
	}
	if s.Lifted > 0 {
		out = append(out, fmt.Sprintf("%s by the plain rule alone: what is computed from shapes and forces lifts them, with forms that are in part assumed. Each says so; --plain lists them as conflicts.", plural(s.Lifted, "pair conflicts", "pairs conflict")))
	}
	return out
}

// counts sums the verdicts of a location.
func counts(l interaction.Location) (n [4]int) {
	for v := range n {
		n[v] = l.Count(interaction.Verdict(v))
	}
	return n
}

// worstFirst orders locations by their rank.
func worstFirst(places []interaction.Location, risks []plan.Risk) []interaction.Location {
	rank := ranks(risks)
	slices.SortStableFunc(places, func(a, b interaction.Location) int { return rank[a.Name].Rank - rank[b.Name].Rank })
	return places
}

// ranks are risks by location.
func ranks(risks []plan.Risk) map[string]plan.Risk {
	out := map[string]plan.Risk{}
	for _, r := range risks {
		out[r.Location] = r
	}
	return out
}

// room is how much of one location is printed.
type room struct {
	rows           int  // findings in its table
	missing, clear int  // names of what was not measured and of what is clear
	rules          bool // the sources of the rule that explains a finding; else the command that prints them
}

// rooms are tried one after another until a location fits a page: fewer names of what is
// no finding, then fewer findings in the table, so that one is explained.
func rooms() []room {
	out := []room{{maxRows, maxMissing, maxClear, true}}
	for rows := maxRows; rows >= minRows; rows-- {
		out = append(out, room{rows, minNames, minNames, true})
	}
	return append(out, room{minRows, minNames, minNames, false})
}

// location adds one place so that it fits a page.
func (c *checkPage) location(l interaction.Location) error {
	findings := c.in.Result.WorstAt(l)
	var one *checkPage
	for _, r := range rooms() {
		one = c.beside(r)
		if err := one.place(l, findings); err != nil {
			return err
		}
		if c.o.AllPairs || linesOf(c.Form, one.Blocks) <= pageLines {
			break
		}
	}
	c.add(one.Blocks...)
	return nil
}

// beside is a page of its own for a part of this one.
func (c *checkPage) beside(r room) *checkPage {
	return &checkPage{Document: &Document{Form: c.Form}, in: c.in, o: c.o, risks: c.risks, room: r}
}

// place adds one place as its room allows.
func (c *checkPage) place(l interaction.Location, findings []*interaction.Finding) error {
	c.heading(2, l.Name+"   "+c.risks[l.Name].Short)
	c.para("Risk " + c.risks[l.Name].Text() + ".")
	c.classes(l.Name)
	c.gap()
	if c.o.AllPairs {
		if err := c.allPairs(l); err != nil {
			return err
		}
	} else {
		c.rows(findings, l.Name)
	}
	lines := linesOf(c.Form, c.Blocks)
	for i, f := range c.explained(findings) {
		if i == maxDetails {
			break
		}
		one := c.beside(c.room)
		one.finding(f)
		if lines += linesOf(c.Form, one.Blocks); i > 0 && lines > pageLines {
			break
		}
		c.add(one.Blocks...)
	}
	c.gap()
	return nil
}

// explained picks the findings to explain: as they are listed, but of those that hurt
// alike with the same verdict the ones first that no federal limit stops.
func (c *checkPage) explained(findings []*interaction.Finding) []*interaction.Finding {
	var out []*interaction.Finding
	for _, f := range findings {
		if f.Verdict == interaction.Undecided || f.Verdict == interaction.Conflict && !f.OnlyWheels {
			out = append(out, f)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if x, y := a.Doubt != "", b.Doubt != ""; x != y {
			return y
		}
		if x, y := interaction.Harm(a.Check), interaction.Harm(b.Check); x != y {
			return x < y
		}
		if a.Verdict != b.Verdict {
			return a.Verdict < b.Verdict
		}
		return a.BothSharing > 0 && b.BothSharing == 0
	})
	return out
}

// classes says where a feature does not meet the class it is run at.
func (c *checkPage) classes(location string) {
	var short []string
	for _, t := range c.in.Result.Track {
		if t.Location == location && t.Met.Short {
			short = append(short, ShortText(t.Feature, t))
		}
	}
	if len(short) > 0 {
		c.para("Short of its class: " + strings.Join(short, "; ") + ".")
	}
}

// ShortText says how a feature is short of the class that it is run at.
func ShortText(feature string, t interaction.ClassFinding) string {
	meets := "meets "
	if len(t.Met.NotRead) > 0 {
		meets = "meets at most "
	}
	return fmt.Sprintf("%s is run as %s and %s%s (%s)", feature, className(t.Class), meets, className(t.Met.Class), strings.Join(t.Met.NextNeeds, "; "))
}

// MeetsText is the class that a feature meets; "" where its readings tell none: nothing
// that was read stops the highest class, and a reading that a class needs was not taken.
func MeetsText(t interaction.ClassFinding) string {
	s := t.Met.Class
	switch {
	case len(t.Met.NotRead) > 0 && len(t.Met.NextNeeds) == 0:
		return ""
	case len(t.Met.NotRead) > 0:
		s = "at most " + s
	}
	if t.Met.AtLimit {
		s += ", at a limit"
	}
	if t.Met.Short {
		s += ", short"
	}
	return s
}

// NextText says what stops the next class and what was not read, no more than so many
// reasons.
func NextText(t interaction.ClassFinding, most int) string {
	var out []string
	for i, n := range t.Met.NextNeeds {
		if i == most {
			out = append(out, fmt.Sprintf("and %d more", len(t.Met.NextNeeds)-most))
			break
		}
		out = append(out, n)
	}
	if len(t.Met.NotRead) > 0 {
		out = append(out, "not read: "+strings.Join(t.Met.NotRead, ", "))
	}
	return strings.Join(out, "; ")
}

// classTable lists the class that every feature meets and what stops the next.
func (c *checkPage) classTable() {
	var rows [][]string
	open := 0
	for _, t := range c.in.Result.Track {
		meets := MeetsText(t)
		if meets == "" && len(t.Met.NotRead) > 0 {
			open++
		}
		if meets == "" && t.Speed == nil {
			continue
		}
		speed := ""
		if t.Speed != nil {
			speed = fmt.Sprint(*t.Speed)
		}
		rows = append(rows, []string{t.Location, t.Feature, t.Class, meets, speed, NextText(t, 1)})
	}
	if len(rows) == 0 {
		return
	}
	c.heading(2, "Track class met, on the readings there are")
	c.table([]string{"location", "feature", "run as", "meets", "curve mph", "what stops the next class"}, rows, 4)
	if open > 0 {
		c.para(openText(open))
	}
	c.gap()
}

// openText says of how many features the readings tell no class.
func openText(n int) string {
	return plural(n, "feature", "features") + " without a class here: a reading that every class needs was not taken, and no reading that was taken stops class 5."
}

// wheelFaults lists the wheels that conflict on any track, a line each.
func (c *checkPage) wheelFaults() {
	var rows [][]string
	more := 0
	for _, f := range c.in.Result.WheelFaults() {
		if len(rows) == maxLimits {
			more++
			continue
		}
		rows = append(rows, []string{f.Wheel.Car.ID + " " + f.Wheel.Position.String(), f.Check.ID, c.entered(f.Readings), strings.Join(f.FixWheel, "; ")})
	}
	if len(rows) == 0 {
		return
	}
	c.heading(2, "Wheels that conflict even on unworn track: fix the wheel")
	c.para("What fixes it is what unworn track asks for; a place of this survey may ask for more.")
	for _, r := range rows {
		c.item(r[0], r[1]+", "+r[2]+": "+r[3])
	}
	if more > 0 {
		c.para(fmt.Sprintf("and %d more.", more))
	}
	c.gap()
}

func (c *checkPage) entered(list []interaction.Entered) string {
	e := c.in.Result.Engine()
	var out []string
	for _, r := range list {
		if r.Side == "wheel" {
			out = append(out, r.Quantity+" "+e.Text(r))
		}
	}
	return strings.Join(out, ", ")
}

func className(s string) string {
	switch s {
	case "excepted", "none":
		return map[string]string{"excepted": "excepted track only", "none": "no class"}[s]
	}
	return "class " + s
}

// rows prints the conflicts and undecided findings as a table, and names the
// others in a line each.
func (c *checkPage) rows(findings []*interaction.Finding, location string) {
	var rows [][]string
	missing, clear, anywhere := []string{}, []string{}, []string{}
	more := 0
	for _, f := range findings {
		switch f.Verdict {
		case interaction.NotMeasured:
			missing = append(missing, fmt.Sprintf("%s %s (%s, %d)", f.Check.ID, f.Feature.Name(), needs(f), f.Sharing))
		case interaction.Clear:
			s := f.Check.ID + " " + f.Feature.Name()
			if f.Close {
				s += " close"
			}
			if f.Stale {
				s += " stale"
			}
			clear = append(clear, s)
		default:
			if f.Verdict == interaction.Conflict && f.Cause == interaction.CauseWheel && f.OnlyWheels {
				anywhere = append(anywhere, fmt.Sprintf("%s %s (%d)", f.Check.ID, f.Feature.Name(), f.Sharing))
				continue
			}
			if len(rows) == c.room.rows {
				more++
				continue
			}
			rows = append(rows, c.row(f))
		}
	}
	c.table([]string{"verdict", "check", "feature", "worst wheel", "margin", "pairs", "whose", "stopped by"}, rows, 5)
	list := fmt.Sprintf("flangeway check %s --location %q --format csv", QuoteDir(c.o.Dir), location)
	if more > 0 {
		c.para(fmt.Sprintf("and %d more: %s", more, list))
	}
	if len(rows) > 0 {
		c.gap()
	}
	if len(anywhere) > 0 {
		c.para("Conflicts of wheels that conflict on any track, listed further on: " + shorten(anywhere, c.room.missing) + ".")
	}
	if len(missing) > 0 {
		c.para("Not measured (reading, pairs): " + shorten(missing, c.room.missing) + ".")
	}
	if len(clear) > 0 {
		c.para("Clear for every other pair there: " + shorten(clear, c.room.clear) + ".")
	}
	if cut := max(len(anywhere), len(missing)) > c.room.missing || len(clear) > c.room.clear; cut && more == 0 {
		c.para("All: " + list)
	}
	if len(missing)+len(clear)+len(anywhere) > 0 {
		c.gap()
	}
}

// needs words the missing readings of a finding; gauge and loaded gauge stand for
// one another.
func needs(f *interaction.Finding) string { return needsOf(f.SettleBy) }

func needsOf(names []string) string {
	return strings.Replace(strings.Join(names, " and "), "gauge and loaded_gauge", "gauge or loaded_gauge", 1)
}

// settleText says how a finding that is no conflict is settled; "" where nothing is to be.
func settleText(f *interaction.Finding) string {
	switch {
	case f.LookAt != "":
		return "by no reading in the sheets; look at " + f.LookAt
	case len(f.SettleBy) > 0 && f.Verdict != interaction.Conflict:
		return settleBy(f)
	}
	return ""
}

// settleBy says what is to be read, and what, having been read, is to be read more closely.
func settleBy(f *interaction.Finding) string {
	var unread, read []string
	for _, name := range f.SettleBy {
		of, mate := strings.CutSuffix(name, " of the mate")
		if slices.ContainsFunc(f.Readings, func(r interaction.Entered) bool {
			return r.Quantity == of && (r.Of != "") == mate && !r.Default && r.Reading.Measured()
		}) {
			read = append(read, name)
		} else {
			unread = append(unread, name)
		}
	}
	var parts []string
	if len(unread) > 0 {
		parts = append(parts, "by reading "+needsOf(unread))
	}
	if len(read) > 0 {
		parts = append(parts, "by reading "+needsOf(read)+" more closely")
	}
	return strings.Join(parts, ", and ")
}

func shorten(list []string, most int) string {
	if len(list) > most {
		return strings.Join(list[:most], ", ") + fmt.Sprintf(" and %d more", len(list)-most)
	}
	return strings.Join(list, ", ")
}

func (c *checkPage) row(f *interaction.Finding) []string {
	verdict := f.Verdict.String()
	if f.Verdict == interaction.Conflict {
		verdict = "CONFLICT"
	}
	who := f.Wheel.Car.ID + " " + f.Wheel.Position.String()
	switch {
	case f.Verdict == interaction.Conflict && f.Cause == interaction.CausePlace && f.AtFault:
		who += ", at fault itself"
	case f.Verdict == interaction.Conflict && f.Cause == interaction.CausePlace:
		who = "any ordinary wheel"
	}
	if f.Doubt != "" {
		who += ", read again"
	}
	whose := ""
	if f.Verdict == interaction.Conflict {
		whose = string(f.Cause)
	}
	return []string{verdict, f.Check.ID, f.Feature.Name(), who, shownMargin(f), fmt.Sprint(f.Sharing), whose, legalText(f, c.in.Book.HasFederal())}
}

func legalText(f *interaction.Finding, federal bool) string {
	if !federal {
		return "federal set left out"
	}
	s := legalWord(f)
	if f.Verdict == interaction.Conflict && f.BothSharing > 0 && !f.BothLegal() {
		s += fmt.Sprintf("; %d by no rule", f.BothSharing)
	}
	return s
}

func legalWord(f *interaction.Finding) string {
	w, t := f.WheelWithinLimits, f.TrackWithinLimits
	switch {
	case !w.Stops() && !t.Stops():
		return "no rule"
	case w == limit.No && t == limit.No:
		return "both"
	case w == limit.No:
		return "the wheel"
	case t == limit.No:
		return "the track"
	}
	return "not known"
}

// shownMargin is the computed margin where there is one.
func shownMargin(f *interaction.Finding) string {
	if f.Computed != nil {
		return f.Computed.Text()
	}
	return marginText(f.Margin)
}

// marginText is a margin against the reading error, with its unit: its value and
// ±, or its two ends.
func marginText(m interaction.Margin) string {
	write, unit := inchesAlike(m), " in"
	switch {
	case m.Degrees:
		write, unit = func(v float64) string { return fmt.Sprintf("%+.1f", v) }, " deg"
	case m.Metric:
		write, unit = func(v float64) string { return fmt.Sprintf("%+.2f", v) }, " mm"
	}
	switch {
	case m.Hi == nil && m.Lo == nil:
		return ""
	case m.Hi == nil:
		return write(*m.Lo) + unit + " at least"
	case m.Lo == nil:
		return write(*m.Hi) + unit + " at most"
	case m.As != nil && math.Abs((*m.As-*m.Lo)-(*m.Hi-*m.As)) < 1e-6:
		return write(*m.As) + " +-" + strings.TrimPrefix(write(*m.Hi-*m.As), "+") + unit
	}
	return write(*m.Lo) + ".." + write(*m.Hi) + unit
}

// inchesAlike writes the figures of one margin alike: as fractions where all of
// them are whole 64ths, else as decimals.
func inchesAlike(m interaction.Margin) func(mm float64) string {
	for _, v := range []*float64{m.As, m.Lo, m.Hi} {
		if v != nil && strings.Contains(interaction.Inches(*v), ".") {
			return func(mm float64) string { return fmt.Sprintf("%+.3f", mm/measure.MMPerInch) }
		}
	}
	return func(mm float64) string { return strings.TrimSuffix(interaction.Inches(mm), " in") }
}

// finding explains one pair.
func (c *checkPage) finding(f *interaction.Finding) {
	e := c.in.Result.Engine()
	who := f.Wheel.Car.ID + " " + f.Wheel.Position.String()
	place := f.Verdict == interaction.Conflict && f.Cause == interaction.CausePlace
	switch {
	case place && f.AtFault:
		who += ", which is at fault itself"
	case place:
		who = "any ordinary wheel (worst of the fleet: " + who + ")"
	}
	head := strings.ToUpper(f.Verdict.String()) + " "
	if f.Doubt != "" && f.Verdict != interaction.Clear {
		head = "READ AGAIN FIRST (" + f.Doubt + "): " + f.Verdict.String() + " "
	}
	head += f.Feature.Name() + ": "
	if f.Verdict == interaction.Undecided {
		head += "it may be that the "
	}
	c.heading(3, head+f.Check.Happens+" ("+f.Check.ID+")")
	c.item("wheel", who+": "+c.readings(e, f, "wheel"))
	c.item("track", c.readings(e, f, "track"))
	margin := marginText(f.Margin) + " (negative conflicts)"
	switch {
	case f.Computed != nil:
		c.item("computed", f.Computed.Text()+": "+f.Computed.Why)
		c.item("plain rule", f.Plain.String()+", "+marginText(f.Margin))
	case f.Verdict == interaction.Undecided:
		c.item("margin", margin+"; the reading error holds both answers")
	default:
		c.item("margin", margin)
	}
	c.item("pairs", fmt.Sprintf("%s on %s here with this verdict", plural(f.Sharing, "wheel", "wheels"), plural(f.CarsSharing, "car", "cars")))
	if f.Verdict == interaction.Conflict {
		c.item("whose", causeText(f))
		if f.BothSharing > 0 {
			c.item("legal", fmt.Sprintf("%s of these: NO FEDERAL LIMIT STOPS EITHER SIDE, and together they conflict", plural(f.BothSharing, "pair", "pairs")))
		}
	}
	c.item("limits", limitsText(f, c.in.Book.HasFederal()))
	if s := settleText(f); s != "" {
		c.item("settle", s)
	}
	if f.Cause != interaction.CauseWheel || f.Verdict != interaction.Conflict {
		for _, s := range f.FixTrack {
			c.item("fix track", s)
		}
	}
	if !place {
		for _, s := range f.FixWheel {
			c.item("fix wheel", s)
		}
	}
	for _, s := range f.Notes {
		c.item("note", s)
	}
	if c.room.rules {
		c.item("rule", strings.Join(f.Check.Sources, "; "))
	} else {
		c.item("rule", "flangeway explain "+f.Check.ID)
	}
	c.gap()
}

func causeText(f *interaction.Finding) string {
	switch {
	case f.Cause == interaction.CausePlace:
		return "the place: any ordinary wheel, new or worn, conflicts there"
	case f.Cause == interaction.CauseWheel:
		return "the wheel: it conflicts even on unworn track"
	}
	return "the pair: neither alone conflicts with new material"
}

func limitsText(f *interaction.Finding, federal bool) string {
	if !federal {
		s := "the federal set is left out: not judged by it"
		for _, side := range []struct {
			name string
			word limit.Word
		}{{"wheel", f.WheelWithinPractice}, {"track", f.TrackWithinPractice}} {
			if side.word == limit.No {
				s += "; " + side.name + " past a figure of practice"
			}
		}
		return s
	}
	say := func(side string, w, practice limit.Word) string {
		s := side + " within federal limits: " + map[limit.Word]string{limit.Yes: "yes", limit.No: "no",
			limit.Unknown: "unknown (it is not known which rule holds: the class, the kind of car, its service or its flange design)",
			limit.None:    "none (no federal limit covers what was read)"}[w]
		if practice == limit.No {
			s += "; past a figure of practice"
		}
		return s
	}
	s := say("wheel", f.WheelWithinLimits, f.WheelWithinPractice) + "; " + say("track", f.TrackWithinLimits, f.TrackWithinPractice)
	if f.AtLimit {
		s += "; a reading stands at a federal limit: within as written, its reading error crosses"
	}
	return s
}

func (c *checkPage) readings(e *interaction.Engine, f *interaction.Finding, side string) string {
	var out []string
	for _, r := range f.Readings {
		if r.Side != side {
			continue
		}
		s := r.Quantity + " " + e.Text(r)
		if r.Of != "" {
			s = r.Of + "'s " + s
		}
		switch {
		case r.Default:
			s += " (" + r.From + ", not read)"
		case !r.Reading.Measured():
			s += "not read"
		default:
			s += fmt.Sprintf(" (%s)", r.Reading.Place.Short())
		}
		out = append(out, s)
	}
	for _, r := range f.Readings {
		if r.Side == "" && side == "track" {
			out = append(out, r.Quantity+" "+r.Reading.Written)
		}
	}
	if len(out) == 0 {
		return "no reading enters"
	}
	return strings.Join(out, ", ")
}

// allPairs lists every pair of a location, a line each.
func (c *checkPage) allPairs(l interaction.Location) error {
	var rows [][]string
	err := c.in.Result.Engine().EachPair(l.Tallies, func(f *interaction.Finding) error {
		r := c.row(f)
		r[3] = f.Wheel.Car.ID + " " + f.Wheel.Position.String()
		if f.Verdict == interaction.NotMeasured {
			r[4] = "needs " + needs(f)
		}
		r[6] = string(f.Cause)
		rows = append(rows, r[:5:5])
		rows[len(rows)-1] = append(rows[len(rows)-1], r[6], r[7])
		return nil
	})
	c.table([]string{"verdict", "check", "feature", "wheel", "margin", "whose", "stopped by"}, rows)
	c.gap()
	return err
}

func (c *checkPage) limits(side, title string) {
	var rows [][]string
	more, beyond, practice := 0, 0, 0
	unread, open := map[string][]string{}, map[string][]string{}
	actions := map[limit.Verdict]map[string][]string{limit.Beyond: {}, limit.Straddles: {}}
	for _, l := range ByWeight(c.in.Result.Limits) {
		if l.Side == side && l.Verdict == limit.Unsure && Listed(l) {
			why, _, _ := strings.Cut(l.Note, " (a rule of")
			open[why] = append(open[why], l.Where+" "+l.Quantity+" "+l.Reading)
		}
		if l.Side != side || !Listed(l) || l.Verdict == limit.Unsure {
			continue
		}
		switch {
		case l.Verdict == limit.Beyond && l.Kind == "regulation":
			beyond++
		case l.Verdict == limit.Beyond:
			practice++
		}
		action := l.Action
		if l.Note != "" {
			action += " (" + l.Note + ")"
		}
		if l.Kind != "regulation" {
			action += " [practice]"
		}
		actions[l.Verdict][action] = append(actions[l.Verdict][action], l.Rule)
		if sure := configs.HowKnown(l.Sure); sure != "" {
			unread[sure] = append(unread[sure], l.Rule)
		}
		if len(rows) == maxLimits {
			more++
			continue
		}
		where := l.Where
		if l.Place != "" {
			where = l.Place + ", " + where
		}
		quantity, condemns := LimitWords(l)
		rows = append(rows, []string{LimitWord(l), where, quantity + " " + l.Reading, condemns, l.Rule})
	}
	told := WhoseSpeed(c.in.Result, c.in.Survey, side)
	if len(rows) == 0 && len(open) == 0 && len(told) == 0 {
		return
	}
	c.heading(2, fmt.Sprintf("%s (%d beyond, %d warned)", title, beyond, practice))
	for _, s := range told {
		c.para(s)
		c.gap()
	}
	c.unsure(open)
	if len(rows) == 0 {
		return
	}
	c.table([]string{"verdict", "where", "reading", "condemns", "rule"}, rows)
	if more > 0 {
		c.para(fmt.Sprintf("and %d more: flangeway check %s --format json lists all", more, QuoteDir(c.o.Dir)))
	}
	c.gap()
	for _, v := range []limit.Verdict{limit.Beyond, limit.Straddles} {
		if len(actions[v]) == 0 {
			continue
		}
		c.para(map[limit.Verdict]string{limit.Beyond: "What rules and practice ask for:", limit.Straddles: "What they would ask for, should a closer reading be beyond:"}[v])
		c.byWords(actions[v])
		c.gap()
	}
	if len(unread) > 0 {
		c.para("Figures that were not read in the rule's present text, and how they are known:")
		c.byWords(unread)
		c.gap()
	}
}

// WhoseSpeed says whose speed was judged on a side, within and beyond alike; nothing where
// none was, or where no car is known that runs at another.
func WhoseSpeed(result *interaction.Result, sv *survey.Survey, side string) []string {
	judged := 0
	for _, l := range result.Limits {
		if l.Side == side && l.Quantity == "speed_mph" && l.Kind == "regulation" && l.Verdict != limit.NotMeasured {
			judged++
		}
	}
	switch {
	case judged == 0:
		return nil
	case sv.Trains() == "passenger":
		return []string{"Speeds were judged as those of passenger trains (49 CFR 213.9(a)), since every car is a passenger car; on excepted track no occupied passenger train may run (213.4(e)(2))."}
	}
	for _, car := range sv.Fleet.Cars {
		if car.Kind == "passenger" {
			return []string{"Speeds were judged as those of freight trains; passenger trains may run 15, 30, 60, 80 and 90 mph in classes 1 to 5 (49 CFR 213.9(a)), and on excepted track none that is occupied may run (213.4(e)(2))."}
		}
	}
	return nil
}

// Listed reports whether a page lists a judgement: what is beyond, what straddles a
// regulation, and what could be beyond one. A warning of practice that is only near is not
// worth a line: a flange that a notch of 1-1/2 passed is near every figure below.
func Listed(l interaction.LimitFinding) bool {
	return l.Verdict == limit.Beyond || l.Kind == "regulation" && (l.Verdict == limit.Straddles || l.Verdict == limit.Unsure)
}

// LimitWords names what a limit judges and what it condemns; the excess over a curve speed,
// which no column holds, goes by the speed.
func LimitWords(l interaction.LimitFinding) (quantity, condemns string) {
	if l.Quantity == "over_curve_speed" && l.Limit == "over_curve_speed > 0 mph" {
		return "speed_mph", "speed_mph over the curve speed"
	}
	return l.Quantity, l.Limit
}

// LimitWord is the verdict on a reading in words that tell a regulation from practice.
func LimitWord(l interaction.LimitFinding) string {
	if l.Kind == "regulation" || l.Verdict != limit.Beyond {
		return string(l.Verdict)
	}
	return "warned"
}

// unsure lists the readings of which it cannot be told whether they are beyond a limit,
// by what is to be given for that.
func (c *checkPage) unsure(open map[string][]string) {
	const most = 6
	for _, why := range slices.Sorted(maps.Keys(open)) {
		list := slices.Compact(slices.Sorted(slices.Values(open[why])))
		more := ""
		if len(list) > most {
			more = fmt.Sprintf(" and %d more", len(list)-most)
			list = list[:most]
		}
		c.para("Not known whether these are within: " + strings.Join(list, "; ") + more + " (" + why + ").")
		c.gap()
	}
}

// ByWeight orders the findings of limits: beyond before straddling, the regulation
// before the other books.
func ByWeight(list []interaction.LimitFinding) []interaction.LimitFinding {
	out := slices.Clone(list)
	rank := func(l interaction.LimitFinding) int {
		n := 0
		if l.Verdict != limit.Beyond {
			n += 2
		}
		if l.Kind != "regulation" {
			n++
		}
		return n
	}
	slices.SortStableFunc(out, func(a, b interaction.LimitFinding) int { return rank(a) - rank(b) })
	return out
}

// RuleText is a rule's name, and how sure its figure is where it was not read in the
// rule's text.
func RuleText(l interaction.LimitFinding) string {
	if sure := configs.HowKnown(l.Sure); sure != "" {
		return l.Rule + ", figure " + sure
	}
	return l.Rule
}

// byWords lists rules by what is said of them.
func (c *checkPage) byWords(rules map[string][]string) {
	for _, words := range slices.Sorted(maps.Keys(rules)) {
		list := rules[words]
		slices.Sort(list)
		c.para("* " + words + ": " + strings.Join(slices.Compact(list), ", ") + ".")
	}
}

func (c *checkPage) unsettled() {
	var rows [][]string
	list := c.in.Result.Unsettled()
	for i, u := range list {
		if i == maxUnsettled {
			break
		}
		where := u.Where
		if u.Place != "" {
			where = u.Place + ", " + where
		}
		rows = append(rows, []string{u.Reading, where, fmt.Sprint(u.Pairs)})
	}
	if len(rows) == 0 {
		return
	}
	c.heading(2, "Unsettled: the readings to take next, by how many pairs they would help decide")
	c.table([]string{"reading", "where", "pairs"}, rows, 2)
	if len(list) > maxUnsettled {
		c.para(fmt.Sprintf("and %d more readings.", len(list)-maxUnsettled))
	}
	c.gap()
}

func (c *checkPage) defaults() {
	var rows [][]string
	for _, d := range c.in.Result.DefaultsUsed() {
		kind := d.Kind
		if d.Fixed {
			kind += ", built in"
		}
		rows = append(rows, []string{d.Name, d.Text(), kind, d.Source})
	}
	if len(rows) == 0 {
		return
	}
	c.heading(2, "Defaults that entered (railroad.yaml, settings, changes all but those built in)")
	for _, r := range rows {
		c.item(r[0], r[1]+" ("+r[2]+"): "+r[3])
	}
	c.gap()
}

func (c *checkPage) changes() {
	list := export.Changes(c.o.Before, c.in)
	c.heading(2, "What changed since the report of "+before(c.o.Before))
	if len(list) == 0 {
		c.para("Nothing: the worst pair of every check and feature is as it was.")
	}
	for i, x := range list {
		if i == maxChanges {
			c.para(fmt.Sprintf("and %d more changes.", len(list)-maxChanges))
			break
		}
		s := x.Location + ", " + x.Feature + ", " + x.Check + ": "
		switch {
		case x.Was == "":
			s += x.Now
		case x.Now == "":
			s += "was " + x.Was
		default:
			s += x.Now + "; was " + x.Was
		}
		c.item(x.What, s)
	}
	c.gap()
}

func before(r *export.Report) string {
	if r.Survey.Date != "" {
		return r.Survey.Date
	}
	return "an undated survey"
}

// foot names the command that explains the worst finding, and the cautions.
func (c *checkPage) foot() {
	if w := c.in.Result.First(); w != nil {
		c.para(fmt.Sprintf("The worst finding is %s at %s, %s. To see its formula, its sources and how far to believe it:", w.Check.ID, w.Feature.Location, w.Feature.Name()))
		c.line("   flangeway explain " + w.Check.ID)
		c.gap()
	}
	if n := len(c.in.Survey.Warnings); n > 0 {
		c.para(fmt.Sprintf("%s about the sheets (printed on standard error, and in the json).", plural(n, "warning", "warnings")))
		c.gap()
	}
	c.heading(3, "Cautions")
	c.bullets(c.in.Cautions)
	c.gap()
	sum := c.in.Book.SHA256()
	if len(sum) > 12 {
		sum = sum[:12]
	}
	c.para(fmt.Sprintf("%s; limits %s", c.o.Program, sum))
}

// QuoteDir writes a folder so that it can be pasted.
func QuoteDir(dir string) string {
	if strings.ContainsAny(dir, " \t'\"&|<>()$;") {
		return `"` + dir + `"`
	}
	return dir
}
