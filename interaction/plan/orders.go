package plan

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"flangeway/track"
)

// Order is one crew's work, place by place in travel order.
type Order struct {
	Crew   string
	Items  []Item
	Cents  int64
	Millis int64
}

// Item is one line of a work order.
type Item struct {
	Action
	Because []string // the checks of the pairs that come back or become worse without it
	Final   []string // required final readings with their windows
	Check   []string // what to check after
	Before  string   // what to know before the work; "" if nothing
	onSite
}

// Orders are the work orders of the track side, and of transportation for closings and holds, each in travel order: the
// order in which the locations first stand in the sheets, frogs before switches, curves, joints and spots.
func (p *Plan) Orders() []Order {
	rank := p.travel()
	byCrew := map[string]*Order{}
	var out []*Order
	for _, a := range p.Actions {
		if a.Side == Car && a.Effect != Holds {
			continue
		}
		o := byCrew[a.Crew]
		if o == nil {
			o = &Order{Crew: a.Crew}
			byCrew[a.Crew] = o
			out = append(out, o)
		}
		o.Items = append(o.Items, Item{Action: a, Because: p.Because(a), Final: p.final(a), Check: a.Note,
			Before: p.before(a), onSite: p.onSite(a)})
		o.Cents, o.Millis = o.Cents+a.Cents, o.Millis+a.Millis
	}
	slices.SortFunc(out, func(a, b *Order) int { return cmp.Compare(a.Crew, b.Crew) })
	list := make([]Order, len(out))
	for i, o := range out {
		slices.SortStableFunc(o.Items, func(a, b Item) int { return rank[a.Location] - rank[b.Location] })
		list[i] = *o
	}
	return list
}

// Because names the checks of the pairs that come back or become worse without an action, each with how many pairs,
// most first.
func (p *Plan) Because(a Action) []string {
	n := map[string]int{}
	var names []string
	for _, x := range a.pairs {
		id := p.model.trial.Checks[p.model.places[x.place].checks[x.check]].ID
		if n[id] == 0 {
			names = append(names, id)
		}
		n[id]++
	}
	slices.SortStableFunc(names, func(a, b string) int { return n[b] - n[a] })
	for i, id := range names {
		names[i] = fmt.Sprintf("%s (%d)", id, n[id])
	}
	return names
}

// before warns of work on a feature whose readings do not fit one another.
func (p *Plan) before(a Action) string {
	if x := p.model.at[a.Where]; x != nil && a.Effect == Sets {
		if s := x.f.Contradiction(); s != "" {
			return "the readings here contradict each other (" + s + "): take them again before the work"
		}
	}
	return ""
}

// travel is the rank of each location.
func (p *Plan) travel() map[string]int {
	type place struct {
		name string
		kind track.Kind
		line int
	}
	first := map[string]place{}
	for _, f := range p.model.sv.Track.Features {
		x := place{f.Location, f.Kind, f.Place.Line}
		if old, ok := first[f.Location]; !ok || x.kind < old.kind || x.kind == old.kind && x.line < old.line {
			first[f.Location] = x
		}
	}
	out := map[string]int{}
	for i, x := range slices.SortedFunc(maps.Values(first), func(a, b place) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.line, b.line), cmp.Compare(a.name, b.name))
	}) {
		out[x.name] = i
	}
	return out
}

// CarLine is one line of the car department's sheet.
type CarLine struct {
	ID            string // of its action
	Car, Position string
	Reading       string // as read
	Conflicts     []string
	Do            string
	Wheel         *WheelWork // of a turning or a change
	Final         []string
	Note          []string
	Answers       []string // readings beyond a federal limit
	Due           string   // by which day the rule wants it
	Protect       string   // what holds until then
	onSite
}

// CarSheet is the car department's sheet: turnings and changes with the readings as they are and if the wheel
// conflicts, then the cars to hold.
func (p *Plan) CarSheet() []CarLine {
	m := p.model
	at := map[string]int{}
	for i, w := range m.sv.Fleet.Wheels {
		at["wheel/"+w.Name()] = i
	}
	var out []CarLine
	for _, a := range p.Actions {
		if a.Side != Car {
			continue
		}
		l := CarLine{ID: a.ID, Do: a.What, Wheel: a.Wheel, Note: a.Note, Answers: a.Answers, Protect: a.Protect,
			onSite: p.onSite(a)}
		if a.Due.Known() {
			l.Due = a.Due.String()
		}
		seen := map[string]int{}
		var order []string
		for _, x := range a.pairs {
			name := m.trial.Checks[m.places[x.place].checks[x.check]].ID + " at " + m.places[x.place].f.Name()
			if seen[name] == 0 {
				order = append(order, name)
			}
			seen[name]++
		}
		for _, name := range order {
			if n := seen[name]; n > 1 {
				name += fmt.Sprintf(" (%d wheels)", n)
			}
			l.Conflicts = append(l.Conflicts, name)
		}
		if i, ok := at[a.Where]; ok {
			w := m.sv.Fleet.Wheels[i]
			l.Car, l.Position, l.Final = w.Car.ID, w.Position.String(), p.final(a)
			l.Reading = readings(m, i)
		} else {
			l.Car = a.Where[len("car/"):]
		}
		out = append(out, l)
	}
	return out
}
