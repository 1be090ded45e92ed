package plan

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/survey"
)

// Count is how many pairs have a verdict before and after the plan; pairs of a car at a
// place from which it is held, or that is closed, are no pairs afterwards.
type Count struct{ Before, After int }

// Plan is a set of actions, judged again on the readings that it sets.
type Plan struct {
	Options   Options
	Currency  string
	Cents     int64 // of all actions
	Bound     int64 // no set of the offered actions that does the same costs less
	Millis    int64 // crew days
	Conflict  Count
	Undecided Count
	Actions   []Action
	Defaults  []Default
	Curve     []Point
	// How the plan was found.
	Parts, Cuts, Nodes int
	Apart              int // pairs of cars that do not go to the place: left out
	Candidates         int // actions that were offered
	PassesBefore       float64
	PassesAfter        float64
	// PassesBound is the least that any plan within the budget leaves; without a budget 0.
	PassesBound float64
	model       *model
	choice      choice
	holds       map[[2]int]bool // car and place
	assembled   *assembled
}

// Proven reports whether no cheaper plan does the same.
func (p *Plan) Proven() bool { return p.Cents == p.Bound }

// GapPercent is how far the plan may be from the cheapest, in percent of its cost.
func (p *Plan) GapPercent() float64 {
	if p.Cents == 0 {
		return 0
	}
	return 100 * float64(p.Cents-p.Bound) / float64(p.Cents)
}

// Default is a figure that entered without being the railroad's own.
type Default struct{ Setting, Value, Source, Kind string }

// Make finds the plan. The error says which built-in data or setting does not fit; a
// survey that was read gives none.
func Make(sv *survey.Survey, opt Options) (*Plan, error) {
	if opt.Level == "" {
		opt.Level = LevelConflict
	}
	if len(sv.Costs.List) == 0 {
		copied := *sv
		copied.Costs = survey.NewCosts(sv.Data)
		sv = &copied
	}
	m, err := newModel(sv, opt)
	if err != nil {
		return nil, err
	}
	p := &Plan{Options: opt, Currency: sv.Costs.Currency, model: m, holds: map[[2]int]bool{}}
	if opt.Budget != nil || opt.CrewDays != nil {
		p.spend()
	} else {
		p.remove()
	}
	p.finish()
	s := newSpending(m)
	p.Curve = p.curve(s)
	if p.Bound > p.Cents {
		return nil, fmt.Errorf("plan: the bound %d is above the cost %d", p.Bound, p.Cents)
	}
	return p, nil
}

// remove finds the cheapest plan that leaves no treated pair.
func (p *Plan) remove() {
	m := p.model
	n := m.assemble()
	s := n.solve()
	for !m.settle(func(ci, k int) int { return n.cars[ci][s.choice.car[ci]].levels[k] }) {
		n = m.assemble()
		s = n.solve()
	}
	p.Bound, p.Parts, p.Cuts, p.Nodes, p.choice, p.assembled = s.bound, s.parts, s.cuts, s.nodes, s.choice, n
	for ci := range m.cars {
		x := &n.cars[ci][s.choice.car[ci]]
		for pi := range m.places {
			if x.marks[pi].has(s.choice.place[pi]) {
				p.holds[[2]int{ci, pi}] = true
			}
		}
	}
}

// spend finds the plan that ends most conflicting passes within the limits.
func (p *Plan) spend() {
	m := p.model
	var s *spending
	var r result
	for {
		s = newSpending(m)
		r = s.spend(m.candidates() <= exactCandidates)
		if m.settle(func(ci, k int) int { return s.opts[ci][r.choice.car[ci]].levels[k] }) {
			break
		}
	}
	p.Bound, p.choice, p.assembled = r.leastCents, r.choice, &assembled{cars: s.opts}
	for _, h := range r.holds {
		p.holds[h] = true
	}
	p.PassesBefore, p.PassesAfter, p.PassesBound = float64(s.passesBefore())/perPass, float64(r.left)/perPass, float64(r.leastLeft)/perPass
}

