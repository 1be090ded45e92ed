package plan

import (
	"cmp"
	"maps"
	"slices"

	"flangeway/interaction"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Measure is a reading to take again, with what settling it is worth.
type Measure struct {
	Reading string
	Where   string // wheel/CAR POSITION or kind/id
	Place   string // the location of a feature
	Pairs   int    // undecided pairs that it helps to decide
	// Chance is the probability that the reading alone makes an action needless; Saves is what that action costs, Value
	// the sum of both over all such actions: hundredths of the currency.
	Chance float64
	Saves  int64
	Value  float64
}

// tries is at how many values of its interval, evenly spread, a reading is tried, and computedTries if shapes or
// forces are asked each time.
const (
	tries         = 24
	computedTries = 6
)

// target is one reading of a wheel or a place.
type target struct {
	wheel, place int // one of them is -1
	column       string
}

// wanted collects what each reading would settle.
type wanted struct {
	m  *model
	by map[target]*Measure
}

// at is the entry of a reading, made if it is missing.
func (s *wanted) at(t target) *Measure {
	x := s.by[t]
	if x == nil {
		x = &Measure{Reading: t.column}
		if t.wheel >= 0 {
			w := s.m.sv.Fleet.Wheels[t.wheel]
			x.Where = "wheel/" + w.Name()
		} else {
			x.Where, x.Place = s.m.places[t.place].f.Name(), s.m.places[t.place].f.Location
		}
		s.by[t] = x
	}
	return x
}

// count adds an undecided pair to the readings that would decide it.
func (s *wanted) count(x pairAt) {
	for _, t := range s.m.targets(x) {
		s.at(t).Pairs++
	}
}

// shared are the readings that every one of the pairs waits for; none if a pair is not undecided.
func (m *model) shared(pairs []pairAt) []target {
	count := map[target]int{}
	for _, x := range pairs {
		if m.places[x.place].before[x.check][x.wheel] != interaction.Undecided {
			return nil
		}
		for _, t := range m.targets(x) {
			count[t]++
		}
	}
	var out []target
	for t, n := range count {
		if n >= len(pairs) {
			out = append(out, t)
		}
	}
	return out
}

// MeasureNext orders readings by the value of settling them: for each action of a plan at level undecided that only
// undecided pairs ask for, the chance that all of them turn out clear once the reading is known, times the cost of the
// action. Actions are looked at one by one; readings lie anywhere in their interval with the same chance (assumed).
// Readings that make no action needless alone follow, by the pairs they help to decide.
func (p *Plan) MeasureNext() []Measure {
	m := p.model
	found := wanted{m: m, by: map[target]*Measure{}}
	for pi := range m.places {
		pm := &m.places[pi]
		for c, check := range pm.checks {
			for w, v := range pm.before[c] {
				if v == interaction.Undecided && m.trial.Has(check, m.shares[w], pm.opts[0].narrow) &&
					m.exposure.Meets(m.sv.Fleet.Wheels[w].Car, pm.f) {
					found.count(pairAt{wheel: w, place: pi, check: c})
				}
			}
		}
	}
	for _, g := range p.together() {
		if g.cents == 0 {
			continue
		}
		for _, t := range m.shared(g.pairs) {
			chance := m.clears(t, g.pairs)
			if chance == 0 {
				continue
			}
			x := found.at(t)
			x.Value += chance * float64(g.cents)
			if chance*float64(g.cents) > x.Chance*float64(x.Saves) {
				x.Chance, x.Saves = chance, g.cents
			}
		}
	}
	list := slices.SortedFunc(maps.Values(found.by), func(a, b *Measure) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(b.Pairs, a.Pairs), cmp.Compare(a.Where, b.Where),
			cmp.Compare(a.Reading, b.Reading))
	})
	return each.Of(list, func(x *Measure) Measure { return *x })
}

// lacking is a choice without an action, where the pairs are that may come back. Where a car is held off they come back
// without the hold alone.
type lacking struct {
	looked
	hold bool
}

// lacks keeps what a rough plan is to be asked about.
func (p *Plan) lacks(l looked, hold bool) *lacking {
	if !p.model.opt.Rough {
		return nil
	}
	return &lacking{l, hold}
}

// refine asks the engine what comes back without those actions of a rough plan that a reading may make needless, as far
// as is known; it reports whether there was anything to ask. What comes back can only become more, and what more pairs
// wait for together only less, so nothing is missed of the others.
func (p *Plan) refine() bool {
	m := p.model
	asked := false
	for _, g := range p.together() {
		if len(g.pairs) > 0 && len(m.shared(g.pairs)) == 0 {
			continue
		}
		for _, l := range g.without {
			needed := func(ci, pi int) need {
				if p.holds[[2]int{ci, pi}] && !l.hold {
					return nothing
				}
				return which
			}
			if rows, trucks := m.unknown(needed, l.looked); len(rows)+len(trucks) > 0 {
				asked = true
				m.ask(needed, l.looked)
			}
		}
	}
	return asked
}

// openPlaces are the places that a plan does not close.
func (p *Plan) openPlaces() (out []int) {
	for pi := range p.model.places {
		if p.option(pi).rows != nil {
			out = append(out, pi)
		}
	}
	return out
}

// group is actions that stand or fall together: the two wheels of an axle.
type group struct {
	cents   int64
	pairs   []pairAt
	without []*lacking
}

func (p *Plan) together() []group {
	var out []group
	for i, a := range p.Actions {
		if a.Effect == Reads {
			continue
		}
		// The second wheel of an axle is paid with the first, which stands before it or after.
		if a.Side == Car && a.Effect == Sets && i > 0 && a.axle == p.Actions[i-1].axle &&
			p.Actions[i-1].Effect == Sets && p.Actions[i-1].order == a.order && p.Actions[i-1].Side == Car {
			last := &out[len(out)-1]
			last.cents += a.Cents
			last.pairs = append(last.pairs, a.pairs...)
			continue
		}
		g := group{cents: a.Cents, pairs: slices.Clone(a.pairs)}
		if a.without != nil {
			g.without = append(g.without, a.without)
		}
		out = append(out, g)
	}
	return out
}

