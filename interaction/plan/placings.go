package plan

import (
	"cmp"
	"slices"

	"flangeway/interaction"
	"flangeway/track"
	"flangeway/wheel"
)

// Stood is where a place, a feature or a wheel stands among its like; 1 is the worst.
type Stood struct {
	Rank, Of int
	Harm     Harm    // a year
	Expected float64 // of that, at what is usual of what is assumed, with each pair's chance
	// FirstPercent is in how many of a hundred draws of what is assumed it is the first.
	FirstPercent float64
	grade        grade
	harm         float64   // by which it is ranked
	passes       []float64 // by check, likewise
}

// Placing is a place, a feature or a wheel as it is and after the plan.
type Placing struct {
	Name, Location string // of a feature frog/F4, of a wheel CAR POSITION, which has no location
	Before, After  Stood
}

// Placings are the places, features and wheels of a survey, the worst as they are first.
type Placings struct{ Places, Features, Wheels []Placing }

// firstAmong is among how many of the worst it is drawn which is the first.
const firstAmong = 100

// tally counts the pairs of a place, a feature or a wheel.
type tally struct {
	counts [interaction.NumVerdicts]int
	met    []metPasses // by check
	passes float64     // expected conflicting ones a year
	beyond int         // readings beyond a federal limit
}

// metPair is a pair with how often it is met.
type metPair struct {
	wheel, place, check int // the check among those of the place
	verdict             interaction.Verdict
	f                   *track.Feature
	trips, chance       float64 // a year; of a conflict
}

// Placings ranks places, features and wheels as they are and after the plan, by the verdicts that the plan counts. The
// places as they are stand as risks has them. Both these and the assessment are of the engine that the plan was made
// for.
func (p *Plan) Placings(risks []Risk, a *Assessment) (out Placings) {
	m := p.model
	m.chances = a.chances // which has found most
	places := map[string]int{}
	var names []string
	for pi := range m.places {
		name := m.places[pi].f.Location
		if _, ok := places[name]; !ok {
			places[name], names = len(names), append(names, name)
		}
	}
	var all [2]struct{ places, features, wheels []tally } // as it is, and after
	for i := range all {
		x := &all[i]
		x.places, x.features = make([]tally, len(names)), make([]tally, len(m.places))
		x.wheels = make([]tally, len(m.sv.Fleet.Wheels))
		for pi := range m.places {
			f := m.places[pi].f
			if i == 1 {
				f = p.option(pi).f
			}
			if f != nil { // not closed
				x.features[pi].beyond = len(open(m.law.place(f)))
				x.places[places[f.Location]].beyond += x.features[pi].beyond
			}
		}
		met := p.metBefore
		if i == 1 {
			met = p.metAfter
		}
		met(func(y metPair) {
			x.places[places[y.f.Location]].count(m, &y)
			x.features[y.place].count(m, &y)
			x.wheels[y.wheel].count(m, &y)
		})
	}
	for i, name := range names {
		l := loggedAt(m.sv.Incidents, name, m.matrix, all[0].places[i].passes)
		out.Places = append(out.Places, Placing{name, name, m.stood(&all[0].places[i], l),
			m.stood(&all[1].places[i], l)})
	}
	for pi := range m.places {
		f := m.places[pi].f
		l := loggedAt(m.sv.Incidents, f.Location, m.matrix, all[0].places[places[f.Location]].passes)
		out.Features = append(out.Features, Placing{f.Name(), f.Location, m.stood(&all[0].features[pi], l),
			m.stood(&all[1].features[pi], l)})
	}
	for i, w := range m.sv.Fleet.Wheels {
		out.Wheels = append(out.Wheels, Placing{w.Name(), "",
			m.stood(&all[0].wheels[i], nil), m.stood(&all[1].wheels[i], nil)})
	}
	for _, list := range [][]Placing{out.Places, out.Features, out.Wheels} {
		m.rank(list, func(s *Placing) *Stood { return &s.After })
		m.rank(list, func(s *Placing) *Stood { return &s.Before })
	}
	for _, r := range risks {
		if i := slices.IndexFunc(out.Places, func(s Placing) bool { return s.Name == r.Location }); i >= 0 {
			out.Places[i].Before.Rank, out.Places[i].Before.FirstPercent = r.Rank, r.FirstPercent
		}
	}
	slices.SortStableFunc(out.Places, func(a, b Placing) int { return cmp.Compare(a.Before.Rank, b.Before.Rank) })
	return out
}

// count counts a pair.
func (t *tally) count(m *model, x *metPair) {
	if t.counts[x.verdict]++; x.verdict == interaction.Clear {
		return
	}
	if t.met == nil {
		t.met = make([]metPasses, len(m.trial.Checks))
	}
	k := m.places[x.place].checks[x.check]
	check := m.trial.Checks[k]
	passes := x.trips * m.exposure.PerTrip(check, m.sv.Fleet.Wheels[x.wheel].Car, x.f)
	harder := atSpeed(check, x.f)
	t.passes += passes * x.chance
	t.met[k].expected += passes * x.chance * harder
	t.met[k].whole += passes * harder
}

