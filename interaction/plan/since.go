package plan

import (
	"cmp"
	"fmt"
	"slices"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// Standing is the fate of a defect or a conflict from one survey to the next.
type Standing string

// The standings. What is open and due before the new survey is overdue besides.
const (
	New       Standing = "new"
	Worse     Standing = "worse"
	StillOpen Standing = "open"
	Closed    Standing = "closed"
)

// The kinds of defects that are followed from one survey to the next.
const (
	OfLimit    = "limit"    // a reading beyond a federal limit
	OfConflict = "conflict" // wheels that conflict with a place at a check
)

// Followed is a defect or a conflict in the old survey, the new one or both.
type Followed struct {
	Standing        Standing
	Overdue         bool
	Kind            string
	Where, Location string
	Rule            string // or the check
	Source          string // of the rule; "" of a check, and of a rule that is in none of both surveys
	Was, Now        string // "" if it was not there
	Opened, Due     measure.Date
	Protected       string
	Closed          measure.Date // of the reading that closed it
	ClosedBy        string
	Why             string // what keeps it open if the new survey does not show it
}

// order of the standings on a page: what is to be looked at first.
func (x *Followed) order() int {
	switch {
	case x.Overdue:
		return 0
	case x.Standing == Worse:
		return 1
	case x.Standing == New:
		return 2
	case x.Standing == StillOpen:
		return 3
	}
	return 4
}

// Since compares two surveys of a railroad: what is new, worse, closed, overdue and still open. Nothing is closed but
// by a reading of a later day than the one that opened it. logged is defects.csv of the railroad.
func Since(old, now *judge.Result, logged []survey.Logged) ([]Followed, error) {
	out := sinceLimits(old, now, logged)
	list, err := sinceConflicts(old, now)
	if err != nil {
		return nil, err
	}
	out = append(out, list...)
	slices.SortStableFunc(out, func(a, b Followed) int {
		return cmp.Or(cmp.Compare(a.order(), b.order()), cmp.Compare(b.Kind, a.Kind),
			cmp.Compare(a.Location, b.Location), cmp.Compare(a.Where, b.Where), cmp.Compare(a.Rule, b.Rule))
	})
	return out, nil
}

// sinceLimits compares the readings beyond a federal limit.
func sinceLimits(old, now *judge.Result, logged []survey.Logged) (out []Followed) {
	type key [2]string
	rows := map[key]*survey.Logged{}
	for i := range logged {
		if x := &logged[i]; x.Open() {
			rows[key{x.Where, x.Rule}] = x
		}
	}
	was := map[key]*Defect{}
	before, after := Defects(old.Engine()), Defects(now.Engine())
	for i := range before {
		was[key{before[i].Where, before[i].Rule}] = &before[i]
	}
	day, then := now.Engine().Today(), old.Engine().Today()
	follow := func(d *Defect) Followed {
		x := Followed{Kind: OfLimit, Where: d.Where, Location: d.Location, Rule: d.Rule, Source: d.Source,
			Opened: d.Opened, Due: d.Due, Protected: d.Protect}
		if r := rows[key{d.Where, d.Rule}]; r != nil {
			x.Opened, x.Due, x.Protected = r.Opened, r.Due, cmp.Or(r.Protected, x.Protected)
		}
		x.Overdue = x.Due.Known() && day.Known() && x.Due < day
		return x
	}
	seen := map[key]bool{}
	for i := range after {
		d := &after[i]
		k := key{d.Where, d.Rule}
		seen[k] = true
		x, w := follow(d), was[k]
		x.Now = d.Quantity + " " + d.Reading
		switch {
		case w == nil && (rows[k] == nil || then.Known() && rows[k].Opened > then):
			x.Standing = New
		case w == nil:
			x.Standing, x.Was = StillOpen, d.Quantity+" "+rows[k].Found
		default:
			x.Standing, x.Was = StillOpen, w.Quantity+" "+w.Reading
			x.Opened = min(x.Opened, w.Opened)
			if rows[k] == nil && w.Due.Known() { // the days run from when it was found
				x.Due = w.Due
				x.Overdue = day.Known() && x.Due < day
			}
			if d.past > w.past+measure.Near {
				x.Standing = Worse
			}
		}
		out = append(out, x)
	}
	s := standingsOf(now)
	gone := func(k key, x Followed, since measure.Date) {
		if seen[k] {
			return
		}
		seen[k] = true
		x.Standing = StillOpen
		if x.Closed, x.ClosedBy, x.Why = s.closes(x.Where, x.Rule, since); x.ClosedBy != "" {
			x.Standing, x.Overdue = Closed, false
		}
		out = append(out, x)
	}
	last := standingsOf(old).dates
	for i := range before {
		x := follow(&before[i])
		x.Was = before[i].Quantity + " " + before[i].Reading
		gone(key{x.Where, x.Rule}, x, max(x.Opened, last[x.Where])) // what closes it is later than its last reading
	}
	for i := range logged {
		r := &logged[i]
		if k := (key{r.Where, r.Rule}); r.Open() {
			gone(k, Followed{Kind: OfLimit, Where: r.Where, Location: r.Location, Rule: r.Rule, Opened: r.Opened,
				Due:       r.Due,
				Protected: r.Protected, Was: r.Quantity + " " + r.Found,
				Overdue: r.Due.Known() && day.Known() && r.Due < day}, r.Opened)
		}
	}
	return out
}

// meeting is a place at a check.
type meeting struct{ where, check string }

// conflicts are the wheels in conflict at a place and check.
type conflicts struct {
	location string
	day      measure.Date            // of the place's row
	wheels   map[string]measure.Date // with the days of their rows
	all      map[string]interaction.Verdict
	days     map[string]measure.Date // of all wheels
	least    float64                 // the lowest end of a margin
}

func conflictsOf(r *judge.Result) (map[meeting]*conflicts, error) {
	out := map[meeting]*conflicts{}
	err := r.Engine().EachPair(r.Tallies, func(f *judge.Finding) error {
		k := meeting{f.Feature.Name(), f.Check.ID}
		c := out[k]
		if c == nil {
			c = &conflicts{location: f.Feature.Location, day: f.Feature.Date, wheels: map[string]measure.Date{},
				all: map[string]interaction.Verdict{}, days: map[string]measure.Date{}}
			out[k] = c
		}
		name := f.Wheel.Name()
		c.all[name], c.days[name] = f.Verdict, f.Wheel.Date
		if f.Verdict != interaction.Conflict {
			return nil
		}
		if f.Margin.Hi != nil && (len(c.wheels) == 0 || *f.Margin.Hi < c.least) {
			c.least = *f.Margin.Hi
		}
		c.wheels[name] = f.Wheel.Date
		return nil
	})
	return out, err
}

// text says how many wheels conflict.
func (c *conflicts) text() string { return plural(len(c.wheels), "wheel", "wheels") + " in conflict" }

// sinceConflicts compares the wheels in conflict at each place and check.
func sinceConflicts(old, now *judge.Result) ([]Followed, error) {
	before, err := conflictsOf(old)
	if err != nil {
		return nil, err
	}
	after, err := conflictsOf(now)
	if err != nil {
		return nil, err
	}
	var out []Followed
	for k, c := range after {
		if len(c.wheels) == 0 {
			continue
		}
		x := Followed{Kind: OfConflict, Where: k.where, Location: c.location, Rule: k.check, Now: c.text(),
			Standing: New,
			Opened:   now.Engine().Today()}
		if w := before[k]; w != nil && len(w.wheels) > 0 {
			x.Standing, x.Was, x.Opened = StillOpen, w.text(), old.Engine().Today()
			if len(c.wheels) > len(w.wheels) || c.least < w.least-measure.Near {
				x.Standing = Worse
			}
		}
		out = append(out, x)
	}
	for k, w := range before {
		if len(w.wheels) == 0 || after[k] != nil && len(after[k].wheels) > 0 {
			continue
		}
		x := Followed{Kind: OfConflict, Where: k.where, Location: w.location, Rule: k.check, Was: w.text(),
			Standing: StillOpen, Opened: old.Engine().Today()}
		if x.Closed, x.ClosedBy, x.Why = w.closed(k.where, after[k]); x.ClosedBy != "" {
			x.Standing = Closed
		}
		out = append(out, x)
	}
	slices.SortFunc(out, func(a, b Followed) int {
		return cmp.Or(cmp.Compare(a.Where, b.Where), cmp.Compare(a.Rule, b.Rule))
	})
	return out, nil
}

// closed reports whether later readings, of the place or of every wheel that was in conflict there, made all of these
// pairs clear.
func (c *conflicts) closed(where string, now *conflicts) (day measure.Date, by, why string) {
	if now == nil {
		return 0, "", "it stands in no sheet any more"
	}
	read := now.day.Known() && (!c.day.Known() || now.day > c.day)
	if read {
		day = now.day
	}
	again := 0
	for name, was := range c.wheels {
		v, ok := now.all[name]
		switch {
		case !ok:
			return 0, "", name + " stands in no sheet any more"
		case v != interaction.Clear:
			return 0, "", fmt.Sprintf("%s is %s there now", name, v)
		}
		later := now.days[name].Known() && (!was.Known() || now.days[name] > was)
		if !read && !later {
			return 0, "", name + " is clear by readings of no later day"
		}
		if later {
			again++
			day = max(day, now.days[name])
		}
	}
	var parts string
	if read {
		parts = where + " read again on " + now.day.String()
	}
	if again > 0 {
		if parts != "" {
			parts += "; "
		}
		parts += fmt.Sprintf("%s read again, the last on %s", plural(again, "wheel", "wheels"), day)
	}
	return day, parts, ""
}
