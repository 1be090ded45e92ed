package plan

import (
	"cmp"
	"math"
	"slices"
)

// arc is an arc of a flow network.
type arc struct {
	from, to int
	capacity int64
}

// flowNetwork is a network of arcs; node 0 is the source, node 1 the sink.
type flowNetwork struct {
	nodes int
	arcs  []arc
	base  int64 // what is paid in any case
}

func (f *flowNetwork) node() int {
	f.nodes++
	return f.nodes - 1
}

func (f *flowNetwork) arc(from, to int, capacity int64) {
	f.arcs = append(f.arcs, arc{from, to, capacity})
}

// endless is a capacity that no cut pays.
const endless = math.MaxInt64 / 4

// maximumFlow is the value of the greatest flow and the nodes on the source's side of a least cut, by Dinic's blocking
// flows.
func (f *flowNetwork) maximumFlow() (value int64, source []bool) {
	type half struct {
		to   int
		left int64
	}
	var halves []half
	out := make([][]int, f.nodes)
	for _, a := range f.arcs {
		out[a.from] = append(out[a.from], len(halves))
		halves = append(halves, half{a.to, a.capacity})
		out[a.to] = append(out[a.to], len(halves))
		halves = append(halves, half{a.from, 0})
	}
	level, next := make([]int, f.nodes), make([]int, f.nodes)
	search := func() bool {
		for i := range level {
			level[i] = -1
		}
		level[0] = 0
		queue := []int{0}
		for len(queue) > 0 {
			v := queue[0]
			queue = queue[1:]
			for _, h := range out[v] {
				if w := halves[h].to; halves[h].left > 0 && level[w] < 0 {
					level[w] = level[v] + 1
					queue = append(queue, w)
				}
			}
		}
		return level[1] >= 0
	}
	var push func(v int, most int64) int64
	push = func(v int, most int64) int64 {
		if v == 1 {
			return most
		}
		for ; next[v] < len(out[v]); next[v]++ {
			h := out[v][next[v]]
			if w := halves[h].to; halves[h].left > 0 && level[w] == level[v]+1 {
				if got := push(w, min(most, halves[h].left)); got > 0 {
					halves[h].left -= got
					halves[h^1].left += got
					return got
				}
			}
		}
		return 0
	}
	for search() {
		for i := range next {
			next[i] = 0
		}
		for {
			got := push(0, endless)
			if got == 0 {
				break
			}
			value += got
		}
	}
	source = make([]bool, f.nodes)
	for i := range level {
		source[i] = level[i] >= 0
	}
	return value, source
}

// ladder is a node whose options can be put in an order in which each costs no less than the one before and leaves
// nothing that the one before does not leave.
type ladder struct {
	opts  []int
	price []int64
	nodes []int // of the flow network: nodes[i] is on the ladder's own side if the option is i or lower
}

// minimumCut solves a part as a minimum cut. It has that form if the options of every place and of every axle in it
// are ladders, so that no work can make a pair worse, and if all axles of a car that meet a place need the same rung
// of it, so that one hold serves them, and if none is kept off a whole track. The value of the greatest flow certifies
// the answer.
func (m *model) minimumCut(n *assembled, p part, placeOpts, carOpts [][]int) (solution, bool) {
	f, places, axles, out, ok := m.cutNetwork(n, p, placeOpts, carOpts)
	if !ok {
		return solution{}, false
	}
	value, source := f.maximumFlow()
	s := solution{choice: choice{make([]int, len(p.places)), make([]int, len(p.cars))}}
	rung := func(l *ladder, side bool) int {
		for i, v := range l.nodes {
			if source[v] == side {
				return i
			}
		}
		return len(l.opts) - 1
	}
	for i, l := range places {
		s.choice.place[i] = slices.Index(placeOpts[p.places[i]], l.opts[rung(l, true)])
	}
	for i, v := range p.cars {
		left := slices.IndexFunc(carOpts[v], func(x int) bool { return n.cars[v][x].out })
		if axles[i] == nil || out[i] != 1 && source[out[i]] {
			s.choice.car[i] = left
			continue
		}
		levels := make([]int, len(axles[i]))
		for k, l := range axles[i] {
			levels[k] = l.opts[rung(l, false)]
		}
		at := slices.IndexFunc(carOpts[v], func(x int) bool {
			return !n.cars[v][x].out && slices.Equal(n.cars[v][x].levels, levels)
		})
		if at < 0 {
			return solution{}, false // a combination that was found needless: left to the search
		}
		s.choice.car[i] = at
	}
	s.cost, s.bound = f.base+value, f.base+value
	return s, true
}

