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
	ks []int // where its axles stand in the car's list; -1: not in the sheet
}

// at is which axle of the truck one of the car's list is.
func (t *truckModel) at(k int) int { return slices.Index(t.ks, k) }

// levels are those of its axles.
func (t *truckModel) levels(level func(k int) int) (out onAxles) {
	for i, k := range t.ks {
		if k >= 0 {
			out[i] = level(k)
		}
	}
	return out
}

// onAxles are the works on the axles of a truck.
type onAxles [mostAxles]int

// truckKey is a truck with works on its axles.
type truckKey struct {
	truck  *truckModel
	levels onAxles
}

// truckState is a truck with works on its axles at a row: what of its wheels is bad or worse, and their verdicts, by
// axle, side, and as the planned readings are read or with the tolerance.
//
// If it was judged in one of these two ways alone, what is bad or worse by it is so whatever the other one says, and
// the verdicts are those of the one.
type truckState struct {
	bad, worse [mostAxles][2]bool
	after      [mostAxles][2][2]interaction.Verdict
	judged     [2]bool
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
			t := &truckModel{ks: make([]int, len(axles))}
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
	return r.trucks[t][t.levels(level)]
}

// state is that of a truck with works on its axles, made if there is none.
func (r *rowModel) state(key truckKey) *truckState {
	by := r.trucks[key.truck]
	if by == nil {
		by = map[onAxles]*truckState{}
		r.trucks[key.truck] = by
	}
	s := by[key.levels]
	if s == nil {
		s = &truckState{}
		by[key.levels] = s
	}
	return s
}

