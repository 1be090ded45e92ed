package plan

import (
	"slices"

	"flangeway/interaction"
	"flangeway/internal/parallel"
	"flangeway/track"
	"flangeway/wheel"
)

// mostAxles are those of the longest truck.
const mostAxles = 3

// truckModel is a truck that is judged as one: the verdicts of its wheels hang on the works on all of its axles.
type truckModel struct {
	car *wheel.Car
	ks  []int // where its axles stand in the car's list; -1: not in the sheet
}

// at is which axle of the truck one of the car's list is.
func (t *truckModel) at(k int) int { return slices.Index(t.ks, k) }

// levels are those of its axles.
func (t *truckModel) levels(level func(k int) int) (out [mostAxles]int) {
	for i, k := range t.ks {
		if k >= 0 {
			out[i] = level(k)
		}
	}
	return out
}

// truckKey is a truck with works on its axles.
type truckKey struct {
	truck  *truckModel
	levels [mostAxles]int
}

// truckState is a truck with works on its axles at a row: what of its wheels is bad or worse, and their verdicts, by
// axle, side, and as the planned readings are read or with the tolerance.
type truckState struct {
	bad, worse [mostAxles][2]bool
	after      [mostAxles][2][2]interaction.Verdict
}

// marked reports whether anything is bad or worse.
func (s *truckState) marked() bool {
	none := [mostAxles][2]bool{}
	return s.bad != none || s.worse != none
}

// couple lists the trucks of a car that are judged as one.
func (m *model) couple(c *carModel) {
	c.truckOf = make([]*truckModel, len(c.car.AxleList))
	for check := range m.trial.Checks {
		for _, axles := range m.engine.Trucks(check, c.car) {
			t := &truckModel{car: c.car, ks: make([]int, len(axles))}
			for i, number := range axles {
				t.ks[i] = -1
				for k, a := range c.car.AxleList {
					if a.Number == number {
						t.ks[i], c.truckOf[k] = k, t
					}
				}
			}
			c.trucks = append(c.trucks, t)
			m.judgesTrucks[check] = true
		}
	}
}

// truck is the state of knowledge of a truck at a row, with its axles at their levels; nil if nothing is.
func (r *rowModel) truck(t *truckModel, level func(k int) int) *truckState {
	if t == nil || len(r.trucks) == 0 {
		return nil
	}
	return r.trucks[truckKey{t, t.levels(level)}]
}

// trucksAsIs notes the trucks as they are, at a row as it is.
func (m *model) trucksAsIs(r *rowModel) {
	if !r.asIs || !m.judgesTrucks[r.check] {
		return
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		for _, t := range c.trucks {
			s := &truckState{}
			m.eachOf(c, t, func(i, side, w int) {
				before := r.place.before[r.k][w]
				s.after[i][side] = [2]interaction.Verdict{before, before}
				s.bad[i][side], s.worse[i][side] = m.marks(r, w, false, before, before)
			})
			r.trucks[truckKey{truck: t}] = s
		}
	}
}

// eachOf calls f with each wheel of a truck: its axle in the truck, side, and index in the fleet.
func (m *model) eachOf(c *carModel, t *truckModel, f func(i, side, w int)) {
	for i, k := range t.ks {
		if k < 0 {
			continue
		}
		for side, w := range m.axles[c.axles[k]].index {
			if w >= 0 {
				f(i, side, w)
			}
		}
	}
}

// wanted is a truck that is to be judged again at a row.
type wantedTruck struct {
	c   *carModel
	key truckKey
	row *rowModel
}

// learnTrucks judges trucks again of which it is not known yet.
func (m *model) learnTrucks(list []wantedTruck) {
	byRow := map[*rowModel][]wantedTruck{}
	var rows []*rowModel
	for _, x := range list {
		if x.row.trucks[x.key] != nil {
			continue
		}
		x.row.trucks[x.key] = &truckState{}
		if byRow[x.row] == nil {
			rows = append(rows, x.row)
		}
		byRow[x.row] = append(byRow[x.row], x)
	}
	found := make([][2][]interaction.Verdict, len(rows))
	parallel.Each(2*len(rows), func(i int) {
		r, v := rows[i/2], i%2
		fleet := m.workedFleet(byRow[r], v)
		found[i/2][v] = m.engine.Again(fleet).Rows([]*track.Feature{r.f[v]},
			func(check int) bool { return check == r.check })[0][r.check]
	})
	for i, r := range rows {
		n := 0
		for _, x := range byRow[r] {
			s := r.trucks[x.key]
			m.eachOf(x.c, x.key.truck, func(a, side, w int) {
				after := &s.after[a][side]
				after[0], after[1] = found[i][0][n], found[i][1][n]
				n++
				s.bad[a][side], s.worse[a][side] = m.marks(r, w, x.key.levels[a] > 0, after[0], after[1])
			})
		}
	}
}

