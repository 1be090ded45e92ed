package curving

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"flangeway/interaction/contact"
)

// builder makes the rows of a flank.
type builder struct {
	s      *contact.Solver
	m      contact.Material
	f      *Flank
	radius float64 // at the tape line, mm
	gauge  float64 // half of it, mm
	c      float64 // strip force over penetration^1.5, root of radius and width, N/mm³
	z      float64 // last penetration, mm
	strips []contact.Strip
	stands contact.State // in which these are
	gap    []float64     // of each strip
	pen    []float64
	force  []float64
	cos    []float64 // of each strip's angle
	root   []float64 // of each strip, force over penetration^1.5
	rows   []sample
	rests  []rest
	err    error
}

// usualRows is how many rows a flank has, about.
const usualRows = 128

// sample is the wheel at one shift from begin, before sorting.
type sample struct {
	shift float64
	lo    int
	parts []part
	angle float64 // mean weighted by load
	y     float64
}

// stiffness matches the strips to Hertz on a crown of 300 mm: with a shape k·y²/2 the
// strips carry c·sqrt(2R)·z²·sqrt(2/k)·3·pi/8.
func (b *builder) stiffness() error {
	e, err := contact.Hertz(b.f.load, 1/b.radius, 1/crown, b.m)
	if err != nil {
		return err
	}
	b.z = interpenetration * e.Approach
	b.c = b.f.load / (math.Sqrt(2*b.radius) * b.z * b.z * math.Sqrt(2*crown) * 3 * math.Pi / 8)
	return nil
}

// run fills the flank to both sides and refines it where the contact moves.
func (b *builder) run() error {
	first, err := b.sample(0)
	if err != nil {
		return err
	}
	b.rows = append(make([]sample, 0, usualRows), first)
	for _, dir := range []float64{1, -1} {
		last := first
		steepestYet, at := first.angle, 0.0
		step, reach := baseStep, widest
		if dir < 0 { // away from the flange nothing happens fast
			step, reach = awayStep, widestAway
		}
		for i := 1; float64(i)*step <= reach; i++ {
			u := dir * float64(i) * step
			n, err := b.sample(u)
			if errors.Is(err, contact.ErrOffRail) {
				break
			}
			if err != nil {
				return err
			}
			b.refine(last, n, 0)
			if b.err != nil {
				return b.err
			}
			b.rows = append(b.rows, n)
			last = n
			if dir < 0 {
				continue
			}
			if n.angle > steepestYet+1e-3 {
				steepestYet, at = n.angle, u
			} else if steepestYet > leastFlange && u > at+beyond {
				break
			}
		}
	}
	sort.Slice(b.rows, func(i, j int) bool { return b.rows[i].shift < b.rows[j].shift })
	if len(b.rows) < 4 {
		return fmt.Errorf("%w: the wheel stands on its rail over %d places only", ErrInput, len(b.rows))
	}
	b.f.steep = b.steepestFace()
	b.store()
	return nil
}

// refine adds rows between two where the mean contact moves far.
func (b *builder) refine(x, y sample, depth int) {
	if math.Abs(y.shift-x.shift) <= leastStep || depth > 8 || b.err != nil {
		return
	}
	if math.Abs(y.angle-x.angle) <= 0.15 && math.Abs(y.y-x.y) <= 5 {
		return
	}
	mid, err := b.sample((x.shift + y.shift) / 2)
	if err != nil {
		if !errors.Is(err, contact.ErrOffRail) {
			b.err = err
		}
		return
	}
	b.refine(x, mid, depth+1)
	b.rows = append(b.rows, mid)
	b.refine(mid, y, depth+1)
}

// sample computes the wheel at one shift from begin.
func (b *builder) sample(u float64) (sample, error) {
	st, err := b.s.Alone(u)
	if err != nil {
		return sample{}, err
	}
	b.rests = append(b.rests, rest{u, st.Near.Z - st.Near.RailZ, st.Near.Angle})
	out := sample{shift: u}
	if out.lo, out.parts, err = b.spread(st); err != nil {
		return sample{}, err
	}
	for _, p := range out.parts {
		// Weighted by the upright part of each share.
		a := p.angle / math.Max(p.share, 1e-12)
		out.angle += p.angle * math.Cos(a)
		out.y += p.y * math.Cos(a)
	}
	b.f.flange = math.Max(b.f.flange, steepestOf(out.parts))
	return out, nil
}

