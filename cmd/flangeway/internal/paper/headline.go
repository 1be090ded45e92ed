package paper

import (
	"fmt"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
)

// noPair says why nothing was judged.
const noPair = "No pair was judged: the survey needs wheels and at least one frog, switch, curve, joint or gauge spot."

// top begins the text page.
func (c *checkPage) top() {
	sv, s := c.in.Survey, c.in.Result.Summary
	c.heading(1, "Wheels and track together: "+surveyName(sv))
	c.para(fmt.Sprintf("%s, %s, %s; limits: %s.", plural(len(sv.Fleet.Cars), "car", "cars"),
		plural(len(sv.Fleet.Wheels), "wheel", "wheels"),
		plural(sv.Locations(), "location", "locations"), strings.Join(sv.Sets, ", ")))
	c.gap()
	for _, sentence := range headline(s, c.in.Book.HasFederal()) {
		c.para(sentence)
	}
	c.para(worded("%s: %d conflict (%d place, %d wheel, %d pair), %d undecided, %d not measured, %d clear.",
		plural(s.Pairs, "pair", "pairs"), s.Count(interaction.Conflict), s.ByCause[interaction.CausePlace],
		s.ByCause[interaction.CauseWheel], s.ByCause[interaction.CausePair], s.Count(interaction.Undecided),
		s.Count(interaction.NotMeasured), s.Count(interaction.Clear)))
	if s.Pairs == 0 {
		c.para(noPair)
	}
	c.gap()
	if len(c.places) > 0 {
		c.add(c.list(nil), Gap{}, Para{c.riskWords()})
	}
	c.gap()
}

// head is the head of the form that is signed.
func (c *checkPage) head() {
	sv := c.in.Survey
	name, date, class := c.name(sv.Railroad), "not dated", "not given"
	if name == "" {
		name = "not named"
	} else {
		c.Title += ": " + name
	}
	if sv.Date.Known() {
		date = sv.Date.String()
	}
	if sv.Class != "" {
		class = className(sv.Class)
	}
	sets := each.Of(sv.Sets, c.name)
	for _, f := range []Fact{{"railroad", name}, {"survey of", date}, {"track run as", class},
		{"cars", fmt.Sprint(len(sv.Fleet.Cars))}, {"wheels read", fmt.Sprint(len(sv.Fleet.Wheels))},
		{"locations", fmt.Sprint(sv.Locations())}, {"limits, later over earlier", strings.Join(sets, ", ")}} {
		if f.Text != "" {
			c.Boxes = append(c.Boxes, f)
		}
	}
}

// summary is the result in sentences and a small table that says what the verdicts mean.
func (c *checkPage) summary() *Section {
	s, sum := &Section{ID: "summary", Title: "Summary"}, c.in.Result.Summary
	if sum.Pairs == 0 {
		s.para(noPair)
		return s
	}
	for _, sentence := range headline(sum, c.in.Book.HasFederal()) {
		s.para(sentence)
	}
	t := Table{ID: "summary-table", Fixed: true,
		Caption: "All " + plural(sum.Pairs, "pair", "pairs") + " of a wheel and a feature",
		Columns: []Column{{Name: "verdict", Head: true}, {Name: "pairs", Number: true}, {Name: "what it means"}}}
	cause := func(c interaction.Cause) int { return sum.ByCause[c] }
	for _, v := range []interaction.Verdict{interaction.Conflict, interaction.Undecided, interaction.NotMeasured,
		interaction.Clear} {
		means := verdictMeans(v)
		if v == interaction.Conflict {
			means += fmt.Sprintf(": %s by the place, %s by the wheel, %s by the pair",
				Count(cause(interaction.CausePlace)), Count(cause(interaction.CauseWheel)),
				Count(cause(interaction.CausePair)))
		}
		t.Rows = append(t.Rows, Row{ranked(v.String(), int(v)), figure(sum.Count(v)), {Text: means}})
	}
	s.add(t)
	return s
}

// list is the table of the locations, worst first; anchors are where their names lead.
func (c *checkPage) list(anchors map[string]string) Table {
	t := Table{ID: "list-table", Caption: "Locations, worst first", Columns: []Column{{Name: "risk", Number: true},
		{Name: "location", Head: true, Long: true}, {Name: "worst there"},
		{Name: "conflict", Number: true}, {Name: "undecided", Number: true}, {Name: "not measured", Number: true},
		{Name: "clear", Number: true}}}
	for i, l := range c.places {
		n, r := counts(l.Location), c.risks[l.Name] // its reason stands with the place itself
		t.Rows = append(t.Rows, Row{figure(r.Rank), {Text: c.name(l.Name), Link: anchors[l.Name]}, ranked(r.Short, i),
			figure(n[interaction.Conflict]), figure(n[interaction.Undecided]), figure(n[interaction.NotMeasured]),
			figure(n[interaction.Clear])})
	}
	return t
}

