package plan

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/wheel"
)

// ErrDone is work that cannot be written back.
var ErrDone = errors.New("cannot be written back")

// Done is what the sheets say when actions of the plan, named by their ids, are carried out: the readings that their
// orders ask for. Work that changes no reading (a car kept off a place, a place closed, a reading to take again) stands
// in no sheet and is refused, because what is read then only the reader knows.
func (p *Plan) Done(ids []string) ([]survey.Change, error) {
	rows := map[measure.Place]*survey.Change{}
	var places []measure.Place
	change := func(at measure.Place, date measure.Date, sets map[string]string) {
		at.Col = 0
		c := rows[at]
		if c == nil {
			c = &survey.Change{Place: at, Date: date, Sets: map[string]string{}}
			rows[at] = c
			places = append(places, at)
		}
		maps.Copy(c.Sets, sets)
	}
	for _, id := range ids {
		i := slices.IndexFunc(p.Actions, func(a Action) bool { return strings.EqualFold(a.ID, id) })
		if i < 0 {
			return nil, fmt.Errorf("%q %w: the plan has no such work (expected %s)", id, ErrDone, p.ids())
		}
		a := &p.Actions[i]
		if a.Effect != Sets {
			return nil, fmt.Errorf("%s %w: %q leaves no reading in a sheet (%s)", a.ID, ErrDone, a.What,
				map[string]string{Holds: "the car stays in the survey; drop it there if it is gone", Closes: "take " +
					"the rows of the place out of its sheet while it is closed",
					Reads: "enter what was read in the sheet"}[a.Effect])
		}
		if err := p.written(a, change); err != nil {
			return nil, err
		}
	}
	return each.Of(places, func(at measure.Place) survey.Change { return *rows[at] }), nil
}

// written finds the row of an action's wheel, car or place.
func (p *Plan) written(a *Action, change func(at measure.Place, date measure.Date, sets map[string]string)) error {
	sv := p.model.sv
	for _, f := range sv.Track.Features {
		if f.Name() == a.Where {
			change(f.Place, f.Date, a.Sets)
			return nil
		}
	}
	for _, w := range sv.Fleet.Wheels {
		if "wheel/"+w.Name() != a.Where {
			continue
		}
		change(w.Place, w.Date, a.Sets)
		// The backs are the axle's: its rows must not say two different things.
		backs := map[string]string{}
		for _, q := range []wheel.Quantity{wheel.BackToBack, wheel.BackToBackMax} {
			if v, ok := a.Sets[q.String()]; ok {
				backs[q.String()] = v
			}
		}
		if mate := w.Mate(); mate != nil && len(backs) > 0 {
			change(mate.Place, mate.Date, backs)
		}
		return nil
	}
	for _, c := range sv.Fleet.Cars {
		if "car/"+c.ID == a.Where && c.Place.Line > 0 {
			change(c.Place, 0, a.Sets)
			return nil
		}
	}
	return fmt.Errorf("%s %w: %s stands in no sheet", a.ID, ErrDone, a.Where)
}

// ids lists the actions that can be written back.
func (p *Plan) ids() string {
	var out []string
	for _, a := range p.Actions {
		if a.Effect == Sets {
			out = append(out, a.ID)
		}
	}
	if len(out) == 0 {
		return "none: it changes no reading"
	}
	return strings.Join(out, ", ")
}