// finish writes the actions of the choice and counts the pairs.
func (p *Plan) finish() {
	m, n := p.model, p.assembled
	p.Candidates = m.candidates()
	for pi := range m.places {
		o := &m.places[pi].opts[p.choice.place[pi]]
		for i, a := range o.acts {
			a.order = pi
			a.pairs = p.without(func(w *without) { w.place, w.act = pi, i })
			p.Actions = append(p.Actions, a)
		}
	}
	for ci := range m.cars {
		x := &n.cars[ci][p.choice.car[ci]]
		for k, j := range x.levels {
			o := &m.axles[m.cars[ci].axles[k]].opts[j]
			for i, a := range o.acts {
				a.order, a.axle = ci, k
				a.pairs = p.without(func(w *without) { w.car, w.axle, w.act = ci, k, i })
				p.Actions = append(p.Actions, a)
			}
		}
		for pi := range m.places {
			if p.holds[[2]int{ci, pi}] {
				f := m.places[pi].f
				a := holding(m.sv, m.cars[ci].car, f.Name(), f.Location)
				a.order = ci
				a.pairs = p.held(ci, pi)
				p.Actions = append(p.Actions, a)
			}
		}
	}
	number := map[string]int{}
	for i := range p.Actions {
		a := &p.Actions[i]
		number[a.Side]++
		a.ID = fmt.Sprintf("%s%d", strings.ToUpper(a.Side[:1]), number[a.Side])
		a.Removes = len(a.pairs)
		p.Cents += a.Cents
		p.Millis += a.Millis
	}
	p.count()
	p.Defaults = p.defaults()
}