// targets are the readings that would decide a pair.
func (m *model) targets(x pairAt) []target {
	p := &m.places[x.place]
	own, mate, place := m.engine.Settles(p.f, p.checks[x.check], x.wheel)
	var out []target
	for _, c := range own {
		w := x.wheel
		// Back-to-back is the axle's: one reading for both wheels.
		if a := m.sv.Fleet.Wheels[w].Axle(); (c == wheel.BackToBack.String() || c == wheel.BackToBackMax.String()) &&
			a.Listed() != m.sv.Fleet.Wheels[w] {
			w = m.indexOf(a.Listed())
		}
		out = append(out, target{w, -1, c})
	}
	if other := m.sv.Fleet.Wheels[x.wheel].Mate(); other != nil {
		for _, c := range mate {
			out = append(out, target{m.indexOf(other), -1, c})
		}
	}
	for _, c := range place {
		out = append(out, target{-1, x.place, c})
	}
	return out
}

func (m *model) indexOf(w *wheel.Wheel) int {
	for i := range m.axles {
		a := &m.axles[i]
		if a.axle == w.Axle() {
			if w.Position.Side == 'L' {
				return a.index[0]
			}
			return a.index[1]
		}
	}
	return -1
}

// clears is the chance that all pairs are clear once the reading is known.
func (m *model) clears(t target, pairs []pairAt) float64 {
	n := tries
	for _, x := range pairs {
		if m.engine.Computes(m.places[x.place].checks[x.check]) {
			n = computedTries
		}
	}
	tried, ok := m.variants(t, pairs, n)
	if !ok {
		return 0
	}
	clear := 0
	for i := range tried {
		all := true
		for _, x := range pairs { // the plain rules first: they cost nothing
			check := m.places[x.place].checks[x.check]
			f := tried[i].feature(m.places[x.place].f)
			plain := m.trial.Verdict(check, m.trial.Wheel(tried[i].wheel(m.sv.Fleet.Wheels[x.wheel])), m.trial.Place(f))
			all = all && m.engine.AtBest(f, check, plain) == interaction.Clear
		}
		if all && m.allClear(&tried[i], pairs) {
			clear++
		}
	}
	return float64(clear) / float64(n)
}

// variant is the survey with one reading known: of a feature, or of an axle.
type variant struct {
	f *track.Feature // in place of from
	a *wheel.Axle    // in place of of
	// from and of are what they stand for.
	from *track.Feature
	of   *wheel.Axle
}

func (v *variant) feature(f *track.Feature) *track.Feature {
	if f == v.from {
		return v.f
	}
	return f
}

func (v *variant) axle(a *wheel.Axle) *wheel.Axle {
	if a == v.of {
		return v.a
	}
	return a
}

func (v *variant) wheel(w *wheel.Wheel) *wheel.Wheel { return v.axle(w.Axle()).Like(w) }

// variants are the values of a reading that are tried; ok is false if it was not read or one of the pairs is none of
// it.
func (m *model) variants(t target, pairs []pairAt, n int) (out []variant, ok bool) {
	value := func(r measure.Reading, i int) measure.Reading {
		return measure.Exact(r.Lo+(float64(i)+0.5)/float64(n)*r.Width(), r.Written)
	}
	if t.place >= 0 {
		f := m.places[t.place].f
		q, _ := track.QuantityOf(t.column)
		r := f.Read(q)
		if !r.Measured() || slices.ContainsFunc(pairs, func(x pairAt) bool { return x.place != t.place }) {
			return nil, false
		}
		for i := range n {
			out = append(out, variant{from: f, f: f.With(q, value(r, i))})
		}
		return out, true
	}
	w := m.sv.Fleet.Wheels[t.wheel]
	q, _ := wheel.QuantityOf(t.column)
	r := w.Read(q)
	if !r.Measured() || slices.ContainsFunc(pairs,
		func(x pairAt) bool { return m.sv.Fleet.Wheels[x.wheel].Axle() != w.Axle() }) {
		return nil, false
	}
	for i := range n {
		v := variant{of: w.Axle(), a: w.Axle().Clone()}
		v.wheel(w).Set(q, value(r, i))
		out = append(out, v)
	}
	return out, true
}

// allClear asks the engine whether all pairs are clear with a reading known.
func (m *model) allClear(v *variant, pairs []pairAt) bool {
	type asked struct{ check, place int }
	list := map[asked][]int{} // wheels
	var order []asked
	for _, x := range pairs {
		k := asked{m.places[x.place].checks[x.check], x.place}
		if !m.engine.Computes(k.check) {
			continue // the plain rule has said so
		}
		if list[k] == nil {
			order = append(order, k)
		}
		list[k] = append(list[k], x.wheel)
	}
	for _, k := range order {
		fleet, at := &wheel.Fleet{}, []int(nil)
		if m.judgesTrucks[k.check] {
			fleet, at = m.truckFleet(v, list[k])
		} else {
			for i, wi := range list[k] {
				fleet.Wheels, at = append(fleet.Wheels, v.wheel(m.sv.Fleet.Wheels[wi])), append(at, i)
			}
		}
		row := m.engine.Again(fleet).Rows([]*track.Feature{v.feature(m.places[k.place].f)},
			func(check int) bool { return check == k.check })[0][k.check]
		for _, i := range at {
			if row[i] != interaction.Clear {
				return false
			}
		}
	}
	return true
}
