package judge

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/shaped"
	"flangeway/internal/limit"
	"flangeway/wheel"
)

// Summary counts all pairs.
type Summary struct {
	Pairs      int
	Counts     [interaction.NumVerdicts]int
	BothLegal  int // conflicts of cause pair that no regulation stops on either side
	ByCause    map[interaction.Cause]int
	AllPlaces  int // locations with any pair
	Unknown    int // locations with a pair that is undecided or not measured
	WheelFault int // wheels that conflict even on an unworn place
	// Problems counts the faults to mend: a check and feature is one for the place if the place is at fault, and one
	// for the pairs that conflict only together; a check and wheelset is one if the wheel is at fault, wherever it
	// runs.
	Problems map[interaction.Cause]int
	// Computed says that verdicts are computed from shapes and forces too, and Lifted counts the conflicts by the plain
	// rule that are none then.
	Computed bool
	Lifted   int
}

// AllProblems is the number of problems of all causes.
func (s Summary) AllProblems() int {
	return s.Problems[interaction.CausePlace] + s.Problems[interaction.CauseWheel] + s.Problems[interaction.CausePair]
}

// Count is the number of pairs with a verdict.
func (s Summary) Count(v interaction.Verdict) int { return s.Counts[v] }

// Result is a judged survey.
type Result struct {
	Summary   Summary
	Tallies   []Tally
	Limits    []LimitFinding
	Track     []ClassFinding
	engine    *Engine
	unsettled *unsettled
	asked     map[Unsettled]bool
	axles     map[faultyAxle]bool // with a conflict by the wheel's fault
}

// faultyAxle is an axle at fault at a check.
type faultyAxle struct {
	check int
	axle  *wheel.Axle
}

// LimitFinding is one reading against one rule of the effective book.
type LimitFinding struct {
	Rule     string
	Set      string
	Subject  string
	Side     string // wheel or track
	Where    string
	Place    string // the location of a feature; "" for a wheel
	Quantity string
	Reading  string // as written
	Shown    string // the same in the units of the railroad's pages
	Limit    string
	Verdict  limit.Verdict
	Action   string
	Source   string
	Sure     string
	Edition  string
	Kind     string
	Note     string
	// Unread are the readings that keep the rule from condemning by not being taken.
	Unread []string
}

// ClassFinding is the track class that a feature meets.
type ClassFinding struct {
	Location string
	Feature  string
	Met      limit.ClassMet
	Speed    *int   // greatest curve speed, mph; nil unknown
	Class    string // the class it is run at; "" unknown
}

// Unsettled lists the readings to take next.
func (r *Result) Unsettled() []Unsettled { return r.unsettled.list() }

// Asked lists what is to be filled in for a regulation that a reading may break and of which nobody can tell whether it
// holds. It decides no pair.
func (r *Result) Asked() []Unsettled {
	asked := maps.Clone(r.asked)
	for _, u := range r.Unsettled() {
		u.Pairs = 0
		delete(asked, u) // it decides pairs too
	}
	return slices.SortedFunc(maps.Keys(asked), func(a, b Unsettled) int {
		return cmp.Or(strings.Compare(a.Where, b.Where), strings.Compare(a.Reading, b.Reading))
	})
}

// Engine gives the engine that judged.
func (r *Result) Engine() *Engine { return r.engine }

// Worst is the finding of the worst pair of a tally.
func (r *Result) Worst(t *Tally) *Finding {
	f := r.engine.finding(t, t.worst, t.worstM)
	f.CarsSharing = t.Cars[t.worstM.Verdict]
	if k := f.Computed; k != nil && f.Doubt == "" &&
		(f.Verdict == interaction.Conflict || f.Verdict == interaction.Undecided) {
		wheels, rails := r.engine.computer.Remedies(k)
		if len(wheels) > 0 { // what was tried takes the place of what the plain rule asks for
			f.FixWheel = wheels
		}
		if len(rails) > 0 {
			f.FixTrack = rails
		}
	}
	f.Notes = append(f.Notes, r.engine.setAside(t)...)
	return f
}

// WorstAt is the worst pair of each check and feature of a location, in the order in which findings are listed.
func (r *Result) WorstAt(l Location) []*Finding {
	list := slices.Clone(l.Tallies)
	slices.SortStableFunc(list, r.engine.compare)
	var out []*Finding
	for i := range list {
		out = append(out, r.Worst(&list[i]))
	}
	return out
}

