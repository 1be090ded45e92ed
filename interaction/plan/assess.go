package plan

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/exposure"
	"flangeway/interaction/judge"
	"flangeway/internal/each"
	"flangeway/internal/survey"
	"flangeway/wheel"
)

// Passes is expected conflicting passes a year, under a name. They are no accident probabilities: how often a conflict
// becomes an accident is not known.
type Passes struct {
	Name      string
	Passes    float64
	Conflicts int // pairs in conflict
	Undecided int // pairs that the readings leave open
	// Harm is the range of what they may cost a year, Expected that at what is usual, with each pair's chance.
	Harm     Harm
	Expected float64
}

// PassText writes passes a year to three digits.
func PassText(v float64) string {
	switch {
	case v == 0:
		return "0"
	case v >= 99.5:
		return configs.Apart(fmt.Sprintf("%.0f", v))
	case v >= 9.95:
		return fmt.Sprintf("%.1f", v)
	case v >= 0.01:
		return fmt.Sprintf("%.2f", v)
	}
	return "under 0.01"
}

// Assessment is how often the conflicts of a survey are met.
type Assessment struct {
	Total     float64
	Locations []Passes
	Wheels    []Passes
	Checks    []Passes
	Sampled   bool // some chances were found by drawing
	Shares    bool // some are the share of what was computed that fails
	Assumed   bool // some are one half, because nothing tells
	Pools     []Pool
	Currency  string
	chances   *chances
	at        map[[2]string]float64   // by location and check
	met       map[[2]string]metPasses // likewise
}

// passes are the expected conflicting passes a year of a check at a location.
func (a *Assessment) passes(location, check string) float64 { return a.at[[2]string{location, check}] }

// Pool is a group of which the measured cars are a sample: what share of the sample's wheel passes conflicts, carried
// over to the whole pool.
type Pool struct {
	Group        string
	Cars, Wheels int
	Bad          int     // wheels with a conflict
	Trips        float64 // of the pool, a year
	Passes       float64 // expected conflicting passes of the pool, a year
}

// chances finds the chance of pairs, preparing each side once.
type chances struct {
	m      *model
	found  map[[3]int]float64             // by wheel, place and check
	wheels map[[2]int]*interaction.Spread // by wheel and check
	places map[[2]int]*interaction.Spread
	// shares says that some are the share of what was computed that fails, assumed that some are one half for want of
	// anything better.
	shares, assumed bool
}

func newChances(m *model) *chances {
	return &chances{m: m, found: map[[3]int]float64{}, wheels: map[[2]int]*interaction.Spread{},
		places: map[[2]int]*interaction.Spread{}}
}

// of is the chance of an undecided pair.
func (c *chances) of(check, w int, p *placeModel) float64 {
	key := [3]int{w, p.index, check}
	v, ok := c.found[key]
	if !ok {
		v = c.find(check, w, p)
		c.found[key] = v
	}
	return v
}

func (c *chances) find(check, w int, p *placeModel) float64 {
	if open := c.m.engine.Open(p.f, check, w); !open.Plain {
		c.assumed = c.assumed || open.Assumed
		c.shares = true
		return open.Share
	}
	a, ok := c.wheels[[2]int{w, check}]
	if !ok {
		s := c.m.trial.WheelSpread(check, c.m.sv.Fleet.Wheels[w], uint64(w))
		a = &s
		c.wheels[[2]int{w, check}] = a
	}
	b, ok := c.places[[2]int{p.index, check}]
	if !ok {
		s := c.m.trial.PlaceSpread(check, p.f, uint64(p.index))
		b = &s
		c.places[[2]int{p.index, check}] = b
	}
	return c.m.trial.Chance(check, a, b)
}

// perTrip is the expected conflicting passes of a pair on one trip of the car.
func (c *chances) perTrip(v interaction.Verdict, k, w int, p *placeModel) float64 {
	if v != interaction.Conflict && v != interaction.Undecided {
		return 0
	}
	check, car := p.checks[k], c.m.sv.Fleet.Wheels[w].Car
	return c.m.exposure.PerTrip(c.m.trial.Checks[check], car, p.f) * c.before(v, k, w, p)
}

// before is the chance of a pair as it is.
func (c *chances) before(v interaction.Verdict, k, w int, p *placeModel) float64 {
	switch v {
	case interaction.Conflict:
		return 1
	case interaction.Undecided:
		return c.of(p.checks[k], w, p)
	}
	return 0
}

// Assess counts the expected conflicting passes of what an engine judges.
func Assess(e *judge.Engine) (*Assessment, error) {
	sv := e.Survey
	m := &model{sv: sv, engine: e, trial: interaction.NewTrial(sv.Settings, sv.Data), exposure: exposure.Of(sv)}
	m.trial.Marked = e.Computing()
	var err error
	if m.matrix, err = configs.LoadRisk(); err != nil {
		return nil, err
	}
	m.asIs()
	return m.assess()
}

