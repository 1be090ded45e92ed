package plan

import "flangeway/internal/parallel"

// carOption is a level for each axle of a car.
type carOption struct {
	levels        []int // by axle of the car: an axle option
	cents, millis int64
	marks         []bitset // by place: which of its live options leave something bad or worse
}

// maxCarOptions caps the combinations of a car's axles; with more, the axles of the car
// keep only two options each, as they are and the cheapest work.
const maxCarOptions = 1024

// carOptions are the combinations of the works on a car's axles, without those that
// another one is never worse than.
func (m *model) carOptions(c *carModel) []carOption {
	out := []carOption{{marks: m.emptyMarks()}}
	trucks := m.trucksMarked(c)
	total := 1
	for _, ai := range c.axles {
		n := 0
		for j := range m.axles[ai].opts {
			if !m.axles[ai].opts[j].gone {
				n++
			}
		}
		total = min(total*n, maxCarOptions+1)
	}
	for _, ai := range c.axles {
		a := &m.axles[ai]
		var next []carOption
		kept := 0
		for j := range a.opts {
			o := &a.opts[j]
			if o.gone || total > maxCarOptions && kept == 2 {
				continue
			}
			kept++
			marks := m.emptyMarks()
			for pi := range m.places {
				for n, y := range m.places[pi].live {
					if m.leaves(a, j, &m.places[pi].opts[y]) {
						marks[pi].set(n)
					}
				}
			}
			for _, base := range out {
				x := carOption{levels: append(append([]int(nil), base.levels...), j), cents: base.cents + o.cents,
					millis: base.millis + o.millis}
				for pi := range marks {
					b := marks[pi].clone()
					b.or(base.marks[pi])
					x.marks = append(x.marks, b)
				}
				next = append(next, x)
			}
		}
		out = next
		if trucks == nil {
			out = pruneCar(next, m.opt.CrewDays != nil)
		}
	}
	if trucks != nil {
		for i := range out {
			out[i].markTrucks(trucks)
		}
		out = pruneCar(out, m.opt.CrewDays != nil)
	}
	return out
}

// markedTruck is a truck with works on its axles against which something is known at a live option of a place.
type markedTruck struct {
	key           truckKey
	place, option int
}

// trucksMarked is what is known against the trucks of a car: it hangs on the works on both axles.
func (m *model) trucksMarked(c *carModel) (out []markedTruck) {
	for pi := range m.places {
		if !c.meets[pi] || len(c.trucks) == 0 {
			continue
		}
		for n, y := range m.places[pi].live {
			for _, r := range m.places[pi].opts[y].rows {
				for key, s := range r.trucks {
					if key.truck.car == c.car && s.marked() {
						out = append(out, markedTruck{key, pi, n})
					}
				}
			}
		}
	}
	return out
}

// markTrucks adds what is known of the trucks of a car.
func (x *carOption) markTrucks(known []markedTruck) {
	for _, k := range known {
		if k.key.levels == k.key.truck.levels(func(k int) int { return x.levels[k] }) {
			x.marks[k.place].set(k.option)
		}
	}
}

func (m *model) emptyMarks() []bitset {
	out := make([]bitset, len(m.places))
	for i := range out {
		out[i] = newBitset(len(m.places[i].live))
	}
	return out
}

// pruneCar takes out combinations that another one is never worse than.
func pruneCar(list []carOption, days bool) []carOption {
	within := func(a, b *carOption) bool {
		for i := range a.marks {
			if !a.marks[i].within(b.marks[i]) {
				return false
			}
		}
		return true
	}
	var out []carOption
	gone := make([]bool, len(list))
	for j := range list {
		for q := range list {
			x, y := &list[j], &list[q]
			if q == j || gone[q] || y.cents > x.cents || days && y.millis > x.millis || !within(y, x) {
				continue
			}
			if y.cents == x.cents && (!days || y.millis == x.millis) && q > j && within(x, y) {
				continue
			}
			gone[j] = true
			break
		}
	}
	for j := range list {
		if !gone[j] {
			out = append(out, list[j])
		}
	}
	return out
}

// leaves reports whether an axle option and a place option leave a treated pair that is
// not clear, or a pair that is worse than it was, as far as the axle alone tells.
func (m *model) leaves(a *axleModel, j int, o *placeOption) bool {
	for _, r := range o.rows {
		for s := range 2 {
			if i := a.first + 2*j + s; r.bad.has(i) || r.worse.has(i) {
				return true
			}
		}
	}
	return false
}

// assembled is the network of a model with what its options stand for.
type assembled struct {
	*network
	places [][]*placeOption
	cars   [][]carOption
}

// liveOptions are the options of every place that another one is not never worse than.
func (m *model) liveOptions() [][]*placeOption {
	out := make([][]*placeOption, len(m.places))
	for i := range m.places {
		for _, y := range m.places[i].live {
			out[i] = append(out[i], &m.places[i].opts[y])
		}
	}
	return out
}

// assemble makes the network in which every treated pair is removed and none is worse:
// a car that leaves something at a place is held off it.
func (m *model) assemble() *assembled {
	n := &assembled{network: &network{}, places: m.liveOptions()}
	var all int64 // no plan costs more than closing or holding everything
	for i := range n.places {
		row := make([]int64, len(n.places[i]))
		for y, o := range n.places[i] {
			row[y] = o.cents
		}
		all += row[len(row)-1]
		n.place = append(n.place, row)
	}
	never := (all/1e6 + 2) * 1e6
	n.cars = make([][]carOption, len(m.cars))
	parallel.Each(len(m.cars), func(ci int) { n.cars[ci] = m.carOptions(&m.cars[ci]) })
	for ci := range m.cars {
		c := &m.cars[ci]
		opts := n.cars[ci]
		row := make([]int64, len(opts))
		for x := range opts {
			row[x] = opts[x].cents
		}
		n.car = append(n.car, row)
		hold := c.hold
		if hold >= forbidden {
			hold = never
		}
		for pi := range m.places {
			e := edge{place: pi, car: ci, price: make([]int64, len(n.places[pi])*len(opts))}
			some := false
			for y := range n.places[pi] {
				for x := range opts {
					if opts[x].marks[pi].has(y) {
						e.price[y*len(opts)+x] = hold
						some = true
					}
				}
			}
			if some && hold > 0 {
				n.edges = append(n.edges, e)
			}
		}
	}
	n.cut = func(p part, place, car [][]int) (solution, bool) { return m.minimumCut(n, p, place, car) }
	return n
}
