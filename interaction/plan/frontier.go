package plan

import (
	"math"
	"slices"
)

// What money buys is chosen among works alone, without the holds: for any of them the holds that end most within the
// limits are found exactly ([spending.best]). The choices are the same whatever the limits are, so that more money
// never leaves more, and a further limit never fewer: it only takes plans away.
//
// They lie along the lower hull of what can be spent and what is left, and between its corners: from one corner to the
// next the works are changed one at a time, the one that pays best first, and back again, at the prices of the corners
// and without holds; a knapsack joins several. Each of them is also tried with any one place or car chosen otherwise.

// frontier is the choices of works among which money chooses.
type frontier struct {
	s     *spending
	list  []choice
	seen  map[string]bool
	spans []([2]choice) // corners, the one that spends less first
	// leaves and spent are the passes that a choice leaves and what it costs, without holds but those that must be.
	leaves, spent *network
}

// corner is a choice that is the cheapest at some price of a pass, with the holds that pay at it.
type corner struct {
	choice choice
	spent  float64
	left   int64
}

// maxCorners is how many prices are tried in one direction of a small network; fewer of a large one.
const maxCorners = 96

// newFrontier finds the choices: by money, by days, and by both.
func newFrontier(s *spending) *frontier {
	f := &frontier{s: s, seen: map[string]bool{}}
	f.leaves, f.spent = s.withoutHolds()
	f.add(s.asIs())
	all := s.priced(s.network(1, 1, weightScale).solve().choice, 1, 1, weightScale)
	both := float64(all.cents+1) / float64(all.days+1)
	for _, d := range [][2]float64{{1, 0}, {1, both}, {0, 1}} {
		f.hull(d)
	}
	return f
}

func (f *frontier) add(c choice) {
	key := make([]byte, 0, 2*(len(c.place)+len(c.car)))
	for _, list := range [][]int{c.place, c.car} {
		for _, o := range list {
			key = append(key, byte(o), byte(o>>8))
		}
	}
	if !f.seen[string(key)] {
		f.seen[string(key)] = true
		f.list = append(f.list, c.clone())
	}
}

// hull follows the lower hull of what is spent, in a direction of cents and of thousandths of a day, against what is
// left.
func (f *frontier) hull(d [2]float64) {
	tries := min(maxCorners, max(8, 6_000_000/(1+f.s.prices())))
	at := func(price float64) (corner, *network) {
		cents, days := int64(math.Round(price*d[0])), int64(math.Round(price*d[1]))
		n := f.s.network(cents, days, weightScale)
		c := n.solve().choice
		x := f.s.priced(c, cents, days, weightScale)
		return corner{c, d[0]*float64(x.cents) + d[1]*float64(x.days), x.left}, n
	}
	least, _ := at(1)
	none := f.s.priced(f.s.asIs(), 1, 0, 0)
	var wide []span // between which nothing was found
	open := []span{{corner{none.choice, d[0]*float64(none.cents) + d[1]*float64(none.days), none.left}, least}}
	for len(open) > 0 {
		// the widest first, so that a large network is followed as well as its tries go
		widest := 0
		for i := range open {
			if open[i].area() > open[widest].area() {
				widest = i
			}
		}
		x := open[widest]
		open = slices.Delete(open, widest, widest+1)
		if x.b.spent <= x.a.spent || x.b.left >= x.a.left {
			f.between(x.a.choice, x.b.choice,
				f.s.network(int64(d[0]*weightScale), int64(d[1]*weightScale), weightScale))
			continue
		}
		slope := float64(x.a.left-x.b.left) / (x.b.spent - x.a.spent)
		mid, n := at(slope * weightScale)
		value := func(c corner) float64 { return float64(c.left) + slope*c.spent }
		if tries--; tries > 0 && value(mid) < value(x.a)-1e-6*math.Abs(value(x.a)) && mid.spent > x.a.spent &&
			mid.spent < x.b.spent {
			open = append(open, span{x.a, mid}, span{mid, x.b})
			continue
		}
		wide = append(wide, x)
		f.between(x.a.choice, x.b.choice, n)
	}
	if d[0] == 0 || d[1] == 0 {
		f.bridge(d, wide)
	}
}

// bridges is among how many amounts all that can be spent is divided where corners are far apart, and maxDivided how
// often choices are divided for each.
const (
	bridges    = 24
	maxDivided = 40
)

