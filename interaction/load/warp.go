package load

import (
	"fmt"
	"math"
)

// Within is the span that a reading of warp leaves open between the truck centres: the greatest difference of
// crosslevel warp (mm) that was read over a distance, over, of a car with its trucks centers apart (both mm).
//
// If the trucks stand closer than that, at least one stretch of their length has its part of it,
// warp/ceil(over/centers), and all of it may lie within one; if they stand farther apart there may be none of it at the
// trucks, or the ramp goes on at the same rate. ramp is the difference of an even ramp, warp·centers/over.
//
// Source: geometry. It holds for a warp from 0 and lengths above 0.
func Within(warp, over, centers float64) (least, ramp, most float64, err error) {
	if !(warp >= 0) || math.IsInf(warp, 1) || !(over > 0) || !(centers > 0) || math.IsInf(over+centers, 1) {
		return 0, 0, 0, fmt.Errorf("%w: warp of %g mm over %g mm, truck centres %g mm", ErrInput, warp, over, centers)
	}
	ramp = warp * centers / over
	if centers <= over {
		return warp / math.Ceil(over/centers-slack), ramp, warp, nil
	}
	return warp, ramp, ramp, nil
}

// slack is by what part of a stretch the distance may be longer than a whole number of them: warp
// that was read over the truck centres lies within them, though both lengths have an error.
const slack = 0.01