func (m *model) assess() (*Assessment, error) {
	c := newChances(m)
	locations, wheels, checks := map[string]*Passes{}, map[string]*Passes{}, map[string]*Passes{}
	pools := m.pools()
	badWheel := map[*wheel.Wheel]bool{}
	unread := map[string]Harm{} // of pairs that were not measured, by wheel
	out := &Assessment{chances: c, Currency: cmp.Or(m.sv.Costs.Currency, survey.NewCosts(m.sv.Data).Currency),
		at: map[[2]string]float64{}, met: map[[2]string]metPasses{}}
	m.each(func(car *carModel, a *axleModel, side int, p *placeModel, k int, v interaction.Verdict) {
		w := a.index[side]
		if v == interaction.Clear || !m.engine.Chosen(w) {
			return
		}
		check := m.trial.Checks[p.checks[k]]
		trips := m.exposure.Trips(car.car)
		passes, harder := trips*c.perTrip(v, k, w, p), atSpeed(check, p.f)
		x := metPasses{passes * harder, trips * m.exposure.PerTrip(check, car.car, p.f) * harder}
		at := [2]string{p.f.Location, check.ID}
		sum := out.met[at]
		out.met[at] = metPasses{sum.expected + x.expected, sum.whole + x.whole}
		one := m.sv.Fleet.Wheels[w]
		name, harm := one.Name(), harmOf(m.matrix, check, x)
		if v == interaction.NotMeasured {
			unread[name] = unread[name].plus(harm)
			return
		}
		cost := expectedHarm(m.matrix, check, x.expected)
		out.at[at] += passes
		out.Total += passes
		countPair(locations, p.f.Location, v, passes, harm, cost)
		countPair(checks, check.ID, v, passes, harm, cost)
		if g := pools[car.car.Group]; g != nil && m.exposure.Pooled(car.car) {
			g.Passes += passes
			if v == interaction.Conflict && !badWheel[one] {
				badWheel[one] = true
				g.Bad++
			}
			return
		}
		countPair(wheels, name, v, passes, harm, cost)
	})
	for name, harm := range unread {
		if x := wheels[name]; x != nil {
			x.Harm = x.Harm.plus(harm)
		}
	}
	for k := range c.places {
		out.Sampled = out.Sampled || m.trial.Checks[k[1]].Sampled
	}
	clear(c.wheels) // what they led to is found
	clear(c.places)
	out.Shares, out.Assumed = c.shares, c.assumed
	out.Locations, out.Wheels, out.Checks = most(locations), most(wheels), most(checks)
	slices.SortStableFunc(out.Wheels, func(a, b Passes) int { return cmp.Compare(b.Expected, a.Expected) })
	for _, g := range pools {
		out.Pools = append(out.Pools, *g)
	}
	sort.Slice(out.Pools, func(i, j int) bool { return out.Pools[i].Group < out.Pools[j].Group })
	return out, nil
}

// countPair counts a pair under a name.
func countPair(to map[string]*Passes, name string, v interaction.Verdict, passes float64, harm Harm,
	expected float64) {
	x := to[name]
	if x == nil {
		x = &Passes{Name: name}
		to[name] = x
	}
	x.Passes += passes
	x.Harm, x.Expected = x.Harm.plus(harm), x.Expected+expected
	switch v {
	case interaction.Conflict:
		x.Conflicts++
	case interaction.Undecided:
		x.Undecided++
	}
}

// pools are the groups of pooled cars with the size of their samples.
func (m *model) pools() map[string]*Pool {
	pools := map[string]*Pool{}
	for _, x := range m.cars {
		if !m.exposure.Pooled(x.car) {
			continue
		}
		g := pools[x.car.Group]
		if g == nil {
			g = &Pool{Group: x.car.Group, Trips: m.exposure.Traffic().Pool[x.car.Group]}
			pools[x.car.Group] = g
		}
		g.Cars++
		for _, ai := range x.axles {
			for _, w := range m.axles[ai].index {
				if w >= 0 {
					g.Wheels++
				}
			}
		}
	}
	return pools
}

// most sorts by passes, the most first.
func most(m map[string]*Passes) []Passes {
	out := each.Of(slices.Collect(maps.Values(m)), func(x *Passes) Passes { return *x })
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		switch {
		case math.Abs(a.Passes-b.Passes) > 1e-9:
			return a.Passes > b.Passes
		case a.Conflicts != b.Conflicts:
			return a.Conflicts > b.Conflicts
		}
		return a.Name < b.Name
	})
	return out
}

// passesBefore is the expected conflicting passes a year of the pairs that ask for work.
func (m *model) passesBefore() float64 {
	if m.chances == nil {
		m.chances = newChances(m)
	}
	sum := 0.0
	for ci := range m.cars {
		c := &m.cars[ci]
		trips := m.exposure.Trips(c.car)
		for pi := range m.places {
			p := &m.places[pi]
			if !c.meets[pi] {
				continue
			}
			for _, ai := range c.axles {
				for _, w := range m.axles[ai].index {
					for k, check := range p.checks {
						if w >= 0 && m.asks(p, k, w) && m.trial.Has(check, m.shares[w], p.opts[0].narrow) {
							sum += trips * m.chances.perTrip(p.before[k][w], k, w, p)
						}
					}
				}
			}
		}
	}
	return sum
}
