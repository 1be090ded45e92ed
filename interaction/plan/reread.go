package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
	"flangeway/wheel"
)

// If a pair that asks for work rests on a reading under a warning, the work is to read again first: nobody is held,
// turned or welded by such a reading, and it ends no conflict.

// reread is a wheel or a place with readings to take again.
type reread struct {
	action  Action
	columns map[string]measure.Reading
}

// rereads are those of a survey, by where.
type rereads map[string]*reread

// readAgain lists what is to be read again before anything is decided by it, on the sides that do work and as far as
// the money and the days go: what most pairs rest on first.
func (m *model) readAgain() {
	list := rereads{}
	car := map[*carModel]int{}
	for ci := range m.cars {
		car[&m.cars[ci]] = ci
	}
	m.each(func(c *carModel, a *axleModel, side int, p *placeModel, k int, v interaction.Verdict) {
		if wi := a.index[side]; m.treats(v) && p.doubts(k, wi) {
			list.rest(m, pairAt{car[c], wi, p.index, k})
		}
	})
	for _, r := range list {
		m.rereads = append(m.rereads, r.finish(m))
	}
	slices.SortFunc(m.rereads, func(a, b Action) int {
		return cmp.Or(cmp.Compare(b.Rests, a.Rests), cmp.Compare(a.Where, b.Where))
	})
	m.affordRereads()
	slices.SortFunc(m.rereads, func(a, b Action) int {
		return cmp.Or(cmp.Compare(b.Side, a.Side), cmp.Compare(a.order, b.order), cmp.Compare(a.Where, b.Where))
	})
}

// rest adds a pair to the readings that it rests on.
func (list rereads) rest(m *model, x pairAt) {
	p := &m.places[x.place]
	own, mate, place := m.engine.Doubted(p.f, p.checks[x.check], x.wheel)
	w := m.sv.Fleet.Wheels[x.wheel]
	if !m.opt.TrackOnly {
		list.wheel(m, w, own, x)
		list.wheel(m, w.Mate(), mate, x)
	}
	if len(place) == 0 || m.opt.CarsOnly {
		return
	}
	r := list.at(m, Track, p.f.Name(), x)
	r.action.Location, r.action.order = p.f.Location, x.place
	for _, q := range p.f.Measured() { // what contradicts is read again as a whole
		if v := p.f.Read(q); v.Measured() && p.f.Contradicted(q) || slices.Contains(place, q.String()) {
			r.columns[q.String()] = v
		}
	}
}

// wheel adds a pair to the readings of a wheel.
func (list rereads) wheel(m *model, w *wheel.Wheel, columns []string, x pairAt) {
	if len(columns) == 0 {
		return
	}
	r := list.at(m, Car, "wheel/"+w.Name(), x)
	r.action.order = x.car
	for _, c := range columns {
		if q, ok := wheel.QuantityOf(c); ok {
			r.columns[c] = w.Read(q)
		}
	}
}

func (list rereads) at(m *model, side, where string, x pairAt) *reread {
	r := list[where]
	if r == nil {
		r = &reread{action: work(m.sv.Costs, "read_again"), columns: map[string]measure.Reading{}}
		r.action.Side, r.action.Effect, r.action.Where = side, Reads, where
		list[where] = r
	}
	r.action.pairs = append(r.action.pairs, x)
	return r
}

// finish words the reading again: each reading with its cell, as it stands.
func (r *reread) finish(m *model) Action {
	a := r.action
	a.Rests = len(a.pairs)
	why := "under a warning"
	if slices.ContainsFunc(a.pairs, func(x pairAt) bool {
		p := &m.places[x.place]
		return m.engine.Against(p.f, p.checks[x.check], x.wheel)
	}) {
		why = "what was seen tells against it"
	}
	var cells []string
	for c, read := range r.columns {
		a.Reads = append(a.Reads, c)
		if !read.Measured() {
			cells = append(cells, c+" (not read yet)")
			continue
		}
		cells = append(cells, fmt.Sprintf("%s %s (%s)", c, judge.PrintReading(m.sv.Columns, c, read), read.Place))
	}
	slices.Sort(a.Reads)
	slices.Sort(cells)
	a.What = "READ AGAIN FIRST (" + why + "): " + strings.Join(cells, ", ")
	return a
}

// affordRereads leaves out what goes over the limits.
func (m *model) affordRereads() {
	var list []Action
	for _, a := range m.rereads {
		cents, millis := m.rereadCents+a.Cents, m.rereadMillis+a.Millis
		if m.opt.Budget != nil && cents > *m.opt.Budget || m.opt.CrewDays != nil && millis > *m.opt.CrewDays {
			continue
		}
		m.rereadCents, m.rereadMillis = cents, millis
		list = append(list, a)
	}
	m.rereads = list
}

// withRereads adds what the readings cost to a point of the cost curve.
func (m *model) withRereads(x *Point) {
	for _, a := range m.rereads {
		x.Cents += a.Cents
		if a.Side == Track {
			x.Track += a.Cents
		} else {
			x.Cars += a.Cents
		}
	}
}

// leftInDoubt counts the pairs that rest on a reading under a warning and that a choice leaves: they ask for no work
// and are no less there.
func (m *model) leftInDoubt(c chosen, holds map[[2]int]bool) int {
	n := 0
	for pi := range m.places {
		p := &m.places[pi]
		if !slices.ContainsFunc(p.doubted, func(row []judge.Doubt) bool { return row != nil }) {
			continue
		}
		for ci := range m.cars {
			if holds[[2]int{ci, pi}] || !m.cars[ci].inDoubt(m, p) {
				continue
			}
			m.eachPair(&m.cars[ci], p, c.place(pi), func(k int) int { return c.level(ci, k) }, func(x *pair) {
				if !x.row.inDoubt(x.wheel, m.worked(x)) || !m.treats(p.before[x.check][x.wheel]) {
					return
				}
				if v, wide := m.after(x); !m.ends(x.row.check, v) || !m.ends(x.row.check, wide) {
					n++
				}
			})
		}
	}
	return n
}

// inDoubt reports whether a pair of the car at a place rests on a reading under a warning.
func (c *carModel) inDoubt(m *model, p *placeModel) bool {
	for _, ai := range c.axles {
		for _, w := range m.axles[ai].index {
			for k := range p.checks {
				if w >= 0 && p.doubts(k, w) {
					return true
				}
			}
		}
	}
	return false
}