// candidates counts the actions that were offered and not found needless.
func (m *model) candidates() int {
	seen := map[string]bool{}
	for i := range m.places {
		for _, o := range m.places[i].opts {
			for _, a := range o.acts {
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
				some = some || m.leaves(&m.axles[ai], 0, &m.places[pi], 0)
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

// without is an action left out.
type without struct{ place, car, axle, act int }

// after is the verdict of a pair on the planned readings, the worse of those as read
// and those with the tolerance.
func (m *model) after(check int, w wheelOption, o *placeOption) interaction.Verdict {
	v := m.trial.Verdict(check, w.narrow, o.narrow)
	if w.narrow != w.wide || o.narrow != o.wide {
		v = min(v, m.trial.Verdict(check, w.wide, o.wide))
	}
	return v
}

// pairAt is a pair of a wheel of the fleet at a check of a place.
type pairAt struct{ car, wheel, place, check int }

// without is the pairs that come back, or become worse than they were, when one action
// is left out.
func (p *Plan) without(mark func(*without)) []pairAt {
	m := p.model
	w := without{place: -1, car: -1}
	mark(&w)
	var out []pairAt
	look := func(ci, k, pi int, axle int, place *placeOption, sides ...int) {
		a := &m.axles[m.cars[ci].axles[k]]
		pm := &m.places[pi]
		now := &pm.opts[p.choice.place[pi]]
		if !m.cars[ci].meets[pi] || now.narrow == nil && w.place != pi || p.holds[[2]int{ci, pi}] {
			return
		}
		for _, s := range sides {
			if a.index[s] < 0 {
				continue
			}
			for c, check := range pm.checks {
				if !m.trial.Has(check, m.shares[a.index[s]], pm.opts[0].narrow) {
					continue
				}
				before, v := pm.before[c][a.index[s]], m.after(check, a.opts[axle].wheels[s], place)
				if m.treats(before) && v != interaction.Clear || v < before {
					out = append(out, pairAt{ci, a.index[s], pi, c})
				}
			}
		}
	}
	switch {
	case w.place >= 0:
		left := m.leaving(&m.places[w.place], p.choice.place[w.place], w.act)
		for ci := range m.cars {
			for k := range m.cars[ci].axles {
				look(ci, k, w.place, p.level(ci, k), left, 0, 1)
			}
		}
	default:
		// The two wheels of an axle are worked on together; each answers for its own pairs.
		a := &m.axles[m.cars[w.car].axles[w.axle]]
		sides := []int{}
		for s := range 2 {
			if a.index[s] >= 0 {
				sides = append(sides, s)
			}
		}
		for pi := range m.places {
			look(w.car, w.axle, pi, 0, &m.places[pi].opts[p.choice.place[pi]], sides[min(w.act, len(sides)-1)])
		}
	}
	return out
}

// leaving is the option of a place that has the same works but one, with the readings
// most like those of the plan; as it is where the plan offered none.
func (m *model) leaving(p *placeModel, y, act int) *placeOption {
	want := []string{}
	sets := map[string]string{}
	for i, a := range p.opts[y].acts {
		if i != act {
			want = append(want, a.Work)
		}
		for c, v := range a.Sets {
			sets[c] = v
		}
	}
	best, alike := &p.opts[0], -1
	for o := range p.opts {
		have, same := []string{}, 0
		for _, a := range p.opts[o].acts {
			have = append(have, a.Work)
			for c, v := range a.Sets {
				if sets[c] == v {
					same++
				}
			}
		}
		if o != y && slices.Equal(have, want) && p.opts[o].narrow != nil && same > alike {
			best, alike = &p.opts[o], same
		}
	}
	return best
}

// held is the pairs that come back, or become worse, when a car is not held.
func (p *Plan) held(ci, pi int) []pairAt {
	m := p.model
	pm := &m.places[pi]
	o := &pm.opts[p.choice.place[pi]]
	var out []pairAt
	for k, ai := range m.cars[ci].axles {
		a := &m.axles[ai]
		for s, w := range a.index {
			for c, check := range pm.checks {
				if w < 0 || o.narrow == nil || !m.trial.Has(check, m.shares[w], pm.opts[0].narrow) {
					continue
				}
				before, v := pm.before[c][w], m.after(check, a.opts[p.level(ci, k)].wheels[s], o)
				if m.treats(before) && v != interaction.Clear || v < before {
					out = append(out, pairAt{ci, w, pi, c})
				}
			}
		}
	}
	return out
}

// count judges every pair on the planned readings, as they will be read.
func (p *Plan) count() {
	m := p.model
	before := m.judged(make([]int, len(m.places)), func(int, int) int { return 0 }, nil)
	after := m.judged(p.choice.place, p.level, p.holds)
	p.Conflict = Count{before.conflict, after.conflict}
	p.Undecided = Count{before.undecided, after.undecided}
	p.Apart = before.apart
}

// counted is how many pairs there are of a verdict.
type counted struct{ conflict, undecided, apart int }

// judged counts the pairs of a choice, on the readings as they will be read.
func (m *model) judged(places []int, level func(ci, k int) int, holds map[[2]int]bool) counted {
	list := make([]counted, len(m.places))
	each(len(m.places), func(pi int) {
		pm, x := &m.places[pi], &list[pi]
		o := &pm.opts[places[pi]]
		for ci := range m.cars {
			gone := o.narrow == nil || holds[[2]int{ci, pi}]
			for k, ai := range m.cars[ci].axles {
				a := &m.axles[ai]
				j := level(ci, k)
				for s, w := range a.index {
					for c, check := range pm.checks {
						if w < 0 || !m.trial.Has(check, m.shares[w], pm.opts[0].narrow) {
							continue
						}
						switch {
						case !m.cars[ci].meets[pi]:
							x.apart++
						case gone:
						case j == 0 && places[pi] == 0:
							tally(pm.before[c][w], &x.conflict, &x.undecided)
						default:
							tally(m.trial.Verdict(check, a.opts[j].wheels[s].narrow, o.narrow), &x.conflict, &x.undecided)
						}
					}
				}
			}
		}
	})
	var out counted
	for _, x := range list {
		out.conflict, out.undecided, out.apart = out.conflict+x.conflict, out.undecided+x.undecided, out.apart+x.apart
	}
	return out
}

func tally(v interaction.Verdict, conflict, undecided *int) {
	switch v {
	case interaction.Conflict:
		*conflict++
	case interaction.Undecided:
		*undecided++
	}
}

// Point is one point of the cost curve.
type Point struct {
	Cents     int64
	Conflicts int // treated pairs left
	Track     int64
	Cars      int64
}