// metBefore calls f for the pairs as they are.
func (p *Plan) metBefore(f func(metPair)) {
	m := p.model
	m.each(func(c *carModel, a *axleModel, side int, at *placeModel, k int, v interaction.Verdict) {
		w := a.index[side]
		f(metPair{w, at.index, k, v, at.f, m.exposure.Trips(c.car), m.chances.before(v, k, w, at)})
	})
}

// metAfter calls f for the pairs after the plan: on the trips of the car itself after the works on its axles, on those
// of the cars behind it, if it is a sample of a pool, as it is read, because no work on a car reaches them.
func (p *Plan) metAfter(f func(metPair)) {
	m, c := p.model, p.chosen()
	worked := spreads{map[[2]int]*interaction.Spread{}, map[[2]int]*interaction.Spread{}}
	for ci := range m.cars {
		car := &m.cars[ci]
		own := m.exposure.Own(car.car)
		pool := max(0, m.exposure.Trips(car.car)-own)
		for pi := range m.places {
			at, o := &m.places[pi], p.option(pi)
			meet := func(level func(k int) int, trips float64) {
				m.eachPair(car, at, o, level, func(x *pair) {
					v := at.before[x.check][x.wheel]
					if !x.coupled || x.truck != nil {
						v, _ = m.after(x)
					}
					f(metPair{x.wheel, pi, x.check, v, o.f, trips, worked.chance(m, v, x, at, o)})
				})
			}
			if !p.holds[[2]int{ci, pi}] && !c.gone(ci) {
				meet(func(k int) int { return c.level(ci, k) }, own)
			}
			if pool > 0 {
				meet(asRead, pool)
			}
		}
	}
}

// spreads are the shares of wheels and places after works, by option of the wheel or by place, and check.
type spreads struct {
	wheels, places map[[2]int]*interaction.Spread
}

// chance is that of a pair after the works on its place and its axle. One that shapes or forces leave open has one
// half, or its chance before if that is less, because no work makes a pair worse.
func (s spreads) chance(m *model, v interaction.Verdict, x *pair, p *placeModel, o *placeOption) float64 {
	check := p.checks[x.check]
	switch {
	case v == interaction.Conflict:
		return 1
	case v != interaction.Undecided:
		return 0
	case o == &p.opts[0] && !m.worked(x):
		return m.chances.before(v, x.check, x.wheel, p)
	case m.engine.Computing():
		half := 0.5
		if was := p.before[x.check][x.wheel]; was != interaction.Conflict {
			half = min(half, m.chances.before(was, x.check, x.wheel, p))
		}
		return half
	}
	w, ok := s.wheels[[2]int{x.option, check}]
	if !ok {
		a := &m.axles[x.c.axles[x.axle]]
		y := a.opts[(x.option-a.first)/2].axles[0]
		spread := m.trial.WheelSpread(check, [2]*wheel.Wheel{y.L, y.R}[x.side], uint64(x.wheel))
		w = &spread
		s.wheels[[2]int{x.option, check}] = w
	}
	f, ok := s.places[[2]int{p.index, check}]
	if !ok {
		spread := m.trial.PlaceSpread(check, o.f, uint64(p.index))
		f = &spread
		s.places[[2]int{p.index, check}] = f
	}
	return m.trial.Chance(check, w, f)
}

// stood is the rank and harm of a tally, a log of accidents counted.
func (m *model) stood(t *tally, l *Logged) Stood {
	s := Stood{grade: gradeOf(t.counts, t.beyond), passes: make([]float64, len(m.trial.Checks))}
	for k := range t.met {
		c, x := m.trial.Checks[k], t.met[k]
		x.expected, x.whole = l.times(x.expected), l.times(x.whole)
		s.Harm = s.Harm.plus(harmOf(m.matrix, c, x))
		s.Expected += expectedHarm(m.matrix, c, x.expected)
		if s.passes[k] = x.expected; s.grade == beyondLimit || s.grade == notKnown {
			s.passes[k] = x.whole // nothing is known of what its pairs do
		}
		s.harm += expectedHarm(m.matrix, c, s.passes[k])
	}
	return s
}

// gradeOf is the worst that is known of pairs by verdict and of readings beyond a federal limit.
func gradeOf(counts [interaction.NumVerdicts]int, beyond int) grade {
	switch {
	case counts[interaction.Conflict] > 0:
		return conflicting
	case beyond > 0:
		return beyondLimit
	case counts[interaction.Undecided] > 0:
		return undecided
	case counts[interaction.NotMeasured] > 0:
		return notKnown
	}
	return allClear
}

// rank sorts a list by how each stands, the worst first.
func (m *model) rank(list []Placing, of func(*Placing) *Stood) {
	slices.SortStableFunc(list, func(x, y Placing) int {
		a, b := of(&x), of(&y)
		return cmp.Or(cmp.Compare(a.grade, b.grade), cmp.Compare(b.harm, a.harm),
			cmp.Compare(b.Harm.High, a.Harm.High))
	})
	var worst [][]float64 // those among which what is assumed decides which is the first
	for i := range list {
		s := of(&list[i])
		s.Rank, s.Of = i+1, len(list)
		if s.grade != allClear && s.grade == of(&list[0]).grade && i < firstAmong {
			worst = append(worst, s.passes)
		}
	}
	for i, v := range firstOf(m.matrix, m.trial.Checks, worst) {
		of(&list[i]).FirstPercent = v
	}
}
