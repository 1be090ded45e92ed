package export

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/survey"
)

// Job is a job with its cars on its route.
type Job struct {
	Input
	Job    *survey.Job
	Riders []plan.Rider // the worst first
}

// JobReport is the JSON of job.
type JobReport struct {
	Schema       int        `json:"schema"`
	Program      string     `json:"program"`
	LimitsSHA256 string     `json:"limits_sha256"`
	SurveySHA256 string     `json:"survey_sha256"` // of all sheets, settings and limits
	Survey       SurveyHead `json:"survey"`
	Job          string     `json:"job"`
	Tracks       []string   `json:"tracks"` // in the order of the run
	TripsPerYear float64    `json:"trips_per_year"`
	Summary      Summary    `json:"summary"`
	Cars         []Rider    `json:"cars"` // the worst first
	Locations    []Location `json:"locations"`
	Defaults     []Default  `json:"defaults_used"`
	Warnings     []Warning  `json:"warnings"`
	Cautions     []string   `json:"cautions"`
}

// Rider is a car of the job.
type Rider struct {
	Car         string   `json:"car"`
	Group       string   `json:"group,omitempty"`
	Verdict     string   `json:"verdict"`
	Conflict    int      `json:"conflict"`
	Undecided   int      `json:"undecided"`
	NotMeasured int      `json:"not_measured"`
	Clear       int      `json:"clear"`
	NotOn       []string `json:"not_on"` // tracks that it may not use
	Behind      []string `json:"behind"` // the other tracks behind the first of them
	Worst       *Finding `json:"worst,omitempty"`
	location    string
}

// Access is a car on a track.
type Access struct {
	Track   string     `json:"track"`
	May     bool       `json:"may_use"`
	Verdict string     `json:"verdict"`
	At      []AccessAt `json:"at"`     // what is not clear there, in the order of the run
	Beyond  []string   `json:"beyond"` // what lies on the track behind the first conflict
	Behind  []string   `json:"behind"` // tracks that it may not use and that each of its jobs runs over first
}

// AccessAt is a feature of a track that is not clear for a car.
type AccessAt struct {
	Feature string   `json:"feature"`
	Verdict string   `json:"verdict"`
	Checks  []string `json:"checks"` // in conflict
}

// JobCar is a job that a car belongs to, or could.
type JobCar struct {
	Job     string `json:"job"`
	Verdict string `json:"verdict"` // of the car over the whole route
}

func newAccess(a plan.Access) Access {
	out := Access{Track: a.Line.Name, May: a.May(), Verdict: a.Verdict.String(), At: []AccessAt{},
		Beyond: list(a.Beyond), Behind: list(a.Behind)}
	for _, m := range a.Met {
		out.At = append(out.At, AccessAt{m.Feature.Name(), m.Verdict().String(), list(m.Conflicts)})
	}
	return out
}

func newRider(in Job, r *plan.Rider) Rider {
	out := Rider{Car: r.Car.ID, Group: r.Car.Group, Verdict: r.Verdict().String(),
		Conflict: r.Counts[interaction.Conflict], Undecided: r.Counts[interaction.Undecided],
		NotMeasured: r.Counts[interaction.NotMeasured], Clear: r.Counts[interaction.Clear],
		NotOn: list(r.Barred), Behind: list(r.Behind)}
	if f := Leading(in.Result, r); f != nil {
		x := newFinding(f)
		out.Worst, out.location = &x, f.Feature.Location
	}
	return out
}

// Leading is the worst pair of a car of a job, nil if nothing of it was read.
func Leading(r *judge.Result, x *plan.Rider) *judge.Finding {
	if x.Worst == nil {
		return nil
	}
	return r.WorstOf(x.Worst)
}

// JobJSON writes a job.
func JobJSON(w io.Writer, in Job) error {
	r := newReport(in.Input)
	out := &JobReport{Schema: 1, Program: r.Program, LimitsSHA256: r.LimitsSHA256, SurveySHA256: r.SurveySHA256,
		Survey: r.Survey, Job: in.Job.Name, Tracks: []string{}, TripsPerYear: in.Job.Trips, Summary: r.Summary,
		Cars: []Rider{}, Locations: r.Locations, Defaults: r.Defaults, Warnings: r.Warnings, Cautions: r.Cautions}
	for _, l := range in.Job.Lines {
		out.Tracks = append(out.Tracks, l.Name)
	}
	for i := range in.Riders {
		out.Cars = append(out.Cars, newRider(in, &in.Riders[i]))
	}
	return JSON(w, out)
}

// JobCSV writes a row a car.
func JobCSV(w io.Writer, in Job) error {
	rows := [][]string{{"car", "group", "verdict", "conflict", "undecided", "not_measured", "clear", "not_on", "behind",
		"location", "check", "feature", "position", "margin_mm", "margin_lo_mm", "margin_hi_mm", "margin_deg",
		"margin_lo_deg", "margin_hi_deg", "margin_percent", "margin_lo_percent", "margin_hi_percent", "cause"}}
	for i := range in.Riders {
		r := newRider(in, &in.Riders[i])
		f := Finding{}
		if r.Worst != nil {
			f = *r.Worst
		}
		rows = append(rows,
			[]string{safe(r.Car), safe(r.Group), r.Verdict, strconv.Itoa(r.Conflict), strconv.Itoa(r.Undecided),
				strconv.Itoa(r.NotMeasured), strconv.Itoa(r.Clear), named(r.NotOn), named(r.Behind), safe(r.location),
				f.Check, safe(f.Feature), f.Position, number(f.MarginMM), number(f.MarginLoMM), number(f.MarginHiMM),
				number(f.MarginDeg), number(f.MarginLoDeg), number(f.MarginHiDeg), number(f.MarginPercent),
				number(f.MarginLoPercent), number(f.MarginHiPercent), f.Cause})
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, in.Cautions))
}

// named are names in one cell, as the sheets have them.
func named(list []string) string { return safe(strings.Join(list, "; ")) }

// CarTracks are the tracks of the one car that a check was asked for, with the jobs that take it; nil where the survey
// has no tracks, or not all of the car was judged.
type CarTracks struct {
	Accesses []plan.Access
	Jobs     []plan.Fit
}

func (c *CarTracks) json() (tracks []Access, jobs []JobCar) {
	if c == nil {
		return nil, nil
	}
	for _, a := range c.Accesses {
		tracks = append(tracks, newAccess(a))
	}
	for _, f := range c.Jobs {
		jobs = append(jobs, JobCar{f.Job.Name, f.Verdict.String()})
	}
	return tracks, jobs
}
