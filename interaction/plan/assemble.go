package plan

import (
	"slices"

	"flangeway/internal/parallel"
)

// carOption is a level for each axle of a car.
type carOption struct {
	levels        []int // by axle of the car: an axle option
	cents, millis int64
	marks         []bitset // by place: which of its live options leave something bad or worse
	// left is, with a budget, the passes on one trip that it leaves at each live option of each place.
	left []float64
	// relaxed says that it stands for several and does what all of them do: it is for bounds alone.
	relaxed bool
	out     bool  // the car is left out of service: it meets no place
	bars    []int // the tracks that it is kept off besides
}

// carOptions are the combinations of the works on a car's axles, without those that another one is never worse than.
func (m *model) carOptions(c *carModel) []carOption {
	trucks := m.trucksMarked(c)
	out := m.combined(c, func(u unit, x *carOption) {
		x.marks = m.emptyMarks()
		for _, k := range u {
			for pi := range m.places {
				for n, y := range m.places[pi].live {
					if m.leaves(&m.axles[c.axles[k]], x.levels[k], &m.places[pi].opts[y]) {
						x.marks[pi].set(n)
					}
				}
			}
		}
		if t := c.truckOf[u[0]]; t != nil {
			x.markTrucks(trucks, t)
		}
	})
	nothing := func(x *carOption) { x.marks = m.emptyMarks() }
	out = m.withBars(c, out, func(x *carOption, pi int) bool { return !x.marks[pi].empty() },
		func(x *carOption, pi int) { x.marks[pi].clear() }, nothing)
	return m.withOut(c, out, nothing)
}

// markedTruck is a truck with works on its axles against which something is known at a live option of a place.
type markedTruck struct {
	key           truckKey
	place, option int
}

// trucksMarked are the options of places at which a truck of a car is bad or worse, with the works on all of its axles.
func (m *model) trucksMarked(c *carModel) (out []markedTruck) {
	for pi := range m.places {
		if !c.meets[pi] || len(c.trucks) == 0 {
			continue
		}
		for n, y := range m.places[pi].live {
			for _, r := range m.places[pi].opts[y].rows {
				for _, t := range c.trucks {
					for levels, s := range r.trucks[t] {
						if s.marked() {
							out = append(out, markedTruck{truckKey{t, levels}, pi, n})
						}
					}
				}
			}
		}
	}
	return out
}

// markTrucks marks the options of places at which a truck of the car is bad or worse.
func (x *carOption) markTrucks(known []markedTruck, t *truckModel) {
	for _, k := range known {
		if slices.Equal(k.key.truck.ks, t.ks) &&
			k.key.levels == k.key.truck.levels(func(k int) int { return x.levels[k] }) {
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
// a car that leaves something at a place is held off it. If combinations of axles had to be joined, bounding is the
// network with the relaxed ones, below whose least no choice is; else nil.
func (m *model) assemble() (n, bounding *assembled) {
	all := make([][]carOption, len(m.cars))
	parallel.Each(len(m.cars), func(ci int) { all[ci] = m.carOptions(&m.cars[ci]) })
	real, some := unrelaxed(all)
	n = m.assembleOf(real)
	n.cut = func(p part, place, car [][]int) (solution, bool) { return m.minimumCut(n, p, place, car) }
	if some {
		bounding = m.assembleOf(all)
	}
	return n, bounding
}

// unrelaxed leaves out the options that are for bounds alone; some says that there are any.
func unrelaxed(all [][]carOption) (out [][]carOption, some bool) {
	for _, list := range all {
		if slices.ContainsFunc(list, func(x carOption) bool { return x.relaxed }) {
			list = slices.DeleteFunc(slices.Clone(list), func(x carOption) bool { return x.relaxed })
			some = true
		}
		out = append(out, list)
	}
	return out, some
}

// assembleOf makes the network of these options of the cars.
func (m *model) assembleOf(cars [][]carOption) *assembled {
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
	n.cars = cars
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
	return n
}
