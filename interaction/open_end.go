package interaction

import (
	"slices"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// OpenEnd reports that a go/no-go reading leaves the worse end of a margin to the bounds of its column: a flange that
// is over 1-1/2 in may be as high as any. No work is measured by such an end.
func (c *Check) OpenEnd(r *Rules, w *wheel.Wheel, f *track.Feature) bool {
	if c.Join != nil { // its fixes are no figures of a sum
		return false
	}
	open := func(x measure.Reading, sign float64) bool {
		return x.Form == measure.Above && sign < 0 || x.Form == measure.Below && sign > 0
	}
	_, terms := c.WheelTerms(r, w)
	for _, t := range terms {
		of := w
		q, mate := WheelReading(t.Bit)
		if mate {
			of = w.Mate()
		}
		if of != nil && open(of.Read(q), t.Sign) {
			return true
		}
	}
	terms = nil
	c.place(&PlaceSum{sum: sum{rules: r, traced: &terms}, F: f})
	return slices.ContainsFunc(terms,
		func(t term) bool { return open(f.Read(track.Quantity(t.Bit-TrackBit)), t.Sign) })
}
