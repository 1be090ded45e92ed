package plan

import (
	"container/heap"
	"math"
	"slices"
)

// The bound that one price of a cent gives lies under a straight line between two corners of the hull, which may be far
// apart: a switch is renewed or it is not. Where they choose differently at a place or car, either side of the choice
// has a bound of its own, at a price of its own, and the lesser of both is nearer to what can be reached.

// priceSpan is how far from the price that gives the first bound others are tried, as a factor each way.
const priceSpan = 4

// maxNarrowed is how many sets of choices are divided, and relaxations how many prices are tried for each.
const (
	maxNarrowed = 120
	relaxations = 8
)

// moving is a price of money and days of which one moves: that of a cent, or that of days if money costs nothing.
type moving struct {
	cents, days int64
	ofDays      bool
}

// at is the prices of a cent and of a thousandth of a day if the one that moves is price.
func (v moving) at(price int64) (cents, days int64) {
	if v.ofDays {
		return v.cents, price
	}
	return price, v.days
}

// first is the price that moves, where it began.
func (v moving) first() int64 {
	if v.ofDays {
		return v.days
	}
	return v.cents
}

// span is between which prices it moves.
func (v moving) span() (low, high int64) { return max(1, v.first()/priceSpan), v.first() * priceSpan }

// core is a choice that is left: places and cars with several options, and the sums of those that are decided.
type core struct {
	s          *spending
	prices     moving
	place, car [][]coreOption
	edges      []coreEdge
	fixed      coreOption
	placeAt    []int // by place of the core, which it is
	carAt      []int
	decided    choice  // of all places and cars; of those that are decided it is what they have
	bound      float64 // no choice of it within the limits leaves less, in units of the network's price
	price      int64   // that gave the bound
	over, keep *choice // met at about that price: one that breaks the limit, one that keeps it
}

// coreOption is the cost of an option and what it leaves, with the passes that are left or held off, whichever is
// cheaper.
type coreOption struct {
	origin            int // its number among all options
	cents, days, left int64
	loose             []loose
}

// loose is a meeting of a car of some kind with a place.
type loose struct {
	meet
	kind int
}

// coreEdge is what each pair of options of a place and a car leaves, place-major.
type coreEdge struct {
	place, car, kind int
	at               []meet
}

// narrow raises a bound on what any plan within the limits leaves, in units of the network's price, toward what a plan
// leaves. The prices are those that gave it. seen takes the choices that were met.
func (s *spending) narrow(left func() int64, first relaxed, divisions int, seen func(choice)) float64 {
	goal := func() float64 { return float64(weightScale * left()) }
	if first.bound >= goal() || first.cents == 0 && first.days == 0 {
		return first.bound
	}
	open := &byBound{}
	look := func(x *core) {
		x.relax(goal())
		if x.over != nil && x.bound < goal() {
			seen(x.whole(*x.keep))
		}
		if x.bound < goal() {
			heap.Push(open, x)
		}
	}
	all := s.core(moving{first.cents, first.days, first.cents == 0})
	all.bound = first.bound
	look(all.among(indices(all.place), indices(all.car)))
	for range divisions {
		if open.Len() == 0 || (*open)[0].bound >= goal() {
			return goal()
		}
		a, b, ok := (*open)[0].halves()
		if !ok {
			break
		}
		heap.Pop(open)
		look(a)
		look(b)
	}
	if open.Len() == 0 {
		return goal()
	}
	return math.Min(goal(), math.Max(first.bound, (*open)[0].bound))
}

// byBound are sets of choices, the least bound first.
type byBound []*core

func (h byBound) Len() int           { return len(h) }
func (h byBound) Less(i, j int) bool { return h[i].bound < h[j].bound }
func (h byBound) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *byBound) Push(x any)        { *h = append(*h, x.(*core)) }
func (h *byBound) Pop() any {
	last := (*h)[len(*h)-1]
	*h = (*h)[:len(*h)-1]
	return last
}

// whole is a choice of the core with the places and cars that are decided.
func (c *core) whole(x choice) choice {
	out := c.decided.clone()
	for i, y := range x.place {
		out.place[c.placeAt[i]] = c.place[i][y].origin
	}
	for i, o := range x.car {
		out.car[c.carAt[i]] = c.car[i][o].origin
	}
	return out
}

