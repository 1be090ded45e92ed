package main

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// judged is a survey with its book, its result and all that is printed of it.
type judged struct {
	export.Input
	assessment *plan.Assessment // that the risks are of
}

// readSurvey reads a survey and overlays its limit sets.
func readSurvey(dir string) (*survey.Survey, *limit.Book, error) {
	sv, err := survey.Read(dir)
	if err != nil {
		return nil, nil, err
	}
	book, err := sv.Book()
	if err != nil {
		return nil, nil, err
	}
	return sv, book, nil
}

// engineFor prepares a survey for judging, by the plain rules alone or with what can be
// computed; the wheels whose readings contradict each other become warnings of the survey.
func engineFor(sv *survey.Survey, book *limit.Book, opt interaction.Options, plain bool) (*judge.Engine, error) {
	engine := judge.New(sv, book, opt)
	if plain {
		return engine, nil
	}
	warnings, err := engine.Compute()
	sv.Warnings = append(sv.Warnings, warnings...)
	return engine, err
}

// engineBeside prepares a survey with edits for judging as it was judged without them.
func engineBeside(sv *survey.Survey, before *judge.Engine, opt interaction.Options) (*judge.Engine, error) {
	engine := judge.New(sv, before.Book, opt)
	warnings, err := engine.ComputeBeside(before)
	sv.Warnings = append(sv.Warnings, warnings...)
	return engine, err
}

// judge reads and judges the survey, as it is and with the edits that are tried, and finds
// whatever is printed of the result.
func (o checkOptions) judge(work *progress, dir string) (j judged, err error) {
	if j.Survey, j.Book, err = readSurvey(dir); err != nil {
		return j, err
	}
	if err := known(j.Survey, o); err != nil {
		return j, err
	}
	if o.since != "" {
		if j.Before, err = readReport(o.since); err != nil {
			return j, err
		}
	}
	opt := interaction.Options{Location: o.location, Car: o.car, Check: o.check, Progress: work.steps}
	if len(o.whatIf) > 0 {
		j.WhatIf = &export.WhatIf{Edits: o.whatIf}
		engine, err := engineFor(j.Survey, j.Book, opt, o.plain)
		if err != nil {
			return j, err
		}
		j.WhatIf.Before = engine.Judge()
		if _, j.WhatIf.Risks, err = assessed(j.WhatIf.Before); err != nil {
			return j, err
		}
		if j.Survey, j.WhatIf.Notes, err = whatIf(j.Survey, o.whatIf, func() (*plan.Plan, error) {
			whole, err := engineFor(j.Survey, j.Book, interaction.Options{}, o.plain)
			if err != nil {
				return nil, err
			}
			return plan.Make(whole, plan.Options{Level: plan.LevelConflict, NoCurve: true})
		}); err != nil {
			return j, err
		}
	}
	work.at("judging " + paper.Count(len(j.Survey.Fleet.Wheels)) + " wheels on " +
		paper.Count(len(j.Survey.Track.Features)) + " places")
	var engine *judge.Engine
	if j.WhatIf != nil {
		engine, err = engineBeside(j.Survey, j.WhatIf.Before.Engine(), opt)
	} else {
		engine, err = engineFor(j.Survey, j.Book, opt, o.plain)
	}
	if err != nil {
		return j, err
	}
	j.Result, j.AllPairs = engine.Judge(), o.allPairs
	if o.car != "" && o.location == "" && o.check == "" { // part of what the car meets would not tell where it may go
		j.Tracks = carTracks(j.Result, o.car)
	}
	work.at("finding what mends the worst pairs")
	return j, j.find(o.allPairs && o.since == "" && o.draw == "" && o.format != "text" && o.format != "markdown")
}

// find collects what is printed of the result. What mends a finding is tried here, on the shapes and forces that its
// verdict comes from, because whoever prints computes nothing; pairsAlone says that no worst pair is printed.
func (j *judged) find(pairsAlone bool) (err error) {
	r := j.Result
	j.Program, j.Cautions = "flangeway "+version(), caution.OfSurvey(j.Survey)
	for _, l := range r.Locations() {
		place := export.Place{Location: l}
		if !pairsAlone {
			place.Findings = r.WorstAt(l)
		}
		j.Places = append(j.Places, place)
	}
	j.Faults, j.Open, j.Asked, j.Defaults = r.WheelFaults(), r.Unsettled(), r.Asked(),
		r.DefaultsUsed()
	if j.assessment, j.Risks, err = assessed(r); err != nil {
		return err
	}
	j.First = plan.Leading(r, j.Risks)
	return nil
}

