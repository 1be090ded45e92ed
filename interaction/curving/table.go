package curving

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"flangeway/interaction/contact"
	"flangeway/track"
	"flangeway/wheel"
)

// Errors that callers tell apart.
var (
	// ErrInput is wrapped by errors of arguments outside their range.
	ErrInput = errors.New("a curve cannot be computed from this")
	// ErrOverturns says that the car tips over at this speed and elevation.
	ErrOverturns = errors.New("the car tips over")
)

const (
	stripWidth = 0.3  // mm along the wheel
	partLength = 6.0  // mm along the wheel between two parts of a contact
	baseStep   = 0.6  // mm of shift between rows
	leastStep  = 0.02 // and the least, where a contact moves fast
	beyond     = 4.0  // mm of shift that a table goes on past the steepest contact
	widest     = 60.0 // mm of shift toward the flange
	awayStep   = 1.6  // mm, and away from it
	widestAway = 75.0
	steepest   = 88 * math.Pi / 180
	// interpenetration is the share of the approach of two bodies by which their
	// undeformed shapes are let into each other: see the package comment.
	interpenetration = 0.3
	leastFlange      = 0.7   // rad; a wheel that gets no steeper has no flange to speak of
	nearPeak         = 0.05  // rad
	crown            = 300.0 // mm, of the contact that the stiffness is matched on
)

// part is a share of a wheel's contact: what lies round one node along its shape.
// Everything but the share is multiplied by it, so that a straight line between two
// shifts is right and a vanishing part does no harm.
type part struct {
	share           float64 // normal force over the upright load
	angle, radius   float64 // rad, mm
	railY, railZ, y float64 // mm; y on the wheel
	c11, c22, c23   float64 // N, N, N·mm at the table's load
}

// row is one side at one shift: parts lo and on, at at in the flat list.
type row struct {
	lo, n, at int32
}

// Flank is one wheel on one rail over sideways places to beyond flange contact: where
// it bears, at which angles and radii, and the stiffness of its contact against creep.
// A place is how far the tape line lies from the gauge line of the rail to the field
// side, mm, so that it does not depend on gauge or axle. It is not changed by use, so
// many goroutines and tables can share one.
type Flank struct {
	rows   []row
	parts  []part // railY from the gauge line, radius less the one at the tape line
	place  []float64
	bins   []int32 // the row at or before each tenth of a millimetre
	load   float64 // N
	rail   rail    // middle from the gauge line
	face   flangeFace
	flange float64 // steepest contact angle met, rad
	touch  float64 // place at which half of that is reached, mm; +Inf: no flange
	peak   float64 // the last one at which it is as good as reached, mm; +Inf: no flange
	stop   float64 // beyond which the wheel is kept, mm: the peak, or nearly the end
}

// Table is an axle on its rails, the near side being the high rail.
type Table struct {
	flank  [2]*Flank  // high, low
	offset [2]float64 // place of each wheel with the axle in the middle, mm
	size   [2]float64 // radius at the tape line, mm
	gauge  float64    // half of it, mm
	load   float64    // of one wheel, N
	radius float64    // mean at the tape line, mm
	half   float64    // half the distance of the contacts in the middle, mm
	// Of the flanks, as shifts toward the rail, mm.
	touch, peak, stop [2]float64
}

// flangeFace is a wheel's: rad and mm; 0: it has no flange.
type flangeFace struct{ angle, length float64 }

// rail is what rollover needs of one, mm.
type rail struct{ height, base, middle float64 }

// begin is the place from which a flank is filled: about where a new wheel runs in the
// middle of straight track, mm.
const begin = 30.0

// NewFlank lays a wheel of a radius (mm, at the tape line) on a rail leant inward by
// cant (rad), whose gauge is read gaugeHeight mm below the top. load is the static load
// (N) at which the elastic contact is worked out; its split between two places of
// contact is kept where the load in the curve differs.
func NewFlank(w *wheel.Shape, r *track.RailHead, radius, gaugeHeight, cant, load float64, m contact.Material) (*Flank, error) {
	if !(load > 0) || math.IsInf(load, 0) || !(m.E > 0) || !(m.Nu >= 0 && m.Nu <= 0.5) {
		return nil, fmt.Errorf("%w: wheel load %g N, E %g, nu %g", ErrInput, load, m.E, m.Nu)
	}
	if w == nil || r == nil {
		return nil, fmt.Errorf("%w: a wheel or a rail is missing", contact.ErrInput)
	}
	const gauge = 1435.0 // any will do
	s, err := contact.NewSolver(contact.Axle{Near: w, Far: w, NearDiameter: 2 * radius, FarDiameter: 2 * radius, BackToBack: 2 * (begin - w.Tape + gauge/2),
		NearRail: r, FarRail: r, Gauge: gauge, GaugeHeight: gaugeHeight, Cant: cant})
	if err != nil {
		return nil, err
	}
	middle, _ := s.Middles()
	f := &Flank{load: load, rail: rail{r.Height, r.Base, middle - gauge/2}}
	if angle, length, err := w.FlangeAngle(); err == nil {
		f.face = flangeFace{angle, length}
	}
	b := &builder{s: s, m: m, f: f, radius: radius, gauge: gauge / 2}
	if err := b.stiffness(); err != nil {
		return nil, err
	}
	return f, b.run()
}

