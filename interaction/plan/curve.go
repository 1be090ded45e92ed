package plan

import (
	"math"
	"sort"
)

// curveSteps is how many prices of a pass are tried for the cost curve, spread evenly; curveMore how many are tried
// besides where the curve is coarsest; fewer of a large network.
const (
	curveSteps = 8
	curveMore  = 8
)

// priced is a point of the curve with its price of a cent.
type priced struct {
	price float64
	point Point
}

// curve is money against treated pairs left: for one price of a conflicting pass after the other the choice that is
// cheapest at that price, without limits. Each point leaves least passes for its money; points that leave no fewer
// pairs than a cheaper one are left out.
func (p *Plan) curve(s *spending) []Point {
	m := p.model
	free := *s
	asIs := chosen{level: func(int, int) int { return 0 }}
	for i := range m.places {
		asIs.place = append(asIs.place, &m.places[i].opts[0])
	}
	points := []Point{{Conflicts: m.treated(asIs, nil)}}
	if p.Options.Budget == nil && p.Options.CrewDays == nil {
		points = append(points, p.point(p.chosen(), p.heldPairs()))
	}
	var list []priced
	at := func(cents float64) {
		price := max(1, int64(math.Round(cents*weightScale)))
		for {
			free.cents, free.days = noLimit, noLimit
			sol := free.network(price, 0, weightScale).solve()
			if c := free.chosen(sol.choice); m.settle(c, everything) {
				list = append(list, priced{cents, p.point(c, free.priced(sol.choice, price, 0, weightScale).holds)})
				return
			}
			free = *newSpending(m) // a rim does not hold, or a work does not do what it might
		}
	}
	low, high := free.priceRange()
	if high > 0 {
		steps := free.steps(3, curveSteps)
		for i := range steps {
			at(math.Exp(math.Log(low) + (math.Log(high)-math.Log(low))*float64(i)/float64(steps-1)))
		}
		for range free.steps(0, curveMore) {
			mid, ok := coarsest(list)
			if !ok {
				break
			}
			at(mid)
		}
	}
	for _, x := range list {
		points = append(points, x.point)
	}
	for i := range points {
		if i > 0 { // whoever spends anything takes the readings again first
			m.withRereads(&points[i])
		}
	}
	sort.SliceStable(points, func(i, j int) bool {
		if points[i].Cents != points[j].Cents {
			return points[i].Cents < points[j].Cents
		}
		return points[i].Conflicts < points[j].Conflicts
	})
	var out []Point
	for _, x := range points {
		if len(out) == 0 || x.Conflicts < out[len(out)-1].Conflicts {
			out = append(out, x)
		}
	}
	return out
}

// coarsest is the price between the two points that lie farthest apart; ok is false if all are close or the prices
// are.
func coarsest(list []priced) (mid float64, ok bool) {
	sort.SliceStable(list, func(i, j int) bool { return list[i].price < list[j].price })
	top := list[0].point // the cheapest cent: all is done
	best := 0.05
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		if b.price < 1.02*a.price {
			continue
		}
		gap := math.Abs(float64(a.point.Cents-b.point.Cents)) / math.Max(1, float64(top.Cents))
		if gap > best {
			best, mid, ok = gap, math.Sqrt(a.price*b.price), true
		}
	}
	return mid, ok
}

// priceRange is the prices of a cent, in thousandths of a pass, between which the choice changes: from where all is
// worth doing to where nothing is.
func (s *spending) priceRange() (low, high float64) {
	var dear, cheap int64 // cents
	take := func(v int64) {
		if v > 0 {
			dear = max(dear, v)
			if cheap == 0 || v < cheap {
				cheap = v
			}
		}
	}
	for i := range s.place {
		for _, o := range s.place[i] {
			take(o.cents)
		}
	}
	for ci := range s.opts {
		take(s.hold(ci).Cents)
	}
	var least int64
	for ci := range s.at {
		for _, row := range s.at[ci] {
			for _, x := range row {
				if x.own > 0 && (least == 0 || x.own < least) {
					least = x.own
				}
			}
		}
	}
	if dear == 0 || least == 0 {
		return 0, 0
	}
	return float64(least) / float64(dear) / 4, float64(s.passesBefore()) / float64(cheap)
}

// heldPairs are the holds of the plan.
func (p *Plan) heldPairs() [][2]int {
	var out [][2]int
	for h := range p.holds {
		out = append(out, h)
	}
	return out
}

// point counts what a choice costs and leaves.
func (p *Plan) point(c chosen, holds [][2]int) Point {
	m := p.model
	var x Point
	for _, o := range c.place {
		x.Track += o.cents
	}
	for ci := range m.cars {
		for k, ai := range m.cars[ci].axles {
			x.Cars += m.axles[ai].opts[c.level(ci, k)].cents
		}
		if c.gone(ci) {
			x.Cars += outOfService(m.sv, m.cars[ci].car, nil).Cents
		}
	}
	held := map[[2]int]bool{}
	for _, h := range holds {
		held[h] = true
		if !c.gone(h[0]) {
			x.Cars += m.holdCents(h[0])
		}
	}
	for ci := range m.cars {
		for pi := range m.places {
			if c.gone(ci) {
				held[[2]int{ci, pi}] = true
			}
		}
	}
	x.Cents = x.Track + x.Cars
	x.Conflicts = m.treated(c, held)
	return x
}

// holdCents is the price of keeping a car off one place.
func (m *model) holdCents(ci int) int64 { return holding(m.sv, m.cars[ci].car, "", "").Cents }

// treated counts the pairs to treat that a choice leaves.
func (m *model) treated(c chosen, holds map[[2]int]bool) int {
	n := 0
	for pi := range m.places {
		for ci := range m.cars {
			if holds[[2]int{ci, pi}] {
				continue
			}
			m.eachMarked(&m.cars[ci], &m.places[pi], c.place[pi], func(k int) int { return c.level(ci, k) },
				func(_, _, _ int, bad, _ bool) {
					if bad {
						n++
					}
				})
		}
	}
	return n + m.leftInDoubt(c, holds)
}
