package plan

import (
	"slices"
	"strings"

	"flangeway/internal/survey"
	"flangeway/track"
)

// A switch over which nobody runs facing has no flange that climbs or picks its points: it is lined, locked, and run
// trailing only. That is how it is run, not a work on it, and is paid every year.

// trailingOnly is the name of its cost.
const trailingOnly = "trailing_only"

// mayTrail reports whether a switch may be run trailing only: it is run both ways, no track of tracks.csv says that
// it is run facing there, since its jobs could not be done then, and facing moves are not all that it has.
func mayTrail(sv *survey.Survey, f *track.Feature) bool {
	if f.Kind != track.Switch || f.Direction != "both" || sv.Traffic.Facing[f.Name()] == 1 ||
		sv.Traffic.Facing[f.Location] == 1 {
		return false
	}
	for _, l := range sv.Routes.On(f.Name()) {
		for _, s := range l.Stops {
			if (s.Direction == "facing" || s.Direction == "both") && slices.Contains(s.Features, f.Name()) {
				return false
			}
		}
	}
	return true
}

// trailed adds to each draft that leaves the points as they are that the switch is run trailing only.
func (s *workshop) trailed(list []draft, c choices) []draft {
	if !c.trail || !mayTrail(s.sv, s.f) {
		return list
	}
	out := list
	for _, d := range list {
		if slices.ContainsFunc(d.acts, func(a Action) bool { return strings.HasPrefix(a.Work, "point") }) {
			continue
		}
		d.trailing = true
		out = append(out, d)
	}
	return out
}

// runTrailing is a switch that is run trailing only.
func runTrailing(f *track.Feature) *track.Feature {
	g := *f
	g.Direction = "trailing"
	return &g
}

// trailingAction is the order for it.
func trailingAction(sv *survey.Survey, f *track.Feature) Action {
	a := work(sv.Costs, trailingOnly)
	a.Side, a.Where, a.Location = Track, f.Name(), f.Location
	a.Sets = map[string]string{"direction": "trailing"}
	a.What = "line and lock the switch, and run it trailing only: no facing move over it"
	var jobs []string
	for _, j := range sv.Routes.Jobs {
		if j.Passed()[f.Name()] {
			jobs = append(jobs, j.Name)
		}
	}
	if len(jobs) > 0 {
		a.Note = append(a.Note, "jobs that pass it: "+strings.Join(jobs, ", ")+"; see that each can go round")
	}
	return a
}