// compare orders tallies by their worst pairs, as findings are listed.
func (e *Engine) compare(a, b Tally) int {
	return cmp.Or(e.order(a.Check, a.worstM.Margin, a.doubted).compare(e.order(b.Check, b.worstM.Margin, b.doubted)),
		a.worst-b.worst)
}

// First is the worst finding of a check at a location; nil if every pair of it is clear or not measured.
func (r *Result) First(location string, check *interaction.Check) *Finding {
	var first *Tally
	for i := range r.Tallies {
		t := &r.Tallies[i]
		if t.Feature.Location != location || t.Check != check {
			continue
		}
		if v := t.worstM.Verdict; v != interaction.Conflict && v != interaction.Undecided {
			continue
		}
		if first == nil || r.engine.compare(*t, *first) < 0 {
			first = t
		}
	}
	if first == nil {
		return nil
	}
	return r.Worst(first)
}

// finish sums the tallies up and judges the readings against the books.
func (r *Result) finish() {
	s := &r.Summary
	s.ByCause, s.Problems = map[interaction.Cause]int{}, map[interaction.Cause]int{}
	places, openAt := map[string]bool{}, map[string]bool{}
	for i := range r.Tallies {
		t := &r.Tallies[i]
		s.Pairs += t.Pairs()
		for v, n := range t.Counts {
			s.Counts[v] += n
		}
		places[t.Feature.Location] = true
		s.BothLegal += t.BothLegal
		s.Lifted += t.Lifted
		if t.Counts[interaction.Undecided]+t.Counts[interaction.NotMeasured] > 0 {
			openAt[t.Feature.Location] = true
		}
		conflicts := t.Counts[interaction.Conflict]
		if conflicts == 0 {
			continue
		}
		if t.Cause == interaction.CausePlace {
			s.ByCause[interaction.CausePlace] += conflicts
			s.Problems[interaction.CausePlace]++
			continue
		}
		s.ByCause[interaction.CauseWheel] += t.Wheel
		s.ByCause[interaction.CausePair] += conflicts - t.Wheel
		if conflicts > t.Wheel {
			s.Problems[interaction.CausePair]++
		}
	}
	s.Problems[interaction.CauseWheel], s.Computed = len(r.axles), r.engine.computer != nil
	s.AllPlaces, s.Unknown = len(places), len(openAt)
	for wi := range r.engine.wheels {
		if ws := &r.engine.wheels[wi]; ws.chosen && slices.Contains(ws.faulty, true) {
			s.WheelFault++
		}
	}
	r.judgeLimits()
}

// judgeLimits judges every reading on its own against the effective book.
func (r *Result) judgeLimits() {
	e := r.engine
	r.asked = map[Unsettled]bool{}
	if e.opt.NoLimits {
		return
	}
	add := func(s limit.Subject, side, where, place string) {
		if side == "wheel" && e.Book.KindMatters(s) {
			r.asked[Unsettled{Reading: "kind", Where: carOf(where)}] = true
		}
		for _, j := range e.Book.Judge(s) {
			r.asks(&j, where, place)
			var unread []string
			if j.Verdict == limit.NotMeasured {
				unread = j.Fill
			}
			r.Limits = append(r.Limits, LimitFinding{Unread: unread, Rule: j.Rule.ID, Set: j.Rule.Set, Subject: s.Kind,
				Side: side, Where: where, Place: place, Quantity: j.Quantity,
				Reading: PrintReading(e.Survey.Data.Columns, j.Quantity, j.Reading),
				Shown:   PrintReading(e.Survey.Columns, j.Quantity, j.Reading), Limit: j.Condition, Verdict: j.Verdict,
				Action: j.Rule.Action, Source: j.Rule.Source, Sure: j.Rule.Sure, Edition: j.Rule.AsOf(),
				Kind: j.Rule.Kind, Note: j.Note})
		}
	}
	// A reading beyond a limit at a place is so whichever car or check is looked at.
	for _, f := range e.Survey.Track.Features {
		if e.opt.Location != "" && e.opt.Location != f.Location {
			continue
		}
		s := f.Subject()
		s.Trains = e.Survey.Trains()
		add(s, "track", f.Name(), f.Location)
		if e.opt.Car != "" {
			continue
		}
		met := ClassFinding{Location: f.Location, Feature: f.Name(), Met: e.Book.ClassMet(s), Class: f.Class}
		if speed, ok := f.CurveSpeed(); ok {
			met.Speed = &speed
		}
		r.Track = append(r.Track, met)
	}
	if e.opt.Location == "" {
		for _, c := range e.Survey.Fleet.Cars {
			if e.opt.Car != "" && e.opt.Car != c.ID {
				continue
			}
			interaction.CarSubjects(c, add)
		}
	}
	slices.SortStableFunc(r.Limits, func(a, b LimitFinding) int {
		return cmp.Or(strings.Compare(a.Side, b.Side), strings.Compare(a.Where, b.Where),
			strings.Compare(a.Rule, b.Rule))
	})
}