// carTracks says which tracks a car may use, nil if the survey has none.
func carTracks(r *judge.Result, id string) *export.CarTracks {
	sv := r.Engine().Survey
	car := sv.Fleet.Car(id)
	if car == nil || !sv.Routes.Given() {
		return nil
	}
	out := &export.CarTracks{Accesses: plan.Accesses(r, []*wheel.Car{car})}
	out.Jobs = plan.Fits(sv, car, out.Accesses)
	return out
}

// assessed is the assessment of a result, and its locations by rank, the worst first.
func assessed(r *judge.Result) (*plan.Assessment, []plan.Risk, error) {
	a, err := plan.Assess(r.Engine())
	if err != nil {
		return nil, nil, err
	}
	list, err := plan.Risks(r, a)
	return a, list, err
}

// reWork is an id of a work of the plan as an edit: T4, or carry out T4.
var reWork = regexp.MustCompile(`^(?:(?:carry out|do) )?([TC][0-9]+)$`)

// whatIf tries edits; one that cannot be tried is a mistake on the command line. of is the plan whose works may be
// carried out.
func whatIf(sv *survey.Survey, edits []string, of func() (*plan.Plan, error)) (*survey.Survey, []string, error) {
	var all []string
	var p *plan.Plan
	for _, e := range edits {
		m := reWork.FindStringSubmatch(strings.Join(strings.Fields(e), " "))
		if m == nil {
			all = append(all, e)
			continue
		}
		var err error
		if p == nil {
			if p, err = of(); err != nil {
				return nil, nil, err
			}
		}
		carried, err := p.Edits(m[1])
		if err != nil {
			return nil, nil, usagef("--what-if: %v", err)
		}
		all = append(all, carried...)
	}
	out, notes, err := plan.WhatIf(sv, all)
	if errors.Is(err, plan.ErrWhatIf) {
		return nil, nil, usagef("--what-if: %v", err)
	}
	return out, notes, err
}

// fails reports whether something at or above the level was found.
func (j judged) fails(level string) bool {
	s := j.Result.Summary
	switch level {
	case "never":
		return false
	case "unmeasured":
		if s.Count(interaction.NotMeasured) > 0 {
			return true
		}
		fallthrough
	case "undecided":
		if s.Count(interaction.Undecided) > 0 {
			return true
		}
		fallthrough
	case "limit":
		if j.Result.Beyond() > 0 {
			return true
		}
	}
	return s.Count(interaction.Conflict) > 0
}

// known refuses a --location or --car that the survey does not have, rather than
// printing an empty, clean looking table.
func known(sv *survey.Survey, o checkOptions) error {
	if err := knownLocation(sv, o); err != nil {
		return err
	}
	if o.car != "" && sv.Fleet.Car(o.car) == nil {
		cars := each.Of(sv.Fleet.Cars, func(c *wheel.Car) string { return c.ID })
		return usagef("--car %q is not a car of the survey%s", o.car, offer(o.car, cars))
	}
	return nil
}

// maxOffered is up to how many known names an error lists.
const maxOffered = 16

// offer names the known name that one is mistyped for, else all of a short list.
func offer(name string, known []string) string {
	if near := measure.Nearest(name, known); near != "" {
		return fmt.Sprintf(" (did you mean %q?)", near)
	}
	if len(known) == 0 || len(known) > maxOffered {
		return ""
	}
	return " (one of " + strings.Join(known, ", ") + ")"
}

func knownLocation(sv *survey.Survey, o checkOptions) error {
	if o.location == "" || slices.ContainsFunc(sv.Track.Features,
		func(f *track.Feature) bool { return f.Location == o.location }) {
		return nil
	}
	known := each.Of(sv.Track.Features, func(f *track.Feature) string { return f.Location })
	slices.Sort(known)
	return usagef("--location %q is not a location of the survey%s", o.location,
		offer(o.location, slices.Compact(known)))
}
