package plan

import (
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/parallel"
	"flangeway/track"
	"flangeway/wheel"
)

// rowModel is a place at one check, with its readings as they are or as a work leaves them,
// against every wheel option. Options of a place that are judged alike share their rows.
type rowModel struct {
	check int
	// bad are the wheel options with a treated pair that is not ended, worse those with a
	// pair that is worse than it was.
	bad, worse bitset
	// known says that both are so; else they are only those that must be, whatever shapes and forces say.
	known bool
	// after is the verdicts by wheel option, as the planned readings are read and with the
	// tolerance; nil if the plain shares tell.
	after [2][]interaction.Verdict
	asIs  bool // the readings are those of the sheet
	// contradicted says that readings of the place contradict each other, or what was seen there.
	contradicted bool
	place        *placeModel
	k            int               // of the place's checks
	f            [2]*track.Feature // a feature with its readings, as they are read and with the tolerance
	shares       [2]*interaction.PlaceShare
	trucks       map[*truckModel]map[onAxles]*truckState
	// finer is how much less its readings err at the ends of their tolerances, mm; ends are the shares there, if any
	// work leaves readings.
	finer float64
	ends  []*interaction.PlaceShare
	empty bool // nothing is bad or worse, but for trucks
}

// rowKey tells rows of a place apart that are judged otherwise.
type rowKey struct {
	check        int
	applies      bool // not where a switch is run trailing only and the check is of facing moves
	narrow, wide [8]float64
	sections     [2]string
	finer        float64
}

// judge gives an option of a place its rows.
func (m *model) judge(p *placeModel, y int, narrow, wide *track.Feature, rows map[rowKey]*rowModel) {
	o := &p.opts[y]
	for k, check := range p.checks {
		key := rowKey{check, o.narrow.Applies(check), o.narrow.Interval(check), o.wide.Interval(check),
			[2]string{m.engine.Section(check, narrow), m.engine.Section(check, wide)}, o.finer}
		r := rows[key]
		if r == nil {
			r = &rowModel{check: check, place: p, k: k, asIs: y == 0, contradicted: narrow.Contradiction() != "" ||
				m.trial.Marked && o.narrow.Marked(m.trial.Checks[check], check),
				f: [2]*track.Feature{narrow, wide}, shares: [2]*interaction.PlaceShare{o.narrow, o.wide},
				trucks: map[*truckModel]map[onAxles]*truckState{}, finer: o.finer, ends: o.ends}
			rows[key] = r
			m.mark(r)
			m.trucksAsIs(r)
		}
		o.rows = append(o.rows, r)
	}
}

// mark finds what must be bad or worse, and all that is if the plain rules tell.
func (m *model) mark(r *rowModel) {
	computed := m.engine.Computes(r.check)
	r.known = !computed || m.judgesTrucks[r.check] || !r.shares[0].Applies(r.check)
	lanes := m.lanes[r.check]
	lo, hi, known := r.shares[0].Bounds(r.check)
	wideLo, wideHi, _ := r.shares[1].Bounds(r.check)
	m.fill(r, func(i, j int, w *wheelOption, before interaction.Verdict) (n, x interaction.Verdict) {
		switch {
		case computed && r.asIs && j == 0:
			return before, before
		case lanes == nil:
			n, x = m.plain(r, w)
		default:
			l := &lanes[i]
			if !known || !l.known {
				return interaction.NotMeasured, interaction.NotMeasured
			}
			n, x = interaction.VerdictOf(l.lo+lo, l.hi+hi), interaction.VerdictOf(l.wideLo+wideLo, l.wideHi+wideHi)
			n, x = m.trial.Seen(r.check, w.narrow, r.shares[0], n, l.lo+lo),
				m.trial.Seen(r.check, w.wide, r.shares[1], x, l.wideLo+wideLo)
			x = worst(x, l.lo+lo, l.hi+hi, l.wideLo+wideLo, r.finer+w.finer)
		}
		if r.known {
			return n, x
		}
		return m.engine.AtBest(r.f[0], r.check, n), m.engine.AtBest(r.f[1], r.check, x)
	})
}

// plain is the verdicts of a wheel option by the plain rules.
func (m *model) plain(r *rowModel, w *wheelOption) (n, x interaction.Verdict) {
	n = m.trial.Verdict(r.check, w.narrow, r.shares[0])
	if w.narrow == w.wide && r.shares[0] == r.shares[1] {
		return n, n
	}
	x = m.trial.Verdict(r.check, w.wide, r.shares[1])
	if x != interaction.Undecided {
		return n, x
	}
	if !m.trial.Sums(r.check) {
		return n, m.atEnds(r, w, x)
	}
	lo, hi, _ := w.narrow.Bounds(r.check)
	least, _, _ := w.wide.Bounds(r.check)
	placeLo, placeHi, _ := r.shares[0].Bounds(r.check)
	placeLeast, _, _ := r.shares[1].Bounds(r.check)
	return n, worst(x, lo+placeLo, hi+placeHi, least+placeLeast, r.finer+w.finer)
}

