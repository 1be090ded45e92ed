package wheel

import "flangeway/internal/measure"

// NewPair is an axle of two wheels with the same readings, for new wheels and for tests; the L wheel is returned.
func NewPair(design string, readings map[Quantity]measure.Reading) *Wheel {
	car := &Car{ID: "new", Owner: "own"}
	a := &Axle{Car: car, Number: 1}
	car.AxleList = []*Axle{a}
	for _, side := range []byte{'L', 'R'} {
		w := &Wheel{Car: car, Position: Position{Side: side, Axle: 1}, Design: design, axle: a}
		for q, r := range readings {
			w.readings[q] = r
		}
		if side == 'L' {
			a.L = w
		} else {
			a.R = w
		}
	}
	a.spread = [2]measure.Reading{readings[BackToBack], readings[BackToBackMax]}
	return a.L
}

// NewAxle is the L wheel of an axle with readings of its own on either side; right is nil for an axle without an R
// wheel. design is that of the R wheel.
func NewAxle(left, right map[Quantity]measure.Reading, design string) *Wheel {
	l := NewPair("", left)
	a := l.axle
	if right == nil {
		a.R = nil
		return l
	}
	a.R.Design = design
	a.R.readings = [NumQuantities]measure.Reading{}
	for q, r := range right {
		a.R.readings[q] = r
	}
	return l
}
