package plan

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// The sides that do work.
const (
	Track = "track"
	Car   = "car"
)

// The effects of an action.
const (
	Sets   = "sets"   // readings have these values afterwards
	Holds  = "holds"  // the car is kept off a feature
	Closes = "closes" // the feature is out of service
	Reads  = "reads"  // readings under a warning are taken again before anything is decided by them
)

// Action is one piece of work.
type Action struct {
	ID       string
	Side     string // Track or Car
	Work     string // the name of its cost
	What     string
	Where    string // frog/F4, wheel/CAR POSITION or car/CAR
	Location string // of a feature; of a hold, that of At
	Effect   string
	Sets     map[string]string // column → reading as one would write it
	Window   map[string]Window // column → where the reading may end
	Wheel    *WheelWork        // of a work on an axle: what its wheel gets
	At       string            // of a hold: the feature, or the track as track/NAME
	// Off are the features on the track that keep the car off it, in the order of the run, Behind what else it does not
	// come to.
	Off, Behind []string
	Cents       int64
	Millis      int64 // crew days, thousandths
	Crew        string
	Reads       []string // of a reading again: the columns
	Rests       int      // of a reading again: the pairs that rest on it; it ends none
	Removes     int      // treated pairs that come back, and others that become worse, without it
	Note        []string // what to know or to check besides
	// After are the ids of works at the same place that have to be done first, because this one brings a reading that
	// they change to its final value.
	After    []string
	PaidWith string // the position of the wheel whose action bears the cost; "" for its own
	// Federal says that it answers a reading beyond a regulation: Answers names it with the rule. Due is the day by
	// which the rule wants it, the zero Date if no day is known; Protect is what holds until it is done.
	Federal   bool
	Answers   []string
	Due       measure.Date
	Protect   string
	pairs     []pairAt // that come back without it
	without   *lacking // nil: what is without it is not asked about
	shut      bool     // Protect takes the place out of service, or the car
	restricts bool     // it changes how the place is run, and no reading of it
	paid      bool     // the plan has it anyway
	rules     []string // that it answers
	order     int      // of its place or car in the survey
	axle      int      // of a work on an axle: its number in the car
	// room is by column how far its readings may end from the order, of a work on an axle.
	room map[string]tolerance
}

// WheelWork is the work on a wheel when its axle is worked on, in inches as written.
type WheelWork struct {
	Do                string // of any but a turning: what is done
	Height, Thickness string // of the flange; "" of one that stays as it is
	Cut, Rim          string // of a turning: what comes off the radius, and the rim that is left; "" of a change
	BackToBack        string // of a change
}

// Columns are the columns that an action sets, in order.
func (a *Action) Columns() []string { return slices.Sorted(maps.Keys(a.Sets)) }

// SetsText lists the readings after the work.
func (a *Action) SetsText() string {
	return strings.Join(each.Of(a.Columns(), func(c string) string { return c + " " + a.Sets[c] }), ", ")
}

// WindowText lists where the readings may end.
func (a *Action) WindowText() string {
	return strings.Join(each.Of(slices.Sorted(maps.Keys(a.Window)),
		func(c string) string { return c + " " + a.Window[c].String() }), ", ")
}

// work makes an action with the survey's cost over the horizon.
func work(costs survey.Costs, name string) Action {
	c, _ := costs.Of(name)
	return Action{Work: name, Cents: c.Cents * c.Times(costs.Years()), Millis: c.Millis, Crew: c.Crew,
		Effect: Sets}
}

// CentsAYear is the yearly cost of an action: what is yearly as it is, a work whose life is known spread over its life,
// any other over the horizon. Nothing is discounted.
func (p *Plan) CentsAYear(a *Action) int64 {
	costs := p.model.sv.Costs
	c, _ := costs.Of(a.Work)
	years := costs.Years()
	once := a.Cents / max(1, c.Times(years))
	switch {
	case c.Yearly:
		return once
	case c.Life > 0:
		years = c.Life
	}
	return (once + years/2) / years
}

// CrewDays are the crew days of actions by crew, thousandths; days of different crews are never added.
func CrewDays(actions []Action) (crews []string, millis map[string]int64) {
	millis = map[string]int64{}
	for i := range actions {
		if a := &actions[i]; a.Millis > 0 {
			millis[a.Crew] += a.Millis
		}
	}
	return slices.Sorted(maps.Keys(millis)), millis
}

// reading is a reading after a repair: as the survey's columns read it, and with every reading that those who do the
// work may leave, each with its own error. A notch shows or it does not, and none is none. An error means a value that
// the column cannot have.
func reading(spec measure.Spec, written string, t tolerance) (narrow, wide measure.Reading, err error) {
	narrow, err = spec.Parse(written)
	if err != nil {
		return narrow, narrow, fmt.Errorf("%s %q: %w", spec.Column, written, err)
	}
	if !kept(spec, narrow) {
		return narrow, narrow, nil
	}
	return narrow, within(spec, narrow, narrow.As-t.down, narrow.As+t.up), nil
}

// tolerance is how far below and above what the order asks for a work may end, mm.
type tolerance struct{ down, up float64 }

func either(mm float64) tolerance { return tolerance{mm, mm} }

// kept reports whether a reading is a length that a work keeps within a tolerance.
func kept(spec measure.Spec, r measure.Reading) bool {
	return spec.Unit != measure.Degrees && r.Form != measure.None && !r.OneSided()
}

// within is a reading that may be any from least to most, mm, each with the error of the given one.
func within(spec measure.Spec, r measure.Reading, least, most float64) measure.Reading {
	w := r
	w.Lo = min(r.Lo, max(spec.Lo, least-(r.As-r.Lo)))
	w.Hi = max(r.Hi, min(spec.Hi, most+(r.Hi-r.As)))
	return w
}

// nearest writes a length (mm) in the nearest sixteenth.
func nearest(mm float64) string { return measure.NearestInch(mm, 16) }

// value is a reading's value if it has one.
func value(r measure.Reading) (float64, bool) { return r.As, r.Measured() && !r.OneSided() }

// turn is how late a work comes among those at one place: what carries a reading along comes before what sets it.
func (a *Action) turn() int {
	switch a.Work {
	case "regauge", "spot_ties":
		return 1
	case "guard_move", "switch_adjust", "gauge_rods":
		return 2
	}
	return 0
}

// sequence says which works at the same place come first: those that change a reading which a later one brings to its
// final value. The order says so too.
func sequence(actions []Action) {
	at := map[string][]*Action{}
	for i := range actions {
		if a := &actions[i]; a.Effect == Sets {
			at[a.Where] = append(at[a.Where], a)
		}
	}
	for i := range actions {
		a := &actions[i]
		for _, b := range at[a.Where] {
			if b.turn() >= a.turn() {
				continue
			}
			if slices.ContainsFunc(b.Columns(), func(column string) bool { return a.Sets[column] != "" }) {
				a.After = append(a.After, b.ID)
			}
		}
		if len(a.After) > 0 {
			a.Note = append(a.Note, "after "+strings.Join(a.After, ", "))
		}
	}
}