// bridge adds choices between corners that are far apart: what is found best if just that much is spent, for amounts
// that hang on the corners alone.
func (f *frontier) bridge(d [2]float64, wide []span) {
	all := span{}
	for i, x := range wide {
		if i == 0 || x.a.spent < all.a.spent {
			all.a = x.a
		}
		if i == 0 || x.b.spent > all.b.spent {
			all.b = x.b
		}
	}
	for _, x := range wide {
		n := math.Round(bridges * math.Sqrt(x.area()/all.area()))
		if n < 2 {
			continue
		}
		slope := float64(x.a.left-x.b.left) / (x.b.spent - x.a.spent)
		price := max(1, int64(math.Round(slope*weightScale)))
		before := x.a.choice
		for i := 1.0; i < n; i++ {
			amount := int64(x.a.spent + (x.b.spent-x.a.spent)*i/n)
			some := *f.s
			some.cents, some.days = noLimit, noLimit
			at := relaxed{bound: math.Inf(-1)}
			if d[0] > 0 {
				some.cents, at.cents = amount, price
			} else {
				some.days, at.days = amount, price
			}
			got := outcome{left: noLimit}
			some.narrow(func() int64 { return min(got.left, noLimit/weightScale) }, at, maxDivided, func(c choice) {
				if y, ok := some.best(c, -1); ok && y.better(got) {
					got = y
				}
			})
			if got.left < noLimit {
				f.add(got.choice)
				f.spans = append(f.spans, [2]choice{before.clone(), got.choice.clone()})
				before = got.choice
			}
		}
		f.spans = append(f.spans, [2]choice{before.clone(), x.b.choice.clone()})
	}
}

// span is two corners, the one that spends less first, between which no other is known.
type span struct{ a, b corner }

// area is how far the two lie apart.
func (x *span) area() float64 { return (x.b.spent - x.a.spent) * float64(x.a.left-x.b.left) }

// between adds the choices on the way from one corner to the next and back.
func (f *frontier) between(a, b choice, n *network) {
	f.add(a)
	f.add(b)
	byPlace, byCar := n.links()
	f.walk(a.clone(), b, n, byPlace, byCar)
	f.walk(b.clone(), a, n, byPlace, byCar)
	low, high := f.spent.cost(a), f.spent.cost(b)
	f.spans = append(f.spans, [2]choice{a.clone(), b.clone()})
	f.ladder(a.clone(), func(c int64) bool { return c < high }, 1)
	f.ladder(b.clone(), func(c int64) bool { return c > low }, -1)
}

// maxRungs is how far a ladder goes from a corner.
const maxRungs = 60

// ladder goes on from a corner without holds, while the cost allows, one change of a place or car at a time: up by what
// ends most for its cost, down by what leaves least for it.
func (f *frontier) ladder(c choice, goes func(cost int64) bool, way int64) {
	byPlace, byCar := f.leaves.links()
	costPlace, costCar := f.spent.links()
	for range maxRungs {
		if !goes(f.spent.cost(c)) {
			return
		}
		best, at, to, place := math.Inf(1), -1, 0, false
		look := func(isPlace bool, i, o int, cost, left int64) {
			cost, left = way*cost, way*left // up: more cost, less left; down the other way round
			if cost <= 0 || left >= 0 && way > 0 {
				return
			}
			if r := float64(left) / float64(cost); way > 0 && r < best || way < 0 && -r < best {
				best, at, to, place = float64(way)*r, i, o, isPlace
			}
		}
		for i := range c.place {
			for o := range f.leaves.place[i] {
				if o != c.place[i] && way*(f.spent.place[i][o]-f.spent.place[i][c.place[i]]) > 0 {
					look(true, i, o, f.spent.placeChange(c, i, o, costPlace), f.leaves.placeChange(c, i, o, byPlace))
				}
			}
		}
		for i := range c.car {
			for o := range f.leaves.car[i] {
				if o != c.car[i] && way*(f.spent.car[i][o]-f.spent.car[i][c.car[i]]) > 0 {
					look(false, i, o, f.spent.carChange(c, i, o, costCar), f.leaves.carChange(c, i, o, byCar))
				}
			}
		}
		switch {
		case at < 0:
			return
		case place:
			c.place[at] = to
		default:
			c.car[at] = to
		}
		f.add(c)
	}
}

// walk changes what differs one at a time, the one that pays best first.
func (f *frontier) walk(c, to choice, n *network, byPlace, byCar [][]int) {
	type change struct {
		place bool
		at    int
		gain  int64
		known bool
	}
	var list []change
	for i := range c.place {
		if c.place[i] != to.place[i] {
			list = append(list, change{place: true, at: i})
		}
	}
	for i := range c.car {
		if c.car[i] != to.car[i] {
			list = append(list, change{at: i})
		}
	}
	for len(list) > 1 {
		best := 0
		for i := range list {
			x := &list[i]
			if !x.known {
				x.known = true
				if x.place {
					x.gain = n.placeChange(c, x.at, to.place[x.at], byPlace)
				} else {
					x.gain = n.carChange(c, x.at, to.car[x.at], byCar)
				}
			}
			if x.gain < list[best].gain {
				best = i
			}
		}
		x := list[best]
		list = slices.Delete(list, best, best+1)
		if x.place {
			c.place[x.at] = to.place[x.at]
		} else {
			c.car[x.at] = to.car[x.at]
		}
		f.add(c)
		for i := range list { // what hangs on it is not known any more
			list[i].known = list[i].known && list[i].place == x.place
		}
	}
}

// placeChange is by how much a choice gets dearer if another option of a place is taken.
func (n *network) placeChange(c choice, place, to int, byPlace [][]int) int64 {
	from := c.place[place]
	sum := n.place[place][to] - n.place[place][from]
	for _, k := range byPlace[place] {
		e := &n.edges[k]
		sum += e.at(n, to, c.car[e.car]) - e.at(n, from, c.car[e.car])
	}
	return sum
}

