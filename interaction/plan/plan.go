package plan

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/each"
	"flangeway/internal/parallel"
	"flangeway/internal/survey"
)

// Count is how many pairs have a verdict before and after the plan; pairs of a car at a
// place from which it is held, or that is closed, are no pairs afterwards.
type Count struct{ Before, After int }

// Plan is a set of actions, judged again on the readings that it sets.
type Plan struct {
	Options   Options
	Computed  bool // pairs are judged from shapes and forces too
	Currency  string
	Cents     int64 // of all actions
	Bound     int64 // no set of the offered actions that does the same costs less
	Millis    int64 // crew days
	Conflict  Count
	Undecided Count
	Open      int // conflicts of trucks in curves that are undecided afterwards, see ends
	Actions   []Action
	Defaults  []Default
	Curve     []Point
	Prices    []PriceRange // of the assumed ones that decide
	// PricesTried is how many assumed prices were tried for that.
	PricesTried int
	Federal     []Defect // readings beyond a federal limit, with what answers them
	// How the plan was found.
	Parts, Cuts, Nodes int
	Apart              int // pairs of cars that do not go to the place: counted, and left alone
	ApartLeft          int // of them conflicts that are left
	// InDoubt are the conflicts that are left since they rest on readings to be taken again first.
	InDoubt      int
	Candidates   int // actions that were offered
	PassesBefore float64
	PassesAfter  float64
	// PassesBound is the least that any plan within the budget leaves; without a budget 0.
	PassesBound float64
	// Weighed is what is minimised within limits, before and after, and the least that any plan within them leaves:
	// passes as they weigh.
	WeighedBefore, WeighedAfter, WeighedBound float64
	model                                     *model
	choice                                    choice
	holds                                     map[[2]int]bool // car and place
	assembled                                 *assembled
	barred                                    [][]barred // by car
}

// Limited reports whether money or days are limited: then passes are what is minimised, else the cost is.
func (p *Plan) Limited() bool { return p.Options.limited() }

// HorizonYears is over how many years its costs are counted.
func (p *Plan) HorizonYears() int64 { return p.model.sv.Costs.Years() }

// Minimises names what the plan is the least of.
func (p *Plan) Minimises() string {
	if p.Limited() {
		return cmp.Or(p.Options.By, ByHarm)
	}
	return "cost"
}

// Proven reports whether no plan is better in what is minimised: none is cheaper or, within limits, none leaves less of
// what is weighed.
func (p *Plan) Proven() bool {
	if p.Limited() {
		return p.WeighedAfter <= p.WeighedBound
	}
	return p.Cents == p.Bound
}

// GapPercent is how far the plan may be from the best in what is minimised, in percent of what it reaches.
func (p *Plan) GapPercent() float64 {
	if p.Limited() {
		if p.WeighedAfter <= p.WeighedBound {
			return 0
		}
		return 100 * (p.WeighedAfter - p.WeighedBound) / p.WeighedAfter
	}
	if p.Cents == 0 {
		return 0
	}
	return 100 * float64(p.Cents-p.Bound) / float64(p.Cents)
}

// Default is a figure that entered without being the railroad's own.
type Default struct{ Setting, Value, Source, Kind string }

// Make finds the plan for the survey of an engine, by the verdicts that the engine gives. The error says which built-in
// data or setting does not fit; a survey that was read gives none.
func Make(e *judge.Engine, opt Options) (*Plan, error) {
	sv := e.Survey
	if opt.Level == "" {
		opt.Level = LevelConflict
	}
	if len(sv.Costs.List) == 0 {
		copied := *sv
		copied.Costs = survey.NewCosts(sv.Data)
		sv = &copied
	}
	m, err := newModel(e, sv, opt)
	if err != nil {
		return nil, err
	}
	p := &Plan{Options: opt, Computed: e.Computing(), Currency: sv.Costs.Currency, model: m, holds: map[[2]int]bool{}}
	if opt.limited() {
		p.spend()
	} else {
		p.remove()
		if !opt.Rough {
			p.PassesBefore = m.passesBefore() // and none is left
		}
	}
	p.finish()
	if !opt.NoCurve {
		p.Curve = p.curve(newSpending(m))
		p.Prices, p.PricesTried = p.priceRanges()
	}
	if p.Bound > p.Cents {
		return nil, fmt.Errorf("plan: the bound %d is above the cost %d", p.Bound, p.Cents)
	}
	return p, nil
}

