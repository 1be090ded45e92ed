package plan

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"flangeway/internal/fixture"
)

// annealed looks for what a budget leaves least of in another way than the plan: from nothing, one to three works are
// changed at a time, what costs too much is refused and what leaves more is taken the more seldom the longer it goes.
// Now and then what money is left goes to holds, the one that ends most for its money first. It returns the least that
// was left, in passes a year.
func annealed(s *spending, r *rand.Rand, changes int) float64 {
	c := s.asIs()
	type node struct {
		place bool
		at    int
	}
	var nodes []node
	for i := range s.place {
		if len(s.place[i]) > 1 {
			nodes = append(nodes, node{true, i})
		}
	}
	for i := range s.opts {
		if len(s.opts[i]) > 1 {
			nodes = append(nodes, node{false, i})
		}
	}
	pair := func(ci, pi, x, y int, cents, left *int64, way int64) {
		row := s.at[ci][pi]
		if row == nil {
			return
		}
		if e := row[y*len(s.opts[ci])+x]; e.must {
			*cents += way * s.hold(ci).Cents
		} else {
			*left += way * e.own
		}
	}
	// what a node's option costs and leaves, with the others as they are
	of := func(n node, o int, way int64, cents, left *int64) {
		if n.place {
			*cents += way * s.place[n.at][o].cents
			*left += way * s.rest[n.at][o]
			for ci := range s.opts {
				pair(ci, n.at, c.car[ci], o, cents, left, way)
			}
			return
		}
		*cents += way * s.opts[n.at][o].cents
		for pi := range s.place {
			pair(n.at, pi, o, c.place[pi], cents, left, way)
		}
	}
	held := func(cents, left int64) int64 {
		type hold struct{ cents, gain int64 }
		var list []hold
		for ci, x := range c.car {
			for pi, row := range s.at[ci] {
				if row == nil {
					continue
				}
				if e := row[c.place[pi]*len(s.opts[ci])+x]; !e.must && e.own > 0 {
					list = append(list, hold{s.hold(ci).Cents, e.own})
				}
			}
		}
		slices.SortFunc(list, func(a, b hold) int { return cmp.Compare(b.gain*a.cents, a.gain*b.cents) })
		for _, h := range list {
			if cents+h.cents <= s.cents {
				cents, left = cents+h.cents, left-h.gain
			}
		}
		return left
	}
	var cents int64
	left := s.passesBefore()
	best := left
	for step := range changes {
		// three times from hot to cold
		heat := float64(s.passesBefore()) / 80 * math.Pow(5e-4, math.Mod(3*float64(step)/float64(changes), 1))
		if step%500 == 0 {
			best = min(best, held(cents, left))
		}
		var was [3]int
		var which [3]node
		many := 1 + r.IntN(3)
		newCents, newLeft := cents, left
		for k := range many {
			n := nodes[r.IntN(len(nodes))]
			at, options := &c.car[n.at], 0
			if n.place {
				at, options = &c.place[n.at], len(s.place[n.at])
			} else {
				options = len(s.opts[n.at])
			}
			which[k], was[k] = n, *at
			of(n, *at, -1, &newCents, &newLeft)
			if *at = r.IntN(options); r.IntN(3) == 0 {
				*at = 0
			}
			of(n, *at, 1, &newCents, &newLeft)
		}
		if newCents <= s.cents && (newLeft <= left || math.Exp(float64(left-newLeft)/heat) > r.Float64()) {
			cents, left = newCents, newLeft
			best = min(best, left)
			continue
		}
		for k := many - 1; k >= 0; k-- {
			if n := which[k]; n.place {
				c.place[n.at] = was[k]
			} else {
				c.car[n.at] = was[k]
			}
		}
	}
	return float64(best) / perPass
}

// What a budget buys on a fleet of some size is within two percent of what another search finds, with every turning
// that a rim does not hold left out, and what no plan should be below is not above it.
func TestBudgetAgainstAnotherSearch(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	type fleetOf struct {
		cars, places int
		cents        int64
		changes      int
	}
	for _, size := range []fleetOf{{30, 30, 2_500_000, 150_000}, {30, 30, 900_000, 150_000}} {
		sv := fleet(size.cars, size.places).write(t, plainRailroad)
		opt := Options{Level: LevelConflict, NoCurve: true, By: ByPasses, Budget: &size.cents}
		p, err := Make(plain(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		m := p.model
		for i := range m.axles {
			a := &m.axles[i]
			for j := range a.opts {
				if a.opts[j].work.name == "wheelset_turn" {
					if _, ok := m.shop.turn(a.axle, a.opts[j].work); !ok {
						a.opts[j].never = true
					}
				}
			}
		}
		m.prune()
		s := newSpending(m)
		found := annealed(s, rand.New(rand.NewPCG(5, uint64(size.cars))), size.changes)
		t.Logf("%d cars, %d places, %d: %g before, %g after, at least %g; another search %g", size.cars, size.places,
			size.cents/100, p.PassesBefore, p.PassesAfter, p.PassesBound, found)
		if found < p.PassesBound-1e-6 {
			t.Errorf("%d cars: another search leaves %g, the plan says that nothing leaves less than %g", size.cars,
				found,
				p.PassesBound)
		}
		if p.PassesAfter > 1.02*found {
			t.Errorf("%d cars: the plan leaves %g, another search %g", size.cars, p.PassesAfter, found)
		}
		if found > 0.9*p.PassesBefore {
			t.Errorf("%d cars: another search ended next to nothing: %g of %g", size.cars, found, p.PassesBefore)
		}
	}
}
