package load

import (
	"fmt"
	"math"
)

// mostTwist is up to which angle of twist in rad the formulas hold: 12 in between the truck centres.
const mostTwist = 0.2

// Twist is the share of its static load that a wheel loses if the crosslevel at one truck differs by a length in mm
// from that at the other.
//
// With the angle of twist a = difference/spacing of the contacts, the flexibility C, the moment Mp = W/2·r at which a
// centre plate of radius r rocks, and the angle g/(c-r) by which one end tilts about the plate's rim until its side
// bearing is met:
//
//	M = min( max( min(a/C, Mp), (a - 2g/(c-r))/C ), W/2·c )
//
// and the share is 4M/(W s). So it is 2r/s while the plate rocks, whatever the weight, and at most 2c/s.
//
// Source: statics, derived for this program; no published figures were found to hold it against. It holds for a
// difference from 0 up to 0.2 rad between the trucks.
func (c Car) Twist(difference float64) (share float64, err error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	a := difference / ContactSpacing
	if !(a >= 0 && a <= mostTwist) {
		return 0, fmt.Errorf("%w: difference of crosslevel of %g mm between the truck centres (from 0 to %.0f)",
			ErrInput,
			difference, mostTwist*ContactSpacing)
	}
	return 4 * c.moment(a) / (c.Weight * ContactSpacing), nil
}

// moment is the torque that each end of the body bears against the other at an angle of twist, N·mm.
func (c Car) moment(a float64) float64 {
	most := c.Weight / 2 * c.Bearings / 2
	plate := c.Weight / 2 * c.PlateRadius
	flexible, gap := c.flexibility(), 2*c.Clearance/(c.Bearings/2-c.PlateRadius)
	return math.Min(math.Max(math.Min(over(a, flexible), plate), over(a-gap, flexible)), most)
}

// over divides an angle by a flexibility; what does not give way has a moment without bound as soon as it is turned.
func over(angle, flexibility float64) float64 {
	if flexibility == 0 && angle == 0 {
		return 0
	}
	return angle / flexibility
}