// fill sets what is bad and worse by the verdicts of each wheel option i, which is option j
// of its axle. Wheels of trucks that are judged as one are left out.
func (m *model) fill(r *rowModel, verdicts func(i, j int, w *wheelOption, before interaction.Verdict) (n,
	x interaction.Verdict)) {
	r.bad, r.worse = newBitset(m.wheelOpts), newBitset(m.wheelOpts)
	trucks := m.judgesTrucks[r.check]
	for ci := range m.cars {
		c := &m.cars[ci]
		if !c.meets[r.place.index] {
			continue
		}
		for k, ai := range c.axles {
			if trucks && c.truckOf[k] != nil {
				continue
			}
			a := &m.axles[ai]
			for s, w := range a.index {
				if w < 0 || !m.trial.Has(r.check, m.shares[w], r.shares[0]) {
					continue
				}
				before := r.place.before[r.k][w]
				for j := range a.opts {
					i := a.first + 2*j + s
					n, x := verdicts(i, j, &a.opts[j].wheels[s], before)
					bad, worse := m.marks(r, w, j > 0, n, x)
					if bad {
						r.bad.set(i)
					}
					if worse {
						r.worse.set(i)
					}
				}
			}
		}
	}
	r.empty = r.bad.empty() && r.worse.empty()
}

// marks says whether a pair of a wheel of the fleet at a row is bad or worse than it was, by its verdicts as the
// planned readings are read and with the tolerance; worked says that its axle is worked on.
func (m *model) marks(r *rowModel, w int, worked bool, n, x interaction.Verdict) (bad, worse bool) {
	before := r.place.before[r.k][w]
	bad = m.treats(before) && !(m.ends(r.check, n) && m.ends(r.check, x)) && !r.inDoubt(w, worked)
	return bad, n < before || x < before
}

// ends reports whether a verdict of a treated pair after the works ends it. It has to be clear. Of a truck in a curve,
// which forces judge, it is enough that a conflict is none any more: in a sharp curve friction and model leave even
// trucks without wear undecided, and those that were undecided before are not treated either.
func (m *model) ends(check int, v interaction.Verdict) bool {
	return v == interaction.Clear || v == interaction.Undecided && m.judgesTrucks[check] && !m.treats(v)
}

// inDoubt reports whether a pair rests on a reading under a warning that no work replaces.
func (r *rowModel) inDoubt(w int, worked bool) bool {
	row := r.place.doubted[r.k]
	return row != nil && (row[w].Wheel && !worked || row[w].Place && r.contradicted)
}

// retrial judges wheel options again.
type retrial struct {
	again   *judge.Again
	options []int // in the order in which it has their wheels
}

// prepareAgain makes the wheel options ready to be judged again: wheels as they are, and those with a work as their
// planned readings are read and with the tolerance.
func (m *model) prepareAgain() {
	var fleets [numRetrials]wheel.Fleet
	add := func(n, option int, w *wheel.Wheel) {
		m.retrials[n].options = append(m.retrials[n].options, option)
		fleets[n].Wheels = append(fleets[n].Wheels, w)
	}
	for i := range m.axles {
		a := &m.axles[i]
		for j := range a.opts {
			for s, w := range a.index {
				if w < 0 {
					continue
				}
				option := a.first + 2*j + s
				for v, x := range a.opts[j].axles {
					if of := [2]*wheel.Wheel{x.L, x.R}[s]; j > 0 {
						add(workedNarrow+v, option, of)
					} else if v == 0 {
						add(unworked, option, of)
					}
				}
			}
		}
	}
	for n := range m.retrials {
		m.retrials[n].again = m.engine.Again(&fleets[n])
	}
}

// The wheels that are judged again, each kind apart.
const (
	unworked = iota // wheels as they are
	workedNarrow
	workedWide
	numRetrials
)