// remove finds the cheapest plan that leaves no treated pair. What shapes and forces say of a work is asked only of the
// works that a plan wants: until then a work does all that it may do, so that the cost found is never too high. If the
// engine says otherwise the choice is made again; the cost of the choice that it confirms is the least. Most of what
// the engine refutes a rough choice finds out, so the search for the least waits for one that the engine confirms.
func (p *Plan) remove() {
	m := p.model
	for {
		n, bounding := m.assemble()
		s := n.rough()
		if p.Options.Rough { // refine asks what the works do, as far as that is needed
			if !m.holds(n.chosen(s.choice).level) {
				continue
			}
		} else {
			if !m.settle(n.chosen(s.choice), whether) {
				continue
			}
			s = n.solve()
			if !m.settle(n.chosen(s.choice), whether) {
				continue
			}
		}
		if bounding != nil && !p.Options.Rough {
			s.bound = min(s.bound, bounding.solve().bound)
		}
		if p.Options.Rough {
			s.bound = 0 // not looked for
		}
		p.Bound = s.bound + m.rereadCents
		p.Parts, p.Cuts, p.Nodes, p.choice, p.assembled = s.parts, s.cuts, s.nodes, s.choice, n
		for ci := range m.cars {
			x := &n.cars[ci][s.choice.car[ci]]
			for pi := range m.places {
				if x.marks[pi].has(s.choice.place[pi]) {
					p.holds[[2]int{ci, pi}] = true
				}
			}
		}
		p.leaveOut()
		p.barredCars()
		return
	}
}

// spend finds the plan that ends most conflicting passes within the limits.
func (p *Plan) spend() {
	m := p.model
	var s *spending
	var r result
	for {
		s = newSpending(m)
		first := s.bound()
		if !m.holds(s.chosen(first.choice).level) {
			continue
		}
		if r = s.spend(first); !m.settle(s.chosen(r.choice), everything) {
			continue
		}
		if s.prove(&r, m.candidates() <= exactCandidates); m.settle(s.chosen(r.choice), everything) {
			break
		}
	}
	p.Bound, p.choice, p.assembled = r.leastCents+m.rereadCents, r.choice, &assembled{places: s.place, cars: s.opts}
	for _, h := range r.holds {
		p.holds[h] = true
	}
	p.leaveOut()
	p.barredCars()
	p.WeighedBefore, p.WeighedAfter, p.WeighedBound = float64(s.passesBefore())/perPass, float64(r.left)/perPass,
		float64(r.leastLeft)/perPass
	if m.opt.By == ByPasses {
		p.PassesBefore, p.PassesAfter, p.PassesBound = p.WeighedBefore, p.WeighedAfter, p.WeighedBound
		return
	}
	p.PassesBefore, p.PassesAfter = m.passesBefore(), m.passesLeft(p.chosen(), p.holds)
	p.PassesBound = m.leastPasses(p.PassesAfter)
}

// chosen is a choice by what it stands for.
type chosen struct {
	place func(pi int) *placeOption
	level func(ci, k int) int
	out   func(ci int) bool // the car is left out of service; nil: none is
}

// gone reports whether a car is left out of service.
func (c chosen) gone(ci int) bool { return c.out != nil && c.out(ci) }

// chosen lists the works of a choice.
func (n *assembled) chosen(c choice) chosen {
	return chosen{place: func(pi int) *placeOption { return n.places[pi][c.place[pi]] },
		level: func(ci, k int) int { return n.cars[ci][c.car[ci]].levels[k] }}
}

