package shape

import (
	"fmt"
	"math"

	"flangeway/internal/outline"
)

// CantOf is the inward lean in rad of a rail canted 1 in n; n = 0 is upright.
func CantOf(n float64) float64 {
	if n == 0 {
		return 0
	}
	return math.Atan(1 / n)
}

// Placed is a rail in its track: y in mm from the middle of the track, positive to the field of this rail; z in mm
// below the rail's highest point, positive downward.
type Placed struct {
	Outline outline.Outline
	Curve   *outline.Curve // as seen from above
	Middle  float64        // y of the middle of the head, mm
}

// Place leans the rail inward by cant (rad), sets its highest point to the running plane and its gauge side, read depth
// mm below that, at half the gauge (mm). It errs if the shape does not reach the depth on its gauge side.
func (r *RailHead) Place(gauge, depth, cant float64) (*Placed, error) {
	if !(gauge > 100 && gauge < 5000) || !(depth >= 0 && depth < 60) || !(math.Abs(cant) < 0.3) {
		return nil, fmt.Errorf("%w: gauge %g mm read %g mm below the top, cant %g rad", ErrRail, gauge, depth, cant)
	}
	if err := r.Outline.Check(); err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
	}
	o := r.Outline.Turned(-cant) // the field side goes up
	curve, err := outline.SeenFromAbove(o)
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
	}
	top := highest(curve)
	y, ok := gaugeSide(o, top+depth)
	if !ok {
		return nil, fmt.Errorf("%w: %s: the shape does not reach %.2f mm below its top on the gauge side", ErrRail,
			r.Name, depth)
	}
	p := &Placed{Outline: o.Moved(gauge/2-y, -top), Middle: gauge/2 - y}
	p.Curve, err = outline.SeenFromAbove(p.Outline)
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
	}
	return p, nil
}

// highest is the least z of a curve, between vertices too.
func highest(c *outline.Curve) float64 {
	best := 0
	for i, z := range c.Z {
		if z < c.Z[best] {
			best = i
		}
	}
	z := c.Z[best]
	for _, i := range []int{best - 1, best} { // where the slope changes sign within a segment
		if i < 0 || i+1 >= len(c.Y) || !(c.S0[i] < 0 && c.S1[i] > 0) {
			continue
		}
		lo, hi := c.Y[i], c.Y[i+1]
		for range 50 {
			mid := (lo + hi) / 2
			if _, s, _ := c.On(i, mid); s < 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		h, _, _ := c.On(i, lo)
		z = math.Min(z, h)
	}
	return z
}

// gaugeSide finds the y at which the outline, walked from its highest vertex to the gauge side, first reaches the level
// z. Between two vertices it is the cubic in z.
func gaugeSide(o outline.Outline, z float64) (float64, bool) {
	top := 0
	for i, v := range o {
		if v.Z < o[top].Z {
			top = i
		}
	}
	for i := top; i > 0; i-- {
		a, b := o[i], o[i-1]
		if !(a.Z <= z && b.Z >= z && b.Z > a.Z) {
			continue
		}
		h := b.Z - a.Z
		t := (z - a.Z) / h
		d := b.Y - a.Y
		sa, sb := d, d
		if ta, tb := math.Tan(a.Angle), math.Tan(b.Angle); math.Abs(ta) > 0.1 && math.Abs(tb) > 0.1 {
			sa, sb = h/ta, h/tb
		}
		return a.Y + t*(sa+t*(3*d-2*sa-sb+t*(sa+sb-2*d))), true
	}
	return 0, false
}
