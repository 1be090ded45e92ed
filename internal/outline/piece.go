package outline

import (
	"fmt"
	"math"
)

// Piece is a stretch of an outline whose form is known.
type Piece interface {
	// sample appends vertices at most step mm apart, both ends included.
	sample(to Outline, step float64) Outline
}

// Line is a straight piece, mm.
type Line struct{ Y0, Z0, Y1, Z1 float64 }

// Arc is a piece of a circle of radius R about (CY, CZ), mm. Its direction of travel runs from From to To (rad); it
// bends toward +z if To > From.
type Arc struct{ CY, CZ, R, From, To float64 }

// Poly is z = sum of C[i]*y^i from From to To (mm).
type Poly struct {
	From, To float64
	C        []float64
}

func (l Line) sample(to Outline, step float64) Outline {
	d := math.Hypot(l.Y1-l.Y0, l.Z1-l.Z0)
	a := math.Atan2(l.Z1-l.Z0, l.Y1-l.Y0)
	n := int(math.Ceil(d/step - same))
	for i := 0; i <= n; i++ {
		t := float64(i) / float64(max(n, 1))
		to = append(to, Vertex{l.Y0 + t*(l.Y1-l.Y0), l.Z0 + t*(l.Z1-l.Z0), a, 0})
	}
	return to
}

// arcStep is the greatest turn from one vertex of an arc to the next, rad.
const arcStep = 0.25 * math.Pi / 180

// At is the vertex of the arc at the direction of travel a (rad).
func (c Arc) At(a float64) Vertex {
	// A circle that bends toward +z (K > 0) has its centre on the +z side of the path: centre = point + R*(-sin a, cos
	// a).
	k := 1.0
	if c.To < c.From {
		k = -1
	}
	s, co := math.Sincos(a)
	return Vertex{c.CY + k*c.R*s, c.CZ - k*c.R*co, a, k / c.R}
}

// ArcFrom is the arc of radius r that leaves vertex v along its direction and turns to the direction to (rad).
func ArcFrom(v Vertex, r, to float64) Arc {
	k := 1.0
	if to < v.Angle {
		k = -1
	}
	s, c := math.Sincos(v.Angle)
	return Arc{CY: v.Y - k*r*s, CZ: v.Z + k*r*c, R: r, From: v.Angle, To: to}
}

func (c Arc) sample(to Outline, step float64) Outline {
	turn := math.Abs(c.To - c.From)
	n := int(math.Ceil(math.Max(turn*c.R/step, turn/arcStep) - same))
	for i := 0; i <= n; i++ {
		to = append(to, c.At(c.From+(c.To-c.From)*float64(i)/float64(max(n, 1))))
	}
	return to
}

// At is the vertex of the polynomial at y (mm).
func (p Poly) At(y float64) Vertex {
	var z, d, dd float64
	for i := len(p.C) - 1; i >= 0; i-- {
		dd = dd*y + 2*d
		d = d*y + z
		z = z*y + p.C[i]
	}
	return Vertex{y, z, math.Atan(d), dd / math.Pow(1+d*d, 1.5)}
}

func (p Poly) sample(to Outline, step float64) Outline {
	// Equal steps of y, fine enough for the steepest of a coarse look.
	steep := 0.0
	for i := 0; i <= 64; i++ {
		steep = math.Max(steep, math.Abs(math.Tan(p.At(p.From+(p.To-p.From)*float64(i)/64).Angle)))
	}
	n := int(math.Ceil((p.To-p.From)*math.Hypot(1, steep)/step - same))
	for i := 0; i <= n; i++ {
		to = append(to, p.At(p.From+(p.To-p.From)*float64(i)/float64(max(n, 1))))
	}
	return to
}

// ArcOver is the arc of the circle about (cy, cz) of radius r from y = from to y = to, on its side of growing z (upper)
// or of falling z. It errs if the circle does not reach an end.
func ArcOver(from, to, cy, cz, r float64, upper bool) (Arc, error) {
	const slack = 1e-6
	if !(r > 0) || !(to > from) || from < cy-r-slack || to > cy+r+slack {
		return Arc{}, fmt.Errorf("%w: an arc of radius %g about y=%g does not reach from %g to %g", ErrShape,
			r, cy, from, to)
	}
	clip := func(y float64) float64 { return math.Asin(math.Min(1, math.Max(-1, (y-cy)/r))) }
	if upper { // bends away from +z: the direction falls
		return Arc{cy, cz, r, -clip(from), -clip(to)}, nil
	}
	return Arc{cy, cz, r, clip(from), clip(to)}, nil
}

// Join samples pieces one after the other, at most step mm apart. It errs if one does not begin within gap mm of the
// end of the one before; what is left open within gap is closed by the middle of both ends.
func Join(step, gap float64, pieces ...Piece) (Outline, error) {
	if !(step > 0) {
		return nil, fmt.Errorf("%w: step %g mm", ErrShape, step)
	}
	var out Outline
	for i, p := range pieces {
		n := len(out)
		out = p.sample(out, step)
		if n > 0 && math.Hypot(out[n].Y-out[n-1].Y, out[n].Z-out[n-1].Z) > gap {
			return nil, fmt.Errorf("%w: piece %d begins at (%.4f, %.4f), not where the one before ends (%.4f, %.4f)",
				ErrShape, i+1, out[n].Y, out[n].Z, out[n-1].Y, out[n-1].Z)
		}
		if n > 0 {
			y, z := (out[n].Y+out[n-1].Y)/2, (out[n].Z+out[n-1].Z)/2
			out[n].Y, out[n].Z, out[n-1].Y, out[n-1].Z = y, z, y, z
		}
	}
	return out, out.Check()
}