// chosen lists the works of a choice.
func (s *spending) chosen(c choice) chosen {
	return chosen{place: func(pi int) *placeOption { return s.place[pi][c.place[pi]] },
		level: func(ci, k int) int { return s.opts[ci][c.car[ci]].levels[k] },
		out:   func(ci int) bool { return s.opts[ci][c.car[ci]].out }}
}

// settle asks the lathe and the engine whether a choice does what it was chosen for, as far as that is needed. If it
// does not, they are known better and the choice is to be made again.
func (m *model) settle(c chosen, what need) bool {
	if !m.holds(c.level) {
		return false
	}
	wanted := func(int, int) need { return what }
	whole := m.whole(c)
	if rows, trucks := m.unknown(wanted, whole); len(rows)+len(trucks) == 0 {
		return true
	}
	marked := m.marked(c)
	m.ask(wanted, whole)
	if m.marked(c) != marked {
		m.prune()
		return false
	}
	return true
}

// looked is a choice of which some places are looked at, and one car or (-1) all of them.
type looked struct {
	c      chosen
	car    int
	places []int
}

// whole is all of a choice.
func (m *model) whole(c chosen) looked {
	return looked{c, -1, count(len(m.places))}
}

// carsOf are the cars of a choice that are looked at, from the first to the one before to.
func (m *model) carsOf(l looked) (from, to int) {
	if l.car >= 0 {
		return l.car, l.car + 1
	}
	return 0, len(m.cars)
}

// ask asks the engine for the verdicts that are needed of the trucks of a car at a place, and for all of the other
// wheels, of choices.
func (m *model) ask(needed func(ci, pi int) need, list ...looked) {
	for {
		rows, trucks := m.unknown(needed, list...)
		if len(rows)+len(trucks) == 0 {
			return
		}
		m.learn(rows)
		m.learnTrucks(trucks)
	}
}

// marked counts the pairs that a choice leaves bad or worse, as far as is known.
func (m *model) marked(c chosen) int {
	n := 0
	for ci := range m.cars {
		for pi := range m.places {
			m.eachMarked(&m.cars[ci], &m.places[pi], c.place(pi), func(k int) int { return c.level(ci, k) },
				func(_, _, _ int, bad, worse bool) {
					if bad {
						n++
					}
					if worse {
						n++
					}
				})
		}
	}
	return n
}

// leavesAny reports whether a choice leaves anything bad or worse of a car at a place, as far as is known.
func (m *model) leavesAny(c chosen, ci, pi int) bool {
	some := false
	m.eachMarked(&m.cars[ci], &m.places[pi], c.place(pi), func(k int) int { return c.level(ci, k) },
		func(int, int, int, bool, bool) { some = true })
	return some
}

// unknown lists the questions about choices that the engine is to be asked next.
func (m *model) unknown(needed func(ci, pi int) need, list ...looked) (rows []*rowModel, trucks []wantedTruck) {
	for _, l := range list {
		from, to := m.carsOf(l)
		for _, pi := range l.places {
			wanted := false
			for ci := from; ci < to && !wanted; ci++ {
				wanted = needed(ci, pi) != nothing
			}
			if !wanted {
				continue
			}
			for _, r := range l.c.place(pi).rows {
				if !r.known {
					rows = append(rows, r)
				}
				if !m.judgesTrucks[r.check] {
					continue
				}
				for ci := from; ci < to; ci++ {
					what := needed(ci, pi)
					trucks = m.wantedTrucks(trucks, l.c, ci, r, what, what == whether && m.leavesAny(l.c, ci, pi))
				}
			}
		}
	}
	return rows, trucks
}

// chosen is what the plan's choice stands for.
func (p *Plan) chosen() chosen { return chosen{place: p.option, level: p.level, out: p.out} }

