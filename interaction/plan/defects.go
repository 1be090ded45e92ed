package plan

import (
	"slices"
	"strings"

	"flangeway/interaction/judge"
	"flangeway/internal/each"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/wheel"
)

// Defect is a reading beyond a regulation with what answers it.
type Defect struct {
	Where, Location string // frog/F4, wheel/CAR POSITION, axle/CAR NUMBER or truck/CAR NUMBER; a car has no location
	Rule, Limit     string
	Quantity        string
	Reading         string       // as written
	Opened          measure.Date // of the row; the zero Date if it has none
	Action          string       // of the rule
	Remedy          string       // what the plan does, else the action of the rule
	Source, Sure    string
	// Answered says that the plan answers it, by the actions with these ids.
	Answered bool
	IDs      []string
	Due      measure.Date // by when; the zero Date if nothing tells the day
	Protect  string       // what holds until then
	// past is how far the reading lies beyond the figure of the rule, in its core unit.
	past float64
}

// defects lists the readings beyond a regulation, with what the plan does about each.
func (p *Plan) defects() (out []Defect) {
	m := p.model
	at := map[string][]int{} // the actions that answer some rule, by where
	for i, a := range p.Actions {
		if len(a.rules) > 0 {
			at[a.Where] = append(at[a.Where], i)
		}
	}
	ids := func(rule string, wheres []string) (list []string, first *Action) {
		var all []int
		for _, where := range wheres {
			all = append(all, at[where]...)
		}
		slices.Sort(all)
		for _, i := range all {
			a := &p.Actions[i]
			if !slices.Contains(a.rules, rule) || strings.HasPrefix(a.Where, "car/") && a.At != "" {
				continue
			}
			list = append(list, a.ID)
			if first == nil || first.Protect == "" {
				first = a
			}
		}
		return list, first
	}
	add := func(d Defect, j limit.Judgement, still []limit.Judgement, wheres ...string) {
		d.by(m, j)
		d.Answered = !slices.ContainsFunc(still, func(x limit.Judgement) bool { return x.Rule.ID == j.Rule.ID })
		var a *Action
		d.Remedy = d.Action
		if d.IDs, a = ids(j.Rule.ID, wheres); a != nil {
			d.Due, d.Protect, d.Remedy = a.Due, a.Protect, a.What
		}
		out = append(out, d)
	}
	for pi := range m.places {
		x := &m.places[pi]
		if len(x.beyond) == 0 {
			continue
		}
		var still []limit.Judgement
		if o := p.option(pi); o.rows != nil && !o.again {
			still = open(m.law.place(o.f))
		}
		for _, j := range x.beyond {
			add(Defect{Where: x.f.Name(), Location: x.f.Location, Opened: m.law.opened(x.f, j.Rule.ID)}, j, still,
				x.f.Name())
		}
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		if len(c.beyond) == 0 {
			continue
		}
		still := map[string][]limit.Judgement{}
		if !p.out(ci) {
			for k, ai := range c.axles {
				for _, y := range m.axles[ai].opts[p.level(ci, k)].axles[:1] {
					m.atAxle(y, func(at string, list []limit.Judgement) { still[at] = list })
				}
			}
		}
		for i, j := range c.beyond {
			at := c.beyondAt[i]
			opened := c.opened(at)
			left := still[at]
			if strings.HasPrefix(at, "truck/") && !p.out(ci) {
				left = []limit.Judgement{j}
			}
			add(Defect{Where: at, Opened: opened}, j, left, append(c.wheelsOf(at), at, "car/"+c.car.ID)...)
		}
	}
	return out
}

// by says which rule a reading is beyond.
func (d *Defect) by(m *model, j limit.Judgement) {
	d.Rule, d.Limit, d.Quantity, d.Reading = j.Rule.ID, j.Condition, j.Quantity, asWritten(m, j)
	d.Action, d.Source, d.Sure, d.past = j.Rule.Action, j.Rule.Source, j.Rule.Sure, past(j)
}

// past is how far a reading lies beyond the figure of the rule that it is beyond; of a go/no-go reading its step.
func past(j limit.Judgement) float64 {
	for _, c := range j.Rule.Condemns {
		if c.Quantity == j.Quantity && !c.Where {
			if c.Op == "<" || c.Op == "<=" {
				return c.Value - j.Reading.As
			}
			return j.Reading.As - c.Value
		}
	}
	return 0
}

// atAxle calls f with the regulations that an axle, and each of its wheels, is beyond.
func (m *model) atAxle(a *wheel.Axle, f func(at string, list []limit.Judgement)) {
	f("axle/"+a.Name(), m.law.book.Broken(a.Subject()))
	for _, w := range a.Wheels() {
		f("wheel/"+w.Name(), m.law.book.Broken(w.Subject()))
	}
}

// opened is the date of the row that a reading of the car stands in: of an axle or a truck that of the first wheel.
func (c *carModel) opened(at string) measure.Date {
	for _, a := range c.car.AxleList {
		for _, w := range a.Wheels() {
			if at == "wheel/"+c.car.ID+" "+w.Position.String() || at == "axle/"+a.Name() ||
				strings.HasPrefix(at, "truck/") {
				return w.Date
			}
		}
	}
	return 0
}

// wheelsOf are the names of the wheels of an axle; none if it names no axle.
func (c *carModel) wheelsOf(axle string) []string {
	for _, a := range c.car.AxleList {
		if axle == "axle/"+a.Name() {
			return each.Of(a.Wheels(), func(w *wheel.Wheel) string { return "wheel/" + w.Name() })
		}
	}
	return nil
}

// Unanswered counts the readings beyond a regulation that the plan leaves.
func (p *Plan) Unanswered() int {
	n := 0
	for _, d := range p.Federal {
		if !d.Answered {
			n++
		}
	}
	return n
}

// asWritten writes the reading of a judgement as its sheet has it.
func asWritten(m *model, j limit.Judgement) string {
	return judge.PrintReading(m.sv.Columns, j.Quantity, j.Reading)
}

// words writes a column's name as people say it.
func words(column string) string { return strings.ReplaceAll(column, "_", " ") }
