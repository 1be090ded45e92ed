package judge

import (
	"cmp"
	"slices"
	"sync"

	"flangeway/interaction"
	"flangeway/interaction/exposure"
	"flangeway/interaction/shaped"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// wheelSide is a wheel prepared for every check.
type wheelSide struct {
	shaped.Wheel
	chosen bool                                        // by Options.Car
	legal  []interaction.Legality                      // by check
	stale  []bool                                      // by check
	faulty []bool                                      // by check: conflicts even on track as designed
	doubts interaction.Mask                            // readings under a warning
	bits   [interaction.WheelBits]interaction.Legality // by reading
}

// placeSide is a feature prepared for every check.
type placeSide struct {
	f      *track.Feature
	stale  bool
	doubts interaction.Mask // readings under a warning
	tables []placeTable
}

// placeTable is a feature at one check that applies to it.
type placeTable struct {
	shaped.Table
	legal interaction.Legality
	// byReference is the reference wheel that conflicts worst there, with its margin; nil for
	// none. A place's repair is measured by it if every wheel at hand is itself at fault.
	byReference *wheel.Wheel
	referenceM  interaction.Margin
}

// Engine judges the pairs of one survey.
type Engine struct {
	Survey *survey.Survey
	Book   *limit.Book
	Rules  *interaction.Rules
	Checks []*interaction.Check
	opt    interaction.Options
	wheels []wheelSide
	places []placeSide
	at     map[*track.Feature]int // of places
	unworn []placeSide            // the features as designed, one of each kind
	today  measure.Date           // of the survey, else of its newest row
	// computer computes from shapes and forces; nil: nothing is.
	computer *shaped.Computer
	settled  settled
	exposure *exposure.Exposure
	passes   passes
}

// passes are the conflicting passes of a year that were counted.
type passes struct {
	sync.Mutex
	at map[*placeTable]float64
}

// New prepares a survey for judging by the arithmetic of the checks on the readings alone.
func New(s *survey.Survey, book *limit.Book, opt interaction.Options) *Engine {
	e := &Engine{Survey: s, Book: book, Rules: interaction.NewRules(s.Settings, s.Data), Checks: interaction.Checks(),
		opt: opt, exposure: exposure.Of(s), today: todayOf(s)}
	e.prepareWheels(nil)
	e.setPlaces(e.preparePlaces(nil))
	e.prepareUnworn()
	e.findFaults(nil)
	return e
}

// With is an engine of the same survey with other wheels or other places, by the plain rules: a wheel or a place that
// is the same one is not prepared again. The checks that are asked for stay.
func (e *Engine) With(s *survey.Survey, opt interaction.Options) *Engine {
	n := &Engine{Survey: s, Book: e.Book, Rules: e.Rules, Checks: e.Checks, opt: opt, exposure: e.exposure,
		today: todayOf(s), unworn: e.unworn}
	n.opt.Check = e.opt.Check
	if s.Fleet != e.Survey.Fleet {
		n.exposure = exposure.Of(s)
	}
	wheels, places := map[*wheel.Wheel]wheelSide{}, map[*track.Feature]placeSide{}
	if n.today == e.today && e.computer == nil {
		if opt.Car == e.opt.Car && s.Fleet == e.Survey.Fleet {
			n.wheels = e.wheels
		} else if opt.Car == e.opt.Car {
			for _, ws := range e.wheels {
				wheels[ws.W] = ws
			}
		}
		if opt.Location == e.opt.Location && s.Track == e.Survey.Track {
			n.setPlaces(e.places)
		} else {
			for _, ps := range e.places {
				places[ps.f] = ps
			}
		}
	}
	if n.wheels == nil {
		n.prepareWheels(wheels)
		n.findFaults(wheels)
	}
	if n.places == nil {
		n.setPlaces(n.preparePlaces(places))
	}
	return n
}

// setPlaces sets the places that are judged.
func (e *Engine) setPlaces(list []placeSide) {
	e.places, e.at = list, make(map[*track.Feature]int, len(list))
	for i := range list {
		e.at[list[i].f] = i
	}
}

// todayOf is the day of a survey, else of its newest row.
func todayOf(s *survey.Survey) measure.Date {
	today := s.Date
	if !today.Known() {
		for _, w := range s.Fleet.Wheels {
			today = max(today, w.Date)
		}
		for _, f := range s.Track.Features {
			today = max(today, f.Date)
		}
	}
	return today
}

// Compute adds what can be computed from shapes and forces: the verdicts of those checks are then the computed ones,
// the margins stay those of the plain rule. An error is one of the program's own data.
//
// The warnings name the wheels whose readings contradict each other, and settings that no shape can have.
func (e *Engine) Compute() ([]measure.Warning, error) { return e.compute(nil) }

// ComputeBeside computes as Compute does, with what another engine has made and solved of shapes: that of the same
// survey before an edit is tried. If the other one has computed nothing, nothing is.
func (e *Engine) ComputeBeside(other *Engine) ([]measure.Warning, error) {
	if other.computer == nil {
		return nil, nil
	}
	return e.compute(other.computer)
}

func (e *Engine) compute(beside *shaped.Computer) ([]measure.Warning, error) {
	shapes, warnings, err := e.Survey.Shapes()
	if err != nil {
		return nil, err
	}
	if e.computer, err = shaped.New(e.fleet(), e.Survey.Data, shapes); err != nil {
		return nil, err
	}
	if beside != nil {
		e.computer.Beside(beside)
	}
	e.setPlaces(e.preparePlaces(nil)) // with the checks that have no plain rule
	e.computer.Compute(e.everywhere())
	e.findFaults(nil)
	for _, x := range e.computer.Contradictions(e.Chosen) {
		e.wheels[x.Wheel].doubts |= x.Aside
		warnings = append(warnings, x.Warning)
	}
	return warnings, nil
}

// fleet is the wheels as shapes see them, with the cars that are asked for.
func (e *Engine) fleet() shaped.Fleet {
	out := shaped.Fleet{Rules: e.Rules, Checks: e.Checks, Today: e.today, Progress: e.opt.Progress}
	for i := range e.wheels {
		out.Wheels = append(out.Wheels, &e.wheels[i].Wheel)
	}
	for _, c := range e.Survey.Fleet.Cars {
		if e.opt.Car == "" || e.opt.Car == c.ID {
			out.Cars = append(out.Cars, c)
		}
	}
	return out
}

// everywhere is the places of the survey that are judged, then the features as designed, as shapes see them.
func (e *Engine) everywhere() []*shaped.Place {
	var out []*shaped.Place
	for n, list := range [][]placeSide{e.places, e.unworn} {
		for i := range list {
			p := &shaped.Place{F: list[i].f, Designed: n == 1}
			for j := range list[i].tables {
				p.Tables = append(p.Tables, &list[i].tables[j].Table)
			}
			out = append(out, p)
		}
	}
	return out
}

// judged is a pair's margin with the verdict that stands.
type judged struct {
	interaction.Margin
	plain    interaction.Verdict // of the plain rule, if computed stands
	computed *shaped.Computed
	against  uint32 // the rules of marks, by bit, that tell against a pair which is clear without them
}

// pair is the margin of a wheel at a place, its verdict the computed one if there is one, under what was seen of both.
func (e *Engine) pair(wi int, pt *placeTable) judged {
	m := e.unmarked(wi, pt)
	if e.computer != nil {
		m.Margin, m.against = e.Checks[pt.Check].Under(e.Rules, &e.wheels[wi].Parts[pt.Check], &pt.Part, m.Margin)
	}
	return m
}

// unmarked is a pair by its readings alone.
func (e *Engine) unmarked(wi int, pt *placeTable) judged {
	m := judged{Margin: e.Checks[pt.Check].Margin(e.Rules, &e.wheels[wi].Parts[pt.Check], &pt.Part)}
	if pt.Computed == nil || m.Verdict == interaction.NotMeasured {
		return m
	}
	if k := pt.Computed[wi]; k != nil && !k.Skipped {
		m.plain, m.computed = m.Verdict, k
		m.Verdict, m.Settle = k.Over(m.Margin)
	}
	return m
}

// Today is the day of the survey, else of its newest row; the zero Date if nothing is dated.
func (e *Engine) Today() measure.Date { return e.today }

func (e *Engine) old(d measure.Date) bool {
	return !d.Known() || float64(e.today.DaysSince(d)) > e.Rules.Value("stale_after")+measure.Near
}

// prepareWheels prepares every wheel for every check, but for those that are made already.
func (e *Engine) prepareWheels(made map[*wheel.Wheel]wheelSide) {
	fleet := e.Survey.Fleet.Wheels
	e.wheels = make([]wheelSide, len(fleet))
	n, fresh := len(e.Checks), 0
	for i, w := range fleet {
		ws, ok := made[w]
		if e.wheels[i] = ws; !ok {
			fresh++
		}
	}
	parts, legal := make([]interaction.Part, n*fresh), make([]interaction.Legality, n*fresh)
	flags := make([]bool, 2*n*fresh)
	for i, w := range fleet {
		ws := &e.wheels[i]
		if ws.W != nil {
			continue
		}
		ws.W, ws.chosen = w, e.opt.Car == "" || e.opt.Car == w.Car.ID
		ws.Parts, parts = parts[:n:n], parts[n:]
		ws.legal, legal = legal[:n:n], legal[n:]
		ws.stale, ws.faulty, flags = flags[:n:n], flags[n:2*n:2*n], flags[2*n:]
		ws.doubts = wheelDoubts(w)
		ws.bits = interaction.WheelLegality(e.Book, w)
		for k, c := range e.Checks {
			if !c.ListedAt(w) {
				continue
			}
			ws.Parts[k] = c.WheelPart(e.Rules, w, false).Part
			ws.legal[k] = interaction.NoLegality()
			ws.Parts[k].Uses.Each(func(bit uint) { ws.legal[k] = interaction.JoinLegality(ws.legal[k], ws.bits[bit]) })
			ws.stale[k] = e.staleWheel(w, ws.Parts[k].Uses)
		}
	}
}

// judges reports whether a check is one that was asked for, and one that the judge of the run has.
func (e *Engine) judges(c *interaction.Check) bool {
	return (e.opt.Check == "" || e.opt.Check == c.ID) && (!c.ComputedOnly || e.computer != nil)
}

// staleWheel reports whether one of the rows behind the readings is old.
func (e *Engine) staleWheel(w *wheel.Wheel, uses interaction.Mask) bool {
	stale := false
	uses.Each(func(bit uint) {
		row := w
		switch bit {
		case interaction.MateThickness, interaction.MateRimWidth:
			row = w.Mate()
		case uint(wheel.BackToBack), uint(wheel.BackToBackMax):
			if !w.Own(wheel.Quantity(bit)).Measured() && w.Mate() != nil {
				row = w.Mate()
			}
		}
		stale = stale || row != nil && e.old(row.Date)
	})
	return stale
}

// preparePlaces prepares every place for the checks that apply to it, but for those that are made already.
func (e *Engine) preparePlaces(made map[*track.Feature]placeSide) (places []placeSide) {
	references, names := interaction.ReferenceWheels(e.Survey.Data), interaction.ReferenceNames(e.Survey.Data)
	reference := interaction.ReferenceParts(e.Rules, e.Checks)
	for _, f := range e.Survey.Track.Features {
		if e.opt.Location != "" && e.opt.Location != f.Location {
			continue
		}
		if ps, ok := made[f]; ok {
			places = append(places, ps)
			continue
		}
		ps := placeSide{f: f, stale: e.old(f.Date), doubts: placeDoubts(f)}
		subject := f.Subject()
		for k, c := range e.Checks {
			if !e.judges(c) || !c.Applies(f) {
				continue
			}
			t := placeTable{Table: shaped.Table{Check: k, Part: c.PlacePart(e.Rules, f, false).Part},
				legal: interaction.NoLegality()}
			t.Part.Uses.Each(func(bit uint) {
				t.legal = interaction.JoinLegality(t.legal,
					interaction.LegalityOf(e.Book, subject, track.Quantity(bit-interaction.TrackBit).String()))
			})
			for i, w := range references {
				m := c.Margin(e.Rules, reference[k][i], &t.Part)
				if m.Verdict != interaction.Conflict {
					continue
				}
				if t.Ordinary = append(t.Ordinary, names[i]); t.byReference == nil ||
					interaction.Worse(m, t.referenceM) {
					t.byReference, t.referenceM = w, m
				}
			}
			ps.tables = append(ps.tables, t)
		}
		if len(ps.tables) > 0 {
			places = append(places, ps)
		}
	}
	return places
}

// Tally is one check at one feature over all wheels.
type Tally struct {
	Place     int // index of the feature
	Check     *interaction.Check
	Feature   *track.Feature
	Counts    [interaction.NumVerdicts]int
	Cars      [interaction.NumVerdicts]int // with a pair of that verdict
	BothLegal int                          // conflicts of the pair that no rule stops on either side
	Wheel     int                          // conflicts of wheels that conflict even on an unworn place
	Cause     interaction.Cause
	Lifted    int // conflicts by the plain rule that are none by what is computed
	// worst is the index of the wheel of the worst pair, worstM its margin: of those with the worst verdict the first
	// that may lead (see [lead]). first is the worst whatever its wheel and its readings.
	worst, first   int
	worstM, firstM judged
	table          int
	doubted        bool // the worst pair rests on a reading under a warning
}

// First is the wheel of the worst pair, by its number in the fleet, whatever its readings, and that pair's margin.
func (t *Tally) First() (wi int, m interaction.Margin) { return t.first, t.firstM.Margin }

// Pairs is the number of pairs of the tally.
func (t *Tally) Pairs() int {
	n := 0
	for _, c := range t.Counts {
		n += c
	}
	return n
}

// Judge walks over all pairs and returns a tally for each feature and check with pairs, in the order of location,
// feature and check. Memory grows with wheels plus places.
func (e *Engine) Judge() *Result {
	r := &Result{engine: e, unsettled: newUnsettled(e), axles: map[faultyAxle]bool{}}
	for i := range e.places {
		ps := &e.places[i]
		for j := range ps.tables {
			if t, ok := e.tally(i, j, r); ok {
				r.Tallies = append(r.Tallies, t)
			}
		}
	}
	r.finish()
	return r
}

// meet reports whether there is a pair of a wheel and a feature at a check.
func (e *Engine) meet(c *interaction.Check, w *wheel.Wheel, f *track.Feature) bool {
	return c.ListedAt(w) && !e.Survey.Held.From(w.Car, f)
}

func (e *Engine) tally(i, j int, r *Result) (Tally, bool) {
	ps := &e.places[i]
	pt := &ps.tables[j]
	k := pt.Check
	c := e.Checks[k]
	t := Tally{Place: i, Check: c, Feature: ps.f, worst: -1, first: -1, table: j}
	led := mayLead // of the worst so far
	var counted [interaction.NumVerdicts]*wheel.Car
	for wi := range e.wheels {
		ws := &e.wheels[wi]
		if !ws.chosen || !e.meet(c, ws.W, ps.f) {
			continue
		}
		m := e.pair(wi, pt)
		t.Counts[m.Verdict]++
		if ws.W.Car != counted[m.Verdict] {
			t.Cars[m.Verdict]++
			counted[m.Verdict] = ws.W.Car
		}
		switch m.Verdict {
		case interaction.Conflict:
			if ws.faulty[k] { // a problem of its own also if the place is at fault too
				r.axles[faultyAxle{k, ws.W.Axle()}] = true
			}
			switch cause := e.causeOf(pt, wi); {
			case cause == interaction.CauseWheel:
				t.Wheel++
			case cause == interaction.CausePair && !ws.legal[k].Limits.Word.Stops() && !pt.legal.Limits.Word.Stops():
				t.BothLegal++
			}
		case interaction.Undecided, interaction.NotMeasured:
			r.unsettled.count(pairAt{i, j, wi}, m)
		}
		if m.computed != nil && m.plain == interaction.Conflict && m.Verdict != interaction.Conflict {
			t.Lifted++
		}
		if t.first < 0 || interaction.Worse(m.Margin, t.firstM.Margin) {
			t.first, t.firstM = wi, m
		}
		l := e.leadOf(wi, ps, pt, m.Verdict)
		if l == faultOfItsOwn { // the worst pair is listed, with its repair by the reference wheel
			l = mayLead
		}
		switch {
		case t.worst < 0, m.Verdict < t.worstM.Verdict:
		case m.Verdict > t.worstM.Verdict, l > led:
			continue
		case l == led && !interaction.Worse(m.Margin, t.worstM.Margin):
			continue
		}
		t.worst, t.worstM, led = wi, m, l
	}
	if t.worst >= 0 {
		t.Cause, t.doubted = e.causeOf(pt, t.worst), led == underWarning
	}
	return t, t.worst >= 0
}

// causeOf says whose fault a pair would be. It depends on the wheel and the place alone,
// never on what else is in the survey or asked for.
func (e *Engine) causeOf(pt *placeTable, wi int) interaction.Cause {
	switch {
	case pt.AnyWheel():
		return interaction.CausePlace
	case e.wheels[wi].faulty[pt.Check]:
		return interaction.CauseWheel
	}
	return interaction.CausePair
}

// EachPair calls f with every pair of the tallies in the order in which findings
// are listed: location by location, there by harm, verdict, margin, car and position. The pairs of one location are in
// memory at a time. An error of f ends the walk.
func (e *Engine) EachPair(tallies []Tally, f func(*Finding) error) error {
	for from := 0; from < len(tallies); {
		to := from
		for to < len(tallies) && tallies[to].Feature.Location == tallies[from].Feature.Location {
			to++
		}
		if err := e.eachAt(tallies[from:to], f); err != nil {
			return err
		}
		from = to
	}
	return nil
}

func (e *Engine) eachAt(tallies []Tally, f func(*Finding) error) error {
	type pair struct {
		t  *Tally
		wi int
		m  judged
		at order
	}
	var pairs []pair
	for i := range tallies {
		t := &tallies[i]
		pt := &e.places[t.Place].tables[t.table]
		for wi := range e.wheels {
			ws := &e.wheels[wi]
			if !ws.chosen || !e.meet(t.Check, ws.W, t.Feature) {
				continue
			}
			m := e.pair(wi, pt)
			pairs = append(pairs, pair{t, wi, m, e.order(t.Check, m.Margin, e.doubts(wi, &e.places[t.Place], pt) != 0)})
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int {
		return cmp.Or(a.at.compare(b.at), a.wi-b.wi) // wheels are sorted by car and position
	})
	for _, p := range pairs {
		if err := f(e.finding(p.t, p.wi, p.m)); err != nil {
			return err
		}
	}
	return nil
}
