package paper

import (
	"slices"
	"strings"

	"flangeway/interaction/judge"
	"flangeway/internal/each"
	"flangeway/internal/limit"
)

// limitTables lists what is beyond or straddles a limit, a table for each department.
func (c *checkPage) limitTables() *Section {
	s := &Section{ID: "limits", Title: "Readings beyond or straddling a limit"}
	var tables []Table
	for _, dep := range []struct{ side, name string }{{"track", "Track department"}, {"wheel", "Car department"}} {
		t := Table{ID: "limits-" + dep.side, Columns: []Column{{Name: "where", Head: true, Long: true},
			{Name: "verdict"},
			{Name: "reading", Typed: true},
			{Name: "condemns"}, {Name: "rule", Long: true}, {Name: "what it asks for", Long: true}}}
		count, warned := map[limit.Verdict]int{}, 0
		for _, x := range whoseSpeed(c.in.Result, c.in.Survey, dep.side) {
			s.para(x)
		}
		s.unsure(notTold(c.in, dep.side))
		for _, g := range grouped(c.in.Result.Limits, dep.side) {
			l := g.list[0]
			if l.Kind == "regulation" {
				count[l.Verdict] += len(g.list)
			} else {
				warned += len(g.list)
			}
			quantity, condemns := limitWords(l)
			t.Rows = append(t.Rows, Row{{Text: g.where()}, {Text: limitWord(l), Strong: l.Verdict == limit.Beyond &&
				l.Kind == "regulation"}, {Text: quantity + " " + g.readings()},
				{Text: c.name(condemns)}, {Text: c.words(ruleName(l))}, {Text: c.words(asksFor(l))}})
		}
		t.Caption = worded("%s: %d beyond a regulation, %d straddling one, %d warned of by practice", dep.name,
			count[limit.Beyond], count[limit.Straddles], warned)
		if n := count[limit.Unsure]; n > 0 {
			t.Caption += worded(", %d of which it is not known which rule holds", n)
		}
		if len(t.Rows) == 0 {
			s.para(dep.name + ": no reading is beyond or straddles a limit.")
			continue
		}
		tables = append(tables, t)
	}
	for _, t := range tables {
		s.first(t, "line", "lines", "limits DIR")
	}
	return s
}

// limitGroup is the readings of one car, or of one feature, against one rule with one verdict: a line of the table.
type limitGroup struct {
	owner string // wheel/CAR or axle/CAR; the whole name of a feature
	list  []judge.LimitFinding
}

// grouped groups the findings of one department, those beyond before those that straddle, the regulation before the
// other books.
func grouped(list []judge.LimitFinding, side string) []*limitGroup {
	var out []*limitGroup
	at := map[string]*limitGroup{}
	for _, l := range byWeight(list) {
		if l.Side != side || !limitListed(l) {
			continue
		}
		owner := l.Where
		if i := strings.LastIndexByte(l.Where, ' '); side == "wheel" && i > 0 && l.Subject != "truck" &&
			l.Subject != "car" {
			owner = l.Where[:i]
		}
		key := strings.Join([]string{owner, l.Place, l.Rule, l.Quantity, l.Limit, string(l.Verdict)}, "\x00")
		g := at[key]
		if g == nil {
			g = &limitGroup{owner: owner}
			at[key] = g
			out = append(out, g)
		}
		g.list = append(g.list, l)
	}
	return out
}

// part is the wheel's position or the axle's number within its car.
func (g *limitGroup) part(l judge.LimitFinding) string {
	return strings.TrimSpace(strings.TrimPrefix(l.Where, g.owner))
}

func (g *limitGroup) where() string {
	l := g.list[0]
	if l.Place != "" {
		return Name(l.Place) + ", " + Name(l.Where)
	}
	parts := each.Of(g.list, g.part)
	return strings.TrimSpace(Name(g.owner) + " " + strings.Join(parts, ", "))
}

// readings are the readings as written: one if all are alike.
func (g *limitGroup) readings() string {
	first := g.list[0].Shown
	if !slices.ContainsFunc(g.list, func(l judge.LimitFinding) bool { return l.Shown != first }) {
		s := Name(first)
		if len(g.list) > 1 {
			s += " each"
		}
		return s
	}
	out := each.Of(g.list, func(l judge.LimitFinding) string { return g.part(l) + ": " + Name(l.Shown) })
	return strings.Join(out, ", ")
}