// option is the option of a place that the plan chose.
func (p *Plan) option(pi int) *placeOption { return p.assembled.places[pi][p.choice.place[pi]] }

// finish writes the actions of the choice and counts the pairs.
func (p *Plan) finish() {
	m := p.model
	p.Candidates = m.candidates() + len(m.rereads)
	if m.opt.Rough {
		for p.write(); p.refine(); {
			p.write()
		}
		return
	}
	// Of a car that is held off a place it is enough which pairs keep it off, and nothing without one of the works.
	m.ask(func(ci, pi int) need {
		if p.holds[[2]int{ci, pi}] {
			return which
		}
		return everything
	}, m.whole(p.chosen()))
	m.ask(func(ci, pi int) need {
		if p.holds[[2]int{ci, pi}] {
			return nothing
		}
		return everything
	}, p.withouts()...)
	p.write()
	p.windows()
	p.Federal = p.defects()
	p.interim()
	p.count()
	p.Defaults = p.defaults()
}

// withouts are the choices without one of the works each, in the order of the works: of places, then of axles. Each is
// looked at where it differs.
func (p *Plan) withouts() (out []looked) {
	m := p.model
	for pi := range m.places {
		for i := range p.option(pi).acts {
			out = append(out, looked{p.unbuilt(pi, i), -1, []int{pi}})
		}
	}
	places := p.openPlaces()
	for ci := range m.cars {
		for k := range m.cars[ci].axles {
			if p.level(ci, k) > 0 {
				out = append(out, looked{p.unworked(ci, k), ci, places})
			}
		}
	}
	return out
}

// write writes the actions of the choice, each with the pairs that come back without it.
func (p *Plan) write() {
	m := p.model
	p.Actions, p.Cents, p.Millis = nil, 0, 0
	for _, a := range m.rereads {
		m.readFederal(&a)
		p.Actions = append(p.Actions, a)
	}
	without := p.withouts()
	for pi := range m.places {
		acts := slices.Clone(p.option(pi).acts)
		m.marksFederal(&m.places[pi], p.option(pi), acts)
		for _, a := range acts {
			a.order = pi
			for ci := range m.cars {
				a.pairs = p.back(a.pairs, without[0].c, ci, pi, func(*pair) bool { return true })
			}
			a.without = p.lacks(without[0], false)
			without = without[1:]
			if !a.paid {
				p.Actions = append(p.Actions, a)
			}
		}
		for _, a := range m.keeping(&m.places[pi], p.option(pi)) {
			a.order = pi
			p.Actions = append(p.Actions, a)
		}
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		for k, ai := range c.axles {
			a := &m.axles[ai]
			j := p.level(ci, k)
			if j == 0 {
				continue
			}
			// The two wheels of an axle are worked on together; each answers for its own pairs,
			// and for those of its truck's other axle with it.
			sides := sidesOf(a)
			acts := slices.Clone(a.opts[j].acts)
			m.marksAxle(a, acts)
			for i, act := range acts {
				side := sides[min(i, len(sides)-1)]
				act.order, act.axle = ci, k
				act.without = p.lacks(without[0], false)
				for _, pi := range without[0].places {
					act.pairs = p.back(act.pairs, without[0].c, ci, pi, func(x *pair) bool {
						return x.side == side && (x.axle == k || x.coupled && c.truckOf[x.axle] == c.truckOf[k])
					})
				}
				p.Actions = append(p.Actions, act)
			}
			without = without[1:]
		}
		if p.out(ci) {
			p.Actions = append(p.Actions, p.outAction(ci))
			continue
		}
		for _, a := range p.heldOff(ci) {
			a.order = ci
			p.Actions = append(p.Actions, a)
		}
	}
	number := map[string]int{}
	for i := range p.Actions {
		a := &p.Actions[i]
		number[a.Side]++
		a.ID = fmt.Sprintf("%s%d", strings.ToUpper(a.Side[:1]), number[a.Side])
		if a.Effect != Reads {
			a.Removes = len(a.pairs)
		}
		p.Cents += a.Cents
		p.Millis += a.Millis
	}
	sequence(p.Actions)
}