// steepestOf is the greatest angle at which at least a tenth of the load is carried.
func steepestOf(parts []part) float64 {
	best := -math.Pi
	for _, p := range parts {
		if p.share > 0 && p.share*math.Cos(p.angle/p.share) > 0.1 {
			best = math.Max(best, p.angle/p.share)
		}
	}
	return best
}

// spread spreads the load over the strips: each carries by how far the wheel lowered as
// a whole goes into the rail there, across the surface.
func (b *builder) spread(st contact.State) (int, []part, error) {
	const within = 0.25 // mm: the wheel sinks by a tenth of a millimetre
	b.strips, b.stands = b.s.Strips(b.strips[:0], st, true, stripWidth, within), st
	if len(b.strips) == 0 {
		return 0, nil, fmt.Errorf("%w at shift %.3f mm", contact.ErrOffRail, st.Shift)
	}
	b.clear()
	z, sum := b.sink(within)
	if !(sum > 0) {
		return 0, nil, fmt.Errorf("%w: the wheel bears on an edge at shift %.3f mm", ErrInput, st.Shift)
	}
	scale := b.f.load / sum // if even the deepest does not carry it
	if z < 0.2 {
		b.z = z
	}
	return b.parts(scale)
}

// sink is how far in mm the wheel is lowered under its load, at most within, and the upright force of the strips there.
func (b *builder) sink(within float64) (z, sum float64) {
	z, lo, hi := b.z, 0.0, within
	for range 60 {
		var slope float64
		sum, slope = b.carry(z)
		if sum < b.f.load {
			lo = z
		} else {
			hi = z
		}
		if math.Abs(sum-b.f.load) < 1e-6*b.f.load {
			return z, sum
		}
		next := z
		if slope > 0 {
			next = z + (b.f.load-sum)/slope
		}
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-z) < 1e-12 {
			return z, sum
		}
		z = next
	}
	sum, _ = b.carry(z)
	return z, sum
}

// unknown stands for the stiffness of a strip that has not come into contact.
const unknown = -1

// clear makes room for the strips.
func (b *builder) clear() {
	n := len(b.strips)
	b.cos, b.root = slices.Grow(b.cos[:0], n)[:n], slices.Grow(b.root[:0], n)[:n]
	b.pen, b.force = slices.Grow(b.pen[:0], n)[:n], slices.Grow(b.force[:0], n)[:n]
	b.gap = slices.Grow(b.gap[:0], n)[:n]
	for i := range b.root {
		b.root[i], b.gap[i] = unknown, b.strips[i].Gap
	}
}

// stiffen lays down what of a strip does not change with how far the wheel is lowered.
func (b *builder) stiffen(i int) {
	s := &b.strips[i]
	b.s.Lean(s, b.stands, true)
	s.Angle = math.Min(math.Max(s.Angle, -steepest), steepest)
	c := math.Cos(s.Angle)
	b.cos[i], b.root[i] = c, b.c*stripWidth*math.Sqrt(2*s.Radius/c)
}

// carry is the upright force of all strips with the wheel lowered by z, and its growth.
func (b *builder) carry(z float64) (sum, slope float64) {
	gap := b.gap
	root, cos, pen, force := b.root[:len(gap)], b.cos[:len(gap)], b.pen[:len(gap)], b.force[:len(gap)]
	for i, g := range gap {
		if z <= g {
			force[i] = 0
			continue
		}
		if root[i] == unknown {
			b.stiffen(i)
		}
		c := cos[i]
		d := (z - g) * c
		pen[i] = d
		f := root[i] * d * math.Sqrt(d)
		force[i] = f
		sum += f * c
		slope += 1.5 * f * c * c / d
	}
	return sum, slope
}

