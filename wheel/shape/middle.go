package shape

import (
	"fmt"
	"math"

	"flangeway/internal/measure"
)

// AsWritten makes the worn shape of a design from readings as written alone, without the extremes of [Rebuild];
// one-sided readings leave the model free. An error that wraps ErrContradiction says that no worn shape of the design
// has these readings.
func AsWritten(design *Shape, r WornReadings) (*Shape, error) {
	var v [4]float64
	for i, x := range [4]measure.Reading{r.Height, r.Thickness, r.Vertical, r.Hollow} {
		v[i] = math.NaN()
		if !x.Measured() || x.OneSided() {
			continue
		}
		if !(x.As >= 0 && x.As < 200) {
			return nil, fmt.Errorf("%w: reading %d of %g mm", ErrShape, i+1, x.As)
		}
		v[i] = x.As
	}
	return design.fit(values{v[0], v[1], v[2], v[3]})
}
