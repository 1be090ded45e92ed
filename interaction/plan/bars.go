package plan

import (
	"fmt"
	"slices"

	"flangeway/internal/survey"
)

// An own car is kept off a track, not off each of its places: what keeps it off one of them keeps it off all others for
// the same price, and off what lies behind. A place on no track, or on several, is held by itself. A car of others is
// returned, once, whatever the number of places.

// linesOf is the track of each place, by index in the survey's; -1 for one on none or on several.
func (m *model) linesOf() {
	m.lineOf = make([]int, len(m.places))
	for pi := range m.places {
		m.lineOf[pi] = -1
		on := m.sv.Routes.On(m.places[pi].f.Name())
		if len(on) > 0 && !slices.ContainsFunc(on, func(l *survey.Line) bool { return l != on[0] }) {
			m.lineOf[pi] = slices.Index(m.sv.Routes.Lines, on[0])
		}
	}
}

// withBars adds to the works on a car that it is kept off tracks with several places, and for a car of others that it
// is returned. some says whether an option leaves anything at a place, and clear takes it out there.
func (m *model) withBars(c *carModel, list []carOption, some func(x *carOption, pi int) bool,
	clear func(x *carOption, pi int), nothing func(x *carOption)) []carOption {
	if m.opt.TrackOnly {
		return list
	}
	var all []int
	on := make([][]int, len(m.sv.Routes.Lines)) // the places on each track
	for pi := range m.places {
		if c.meets[pi] {
			all = append(all, pi)
			if line := m.lineOf[pi]; line >= 0 {
				on[line] = append(on[line], pi)
			}
		}
	}
	left := func(x *carOption, among []int) (places []int) {
		for _, pi := range among {
			if some(x, pi) {
				places = append(places, pi)
			}
		}
		return places
	}
	hold := m.holdWork[c.holdKind()]
	if c.holdKind() == foreignCar {
		if len(c.beyond) > 0 && !m.opt.IgnoreLimits || !slices.ContainsFunc(list, func(x carOption) bool {
			return len(left(&x, all)) > 1
		}) {
			return list // it is left out of service for the same price, or there is one place at most
		}
		x := carOption{levels: make([]int, len(c.axles)), cents: hold.Cents, millis: hold.Millis, out: true}
		nothing(&x)
		return append(list, x)
	}
	for line := range m.sv.Routes.Lines {
		if len(on[line]) < 2 {
			continue
		}
		next := append(make([]carOption, 0, 2*len(list)), list...)
		for i := range list {
			places := left(&list[i], on[line])
			if list[i].out || len(places) < 2 {
				continue
			}
			x := list[i].copied()
			x.cents, x.millis = x.cents+hold.Cents, x.millis+hold.Millis
			x.bars = append(slices.Clone(x.bars), line)
			for _, pi := range places {
				clear(&x, pi)
			}
			next = append(next, x)
		}
		if len(next) > len(list) {
			list = joined(pruneCar(next, m.opt.limited()), m.mostCarOptions())
		}
	}
	return list
}

// barred is a car off a track, from the first of the places off which it is held.
type barred struct {
	line int
	off  []int // places that keep it off, in the order of the run
	from int   // the stop
}

// barredCars finds the tracks that each car is kept off, and holds it off what lies behind there too.
func (p *Plan) barredCars() {
	m := p.model
	c := p.chosen()
	p.barred = make([][]barred, len(m.cars))
	for ci := range m.cars {
		if p.out(ci) {
			continue
		}
		for line, l := range m.sv.Routes.Lines {
			x := barred{line: line, from: -1}
			all := slices.Contains(p.assembled.cars[ci][p.choice.car[ci]].bars, line)
			var behind []int
			for i, s := range l.Stops {
				before := x.from >= 0
				for _, name := range s.Features {
					place := m.at[name]
					if place == nil || m.lineOf[place.index] < 0 || !m.cars[ci].meets[place.index] ||
						slices.Contains(x.off, place.index) {
						continue
					}
					pi := place.index
					switch {
					case p.holds[[2]int{ci, pi}] || all && m.leavesAny(c, ci, pi):
						x.off = append(x.off, pi)
						if x.from < 0 {
							x.from = i
						}
					case before:
						behind = append(behind, pi)
					}
				}
			}
			if len(x.off) == 0 {
				continue
			}
			for _, pi := range append(behind, x.off...) {
				p.holds[[2]int{ci, pi}] = true
			}
			p.barred[ci] = append(p.barred[ci], x)
		}
	}
}

// heldOff are the actions that hold a car: off tracks, and off places that lie on none or on several.
func (p *Plan) heldOff(ci int) (out []Action) {
	m := p.model
	c := &m.cars[ci]
	for _, x := range p.barred[ci] {
		l := m.sv.Routes.Lines[x.line]
		first := m.places[x.off[0]].f
		a := holding(m.sv, c.car, "track/"+l.Name, first.Location)
		a.What = "keep the car off track " + l.Name
		if x.from > 0 {
			a.What += fmt.Sprintf(", from %s on", first.Name())
		}
		if c.car.Owner != "own" {
			a.What += ", or return it and report it"
		}
		for _, pi := range x.off {
			a.Off = append(a.Off, m.places[pi].f.Name())
			a.pairs = append(a.pairs, p.held(ci, pi)...)
		}
		a.without = p.lacks(looked{p.chosen(), ci, x.off}, true)
		for pi := range m.places {
			if f := m.places[pi].f.Name(); p.holds[[2]int{ci, pi}] && m.lineOf[pi] == x.line &&
				!slices.Contains(a.Off, f) {
				a.Behind = append(a.Behind, f)
			}
		}
		out = append(out, a)
	}
	for pi := range m.places {
		if p.holds[[2]int{ci, pi}] && m.lineOf[pi] < 0 {
			f := m.places[pi].f
			a := holding(m.sv, c.car, f.Name(), f.Location)
			a.pairs, a.without = p.held(ci, pi), p.lacks(looked{p.chosen(), ci, []int{pi}}, true)
			out = append(out, a)
		}
	}
	return out
}