// carChange likewise for a car.
func (n *network) carChange(c choice, car, to int, byCar [][]int) int64 {
	from := c.car[car]
	sum := n.car[car][to] - n.car[car][from]
	for _, k := range byCar[car] {
		e := &n.edges[k]
		sum += e.at(n, c.place[e.place], to) - e.at(n, c.place[e.place], from)
	}
	return sum
}

// each calls do for every choice of the frontier, for each with one place or car chosen otherwise, and for those
// between two corners that a knapsack joins, if its value at the prices of a network is below what worth gives then and
// its works keep to the limits. do must not keep the choice.
func (f *frontier) each(n *network, worth func() int64, do func(c choice)) {
	byPlace, byCar := n.links()
	costPlace, costCar := f.spent.links()
	value, cost := make([]int64, len(f.list)), make([]int64, len(f.list))
	for k, c := range f.list {
		value[k], cost[k] = n.cost(c), f.spent.cost(c)
		if cost[k] <= f.s.cents && value[k] < worth() {
			do(c)
		}
	}
	for _, x := range f.spans {
		f.knapsack(x[1], f.spent.cost(x[1])-f.spent.cost(x[0]), -1, n, worth, do)
		f.knapsack(x[0], f.spent.cost(x[1])-f.spent.cost(x[0]), 1, n, worth, do)
	}
	for k, list := range f.list {
		c, v, room := list.clone(), value[k], f.s.cents-cost[k]
		for i := range c.place {
			was := c.place[i]
			for o := range n.place[i] {
				if o != was && v+n.placeChange(c, i, o, byPlace) < worth() &&
					f.spent.placeChange(c, i, o, costPlace) <= room {
					c.place[i] = o
					do(c)
					c.place[i] = was
				}
			}
		}
		for i := range c.car {
			was := c.car[i]
			for o := range n.car[i] {
				if o != was && v+n.carChange(c, i, o, byCar) < worth() &&
					f.spent.carChange(c, i, o, costCar) <= room {
					c.car[i] = o
					do(c)
					c.car[i] = was
				}
			}
		}
	}
}

// maxLevels is how many amounts a knapsack tells apart.
const maxLevels = 4096

// knapsack changes a corner by several works at once: for every amount that is saved (way -1) or spent (1) up to most,
// what leaves least if each work left what it does alone.
func (f *frontier) knapsack(c choice, most, way int64, n *network, worth func() int64, do func(c choice)) {
	unit := max(f.s.grain(), most/maxLevels)
	levels := int(most/unit) + 1
	if levels < 2 || way > 0 && f.spent.cost(c) > f.s.cents {
		return
	}
	type change struct {
		place bool
		at, o int
		units int
		left  int64
	}
	var items [][]change // of one place or car each: one of them, or none
	byPlace, byCar := f.leaves.links()
	costPlace, costCar := f.spent.links()
	item := func(place bool, i, options, was int, changes func(o int) (cost, left int64)) {
		var list []change
		for o := range options {
			if o == was {
				continue
			}
			if cost, left := changes(o); way*cost > 0 && (way < 0 || left < 0) && way*cost <= most {
				list = append(list, change{place, i, o, int(max(1, way*cost/unit)), left})
			}
		}
		if len(list) > 0 {
			items = append(items, list)
		}
	}
	for i, was := range c.place {
		item(true, i, len(f.leaves.place[i]), was, func(o int) (int64, int64) {
			return f.spent.placeChange(c, i, o, costPlace), f.leaves.placeChange(c, i, o, byPlace)
		})
	}
	for i, was := range c.car {
		item(false, i, len(f.leaves.car[i]), was, func(o int) (int64, int64) {
			return f.spent.carChange(c, i, o, costCar), f.leaves.carChange(c, i, o, byCar)
		})
	}
	const never = math.MaxInt64 / 4
	least := make([]int64, levels)
	for k := range least[1:] {
		least[k+1] = never
	}
	taken := make([][]int16, len(items))
	for i, list := range items {
		taken[i] = make([]int16, levels)
		for k := levels - 1; k >= 0; k-- { // from the top, so that each item is taken once
			for o, x := range list {
				if k >= x.units && least[k-x.units] < never && least[k-x.units]+x.left < least[k] {
					least[k], taken[i][k] = least[k-x.units]+x.left, int16(o+1)
				}
			}
		}
	}
	for k := 1; k < levels; k++ {
		if least[k] >= never {
			continue
		}
		x := c.clone()
		for i, rest := len(items)-1, k; i >= 0 && rest >= 0; i-- {
			if o := taken[i][rest]; o > 0 {
				y := items[i][o-1]
				if y.place {
					x.place[y.at] = y.o
				} else {
					x.car[y.at] = y.o
				}
				rest -= y.units
			}
		}
		if f.spent.cost(x) <= f.s.cents && n.cost(x) < worth() {
			do(x)
		}
	}
}
