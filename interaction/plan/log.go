package plan

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/interaction/exposure"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/wheel"
)

// Defects are the readings beyond a federal limit of what an engine judges, with what the rules ask for: no plan
// answers them yet.
func Defects(e *judge.Engine) []Defect {
	m := lawModel(e)
	var out []Defect
	add := func(d Defect, j limit.Judgement, p protection) {
		d.by(m, j)
		d.Remedy, d.Due, d.Protect = j.Rule.Action, p.due, p.words
		out = append(out, d)
	}
	for pi := range m.places {
		p := &m.places[pi]
		for _, j := range p.beyond {
			add(Defect{Where: p.f.Name(), Location: p.f.Location, Opened: m.law.opened(p.f, j.Rule.ID)}, j,
				m.protectPlace(p))
		}
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		for i, j := range c.beyond {
			opened := c.opened(c.beyondAt[i])
			if !opened.Known() {
				opened = m.law.day
			}
			add(Defect{Where: c.beyondAt[i], Opened: opened}, j,
				protection{"until then the car does not go" + movedBy(c.beyond[i:i+1]), m.law.day, true})
		}
	}
	return out
}

// lawModel is as much of a model as the regulations need.
func lawModel(e *judge.Engine) *model {
	m := &model{sv: e.Survey, engine: e, exposure: exposure.Of(e.Survey)}
	for _, c := range m.sv.Fleet.Cars {
		cm := carModel{car: c}
		for _, f := range m.sv.Track.Features {
			cm.meets = append(cm.meets, m.exposure.Meets(c, f))
		}
		m.cars = append(m.cars, cm)
	}
	for i, f := range m.sv.Track.Features {
		m.places = append(m.places, placeModel{f: f, index: i})
	}
	m.lawOf()
	return m
}

// standings tells how the readings of a survey stand against the regulations now.
type standings struct {
	by    map[[2]string]*judge.LimitFinding // by where and rule
	dates map[string]measure.Date           // of the rows, by where
}

func standingsOf(r *judge.Result) standings {
	s := standings{map[[2]string]*judge.LimitFinding{}, map[string]measure.Date{}}
	for i := range r.Limits {
		if l := &r.Limits[i]; l.Kind == "regulation" {
			s.by[[2]string{l.Where, l.Rule}] = l
		}
	}
	sv := r.Engine().Survey
	for _, f := range sv.Track.Features {
		s.dates[f.Name()] = f.Date
	}
	for _, c := range sv.Fleet.Cars {
		for _, a := range c.AxleList {
			s.axle(a)
		}
	}
	return s
}

// axle notes the dates of an axle: of a reading that belongs to both wheels, that of the row where it stands.
func (s *standings) axle(a *wheel.Axle) {
	for _, w := range a.Wheels() {
		s.dates["wheel/"+w.Name()] = w.Date
		at := "axle/" + a.Name()
		if w == a.Listed() || w.Own(wheel.BackToBack).Measured() {
			s.dates[at] = max(s.dates[at], w.Date)
		}
	}
}

// closes reports whether a reading of a later day than the one that opened a defect is within its rule; else why says
// what is missing. A go/no-go reading whose step leaves it open closes nothing, a rule that does not hold any more
// neither: the reading is what it was.
func (s *standings) closes(where, rule string, opened measure.Date) (day measure.Date, by, why string) {
	l := s.by[[2]string{where, rule}]
	day, known := s.dates[where]
	switch {
	case l == nil && !known:
		return 0, "", "it stands in no sheet any more"
	case l == nil:
		return 0, "", "the rule does not hold at its class any more; the reading is not taken again"
	case l.Verdict == limit.NotMeasured:
		return 0, "", "not read again"
	case l.Verdict != limit.Within && (l.Verdict != limit.Straddles || strings.ContainsAny(l.Reading, "<>")):
		return 0, "", fmt.Sprintf("%s %s leaves it open", l.Quantity, l.Reading)
	case !day.Known():
		return 0, "", fmt.Sprintf("%s %s bears no day", l.Quantity, l.Reading)
	case opened.Known() && day <= opened:
		return 0, "", fmt.Sprintf("%s %s is of %s, no day after it was opened", l.Quantity, l.Reading, day)
	}
	return day, fmt.Sprintf("%s %s of %s", l.Quantity, l.Reading, day), ""
}

// noTick names the reading that closes a defect, because no tick does.
const noTick = "blank until a reading of a later day brings it within: no tick closes a defect"

// UpdateLog goes on with defects.csv: what is beyond a federal limit and not in it is opened, what a later reading
// brought within is closed, and what a hand wrote over stays. Done twice it changes nothing. The error is a
// [measure.ProblemsError] with the rows that say they are closed while the reading is still beyond, or by one of a day
// that no row is of. today is the day on which an undated reading was found.
func UpdateLog(rows []survey.Logged, r *judge.Result, found []Defect, today measure.Date) ([]survey.Logged, error) {
	now := standingsOf(r)
	beyond := map[[2]string]*Defect{}
	for i := range found {
		beyond[[2]string{found[i].Where, found[i].Rule}] = &found[i]
	}
	var problems measure.Problems
	out := slices.Clone(rows)
	open := map[[2]string]bool{}
	for i := range out {
		x := &out[i]
		key := [2]string{x.Where, x.Rule}
		d := beyond[key]
		newest, known := now.dates[x.Where]
		switch {
		case x.Open() && d != nil:
			open[key] = true
			fill(x, d)
		case x.Open():
			x.Closed, x.ClosedBy, _ = now.closes(x.Where, x.Rule, x.Opened)
		case d != nil && d.Opened <= x.Closed:
			problems.Add(x.ClosedAt, "closed", fmt.Sprintf("%s %s of %s is still beyond %s", d.Quantity, d.Reading,
				d.Opened, d.Limit), noTick)
		case known && newest < x.Closed:
			problems.Add(x.ClosedAt, "closed", fmt.Sprintf("no row of %s is of %s or later", measure.Short(x.Where),
				x.Closed), noTick)
		}
	}
	if err := problems.Err(); err != nil {
		return nil, err
	}
	for i := range found {
		d := &found[i]
		if open[[2]string{d.Where, d.Rule}] {
			continue
		}
		x := survey.Logged{Where: d.Where, Location: d.Location, Rule: d.Rule, Quantity: d.Quantity, Found: d.Reading,
			Opened: d.Opened}
		if !x.Opened.Known() {
			x.Opened = today
		}
		fill(&x, d)
		out = append(out, x)
	}
	return out, nil
}

// fill writes the blank cells of a row, and the remedy where only the rule's own words stand.
func fill(x *survey.Logged, d *Defect) {
	if x.Remedy == "" || x.Remedy == d.Action {
		x.Remedy = d.Remedy
	}
	if !x.Due.Known() {
		x.Due = max(d.Due, x.Opened)
	}
	if x.Protected == "" {
		x.Protected = d.Protect
	}
	if x.Location == "" {
		x.Location = d.Location
	}
}
