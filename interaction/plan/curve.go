package plan

import (
	"cmp"
	"math"
	"slices"

	"flangeway/internal/each"
)

// curveSteps is how many prices of a pass are tried for the cost curve, spread evenly; curveMore how many are tried
// besides where the curve is coarsest; fewer of a large network.
const (
	curveSteps = 8
	curveMore  = 8
)

// pricedPoint is a point of the curve with its price of a cent.
type pricedPoint struct {
	price float64
	point Point
}

// curve is money against treated pairs left: for one price of a conflicting pass after the other the choice that is
// cheapest at that price, without limits. Each point leaves least passes for its money; points that leave no fewer
// pairs than a cheaper one are left out.
func (p *Plan) curve(s *spending) []Point {
	m := p.model
	free := *s
	asIs := chosen{place: func(pi int) *placeOption { return &m.places[pi].opts[0] },
		level: func(int, int) int { return 0 }}
	points := []Point{{Conflicts: m.treated(asIs, nil)}}
	if p.Options.Budget == nil && p.Options.CrewDays == nil {
		points = append(points, p.point())
	}
	var list []pricedPoint
	at := func(cents float64) {
		price := max(1, int64(math.Round(cents*weightScale)))
		for {
			free.cents, free.days = noLimit, noLimit
			sol := free.network(price, 0, weightScale).solve()
			if c := free.chosen(sol.choice); m.settle(c, everything) {
				list = append(list, pricedPoint{cents, free.point(c, free.priced(sol.choice, price, 0, weightScale))})
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
	for i := range points[1:] { // whoever spends anything takes the readings again first
		m.withRereads(&points[1+i])
	}
	slices.SortStableFunc(points, func(a, b Point) int {
		return cmp.Or(cmp.Compare(a.Cents, b.Cents), cmp.Compare(a.Conflicts, b.Conflicts))
	})
	var out []Point
	for _, x := range points {
		if len(out) == 0 || x.Conflicts < out[len(out)-1].Conflicts {
			out = append(out, x)
		}
	}
	return out
}

// coarsest is the price between the two points that lie farthest apart; ok is false if all are close or the prices are.
func coarsest(list []pricedPoint) (mid float64, ok bool) {
	slices.SortStableFunc(list, func(a, b pricedPoint) int { return cmp.Compare(a.price, b.price) })
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

// point is what the plan itself costs and leaves, but for the readings that are taken again.
func (p *Plan) point() Point {
	x := Point{Conflicts: p.model.treated(p.chosen(), p.holds)}
	for i := range p.Actions {
		switch a := &p.Actions[i]; {
		case a.Effect == Reads:
		case a.Side == Track:
			x.Track += a.Cents
		default:
			x.Cars += a.Cents
		}
	}
	x.Cents = x.Track + x.Cars
	return x
}

// Nearly is the cheapest line of the curve that leaves at most a hundredth of the treated pairs, if it costs at most
// half of what the plan costs: then a few pairs take most of the money, and who signs had better know. The hundredth
// and the half are the project's own choice.
func (p *Plan) Nearly() (x Point, ok bool) {
	if p.Limited() || len(p.Curve) == 0 || p.Curve[0].Conflicts == 0 {
		return x, false
	}
	x, ok = each.First(p.Curve, func(x Point) bool { return 100*x.Conflicts <= p.Curve[0].Conflicts })
	return x, ok && 2*x.Cents <= p.Cents
}

// point is what a choice costs and leaves. A car that is out of service, or off a track, meets nothing there.
func (s *spending) point(c chosen, of outcome) Point {
	m := s.m
	x := Point{Cents: of.cents}
	for pi := range m.places {
		x.Track += c.place(pi).cents
	}
	x.Cars = x.Cents - x.Track
	held := map[[2]int]bool{}
	for _, h := range of.holds {
		held[h] = true
	}
	for ci, opt := range of.choice.car {
		o := &s.opts[ci][opt]
		for pi := range m.places {
			if o.out || slices.Contains(o.bars, m.lineOf[pi]) {
				held[[2]int{ci, pi}] = true
			}
		}
	}
	x.Conflicts = m.treated(c, held)
	return x
}

// treated counts the pairs to treat that a choice leaves.
func (m *model) treated(c chosen, holds map[[2]int]bool) int {
	n := 0
	for pi := range m.places {
		for ci := range m.cars {
			if holds[[2]int{ci, pi}] {
				continue
			}
			m.eachMarked(&m.cars[ci], &m.places[pi], c.place(pi), func(k int) int { return c.level(ci, k) },
				func(_, _, _ int, bad, _ bool) {
					if bad {
						n++
					}
				})
		}
	}
	return n + m.leftInDoubt(c, holds)
}
