package wheel

import "flangeway/internal/measure"

// Clone is a copy of the fleet whose wheels can be given other readings. The histories are shared.
func (f *Fleet) Clone() *Fleet {
	out := &Fleet{}
	wheels := map[*Wheel]*Wheel{}
	for _, c := range f.Cars {
		d := *c
		d.AxleList = make([]*Axle, len(c.AxleList))
		for i, a := range c.AxleList {
			b := a.Clone()
			b.Car = &d
			d.AxleList[i] = b
			for _, pair := range [2][2]*Wheel{{a.L, b.L}, {a.R, b.R}} {
				if pair[0] != nil {
					pair[1].Car = &d
					wheels[pair[0]] = pair[1]
				}
			}
		}
		out.Cars = append(out.Cars, &d)
	}
	for _, w := range f.Wheels {
		out.Wheels = append(out.Wheels, wheels[w])
	}
	return out
}

// Drop takes a car with its wheels out of the fleet; ok is false if there is no such car.
func (f *Fleet) Drop(id string) (ok bool) {
	cars, wheels := f.Cars[:0:0], f.Wheels[:0:0]
	for _, c := range f.Cars {
		if c.ID == id {
			ok = true
			continue
		}
		cars = append(cars, c)
	}
	for _, w := range f.Wheels {
		if w.Car.ID != id {
			wheels = append(wheels, w)
		}
	}
	f.Cars, f.Wheels = cars, wheels
	return ok
}

// Only is the fleet of those cars that which takes; cars and wheels are shared.
func (f *Fleet) Only(which func(*Car) bool) *Fleet {
	out := &Fleet{}
	for _, c := range f.Cars {
		if which(c) {
			out.Cars = append(out.Cars, c)
		}
	}
	for _, w := range f.Wheels {
		if which(w.Car) {
			out.Wheels = append(out.Wheels, w)
		}
	}
	return out
}

// Clone is a copy of the axle with its wheels, of the same car.
func (a *Axle) Clone() *Axle {
	b := *a
	for _, w := range []**Wheel{&b.L, &b.R} {
		if *w != nil {
			v := **w
			v.axle = &b
			*w = &v
		}
	}
	return &b
}

// Set gives a wheel another reading; the back-to-back is the axle's. Only a wheel of a [Fleet.Clone] or [Axle.Clone] is
// changed.
func (w *Wheel) Set(q Quantity, r measure.Reading) {
	w.others |= 1 << q
	if q == BackToBack || q == BackToBackMax {
		if w.axle != nil {
			w.axle.spread[q-BackToBack] = r
			for _, v := range w.axle.Wheels() {
				v.readings[q] = r
			}
			return
		}
	}
	w.readings[q] = r
}

// Others are the readings of the wheel that are not those of its row, by bit of Quantity.
func (w *Wheel) Others() uint16 { return w.others }
