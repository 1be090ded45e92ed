package shape

import (
	"fmt"
	"math"
	"sort"

	"flangeway/internal/outline"
)

// FromTrace makes a shape of a traced profile (CSV x,y; see outline.ReadPoints): either direction, either side up, any
// origin. It is aligned sideways to the flange back and upright to the tread at the design's tape line; a trace that
// was taken out of square is not turned. It errs if the flange back, the flange tip or the tread to 20 mm beyond the
// tape line are not in it.
func FromTrace(name string, data []byte, design *Shape) (*Shape, outline.Quality, error) {
	pts, q, err := outline.ReadPoints(name, data)
	if err != nil {
		return nil, q, fmt.Errorf("%w: %w", ErrShape, err)
	}
	o, q, err := outline.Clean(pts, q)
	if err != nil {
		return nil, q, fmt.Errorf("%w: %s: %w", ErrShape, name, err)
	}
	o, err = squared(o.Forward())
	if err != nil {
		return nil, q, fmt.Errorf("%w: %s: %w", ErrShape, name, err)
	}
	// The back: the least y behind the tip, where the face stands upright.
	tip, back := 0, 0
	for i, v := range o {
		if v.Z > o[tip].Z {
			tip = i
		}
	}
	for i := 0; i <= tip; i++ {
		if o[i].Y < o[back].Y {
			back = i
		}
	}
	if tip < 5 || math.Abs(o[back].Angle) < 60*rad || o[tip].Y-o[back].Y > 60 {
		return nil, q, fmt.Errorf("%w: %s: the trace does not reach the flange back", ErrShape, name)
	}
	s := &Shape{Name: name, Tape: design.Tape, Rim: design.Rim, ThicknessAt: design.ThicknessAt,
		Source: "traced", Of: design}
	s.Outline = o.Moved(-o[back].Y-s.Tape, 0)
	if end := s.Outline[len(o)-1].Y; end < 20 {
		return nil, q, fmt.Errorf("%w: %s: the trace ends %.0f mm beyond the tape line (at least 20)",
			ErrShape, name, end)
	}
	z, err := s.tread()
	if err != nil {
		return nil, q, err
	}
	s.Outline = s.Outline.Moved(0, -z)
	if h, err := s.FlangeHeight(); err != nil || h < 12 || h > 70 {
		return nil, q, fmt.Errorf("%w: %s: a flange %.1f mm high", ErrShape, name, h)
	}
	for _, gauge := range []func() (float64, error){s.FlangeThickness, s.TreadHollow, s.VerticalFlange} {
		if v, err := gauge(); err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, q, fmt.Errorf("%w: %s: a gauge cannot be laid on it: %v", ErrShape, name, err)
		}
	}
	return s, q, nil
}

// squared turns a chain that runs toward growing y so that the flange stands at its begin with the tip at the greatest
// z. The flange is told by where the shape, seen over y, stands more than 8 mm off the middle height of the tread.
func squared(o outline.Outline) (outline.Outline, error) {
	var zs []float64
	type strip struct{ y, z float64 }
	var strips []strip
	next := o[0].Y
	for i := 1; i < len(o); i++ {
		for next <= o[i].Y { // each y once, the first time it is passed
			zs = append(zs, o[i].Z)
			strips = append(strips, strip{next, o[i].Z})
			next += 0.5
			if len(zs) > 4000 {
				return nil, fmt.Errorf("the trace is too wide")
			}
		}
	}
	if len(zs) < 60 {
		return nil, fmt.Errorf("the trace is only %.0f mm wide", float64(len(zs))/2)
	}
	sort.Float64s(zs)
	middle := zs[len(zs)/2]
	area, moment := 0.0, 0.0
	for _, s := range strips {
		if d := s.z - middle; math.Abs(d) > 8 {
			area += d
			moment += math.Abs(d) * (s.y - (strips[0].y+strips[len(strips)-1].y)/2)
		}
	}
	if math.Abs(area) < 100 {
		return nil, fmt.Errorf("no flange is seen")
	}
	if area < 0 {
		o = o.Flipped()
	}
	if moment > 0 {
		o = o.Mirrored()
	}
	return o, nil
}
