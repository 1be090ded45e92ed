package curving

import (
	"errors"
	"fmt"
	"math"

	"flangeway/interaction/contact"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
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

// part is a share of a wheel's contact: what lies round one node along its shape. Everything but the share is
// multiplied by it, so that a straight line between two shifts is right and a vanishing part does no harm.
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

// Flank is one wheel on one rail over sideways places to beyond flange contact: where it bears, at which angles and
// radii, and the stiffness of its contact against creep. A place is how far the tape line lies from the gauge line of
// the rail to the field side, mm, so that it does not depend on gauge or axle. It is not changed by use, so many
// goroutines and tables can share one.
type Flank struct {
	rows   []row
	parts  []part // railY from the gauge line, radius less the one at the tape line
	place  []float64
	bins   []int32   // the row at or before each tenth of a millimetre
	spans  []span    // of each row
	load   float64   // N
	rail   rail      // middle from the gauge line
	length float64   // of the wheel's flange for the climb distance, mm; 0: it has none
	flange float64   // steepest contact angle met under load, rad
	steep  float64   // that of the steepest face that wheel and rail have, rad
	rising bool      // the rolling radius grows all the way toward the flange
	radius []float64 // mean rolling radius less the one at the tape line at each radiusStep of place, mm
	touch  float64   // place at which half of that is reached, mm; +Inf: no flange
	peak   float64   // the last one at which it is as good as reached, mm; +Inf: no flange
	stop   float64   // beyond which the wheel is kept, mm: the peak, or nearly the end
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
	steers bool       // off its place it steers back to it, from wherever
	// Of the flanks, as shifts toward the rail, mm.
	touch, peak, stop [2]float64
}

// rail has the dimensions of a rail for rollover, mm.
type rail struct{ height, base, middle float64 }

// begin is the place from which a flank is filled: about where a new wheel runs in the middle of straight track, mm.
const begin = 30.0

// NewFlank lays a wheel of a radius (mm, at the tape line) on a rail leant inward by cant (rad), whose gauge is read
// gaugeHeight mm below the top. load is the static load (N) at which the elastic contact is worked out; its split
// between two places of contact is kept if the load in the curve differs.
func NewFlank(w *wheelshape.Shape, r *trackshape.RailHead, radius, gaugeHeight, cant, load float64,
	m contact.Material) (*Flank, error) {
	return Lay(new(contact.Made), w, r, radius, gaugeHeight, cant, load, m)
}

// Lay is NewFlank with what has been made before of the same wheels and rails.
func Lay(made *contact.Made, w *wheelshape.Shape, r *trackshape.RailHead, radius, gaugeHeight, cant, load float64,
	m contact.Material) (*Flank, error) {
	if !(load > 0) || math.IsInf(load, 0) || !(m.E > 0) || !(m.Nu >= 0 && m.Nu <= 0.5) {
		return nil, fmt.Errorf("%w: wheel load %g N, E %g, nu %g", ErrInput, load, m.E, m.Nu)
	}
	if w == nil || r == nil {
		return nil, fmt.Errorf("%w: a wheel or a rail is missing", contact.ErrInput)
	}
	const gauge = 1435.0 // any will do
	s, err := made.NewSolver(contact.Axle{Near: w, Far: w, NearDiameter: 2 * radius, FarDiameter: 2 * radius,
		BackToBack: 2 * (begin - w.Tape + gauge/2),
		NearRail:   r, FarRail: r, Gauge: gauge, GaugeHeight: gaugeHeight, Cant: cant})
	if err != nil {
		return nil, err
	}
	middle, _ := s.Middles()
	f := &Flank{load: load, rail: rail{r.Height, r.Base, middle - gauge/2}, length: s.FlangeLength()}
	b := &builder{s: s, m: m, f: f, radius: radius, gauge: gauge / 2}
	if err := b.stiffness(); err != nil {
		return nil, err
	}
	return f, b.run()
}

// NewTable lays an axle on its rails, the near side being the high rail. load is the static load of one wheel (N).
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
func Join(a contact.Axle, high, low *Flank) (*Table, error) { return new(Room).Join(a, high, low) }

// Join is [Join] in this room.
func (room *Room) Join(a contact.Axle, high, low *Flank) (*Table, error) {
	if high.load != low.load {
		return nil, fmt.Errorf("%w: flanks at %g and %g N", ErrInput, high.load, low.load)
	}
	if !(a.Gauge > 500 && a.Gauge < 3000) || !(a.BackToBack > 500 && a.BackToBack < 3000) {
		return nil, fmt.Errorf("%w: gauge %g mm, back-to-back %g mm", contact.ErrInput, a.Gauge, a.BackToBack)
	}
	t := &Table{flank: [2]*Flank{high, low}, size: [2]float64{a.NearDiameter / 2, a.FarDiameter / 2},
		gauge: a.Gauge / 2, load: high.load}
	t.radius = (t.size[0] + t.size[1]) / 2
	for i, w := range []*wheelshape.Shape{a.Near, a.Far} {
		t.offset[i] = a.BackToBack/2 + w.Tape - t.gauge
		f := t.flank[i]
		t.touch[i], t.peak[i], t.stop[i] = f.touch-t.offset[i], f.peak-t.offset[i], f.stop-t.offset[i]
	}
	if lo, hi := t.Range(); !(lo < 0 && hi > 0) {
		return nil, fmt.Errorf("%w with the axle in the middle", contact.ErrOffRail)
	}
	t.steers = high.rising && low.rising || t.differenceGrows()
	s := &room.stand
	t.stand(0, &bend{top: [2]float64{1, 1}, face: [2]float64{1, 1}}, s)
	for side := range 2 {
		sum, place := 0.0, 0.0
		for _, c := range s.foot[side] {
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
	last := len(f.place) - 1
	knot := func(i int) float64 { // between rows i and i+1
		if i < 0 {
			return lo
		}
		if i >= last {
			return hi
		}
		return (f.place[i] + f.place[i+1]) / 2
	}
	f.spans = make([]span, len(f.place))
	for k := range f.spans {
		a, b, c, d := knot(k-2), knot(k-1), knot(k), knot(k+1)
		f.spans[k] = span{b, c, (c - a) * (c - b), (d - b) * (c - b)}
	}
}

// span is where a row is the middle one of three, from and to mm, and what the squares of
// the ways to both ends are divided by for the weights of its neighbours.
type span struct{ from, to, before, behind float64 }

// near is the three rows round a place with their weights: quadratic B-splines whose knots lie halfway between rows.
// Everything that a table gives is a mean of rows with these weights, so it has no kinks, stays between its neighbours,
// and a contact never gets an angle or a radius that neither neighbour has.
type near struct {
	row    int // the first
	weight [3]float64
	slope  [3]float64 // of the weights, per mm of the axle's shift
}

// near is near of place u; beyond the flank its end is taken. toward is by how much the place
// grows with the axle's shift.
func (f *Flank) near(u, toward float64) (out near) {
	s := f.place
	last := len(s) - 1
	u = min(max(u, s[0]), s[last])
	k := int(f.bins[min(int((u-s[0])*binsPerMM), len(f.bins)-1)])
	for k+1 < last && s[k+1] <= u {
		k++
	}
	// u lies between rows k and k+1: the nearer one is the middle of three.
	if 2*u > s[k]+s[k+1] {
		k++
	}
	k = min(max(k, 1), last-1)
	at := &f.spans[k]
	out.row = k - 1
	if u < at.from || u > at.to {
		toward = 0
	}
	u = min(max(u, at.from), at.to)
	x, y := at.to-u, u-at.from
	out.weight[0] = x * x / at.before
	out.weight[2] = y * y / at.behind
	out.weight[1] = 1 - out.weight[0] - out.weight[2]
	out.slope[0] = -2 * x / at.before * toward
	out.slope[2] = 2 * y / at.behind * toward
	out.slope[1] = -out.slope[0] - out.slope[2]
	return out
}

// radiusStep is the distance in mm at which a flank keeps its rolling radii.
const radiusStep = 0.5

// radii fills the rolling radii of a flank.
func (f *Flank) radii() {
	var room []part
	for u := f.place[0]; u <= f.place[len(f.place)-1]; u += radiusStep {
		at := f.near(u, 1)
		_, parts := f.blend(at.row, &at.weight, &room)
		share, radius := 0.0, 0.0
		for _, p := range parts {
			share, radius = share+p.share, radius+p.radius
		}
		f.radius = append(f.radius, radius/share)
	}
}

// radiusAt is the rolling radius at a place less the one at the tape line.
func (f *Flank) radiusAt(u float64) float64 {
	x := math.Max(u-f.place[0], 0) / radiusStep
	i := min(int(x), len(f.radius)-2)
	return f.radius[i] + (f.radius[i+1]-f.radius[i])*math.Min(x-float64(i), 1)
}

// differenceGrows reports whether the difference of both rolling radii grows all the way as the axle shifts to the high
// rail, from flange to flange. One wheel may be hollow then, if the other makes up for it.
func (t *Table) differenceGrows() bool {
	lo, hi := t.Range()
	lo, hi = math.Max(lo, -t.stop[1]), math.Min(hi, t.stop[0])
	most := math.Inf(-1)
	for u := lo; u <= hi; u += radiusStep {
		d := t.flank[0].radiusAt(t.at(0, u)) - t.flank[1].radiusAt(t.at(1, u))
		if d < most-treadFall {
			return false
		}
		most = math.Max(most, d)
	}
	return true
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