// asks notes the columns that tell whether a regulation holds which a reading may break.
func (r *Result) asks(j *limit.Judgement, where, place string) {
	if j.Verdict != limit.Unsure && j.Verdict != limit.NotMeasured || j.Rule.Kind != "regulation" {
		return
	}
	for _, column := range j.Fill {
		of := where
		if column == "service" { // of the whole car
			of = carOf(where)
		}
		r.asked[Unsettled{Reading: column, Where: of, Place: place}] = true
	}
}

// carOf names the car of a wheel, an axle or a truck: wheel/UP 1 L2 is of car/UP 1.
func carOf(where string) string {
	_, id, _ := strings.Cut(where[:strings.LastIndexByte(where, ' ')], "/")
	return "car/" + id
}

// DefaultsUsed lists the settings that entered a pair without being the railroad's own, and the built-in figures of the
// sections of frogs and switch points.
func (r *Result) DefaultsUsed() []configs.Setting {
	used, figures := map[string]bool{}, map[string]bool{}
	note := func(entered []interaction.Entered) {
		for _, x := range entered {
			if x.Setting != "" {
				used[x.Setting] = true
			}
		}
	}
	e := r.engine
	seen := map[int]bool{}
	for i := range r.Tallies {
		t := &r.Tallies[i]
		note(t.Check.PlacePart(e.Rules, t.Feature, true).Entered)
		k := e.places[t.Place].tables[t.table].Check
		if slices.ContainsFunc(e.places[t.Place].tables[t.table].Computed,
			func(c *shaped.Computed) bool { return c != nil && !c.Skipped }) {
			for _, name := range t.Check.Computing {
				used[name] = true
			}
			for _, name := range t.Check.Figures {
				figures[name] = true
			}
		}
		if t.worstM.Verdict == interaction.Conflict &&
			len(e.evidence(&Finding{Check: t.Check, Feature: t.Feature, Wheel: e.wheels[t.worst].W},
				pairAt{t.Place, t.table, t.worst}, t.worstM)) > 0 {
			used["marking_passes"] = true
		}
		if seen[k] {
			continue
		}
		seen[k] = true
		for wi := range e.wheels {
			if e.wheels[wi].chosen && e.wheels[wi].Parts[k].Missing == 0 {
				note(t.Check.WheelPart(e.Rules, e.wheels[wi].W, true).Entered)
			}
		}
		used[t.Check.Reserve] = true
		used["stale_after"] = true
	}
	var out []configs.Setting
	for _, s := range e.Survey.Settings.All() {
		if used[s.Name] && !s.Given {
			out = append(out, s)
		}
	}
	if e.computer != nil {
		for _, c := range e.computer.Figures.Constants {
			if figures[c.Name] {
				out = append(out, c.Setting())
			}
		}
	}
	return out
}

// Location is the tallies of one location.
type Location struct {
	Name    string
	Tallies []Tally
}

// Count is the number of pairs with a verdict.
func (l Location) Count(v interaction.Verdict) int {
	n := 0
	for i := range l.Tallies {
		n += l.Tallies[i].Counts[v]
	}
	return n
}

// Locations groups the tallies, sorted by name.
func (r *Result) Locations() []Location {
	var out []Location
	for i := range r.Tallies {
		t := r.Tallies[i]
		if len(out) == 0 || out[len(out)-1].Name != t.Feature.Location {
			out = append(out, Location{Name: t.Feature.Location})
		}
		l := &out[len(out)-1]
		l.Tallies = append(l.Tallies, t)
	}
	return out
}

// Beyond counts the readings beyond a limit. A figure of the early-warning set is none: it warns before one.
func (r *Result) Beyond() int {
	n := 0
	for _, l := range r.Limits {
		if l.Verdict == limit.Beyond && l.Set != configs.EarlyWarning {
			n++
		}
	}
	return n
}
