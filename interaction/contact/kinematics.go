package contact

import (
	"fmt"
	"math"
)

// Wavelength is the length in mm of the sine on which a free axle runs (Klingel 1883): 2*pi*sqrt(r*s/lambda), r the
// rolling radius, s half the distance of the contacts (mm), lambda the conicity; all must be positive.
func Wavelength(radius, half, conicity float64) (float64, error) {
	if !(radius > 0) || !(half > 0) || !(conicity > 0) {
		return 0, fmt.Errorf("%w: radius %g, half spacing %g, conicity %g", ErrInput, radius, half, conicity)
	}
	return 2 * math.Pi * math.Sqrt(radius*half/conicity), nil
}

// Needed is the rolling radius difference in mm with which an axle rolls freely round a curve of the given radius (mm):
// 2*s*r/R to first order, s half the distance of the contacts, r the rolling radius (mm).
func Needed(radius, half, curve float64) (float64, error) {
	if !(radius > 0) || !(half > 0) || !(curve > half) {
		return 0, fmt.Errorf("%w: radius %g, half spacing %g, curve %g", ErrInput, radius, half, curve)
	}
	return 2 * half * radius / curve, nil
}

// ReachedOverNeededIs is printed beside the ratio: it is in use both ways up.
const ReachedOverNeededIs = "rolling radius difference at flange contact over the one needed in the curve; 1 or " +
	"more: the axle can steer radially"

// ReachedOverNeeded is whether an axle steers a curve, as [ReachedOverNeededIs] says it: the difference available (mm)
// over the one needed (mm, positive).
func ReachedOverNeeded(available, needed float64) (float64, error) {
	if !(needed > 0) || math.IsNaN(available) {
		return 0, fmt.Errorf("%w: needed difference %g mm", ErrInput, needed)
	}
	return available / needed, nil
}
