package plan

// network is the choice in its plain form: one option for each place and one for each car, with a price, and a price
// for each pair of a place's option and a car's option (a hold, or what is left undone). The cheapest sum is sought.
type network struct {
	place [][]int64 // by place and option
	car   [][]int64
	edges []edge
	// cut solves a part as a minimum cut if it has that form; nil: never.
	cut func(p part, place, car [][]int) (solution, bool)
}

// part is a set of places and cars that no edge joins to any other.
type part struct{ places, cars []int }

// edge is the price of every pair of options of a place and a car, place-major.
type edge struct {
	place, car int
	price      []int64
}

func (e *edge) at(n *network, y, x int) int64 { return e.price[y*len(n.car[e.car])+x] }

// choice is an option for each place and car.
type choice struct{ place, car []int }

func (c choice) clone() choice {
	return choice{append([]int(nil), c.place...), append([]int(nil), c.car...)}
}

// cost is the price of a choice.
func (n *network) cost(c choice) int64 {
	var sum int64
	for i, y := range c.place {
		sum += n.place[i][y]
	}
	for i, x := range c.car {
		sum += n.car[i][x]
	}
	for i := range n.edges {
		e := &n.edges[i]
		sum += e.at(n, c.place[e.place], c.car[e.car])
	}
	return sum
}

// links are the edges of each place and each car.
func (n *network) links() (place, car [][]int) {
	place, car = make([][]int, len(n.place)), make([][]int, len(n.car))
	for i := range n.edges {
		place[n.edges[i].place] = append(place[n.edges[i].place], i)
		car[n.edges[i].car] = append(car[n.edges[i].car], i)
	}
	return place, car
}

// gcd is the greatest amount of which every price is a multiple; 1 at least.
func (n *network) gcd() int64 {
	var g int64
	take := func(v int64) {
		v = max(v, -v)
		for v != 0 {
			g, v = v, g%v
		}
	}
	for _, list := range [][][]int64{n.place, n.car} {
		for _, row := range list {
			for _, v := range row {
				take(v)
			}
		}
	}
	for i := range n.edges {
		for _, v := range n.edges[i].price {
			take(v)
		}
	}
	return max(g, 1)
}

// improve changes one option at a time, the best first found, until nothing gains.
func (n *network) improve(c choice, byPlace, byCar [][]int) {
	for changed := true; changed; {
		changed = false
		for i, row := range n.place {
			best, bestAt := int64(0), -1
			for y := range row {
				v := row[y]
				for _, k := range byPlace[i] {
					e := &n.edges[k]
					v += e.at(n, y, c.car[e.car])
				}
				if bestAt < 0 || v < best || v == best && y == c.place[i] {
					best, bestAt = v, y
				}
			}
			changed = changed || bestAt != c.place[i]
			c.place[i] = bestAt
		}
		for i, row := range n.car {
			best, bestAt := int64(0), -1
			for x := range row {
				v := row[x]
				for _, k := range byCar[i] {
					e := &n.edges[k]
					v += e.at(n, c.place[e.place], x)
				}
				if bestAt < 0 || v < best || v == best && x == c.car[i] {
					best, bestAt = v, x
				}
			}
			changed = changed || bestAt != c.car[i]
			c.car[i] = bestAt
		}
	}
}
