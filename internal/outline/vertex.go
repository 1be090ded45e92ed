package outline

import (
	"errors"
	"fmt"
	"math"
)

// ErrShape is wrapped by every error of a shape that cannot be used.
var ErrShape = errors.New("the shape cannot be used")

// Vertex is a point of an outline with the direction of travel there (Angle, from the +y axis toward +z) and the signed
// curvature K = dAngle/ds in 1/mm. A corner, or a step of curvature, is two vertices at one place.
type Vertex struct {
	Y, Z     float64
	Angle, K float64
}

// Outline is a chain of vertices in the order of travel.
type Outline []Vertex

// same is the distance in mm below which two vertices stand at one place.
const same = 1e-9

// Moved is the outline shifted by dy and dz (mm).
func (o Outline) Moved(dy, dz float64) Outline {
	out := make(Outline, len(o))
	for i, v := range o {
		v.Y += dy
		v.Z += dz
		out[i] = v
	}
	return out
}

// Turned is the outline turned about the origin by a (rad, from +y toward +z).
func (o Outline) Turned(a float64) Outline {
	s, c := math.Sincos(a)
	out := make(Outline, len(o))
	for i, v := range o {
		out[i] = Vertex{Y: c*v.Y - s*v.Z, Z: s*v.Y + c*v.Z, Angle: v.Angle + a, K: v.K}
	}
	return out
}

// Mirrored is the outline with the sign of y changed, run in the other order so that it still travels toward growing y.
func (o Outline) Mirrored() Outline {
	out := make(Outline, len(o))
	for i, v := range o {
		out[len(o)-1-i] = Vertex{Y: -v.Y, Z: v.Z, Angle: -v.Angle, K: v.K}
	}
	return out
}

// Scaled is the outline grown f times (f > 0) about the origin.
func (o Outline) Scaled(f float64) Outline {
	out := make(Outline, len(o))
	for i, v := range o {
		out[i] = Vertex{Y: v.Y * f, Z: v.Z * f, Angle: v.Angle, K: v.K / f}
	}
	return out
}

// Extent gives the least and greatest y and z in mm; zeros for an empty outline.
func (o Outline) Extent() (yLo, yHi, zLo, zHi float64) {
	for i, v := range o {
		if i == 0 {
			yLo, yHi, zLo, zHi = v.Y, v.Y, v.Z, v.Z
		}
		yLo, yHi = math.Min(yLo, v.Y), math.Max(yHi, v.Y)
		zLo, zHi = math.Min(zLo, v.Z), math.Max(zHi, v.Z)
	}
	return
}

// Length is the length of the chain in mm.
func (o Outline) Length() float64 {
	l := 0.0
	for i := 1; i < len(o); i++ {
		l += math.Hypot(o[i].Y-o[i-1].Y, o[i].Z-o[i-1].Z)
	}
	return l
}

// Check refuses an outline that has too few vertices or a value that is no number.
func (o Outline) Check() error {
	if len(o) < 3 {
		return fmt.Errorf("%w: %d points", ErrShape, len(o))
	}
	for i, v := range o {
		if s := v.Y + v.Z + v.Angle + v.K; math.IsNaN(s) || math.IsInf(s, 0) {
			return fmt.Errorf("%w: point %d is not finite", ErrShape, i+1)
		}
	}
	l := 0.0
	for i := 1; l < 1; i++ {
		if i == len(o) {
			return fmt.Errorf("%w: it is shorter than 1 mm", ErrShape)
		}
		l += math.Hypot(o[i].Y-o[i-1].Y, o[i].Z-o[i-1].Z)
	}
	return nil
}

// Polyline makes an outline of bare points: straight from one to the next, a corner
// at each. Points closer than a nanometre to the one before are left out.
func Polyline(points [][2]float64) Outline {
	var p [][2]float64
	for _, q := range points {
		if n := len(p); n > 0 && math.Hypot(q[0]-p[n-1][0], q[1]-p[n-1][1]) < same {
			continue
		}
		p = append(p, q)
	}
	out := make(Outline, 0, 2*len(p))
	for i := 0; i+1 < len(p); i++ {
		a := math.Atan2(p[i+1][1]-p[i][1], p[i+1][0]-p[i][0])
		out = append(out, Vertex{p[i][0], p[i][1], a, 0}, Vertex{p[i+1][0], p[i+1][1], a, 0})
	}
	return out
}
