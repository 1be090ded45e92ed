package plan

import "math"

// solution is a choice, its cost and a bound that no choice is below.
type solution struct {
	choice choice
	cost   int64
	bound  int64
	parts  int // independent parts of the network
	cuts   int // of them solved as minimum cuts
	nodes  int // looked at by the search
}

// Limits of work; counted, not timed, so that the same input gives the same result.
const (
	maxNodes    = 1500     // of the search in one part
	maxEffort   = 40 << 20 // prices looked at while searching, over all parts
	rootRounds  = 60       // of the bound at the root
	nodeRounds  = 8        // of the bound at a node
	roughRounds = 12       // of the bound if a good choice is enough
)

// solve finds the cheapest choice: options that another one is never dearer than are taken out, the network falls into
// parts, and each part is searched by branch and bound. The bound is that of the linear relaxation, approached from
// below by moving prices between the edges and their ends (any state of it is a bound).
func (n *network) solve() solution {
	r := newReduction(n)
	r.eliminate()
	s := solution{choice: choice{make([]int, len(n.place)), make([]int, len(n.car))}}
	effort := maxEffort
	for _, p := range r.parts() {
		s.parts++
		sub := r.network(p)
		var got solution
		cut, ok := solution{}, false
		if n.cut != nil {
			cut, ok = n.cut(p, r.place, r.car)
		}
		if ok && sub.cost(cut.choice) == cut.cost {
			got = cut
			s.cuts++
		} else {
			got = sub.search(&effort, rootRounds, maxNodes)
		}
		s.cost, s.bound, s.nodes = s.cost+got.cost, s.bound+got.bound, s.nodes+got.nodes
		for i, v := range p.places {
			s.choice.place[v] = r.place[v][got.choice.place[i]]
		}
		for i, v := range p.cars {
			s.choice.car[v] = r.car[v][got.choice.car[i]]
		}
	}
	return s
}

// bounded is a part under search: which options are still open, and the prices moved from each edge to its ends.
type bounded struct {
	n              *network
	byPlace, byCar [][]int
	openP, openC   [][]bool
	toP, toC       [][]float64 // by edge: moved to the options of its place, of its car
	sumP, sumC     [][]float64 // by node: its own price and all that was moved to it
	margP, margC   [][]float64 // the sums when they were fullest, for choosing
	best           choice
	bestCost       int64
	grain          int64
	nodes          int
	effort         *int
	exhausted      bool
	openBound      float64 // least bound of what was left unsearched
	maxNodes       int
	// value is what a choice counts; ok is false if it is none. nil: its price.
	value           func(c choice) (v int64, ok bool)
	pricesInOnePass int
}

// rough finds a good choice, without an end to the search for a better one; its bound is one.
func (n *network) rough() solution {
	effort := maxEffort
	s := n.search(&effort, roughRounds, 1)
	s.parts = 1
	return s
}

// search looks at that many nodes at most, the first with that many rounds of the bound.
func (n *network) search(effort *int, rounds, nodes int) solution {
	b := newBounded(n, effort)
	b.maxNodes = nodes
	b.best = choice{make([]int, len(n.place)), make([]int, len(n.car))}
	b.n.improve(b.best, b.byPlace, b.byCar)
	b.bestCost = n.cost(b.best)
	b.branch(rounds)
	bound := b.bestCost
	if b.exhausted {
		bound = min(bound, b.whole(b.openBound))
	}
	return solution{choice: b.best, cost: b.bestCost, bound: bound, nodes: b.nodes}
}

func newBounded(n *network, effort *int) *bounded {
	b := &bounded{n: n, grain: n.gcd(), effort: effort, openBound: math.Inf(1), maxNodes: maxNodes}
	b.byPlace, b.byCar = n.links()
	for _, row := range n.place {
		b.openP = append(b.openP, allOpen(len(row)))
		b.sumP = append(b.sumP, floats(row))
		b.margP = append(b.margP, floats(row))
	}
	for _, row := range n.car {
		b.openC = append(b.openC, allOpen(len(row)))
		b.sumC = append(b.sumC, floats(row))
		b.margC = append(b.margC, floats(row))
	}
	for i := range n.edges {
		e := &n.edges[i]
		b.toP = append(b.toP, make([]float64, len(n.place[e.place])))
		b.toC = append(b.toC, make([]float64, len(n.car[e.car])))
		b.pricesInOnePass += 2 * len(e.price)
	}
	return b
}

