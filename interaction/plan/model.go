package plan

import (
	"errors"
	"fmt"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/exposure"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
	"flangeway/internal/parallel"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// The levels at which pairs are treated.
const (
	LevelConflict  = "conflict"
	LevelUndecided = "undecided"
)

// wheelOption is one wheel after a work on its axle: as the planned readings are read,
// and with the tolerance; the two are one if there is none.
type wheelOption struct {
	narrow, wide *interaction.WheelShare
	ends         [2]*interaction.WheelShare // all that the work leaves at its least and its most; nil: none
	finer        float64                    // how much less they err there, mm
}

// axleOption is one way to work on an axle; the first is as it is.
type axleOption struct {
	work          axleWork
	acts          []Action
	cents, millis int64
	wheels        [2]wheelOption // L and R; zero if the sheet has none
	axles         [2]*wheel.Axle // as the planned readings are read, and with the tolerance
	gone          bool           // never better than another one
	never         bool           // the rims do not hold it
	broken        bool           // it leaves a reading beyond a regulation, which has to be answered
}

// axleModel is an axle with its options; their bits begin at first.
type axleModel struct {
	axle  *wheel.Axle
	index [2]int // into the fleet's wheels, -1 for none
	opts  []axleOption
	first int
}

// placeOption is one way to work on a place; the first is as it is.
type placeOption struct {
	acts          []Action
	cents, millis int64
	narrow, wide  *interaction.PlaceShare // nil if the place is closed
	rows          []*rowModel             // by check of the place; nil if it is closed
	f             *track.Feature          // as the planned readings are read
	broken        bool                    // it leaves a reading beyond a regulation, which has to be answered
	again         bool                    // readings that contradict each other are read again first
	// kept are the tolerances of the readings that the works leave, mm; ends are the place with all of them at their
	// least and at their most, and finer is how much less they err there.
	kept  map[track.Quantity]float64
	ends  []*interaction.PlaceShare
	finer float64
}

// placeModel is a feature with its options.
type placeModel struct {
	f       *track.Feature
	checks  []int                   // indexes of the checks that apply
	before  [][]interaction.Verdict // by check, by wheel of the fleet
	doubted [][]judge.Doubt         // likewise; nil if there is none
	opts    []placeOption
	live    []int // of them that another one is not never worse than, as far as is known
	index   int
	beyond  []limit.Judgement // the regulations that it is beyond as it is
	// offered are the names of the works that were tried.
	offered []string
}

// carModel is a car with its axles.
type carModel struct {
	car   *wheel.Car
	axles []int
	hold  int64 // to keep it off one place; forbidden if the car side does nothing
	meets []bool
	// trucks are those that are judged as one, truckOf which of them each axle is in; nil
	// if every axle is judged by itself.
	trucks  []*truckModel
	truckOf []*truckModel
	// beyond are the regulations that its readings are beyond as they are, with where; truckBeyond says that one is of
	// a whole truck.
	beyond      []limit.Judgement
	beyondAt    []string
	truckBeyond bool
}

// model is everything that a plan is chosen from.
type model struct {
	sv        *survey.Survey
	opt       Options
	engine    *judge.Engine
	trial     *interaction.Trial
	exposure  *exposure.Exposure
	shop      *shop
	shares    []*interaction.WheelShare // as they are
	axles     []axleModel
	cars      []carModel
	places    []placeModel
	at        map[string]*placeModel // by name
	lanes     map[int][]lane
	wheelOpts int // wheel options in all: two for each axle option
	retrials  [numRetrials]retrial
	chances   *chances // of the pairs as they are, found once
	// rereads are the readings to take again before anything else, and what they cost.
	rereads                   []Action
	rereadCents, rereadMillis int64
	matrix                    *configs.Risk // what severities weigh
	// holdWork is what it takes to keep a car off, by kind.
	holdWork [numHoldKinds]Action
	// judgesTrucks says, by check, that trucks are judged as one.
	judgesTrucks []bool
	law          *law
	lineOf       []int // the track on which each place lies alone; -1: on none, or on several
}

// forbidden is a price that no plan pays.
const forbidden = int64(1) << 50

func newModel(e *judge.Engine, sv *survey.Survey, opt Options) (*model, error) {
	m, err := rawModel(e, sv, opt)
	if err != nil {
		return nil, err
	}
	m.prune()
	return m, nil
}

// rawModel is the model with every option, the needless ones too.
func rawModel(e *judge.Engine, sv *survey.Survey, opt Options) (*model, error) {
	m := &model{sv: sv, opt: opt, engine: e, trial: interaction.NewTrial(sv.Settings, sv.Data),
		exposure: exposure.Of(sv), lanes: map[int][]lane{}}
	m.trial.Marked = e.Computing()
	var err error
	if m.matrix, err = configs.LoadRisk(); err != nil {
		return nil, err
	}
	if m.shop, err = newShop(sv, m.trial.Rules); err != nil {
		return nil, err
	}
	m.asIs()
	m.priceHolds()
	m.linesOf()
	m.lawOf()
	m.readAgain()
	if err := m.axleOptions(); err != nil {
		return nil, err
	}
	return m, m.placeOptions()
}

// priceHolds sets the price of keeping cars off.
func (m *model) priceHolds() {
	m.holdWork = [...]Action{ownCar: work(m.sv.Costs, "car_hold"), foreignCar: work(m.sv.Costs, "foreign_hold"),
		ownEngine: work(m.sv.Costs, "engine_hold")}
	for ci := range m.cars {
		c := &m.cars[ci]
		if c.hold = holding(m.sv, c.car, "", "").Cents; m.opt.TrackOnly {
			c.hold = forbidden
		}
	}
}

// treats reports whether pairs of a verdict are to be removed.
func (m *model) treats(v interaction.Verdict) bool {
	return v == interaction.Conflict || v == interaction.Undecided && m.opt.Level == LevelUndecided
}

// asks reports whether a pair as it is asks for work: one to be removed that rests on no
// reading under a warning. Nobody works by a reading that is to be taken again first.
func (m *model) asks(p *placeModel, k, w int) bool {
	return m.treats(p.before[k][w]) && !p.doubts(k, w)
}

// doubts reports whether a pair rests on a reading under a warning.
func (p *placeModel) doubts(k, w int) bool {
	return p.doubted[k] != nil && p.doubted[k][w] != judge.Doubt{}
}

// asIs judges every pair as it is.
func (m *model) asIs() {
	fleet := m.sv.Fleet.Wheels
	at := map[*wheel.Wheel]int{}
	m.shares = make([]*interaction.WheelShare, len(fleet))
	m.judgesTrucks = make([]bool, len(m.trial.Checks))
	for i, w := range fleet {
		at[w] = i
		m.shares[i] = m.trial.Wheel(w)
	}
	index := func(w *wheel.Wheel) int {
		if w == nil {
			return -1
		}
		return at[w]
	}
	for _, c := range m.sv.Fleet.Cars {
		if len(c.AxleList) == 0 {
			continue
		}
		cm := carModel{car: c}
		for _, f := range m.sv.Track.Features {
			cm.meets = append(cm.meets, m.exposure.Meets(c, f))
		}
		for _, a := range c.AxleList {
			am := axleModel{axle: a, index: [2]int{index(a.L), index(a.R)}}
			o := axleOption{axles: [2]*wheel.Axle{a, a}}
			for s, i := range am.index {
				if i >= 0 {
					o.wheels[s] = wheelOption{narrow: m.shares[i], wide: m.shares[i]}
				}
			}
			am.opts = []axleOption{o}
			cm.axles = append(cm.axles, len(m.axles))
			m.axles = append(m.axles, am)
		}
		m.couple(&cm)
		m.cars = append(m.cars, cm)
	}
	for i, f := range m.sv.Track.Features {
		share := m.trial.Place(f)
		p := placeModel{f: f, index: i, opts: []placeOption{{narrow: share, wide: share, f: f}}, live: []int{0}}
		for k := range m.trial.Checks {
			if row := m.engine.Row(f, k); row != nil {
				p.checks = append(p.checks, k)
				p.before = append(p.before, row)
				p.doubted = append(p.doubted, m.engine.InDoubt(f, k))
			}
		}
		m.places = append(m.places, p)
	}
	m.at = make(map[string]*placeModel, len(m.places))
	for i := range m.places {
		m.at[m.places[i].f.Name()] = &m.places[i]
	}
}

// each calls f for every pair that can meet: car, axle and side of it, place and check of it, and its verdict as it is.
func (m *model) each(f func(c *carModel, a *axleModel, side int, p *placeModel, check int, v interaction.Verdict)) {
	for ci := range m.cars {
		c := &m.cars[ci]
		for _, ai := range c.axles {
			a := &m.axles[ai]
			for side, w := range a.index {
				if w < 0 {
					continue
				}
				for pi := range m.places {
					p := &m.places[pi]
					if !c.meets[pi] {
						continue
					}
					for k, check := range p.checks {
						if m.trial.Has(check, m.shares[w], p.opts[0].narrow) {
							f(c, a, side, p, k, p.before[k][w])
						}
					}
				}
			}
		}
	}
}

// axleOptions adds the works to every axle with a pair to treat.
func (m *model) axleOptions() error {
	treated := map[*axleModel]bool{}
	if !m.opt.TrackOnly {
		for i := range m.axles {
			if !m.opt.IgnoreLimits && len(m.law.axle(m.axles[i].axle)) > 0 {
				treated[&m.axles[i]] = true
			}
		}
		m.each(func(_ *carModel, a *axleModel, side int, p *placeModel, k int, _ interaction.Verdict) {
			if m.asks(p, k, a.index[side]) {
				treated[a] = true
			}
		})
	}
	for i := range m.axles {
		a := &m.axles[i]
		if treated[a] {
			for _, w := range m.shop.works(a.axle) {
				w = m.withinLaw(a.axle, w)
				narrow, wide, err := m.shop.planned(a.axle, w)
				if err != nil {
					return fmt.Errorf("car %s axle %d: %w", a.axle.Car.ID, a.axle.Number, err)
				}
				ends := m.wheelEnds(narrow, w)
				cost := work(m.sv.Costs, w.name)
				o := axleOption{work: w, cents: cost.Cents, millis: cost.Millis, axles: [2]*wheel.Axle{narrow, wide}}
				for s, v := range [2]*wheel.Wheel{narrow.L, narrow.R} {
					if v != nil {
						x := [2]*wheel.Wheel{wide.L, wide.R}[s]
						o.wheels[s] = wheelOption{narrow: m.trial.Wheel(v), wide: m.trial.Wheel(x),
							finer: m.finerWheel(w, v)}
						for e := range ends {
							o.wheels[s].ends[e] = m.trial.Wheel([2]*wheel.Wheel{ends[e].L, ends[e].R}[s])
						}
					}
				}
				a.opts = append(a.opts, o)
			}
		}
		for j := range a.opts {
			a.opts[j].broken = !m.opt.IgnoreLimits && len(m.law.axle(a.opts[j].axles[0])) > 0
		}
		a.first = m.wheelOpts
		m.wheelOpts += 2 * len(a.opts)
	}
	return nil
}

// choices finds which works the checks of a place ask for.
func (m *model) choices(p *placeModel) choices {
	var c choices
	any := func(k int) bool { return !p.opts[0].rows[k].empty }
	for k, check := range p.checks {
		if !any(k) {
			continue
		}
		works := m.trial.Checks[check].Works
		c.trail = c.trail || m.trial.Checks[check].NoTrailing
		c.depth = c.depth || works.Any(interaction.Depth)
		c.width = c.width || works.Any(interaction.Width)
		c.guard = c.guard || works.Any(interaction.GuardRail)
		c.gauge = c.gauge || works.Any(interaction.Regauge)
		c.adjust = c.adjust || works.Any(interaction.AdjustSwitch)
		c.points = c.points || works.Any(interaction.RenewPoints)
		c.tip = c.tip || works.Any(interaction.MendTip)
		c.risers = c.risers || works.Any(interaction.Risers)
		c.joint = c.joint || works.Any(interaction.RenewJoint)
		c.unload = c.unload || works.Any(interaction.Surface)
		c.guardTip = c.guardTip || works.Any(interaction.GuardTip) && m.engine.Computes(check)
	}
	c.surface = c.unload
	return c
}

// placeOptions adds the works to every place with a pair to treat, or with one that a work on a car would make worse.
func (m *model) placeOptions() error {
	for k := range m.trial.Checks {
		m.fillLane(k)
	}
	m.prepareAgain()
	all := make([]map[rowKey]*rowModel, len(m.places))
	parallel.Each(len(m.places), func(i int) {
		all[i] = map[rowKey]*rowModel{}
		m.judge(&m.places[i], 0, m.places[i].f, m.places[i].f, all[i])
	})
	var rows []*rowModel
	for i := range m.places {
		for _, r := range m.places[i].opts[0].rows {
			if len(m.axles) > 0 && m.wheelOpts > 2*len(m.axles) { // some axle can be worked on
				rows = append(rows, r)
			}
		}
	}
	m.learn(rows)
	errs := make([]error, len(m.places))
	parallel.Each(len(m.places), func(i int) { errs[i] = m.optionsOf(&m.places[i], all[i]) })
	return errors.Join(errs...)
}

func (m *model) optionsOf(p *placeModel, rows map[rowKey]*rowModel) error {
	c := m.choices(p)
	left := open(p.beyond)
	if m.opt.IgnoreLimits {
		left = nil
	}
	c.asksOf(left)
	if (c == (choices{}) && m.quiet(p) || m.opt.CarsOnly) && len(left) == 0 {
		return nil
	}
	shop := workshop{rules: m.trial.Rules, sv: m.sv, f: p.f, design: m.sv.Data.Designed[p.f.Kind.String()].Values}
	var list []draft
	if !m.opt.CarsOnly {
		list = shop.drafts(c)[1:]
	}
	if !m.opt.IgnoreLimits {
		list = m.lawful(p, list)
		p.opts[0].broken = len(left) > 0
	}
	for _, d := range list {
		narrow, wide, err := d.features(m, p.f)
		if err != nil {
			return err
		}
		o := placeOption{acts: append(d.finish(p.f), d.answers(m, p.f)...), narrow: m.trial.Place(narrow),
			wide: m.trial.Place(wide), f: narrow, again: d.again, kept: map[track.Quantity]float64{}}
		for q := range d.to {
			t := d.tolerance(m.sv, q)
			o.kept[q] = t
			o.finer += finer(m.sv.Columns[q.String()], narrow.Read(q), either(t))
		}
		for _, e := range d.ends(m) {
			o.ends = append(o.ends, m.trial.Place(e))
		}
		for _, a := range o.acts {
			o.cents, o.millis = o.cents+a.Cents, o.millis+a.Millis
			p.offered = append(p.offered, a.Work)
		}
		p.opts = append(p.opts, o)
		m.judge(p, len(p.opts)-1, narrow, wide, rows)
	}
	a := closing(m.sv, p.f)
	p.offered = append(p.offered, a.Work)
	p.opts = append(p.opts, placeOption{acts: []Action{a}, cents: a.Cents, millis: a.Millis})
	for y := range p.opts[1:] {
		p.live = append(p.live, y+1)
	}
	return nil
}

// quiet reports whether nothing at a place is bad or can become worse.
func (m *model) quiet(p *placeModel) bool {
	for _, r := range p.opts[0].rows {
		if !r.empty {
			return false
		}
		for _, by := range r.trucks {
			for _, s := range by {
				if s.marked() {
					return false
				}
			}
		}
	}
	return true
}

// lane is the share of a wheel option at one check that is a plain sum, mm: as the
// planned readings are read, and with the tolerance.
type lane struct {
	lo, hi, wideLo, wideHi float64
	known                  bool
}

// fillLane prepares the shares at a check by wheel option; none if it is no plain sum.
func (m *model) fillLane(check int) {
	if !m.trial.Sums(check) {
		return
	}
	out := make([]lane, m.wheelOpts)
	for i := range m.axles {
		a := &m.axles[i]
		for j := range a.opts {
			for s, w := range a.opts[j].wheels {
				if w.narrow == nil {
					continue
				}
				l := &out[a.first+2*j+s]
				l.lo, l.hi, l.known = w.narrow.Bounds(check)
				l.wideLo, l.wideHi, _ = w.wide.Bounds(check)
			}
		}
	}
	m.lanes[check] = out
}

// prune takes out what is never better than something else: an option that costs no less, takes no fewer days, and
// leaves bad or worse whatever another one leaves. The lathe is asked later, for the turnings that a plan wants.
func (m *model) prune() {
	m.prunePlaces() // against all options of the axles: the lathe may bring back what was needless
	parallel.Each(len(m.axles), func(i int) { m.pruneAxle(&m.axles[i]) })
}

// columns is what each axle option leaves, at every check of every option of every place.
func (m *model) columns(a *axleModel) []bitset {
	n := 0
	for i := range m.places {
		n += len(m.places[i].live) * len(m.places[i].checks)
	}
	out := make([]bitset, len(a.opts))
	for j := range out {
		out[j] = newBitset(4 * n)
	}
	at := 0
	for i := range m.places {
		p := &m.places[i]
		for _, o := range p.live {
			for k := range p.checks {
				if p.opts[o].rows == nil || p.opts[o].rows[k].empty {
					continue
				}
				for j := range a.opts {
					for s := range 2 {
						if p.opts[o].rows[k].bad.has(a.first + 2*j + s) {
							out[j].set(4*at + 2*s)
						}
						if p.opts[o].rows[k].worse.has(a.first + 2*j + s) {
							out[j].set(4*at + 2*s + 1)
						}
					}
				}
				at++
			}
		}
	}
	return out
}

// pruneAxle takes out the axle options that another one is never worse than.
func (m *model) pruneAxle(a *axleModel) {
	if len(a.opts) == 1 {
		a.opts[0].gone = a.opts[0].broken
		return
	}
	cols := m.columns(a)
	m.truckColumns(a, cols)
	for j := range a.opts {
		a.opts[j].gone = a.opts[j].never || a.opts[j].broken
	}
	for j := 1; j < len(a.opts); j++ {
		a.opts[j].gone = a.opts[j].gone || a.needless(j, cols, m.opt.limited())
	}
}

// holds asks the lathe for the turnings that a choice wants. It reports whether the rims
// hold all of them; a turning that they do not hold is no option any more.
func (m *model) holds(levels func(car, axle int) int) bool {
	type job struct {
		a  *axleModel
		j  int
		l  lathe
		ok bool
	}
	var jobs []job
	for ci := range m.cars {
		for k, ai := range m.cars[ci].axles {
			a := &m.axles[ai]
			if j := levels(ci, k); j > 0 && a.opts[j].acts == nil {
				jobs = append(jobs, job{a: a, j: j, ok: true})
			}
		}
	}
	// The shapes are loaded before, so that the lathe can be asked for several at once.
	for _, d := range m.sv.Data.Designs {
		_, _ = m.shop.shape(d.Name) // a design without a shape is turned by the plain rule
	}
	parallel.Each(len(jobs), func(i int) {
		x := &jobs[i]
		if o := &x.a.opts[x.j]; o.work.name == "wheelset_turn" {
			x.l, x.ok = m.shop.turn(x.a.axle, o.work)
		}
	})
	held := true
	for _, x := range jobs {
		o := &x.a.opts[x.j]
		if !x.ok {
			o.never, held = true, false
			m.pruneAxle(x.a)
			continue
		}
		o.acts = m.shop.actions(x.a.axle, o.work, x.l)
	}
	return held
}

// needless reports whether another option costs and leaves no more than option j.
func (a *axleModel) needless(j int, cols []bitset, days bool) bool {
	x := &a.opts[j]
	for q := range a.opts {
		y := &a.opts[q]
		if q == j || y.gone || y.cents > x.cents || days && y.millis > x.millis || !cols[q].within(cols[j]) {
			continue
		}
		if y.cents == x.cents && (!days || y.millis == x.millis) && q > j && cols[j].within(cols[q]) {
			continue // alike: the earlier stays
		}
		return true
	}
	return false
}

// prunePlaces finds the options of every place that another one is not never worse than.
func (m *model) prunePlaces() {
	none := newBitset(m.wheelOpts)
	parallel.Each(len(m.places), func(i int) {
		p := &m.places[i]
		gone := make([]bool, len(p.opts))
		for j := range p.opts {
			gone[j] = p.opts[j].broken
		}
		within := func(x, y *placeOption) bool {
			for k := range x.rows {
				bad, worse := none, none
				if y.rows != nil {
					if x.rows[k] == y.rows[k] {
						continue
					}
					bad, worse = y.rows[k].bad, y.rows[k].worse
				}
				if !x.rows[k].bad.within(bad) || !x.rows[k].worse.within(worse) || !m.trucksWithin(x.rows[k], y, k) {
					return false
				}
			}
			return true
		}
		for j := 1; j < len(p.opts); j++ {
			for q := range p.opts {
				x, y := &p.opts[j], &p.opts[q]
				if gone[j] || q == j || gone[q] || y.cents > x.cents || m.opt.limited() && y.millis > x.millis ||
					!within(y, x) {
					continue
				}
				if y.cents == x.cents && (!m.opt.limited() || y.millis == x.millis) && q > j && within(x, y) {
					continue
				}
				gone[j] = true
				break
			}
		}
		p.live = p.live[:0]
		for j := range p.opts {
			if !gone[j] {
				p.live = append(p.live, j)
			}
		}
	})
}
