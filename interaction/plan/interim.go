package plan

import (
	"slices"
	"strings"

	"flangeway/interaction"
)

// A conflict that a work ends is there until the work is done, and no rule may say what holds so long. Then the order
// names what a railroad can do at once: keep the cars off, out of service or flagged. Common practice, no source; a
// lower speed is not named, because the pair checks know none.

// interim puts on each work what protects the pairs that it ends until it is done, beside what a rule asks for.
func (p *Plan) interim() {
	for i := range p.Actions {
		a := &p.Actions[i]
		if a.Effect != Sets && a.Effect != Reads || a.restricts {
			continue
		}
		pairs, shut := p.untilDone(a)
		text := p.keptFrom(a, pairs)
		if shut || text == "" {
			continue
		}
		if a.Effect == Reads {
			text = "read it before the next move, or " + text
		} else {
			text = "until then " + text
		}
		if a.Protect != "" {
			text = a.Protect + "; " + text
		}
		a.Protect = text
	}
}

// untilDone are the pairs of a work, of one on an axle those of both wheels; shut says that a rule keeps them from
// meeting.
func (p *Plan) untilDone(a *Action) (pairs []pairAt, shut bool) {
	for i := range p.Actions {
		b := &p.Actions[i]
		if b == a || a.Side == Car && b.Side == Car && a.Effect == Sets && b.Effect == Sets && a.order == b.order &&
			a.axle == b.axle {
			pairs, shut = append(pairs, b.pairs...), shut || b.shut
		}
	}
	return pairs, shut
}

// keptFrom is what keeps the pairs to be removed of a work from meeting; "" if it ends none of those.
func (p *Plan) keptFrom(a *Action, pairs []pairAt) string {
	m := p.model
	var cars, places, locations []string
	sawCar, sawPlace := make([]bool, len(m.cars)), make([]bool, len(m.places))
	severe := false
	for _, x := range pairs {
		at := &m.places[x.place]
		if !m.treats(at.before[x.check][x.wheel]) {
			continue
		}
		severe = severe || m.trial.Checks[at.checks[x.check]].Severity == interaction.Catastrophic
		if !sawCar[x.car] {
			sawCar[x.car], cars = true, append(cars, m.cars[x.car].car.ID)
		}
		if sawPlace[x.place] {
			continue
		}
		sawPlace[x.place], places = true, append(places, at.f.Name())
		if !slices.Contains(locations, at.f.Location) {
			locations = append(locations, at.f.Location)
		}
	}
	switch met := p.met(a); {
	case len(cars) == 0:
		return ""
	case a.Side == Car && 2*len(places) > met:
		return "the car does not go"
	case a.Side == Car && len(places) > mostPlaces:
		return "keep the car off " + strings.Join(locations, ", ")
	case a.Side == Car:
		return "keep the car off " + strings.Join(places, ", ")
	case 2*len(cars) <= met:
		return "keep off it " + strings.Join(cars, ", ")
	case severe:
		return "out of service, or each move flagged over it on foot"
	}
	return "each move flagged over it on foot"
}

// mostPlaces is how many places an order tells a car to keep off; of more it names the locations.
const mostPlaces = 6

// met is how many cars pass the place of a work, and how many places the car of one passes.
func (p *Plan) met(a *Action) (n int) {
	if a.Side == Car {
		for _, meets := range p.model.cars[a.order].meets {
			if meets {
				n++
			}
		}
		return n
	}
	for ci := range p.model.cars {
		if p.model.cars[ci].meets[a.order] {
			n++
		}
	}
	return n
}
