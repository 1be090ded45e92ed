package plan

import (
	"fmt"
	"math"
	"slices"

	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/track"
)

// out reports whether the plan leaves a car out of service.
func (p *Plan) out(ci int) bool { return p.assembled.cars[ci][p.choice.car[ci]].out }

// leaveOut holds the cars that are out of service off every place.
func (p *Plan) leaveOut() {
	for ci := range p.model.cars {
		for pi := range p.model.places {
			if p.out(ci) && p.model.cars[ci].meets[pi] {
				p.holds[[2]int{ci, pi}] = true
			}
		}
	}
}

// outAction leaves a car out of service, with the pairs that come back if it goes.
func (p *Plan) outAction(ci int) Action {
	m := p.model
	c := &m.cars[ci]
	a := outOfService(m.sv, c.car, c.beyond)
	a.order, a.Federal = ci, len(c.beyond) > 0 && !m.opt.IgnoreLimits
	if !a.Federal {
		a.What = "return the car to its owner, and report it"
	}
	places := p.openPlaces()
	a.without = p.lacks(looked{p.chosen(), ci, places}, true)
	for _, pi := range places {
		a.pairs = append(a.pairs, p.held(ci, pi)...)
	}
	if a.Federal {
		m.dated(&a, c.beyond, protection{})
	}
	return a
}

// readFederal marks a reading again of a place that answers a reading beyond a regulation.
func (m *model) readFederal(a *Action) {
	if p := m.at[a.Where]; p != nil && !m.opt.IgnoreLimits && len(open(p.beyond)) > 0 &&
		m.readsAgain(p, open(p.beyond)) {
		list := []Action{*a}
		m.marksFederal(p, &p.opts[0], list)
		*a = list[0]
	}
}

// marksFederal marks the actions of a place's option that answer a reading beyond a regulation.
func (m *model) marksFederal(p *placeModel, o *placeOption, acts []Action) {
	var still []limit.Judgement // if it were run as before
	if o.f != nil {
		f := *o.f
		f.Class, f.Speed, f.SpeedKnown = p.f.Class, p.f.Speed, p.f.SpeedKnown
		still = m.law.place(&f)
	}
	ends := func(j limit.Judgement, a *Action) bool {
		return asksFor(j, a) &&
			!slices.ContainsFunc(still, func(x limit.Judgement) bool { return x.Rule.ID == j.Rule.ID })
	}
	left := slices.Clone(p.beyond) // what works do not bring within is answered by how the place is run, or closed
	for i := range acts {
		a := &acts[i]
		if a.Effect != Sets || a.restricts {
			continue
		}
		var list []limit.Judgement
		for _, j := range p.beyond {
			if ends(j, a) {
				list = append(list, j)
			}
		}
		left = slices.DeleteFunc(left, func(j limit.Judgement) bool { return ends(j, a) })
		m.federal(a, list, m.protectPlace(p))
	}
	for i := range acts {
		if a := &acts[i]; a.Effect != Sets || a.restricts {
			m.federal(a, left, m.protectPlace(p))
		}
	}
}

// protection is the restriction that holds until a reading is brought within, and by when that has to be.
type protection struct {
	words string
	due   measure.Date
	shut  bool // no train passes, or the car does not go
}

// protectPlace lists the restrictions that the rules allow at a place until it is repaired.
func (m *model) protectPlace(p *placeModel) protection {
	left := open(p.beyond)
	if len(left) == 0 {
		return protection{fmt.Sprintf("keep %g mph until then", p.f.Speed), m.law.day, false}
	}
	if r, ok := m.law.restrict(p.f, m.passengers(p)); ok {
		return protection{"until then run it " + r.words() + ", " + m.law.from() + " (" + r.source + ")", m.law.day,
			false}
	}
	days, due := math.MaxInt, measure.Date(math.MaxInt32)
	for _, j := range left {
		days = min(days, j.Rule.Remedy.Days)
		due = min(due, after(m.law.opened(p.f, j.Rule.ID), j.Rule.Remedy.Days))
	}
	if days > 0 {
		until := fmt.Sprintf("for at most %d days", days)
		switch {
		case due.Known() && due < m.law.day:
			return protection{fmt.Sprintf("out of service until then: the %d days from when it was found ended %s (%s)",
				days,
				due, left[0].Rule.Remedy.Source), due, true}
		case due.Known():
			until = "to " + due.String()
		}
		return protection{"until then class 1 speed at most under a person qualified by 213.7(a), " + until +
			" (" + left[0].Rule.Remedy.Source + "), else out of service", due, false}
	}
	return protection{"until then out of service, " + m.law.from(), m.law.day, true}
}

// asksFor reports whether an action sets a reading that a rule condemns.
func asksFor(j limit.Judgement, a *Action) bool {
	for _, c := range j.Rule.Condemns {
		column := c.Quantity
		if column == "over_curve_speed" { // a curve speed that the elevation gives
			column = track.Elevation.String()
		}
		if _, ok := a.Sets[column]; ok && !c.Where {
			return true
		}
	}
	return false
}

// federal marks an action that answers readings.
func (m *model) federal(a *Action, list []limit.Judgement, p protection) {
	if a.Federal = len(list) > 0; a.Federal {
		m.dated(a, list, p)
	}
}

// dated puts the day and what holds until then on an action, and what it answers.
func (m *model) dated(a *Action, list []limit.Judgement, p protection) {
	if !m.opt.IgnoreLimits {
		a.Due = m.law.day
		if a.Effect == Sets && !a.restricts || a.Effect == Reads {
			a.Due, a.Protect, a.shut = p.due, p.words, p.shut
		}
	}
	for _, j := range list {
		a.Answers = append(a.Answers, fmt.Sprintf("%s %s (%s, %s)", j.Quantity, asWritten(m, j), j.Condition,
			j.Rule.Source))
		a.rules = append(a.rules, j.Rule.ID)
	}
}

// keeping are the actions of a place that is run already as a rule asks: that it stays so.
func (m *model) keeping(p *placeModel, o *placeOption) (out []Action) {
	if m.opt.IgnoreLimits || o.rows == nil || len(p.beyond) == 0 {
		return nil
	}
	kept := slices.DeleteFunc(m.law.place(o.f), func(j limit.Judgement) bool { return !j.Kept })
	if len(kept) == 0 || slices.ContainsFunc(o.acts, func(a Action) bool { return a.restricts }) {
		return nil
	}
	r := restriction{speed: p.f.Speed, source: kept[0].Rule.Remedy.Source}
	a := restricted(m.sv.Costs, p.f, r, m.law)
	a.Cents, a.Millis, a.Federal = 0, 0, true
	a.What = "keep it " + r.words() + " until it is repaired (" + kept[0].Rule.Source + ")"
	m.dated(&a, kept, protection{due: m.law.day})
	return []Action{a}
}

// marksAxle marks the actions of a work on an axle that answer a reading of it, each those of its wheel and of the
// axle.
func (m *model) marksAxle(a *axleModel, acts []Action) {
	of := m.law.book.Broken(a.axle.Subject())
	for i, w := range a.axle.Wheels() {
		if i >= len(acts) {
			break
		}
		list := append(slices.Clone(of), m.law.book.Broken(w.Subject())...)
		if x := &acts[i]; len(list) > 0 {
			x.Federal = true
			m.dated(x, list, protection{"until then the car does not go" + movedBy(list), m.law.day, true})
		}
	}
}
