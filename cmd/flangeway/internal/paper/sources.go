package paper

import (
	"fmt"
	"math"
	"strings"

	"flangeway/configs"
	"flangeway/interaction/published"
)

// standingWords head the tables of a standing and say what it is worth.
func standingWords(s published.Standing) (title, worth string) {
	switch s {
	case published.ReadThere:
		return "Printed in a document, and read there",
			"The document named prints the value, and it was read in it, in a " +
				"copy of it or in a quotation, as said beside it."
	case published.FromMemory:
		return "Printed in a document, from memory or second hand",
			"The document named is said to print the value; nobody read it there, and beside it stands how it is " +
				"known: from memory, from an excerpt, from another page. A value here supports the arithmetic and " +
				"proves no document."
	}
	return "Derived or closed-form", "These stand in no document: they were worked out apart from this program, by " +
		"the formula named. They prove the arithmetic, not that the formula is right for a railroad."
}

// Sources prints the values that are computed again, by how each is known, and the limits that are tried.
func Sources(tables []published.Table, limits []published.LimitTest, federal configs.Set, cautions []string,
	form Form) *Document {
	p := &Document{Form: form}
	p.heading(1, "What this program is checked against")
	p.para("Each value is computed again by the code that judges a survey. How a value is known decides what it " +
		"proves, so the three kinds are counted apart and never added.")
	p.gap()
	var rows [][]string
	for _, s := range published.Standings() {
		title, _ := standingWords(s)
		rows = append(rows, append([]string{title}, countCells(published.CountOf(tables, s))...))
	}
	p.table([]string{"kind", "tables", "values", "agree", "known to differ", "DIFFER"}, rows, 1, 2, 3, 4, 5)
	p.gap()
	p.para(limitLine(limits, federal))
	p.gap()
	for _, s := range published.Standings() {
		title, worth := standingWords(s)
		p.heading(2, title)
		p.para(worth)
		p.gap()
		for _, t := range tables {
			if t.Standing == s {
				publishedTable(p, t)
			}
		}
	}
	limitTests(p, limits)
	p.heading(2, "Cautions")
	p.add(Bullets(cautions))
	return p
}

func countCells(c published.Count) []string {
	return []string{fmt.Sprint(c.Tables), fmt.Sprint(c.Values), fmt.Sprint(c.Agree), fmt.Sprint(c.Known),
		fmt.Sprint(c.Differ)}
}

// tolerated words the tolerance of a table.
func tolerated(t published.Table) string {
	if t.Tolerance == "rounded" {
		return "Tolerance: none once the computed value is rounded as the one " + stated(t) + " is"
	}
	s := "Tolerance: " + strings.Replace(t.Tolerance, "%", " percent", 1)
	if t.Unit != "" && !strings.HasSuffix(t.Tolerance, "%") {
		s += " " + t.Unit
	}
	return s
}

// stated says what a value is that a computed one is compared with.
func stated(t published.Table) string {
	if t.Standing == published.Derived {
		return "worked out"
	}
	return "published"
}

func publishedTable(p *Document, t published.Table) {
	title := t.Title
	if t.Unit != "" {
		title += ", " + t.Unit
	}
	p.heading(3, strings.ToUpper(title[:1])+title[1:])
	if t.Standing == published.Derived {
		p.para(fmt.Sprintf("%s: %s.", t.Document, t.Section))
	} else {
		p.para(fmt.Sprintf("%s; %s. How it is known: %s.", t.Document, t.Section, t.Seen))
	}
	p.para(fmt.Sprintf("%s (%s).", tolerated(t), t.Why))
	var rows [][]string
	var because []string
	for _, v := range t.Values {
		diff := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.5f", math.Abs(v.Difference)), "0"), ".")
		switch {
		case v.Known():
			diff = "differs, known: " + diff
			if why := v.Because; len(because) == 0 || because[len(because)-1] != why {
				because = append(because, why)
			}
		case !v.Agrees:
			diff = "DIFFERS: " + diff
		}
		rows = append(rows, []string{v.What, v.Published, v.Computed, diff})
	}
	p.table([]string{"value", stated(t), "computed", "difference"}, rows, 1, 2, 3)
	for _, why := range because {
		p.para("Known to differ: " + why + ".")
	}
	p.gap()
}

func limitLine(limits []published.LimitTest, federal configs.Set) string {
	agree, judging := 0, 0
	for _, r := range federal.Rules {
		if !r.Reminder {
			judging++
		}
	}
	for _, t := range limits {
		if t.Agrees() {
			agree++
		}
	}
	return worded("Besides, %d federal limits are tried at their figure and a 64th of an inch to either side; %d are "+
		"judged as the rule has them. These test the book, and are no published values. The federal set has %d rules "+
		"that judge a reading, one for each kind of place, class and kind of car; not every one is tried here.",
		len(limits), agree, judging)
}

// limitTests prints the federal limits that are tried.
func limitTests(p *Document, limits []published.LimitTest) {
	p.heading(2, "Federal limits, at their figure and a 64th below and above")
	p.para("The figure was typed from the rule, as read or from memory, and not taken from the built-in book, which " +
		"judges the three readings. How each is known in full: --format csv.")
	p.gap()
	var rows [][]string
	for _, t := range limits {
		row := []string{limitSubject(t), t.Quantity + " " + t.Condemns + " " + t.Figure}
		for _, try := range t.Tries {
			word := string(try.Gives)
			if try.Gives != try.Wants {
				word = "NOT " + string(try.Wants)
			}
			row = append(row, word)
		}
		seen := "read"
		if strings.Contains(t.Seen, "memory") {
			seen = "memory"
		}
		rows = append(rows, append(row, seen))
	}
	p.table([]string{"limit", "condemns, in", "below", "at", "above", "known"}, rows)
	p.gap()
}

func limitSubject(t published.LimitTest) string {
	s := t.Rule + " " + t.Subject
	if t.Class != "" {
		s += " " + t.Class
	}
	for _, w := range []string{t.CarKind, t.Type} {
		if w != "" {
			s += ", " + w
		}
	}
	return s
}