// sidesOf are the sides of an axle that stand in the sheet, 0 for L.
func sidesOf(a *axleModel) []int {
	return slices.DeleteFunc([]int{0, 1}, func(s int) bool { return a.index[s] < 0 })
}

// unbuilt is the plan's choice without one of the works on a place.
func (p *Plan) unbuilt(pi, act int) chosen {
	c := p.chosen()
	other := p.model.leaving(&p.model.places[pi], p.option(pi), act)
	c.place = func(i int) *placeOption {
		if i == pi {
			return other
		}
		return p.option(i)
	}
	return c
}

// unworked is the plan's choice with one axle as it is.
func (p *Plan) unworked(ci, k int) chosen {
	c := p.chosen()
	c.level = func(i, axle int) int {
		if i == ci && axle == k {
			return 0
		}
		return p.level(i, axle)
	}
	return c
}

// candidates counts the actions that were offered and not found needless.
func (m *model) candidates() int {
	seen := map[string]bool{}
	for i := range m.places {
		for _, y := range m.places[i].live {
			for _, a := range m.places[i].opts[y].acts {
				seen[a.Where+"|"+a.Work+"|"+a.SetsText()] = true
			}
		}
	}
	for i := range m.axles {
		for _, o := range m.axles[i].opts {
			if !o.gone && o.work.name != "" {
				seen[fmt.Sprint(i, o.work.name, o.work.thick)] = true
			}
		}
	}
	n := len(seen)
	if m.opt.TrackOnly {
		return n
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		for pi := range m.places {
			some := false
			for _, ai := range c.axles {
				some = some || m.leaves(&m.axles[ai], 0, &m.places[pi].opts[0])
			}
			for _, r := range m.places[pi].opts[0].rows {
				for _, t := range c.trucks {
					s := r.truck(t, asRead)
					some = some || s != nil && s.marked()
				}
			}
			if some {
				n++
			}
		}
	}
	return n
}

// level is the axle option that the plan chose.
func (p *Plan) level(ci, k int) int { return p.assembled.cars[ci][p.choice.car[ci]].levels[k] }

// pairAt is a pair of a wheel of the fleet at a check of a place.
type pairAt struct{ car, wheel, place, check int }

// back is the pairs of a choice that come back, or become worse than they were, of a car at
// a place from which it is not held.
func (p *Plan) back(out []pairAt, c chosen, ci, pi int, which func(x *pair) bool) []pairAt {
	if p.holds[[2]int{ci, pi}] {
		return out
	}
	return p.model.left(out, c, ci, pi, which)
}

// left is the pairs of a choice that are bad, or worse than they were, of a car at a place.
func (m *model) left(out []pairAt, c chosen, ci, pi int, which func(x *pair) bool) []pairAt {
	m.eachPair(&m.cars[ci], &m.places[pi], c.place(pi), func(k int) int { return c.level(ci, k) }, func(x *pair) {
		if !which(x) {
			return
		}
		if bad, worse := m.comesBack(x); bad || worse {
			out = append(out, pairAt{ci, x.wheel, pi, x.check})
		}
	})
	return out
}

// comesBack says whether a pair is bad or worse, by its verdicts; of a rough plan, as far as is known.
func (m *model) comesBack(x *pair) (bad, worse bool) {
	switch {
	case !m.opt.Rough:
	case !x.coupled:
		return x.row.bad.has(x.option), x.row.worse.has(x.option)
	case x.truck == nil:
		return false, false
	default:
		at := x.c.truckOf[x.axle].at(x.axle)
		return x.truck.bad[at][x.side], x.truck.worse[at][x.side]
	}
	n, wide := m.after(x)
	return m.marks(x.row, x.wheel, m.worked(x), n, wide)
}

