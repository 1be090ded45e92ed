// Package export writes a judged survey as JSON and CSV. It takes values and computes nothing.
package export

import (
	"encoding/json"
	"math"
	"slices"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// Input is everything that a report of a check prints.
type Input struct {
	Program  string
	Survey   *survey.Survey
	Book     *limit.Book
	Result   *judge.Result
	Places   []Place        // by name
	First    *judge.Finding // the worst of all; nil if nothing conflicts or is undecided
	Faults   []judge.WheelFault
	Open     []judge.Unsettled // readings to take next
	Asked    []judge.Unsettled // what is to be filled in, though it decides no pair
	Defaults []configs.Setting // that entered
	AllPairs bool
	Before   *Report // an earlier report to compare with, or nil
	// Risks are those of the locations that are shown, the worst first.
	Risks    []plan.Risk
	Cautions []string
	// WhatIf is the edit that was tried, with the result before; nil for the survey as it is.
	WhatIf *WhatIf
	// Plan is the part of a workbook on what to do; nil if it was not asked for.
	Plan *plan.Plan
	// Orders and Sheet are its work orders by crew and the lines of the car department's sheet.
	Orders []plan.Order
	Sheet  []plan.CarLine
	// Tracks are those of the one car that was asked for, or nil.
	Tracks *CarTracks
}

// Place is a location with the worst pair of each check and feature, in the order in which they are listed, and with
// what mends them.
type Place struct {
	judge.Location
	Findings []*judge.Finding
}

// WhatIf is an attempt with the result without it.
type WhatIf struct {
	Edits  []string
	Notes  []string // what moved along
	Before *judge.Result
	Risks  []plan.Risk // before
}

// Report is the JSON of check. An absent key means unknown.
type Report struct {
	Schema       int         `json:"schema"`
	Program      string      `json:"program"`
	LimitsSHA256 string      `json:"limits_sha256"`
	SurveySHA256 string      `json:"survey_sha256"` // of all sheets, settings and limits
	Survey       SurveyHead  `json:"survey"`
	Summary      Summary     `json:"summary"`
	Locations    []Location  `json:"locations"`
	Limits       []Limit     `json:"limits"`
	Track        []Class     `json:"track"`
	Unsettled    []Unsettled `json:"unsettled"`
	Defaults     []Default   `json:"defaults_used"`
	Warnings     []Warning   `json:"warnings"`
	Changes      []Change    `json:"changes,omitempty"`
	WhatIf       *Tried      `json:"what_if,omitempty"`
	CarTracks    []Access    `json:"car_tracks,omitempty"` // with --car, if the survey has tracks
	CarJobs      []JobCar    `json:"car_jobs,omitempty"`
	Cautions     []string    `json:"cautions"`
}

// Tried is the summary of a check without and with the edits of --what-if; the rest of the report is with them.
type Tried struct {
	Edits  []string `json:"edits"`
	Notes  []string `json:"notes,omitempty"` // what moved along
	Before Summary  `json:"before"`
	After  Summary  `json:"after"`
}

// SurveyHead says what was read.
type SurveyHead struct {
	Railroad  string `json:"railroad,omitempty"`
	Date      string `json:"date,omitempty"`
	Cars      int    `json:"cars"`
	Wheels    int    `json:"wheels"`
	Locations int    `json:"locations"`
}

// Summary counts all pairs.
type Summary struct {
	Pairs       int     `json:"pairs"`
	Conflict    int     `json:"conflict"`
	Undecided   int     `json:"undecided"`
	Clear       int     `json:"clear"`
	NotMeasured int     `json:"not_measured"`
	BothLegal   int     `json:"both_legal_conflicts"`
	ByCause     ByCause `json:"by_cause"`
	Problems    int     `json:"problems"`
	// Lifted counts the conflicts by the plain rule that are none by what is computed; nil if nothing is.
	Lifted *int `json:"lifted,omitempty"`
}

// ByCause counts conflicts by cause.
type ByCause struct {
	Place int `json:"place"`
	Wheel int `json:"wheel"`
	Pair  int `json:"pair"`
}

// Location is one place with its findings.
type Location struct {
	Location string    `json:"location"`
	Risk     Risk      `json:"risk"`
	Findings []Finding `json:"findings"`
}

// Risk is how bad a location is among those of the report, 1 the worst.
type Risk struct {
	Rank   int    `json:"rank"`
	Of     int    `json:"of"`
	Reason string `json:"reason"`
	Harm   Harm   `json:"harm"`
	// FirstInPercent is in how many percent of the draws of what is assumed the place is the first.
	FirstInPercent float64 `json:"first_in_percent"`
	NotKnown       int     `json:"not_known"` // pairs that were not measured
	// Logged is the record of the place in the railroad's own log; absent if it does not name it.
	Logged *Logged `json:"logged,omitempty"`
}

// Logged is how many accidents happened in how many years, and what harm is multiplied by for it.
type Logged struct {
	Accidents int     `json:"accidents"`
	Years     float64 `json:"years"`
	Factor    float64 `json:"factor"`
}

// Harm is the expected cost of a place, in the currency a year.
type Harm struct {
	Low  float64 `json:"low"`
	Mid  float64 `json:"mid"`
	High float64 `json:"high"`
}

// UnmarshalJSON also takes the words that earlier versions wrote.
func (r *Risk) UnmarshalJSON(b []byte) error {
	if json.Unmarshal(b, &r.Reason) == nil {
		return nil
	}
	type plain Risk
	return json.Unmarshal(b, (*plain)(r))
}

// Finding is one pair.
type Finding struct {
	Check               string     `json:"check"`
	Feature             string     `json:"feature"`
	Car                 string     `json:"car"`
	Position            string     `json:"position"`
	Verdict             string     `json:"verdict"`
	PlainVerdict        string     `json:"plain_verdict,omitempty"`
	Cause               string     `json:"cause"`
	Close               bool       `json:"close,omitempty"`
	Stale               bool       `json:"stale,omitempty"`
	MarginMM            *float64   `json:"margin_mm,omitempty"`
	MarginLoMM          *float64   `json:"margin_lo_mm,omitempty"`
	MarginHiMM          *float64   `json:"margin_hi_mm,omitempty"`
	MarginDeg           *float64   `json:"margin_deg,omitempty"`
	MarginLoDeg         *float64   `json:"margin_lo_deg,omitempty"`
	MarginHiDeg         *float64   `json:"margin_hi_deg,omitempty"`
	MarginPercent       *float64   `json:"margin_percent,omitempty"`
	MarginLoPercent     *float64   `json:"margin_lo_percent,omitempty"`
	MarginHiPercent     *float64   `json:"margin_hi_percent,omitempty"`
	Unloading           *Unloading `json:"unloading,omitempty"`
	Computed            *Computed  `json:"computed,omitempty"`
	Readings            []Reading  `json:"readings"`
	WheelWithinLimits   string     `json:"wheel_within_limits,omitempty"`
	TrackWithinLimits   string     `json:"track_within_limits,omitempty"`
	AtLimit             bool       `json:"at_limit,omitempty"`
	WheelWithinPractice string     `json:"wheel_within_practice,omitempty"`
	TrackWithinPractice string     `json:"track_within_practice,omitempty"`
	WheelsSharing       int        `json:"wheels_sharing"`
	SettleBy            []string   `json:"settle_by"`
	FixWheel            []string   `json:"fix_wheel"`
	FixTrack            []string   `json:"fix_track"`
	Evidence            []Evidence `json:"evidence,omitempty"`
	Notes               []string   `json:"notes,omitempty"`
	Sources             []string   `json:"sources"`
}

// Evidence is what was seen at a place or a wheel and tells against what the readings say; passes are the conflicting
// passes a year that left no mark.
type Evidence struct {
	Where  string   `json:"where"`
	Column string   `json:"column"`
	Word   string   `json:"word"`
	Says   string   `json:"says"`
	Asks   []string `json:"asks"`
	Passes float64  `json:"passes,omitempty"`
}

// Computed is the verdict of a pair by shapes and forces.
type Computed struct {
	Margin    *float64 `json:"margin,omitempty"`
	Unit      string   `json:"unit,omitempty"`
	Mechanism string   `json:"mechanism,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	High      *float64 `json:"high,omitempty"`
	Why       string   `json:"why"`
}

// Reading is one reading that a finding rests on. Angles stand in lo_deg, hi_deg.
type Reading struct {
	Side      string   `json:"side"`
	Quantity  string   `json:"quantity"`
	Of        string   `json:"of,omitempty"`
	AsWritten string   `json:"as_written,omitempty"`
	LoMM      *float64 `json:"lo_mm,omitempty"`
	HiMM      *float64 `json:"hi_mm,omitempty"`
	LoDeg     *float64 `json:"lo_deg,omitempty"`
	HiDeg     *float64 `json:"hi_deg,omitempty"`
	File      string   `json:"file,omitempty"`
	Line      int      `json:"line,omitempty"`
	Default   bool     `json:"default,omitempty"`
	From      string   `json:"from,omitempty"`
}

// Limit is one reading against one rule.
type Limit struct {
	Rule     string `json:"rule"`
	Set      string `json:"set"`
	Subject  string `json:"subject"`
	Where    string `json:"where"`
	Location string `json:"location,omitempty"`
	Quantity string `json:"quantity"`
	Reading  string `json:"reading,omitempty"`
	Limit    string `json:"limit"`
	Verdict  string `json:"verdict"`
	Action   string `json:"action"`
	Note     string `json:"note,omitempty"`
	Source   string `json:"source"`
	Sure     string `json:"sure,omitempty"`
	Edition  string `json:"edition,omitempty"`
	Kind     string `json:"kind"`
}

// Class is the track class that a feature meets.
type Class struct {
	Location   string   `json:"location"`
	Feature    string   `json:"feature"`
	ClassMet   string   `json:"class_met,omitempty"`
	ClassMost  string   `json:"class_at_most,omitempty"`
	NotRead    []string `json:"not_read"`
	AtLimit    bool     `json:"at_limit,omitempty"`
	NextNeeds  []string `json:"next_class_needs"`
	CurveSpeed *int     `json:"curve_speed_mph,omitempty"`
}

// Unsettled is a reading to take next.
type Unsettled struct {
	Reading string `json:"reading"`
	Where   string `json:"where"`
	Pairs   int    `json:"pairs"`
}

// Default is a setting that entered without being the railroad's own.
type Default struct {
	Setting string `json:"setting"`
	Value   string `json:"value"`
	Source  string `json:"source"`
	Kind    string `json:"kind"`
}

// Warning is something odd but possible in the input.
type Warning struct {
	File string `json:"file"`
	Line int    `json:"line,omitempty"`
	Text string `json:"text"`
}

// Change is a finding that is new, gone or different since an earlier report, for one check at one feature.
type Change struct {
	Location string `json:"location"`
	Feature  string `json:"feature"`
	Check    string `json:"check"`
	What     string `json:"what"` // new, gone, worse, better, changed
	Was      string `json:"was,omitempty"`
	Now      string `json:"now,omitempty"`
}

// harmOf rounds harm to hundredths.
func harmOf(x plan.Harm) Harm { return Harm{cent(x.Low), cent(x.Mid), cent(x.High)} }

func cent(v float64) float64 { return math.Round(100*v) / 100 }

// newReport makes the report of an input; without AllPairs it holds the worst pair of each check and feature. With
// AllPairs the findings are left to be streamed.
func newReport(in Input) *Report {
	r := &Report{Schema: 1, Program: in.Program, LimitsSHA256: in.Book.SHA256(), SurveySHA256: in.Survey.Sum(in.Book),
		Cautions: in.Cautions, Locations: []Location{}, Limits: []Limit{}, Track: []Class{}, Unsettled: []Unsettled{},
		Defaults: []Default{}, Warnings: []Warning{}}
	sv, s := in.Survey, in.Result.Summary
	r.Survey = SurveyHead{Railroad: sv.Railroad, Date: sv.Date.String(), Cars: len(sv.Fleet.Cars),
		Wheels: len(sv.Fleet.Wheels), Locations: sv.Locations()}
	r.Summary = summary(s)
	if in.WhatIf != nil {
		r.WhatIf = &Tried{Edits: in.WhatIf.Edits, Notes: in.WhatIf.Notes, Before: summary(in.WhatIf.Before.Summary),
			After: r.Summary}
	}
	risks := map[string]Risk{}
	for _, x := range in.Risks {
		risks[x.Location] = Risk{x.Rank, x.Of, x.Reason, harmOf(x.Harm), x.FirstPercent, x.NotKnown, nil}
		if g := x.Logged; g != nil {
			risk := risks[x.Location]
			risk.Logged = &Logged{g.Accidents, g.Years, math.Round(1000*g.Factor) / 1000}
			risks[x.Location] = risk
		}
	}
	for _, l := range in.Places {
		loc := Location{Location: l.Name, Risk: risks[l.Name], Findings: []Finding{}}
		if !in.AllPairs {
			for _, f := range l.Findings {
				loc.Findings = append(loc.Findings, newFinding(f))
			}
		}
		r.Locations = append(r.Locations, loc)
	}
	for _, l := range in.Result.Limits {
		r.Limits = append(r.Limits, newLimit(l))
	}
	for _, t := range in.Result.Track {
		r.Track = append(r.Track, newClass(t))
	}
	for _, u := range append(slices.Clone(in.Open), in.Asked...) {
		r.Unsettled = append(r.Unsettled, Unsettled{u.Reading, u.Where, u.Pairs})
	}
	for _, d := range in.Defaults {
		r.Defaults = append(r.Defaults, Default{d.Name, d.Text(), d.Source, d.Kind})
	}
	for _, w := range sv.Warnings {
		r.Warnings = append(r.Warnings, Warning{w.Place.Source(), w.Place.Line, w.Text})
	}
	r.CarTracks, r.CarJobs = in.Tracks.json()
	if in.Before != nil {
		r.Changes = Changes(in.Before, in)
	}
	return r
}

func newLimit(l judge.LimitFinding) Limit {
	return Limit{Rule: l.Rule, Set: l.Set, Subject: l.Subject, Where: l.Where, Location: l.Place, Quantity: l.Quantity,
		Reading: l.Reading, Limit: l.Limit, Verdict: string(l.Verdict), Action: l.Action, Note: l.Note,
		Source: l.Source, Sure: l.Sure, Edition: l.Edition, Kind: l.Kind}
}

// newClass is the class of a feature: met, or at most so much if a reading that the class needs was not taken.
func newClass(t judge.ClassFinding) Class {
	c := Class{Location: t.Location, Feature: t.Feature, NotRead: list(t.Met.NotRead), AtLimit: t.Met.AtLimit,
		NextNeeds: list(t.Met.NextNeeds), CurveSpeed: t.Speed}
	if len(t.Met.NotRead) > 0 {
		c.ClassMost = t.Met.Class
	} else {
		c.ClassMet = t.Met.Class
	}
	return c
}

func summary(s judge.Summary) Summary {
	return Summary{Pairs: s.Pairs, Conflict: s.Count(interaction.Conflict), Undecided: s.Count(interaction.Undecided),
		Clear: s.Count(interaction.Clear), NotMeasured: s.Count(interaction.NotMeasured), BothLegal: s.BothLegal,
		ByCause: ByCause{s.ByCause[interaction.CausePlace], s.ByCause[interaction.CauseWheel],
			s.ByCause[interaction.CausePair]}, Problems: s.AllProblems(), Lifted: lifted(s)}
}

func lifted(s judge.Summary) *int {
	if !s.Computed {
		return nil
	}
	return &s.Lifted
}

// newFinding turns a finding into its JSON form.
func newFinding(f *judge.Finding) Finding {
	out := Finding{Check: f.Check.ID, Feature: f.Feature.Name(),
		Car: f.Wheel.Car.ID, Position: f.Wheel.Position.String(), Verdict: f.Verdict.String(), Cause: string(f.Cause),
		Close: f.Close, Stale: f.Stale, Readings: []Reading{}, WheelWithinLimits: string(f.WheelWithinLimits),
		TrackWithinLimits: string(f.TrackWithinLimits), AtLimit: f.AtLimit,
		WheelWithinPractice: string(f.WheelWithinPractice), TrackWithinPractice: string(f.TrackWithinPractice),
		WheelsSharing: f.Sharing, SettleBy: list(f.Settle()), FixWheel: list(f.FixWheel), FixTrack: list(f.FixTrack),
		Notes: f.Notes, Sources: f.Check.Sources}
	if k := f.Computed; k != nil {
		out.PlainVerdict = f.Plain.String()
		out.Computed = &Computed{Unit: k.Unit, Mechanism: k.Mechanism, Why: k.Why}
		if k.Mechanism != "" {
			out.Computed.Low, out.Computed.High = plain(&k.Low), plain(&k.High)
			if !math.IsNaN(k.Margin) {
				out.Computed.Margin = plain(&k.Margin)
			}
		}
	}
	if f.Unmarked() {
		out.PlainVerdict = f.Plain.String()
	}
	for _, v := range f.Evidence {
		out.Evidence = append(out.Evidence, Evidence{v.Where, v.Column, v.Word, v.Says, v.Asks, v.Passes})
	}
	m := f.Margin
	switch {
	case m.Percent:
		out.MarginPercent, out.MarginLoPercent, out.MarginHiPercent = plain(m.As), plain(m.Lo), plain(m.Hi)
	case m.Degrees:
		out.MarginDeg, out.MarginLoDeg, out.MarginHiDeg = plain(m.As), plain(m.Lo), plain(m.Hi)
	default:
		out.MarginMM, out.MarginLoMM, out.MarginHiMM = plain(m.As), plain(m.Lo), plain(m.Hi)
	}
	if s := f.Unloading; s != nil {
		out.Unloading = NewUnloading(*s)
	}
	for _, r := range f.Readings {
		out.Readings = append(out.Readings, newReading(r))
	}
	return out
}

func newReading(r interaction.Entered) Reading {
	lo, hi := r.Reading.Lo, r.Reading.Hi
	side := r.Side
	if side == "" {
		side = "setting"
	}
	out := Reading{Side: side, Quantity: r.Quantity, Of: r.Of, AsWritten: r.Reading.Written, Default: r.Default,
		From: r.From, File: r.Reading.Place.Source(), Line: r.Reading.Place.Line}
	if r.Reading.Form == measure.Missing {
		return out
	}
	switch {
	case r.Figure:
	case r.Angular:
		out.LoDeg, out.HiDeg = plain(&lo), plain(&hi)
	default:
		out.LoMM, out.HiMM = plain(&lo), plain(&hi)
	}
	return out
}

func list(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

// plain is Rounded of a value that may be absent.
func plain(v *float64) *float64 {
	if v == nil {
		return nil
	}
	r := Rounded(*v)
	return &r
}
