package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// bruteSpend tries every option of every place and axle with every set of holds, and
// gives the least passes left (thousandths a year) within the limits, and the least that
// this costs. ok is false where that would take too long.
func bruteSpend(t *testing.T, sv *survey.Survey, opt Options) (left, cents int64, ok bool) {
	t.Helper()
	m, err := rawModel(plain(t, sv), sv, opt)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.axles {
		a := &m.axles[i]
		for j := range a.opts {
			if a.opts[j].work.name == "wheelset_turn" {
				if _, ok := m.shop.turn(a.axle, a.opts[j].work); !ok {
					a.opts[j].gone = true
				}
			}
		}
	}
	for i := range m.axles {
		for j := range m.axles[i].opts {
			o := &m.axles[i].opts[j]
			o.gone = o.gone || o.broken
		}
	}
	for i := range m.places {
		p := &m.places[i]
		p.live = slices.DeleteFunc(p.live, func(y int) bool { return p.opts[y].broken })
	}
	s := newSpending(m)
	total := 1
	for i := range s.place {
		total *= len(s.place[i])
	}
	for i := range s.opts {
		total *= len(s.opts[i])
	}
	if total > 60000 {
		return 0, 0, false
	}
	left, cents = -1, -1
	c := s.asIs()
	var walk func(i int)
	walk = func(i int) {
		switch {
		case i < len(m.places):
			for y := range s.place[i] {
				c.place[i] = y
				walk(i + 1)
			}
			return
		case i < len(m.places)+len(s.opts):
			for x := range s.opts[i-len(m.places)] {
				c.car[i-len(m.places)] = x
				walk(i + 1)
			}
			return
		}
		var cost, days, rest int64
		type hold struct{ cost, days, gain int64 }
		var holds []hold
		for pi, y := range c.place {
			cost, days, rest = cost+s.place[pi][y].cents, days+s.place[pi][y].millis, rest+s.rest[pi][y]
		}
		for ci, x := range c.car {
			cost, days = cost+s.opts[ci][x].cents, days+s.opts[ci][x].millis
			h := s.hold(ci)
			for pi, row := range s.at[ci] {
				if row == nil {
					continue
				}
				switch e := row[c.place[pi]*len(s.opts[ci])+x]; {
				case e.must && opt.TrackOnly:
					return
				case e.must:
					cost, days = cost+h.Cents, days+h.Millis
				default:
					rest += e.own
					if e.own > 0 && !opt.TrackOnly {
						holds = append(holds, hold{h.Cents, h.Millis, e.own})
					}
				}
			}
		}
		for set := range 1 << len(holds) {
			v, d, l := cost, days, rest
			for i, h := range holds {
				if set>>i&1 == 1 {
					v, d, l = v+h.cost, d+h.days, l-h.gain
				}
			}
			if v <= s.cents && d <= s.days && (left < 0 || l < left || l == left && v < cents) {
				left, cents = l, v
			}
		}
	}
	walk(0)
	return left, cents + m.rereadCents, true
}

// With few candidates the plan within a budget is the best there is, and the cheapest
// that ends as many passes; no bound is ever above what was found.
func TestBudgetMatchesBruteForce(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	tried, bound, seeds := 0, 0, fixture.Drawn(16, 40)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(31, seed))}
		f := r.survey(2, 2, 2, 0.04)
		railroad := plainRailroad + fmt.Sprintf("costs: {wheelset_turn: %d, car_hold: %d, guard_move: %d, crew_days: "+
			"{car_hold: 0.125}}\n", 100+r.IntN(900), 50+r.IntN(900), 100+r.IntN(900))
		sv := f.write(t, railroad)
		opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed%2], TrackOnly: seed%8 == 5,
			CarsOnly: seed%8 == 3}
		opt.By = []string{"", ByPasses, ByHarm, ByMoney}[seed%4]
		opt.IgnoreLimits = seed%4 < 2
		budget, days := int64(r.IntN(400000)), int64(r.IntN(2500))
		switch seed % 3 {
		case 0:
			opt.Budget = &budget
		case 1:
			opt.CrewDays = &days
		default:
			opt.Budget, opt.CrewDays = &budget, &days
		}
		p, err := Make(plain(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		over := opt.Budget != nil && p.Cents > budget || opt.CrewDays != nil && p.Millis > days
		if over && (opt.IgnoreLimits || len(p.Federal) == 0) {
			t.Errorf("seed %d: %d cents, %d days for %d, %d", seed, p.Cents, p.Millis, budget, days)
		}
		if p.PassesBound > p.PassesAfter+1e-9 || p.PassesAfter > p.PassesBefore+1e-9 {
			t.Errorf("seed %d: %g passes before, %g after, at least %g", seed, p.PassesBefore, p.PassesAfter,
				p.PassesBound)
		}
		recheck(t, f, railroad, sv, p, false)
		left, cents, ok := bruteSpend(t, sv, opt)
		if !ok {
			continue
		}
		tried++
		if d := p.WeighedAfter*perPass - float64(left); d > 1.5 || d < -1.5 {
			t.Errorf("seed %d: %.3f left, by trying everything %.3f", seed, p.WeighedAfter, float64(left)/perPass)
		} else if p.Cents != cents || p.Bound > cents {
			t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, cents)
		}
		if p.Bound == p.Cents {
			bound++
		}
	}
	if tried < int(seeds)*3/8 || bound < tried*8/10 {
		t.Errorf("only %d surveys were tried, %d proven", tried, bound)
	}
}

