package load

import (
	"fmt"
	"math"
)

// mostOver is up to which elevation over balance in mm the formula holds: 12 in.
const mostOver = mostTwist * ContactSpacing

// Elevation is the share of its static load that a wheel on the high rail loses if the elevation is over that which the
// speed balances, or one on the low rail if it is under it: 2h|E|/s², E by how much in mm, h the height of the car's
// centre of gravity in mm, s the spacing of the contacts.
//
// Source: statics, to first order in the angle. It holds for up to 12 in and heights up to 4 m.
func Elevation(over, height float64) (share float64, err error) {
	if !(math.Abs(over) <= mostOver) || !(height >= 0 && height <= 4000) {
		return 0, fmt.Errorf("%w: elevation of %.0f mm over balance, centre of gravity %.0f mm high", ErrInput, over,
			height)
	}
	return 2 * height * math.Abs(over) / (ContactSpacing * ContactSpacing), nil
}

// Imbalance is the share that a wheel on the light side loses of a truck whose heavier side
// carries percent more than half. It holds from 0 to 100 percent.
func Imbalance(percent float64) (share float64, err error) {
	if !(percent >= 0 && percent <= 100) {
		return 0, fmt.Errorf("%w: load to one side of %g percent (from 0 to 100)", ErrInput, percent)
	}
	return percent / 100, nil
}
