package survey

import (
	"cmp"
	"slices"

	"flangeway/internal/measure"
	"flangeway/wheel"
)

// Line is a track of tracks.csv: what is passed on it, in the order of the run.
type Line struct {
	Name  string
	Stops []Stop
	place measure.Place // of its first row
}

// Stop is a row of tracks.csv: a place, or one feature of it.
type Stop struct {
	// Features are the names (frog/F4) of what is passed there.
	Features []string
	// Direction is how switches are passed there: facing, trailing, both; "" is as the switch is run.
	Direction string
}

// Job is a row of jobs.csv: who runs over which tracks, and how often.
type Job struct {
	Name string
	// Lines are its tracks in the order of the run; a track that is run over twice stands there twice.
	Lines []*Line
	// Cars and Groups are its consist, as far as it is known; with neither, any car may be in it.
	Cars, Groups []string
	cars, groups map[string]bool
	// Trips are those of a year; TripsGiven tells those of the sheet from one on each working day.
	Trips      float64
	TripsGiven bool
	place      measure.Place
}

// Anyone reports whether the sheet does not say which cars the job has.
func (j *Job) Anyone() bool { return len(j.Cars)+len(j.Groups) == 0 }

// Takes reports whether a car may be in the job: by its number, by its group, or because nobody says who is.
func (j *Job) Takes(c *wheel.Car) bool {
	return j.Anyone() || j.cars[c.ID] || c.Group != "" && j.groups[c.Group]
}

// Routes are tracks.csv and jobs.csv: what is passed when a track is used, and who uses it. Without the sheets they are
// empty, and every car goes where traffic says.
type Routes struct {
	Lines []*Line // by name
	Jobs  []*Job  // by name
	on    map[string][]*Line
}

// Given reports whether there are tracks at all.
func (r Routes) Given() bool { return len(r.Lines) > 0 }

// Job is a job by its name, nil for none.
func (r Routes) Job(name string) *Job {
	for _, j := range r.Jobs {
		if j.Name == name {
			return j
		}
	}
	return nil
}

// Walk are the features that lie on tracks, each once, by name: track by track as they stand in the sheet.
func (r Routes) Walk() (names []string) {
	seen := map[string]bool{}
	for _, l := range slices.SortedFunc(slices.Values(r.Lines), func(a, b *Line) int {
		return cmp.Compare(a.place.Line, b.place.Line)
	}) {
		for _, s := range l.Stops {
			for _, f := range s.Features {
				if !seen[f] {
					names = append(names, f)
				}
				seen[f] = true
			}
		}
	}
	return names
}

// On are the tracks that a feature lies on.
func (r Routes) On(feature string) []*Line { return r.on[feature] }

// Of are the jobs that take a car.
func (r Routes) Of(c *wheel.Car) (out []*Job) {
	for _, j := range r.Jobs {
		if j.Takes(c) {
			out = append(out, j)
		}
	}
	return out
}

// index notes which tracks each feature lies on.
func (r *Routes) index() {
	r.on = map[string][]*Line{}
	for _, l := range r.Lines {
		for _, s := range l.Stops {
			for _, f := range s.Features {
				r.on[f] = append(r.on[f], l)
			}
		}
	}
}

// Tracks are its tracks, each once, in the order in which the run first comes to them.
func (j *Job) Tracks() (out []*Line) {
	seen := map[*Line]bool{}
	for _, l := range j.Lines {
		if !seen[l] {
			out, seen[l] = append(out, l), true
		}
	}
	return out
}

// Passes calls do for every time that one trip of the job passes a feature, in the order of the run, with the direction
// in which the row has it.
func (j *Job) Passes(do func(l *Line, feature, direction string)) {
	for _, l := range j.Lines {
		for _, s := range l.Stops {
			for _, f := range s.Features {
				do(l, f, s.Direction)
			}
		}
	}
}

// Passed are the features that the job passes.
func (j *Job) Passed() map[string]bool {
	out := map[string]bool{}
	j.Passes(func(_ *Line, feature, _ string) { out[feature] = true })
	return out
}