func allOpen(n int) []bool {
	out := make([]bool, n)
	for i := range out {
		out[i] = true
	}
	return out
}

func floats(row []int64) []float64 {
	out := make([]float64, len(row))
	for i, v := range row {
		out[i] = float64(v)
	}
	return out
}

// whole is the least possible cost at or above a bound: costs are whole multiples of the grain. A thousandth of a cent
// is left for rounding.
func (b *bounded) whole(bound float64) int64 {
	g := float64(b.grain)
	return int64(math.Ceil((bound-1e-3)/g)) * b.grain
}

// branch searches below the present state.
func (b *bounded) branch(rounds int) {
	b.nodes++
	bound := math.Inf(-1)
	for i := range rounds {
		next := b.sweep()
		stalled := next-bound < 1e-5*math.Max(1, math.Abs(next))
		bound = math.Max(bound, next)
		if b.whole(bound) >= b.bestCost {
			return
		}
		if i > 2 && stalled {
			break
		}
	}
	place, node := b.pick()
	if node < 0 { // one option for each: the choice was seen by round
		return
	}
	if b.nodes >= b.maxNodes || *b.effort <= 0 { // what is left here keeps its bound
		b.exhausted = true
		b.openBound = math.Min(b.openBound, bound)
		return
	}
	open, sum := b.openC, b.margC
	if place {
		open, sum = b.openP, b.margP
	}
	order := make([]int, 0, len(open[node]))
	for o, ok := range open[node] {
		if ok {
			order = append(order, o)
		}
	}
	for i := 1; i < len(order); i++ { // the likeliest first
		for j := i; j > 0 && sum[node][order[j]] < sum[node][order[j-1]]; j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	// The likeliest option against all others: two children. The order is taken before the first changes it.
	saved := b.save()
	keep := append([]bool(nil), open[node]...)
	for o := range open[node] {
		open[node][o] = o == order[0]
	}
	b.branch(nodeRounds)
	b.restore(saved)
	copy(open[node], keep)
	open[node][order[0]] = false
	b.branch(nodeRounds)
	b.restore(saved)
	copy(open[node], keep)
}

type savedPrices struct{ toP, toC, sumP, sumC [][]float64 }

func deep(rows [][]float64) [][]float64 {
	out := make([][]float64, len(rows))
	for i, r := range rows {
		out[i] = append([]float64(nil), r...)
	}
	return out
}

func (b *bounded) save() savedPrices {
	return savedPrices{deep(b.toP), deep(b.toC), deep(b.sumP), deep(b.sumC)}
}

func (b *bounded) restore(s savedPrices) {
	for _, pair := range [][2][][]float64{{b.toP, s.toP}, {b.toC, s.toC}, {b.sumP, s.sumP}, {b.sumC, s.sumC}} {
		for i := range pair[0] {
			copy(pair[0][i], pair[1][i])
		}
	}
}

// pick chooses where to branch: the place, else the car, with more than one open option whose two best are closest.
func (b *bounded) pick() (place bool, node int) {
	node = -1
	gap := math.Inf(1)
	look := func(isPlace bool, open [][]bool, sum [][]float64, links [][]int) {
		for i := range open {
			first, second := math.Inf(1), math.Inf(1)
			for o, ok := range open[i] {
				if !ok {
					continue
				}
				if v := sum[i][o]; v < first {
					first, second = v, first
				} else if v < second {
					second = v
				}
			}
			if math.IsInf(second, 1) {
				continue
			}
			g := (second - first) / float64(1+len(links[i]))
			if g < gap-1e-9 {
				gap, place, node = g, isPlace, i
			}
		}
	}
	look(true, b.openP, b.margP, b.byPlace)
	look(false, b.openC, b.margC, b.byCar)
	return place, node
}

// sweep moves the prices to the cars and back to the places once, and returns the bound.
func (b *bounded) sweep() float64 {
	*b.effort -= b.pricesInOnePass
	n := b.n
	buf := make([]float64, 0, 16)
	// Every place takes in what its edges can give, and hands all of it out in equal shares; then every car likewise.
	// The bound is the sum of the least prices.
	for i := range n.place {
		for _, k := range b.byPlace[i] {
			b.pull(k, true)
		}
		copy(b.margP[i], b.sumP[i])
		b.share(b.sumP[i], b.openP[i], b.byPlace[i], b.toP, buf)
	}
	bound := 0.0
	for i := range n.car {
		for _, k := range b.byCar[i] {
			b.pull(k, false)
		}
		copy(b.margC[i], b.sumC[i])
		bound += least(b.sumC[i], b.openC[i])
	}
	for i := range n.place {
		bound += least(b.sumP[i], b.openP[i])
	}
	b.round()
	// What the cars hold goes back to the edges, for the next pass.
	for i := range n.car {
		b.share(b.sumC[i], b.openC[i], b.byCar[i], b.toC, buf)
	}
	return bound
}

func least(sum []float64, open []bool) float64 {
	v := math.Inf(1)
	for o, ok := range open {
		if ok && sum[o] < v {
			v = sum[o]
		}
	}
	return v
}

// share hands what a node holds above its least price to its edges in equal shares.
func (b *bounded) share(sum []float64, open []bool, links []int, to [][]float64, buf []float64) {
	if len(links) == 0 {
		return
	}
	low := least(sum, open)
	part := 1 / float64(len(links))
	buf = buf[:0]
	for o := range sum {
		buf = append(buf, (sum[o]-low)*part)
	}
	for _, k := range links {
		for o := range sum {
			to[k][o] -= buf[o]
		}
	}
	for o := range sum {
		sum[o] -= buf[o] * float64(len(links))
	}
}

// pull moves from an edge to its place (or car) the least that each option of it pays.
func (b *bounded) pull(k int, place bool) {
	e := &b.n.edges[k]
	nx := len(b.n.car[e.car])
	toP, toC := b.toP[k], b.toC[k]
	openP, openC := b.openP[e.place], b.openC[e.car]
	if place {
		for y, ok := range openP {
			if !ok {
				continue
			}
			v := math.Inf(1)
			price := e.price[y*nx : (y+1)*nx]
			for x, ok := range openC {
				if d := float64(price[x]) - toC[x]; ok && d < v {
					v = d
				}
			}
			v -= toP[y]
			toP[y] += v
			b.sumP[e.place][y] += v
		}
		return
	}
	for x, ok := range openC {
		if !ok {
			continue
		}
		v := math.Inf(1)
		for y, ok := range openP {
			if ok {
				v = math.Min(v, float64(e.price[y*nx+x])-toP[y])
			}
		}
		v -= toC[x]
		toC[x] += v
		b.sumC[e.car][x] += v
	}
}

// round makes a choice of the present prices and keeps it if it is the best yet.
func (b *bounded) round() {
	c := choice{make([]int, len(b.n.place)), make([]int, len(b.n.car))}
	for i := range c.place {
		c.place[i] = leastAt(b.margP[i], b.openP[i])
	}
	for i := range c.car {
		c.car[i] = leastAt(b.margC[i], b.openC[i])
	}
	if b.value != nil { // a choice that must keep to limits counts as it is
		b.keep(c.clone())
	}
	b.n.improve(c, b.byPlace, b.byCar)
	b.keep(c)
}

func (b *bounded) keep(c choice) {
	v, ok := int64(0), true
	if b.value != nil {
		v, ok = b.value(c)
	} else {
		v = b.n.cost(c)
	}
	if ok && v < b.bestCost {
		b.best, b.bestCost = c, v
	}
}

func leastAt(sum []float64, open []bool) int {
	best := -1
	for o, ok := range open {
		if ok && (best < 0 || sum[o] < sum[best]) {
			best = o
		}
	}
	return best
}
