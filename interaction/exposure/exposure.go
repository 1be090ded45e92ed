// Package exposure counts how often cars pass places. It feeds the plan, the risk and what a place that shows no mark
// says of a conflict, and no verdict.
package exposure

import (
	"encoding/binary"
	"slices"

	"flangeway/interaction"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Exposure is how often cars pass places: as the jobs that take them run, else as traffic says.
type Exposure struct {
	held    survey.Held
	traffic survey.Traffic
	routes  survey.Routes
	sample  map[string]int // measured cars of a pooled group
	runs    map[*wheel.Car]*run
}

// run is what one car passes by the jobs that take it.
type run struct {
	trips float64 // of those jobs, a year
	// assumed says that a job makes a trip each working day because the sheet gives it none.
	assumed bool
	// passes are those of a feature on one trip of the car: over its jobs, each with its share of the trips.
	passes map[string]passed
}

// passed is how often a feature is passed on a trip.
type passed struct {
	all    float64
	facing float64 // of all, where the sheet of tracks says it is run facing the points
	said   float64 // of all, where it says how it is run
}

// Of is that of a survey.
func Of(sv *survey.Survey) *Exposure {
	e := &Exposure{held: sv.Held, traffic: sv.Traffic, routes: sv.Routes, sample: map[string]int{},
		runs: map[*wheel.Car]*run{}}
	if e.traffic.WorkingDays == 0 && !e.traffic.WorkingDaysGiven {
		e.traffic.WorkingDays = survey.DefaultWorkingDays
	}
	for _, c := range sv.Fleet.Cars {
		if _, pooled := e.traffic.Pool[c.Group]; pooled && c.Group != "" && len(c.AxleList) > 0 {
			e.sample[c.Group]++
		}
	}
	same := map[string]*run{} // by the jobs: cars that go together pass the same
	for _, c := range sv.Fleet.Cars {
		var jobs []*survey.Job
		var which []byte
		for i, j := range sv.Routes.Jobs {
			if j.Takes(c) {
				jobs, which = append(jobs, j), binary.AppendUvarint(which, uint64(i))
			}
		}
		if len(jobs) == 0 {
			continue
		}
		r := same[string(which)]
		if r == nil {
			r = runOf(jobs)
			same[string(which)] = r
		}
		e.runs[c] = r
	}
	return e
}

// runOf is what a car passes by its jobs. One that no job takes goes as it would without the sheet.
func runOf(jobs []*survey.Job) *run {
	r := &run{passes: map[string]passed{}}
	for _, j := range jobs {
		r.trips += j.Trips
		r.assumed = r.assumed || !j.TripsGiven
	}
	for _, j := range jobs {
		if r.trips == 0 {
			break // none of them runs: nothing is passed
		}
		share := j.Trips / r.trips
		j.Passes(func(_ *survey.Line, feature, direction string) {
			x := r.passes[feature]
			x.all += share
			switch direction {
			case "facing":
				x.facing, x.said = x.facing+share, x.said+share
			case "trailing":
				x.said += share
			case "both":
				x.facing, x.said = x.facing+share/2, x.said+share
			}
			r.passes[feature] = x
		})
	}
	return r
}

// run is what a car passes by its jobs at a feature; ok is false where the sheets say nothing: no job takes the car, or
// the feature lies on no track.
func (e *Exposure) run(c *wheel.Car, f *track.Feature) (p passed, ok bool) {
	r := e.runs[c]
	if r == nil || len(e.routes.On(f.Name())) == 0 {
		return p, false
	}
	return r.passes[f.Name()], true
}

// Unsaid reports whether some pass of a feature is told by no track that says how it is run.
func (e *Exposure) Unsaid(f *track.Feature) bool {
	lines := e.routes.On(f.Name())
	for _, l := range lines {
		for _, s := range l.Stops {
			if s.Direction == "" && slices.Contains(s.Features, f.Name()) {
				return true
			}
		}
	}
	return len(lines) == 0 || len(e.routes.Jobs) == 0
}

// Traffic is what the railroad says of its traffic, with a day of work for what it does not.
func (e *Exposure) Traffic() survey.Traffic { return e.traffic }

// Jobs reports whether a job takes the car, and whether one of those has its trips from no sheet.
func (e *Exposure) Jobs(c *wheel.Car) (any, assumed bool) {
	r := e.runs[c]
	return r != nil, r != nil && r.assumed
}

// OnTrack reports whether the sheet of tracks has the feature.
func (e *Exposure) OnTrack(f *track.Feature) bool { return len(e.routes.On(f.Name())) > 0 }

// Meets reports whether a car goes to a place at all.
func (e *Exposure) Meets(c *wheel.Car, f *track.Feature) bool {
	if e.held.From(c, f) {
		return false
	}
	if p, ok := e.run(c, f); ok {
		return p.all > 0
	}
	return e.traffic.Goes(c, f.Location)
}

// Trips is how many trips a year a car stands for; if its group is a pool, the pool's share of one measured car.
func (e *Exposure) Trips(c *wheel.Car) float64 {
	if n := e.sample[c.Group]; n > 0 {
		return e.traffic.Pool[c.Group] / float64(n)
	}
	return e.Own(c)
}

// Pooled reports whether the car is one of a sample.
func (e *Exposure) Pooled(c *wheel.Car) bool { return e.sample[c.Group] > 0 }

// Own is how many trips a year the car itself makes: of trips_per_year, though no more than its jobs make, else those
// of its jobs, else a trip a working day, else, if it is one of a pool, one.
func (e *Exposure) Own(c *wheel.Car) float64 {
	switch r := e.runs[c]; {
	case r != nil && c.TripsPerYear > 0:
		return min(c.TripsPerYear, r.trips)
	case r != nil && !e.Pooled(c):
		return r.trips
	case c.TripsPerYear > 0:
		return c.TripsPerYear
	case e.Pooled(c):
		return 1
	}
	return e.traffic.WorkingDays
}

// facing is the share of passes over a feature that count for a check: those that face a switch, if the check is one
// of facing moves.
func (e *Exposure) facing(c *interaction.Check, f *track.Feature) float64 {
	if !c.NoTrailing || f.Kind != track.Switch {
		return 1
	}
	if v, ok := e.traffic.Facing[f.Name()]; ok {
		return v
	}
	if v, ok := e.traffic.Facing[f.Location]; ok {
		return v
	}
	if f.Direction == "facing" {
		return 1
	}
	return 0.5
}

// PerTrip is how many passes of a feature a trip of a car makes that count for a check.
func (e *Exposure) PerTrip(c *interaction.Check, car *wheel.Car, f *track.Feature) float64 {
	if p, ok := e.run(car, f); ok {
		if !c.NoTrailing || f.Kind != track.Switch {
			return p.all
		}
		return p.facing + (p.all-p.said)*e.facing(c, f)
	}
	n := 1.0
	if v, ok := e.traffic.Pass[f.Location]; ok {
		n = v
	}
	return n * e.facing(c, f)
}