// trucksAsIs notes the trucks as they are, at a row as it is.
func (m *model) trucksAsIs(r *rowModel) {
	if !r.asIs || !m.judgesTrucks[r.check] {
		return
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		for _, t := range c.trucks {
			s := r.state(truckKey{truck: t})
			s.judged = [2]bool{true, true}
			m.eachOf(c, t, func(i, side, w int) {
				before := r.place.before[r.k][w]
				s.after[i][side] = [2]interaction.Verdict{before, before}
				s.bad[i][side], s.worse[i][side] = m.marks(r, w, false, before, before)
			})
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

// need is how much is to be known of the trucks of a car at a place.
type need int

const (
	nothing need = iota
	// whether the car leaves anything: if one of its trucks does, or a wheel, the rest need not be asked
	whether
	// which of its pairs are left, in whichever way
	which
	// all verdicts
	everything
)

// wantedTruck is a truck that is to be judged again at a row, as the planned readings are read (0) or with the
// tolerance (1).
type wantedTruck struct {
	c   *carModel
	key truckKey
	row *rowModel
	end int
}

// wantedTrucks lists what is to be asked next of the trucks of a car at a row of a choice, of which what is wanted at
// the car's place; marked says that something is known to be left there. With the tolerance more is left than without,
// so that is asked first.
func (m *model) wantedTrucks(out []wantedTruck, c chosen, ci int, r *rowModel, what need, marked bool) []wantedTruck {
	x := &m.cars[ci]
	if !m.judgesTrucks[r.check] || !x.meets[r.place.index] || what == nothing || what == whether && marked {
		return out
	}
	var narrow []wantedTruck
	for _, t := range x.trucks {
		key := truckKey{t, t.levels(func(k int) int { return c.level(ci, k) })}
		s := r.trucks[t][key.levels]
		switch {
		case s == nil || !s.judged[1]:
			out = append(out, wantedTruck{x, key, r, 1})
			if what == whether {
				return out
			}
			if what == everything {
				out = append(out, wantedTruck{x, key, r, 0})
			}
		case !s.judged[0] && (what != which || !m.everyMarked(x, t, s)):
			narrow = append(narrow, wantedTruck{x, key, r, 0})
		}
	}
	return append(out, narrow...)
}

// everyMarked reports whether every wheel of a truck is bad or worse.
func (m *model) everyMarked(c *carModel, t *truckModel, s *truckState) bool {
	every := true
	m.eachOf(c, t, func(i, side, _ int) { every = every && (s.bad[i][side] || s.worse[i][side]) })
	return every
}

// learnTrucks judges trucks again of which it is not known yet.
func (m *model) learnTrucks(list []wantedTruck) {
	type asked struct {
		row *rowModel
		end int
	}
	by := map[asked][]wantedTruck{}
	var order []asked
	seen := map[wantedTruck]bool{}
	for _, x := range list {
		s := x.row.state(x.key)
		if s.judged[x.end] || seen[x] {
			continue
		}
		seen[x] = true
		k := asked{x.row, x.end}
		if by[k] == nil {
			order = append(order, k)
		}
		by[k] = append(by[k], x)
	}
	found := make([][]interaction.Verdict, len(order))
	parallel.Each(len(order), func(i int) {
		k := order[i]
		found[i] = m.engine.Again(m.workedFleet(by[k])).Rows([]*track.Feature{k.row.f[k.end]},
			func(check int) bool { return check == k.row.check })[0][k.row.check]
	})
	for i, k := range order {
		n := 0
		for _, x := range by[k] {
			s := k.row.state(x.key)
			s.judged[k.end] = true
			m.eachOf(x.c, x.key.truck, func(a, side, w int) {
				after := &s.after[a][side]
				if after[k.end] = found[i][n]; !s.judged[1-k.end] {
					after[1-k.end] = after[k.end]
				}
				n++
				s.bad[a][side], s.worse[a][side] = m.marks(k.row, w, x.key.levels[a] > 0, after[0], after[1])
			})
		}
	}
}

// workedFleet is the trucks that are wanted, each in a car of its own.
func (m *model) workedFleet(wanted []wantedTruck) *wheel.Fleet {
	fleet := &wheel.Fleet{}
	for _, x := range wanted {
		car := *x.c.car
		car.AxleList = nil
		for i, k := range x.key.truck.ks {
			if k < 0 {
				continue
			}
			a := m.axles[x.c.axles[k]].opts[x.key.levels[i]].axles[x.end].Clone()
			car.AxleList = append(car.AxleList, a)
			fleet.Wheels = append(fleet.Wheels, a.Wheels()...)
		}
		car.Axles = len(x.c.trucks) * len(x.key.truck.ks)
		fleet.Cars = append(fleet.Cars, &car)
	}
	return fleet
}

// trucksWithin reports whether every truck that is marked at a row is so at the row of another option of the place too.
func (m *model) trucksWithin(r *rowModel, other *placeOption, k int) bool {
	for t, by := range r.trucks {
		for levels, s := range by {
			if !s.marked() {
				continue
			}
			if other.rows == nil {
				return false
			}
			if x := other.rows[k].trucks[t][levels]; x == nil || !x.marked() {
				return false
			}
		}
	}
	return true
}

// truckColumns adds to what each axle option leaves what is known of its truck, with every work on the truck's other
// axles.
func (m *model) truckColumns(a *axleModel, cols []bitset) {
	ci := slices.IndexFunc(m.cars, func(c carModel) bool { return c.car == a.axle.Car })
	c := &m.cars[ci]
	k := slices.IndexFunc(c.axles, func(ai int) bool { return &m.axles[ai] == a })
	t := c.truckOf[k]
	if t == nil {
		return
	}
	at := t.at(k)
	for pi := range m.places {
		p := &m.places[pi]
		for _, y := range p.live {
			for _, r := range p.opts[y].rows {
				if len(r.trucks[t]) == 0 {
					continue
				}
				marked := map[onAxles]bitset{} // by the works on the other axles
				for levels, s := range r.trucks[t] {
					if !s.marked() {
						continue
					}
					j := levels[at]
					levels[at] = 0
					if marked[levels] == nil {
						marked[levels] = newBitset(len(cols))
					}
					marked[levels].set(j)
				}
				for _, b := range marked {
					for j := range cols {
						word := uint64(0)
						if b.has(j) {
							word = 1
						}
						cols[j] = append(cols[j], word)
					}
				}
			}
		}
	}
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
			for _, x := range a.Wheels() {
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