// count is 0 to n-1.
func count(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// indices are all options of each node.
func indices[T any](rows [][]T) [][]int {
	out := make([][]int, len(rows))
	for i, row := range rows {
		out[i] = count(len(row))
	}
	return out
}

// core is spending with nothing decided.
func (s *spending) core(v moving) *core {
	c := &core{s: s, prices: v, price: v.first(), placeAt: count(len(s.place)), carAt: count(len(s.opts)),
		decided: choice{make([]int, len(s.place)), make([]int, len(s.opts))}}
	for pi := range s.place {
		row := make([]coreOption, len(s.place[pi]))
		for y, o := range s.place[pi] {
			row[y] = coreOption{y, o.cents, o.millis, s.rest[pi][y], nil}
		}
		c.place = append(c.place, row)
	}
	for ci := range s.opts {
		row := make([]coreOption, len(s.opts[ci]))
		for x := range row {
			row[x] = coreOption{origin: x, cents: s.opts[ci][x].cents, days: s.opts[ci][x].millis}
		}
		c.car = append(c.car, row)
		for pi, at := range s.at[ci] {
			if at != nil {
				c.edges = append(c.edges, coreEdge{pi, ci, s.m.cars[ci].holdKind(), at})
			}
		}
	}
	return c
}

// held reports whether a meeting is held off at prices, and what it is priced at.
func (c *core) held(x loose, cents, days int64) (price int64, held bool) {
	h := &c.s.m.holdWork[x.kind]
	hold := cents*h.Cents + days*h.Millis
	switch {
	case x.must && c.s.m.opt.TrackOnly:
		return noPrice, true
	case x.must:
		return hold, true
	case c.s.m.opt.TrackOnly || x.kind == ownEngine || weightScale*x.own <= hold:
		return weightScale * x.own, false
	}
	return hold, true
}

// meets adds a meeting to an option.
func (c *core) meets(o *coreOption, x loose) {
	if x.own == 0 && !x.must {
		return
	}
	low, high := c.prices.span()
	c1, d1 := c.prices.at(low)
	c2, d2 := c.prices.at(high)
	dear, atLow := c.held(x, c1, d1)
	_, atHigh := c.held(x, c2, d2)
	switch {
	case dear == noPrice || atLow != atHigh:
		o.loose = append(o.loose, x)
	case atLow:
		h := &c.s.m.holdWork[x.kind]
		o.cents, o.days = o.cents+h.Cents, o.days+h.Millis
	default:
		o.left += x.own
	}
}

// add adds what another option comes to.
func (o *coreOption) add(x *coreOption) {
	o.cents, o.days, o.left = o.cents+x.cents, o.days+x.days, o.left+x.left
	o.loose = append(o.loose, x.loose...)
}

// among is what is left to choose among some of the options, without those that are not needed at any price.
func (c *core) among(place, car [][]int) *core {
	low, high := c.prices.span()
	r := newReduction(c.network(c.prices.at(low)))
	r.other = c.network(c.prices.at(high))
	r.place, r.car = place, car
	r.eliminate()
	out := &core{s: c.s, prices: c.prices, bound: c.bound, price: c.price, decided: c.decided.clone()}
	out.fixed.add(&c.fixed)
	nodes := func(rows [][]coreOption, open [][]int, from, decided []int) (to [][]coreOption, origin, at []int) {
		at = make([]int, len(rows))
		for i, list := range open {
			if len(list) == 1 {
				out.fixed.add(&rows[i][list[0]])
				at[i], decided[from[i]] = -1, rows[i][list[0]].origin
				continue
			}
			row := make([]coreOption, len(list))
			for k, o := range list {
				row[k].origin = rows[i][o].origin
				row[k].add(&rows[i][o])
			}
			at[i] = len(to)
			to, origin = append(to, row), append(origin, from[i])
		}
		return to, origin, at
	}
	var placeAt, carAt []int
	out.place, out.placeAt, placeAt = nodes(c.place, r.place, c.placeAt, out.decided.place)
	out.car, out.carAt, carAt = nodes(c.car, r.car, c.carAt, out.decided.car)
	for i := range c.edges {
		e := &c.edges[i]
		p, q, nx := placeAt[e.place], carAt[e.car], len(c.car[e.car])
		ys, xs := r.place[e.place], r.car[e.car]
		if p < 0 || q < 0 {
			for i, y := range ys {
				for k, x := range xs {
					o := &out.fixed
					if p >= 0 {
						o = &out.place[p][i]
					} else if q >= 0 {
						o = &out.car[q][k]
					}
					out.meets(o, loose{e.at[y*nx+x], e.kind})
				}
			}
			continue
		}
		at, some := make([]meet, 0, len(ys)*len(xs)), false
		for _, y := range ys {
			for _, x := range xs {
				v := e.at[y*nx+x]
				at, some = append(at, v), some || v.own > 0 || v.must
			}
		}
		if some {
			out.edges = append(out.edges, coreEdge{p, q, e.kind, at})
		}
	}
	return out
}

// priceOf is the cost of an option at prices.
func (c *core) priceOf(o *coreOption, cents, days int64) int64 {
	sum := cents*o.cents + days*o.days + weightScale*o.left
	for _, x := range o.loose {
		price, _ := c.held(x, cents, days)
		sum += price
	}
	return sum
}

// network prices the options that are left.
func (c *core) network(cents, days int64) *network {
	n := &network{}
	rows := func(of [][]coreOption) (out [][]int64) {
		for _, list := range of {
			row := make([]int64, len(list))
			for i := range list {
				row[i] = c.priceOf(&list[i], cents, days)
			}
			out = append(out, row)
		}
		return out
	}
	n.place, n.car = rows(c.place), rows(c.car)
	for i := range c.edges {
		e := &c.edges[i]
		x := edge{place: e.place, car: e.car, price: make([]int64, len(e.at))}
		for k, v := range e.at {
			x.price[k], _ = c.held(loose{v, e.kind}, cents, days)
		}
		n.edges = append(n.edges, x)
	}
	return n
}

// spends is the money and the days that a choice takes, with the holds that pay at prices.
func (c *core) spends(ch choice, cents, days int64) (spent, took int64) {
	meets := func(x loose) {
		if _, held := c.held(x, cents, days); held {
			h := &c.s.m.holdWork[x.kind]
			spent, took = spent+h.Cents, took+h.Millis
		}
	}
	option := func(o *coreOption) {
		spent, took = spent+o.cents, took+o.days
		for _, x := range o.loose {
			meets(x)
		}
	}
	option(&c.fixed)
	for i, y := range ch.place {
		option(&c.place[i][y])
	}
	for i, x := range ch.car {
		option(&c.car[i][x])
	}
	for i := range c.edges {
		e := &c.edges[i]
		meets(loose{e.at[ch.place[e.place]*len(c.car[e.car])+ch.car[e.car]], e.kind})
	}
	return spent, took
}

// line is a choice by what it is worth as the price moves: it rises if the choice breaks the limit.
type line struct {
	choice       choice
	value, slope float64
	price        int64 // where it has the value
}

// relax raises the bound by moving the price: what no choice is worth less than is the least of straight lines, of
// those that rise and those that fall, and the price is moved to where two of them meet.
func (c *core) relax(goal float64) {
	low, high := c.prices.span()
	var over, keep *line
	for price, tries := c.price, 0; tries < relaxations; tries++ {
		cents, days := c.prices.at(price)
		sol := c.network(cents, days).solve()
		base := float64(c.priceOf(&c.fixed, cents, days) - c.s.base(cents, days))
		if v := float64(sol.bound) + base; v > c.bound || tries == 0 {
			c.bound, c.price = math.Max(v, c.bound), price
		}
		if c.bound >= goal {
			return
		}
		x := &line{sol.choice, float64(sol.cost) + base, 0, price}
		if spent, took := c.spends(sol.choice, cents, days); c.prices.ofDays {
			x.slope = float64(took - c.s.days)
		} else {
			x.slope = float64(spent - c.s.cents)
		}
		if x.slope > 0 {
			over = x
		} else {
			keep = x
		}
		switch {
		case over == nil:
			price = max(low, price/2)
		case keep == nil:
			price = min(high, 2*price)
		default:
			meet := (keep.value - over.value + keep.slope*float64(over.price-keep.price)) / (over.slope - keep.slope)
			if over.value+over.slope*meet < c.bound+goal/2000 {
				tries = relaxations
			}
			price = min(max(over.price+int64(math.Round(meet)), min(over.price, keep.price)),
				max(over.price, keep.price))
		}
		if over != nil && price == over.price || keep != nil && price == keep.price {
			break
		}
	}
	if over != nil && keep != nil {
		c.over, c.keep = &over.choice, &keep.choice
	}
}

// halves divides a set of choices where those that meet at its price differ most; ok is false if they do not.
func (c *core) halves() (a, b *core, ok bool) {
	if c.over == nil {
		return nil, nil, false
	}
	place, at, most := false, -1, int64(-1)
	look := func(ofPlace bool, rows [][]coreOption, over, keep []int) {
		for i, row := range rows {
			if p, q := over[i], keep[i]; p != q {
				if d := row[p].cents - row[q].cents; max(d, -d) > most {
					place, at, most = ofPlace, i, max(d, -d)
				}
			}
		}
	}
	look(true, c.place, c.over.place, c.keep.place)
	look(false, c.car, c.over.car, c.keep.car)
	if at < 0 {
		return nil, nil, false
	}
	half := func(of func(all []int, kept int) []int) *core {
		p, q := indices(c.place), indices(c.car)
		if place {
			p[at] = of(p[at], c.keep.place[at])
		} else {
			q[at] = of(q[at], c.keep.car[at])
		}
		return c.among(p, q)
	}
	a = half(func(_ []int, kept int) []int { return []int{kept} })
	b = half(func(all []int, kept int) []int { return slices.Delete(all, kept, kept+1) })
	return a, b, true
}
