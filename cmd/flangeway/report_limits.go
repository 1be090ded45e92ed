package main

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/page"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/internal/limit"
)

// limits lists what is beyond or straddles a limit, a table for each department.
func (b *pageBuilder) limits() *page.Section {
	s := &page.Section{ID: "limits", Title: "Readings beyond or straddling a limit"}
	for _, dep := range []struct{ side, name string }{{"track", "Track department"}, {"wheel", "Car department"}} {
		t := page.Table{ID: "limits-" + dep.side, Columns: []page.Column{{Name: "where", Head: true, Long: true}, {Name: "verdict"}, {Name: "reading", Typed: true},
			{Name: "condemns"}, {Name: "rule", Long: true}, {Name: "what it asks for", Long: true}}}
		count, warned := map[limit.Verdict]int{}, 0
		s.Notes = append(s.Notes, paper.WhoseSpeed(b.j.result, b.j.survey, dep.side)...)
		for _, g := range grouped(b.j.result.Limits, dep.side) {
			l := g.list[0]
			verdict := page.Cell{Text: paper.LimitWord(l), Strong: l.Verdict == limit.Beyond && l.Kind == "regulation"}
			if l.Kind == "regulation" {
				count[l.Verdict] += len(g.list)
			} else {
				warned += len(g.list)
			}
			quantity, condemns := paper.LimitWords(l)
			asks := l.Action
			if l.Note != "" {
				asks += " (" + l.Note + ")"
			}
			t.Rows = append(t.Rows, page.Row{word(g.where()), verdict, word(quantity + " " + g.readings()), word(page.Name(condemns)), word(page.Words(paper.RuleText(l))), word(page.Words(asks))})
		}
		t.Caption = fmt.Sprintf("%s: %d beyond a regulation, %d straddling one, %d warned of by practice", dep.name, count[limit.Beyond], count[limit.Straddles], warned)
		if n := count[limit.Unsure]; n > 0 {
			t.Caption += fmt.Sprintf(", %d of which it is not known which rule holds", n)
		}
		if len(t.Rows) == 0 {
			s.Notes = append(s.Notes, dep.name+": no reading is beyond or straddles a limit.")
			continue
		}
		s.Tables = append(s.Tables, t)
	}
	return s
}

// limitGroup is the readings of one car, or of one feature, against one rule with one
// verdict: a line of the table.
type limitGroup struct {
	owner string // wheel/CAR or axle/CAR; the whole name of a feature
	list  []interaction.LimitFinding
}

// grouped groups the findings of one department, those beyond before those that
// straddle, the regulation before the other books.
func grouped(list []interaction.LimitFinding, side string) []*limitGroup {
	var out []*limitGroup
	at := map[string]*limitGroup{}
	for _, l := range paper.ByWeight(list) {
		if l.Side != side || !paper.Listed(l) {
			continue
		}
		owner := l.Where
		if i := strings.LastIndexByte(l.Where, ' '); side == "wheel" && i > 0 && l.Subject != "truck" && l.Subject != "car" {
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
func (g *limitGroup) part(l interaction.LimitFinding) string {
	return strings.TrimSpace(strings.TrimPrefix(l.Where, g.owner))
}

func (g *limitGroup) where() string {
	l := g.list[0]
	if l.Place != "" {
		return page.Name(l.Place) + ", " + page.Name(l.Where)
	}
	var parts []string
	for _, l := range g.list {
		parts = append(parts, g.part(l))
	}
	return strings.TrimSpace(page.Name(g.owner) + " " + strings.Join(parts, ", "))
}

// readings are the readings as written: one where all are alike.
func (g *limitGroup) readings() string {
	first := g.list[0].Reading
	if !slices.ContainsFunc(g.list, func(l interaction.LimitFinding) bool { return l.Reading != first }) {
		s := page.Name(first)
		if len(g.list) > 1 {
			s += " each"
		}
		return s
	}
	var out []string
	for _, l := range g.list {
		out = append(out, g.part(l)+": "+page.Name(l.Reading))
	}
	return strings.Join(out, ", ")
}