// workedFleet is the trucks that are wanted, as the planned readings are read (v 0) or with the tolerance (1), each in a
// car of its own.
func (m *model) workedFleet(wanted []wantedTruck, v int) *wheel.Fleet {
	fleet := &wheel.Fleet{}
	for _, x := range wanted {
		car := *x.c.car
		car.AxleList = nil
		for i, k := range x.key.truck.ks {
			if k < 0 {
				continue
			}
			a := m.axles[x.c.axles[k]].opts[x.key.levels[i]].axles[v].Clone()
			car.AxleList = append(car.AxleList, a)
			for _, w := range []*wheel.Wheel{a.L, a.R} {
				if w != nil {
					fleet.Wheels = append(fleet.Wheels, w)
				}
			}
		}
		car.Axles = len(x.c.trucks) * len(x.key.truck.ks)
		fleet.Cars = append(fleet.Cars, &car)
	}
	return fleet
}

// trucksWithin reports whether every truck that is marked at a row is so at the row of another option of the place too.
func (m *model) trucksWithin(r *rowModel, other *placeOption, k int) bool {
	for key, s := range r.trucks {
		if !s.marked() {
			continue
		}
		if other.rows == nil {
			return false
		}
		if x := other.rows[k].trucks[key]; x == nil || !x.marked() {
			return false
		}
	}
	return true
}

// truckColumns adds to what each axle option leaves what is known of its truck, with every work on the truck's other
// axles.
func (m *model) truckColumns(a *axleModel, cols []bitset) {
	for ci := range m.cars {
		c := &m.cars[ci]
		if c.car != a.axle.Car {
			continue
		}
		k := slices.IndexFunc(c.axles, func(ai int) bool { return &m.axles[ai] == a })
		t := c.truckOf[k]
		if t == nil {
			return
		}
		for pi := range m.places {
			p := &m.places[pi]
			for _, y := range p.live {
				for _, r := range p.opts[y].rows {
					for _, levels := range m.others(c, t, k) {
						marked := newBitset(len(cols))
						for j := range cols {
							key := truckKey{t, levels}
							key.levels[t.at(k)] = j
							if s := r.trucks[key]; s != nil && s.marked() {
								marked.set(j)
							}
						}
						if marked.empty() {
							continue
						}
						for j := range cols {
							word := uint64(0)
							if marked.has(j) {
								word = 1
							}
							cols[j] = append(cols[j], word)
						}
					}
				}
			}
		}
		return
	}
}

// others are all levels of the other axles of a truck.
func (m *model) others(c *carModel, t *truckModel, k int) [][mostAxles]int {
	out := [][mostAxles]int{{}}
	for i, other := range t.ks {
		if other < 0 || other == k {
			continue
		}
		var more [][mostAxles]int
		for level := range m.axles[c.axles[other]].opts {
			for _, x := range out {
				x[i] = level
				more = append(more, x)
			}
		}
		out = more
	}
	return out
}

// truckFleet is the cars of wheels, of which trucks are judged as one, with a reading known, and where in it the wheels
// stand.
func (m *model) truckFleet(v *variant, wheels []int) (fleet *wheel.Fleet, at []int) {
	fleet = &wheel.Fleet{}
	for _, wi := range wheels {
		w := m.sv.Fleet.Wheels[wi]
		car := *w.Car
		car.AxleList = nil
		for _, a := range w.Car.AxleList {
			a = v.axle(a).Clone()
			car.AxleList = append(car.AxleList, a)
			for _, x := range []*wheel.Wheel{a.L, a.R} {
				if x == nil {
					continue
				}
				if x.Position == w.Position {
					at = append(at, len(fleet.Wheels))
				}
				fleet.Wheels = append(fleet.Wheels, x)
			}
		}
		fleet.Cars = append(fleet.Cars, &car)
	}
	return fleet, at
}
