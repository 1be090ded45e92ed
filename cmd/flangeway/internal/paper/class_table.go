package paper

import (
	"fmt"
	"strings"

	"flangeway/interaction/judge"
)

// classTable lists the class that every feature meets and what stops the next.
func (c *checkPage) classTable() *Section {
	t := Table{ID: "classes-table", Caption: "On the readings there are",
		Columns: []Column{{Name: "location", Long: true}, {Name: "feature", Head: true, Long: true}, {Name: "run as"},
			{Name: "meets"}, {Name: "curve mph", Number: true}, {Name: "what stops the next class", Long: true}}}
	open := 0
	for _, x := range c.in.Result.Track {
		meets := meetsText(x)
		if meets == "" && len(x.Met.NotRead) > 0 {
			open++
		}
		if meets == "" && x.Speed == nil {
			continue
		}
		var speed Cell
		if x.Speed != nil {
			speed = figure(*x.Speed)
		}
		most := 1
		if c.Form == HTML {
			most = len(x.Met.NextNeeds)
		}
		t.Rows = append(t.Rows, Row{{Text: c.name(x.Location)}, {Text: c.name(x.Feature)}, {Text: x.Class},
			{Text: meets, Strong: x.Met.Short}, speed, {Text: c.words(nextText(x, most))}})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := &Section{ID: "classes", Title: "Track class met", About: ", on the readings there are", Blocks: []Block{t}}
	if open > 0 {
		s.para(openText(open))
	}
	return s
}

// openText says of how many features the readings tell no class.
func openText(n int) string {
	return plural(n, "feature", "features") + " without a class here: a reading that every class needs was not " +
		"taken, and no reading that was taken stops class 5."
}

// shortText says how a feature is short of the class that it is run at.
func shortText(feature string, t judge.ClassFinding) string {
	meets := "meets "
	if len(t.Met.NotRead) > 0 {
		meets = "meets at most "
	}
	return fmt.Sprintf("%s is run as %s and %s%s (%s)", feature, className(t.Class), meets, className(t.Met.Class),
		strings.Join(t.Met.NextNeeds, "; "))
}

// meetsText is the class that a feature meets; "" if its readings tell none: nothing that was read stops the highest
// class, and a reading that a class needs was not taken.
func meetsText(t judge.ClassFinding) string {
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

// nextText says what stops the next class and what was not read, no more than so many reasons.
func nextText(t judge.ClassFinding, most int) string {
	var out []string
	for i, n := range t.Met.NextNeeds {
		if i == most {
			out = append(out, worded("and %d more", len(t.Met.NextNeeds)-most))
			break
		}
		out = append(out, n)
	}
	if len(t.Met.NotRead) > 0 {
		out = append(out, "not read: "+strings.Join(t.Met.NotRead, ", "))
	}
	return strings.Join(out, "; ")
}

func className(s string) string {
	switch s {
	case "excepted", "none":
		return map[string]string{"excepted": "excepted track only", "none": "no class"}[s]
	}
	return "class " + s
}
