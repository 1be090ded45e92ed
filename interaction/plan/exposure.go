package plan

import (
	"flangeway/interaction"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Exposure is how often cars pass places.
type Exposure struct {
	traffic survey.Traffic
	sample  map[string]int // measured cars of a pooled group
}

// newExposure counts the measured cars of each pooled group.
func newExposure(sv *survey.Survey) *Exposure {
	e := &Exposure{traffic: sv.Traffic, sample: map[string]int{}}
	if e.traffic.WorkingDays == 0 && !e.traffic.WorkingDaysGiven {
		e.traffic.WorkingDays = survey.DefaultWorkingDays
	}
	for _, c := range sv.Fleet.Cars {
		if _, pooled := e.traffic.Pool[c.Group]; pooled && c.Group != "" && len(c.AxleList) > 0 {
			e.sample[c.Group]++
		}
	}
	return e
}

// Meets reports whether a car goes to a place at all.
func (e *Exposure) Meets(c *wheel.Car, f *track.Feature) bool { return e.traffic.Goes(c, f.Location) }

// Trips is how many trips a year a car stands for; if its group is a pool, the pool's share of one measured car.
func (e *Exposure) Trips(c *wheel.Car) float64 {
	if n := e.sample[c.Group]; n > 0 {
		return e.traffic.Pool[c.Group] / float64(n)
	}
	return e.Own(c)
}

// Pooled reports whether the car is one of a sample.
func (e *Exposure) Pooled(c *wheel.Car) bool { return e.sample[c.Group] > 0 }

// Own is how many trips a year the car itself makes: of trips_per_year, else a trip a working day, else, if it is
// one of a pool, one.
func (e *Exposure) Own(c *wheel.Car) float64 {
	switch {
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

// PerTrip is how many passes of a feature a trip makes that count for a check.
func (e *Exposure) PerTrip(c *interaction.Check, f *track.Feature) float64 {
	n := 1.0
	if v, ok := e.traffic.Pass[f.Location]; ok {
		n = v
	}
	return n * e.facing(c, f)
}
