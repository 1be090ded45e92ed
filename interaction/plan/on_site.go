package plan

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/interaction/judge"
	"flangeway/track"
	"flangeway/wheel"
)

// onSite lists what those who do a work have to know besides the work itself.
type onSite struct {
	Found    []string // the readings that it changes, as they were read
	Movement string   // what must not move over the place, or where the car must not go, until it is done
	Material string   // what the gang brings
	DoneAt   string   // where it works
}

// onSite is that of an action.
func (p *Plan) onSite(a Action) (s onSite) {
	cost, _ := p.model.sv.Costs.Of(a.Work)
	s.Material, s.DoneAt = cost.Material, cost.DoneAt
	if x := p.model.at[a.Where]; x != nil {
		f := x.f
		for _, c := range slices.Concat(a.Columns(), a.Reads) {
			q, ok := track.QuantityOf(c)
			if r := f.Read(q); ok && r.Measured() {
				s.Found = append(s.Found, c+" "+judge.PrintReading(p.model.sv.Columns, c, r))
			}
		}
		fits := s.Material != "" && !a.restricts && a.Effect == Sets
		if fits && f.Rail != "" {
			s.Material += "; the rail is " + f.Rail
		}
		if fits && f.Number > 0 {
			s.Material += fmt.Sprintf("; the frog is number %g", f.Number)
			if f.Type != "" {
				s.Material += ", " + f.Type
			}
		}
	}
	if a.Effect == Sets {
		s.Movement = p.movement(a)
	}
	return s
}

// mostNamed is how many cars or places an order names.
const mostNamed = 3

// movement says which cars conflict at a place, or where a car does, until the work is done.
func (p *Plan) movement(a Action) string {
	var names []string
	seen := map[int]bool{}
	for _, x := range a.pairs {
		i := x.place
		if a.Side == Track {
			i = x.car
		}
		switch {
		case seen[i] || len(names) == mostNamed:
		case a.Side == Track:
			names = append(names, p.model.cars[i].car.ID)
		default:
			names = append(names, p.model.places[i].f.Name())
		}
		seen[i] = true
	}
	n := len(seen)
	if n == 0 {
		return ""
	}
	text := strings.Join(names, ", ")
	if n > mostNamed {
		text += fmt.Sprintf(" and %d more", n-mostNamed)
	}
	if a.Side == Track {
		return fmt.Sprintf("%s in conflict here until it is done: %s", plural(n, "car", "cars"), text)
	}
	return "to the work not over " + text
}

// Axles makes one line of the two wheels of an axle that are worked on together: what both have is said once, what one
// has with its position.
func Axles(lines []CarLine) (out []CarLine) {
	axle := func(l CarLine) string {
		if l.Position == "" || l.Wheel == nil {
			return ""
		}
		return l.Car + " " + l.Position[1:]
	}
	for _, l := range lines {
		n := len(out) - 1
		if n < 0 || axle(l) == "" || axle(out[n]) != axle(l) {
			out = append(out, l)
			continue
		}
		a := &out[n]
		a.Do = strings.Replace(a.Do, ", with "+l.Position, "", 1) // they stand in one row
		if l.Wheel.Rim != "" && l.Wheel.Rim != a.Wheel.Rim {
			a.Do += ", " + l.Position + " " + l.Wheel.Rim + " in"
		}
		if l.Reading != a.Reading {
			a.Reading = a.Position + ": " + a.Reading + "; " + l.Position + ": " + l.Reading
		}
		a.Final = ofBoth(a.Position, a.Final, l.Position, l.Final, wheel.BackToBack.String(),
			wheel.BackToBackMax.String())
		a.Answers = ofBoth(a.Position, a.Answers, l.Position, l.Answers)
		for _, x := range l.Conflicts {
			if i := slices.Index(a.Conflicts, x); i < 0 {
				a.Conflicts = append(slices.Clone(a.Conflicts), x+" ("+l.Position+")")
			}
		}
		for _, x := range l.Note {
			if !strings.HasPrefix(x, "paid with ") && !slices.Contains(a.Note, x) {
				a.Note = append(slices.Clone(a.Note), x)
			}
		}
		if l.Protect != "" {
			a.Protect, a.Due = l.Protect, l.Due
		}
		if a.Movement == "" {
			a.Movement = l.Movement
		}
		a.ID, a.Position = a.ID+", "+l.ID, a.Position+", "+l.Position
	}
	return out
}

// ofBoth joins the notes of two wheels: first what both have or what belongs to their axle, then what one has alone.
func ofBoth(left string, a []string, right string, b []string, axle ...string) (out []string) {
	both := func(s string, other []string) bool {
		column, _, _ := strings.Cut(s, " ")
		return slices.Contains(other, s) || slices.Contains(axle, column)
	}
	for _, s := range a {
		if both(s, b) {
			out = append(out, s)
		}
	}
	for _, s := range a {
		if !both(s, b) {
			out = append(out, left+": "+s)
		}
	}
	for _, s := range b {
		if !both(s, a) {
			out = append(out, right+": "+s)
		}
	}
	return out
}
