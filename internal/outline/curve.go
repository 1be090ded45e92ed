package outline

import (
	"fmt"
	"math"
)

// Curve is an outline seen along z: z over y, each y once. Between vertices it is the cubic that has the outline's
// slopes at both ends, so that a sample of an arc at 0.1 mm is right to about a nanometre. If the outline hangs over,
// the curve falls straight to what is seen below.
type Curve struct {
	Y, Z   []float64 // vertices, Y strictly growing, mm
	S0, S1 []float64 // slope dz/dy at the left and right end of segment i
	K0, K1 []float64 // curvature there, 1/mm
	Chord  []float64 // slope of the straight line over segment i

	first  []int32   // per bin: the last vertex at or before the bin's begin
	Lo, Hi []float64 // per bin: least and greatest z over it, mm
}

// Bin is the width in mm of the stretches over which a curve keeps its least and greatest z.
const Bin = 0.5

// least distance in y of two vertices of a curve, mm: what is steeper than this over a vertex spacing of 0.1 mm counts
// as upright.
const upright = 1e-5

// SeenFromAbove is the curve of the least z at each y: what a wheel that comes down (z grows downward) meets of a rail.
func SeenFromAbove(o Outline) (*Curve, error) { return seen(o, 1) }

// SeenFromBelow is the curve of the greatest z at each y: what a wheel shows the rail.
func SeenFromBelow(o Outline) (*Curve, error) { return seen(o, -1) }

func seen(o Outline, sign float64) (*Curve, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	top := 0
	for i, v := range o {
		if sign*v.Z < sign*o[top].Z {
			top = i
		}
	}
	// From the summit outward both ways a vertex is seen when it lies farther out than everything before it.
	keep, kept := make([]bool, len(o)), 1
	keep[top] = true
	for _, dir := range []int{-1, 1} {
		far := o[top].Y
		for i := top + dir; i >= 0 && i < len(o); i += dir {
			if float64(dir)*(o[i].Y-far) > -same {
				keep[i], kept = true, kept+1
				far = o[i].Y
			}
		}
	}
	c := &Curve{}
	room := make([]float64, 7*kept)
	for i, s := range []*[]float64{&c.Y, &c.Z, &c.S0, &c.S1, &c.K0, &c.K1, &c.Chord} {
		*s = room[i*kept : i*kept : (i+1)*kept]
	}
	last := -1
	for i := range o {
		if !keep[i] {
			continue
		}
		v := o[i]
		if n := len(c.Y); n > 0 {
			dy := v.Y - c.Y[n-1]
			if math.Abs(dy) < same && math.Abs(v.Z-c.Z[n-1]) < same { // a corner
				last = i
				continue
			}
			if dy < upright {
				v.Y = c.Y[n-1] + upright
				dy = upright
			}
			chord := (v.Z - c.Z[n-1]) / dy
			s0, s1, k0, k1 := chord, chord, 0.0, 0.0
			if last == i-1 && dy > upright {
				s0, s1 = limited(o[last].Angle, chord), limited(v.Angle, chord)
				k0, k1 = o[last].K, v.K
			}
			c.S0, c.S1 = append(c.S0, s0), append(c.S1, s1)
			c.K0, c.K1 = append(c.K0, k0), append(c.K1, k1)
			c.Chord = append(c.Chord, chord)
		}
		c.Y, c.Z = append(c.Y, v.Y), append(c.Z, v.Z)
		last = i
	}
	if len(c.Y) < 2 || c.Y[len(c.Y)-1]-c.Y[0] < 1 {
		return nil, fmt.Errorf("%w: less than 1 mm of it is seen along z", ErrShape)
	}
	c.bins()
	return c, nil
}

// limited is the slope of a direction, kept where the cubic does not swing beyond its ends on a steep chord (three
// times the chord, Fritsch and Carlson 1980).
func limited(angle, chord float64) float64 {
	s := math.Tan(angle)
	if math.Abs(s) < 20 {
		return s
	}
	if s*chord < 0 || math.Abs(s) > 3*math.Abs(chord) || math.IsNaN(s) {
		return chord
	}
	return s
}

func (c *Curve) bins() {
	n := len(c.Y)
	m := int((c.Y[n-1]-c.Y[0])/Bin) + 1
	c.first = make([]int32, m+1)
	c.Lo, c.Hi = make([]float64, m), make([]float64, m)
	for j := range m {
		c.Lo[j], c.Hi[j] = math.Inf(1), math.Inf(-1)
	}
	put := func(j int, z float64) {
		if j >= 0 && j < m {
			c.Lo[j], c.Hi[j] = math.Min(c.Lo[j], z), math.Max(c.Hi[j], z)
		}
	}
	for i := 0; i+1 < n; i++ {
		a := int((c.Y[i] - c.Y[0]) / Bin)
		b := int((c.Y[i+1] - c.Y[0]) / Bin)
		for j := a; j <= b; j++ { // both ends bound the chord in every bin it crosses
			put(j, c.Z[i])
			put(j, c.Z[i+1])
		}
	}
	i := 0
	for j := range c.first {
		for i+1 < n && c.Y[i+1] <= c.Y[0]+float64(j)*Bin {
			i++
		}
		c.first[j] = int32(i)
	}
}

// Begin is the least y, mm.
func (c *Curve) Begin() float64 { return c.Y[0] }

// End is the greatest y, mm.
func (c *Curve) End() float64 { return c.Y[len(c.Y)-1] }

// Bins is the number of stretches of width [Bin] from Begin.
func (c *Curve) Bins() int { return len(c.Lo) }

// First is the last vertex at or before the begin of bin j, which is cut to the bins there are.
func (c *Curve) First(j int) int {
	return int(c.first[min(max(j, 0), len(c.first)-1)])
}

// Segment is the segment that holds y; outside the curve the nearest one.
func (c *Curve) Segment(y float64) int {
	i := c.First(int((y - c.Y[0]) / Bin))
	for i+2 < len(c.Y) && c.Y[i+1] <= y {
		i++
	}
	for i > 0 && c.Y[i] > y {
		i--
	}
	return min(i, len(c.Y)-2)
}

// On evaluates segment i at y: z (mm), slope dz/dy and curvature (1/mm, linear between the ends). Outside the segment
// the cubic goes on.
func (c *Curve) On(i int, y float64) (z, slope, k float64) {
	h := c.Y[i+1] - c.Y[i]
	t := (y - c.Y[i]) / h
	d := c.Z[i+1] - c.Z[i]
	a, b := c.S0[i]*h, c.S1[i]*h
	// z = z0 + t(a + t(3d-2a-b + t(a+b-2d)))
	q, p := 3*d-2*a-b, a+b-2*d
	z = c.Z[i] + t*(a+t*(q+t*p))
	slope = (a + t*(2*q+3*t*p)) / h
	k = c.K0[i] + t*(c.K1[i]-c.K0[i])
	return
}

// At is On of the segment that holds y. Outside the curve it gives the end's z and slope.
func (c *Curve) At(y float64) (z, slope, k float64) {
	y = math.Min(math.Max(y, c.Begin()), c.End())
	return c.On(c.Segment(y), y)
}

// Height is z at y (mm).
func (c *Curve) Height(y float64) float64 {
	z, _, _ := c.At(y)
	return z
}
