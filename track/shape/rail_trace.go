package shape

import (
	"fmt"
	"math"

	"flangeway/internal/outline"
)

// RailFromTrace makes a head of a traced profile (CSV x,y; see outline.ReadPoints). Either side may be up; the gauge
// side is that of lesser x, or of greater x if mirrored says so, because the shape cannot tell. gaugeHeight is the
// depth at which gauge is read (mm). The trace must show the crown and the gauge side to that depth, square to the
// rail's own axis: it is not turned.
func RailFromTrace(name string, data []byte, gaugeHeight float64, mirrored bool) (*RailHead, outline.Quality, error) {
	pts, q, err := outline.ReadPoints(name, data)
	if err != nil {
		return nil, q, fmt.Errorf("%w: %w", ErrRail, err)
	}
	o, q, err := outline.Clean(pts, q)
	if err != nil {
		return nil, q, fmt.Errorf("%w: %s: %w", ErrRail, name, err)
	}
	o = o.Forward()
	mean := 0.0
	for _, v := range o {
		mean += v.Z / float64(len(o))
	}
	if (o[0].Z+o[len(o)-1].Z)/2 < mean { // the ends stand above the rest: z points up
		o = o.Flipped()
	}
	if mirrored {
		o = o.Mirrored()
	}
	_, _, top, _ := o.Extent()
	o = o.Moved(0, -top)
	y, ok := gaugeSide(o, gaugeHeight)
	if !ok {
		return nil, q, fmt.Errorf("%w: %s: the trace does not reach %.1f mm below the top on the gauge side", ErrRail,
			name, gaugeHeight)
	}
	middle := y + 36 // nothing but a name for the origin if the field side is not shown
	if other, ok := gaugeSide(o.Mirrored(), gaugeHeight); ok {
		middle = (y - other) / 2
	}
	if w := middle - y; !(w > 15 && w < 60) || math.IsNaN(w) {
		return nil, q, fmt.Errorf("%w: %s: a head %.0f mm wide", ErrRail, name, 2*w)
	}
	return &RailHead{Name: name, Outline: o.Moved(-middle, 0), GaugeHeight: gaugeHeight, Source: "traced"}, q, nil
}

// Width is how wide the head is at the depth at which gauge is read, mm; ok is false if one of its sides is not shown
// so far down.
func (r *RailHead) Width() (mm float64, ok bool) {
	gauge, ok1 := gaugeSide(r.Outline, r.GaugeHeight)
	field, ok2 := gaugeSide(r.Outline.Mirrored(), r.GaugeHeight)
	return -field - gauge, ok1 && ok2
}

// FaceAngle is the angle in degrees from horizontal of the chord of the gauge side over the 3 mm above and below the
// depth at which gauge is read; ok is false if they are not shown.
func (r *RailHead) FaceAngle() (degrees float64, ok bool) {
	const half = 3.0
	above, ok1 := gaugeSide(r.Outline, r.GaugeHeight-half)
	below, ok2 := gaugeSide(r.Outline, r.GaugeHeight+half)
	if !ok1 || !ok2 {
		return 0, false
	}
	return math.Atan2(2*half, math.Abs(above-below)) * 180 / math.Pi, true
}