// NewTable lays an axle on its rails, the near side being the high rail. load is the
// static load of one wheel (N).
func NewTable(a contact.Axle, load float64, m contact.Material) (*Table, error) {
	high, err := NewFlank(a.Near, a.NearRail, a.NearDiameter/2, a.GaugeHeight, a.Cant, load, m)
	if err != nil {
		return nil, err
	}
	low := high
	if a.Differ() {
		if low, err = NewFlank(a.Far, a.FarRail, a.FarDiameter/2, a.GaugeHeight, a.Cant, load, m); err != nil {
			return nil, err
		}
	}
	return Join(a, high, low)
}

// Join makes the table of an axle whose wheels have been laid on its rails, at the same
// load each. A flank's own radius need only be near its wheel's.
func Join(a contact.Axle, high, low *Flank) (*Table, error) {
	if high.load != low.load {
		return nil, fmt.Errorf("%w: flanks at %g and %g N", ErrInput, high.load, low.load)
	}
	if !(a.Gauge > 500 && a.Gauge < 3000) || !(a.BackToBack > 500 && a.BackToBack < 3000) {
		return nil, fmt.Errorf("%w: gauge %g mm, back-to-back %g mm", contact.ErrInput, a.Gauge, a.BackToBack)
	}
	t := &Table{flank: [2]*Flank{high, low}, size: [2]float64{a.NearDiameter / 2, a.FarDiameter / 2}, gauge: a.Gauge / 2, load: high.load}
	t.radius = (t.size[0] + t.size[1]) / 2
	for i, w := range []*wheel.Shape{a.Near, a.Far} {
		t.offset[i] = a.BackToBack/2 + w.Tape - t.gauge
		f := t.flank[i]
		t.touch[i], t.peak[i], t.stop[i] = f.touch-t.offset[i], f.peak-t.offset[i], f.stop-t.offset[i]
	}
	if lo, hi := t.Range(); !(lo < 0 && hi > 0) {
		return nil, fmt.Errorf("%w with the axle in the middle", contact.ErrOffRail)
	}
	var s stand
	t.stand(0, &bend{top: [2]float64{1, 1}, face: [2]float64{1, 1}}, &s)
	for side := range 2 {
		sum, place := 0.0, 0.0
		for _, c := range s.foot[side][:s.n[side]] {
			sum += c.share * c.cos
			place += c.share * c.cos * c.railY
		}
		t.half += place / sum / 2
	}
	return t, nil
}

// at is the place of a wheel at a shift of its axle.
func (t *Table) at(side int, u float64) float64 {
	if side == 1 {
		u = -u
	}
	return t.offset[side] + u
}

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
	pen    []float64
	force  []float64
	rows   []sample
	err    error
}

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
	b.rows = append(b.rows, first)
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
	const within = 0.25 // mm; the wheel sinks by a tenth
	b.strips = b.s.Strips(b.strips[:0], st, true, stripWidth, within)
	n := len(b.strips)
	if n == 0 {
		return 0, nil, fmt.Errorf("%w at shift %.3f mm", contact.ErrOffRail, st.Shift)
	}
	for len(b.pen) < n {
		b.pen, b.force = append(b.pen, 0), append(b.force, 0)
	}
	for i := range b.strips {
		b.strips[i].Angle = math.Min(math.Max(b.strips[i].Angle, -steepest), steepest)
	}
	z := b.z
	lo, hi := 0.0, within
	for range 60 {
		sum, slope := b.carry(z)
		if sum < b.f.load {
			lo = z
		} else {
			hi = z
		}
		if math.Abs(sum-b.f.load) < 1e-6*b.f.load {
			break
		}
		next := z
		if slope > 0 {
			next = z + (b.f.load-sum)/slope
		}
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-z) < 1e-12 {
			break
		}
		z = next
	}
	sum, _ := b.carry(z)
	if !(sum > 0) {
		return 0, nil, fmt.Errorf("%w: the wheel bears on an edge at shift %.3f mm", ErrInput, st.Shift)
	}
	scale := b.f.load / sum // where even the deepest does not carry it
	if z < 0.2 {
		b.z = z
	}
	return b.parts(scale)
}

