package shaped

import (
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// That nothing holds a rail up but its foot is assumed, and no sheet says how far that is so. What is
// assumed leaves a pair open only if it fails with the readings as written: so a rail's rollover is
// judged with every reading of one figure at that figure, whatever it may err, a range or a bound at its
// ends, and what was not read over what it can be. Over what the readings err it makes a clear truck close.

// asWritten is a reading of one figure as that figure; any other as it is.
func asWritten(r measure.Reading) measure.Reading {
	if !r.Measured() || r.Form != measure.Point {
		return r
	}
	exact := measure.Exact(r.As, r.Written)
	exact.Place = r.Place
	return exact
}

// readExactly is the truck with its readings as written, and with the designs that these may be of with what they err:
// a narrow flange is made somewhat thicker than its design. nil for a usual truck, which is of no car.
func (t *truckJob) readExactly() *truckJob {
	if t.car.ID == "" {
		return nil
	}
	car := *t.car
	car.TruckWheelbase, car.TruckCenters, car.LoadImbalance = asWritten(car.TruckWheelbase),
		asWritten(car.TruckCenters), asWritten(car.LoadImbalance)
	n := &truckJob{car: &car, number: t.number, axles: t.axles, index: t.index, hollow: t.hollow, designs: t.designs,
		exact: true}
	for a := range t.axles {
		var axle *wheel.Axle
		for _, w := range t.wheels[2*a : 2*a+2] {
			if w != nil && axle == nil {
				axle = w.Axle().Clone()
			}
		}
		if axle == nil {
			continue
		}
		n.wheels[2*a], n.wheels[2*a+1] = axle.L, axle.R
		for _, w := range n.wheels[2*a : 2*a+2] {
			for q := wheel.Quantity(0); w != nil && q < wheel.NumQuantities; q++ {
				if r := w.Read(q); r.Form == measure.Point {
					w.Set(q, asWritten(r))
				}
			}
		}
	}
	return n
}

// asWrittenAt is a curve with its readings as written.
func asWrittenAt(f *track.Feature) *track.Feature {
	for _, q := range f.Measured() {
		if r := f.Read(q); r.Form == measure.Point && q != track.Degree {
			f = f.With(q, asWritten(r))
		}
	}
	return f
}

// standsAsWritten are the stands at which rollover is judged, each once: those that every truck is tried at,
// and those besides of one that is clear there.
func (c *Computer) standsAsWritten(t *truckJob, j *curveJob) (list, within []stand) {
	fits := kinds(func(f fit) fit {
		f.unread = 0
		if lost := c.lost(t, j, f.gross); lost[f.end] == lost[written] {
			f.end = written
		}
		return f
	})
	sites := kinds(func(s site) site {
		s.unread = 0
		return s
	})
	type at struct {
		fit, site int
		top       float64
	}
	seen := map[at]bool{}
	once := func(s stand) bool {
		k := at{fits(s.fit), sites(s.site), s.top}
		first := !seen[k]
		seen[k] = true
		return first
	}
	all := stands(t, j)
	for _, s := range all {
		if once(s) {
			list = append(list, s)
		}
	}
	for _, s := range standsWithin(t, j, all) {
		if once(s) {
			within = append(within, s)
		}
	}
	return list, within
}

// kinds numbers values by what counts of them, each looked at once.
func kinds[T comparable](counts func(T) T) func(*T) int {
	of, numbers := map[*T]int{}, map[T]int{}
	return func(x *T) int {
		n, ok := of[x]
		if !ok {
			k := counts(*x)
			if n, ok = numbers[k]; !ok {
				n = len(numbers)
				numbers[k] = n
			}
			of[x] = n
		}
		return n
	}
}

// rolled gathers the margins of a truck in one way with its readings as written, by which rollover is judged: at
// the stands of every truck, and while it is clear at those besides.
func (r *running) rolled(i int, clear func([]tried) bool) []tried {
	c, s, on := r.c, r.t.asRead, r.j.asRead
	if s == nil {
		return nil
	}
	if r.first == nil {
		r.first, r.within = c.standsAsWritten(s, on)
	}
	list, why := c.inWay(s, on, ways()[i], r.first)
	if why != "" {
		return nil
	}
	if len(r.within) > 0 && clear(list) {
		more, why := c.inWay(s, on, ways()[i], r.within)
		if why != "" {
			return nil
		}
		list = append(list, more...)
	}
	return list
}
