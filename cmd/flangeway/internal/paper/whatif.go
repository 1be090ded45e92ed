package paper

import (
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
)

// whatIf prints what was tried, before and after side by side; only the locations at which something changes.
func (c *checkPage) whatIf() {
	w := c.in.WhatIf
	c.heading(2, "What if: "+strings.Join(w.Edits, "; "))
	for _, s := range w.Notes {
		c.para(s + ".")
	}
	c.para("The page is with these changes. Before and after:")
	c.gap()
	row := func(name string, a, b [4]int, ra, rb string) []string {
		out := []string{name}
		for _, v := range []interaction.Verdict{interaction.Conflict, interaction.Undecided, interaction.NotMeasured} {
			out = append(out, worded("%d -> %d", a[v], b[v]))
		}
		if ra == rb {
			return append(out, ra)
		}
		return append(out, ra+" -> "+rb)
	}
	before, after := map[string]judge.Location{}, map[string]judge.Location{}
	var names []string
	for _, l := range w.Before.Locations() {
		before[l.Name] = l
		names = append(names, l.Name)
	}
	for _, l := range c.in.Places {
		after[l.Name] = l.Location
	}
	was := ranks(w.Risks)
	var a, b [4]int
	var rows [][]string
	for _, name := range names {
		x, y := counts(before[name]), counts(after[name])
		for v := range a {
			a[v], b[v] = a[v]+x[v], b[v]+y[v]
		}
		if x != y {
			rows = append(rows, row(name, x, y, was[name].Short, c.risks[name].Short))
		}
	}
	rows = append([][]string{row("all", a, b, "", "")}, rows...)
	c.table([]string{"location", "conflict", "undecided", "not measured", "risk"}, rows, 1, 2, 3)
	c.gap()
}