// carry is the upright force of all strips with the wheel lowered by z, and its growth.
func (b *builder) carry(z float64) (sum, slope float64) {
	for i, s := range b.strips {
		b.pen[i], b.force[i] = 0, 0
		if z <= s.Gap {
			continue
		}
		c := math.Cos(s.Angle)
		d := (z - s.Gap) * c
		b.pen[i] = d
		f := b.c * d * math.Sqrt(2*d*s.Radius/c) * stripWidth
		b.force[i] = f
		sum += f * c
		slope += 1.5 * f * c * c / d
	}
	return sum, slope
}

// parts gathers the strips into parts. Strips that hang together are one contact: its
// ellipse is Hertz's for its own load, the rolling radius, and the curvature across
// that its depth and width stand for. A part gets of the ellipse what it gets of the
// load, so that cutting a contact in two changes nothing by itself; every strip counts
// for the two nodes next to it, so that nothing jumps from one shift to the next.
func (b *builder) parts(scale float64) (int, []part, error) {
	first, last := math.MaxInt, math.MinInt
	for i, s := range b.strips {
		if b.force[i] > 0 {
			g := int(s.Along / partLength)
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
}

const binsPerMM = 10

func (f *Flank) index() {
	lo, hi := f.place[0], f.place[len(f.place)-1]
	n := int((hi-lo)*binsPerMM) + 2
	f.bins = make([]int32, n)
	k := 0
	for i := range f.bins {
		for k+2 < len(f.place) && f.place[k+1] <= lo+float64(i)/binsPerMM {
			k++
		}
		f.bins[i] = int32(k)
	}
}

// near is the three rows round a place with their weights: quadratic B-splines whose
// knots lie halfway between rows. Everything that a table gives is a mean of rows with
// these weights, so it has no kinks, stays between its neighbours, and a contact never
// gets an angle or a radius that neither neighbour has.
type near struct {
	row    int // the first
	weight [3]float64
}

// near is near of place u; beyond the flank its end is taken.
func (f *Flank) near(u float64) (out near) {
	s := f.place
	last := len(s) - 1
	u = math.Min(math.Max(u, s[0]), s[last])
	k := int(f.bins[min(int((u-s[0])*binsPerMM), len(f.bins)-1)])
	for k+1 < last && s[k+1] <= u {
		k++
	}
	// u lies between rows k and k+1: the nearer one is the middle of three.
	if 2*u > s[k]+s[k+1] {
		k++
	}
	k = min(max(k, 1), last-1)
	knot := func(i int) float64 { // between rows i and i+1
		if i < 0 {
			return s[0]
		}
		if i >= last {
			return s[last]
		}
		return (s[i] + s[i+1]) / 2
	}
	a, b, c, d := knot(k-2), knot(k-1), knot(k), knot(k+1)
	u = math.Min(math.Max(u, b), c)
	x, y := c-u, u-b
	out.row = k - 1
	out.weight[0] = x * x / ((c - a) * (c - b))
	out.weight[2] = y * y / ((d - b) * (c - b))
	out.weight[1] = 1 - out.weight[0] - out.weight[2]
	return out
}

// Mirrored is the axle with the near side on the low rail: the same axle in a curve of
// the other hand.
func (t *Table) Mirrored() *Table {
	m := *t
	swap := func(v *[2]float64) { v[0], v[1] = v[1], v[0] }
	m.flank[0], m.flank[1] = t.flank[1], t.flank[0]
	for _, v := range []*[2]float64{&m.offset, &m.size, &m.touch, &m.peak, &m.stop} {
		swap(v)
	}
	return &m
}

// Range is the shifts (mm) that the table covers.
func (t *Table) Range() (lo, hi float64) {
	ends := func(side int) (float64, float64) {
		p := t.flank[side].place
		return p[0] - t.offset[side], p[len(p)-1] - t.offset[side]
	}
	a, b := ends(0)
	c, d := ends(1)
	return math.Max(a, -d), math.Min(b, -c)
}
