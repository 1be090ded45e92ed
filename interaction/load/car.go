package load

import (
	"errors"
	"fmt"
	"math"

	"flangeway/internal/measure"
)

// ErrInput says that a formula is asked outside the range in which it holds.
var ErrInput = errors.New("outside what the load of a wheel is computed for")

// ContactSpacing is the distance across between the contacts of an axle's two wheels, mm.
const ContactSpacing = 59.5 * measure.MMPerInch

// Car has the figures of a car that enter its wheel loads.
type Car struct {
	Weight      float64 // gross, N
	Body        float64 // stiffness of the body in twist between its truck centres, N·mm/rad; +Inf: rigid
	Nest        float64 // upright stiffness of one spring nest, N/mm; +Inf: rigid
	NestSpacing float64 // across between the two nests of a truck, mm
	PlateRadius float64 // of the centre plate, mm
	Bearings    float64 // across between the two side bearings of a truck, mm
	Clearance   float64 // over a side bearing, mm; 0 with bearings in constant contact
}

// check says what of a car is outside the range of the model.
func (c Car) check() error {
	for _, v := range []struct {
		what      string
		v, lo, hi float64
	}{
		{"weight in N", c.Weight, 1, 1e8},
		{"stiffness of the body in N·mm/rad", c.Body, 1, math.Inf(1)},
		{"stiffness of a spring nest in N/mm", c.Nest, 1e-3, math.Inf(1)},
		{"distance of the spring nests in mm", c.NestSpacing, 100, 5000},
		{"radius of the centre plate in mm", c.PlateRadius, 0, 1000},
		{"distance of the side bearings in mm", c.Bearings, 100, ContactSpacing * 3},
		{"clearance of the side bearings in mm", c.Clearance, 0, 300},
	} {
		if !(v.v >= v.lo && v.v <= v.hi) {
			return fmt.Errorf("%w: %s %g (from %g to %g)", ErrInput, v.what, v.v, v.lo, v.hi)
		}
	}
	if c.PlateRadius >= c.Bearings/2 {
		return fmt.Errorf("%w: centre plate of radius %g mm reaches to the side bearings, %g mm from the middle",
			ErrInput,
			c.PlateRadius, c.Bearings/2)
	}
	return nil
}

// flexibility is by how much both ends turn against each other a unit of moment, rad/(N·mm): the
// springs of both trucks, of a turning stiffness 2 k b² each, and the body.
func (c Car) flexibility() float64 {
	half := c.NestSpacing / 2
	return 2/(2*c.Nest*half*half) + 1/c.Body
}
