package curving

import (
	"errors"
	"fmt"
	"math"

	"flangeway/interaction/contact"
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
	baseStep   = 0.4  // mm of shift between rows
	leastStep  = 0.02 // and the least, where a contact moves fast
	beyond     = 4.0  // mm of shift that a table goes on past the steepest contact
	widest     = 60.0 // mm of shift
	steepest   = 88 * math.Pi / 180
	// interpenetration is the share of the approach of two bodies by which their
	// undeformed shapes are let into each other: see the package comment.
	interpenetration = 0.3
	leastFlange      = 0.7   // rad; a wheel that gets no steeper has no flange to speak of
	nearPeak         = 0.05  // rad
	crown            = 300.0 // mm, of the contact that the stiffness is matched on
)

// part is a share of a wheel's contact: what lies round one node along its shape.
// Everything but the share is multiplied by it, so that a mean of several shifts is
// right and a vanishing part does no harm.
type part struct {
	share           float64 // normal force over the upright load
	angle, radius   float64 // rad, mm
	railY, railZ, y float64 // mm; y on the wheel
	c11, c22, c23   float64 // N, N, N·mm at the table's load
}

// row is one side at one shift: n parts from node lo on, which begin at place at of the
// flat list.
type row struct {
	lo, n, at int32
}

// flank is one wheel on its rail over all shifts.
type flank struct {
	rows  []row
	parts []part
}

// Table is an axle on its rails over lateral shifts to beyond flange contact on both
// sides: where each wheel bears, at which angles and radii, and the stiffness of its
// contact against creep. The near side is the high rail. It is not changed by use, so
// many goroutines can share one.
type Table struct {
	high, low flank
	shift     []float64
	bins      []int32 // the row at or before each tenth of a millimetre
	load      float64 // of one wheel, N
	radius    float64 // mean at the tape line, mm
	half      float64 // half the distance of the contacts in the middle, mm
	rail      [2]rail
	face      [2]flangeFace
	flange    [2]float64 // steepest contact angle met on the high and low side, rad
	touch     [2]float64 // shift toward the rail at which half of that is reached, mm; +Inf: no flange
	peak      [2]float64 // the last one at which it is as good as reached, mm; +Inf: no flange
	stop      [2]float64 // beyond which the axle is kept, mm: the peak, or nearly the end of the table
}

// flangeFace is a wheel's: rad and mm; 0: it has no flange.
type flangeFace struct{ angle, length float64 }

// rail is what rollover needs of one, mm.
type rail struct{ height, base, middle float64 }

// NewTable lays an axle on its rails, the near side being the high rail. load is the
// static load of one wheel (N) at which the elastic contact is worked out; its split
// between two places of contact is kept where the load in the curve differs.
func NewTable(a contact.Axle, load float64, m contact.Material) (*Table, error) {
	if !(load > 0) || math.IsInf(load, 0) || !(m.E > 0) || !(m.Nu >= 0 && m.Nu <= 0.5) {
		return nil, fmt.Errorf("%w: wheel load %g N, E %g, nu %g", ErrInput, load, m.E, m.Nu)
	}
	s, err := contact.NewSolver(a)
	if err != nil {
		return nil, err
	}
	middle, err := s.At(0)
	if err != nil {
		return nil, err
	}
	t := &Table{load: load, radius: s.Radius(), half: middle.Spacing() / 2}
	near, far := s.Middles()
	t.rail = [2]rail{{a.NearRail.Height, a.NearRail.Base, near}, {a.FarRail.Height, a.FarRail.Base, far}}
	for i, w := range []*wheel.Shape{a.Near, a.Far} {
		if angle, length, err := w.FlangeAngle(); err == nil {
			t.face[i] = flangeFace{angle, length}
		}
	}
	b := &builder{s: s, m: m, t: t}
	if err := b.stiffness(); err != nil {
		return nil, err
	}
	return t, b.run(middle)
}

const binsPerMM = 10

func (t *Table) index() {
	lo, hi := t.shift[0], t.shift[len(t.shift)-1]
	n := int((hi-lo)*binsPerMM) + 2
	t.bins = make([]int32, n)
	k := 0
	for i := range t.bins {
		for k+2 < len(t.shift) && t.shift[k+1] <= lo+float64(i)/binsPerMM {
			k++
		}
		t.bins[i] = int32(k)
	}
}

// near is the three rows round a shift with their weights: quadratic B-splines whose
// knots lie halfway between rows. Everything that a table gives is a mean of rows with
// these weights, so it has no kinks, stays between its neighbours, and a contact never
// gets an angle or a radius that neither neighbour has.
type near struct {
	row    int // the first
	weight [3]float64
}

// at is near of shift u; beyond the table its end is taken.
func (t *Table) near(u float64) (out near) {
	s := t.shift
	last := len(s) - 1
	u = math.Min(math.Max(u, s[0]), s[last])
	k := int(t.bins[min(int((u-s[0])*binsPerMM), len(t.bins)-1)])
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
	m.high, m.low = t.low.reversed(), t.high.reversed()
	m.rail = [2]rail{t.rail[1], t.rail[0]}
	m.face = [2]flangeFace{t.face[1], t.face[0]}
	m.flange = [2]float64{t.flange[1], t.flange[0]}
	m.touch = [2]float64{t.touch[1], t.touch[0]}
	m.peak = [2]float64{t.peak[1], t.peak[0]}
	m.stop = [2]float64{t.stop[1], t.stop[0]}
	m.shift = make([]float64, len(t.shift))
	for i, u := range t.shift {
		m.shift[len(t.shift)-1-i] = -u
	}
	m.index()
	return &m
}

func (f flank) reversed() flank {
	rows := make([]row, len(f.rows))
	for i, r := range f.rows {
		rows[len(rows)-1-i] = r
	}
	return flank{rows, f.parts}
}

// Range is the shifts (mm) that the table covers.
func (t *Table) Range() (lo, hi float64) { return t.shift[0], t.shift[len(t.shift)-1] }
