package published

import (
	"flangeway/interaction/load"
	"flangeway/internal/measure"
)

// loadFormula computes one of the formulas of the loads on the wheels of a car, with the figures it takes after its
// name.
func loadFormula(name string, a []float64) (v float64, known bool, err error) {
	need := map[string]int{"twist_share": 8, "elevation_share": 2}
	if known, err := takes(need, name, a); !known || err != nil {
		return 0, known, err
	}
	const in = measure.MMPerInch
	if name == "elevation_share" { // height of the centre of gravity, elevation over balance, in
		v, err = load.Elevation(a[1]*in, a[0]*in)
		return v, true, err
	}
	// weight lb, body MN.m/rad, nest kip/in, half the distance of the nests, radius of the plate, clearance, half the
	// distance of the side bearings, difference of crosslevel, in
	car := load.Car{Weight: a[0] * measure.NewtonsPerPound, Body: a[1] * 1e9,
		Nest: a[2] * 1000 * measure.NewtonsPerPound / in, NestSpacing: 2 * a[3] * in, PlateRadius: a[4] * in,
		Clearance: a[5] * in, Bearings: 2 * a[6] * in}
	v, err = car.Twist(a[7] * in)
	return v, true, err
}
