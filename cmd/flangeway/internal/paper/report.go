package paper

import (
	"fmt"
	"slices"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/plan"
)

// ReportParts are the parts of the page that --without leaves out.
func ReportParts() []string {
	return []string{"list", "words", "plan", "orders", "places", "drawings", "wheels", "classes", "limits", "readings",
		"wear", "assumed", "warnings", "signatures"}
}

// smallCurve is how many plans of a curve of money are no choice worth a sheet of its own.
const smallCurve = 3

// ReportInput is everything that the page of a report shows.
type ReportInput struct {
	export.Input
	Without []string // parts that are left out
	// Appendix says that the appendix is printed and lies open on the screen.
	Appendix bool
	Plan     Planned       // without a plan if neither plan nor orders are shown
	Ranked   []plan.Ranked // of the plan, all features
	Wear     []plan.Wear
}

// Report is the page that both departments sign.
func Report(in ReportInput, dir string) *Document {
	c := newCheckPage(in.Input, HTML, dir)
	c.Title, c.Caution, c.Program, c.Hash = "Wheels and track together", in.Cautions[0], in.Program, in.Book.SHA256()
	sum := in.Survey.Sum(in.Book)
	c.Sheet = HTML.words(SheetName(in.Survey, sum, in.Program))
	anchors := map[string]string{}
	if in.shows("places") {
		for i, l := range c.places[:min(len(c.places), maxWhole)] {
			anchors[l.Name] = fmt.Sprintf("place-%d", i+1)
		}
	}
	places := &Section{ID: "places", Title: "Location by location"}
	for i, l := range c.places[:min(len(c.places), maxWhole)] {
		if !in.shows("places") {
			break
		}
		places.add(Later(func() (*Section, error) { return c.reported(l, fmt.Sprintf("place-%d", i+1), in) }))
	}
	if more := len(c.places) - maxWhole; more > 0 {
		places.para(leftOut(more, "location", "locations", "check DIR --location NAME"))
	}
	c.head()
	type part struct {
		name    string
		section *Section
	}
	shown := func(to *Blocks, parts ...part) {
		for _, x := range parts {
			empty := len(c.places) == 0 && (x.name == "list" || x.name == "places")
			if x.section != nil && in.shows(x.name) && !empty {
				to.add(*x.section)
			}
		}
	}
	// A choice between nothing and everything needs no sheet of its own.
	money, small := reportedMoney(in), (*Section)(nil)
	if money != nil && len(in.Plan.Curve) <= smallCurve {
		money, small = nil, money
	}
	shown(&c.Blocks, part{"decision", c.decision(in)}, part{"plan", money}, part{"limits", c.federal(in.Plan.Plan)},
		part{"drawings", c.smallDrawings(in)}, part{"orders", reportedOrders(in.Plan)},
		part{"cautions", &Section{ID: "cautions", Title: "Cautions", Blocks: []Block{Bullets(in.Cautions)}}})
	appendix := Fold{ID: "appendix", Title: "Appendix: every place, reading and limit, and what was assumed",
		Printed: in.Appendix}
	for _, x := range []part{
		{"summary", c.summary()},
		{"list", &Section{ID: "list", Title: "Locations", Blocks: []Block{c.list(anchors), Para{c.riskWords()}}}},
		{"list", c.matrix()},
		{"words", theWords(c.Units)},
		{"plan", jointPlan(in)},
		{"plan", small},
		{"plan", reportedRanking(in)},
		{"orders", carReadings(in.Plan)},
		{"places", places},
		{"wheels", c.wheelFaults()},
		{"classes", c.classTable()},
		{"limits", c.limitTables()},
		{"readings", c.readingsNext(maxReported)},
		{"wear", reportedWear(in)},
		{"assumed", c.assumed(in.Plan.Plan)},
		{"warnings", c.warnings()},
	} {
		shown(&appendix.Blocks, x)
	}
	c.add(appendix)
	return c.Document
}

// leftOut says how many more of a long list there are, and which command shows them.
func leftOut(more int, one, many, command string) string {
	return fmt.Sprintf("%s more, not shown here: flangeway %s shows all.", plural(more, one, many), command)
}

// first keeps the first rows of a long list in a section, and says how many more there are.
func (s *Section) first(t Table, one, many, command string) {
	more := len(t.Rows) - maxWhole
	if more > 0 {
		t.Rows = t.Rows[:maxWhole]
	}
	s.add(t)
	if more > 0 {
		s.para(leftOut(more, one, many, command))
	}
}

// shows reports whether a part is not left out.
func (in ReportInput) shows(part string) bool { return !slices.Contains(in.Without, part) }

// assumed lists the settings that entered the verdicts and the plan.
func (c *checkPage) assumed(p *plan.Plan) *Section {
	s := c.defaults()
	if p == nil || len(p.Defaults) == 0 {
		return s
	}
	if s == nil {
		s = &Section{ID: "assumed", Title: assumedTitle}
	}
	s.add(c.planDefaults(p))
	return s
}

// theWords says what the words of the page mean.
func theWords(u Units) *Section {
	unit := "inches where no unit stands, tread hollow millimetres"
	if u == Metric {
		unit = "in millimetres, whatever the sheet's unit"
	}
	t := Table{ID: "words-table", Fixed: true, Caption: "The words on this page",
		Columns: []Column{{Name: "word", Head: true}, {Name: "meaning"}}}
	for _, w := range [][2]string{
		{"conflict", verdictMeans(interaction.Conflict)},
		{"undecided", verdictMeans(interaction.Undecided) + "; \"settle\" names what to read or to look at"},
		{"not measured", verdictMeans(interaction.NotMeasured)},
		{"clear", verdictMeans(interaction.Clear)},
		{"margin", "what is left between wheel and track, as read and ± the reading error, or from..to; negative " +
			"conflicts; where it is computed from shapes and forces, as read and (from..to) over all that was tried"},
		{"place", "an ordinary wheel, new or worn, conflicts there too: fix the track"},
		{"wheel", "that wheel conflicts even on unworn track: fix the wheel"},
		{"pair", "only the two together conflict: the two departments decide"},
		{"stopped by", "what a federal rule stops: no rule stops either side, or the wheel, the track, both; not " +
			"known where it cannot be told which rule holds (class, kind of car, service, flange design)"},
		{"beyond, straddles", "one reading against one limit: beyond as written; within as written, and the reading " +
			"error crosses it"},
		{"pairs", "wheels with this verdict at this check and feature"},
		{"reading", "as written on the sheet; < and > are go/no-go readings; " + unit},
	} {
		t.Rows = append(t.Rows, cells(w[0], w[1]))
	}
	return &Section{ID: "words", Title: "How to read this page", Blocks: []Block{t, Para{"The drawings are to scale " +
		"in the dimensions that are written on them: wheels in white outline, track in grey, what both would fill in " +
		"black. A go/no-go reading is drawn at its given end. Treads are drawn without their taper; the curves " +
		"between the dimensions are those of a freight wheel and a rail head, and are no readings."}}}
}

func (c *checkPage) warnings() *Section {
	t := Table{ID: "warnings-table", Caption: "Odd, and taken as written",
		Columns: []Column{{Name: "at", Head: true, Typed: true}, {Name: "what is odd", Long: true}}}
	for _, w := range c.in.Survey.Warnings {
		t.Rows = append(t.Rows, cells(c.name(w.Place.String()), c.words(w.Text)))
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return &Section{ID: "warnings", Title: "What is odd in the sheets", Blocks: []Block{t}}
}
