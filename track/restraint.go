package track

import (
	"fmt"

	"flangeway/internal/measure"
)

// RestraintFactor is the factor A that brings the gauge widening of a test load to
// that of 24,000 lb lateral and 33,000 lb vertical, for a lateral load l and a
// vertical load v per rail in kips: A = 13.513 / ((l − 0.258 v) − 0.009 (l − 0.258
// v)²). It holds for a load severity l − 0.4 v from 3 to 8 kips, both ends taken in
// (213.110(d)), and v of 10 or more (213.110(c)).
//
// Source: 49 CFR 213.110; the cap of 3.184 printed there is A at l = 7, v = 10.
func RestraintFactor(l, v float64) (float64, error) {
	s := l - 0.4*v
	if !(v >= 10 && s >= 3-measure.Near && s <= 8+measure.Near) {
		return 0, fmt.Errorf("no gauge restraint factor for a lateral load of %g and a vertical load of %g kips", l, v)
	}
	x := l - 0.258*v
	return 13.513 / (x - 0.009*x*x), nil
}
