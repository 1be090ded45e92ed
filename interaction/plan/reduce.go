package plan

import "slices"

// reduction is a network with options taken out that no cheapest choice needs.
type reduction struct {
	n *network
	// other is the same network at other prices: what goes is not needed at either, nor at any between. nil: n alone.
	other          *network
	place, car     [][]int // options left, as numbered in the network
	byPlace, byCar [][]int
}

func newReduction(n *network) *reduction {
	r := &reduction{n: n}
	r.byPlace, r.byCar = n.links()
	r.place, r.car = indices(n.place), indices(n.car)
	return r
}

// eliminate takes options out until none can be: an option goes if another one of the same node is not dearer
// whatever the neighbours choose.
func (r *reduction) eliminate() {
	for changed := true; changed; {
		changed = false
		for i := range r.place {
			if left := r.left(i, r.place[i], r.byPlace[i], true); len(left) < len(r.place[i]) {
				r.place[i], changed = left, true
			}
		}
		for i := range r.car {
			if left := r.left(i, r.car[i], r.byCar[i], false); len(left) < len(r.car[i]) {
				r.car[i], changed = left, true
			}
		}
	}
}

// left lists the remaining options of a node.
func (r *reduction) left(node int, open []int, links []int, place bool) []int {
	if len(open) < 2 {
		return open
	}
	gone := map[int]bool{}
	probes := r.probes(open, r.n.own(node, place), links, place)
	for bi, b := range open {
		for ai, a := range open {
			if a == b || gone[a] || slices.ContainsFunc(probes,
				func(cost []int64) bool { return cost[ai] > cost[bi] }) {
				continue
			}
			most := r.most(node, links, a, b, place)
			if most < 0 || most == 0 && a < b {
				gone[b] = true
				break
			}
		}
	}
	if len(gone) == 0 {
		return open
	}
	return slices.DeleteFunc(slices.Clone(open), func(o int) bool { return gone[o] })
}

// mostProbes is how many choices of the neighbours are tried before two options are compared over all of them.
const mostProbes = 8

// probes are what each open option of a node costs with some choices of its neighbours, by choice. An option that is
// dearer than another one with any of them takes nothing out.
func (r *reduction) probes(open []int, own []int64, links []int, place bool) [][]int64 {
	out := make([][]int64, mostProbes)
	for i := range out {
		out[i] = make([]int64, len(open))
		for k, a := range open {
			out[i][k] = own[a]
		}
		for _, link := range links {
			e := &r.n.edges[link]
			nx := len(r.n.car[e.car])
			if place {
				x := r.car[e.car][i%len(r.car[e.car])]
				for k, a := range open {
					out[i][k] += e.price[a*nx+x]
				}
				continue
			}
			y := r.place[e.place][i%len(r.place[e.place])]
			for k, a := range open {
				out[i][k] += e.price[y*nx+a]
			}
		}
	}
	return out
}

// most is by how much option a of a node is dearer than b, at most. Each term grows or falls with the price of a cent
// alone, or is a straight line in it, so that between two prices it is the most at one of them.
func (r *reduction) most(node int, links []int, a, b int, place bool) int64 {
	own := func(n *network) int64 { row := n.own(node, place); return row[a] - row[b] }
	if r.other == nil {
		most := own(r.n)
		for _, k := range links {
			most += r.mostAt(&r.n.edges[k], a, b, place)
		}
		return most
	}
	most := max(own(r.n), own(r.other))
	for _, k := range links {
		most += max(r.mostAt(&r.n.edges[k], a, b, place), r.mostAt(&r.other.edges[k], a, b, place))
	}
	return most
}

// own are the prices of a node's options.
func (n *network) own(node int, place bool) []int64 {
	if place {
		return n.place[node]
	}
	return n.car[node]
}

// mostAt is by how much option a is dearer than b at an edge, at most.
func (r *reduction) mostAt(e *edge, a, b int, place bool) int64 {
	var most int64
	first := true
	nx := len(r.n.car[e.car])
	if place {
		for _, x := range r.car[e.car] {
			if d := e.price[a*nx+x] - e.price[b*nx+x]; first || d > most {
				most, first = d, false
			}
		}
		return most
	}
	for _, y := range r.place[e.place] {
		if d := e.price[y*nx+a] - e.price[y*nx+b]; first || d > most {
			most, first = d, false
		}
	}
	return most
}

// bound reports whether the two ends of an edge depend on each other: whether its price is no sum of one of the place
// and one of the car.
func (r *reduction) bound(e *edge) bool {
	nx := len(r.n.car[e.car])
	ys, xs := r.place[e.place], r.car[e.car]
	for _, y := range ys[1:] {
		d := e.price[y*nx+xs[0]] - e.price[ys[0]*nx+xs[0]]
		for _, x := range xs[1:] {
			if e.price[y*nx+x]-e.price[ys[0]*nx+x] != d {
				return true
			}
		}
	}
	return false
}

// parts are the places and cars that depend on each other.
func (r *reduction) parts() []part {
	np := len(r.place)
	root := make([]int, np+len(r.car))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for i := range r.n.edges {
		if e := &r.n.edges[i]; r.bound(e) {
			root[find(e.place)] = find(np + e.car)
		}
	}
	at := map[int]int{}
	var out []part
	for i := range root {
		f := find(i)
		k, ok := at[f]
		if !ok {
			k = len(out)
			at[f] = k
			out = append(out, part{})
		}
		if i < np {
			out[k].places = append(out[k].places, i)
		} else {
			out[k].cars = append(out[k].cars, i-np)
		}
	}
	return out
}

// network is the network of one part: edges inside it as they are, edges that are sums counted into their ends. An edge
// to another part is such a sum; its share of the car counts there, its share of the place here.
func (r *reduction) network(p part) *network {
	sub := &network{}
	placeAt, carAt := map[int]int{}, map[int]int{}
	for i, v := range p.places {
		placeAt[v] = i
		row := make([]int64, len(r.place[v]))
		for o, y := range r.place[v] {
			row[o] = r.n.place[v][y]
		}
		sub.place = append(sub.place, row)
	}
	for i, v := range p.cars {
		carAt[v] = i
		row := make([]int64, len(r.car[v]))
		for o, x := range r.car[v] {
			row[o] = r.n.car[v][x]
		}
		sub.car = append(sub.car, row)
	}
	done := map[int]bool{}
	take := func(k int) {
		if done[k] {
			return
		}
		done[k] = true
		e := &r.n.edges[k]
		nx := len(r.n.car[e.car])
		ys, xs := r.place[e.place], r.car[e.car]
		if !r.bound(e) {
			if i, ok := placeAt[e.place]; ok {
				for o, y := range ys {
					sub.place[i][o] += e.price[y*nx+xs[0]]
				}
			}
			if i, ok := carAt[e.car]; ok {
				for o, x := range xs {
					sub.car[i][o] += e.price[ys[0]*nx+x] - e.price[ys[0]*nx+xs[0]]
				}
			}
			return
		}
		x := edge{place: placeAt[e.place], car: carAt[e.car], price: make([]int64, 0, len(ys)*len(xs))}
		for _, y := range ys {
			for _, c := range xs {
				x.price = append(x.price, e.price[y*nx+c])
			}
		}
		sub.edges = append(sub.edges, x)
	}
	for _, v := range p.places {
		for _, k := range r.byPlace[v] {
			take(k)
		}
	}
	for _, v := range p.cars {
		for _, k := range r.byCar[v] {
			take(k)
		}
	}
	return sub
}
