package track

import (
	"fmt"

	"flangeway/internal/measure"
)

// RestraintFactor is the factor A that brings the gauge widening of a test load to that of 24,000 lb lateral and 33,000
// lb vertical, for a lateral load l and a vertical load v per rail in kips: A = 13.513 / ((l − 0.258 v) − 0.009 (l −
// 0.258 v)²). It holds for a load severity l − 0.4 v from 3 to 8 kips (213.110(d); over 3 and under 8 there, but the
// cap printed is that of 3, so both ends are taken in), for v of 10 or more and for l/v of 0.5 or more (213.110(c); its
// 1.25 at most lies beyond them).
//
// Source: 49 CFR 213.110, the formula from memory; it gives the cap of 3.184 read there at l = 7, v = 10.
func RestraintFactor(l, v float64) (float64, error) {
	s := l - 0.4*v
	if !(v >= 10 && s >= 3-measure.Near && s <= 8+measure.Near && l >= 0.5*v-measure.Near) {
		return 0, fmt.Errorf("no gauge restraint factor for a lateral load of %g and a vertical load of %g kips", l, v)
	}
	x := l - 0.258*v
	return 13.513 / (x - 0.009*x*x), nil
}