// The same survey gives the same plan, whatever the number of processors.
func TestPlanIsDeterministic(t *testing.T) {
	f := roller{rand.New(rand.NewPCG(1, 2))}.survey(6, 2, 12, 0.1)
	sv := f.write(t, plainRailroad)
	budget := int64(300000)
	for _, opt := range []Options{{}, {Budget: &budget}, {Level: LevelUndecided}} {
		a, err := Make(plain(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Make(plain(t, f.write(t, plainRailroad)), opt)
		if err != nil {
			t.Fatal(err)
		}
		says := func(p *Plan) string {
			var wheels []string
			for i := range p.Actions {
				if w := p.Actions[i].Wheel; w != nil { // what it says, not where it lies
					wheels, p.Actions[i].Wheel = append(wheels, fmt.Sprint(*w)), nil
				}
			}
			return fmt.Sprint(p.Actions, wheels, p.Curve, p.Prices, p.Defaults, p.Bound)
		}
		if x, y := says(a), says(b); x != y {
			t.Errorf("two plans of one survey:\n%s\n%s", x, y)
		}
	}
}

// TestBudgetIsMonotone: more money never leaves more, and a further limit never fewer, where there are too many works
// to try everything.
func TestBudgetIsMonotone(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	e := plain(t, fleet(16, 30).write(t, plainRailroad))
	left := func(cents, days int64) float64 {
		opt := Options{Level: LevelConflict, NoCurve: true, By: ByPasses}
		if cents >= 0 {
			opt.Budget = &cents
		}
		if days >= 0 {
			opt.CrewDays = &days
		}
		p, err := Make(e, opt)
		if err != nil {
			t.Fatal(err)
		}
		if cents >= 0 && p.Cents > cents || days >= 0 && p.Millis > days {
			t.Errorf("%d cents, %d days: the plan takes %d and %d", cents, days, p.Cents, p.Millis)
		}
		if p.PassesBound > p.PassesAfter || p.Bound > p.Cents {
			t.Errorf("%d cents, %d days: the bounds are above what was found", cents, days)
		}
		if p.Candidates <= exactCandidates {
			t.Fatalf("%d actions: everything was tried", p.Candidates)
		}
		return p.PassesAfter
	}
	budgets, crew := []int64{430000, 1000000, 1015000}, []int64{1500, 8000}
	if fixture.Volume() {
		budgets, crew = []int64{0, 430000, 1000000, 1015000, 2500000}, []int64{0, 1500, 8000}
	}
	before := math.Inf(1)
	for _, b := range budgets {
		got := left(b, -1)
		if got > before {
			t.Errorf("%d cents leave %g, less money %g", b, got, before)
		}
		before = got
		within := math.Inf(1)
		for _, d := range crew {
			both := left(b, d)
			if both < got {
				t.Errorf("%d cents and %d days leave %g, without the days %g", b, d, both, got)
			}
			if both > within {
				t.Errorf("%d cents and %d days leave %g, with fewer days %g", b, d, both, within)
			}
			within = both
		}
	}
}