// worked reports whether the axle of a pair is worked on.
func (m *model) worked(x *pair) bool {
	return x.option >= m.axles[x.c.axles[x.axle]].first+2
}

// leaving is the option of a place that has the same works but one, with the readings
// most like those of the plan; as it is if the plan offered none.
func (m *model) leaving(p *placeModel, chosen *placeOption, act int) *placeOption {
	workOf := func(a Action) string { return a.Work }
	want, sets := each.Of(slices.Delete(slices.Clone(chosen.acts), act, act+1), workOf), map[string]string{}
	for _, a := range chosen.acts {
		maps.Copy(sets, a.Sets)
	}
	best, alike := &p.opts[0], -1
	for o := range p.opts {
		have, same := each.Of(p.opts[o].acts, workOf), 0
		for _, a := range p.opts[o].acts {
			for c, v := range a.Sets {
				if sets[c] == v {
					same++
				}
			}
		}
		if &p.opts[o] != chosen && slices.Equal(have, want) && p.opts[o].rows != nil && same > alike {
			best, alike = &p.opts[o], same
		}
	}
	return best
}

// held is the pairs that come back, or become worse, when a car is not held.
func (p *Plan) held(ci, pi int) []pairAt {
	return p.model.left(nil, p.chosen(), ci, pi, func(*pair) bool { return true })
}

// count judges every pair on the planned readings, as they will be read. A pair of a car
// that does not go to the place is counted as the check counts it: the plan leaves it alone.
func (p *Plan) count() {
	m := p.model
	c := p.chosen()
	list := make([]counted, len(m.places))
	parallel.Each(len(m.places), func(pi int) {
		pm, x := &m.places[pi], &list[pi]
		for ci := range m.cars {
			car := &m.cars[ci]
			if m.sv.Held.From(car.car, pm.f) {
				continue
			}
			gone := c.place(pi).rows == nil || car.meets[pi] && p.holds[[2]int{ci, pi}] || c.gone(ci)
			for _, ai := range car.axles {
				for _, w := range m.axles[ai].index {
					for k, check := range pm.checks {
						if w < 0 || !m.trial.Has(check, m.shares[w], pm.opts[0].narrow) {
							continue
						}
						x.before[pm.before[k][w]]++
						if !car.meets[pi] {
							x.apart++
							if v := pm.before[k][w]; !gone && c.place(pi).narrow.Applies(check) {
								x.after[v]++
								if v == interaction.Conflict {
									x.apartLeft++
								}
							}
						}
					}
				}
			}
			if !gone {
				m.eachPair(car, pm, c.place(pi), func(k int) int { return c.level(ci, k) }, func(q *pair) {
					n, _ := m.after(q)
					x.after[n]++
					if n == interaction.Undecided && pm.before[q.check][q.wheel] == interaction.Conflict {
						x.open++
					}
					if n == interaction.Conflict && q.row.inDoubt(q.wheel, m.worked(q)) {
						x.inDoubt++
					}
				})
			}
		}
	})
	for _, x := range list {
		p.Conflict = Count{p.Conflict.Before + x.before[interaction.Conflict], p.Conflict.After +
			x.after[interaction.Conflict]}
		p.Undecided = Count{p.Undecided.Before + x.before[interaction.Undecided], p.Undecided.After +
			x.after[interaction.Undecided]}
		p.Open += x.open
		p.Apart, p.ApartLeft, p.InDoubt = p.Apart+x.apart, p.ApartLeft+x.apartLeft, p.InDoubt+x.inDoubt
	}
}

// counted is how many pairs there are of each verdict, before and after.
type counted struct {
	before, after    [interaction.Clear + 1]int
	apart, apartLeft int
	inDoubt, open    int
}

// Point is one point of the cost curve.
type Point struct {
	Cents     int64
	Conflicts int // treated pairs left
	Track     int64
	Cars      int64
}