// matrix puts the worst check of each place into the matrix of a standard; nil if no pair of any may conflict. Its
// words stand here alone, because they are of no railroad.
func (c *checkPage) matrix() *Section {
	t := Table{ID: "matrix-table", Caption: "Severity of the check that leads, and how often it is met",
		Columns: []Column{{Name: "risk", Number: true}, {Name: "location", Head: true, Long: true}, {Name: "check"},
			{Name: "severity"}, {Name: "frequency"}, {Name: "passes a year", Number: true}, {Name: "level"}}}
	for i, l := range c.places {
		r := c.risks[l.Name]
		if r.Check == nil {
			continue
		}
		passes := r.Passes
		t.Rows = append(t.Rows, Row{figure(r.Rank), {Text: c.name(l.Name)}, {Text: r.Check.Happens},
			{Text: fmt.Sprintf("%d %s", r.Check.Severity, r.Check.Severity)},
			{Text: r.Often.Letter + " " + r.Often.Name},
			{Text: plan.PassText(passes), Key: &passes}, ranked(r.Level, i)})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := &Section{ID: "matrix", Title: "Places by how bad and how often"}
	s.first(t, "location", "locations", "check DIR --format csv")
	s.para("Beside the rank, which goes by expected harm. The names are those of MIL-STD-882E, made for military " +
		"systems; its cells are second hand; which check has which severity, and how many passes a year make a " +
		"letter, is assumed.")
	return s
}

// riskWords says what the rank of a place goes by.
func (c *checkPage) riskWords() string {
	return riskRanks + c.bands() + "Expected conflicting passes count an undecided pair with its chance; they are no " +
		"accident probabilities. What was not measured is not known, and no place is called safe."
}

// bands says from how many expected conflicting passes a year on a check is met so often.
func (c *checkPage) bands() string {
	var out []string
	if len(c.places) == 0 {
		return ""
	}
	for _, b := range c.risks[c.places[0].Name].Bands { // the same at every place
		if b.Passes > 0 {
			out = append(out, fmt.Sprintf("%s is %g", b.Met, b.Passes))
		}
	}
	if len(out) == 0 {
		return ""
	}
	out[0] += " expected conflicting passes a year or more"
	s := strings.Join(out, ", ")
	return strings.ToUpper(s[:1]) + s[1:] + " (assumed). "
}

const riskRanks = "Risk ranks the places that were looked at, 1 the worst: those with a conflict " +
	"first, then those with a reading beyond a federal limit, with undecided pairs, with pairs that " +
	"were not measured, and last those where every pair is clear; among alike by expected harm: passes a year, times " +
	"the chance that one ends in an accident, times what an accident of its kind costs at the speed " +
	"there. Nobody publishes the chance; it and the prices are assumed as ranges, and draws of " +
	"them tell how often the first place stays the first. In the middle and the most of the harm " +
	"every pair that is not clear counts in full, so that nothing looks better for want of a reading. "

// headline says what is to be mended, and what nobody knows; federal says that readings were judged by the federal set.
func headline(s judge.Summary, federal bool) []string {
	of := func(c interaction.Cause) int { return s.Problems[c] }
	legal := ""
	if federal {
		legal = fmt.Sprintf("; %s of a pair that no federal limit stops on either side",
			plural(s.BothLegal, "conflict", "conflicts"))
	}
	out := []string{fmt.Sprintf("%s: %s where any ordinary wheel conflicts, %s by a wheelset on any track, "+
		"%s by the two together%s.", plural(s.AllProblems(), "problem", "problems"), plural(of(interaction.CausePlace),
		"place", "places"), plural(of(interaction.CauseWheel), "conflict", "conflicts"),
		plural(of(interaction.CausePair), "conflict", "conflicts"), legal)}
	if open := s.Count(interaction.Undecided) + s.Count(interaction.NotMeasured); open > 0 {
		out = append(out, worded("Not known: %s undecided and %s not measured of %s, at %d of %s.",
			Count(s.Count(interaction.Undecided)), Count(s.Count(interaction.NotMeasured)),
			plural(s.Pairs, "pair", "pairs"), s.Unknown, plural(s.AllPlaces, "place", "places")))
	} else if s.Pairs > 0 {
		out = append(out, fmt.Sprintf("Every one of %s was measured and is decided.", plural(s.Pairs, "pair", "pairs")))
	}
	if s.Lifted > 0 {
		out = append(out, fmt.Sprintf("%s by the plain rule alone: what is computed from shapes and forces lifts "+
			"them, with forms that are in part assumed. Each says so; --plain lists them as conflicts.",
			plural(s.Lifted, "pair conflicts", "pairs conflict")))
	}
	return out
}

// counts sums the verdicts of a location.
func counts(l judge.Location) (n [4]int) {
	for v := range n {
		n[v] = l.Count(interaction.Verdict(v))
	}
	return n
}
