package plan

import (
	"slices"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
	"flangeway/wheel"
)

// Access is a car on a track: whether it may use it, by the verdicts of its wheels at what the track passes.
type Access struct {
	Car  *wheel.Car
	Line *survey.Line
	// Verdict is the worst there is: on a conflict the car may not use the track. A car none of whose wheels was read
	// is not measured.
	Verdict interaction.Verdict
	// Met are the features that are not clear for it, in the order of the run.
	Met []*judge.Met
	// Beyond are the features that lie on the track behind the first one in conflict.
	Beyond []string
	// Behind are tracks that the car may not use and that each of its jobs on this track runs over first.
	Behind []string
}

// May reports whether nothing keeps the car off the track: no conflict there, and none on the way.
func (a *Access) May() bool { return a.Verdict != interaction.Conflict && len(a.Behind) == 0 }

// Accesses are the cars of a result on the tracks of its survey, by car in the order of the fleet and there by track.
// cars limits them, nil takes all.
func Accesses(r *judge.Result, cars []*wheel.Car) []Access {
	sv := r.Engine().Survey
	if cars == nil {
		cars = sv.Fleet.Cars
	}
	met := metBy(r)
	var out []Access
	for _, c := range cars {
		from := len(out)
		for _, l := range sv.Routes.Lines {
			out = append(out, accessOf(c, l, met[c]))
		}
		mine := out[from:]
		before := behind(sv.Routes.Of(c), mine)
		for i := range mine {
			mine[i].Behind = before[mine[i].Line]
		}
	}
	return out
}

// metBy are the pairs that each car meets, by feature.
func metBy(r *judge.Result) map[*wheel.Car]map[string]*judge.Met {
	out := map[*wheel.Car]map[string]*judge.Met{}
	list := r.Met()
	for i := range list {
		m := &list[i]
		if out[m.Car] == nil {
			out[m.Car] = map[string]*judge.Met{}
		}
		out[m.Car][m.Feature.Name()] = m
	}
	return out
}

func accessOf(c *wheel.Car, l *survey.Line, met map[string]*judge.Met) Access {
	a := Access{Car: c, Line: l, Verdict: interaction.Clear}
	if len(met) == 0 { // none of its wheels was read: nothing is known
		a.Verdict = interaction.NotMeasured
		return a
	}
	for _, s := range l.Stops {
		if a.Verdict == interaction.Conflict {
			a.Beyond = append(a.Beyond, s.Features...)
		}
		for _, f := range s.Features {
			m := met[f]
			if m == nil || m.Verdict() == interaction.Clear {
				continue
			}
			a.Met = append(a.Met, m)
			a.Verdict = min(a.Verdict, m.Verdict())
		}
	}
	return a
}

// behind are, by track, those that keep a car off it because each of its jobs there runs over one of them first.
func behind(jobs []*survey.Job, mine []Access) map[*survey.Line][]string {
	barred := map[*survey.Line]bool{}
	for i := range mine {
		barred[mine[i].Line] = mine[i].Verdict == interaction.Conflict
	}
	out, reached := map[*survey.Line][]string{}, map[*survey.Line]bool{}
	for _, j := range jobs {
		var first *survey.Line
		for _, l := range j.Tracks() {
			switch {
			case first == nil:
				reached[l] = true // this job brings it there
			case !slices.Contains(out[l], first.Name):
				out[l] = append(out[l], first.Name)
			}
			if first == nil && barred[l] {
				first = l
			}
		}
	}
	for l, names := range out {
		if slices.Sort(names); reached[l] {
			delete(out, l)
		}
	}
	return out
}

// Rider is a car of a job: whether the job may take it over its route.
type Rider struct {
	Car *wheel.Car
	// Worst is the worst that the car meets on the route; nil if none of its wheels was read.
	Worst  *judge.Met
	Counts [interaction.NumVerdicts]int // pairs on the route
	// Barred are the tracks of the route that it may not use, in the order of the run; Behind are the others that lie
	// behind the first of them.
	Barred, Behind []string
	Tracks         []Access // of the route, in the order of the run, each once
}

// Verdict is the worst of the pairs of the car; not measured if none of its wheels was read.
func (r *Rider) Verdict() interaction.Verdict {
	if r.Worst == nil {
		return interaction.NotMeasured
	}
	return r.Worst.Verdict()
}

// Riders are the cars of a result against the route of a job, the worst first.
func Riders(r *judge.Result, j *survey.Job) []Rider {
	met := metBy(r)
	lines := j.Tracks()
	var out []Rider
	for _, c := range r.Engine().Survey.Fleet.Cars {
		if !j.Takes(c) {
			continue
		}
		x := Rider{Car: c}
		seen := map[string]bool{}
		for _, l := range lines {
			a := accessOf(c, l, met[c])
			switch {
			case a.Verdict == interaction.Conflict:
				x.Barred = append(x.Barred, l.Name)
			case len(x.Barred) > 0:
				x.Behind = append(x.Behind, l.Name)
			}
			x.Tracks = append(x.Tracks, a)
			for _, s := range l.Stops {
				for _, f := range s.Features {
					x.meets(met[c][f], seen[f])
					seen[f] = true
				}
			}
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b Rider) int { return a.compare(&b) })
	return out
}

// compare puts the worse first; a car of which nothing was read leads those that are not measured.
func (r *Rider) compare(o *Rider) int {
	switch {
	case r.Verdict() != o.Verdict(), r.Worst == nil && o.Worst == nil:
		return int(r.Verdict()) - int(o.Verdict())
	case r.Worst == nil:
		return -1
	case o.Worst == nil:
		return 1
	}
	return r.Worst.Compare(o.Worst)
}

// meets takes in what the car meets at a feature of the route, unless it was taken in already.
func (r *Rider) meets(m *judge.Met, again bool) {
	if m == nil || again {
		return
	}
	for v, n := range m.Counts {
		r.Counts[v] += n
	}
	if r.Worst == nil || m.Compare(r.Worst) < 0 {
		r.Worst = m
	}
}

// OnRoute is a survey of the cars that a job takes and of the features that its route passes, for judging these alone.
func OnRoute(sv *survey.Survey, j *survey.Job) *survey.Survey {
	out := *sv
	out.Fleet, out.Track = sv.Fleet.Only(j.Takes), sv.Track.Only(j.Passed())
	if !out.Date.Known() { // what is stale is told against the newest row of all
		for _, w := range sv.Fleet.Wheels {
			out.Date = max(out.Date, w.Date)
		}
		for _, f := range sv.Track.Features {
			out.Date = max(out.Date, f.Date)
		}
	}
	return &out
}

// Fit is a job that takes a car, with the worst verdict over its route.
type Fit struct {
	Job     *survey.Job
	Verdict interaction.Verdict
}

// Fits are the jobs that take a car, by what it meets on their tracks.
func Fits(sv *survey.Survey, c *wheel.Car, tracks []Access) []Fit {
	var out []Fit
	for _, j := range sv.Routes.Of(c) {
		f := Fit{j, interaction.Clear}
		for i := range tracks {
			if tracks[i].Car == c && slices.Contains(j.Lines, tracks[i].Line) {
				f.Verdict = min(f.Verdict, tracks[i].Verdict)
			}
		}
		out = append(out, f)
	}
	return out
}
