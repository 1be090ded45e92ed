package plan

import (
	"slices"
	"strings"

	"flangeway/internal/survey"
)

// Bulletin is what transportation tells the crews of one track: the cars that may not use it, or not all of it.
type Bulletin struct {
	Line *survey.Line
	Cars []Barred
}

// Barred is a car on a bulletin: on its track it goes no farther than the first place off which the plan holds it.
type Barred struct {
	Car    string
	At     []string // the places off which it is held, in the order of the run
	Beyond []string // what else lies on the track behind the first of them
	IDs    []string // of the holds
}

// Bulletins are the holds of the plan by the tracks of tracks.csv, one for each track: a car that is held off a place
// cannot pass it, so it is off what lies behind on that track too. None without the sheet. A car that does not go at
// all stands on none.
func (p *Plan) Bulletins() []Bulletin {
	var out []Bulletin
	for _, l := range p.model.sv.Routes.Lines {
		b := Bulletin{Line: l}
		at := map[string]int{} // by car
		for _, a := range p.Actions {
			if a.Effect != Holds || a.At != "track/"+l.Name && !isOn(l, a.At) {
				continue
			}
			car := strings.TrimPrefix(a.Where, "car/")
			i, ok := at[car]
			if !ok {
				i = len(b.Cars)
				at[car] = i
				b.Cars = append(b.Cars, Barred{Car: car})
			}
			b.Cars[i].IDs = append(b.Cars[i].IDs, a.ID)
			if len(a.Off) > 0 {
				b.Cars[i].At = append(b.Cars[i].At, a.Off...)
			} else {
				b.Cars[i].At = append(b.Cars[i].At, a.At)
			}
		}
		if len(b.Cars) == 0 {
			continue
		}
		for i := range b.Cars {
			b.Cars[i].run(l)
		}
		out = append(out, b)
	}
	return out
}

// isOn reports whether a track passes a feature.
func isOn(l *survey.Line, feature string) bool {
	return slices.ContainsFunc(l.Stops, func(s survey.Stop) bool { return slices.Contains(s.Features, feature) })
}

// run puts the places of a car in the order of the run, and finds what lies behind the first of them.
func (b *Barred) run(l *survey.Line) {
	held := b.At
	b.At = nil
	for _, s := range l.Stops {
		before := len(b.At) > 0 // what lies at one stop is passed together
		for _, f := range s.Features {
			switch {
			case slices.Contains(held, f):
				b.At = append(b.At, f)
			case before:
				b.Beyond = append(b.Beyond, f)
			}
		}
	}
}
