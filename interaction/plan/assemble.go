package plan

// carOption is a level for each axle of a car.
type carOption struct {
	levels        []int // by axle of the car: an axle option
	cents, millis int64
	marks         []bitset // by place: which of its options leave something bad or worse
}

// maxCarOptions caps the combinations of a car's axles; with more, the axles of the car
// keep only two options each, as they are and the cheapest work.
const maxCarOptions = 1024

// carOptions are the combinations of the works on a car's axles, without those that
// another one is never worse than.
func (m *model) carOptions(c *carModel) []carOption {
	out := []carOption{{marks: m.emptyMarks()}}
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
				p := &m.places[pi]
				for y := range p.opts {
					if m.leaves(a, j, p, y) {
						marks[pi].set(y)
					}
				}
			}
			for _, base := range out {
				x := carOption{levels: append(append([]int(nil), base.levels...), j), cents: base.cents + o.cents, millis: base.millis + o.millis}
				for pi := range marks {
					b := marks[pi].clone()
					b.or(base.marks[pi])
					x.marks = append(x.marks, b)
				}
				next = append(next, x)
			}
		}
		out = pruneCar(next, m.opt.CrewDays != nil)
	}
	return out
}

func (m *model) emptyMarks() []bitset {
	out := make([]bitset, len(m.places))
	for i := range out {
		out[i] = newBitset(len(m.places[i].opts))
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
// not clear, or a pair that is worse than it was.
func (m *model) leaves(a *axleModel, j int, p *placeModel, y int) bool {
	o := &p.opts[y]
	for k := range o.bad {
		for s := range 2 {
			i := a.first + 2*j + s
			if o.bad[k].has(i) || o.worse[k].has(i) {
				return true
			}
		}
	}
	return false
}

// assembled is the network of a model with what its options stand for.
type assembled struct {
	*network
	cars [][]carOption
}

// assemble makes the network in which every treated pair is removed and none is worse:
// a car that leaves something at a place is held off it.
func (m *model) assemble() *assembled {
	n := &assembled{network: &network{}}
	var all int64 // no plan costs more than closing or holding everything
	for i := range m.places {
		row := make([]int64, len(m.places[i].opts))
		for y := range m.places[i].opts {
			row[y] = m.places[i].opts[y].cents
		}
		all += row[len(row)-1]
		n.place = append(n.place, row)
	}
	never := (all/1e6 + 2) * 1e6
	n.cars = make([][]carOption, len(m.cars))
	each(len(m.cars), func(ci int) { n.cars[ci] = m.carOptions(&m.cars[ci]) })
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
			e := edge{place: pi, car: ci, price: make([]int64, len(m.places[pi].opts)*len(opts))}
			some := false
			for y := range m.places[pi].opts {
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
