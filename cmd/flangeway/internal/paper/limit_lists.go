package paper

import (
	"maps"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/configs"
	"flangeway/internal/limit"
)

// limits lists the readings of one department against its limits, a line each as far as they fit, and what rules and
// practice ask for.
func (c *checkPage) limits(side, title string) {
	t := Table{Columns: []Column{{Name: "verdict"}, {Name: "where"}, {Name: "reading"}, {Name: "condemns"},
		{Name: "rule"}}}
	more, beyond, practice := 0, 0, 0
	unread, open := map[string][]string{}, notTold(c.in, side)
	actions := map[limit.Verdict]map[string][]string{limit.Beyond: {}, limit.Straddles: {}}
	for _, l := range byWeight(c.in.Result.Limits) {
		if l.Side != side || !limitListed(l) {
			continue
		}
		if l.Verdict == limit.Unsure {
			why, _, _ := strings.Cut(l.Note, " (a rule of")
			open[why] = append(open[why], l.Where+" "+l.Quantity+" "+l.Shown)
			continue
		}
		action := asksFor(l)
		switch {
		case l.Kind != "regulation":
			practice++
			action += " [practice]"
		case l.Verdict == limit.Beyond:
			beyond++
		}
		actions[l.Verdict][action] = append(actions[l.Verdict][action], l.Rule)
		if sure := configs.HowKnown(l.Sure); sure != "" {
			unread[sure] = append(unread[sure], l.Rule)
		}
		if len(t.Rows) == maxLimits {
			more++
			continue
		}
		where := l.Where
		if l.Place != "" {
			where = l.Place + ", " + where
		}
		quantity, condemns := limitWords(l)
		t.Rows = append(t.Rows, cells(limitWord(l), where, quantity+" "+l.Shown, condemns, l.Rule))
	}
	told := whoseSpeed(c.in.Result, c.in.Survey, side)
	if len(t.Rows) == 0 && len(open) == 0 && len(told) == 0 {
		return
	}
	s := &Section{Title: worded("%s (%d beyond, %d warned)", title, beyond, practice)}
	for _, x := range told {
		s.apart()
		s.para(x)
	}
	s.unsure(open)
	if len(t.Rows) > 0 {
		s.apart()
		s.add(t)
		if more > 0 {
			s.para(c.jsonLists(more, ""))
		}
		s.byWords("What rules and practice ask for:", actions[limit.Beyond])
		s.byWords("What they would ask for, should a closer reading be beyond:", actions[limit.Straddles])
		s.byWords("Figures that were not read in the rule's present text, and how they are known:", unread)
	}
	c.add(*s)
}

// notTold lists what no judgement of a limit says, by what is to be given for it: the cars of unknown kind with a
// reading that is beyond a regulation of some kind, and the readings that condemn with another one that was not taken.
func notTold(in export.Input, side string) map[string][]string {
	open := map[string][]string{}
	for _, l := range in.Result.Limits {
		if l.Side == side && len(l.Unread) > 0 && l.Kind == "regulation" {
			why := strings.Join(l.Unread, ", ") + " was not read"
			open[why] = append(open[why], l.Where+" "+l.Note)
		}
	}
	for _, u := range in.Asked {
		if side == "wheel" && u.Reading == "kind" {
			const why = "the kind of car is not known: fill kind in cars.csv"
			open[why] = append(open[why], u.Where)
		}
	}
	return open
}

// unsure lists the readings of which it cannot be told whether they are beyond a limit, by what is to be given for
// that.
func (s *Section) unsure(open map[string][]string) {
	const most = 6
	for _, why := range slices.Sorted(maps.Keys(open)) {
		list := slices.Compact(slices.Sorted(slices.Values(open[why])))
		more := ""
		if len(list) > most {
			more = worded(" and %d more", len(list)-most)
			list = list[:most]
		}
		s.apart()
		s.para("Not known whether these are within: " + strings.Join(list, "; ") + more + " (" + why + ").")
	}
}

// byWords lists rules by what is said of them, under a title.
func (s *Section) byWords(title string, rules map[string][]string) {
	if len(rules) == 0 {
		return
	}
	s.apart()
	s.para(title)
	for _, words := range slices.Sorted(maps.Keys(rules)) {
		s.para("* " + words + ": " +
			strings.Join(slices.Compact(slices.Sorted(slices.Values(rules[words]))), ", ") + ".")
	}
}