// learn judges the wheel options again at rows of which it is not known yet. Wheels as they are, at places as they are,
// were judged with the survey.
func (m *model) learn(rows []*rowModel) {
	var open []*rowModel
	var features [numRetrials][]*track.Feature
	var at [numRetrials]map[*track.Feature]int
	for n := range at {
		at[n] = map[*track.Feature]int{}
	}
	add := func(n int, f *track.Feature) {
		if _, ok := at[n][f]; !ok {
			at[n][f] = len(features[n])
			features[n] = append(features[n], f)
		}
	}
	checks := map[int]bool{}
	for _, r := range rows {
		if r.known {
			continue
		}
		r.known = true
		open = append(open, r)
		checks[r.check] = true
		for v := range 2 {
			add(workedNarrow+v, r.f[v])
			if !r.asIs {
				add(unworked, r.f[v])
			}
		}
	}
	if len(open) == 0 {
		return
	}
	var found [numRetrials][]map[int][]interaction.Verdict
	parallel.Each(numRetrials, func(n int) {
		found[n] = m.retrials[n].again.Rows(features[n], func(check int) bool { return checks[check] })
	})
	parallel.Each(len(open), func(i int) {
		r := open[i]
		for v := range 2 {
			r.after[v] = make([]interaction.Verdict, m.wheelOpts)
			lay := func(n int) {
				for k, verdict := range found[n][at[n][r.f[v]]][r.check] {
					r.after[v][m.retrials[n].options[k]] = verdict
				}
			}
			if !r.asIs {
				lay(unworked)
			}
			lay(workedNarrow + v)
		}
		m.fill(r, func(i, j int, _ *wheelOption, before interaction.Verdict) (n, x interaction.Verdict) {
			if r.asIs && j == 0 {
				r.after[0][i], r.after[1][i] = before, before
			}
			return r.after[0][i], r.after[1][i]
		})
	})
}

// pair is a pair of a choice: a wheel of a car at a check of a place.
type pair struct {
	c       *carModel
	axle    int // of the car
	side    int
	wheel   int // of the fleet
	check   int // of the place
	row     *rowModel
	truck   *truckState // if its truck is judged as one; nil: not, or not known
	coupled bool        // it is judged with its truck
	option  int         // of the wheel
}

// eachPair calls f for the pairs of a car at a place's option, its axles at their levels.
func (m *model) eachPair(c *carModel, p *placeModel, o *placeOption, level func(k int) int, f func(x *pair)) {
	if !c.meets[p.index] {
		return
	}
	x := pair{c: c}
	for q, r := range o.rows {
		trucks := m.judgesTrucks[r.check]
		x.check, x.row = q, r
		for k, ai := range c.axles {
			a := &m.axles[ai]
			x.axle, x.coupled, x.truck = k, false, nil
			if trucks && c.truckOf[k] != nil {
				x.coupled, x.truck = true, r.truck(c.truckOf[k], level)
			}
			for s, w := range a.index {
				if w >= 0 && m.trial.Has(r.check, m.shares[w], r.shares[0]) {
					x.side, x.wheel, x.option = s, w, a.first+2*level(k)+s
					f(&x)
				}
			}
		}
	}
}

// eachMarked calls f for those pairs that are bad or worse than they were, as far as is
// known: axle of the car, side, and check of the place.
func (m *model) eachMarked(c *carModel, p *placeModel, o *placeOption, level func(k int) int,
	f func(axle, side, check int, bad, worse bool)) {
	if !c.meets[p.index] {
		return
	}
	for q, r := range o.rows {
		if r.empty && len(r.trucks) == 0 {
			continue
		}
		for k, ai := range c.axles {
			if t := c.truckOf[k]; t != nil && m.judgesTrucks[r.check] {
				if s := r.truck(t, level); s != nil && s.marked() {
					for side := range 2 {
						if bad, worse := s.bad[t.at(k)][side], s.worse[t.at(k)][side]; bad || worse {
							f(k, side, q, bad, worse)
						}
					}
				}
				continue
			}
			i := m.axles[ai].first + 2*level(k)
			for side := range 2 {
				if bad, worse := r.bad.has(i+side), r.worse.has(i+side); bad || worse {
					f(k, side, q, bad, worse)
				}
			}
		}
	}
}

// after is the pair's verdicts, as the planned readings are read and with the tolerance;
// its row and truck must be known.
func (m *model) after(x *pair) (n, wide interaction.Verdict) {
	switch {
	case x.coupled:
		v := x.truck.after[x.c.truckOf[x.axle].at(x.axle)][x.side]
		return v[0], v[1]
	case x.row.after[0] != nil:
		return x.row.after[0][x.option], x.row.after[1][x.option]
	}
	a := &m.axles[x.c.axles[x.axle]]
	j := (x.option - a.first) / 2
	if before := x.row.place.before[x.row.k][x.wheel]; x.row.asIs && j == 0 {
		return before, before
	}
	return m.plain(x.row, &a.opts[j].wheels[x.side])
}