// cutNetwork is the flow network of a part, with its ladders by place and by car and axle. A car that may be left out
// of service pays what it pays through a node of its own, out: cutting that off costs what leaving it out costs. out is
// the sink for the others.
func (m *model) cutNetwork(n *assembled, p part, placeOpts, carOpts [][]int) (f *flowNetwork, places []*ladder,
	axles [][]*ladder, out []int, ok bool) {
	f = &flowNetwork{nodes: 2}
	inPart := map[int]int{}
	for i, v := range p.places {
		inPart[v] = i
	}
	for _, v := range p.places {
		opts := n.places[v]
		l := &ladder{opts: slices.Clone(placeOpts[v])}
		slices.SortStableFunc(l.opts, func(a, b int) int { return cmp.Compare(opts[a].cents, opts[b].cents) })
		for i, o := range l.opts {
			l.price = append(l.price, opts[o].cents+outside(n, p, v, o, carOpts))
			if i > 0 && !placeBelow(v, o, l.opts[i-1], p, n, carOpts) {
				return nil, nil, nil, nil, false
			}
		}
		for i := range l.opts[1:] {
			l.nodes = append(l.nodes, f.node())
			switch d := l.price[i+1] - l.price[i]; {
			case d >= 0:
				f.arc(0, l.nodes[i], d)
			default: // the higher rung is the cheaper one: the lower pays
				f.base += d
				f.arc(l.nodes[i], 1, -d)
			}
			if i > 0 {
				f.arc(l.nodes[i-1], l.nodes[i], endless)
			}
		}
		f.base += l.price[0]
		places = append(places, l)
	}
	for _, v := range p.cars {
		c := &m.cars[v]
		if c.hold >= forbidden {
			return nil, nil, nil, nil, false
		}
		if slices.ContainsFunc(carOpts[v], func(x int) bool { return len(n.cars[v][x].bars) > 0 }) {
			return nil, nil, nil, nil, false // one hold for several places
		}
		var works []int
		sink, leftOut := 1, int64(0)
		for _, x := range carOpts[v] {
			if n.cars[v][x].out {
				sink, leftOut = f.node(), n.cars[v][x].cents
				continue
			}
			works = append(works, x)
		}
		out = append(out, sink)
		if len(works) == 0 { // nothing is left to it but to be out
			f.base += leftOut
			axles = append(axles, nil)
			continue
		}
		if sink != 1 {
			f.arc(sink, 1, leftOut)
		}
		var list []*ladder
		for k, ai := range c.axles {
			a := &m.axles[ai]
			l := &ladder{}
			for _, x := range works {
				if j := n.cars[v][x].levels[k]; !slices.Contains(l.opts, j) {
					l.opts = append(l.opts, j)
				}
			}
			slices.SortStableFunc(l.opts, func(x, y int) int { return cmp.Compare(a.opts[x].cents, a.opts[y].cents) })
			for i, j := range l.opts {
				l.price = append(l.price, a.opts[j].cents)
				if i > 0 && !m.axleBelow(a, j, l.opts[i-1], n, placeOpts) {
					return nil, nil, nil, nil, false
				}
			}
			for i := range l.opts[1:] {
				l.nodes = append(l.nodes, f.node())
				f.arc(l.nodes[i], sink, l.price[i+1]-l.price[i])
				if i > 0 {
					f.arc(l.nodes[i], l.nodes[i-1], endless)
				}
			}
			if sink == 1 {
				f.base += l.price[0]
			} else {
				f.arc(0, sink, l.price[0])
			}
			list = append(list, l)
		}
		axles = append(axles, list)
		for pi := range m.places {
			if !c.meets[pi] {
				continue
			}
			var l *ladder
			opts := placeOpts[pi][:1]
			if i, inside := inPart[pi]; inside {
				l, opts = places[i], places[i].opts
			} else if n.cars[v][carOpts[v][0]].marks[pi].has(opts[0]) {
				f.base -= c.hold // counted at the place's own part
			}
			if !m.join(f, c, list, n.places[pi], opts, l, sink) {
				return nil, nil, nil, nil, false
			}
		}
	}
	return f, places, axles, out, true
}

// outside is what the cars of other parts pay at an option of a place. They pay it whatever they do themselves, else
// they were in the part.
func outside(n *assembled, p part, place, y int, carOpts [][]int) int64 {
	var sum int64
	for i := range n.edges {
		if e := &n.edges[i]; e.place == place && !slices.Contains(p.cars, e.car) {
			sum += e.at(n.network, y, carOpts[e.car][0])
		}
	}
	return sum
}

// placeBelow reports whether option y of a place leaves nothing that option before does not leave, whatever the cars of
// the part do.
func placeBelow(place, y, before int, in part, n *assembled, carOpts [][]int) bool {
	for _, v := range in.cars {
		for _, x := range carOpts[v] {
			if b := n.cars[v][x].marks[place]; b.has(y) && !b.has(before) {
				return false
			}
		}
	}
	return true
}

// axleBelow likewise for an axle.
func (m *model) axleBelow(a *axleModel, j, before int, n *assembled, placeOpts [][]int) bool {
	for pi := range m.places {
		for _, y := range placeOpts[pi] {
			if o := n.places[pi][y]; m.leaves(a, j, o) && !m.leaves(a, before, o) {
				return false
			}
		}
	}
	return true
}

// join puts the hold of a car off a place into the flow network: the place at or below a rung with an axle at or below
// one pays it. l is nil for a place of another part. sink is what the car pays into.
func (m *model) join(f *flowNetwork, c *carModel, list []*ladder, place []*placeOption, opts []int, l *ladder,
	sink int) bool {
	leave, rung := -1, -1
	for k, al := range list {
		a := &m.axles[c.axles[k]]
		for r, j := range al.opts {
			top := -1 // the highest rung of the place at which this option still leaves something
			for y := range opts {
				if m.leaves(a, j, place[opts[y]]) {
					if y != top+1 {
						return false
					}
					top = y
				}
			}
			switch {
			case top < 0:
				continue
			case rung >= 0 && top != rung:
				return false // one hold, two rungs: no cut
			case rung < 0:
				rung = top
				enter := f.node()
				leave = f.node()
				f.arc(enter, leave, c.hold)
				if top == len(opts)-1 {
					f.arc(0, enter, endless) // whatever is done at the place
				} else {
					f.arc(l.nodes[top], enter, endless)
				}
			}
			if r == len(al.opts)-1 {
				f.arc(leave, sink, endless) // whatever is done to the axle
			} else {
				f.arc(leave, al.nodes[r], endless)
			}
		}
	}
	return true
}