// parts gathers the strips into parts. Strips that hang together are one contact: its ellipse is Hertz's for its own
// load, the rolling radius, and the curvature across that its depth and width stand for. A part gets of the ellipse
// what it gets of the load, so that cutting a contact in two changes nothing by itself; every strip counts for the two
// nodes next to it, so that nothing jumps from one shift to the next.
func (b *builder) parts(scale float64) (int, []part, error) {
	first, last := math.MaxInt, math.MinInt
	for i, f := range b.force {
		if f > 0 {
			g := int(b.strips[i].Along / partLength)
			first, last = min(first, g), max(last, g+1)
		}
	}
	if last >= mostParts {
		return 0, nil, fmt.Errorf("%w: a wheel whose shape is longer than %g mm", ErrInput, mostParts*partLength)
	}
	out := make([]part, last-first+1)
	for i := 0; i < len(b.strips); {
		if b.force[i] == 0 {
			i++
			continue
		}
		c, next, err := b.patch(i, scale)
		if err != nil {
			return 0, nil, err
		}
		whole := c.share * b.f.load / scale
		for ; i < next; i++ {
			s := &b.strips[i]
			x := s.Along / partLength
			node := int(x)
			for h := range 2 {
				w := (1 - math.Abs(x-float64(node+h))) * b.force[i] / whole
				p, share := &out[node+h-first], w*c.share
				p.share += share
				p.angle += share * s.Angle
				p.radius += share * (s.Radius - b.radius)
				p.railY += share * (s.RailY - b.gauge)
				p.railZ += share * s.RailZ
				p.y += share * s.Y
				p.c11 += w * c.c11
				p.c22 += w * c.c22
				p.c23 += w * c.c23
			}
		}
	}
	return first, out, nil
}

// patch is one contact: plain means, not multiplied by its share.
type patch struct {
	part
	along float64
}

// patch gathers the strips from i on that hang together, and says where it ended.
func (b *builder) patch(i int, scale float64) (c patch, next int, err error) {
	load, width, deep := 0.0, 0.0, 0.0
	j := i
	for ; j < len(b.strips) && b.force[j] > 0 && (j == i || b.strips[j].Along-b.strips[j-1].Along < 3*stripWidth); j++ {
		f, s := b.force[j], &b.strips[j]
		load += f
		width += stripWidth
		deep = math.Max(deep, b.pen[j])
		c.along += f * s.Along
		c.angle += f * s.Angle
		c.radius += f * s.Radius
		c.railY += f * s.RailY
		c.railZ += f * s.RailZ
		c.y += f * s.Y
	}
	for _, v := range []*float64{&c.along, &c.angle, &c.radius, &c.railY, &c.railZ, &c.y} {
		*v /= load
	}
	load *= scale
	c.share = load / b.f.load
	width = math.Max(width, stripWidth)
	k1, k2 := math.Cos(c.angle)/c.radius, 8*deep/(width*width)
	e, err := contact.Hertz(load, k1, math.Min(math.Max(k2, 1e-6*k1), 1e6*k1), b.m)
	if err != nil {
		return c, j, err
	}
	k, err := Kalker(math.Min(math.Max(e.A/e.B, 1e-3), 1e3), b.m.Nu)
	if err != nil {
		return c, j, err
	}
	g := b.m.E / (2 * (1 + b.m.Nu))
	ab := e.A * e.B
	c.c11, c.c22, c.c23 = g*ab*k.C11, g*ab*k.C22, g*ab*math.Sqrt(ab)*k.C23
	return c, j, nil
}

// store lays the rows into the flank.
func (b *builder) store() {
	f := b.f
	n := 0
	for _, s := range b.rows {
		n += len(s.parts)
	}
	f.parts = make([]part, 0, n)
	f.rows = make([]row, 0, len(b.rows))
	f.place = make([]float64, 0, len(b.rows))
	for _, s := range b.rows {
		f.rows = append(f.rows, row{int32(s.lo), int32(len(s.parts)), int32(len(f.parts))})
		f.parts = append(f.parts, s.parts...)
		f.place = append(f.place, begin+s.shift)
	}
	f.touch, f.peak = math.Inf(1), math.Inf(1)
	if f.flange >= leastFlange {
		for i, s := range b.rows {
			if s.angle > f.flange/2 {
				f.touch = math.Min(f.touch, f.place[i])
			}
			if s.angle > f.flange-nearPeak {
				f.peak = f.place[i]
			}
		}
	}
	f.stop = math.Min(f.peak, f.place[len(f.place)-1]-1)
	f.index()
	f.rising = b.rising()
	f.radii()
}

// Of the rolling radius, over which way from the flange and by how much it may fall
// toward the flange and the tread still counts as rising, mm.
const (
	treadReach = 70.0
	treadFall  = 0.03
)

// rising reports whether the rolling radius grows all the way toward the flange.
func (b *builder) rising() bool {
	most := math.Inf(-1)
	for i, s := range b.rows {
		if b.f.touch-b.f.place[i] > treadReach {
			continue
		}
		share, radius := 0.0, 0.0
		for _, p := range s.parts {
			share, radius = share+p.share, radius+p.radius
		}
		if radius /= share; radius < most-treadFall {
			return false
		}
		most = math.Max(most, radius)
	}
	return true
}
