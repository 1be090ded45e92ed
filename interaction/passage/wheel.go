package passage

import (
	"errors"
	"fmt"
	"math"
	"sync"

	"flangeway/internal/outline"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// ErrInput is wrapped by errors of arguments from which no passage can be computed.
var ErrInput = errors.New("no passage can be computed from this")

// ErrUnsupported says that the tread leaves the wing before the point is there: the wheel
// would drop into the flangeway.
var ErrUnsupported = errors.New("the tread rests on nothing")

// grid is the distance in mm at which a wheel's shape is sampled, and block how many samples are bounded together.
const (
	grid  = 0.2
	block = 16
)

// Wheel is a wheel made ready for passages. It keeps nothing of them but how it stands on
// stock rails, so one serves many frogs and goroutines.
type Wheel struct {
	Shape     *wheelshape.Shape
	Radius    float64 // at the tape line, mm
	Height    float64 // of the flange over the tread at the tape line, mm
	Thickness float64 // of the flange where the design's gauge reads, mm
	Hollow    float64 // mm
	Vertical  float64 // height to which the face is vertical, mm
	Angle     float64 // of the flange face, rad

	curve *outline.Curve
	begin float64   // y of the first sample
	z     []float64 // what the shape adds to the radius, every grid
	high  []peak    // the greatest sample of each block
	tipY  float64
	zone  float64   // height over the tread from which on the field side is steeper than 45 degrees, mm
	steep []float64 // rad, greatest angle of the field side from there to the tip
	face  []float64 // y of the flange's field side every faceStep of height over the tread, up to the tip

	lock   sync.Mutex // of stocks
	stocks map[trackshape.Head]*stocked
}

// faceStep is the distance in mm of height at which the flange's field side is kept.
const faceStep = 0.1

// NewWheel samples a shape of the given diameter at the tape line (mm, 300 to 2000). It
// errs for a shape without a flange.
func NewWheel(s *wheelshape.Shape, diameter float64) (*Wheel, error) {
	if s == nil || !(diameter >= 300 && diameter <= 2000) {
		return nil, fmt.Errorf("%w: a wheel of diameter %g mm (300 to 2000)", ErrInput, diameter)
	}
	w := &Wheel{Shape: s, Radius: diameter / 2}
	var err error
	if w.Height, err = s.FlangeHeight(); err != nil {
		return nil, err
	}
	if w.Thickness, err = s.FlangeThickness(); err != nil {
		return nil, err
	}
	if w.Hollow, err = s.TreadHollow(); err != nil {
		return nil, err
	}
	if w.Vertical, err = s.VerticalFlange(); err != nil {
		return nil, err
	}
	if w.Angle, _, err = s.FlangeAngle(); err != nil {
		return nil, err
	}
	if w.curve, err = outline.SeenFromBelow(s.Outline); err != nil {
		return nil, err
	}
	w.begin = w.curve.Begin()
	n := int((w.curve.End()-w.begin)/grid) + 1
	w.z = make([]float64, n)
	tip := math.Inf(-1)
	for i := range w.z {
		y := w.begin + float64(i)*grid
		w.z[i] = w.curve.Height(y)
		if y < 0 && w.z[i] > tip {
			tip, w.tipY = w.z[i], y
		}
	}
	for i := 0; i < n; i += block {
		hi := peak{math.Inf(-1), i}
		for j := i; j < min(i+block, n); j++ {
			if w.z[j] > hi.height {
				hi = peak{w.z[j], j}
			}
		}
		w.high = append(w.high, hi)
	}
	// The field side falls from the tip to the tread: at each height the y where it is passed, found by halving.
	for h := 0.0; h < w.Height; h += faceStep {
		lo, hi := w.tipY, 0.0
		for range 40 {
			if mid := (lo + hi) / 2; w.curve.Height(mid) >= h {
				lo = mid
			} else {
				hi = mid
			}
		}
		w.face = append(w.face, lo)
	}
	w.steep = make([]float64, len(w.face))
	for i := len(w.steep) - 1; i >= 0; i-- {
		_, slope, _ := w.curve.At(w.face[i])
		angle := -math.Atan(slope)
		if angle >= math.Pi/4 {
			w.zone = float64(i) * faceStep
		}
		w.steep[i] = angle
		if i+1 < len(w.steep) {
			w.steep[i] = math.Max(angle, w.steep[i+1])
		}
	}
	return w, nil
}

// faceAt is y of the flange's field side at a height over the tread, below the tip.
func (w *Wheel) faceAt(height float64) float64 {
	if height < 0 {
		height = 0
	}
	t := height / faceStep
	i := int(t)
	if i+1 >= len(w.face) {
		return w.tipY
	}
	return w.face[i] + (t-float64(i))*(w.face[i+1]-w.face[i])
}

// climbAngle is the steepest angle in rad that must be passed to ride up from a contact at a height over the tread: on
// the tip's round that of the contact itself, in the throat that of the face below it.
func (w *Wheel) climbAngle(height float64) float64 {
	t := math.Max(height, 0) / faceStep
	i := int(t)
	if i+1 >= len(w.steep) {
		return w.steep[len(w.steep)-1]
	}
	return w.steep[i] + (t-float64(i))*(w.steep[i+1]-w.steep[i])
}

// ContactAngle is the angle in rad at which the flange meets the sharp edge of a point whose top lies down below the
// tread at the tape line (mm); over says that the flange tip passes above it.
func (w *Wheel) ContactAngle(down float64) (angle float64, over bool) {
	if down >= w.Height {
		return 0, true
	}
	return w.climbAngle(down), false
}

// side is how the flange's field side stands to the gauge side of a head.
type side struct {
	room   float64 // least distance across, mm; < 0: they overlap
	height float64 // over the tread on the wheel where that is
	over   bool    // the flange tip stands above the head's edge
}

// beside looks across from the flange to a head, the wheel at a height with its tape line at tape, the axle yawed by
// yaw (rad) toward the head: what of the flange stands ahead of the axle comes nearer by that.
func (w *Wheel) beside(h trackshape.Head, tape, height, yaw float64) side {
	return w.besideFrom(h, tape, height, yaw, 0)
}

// besideFrom is beside for the flange from a height over the tread on.
func (w *Wheel) besideFrom(h trackshape.Head, tape, height, yaw, from float64) side {
	bevel, width := h.Edge(), h.Y1-h.Y0
	edge := height + h.Plane(h.Y0+math.Min(bevel, width)) // over the tread on the wheel
	best := side{room: math.Inf(1), over: true}
	look := func(t float64) {
		round := 0.0
		if d := bevel - t; d > 0 {
			round = bevel - math.Sqrt(math.Max(0, bevel*bevel-d*d))
		}
		if round > width { // beside the thin edge of the bevel
			return
		}
		best.over = false
		// At the depth t below the edge the flange reaches sqrt(2Rt) ahead of the axle.
		ahead := yaw * math.Sqrt(2*(w.Radius+edge)*t)
		if room := h.Y0 + round - (w.faceAt(edge+t) + tape) - ahead; room < best.room {
			best.room, best.height = room, edge+t
		}
	}
	deep := w.Height - edge
	const coarse = 0.25
	start := math.Max(0, from-edge)
	for t := start; t < deep; t += coarse {
		look(t)
	}
	if best.over {
		return best
	}
	near := best.height - edge
	for t := math.Max(start, near-coarse); t <= math.Min(deep, near+coarse); t += coarse / 10 {
		look(t)
	}
	return best
}

// peak is a greatest sample and its index.
type peak struct {
	height float64
	at     int
}

// seat is where a wheel rests on a head.
type seat struct {
	height float64 // of the tape line's tread over the tread plane, mm
	y      float64 // across, from the gauge line, mm
}

// rester is rest at one position across, for heads that follow each other: if only
// the level has changed the last answer is taken.
func (w *Wheel) rester(u float64) func(trackshape.Head) (seat, bool) {
	var last trackshape.Head
	var was seat
	var wasOK bool
	at := nowhere
	return func(h trackshape.Head) (seat, bool) {
		if !h.There() {
			return seat{}, false
		}
		same := h
		same.Top = last.Top
		if same != last {
			was, wasOK = w.restNear(h, u, &at)
		} else {
			was.height -= h.Top - last.Top
		}
		last = h
		return was, wasOK
	}
}

// nowhere is the sample that a wheel rested at before if that is not known.
const nowhere = -1

// rest is restNear without a place where it rested before.
func (w *Wheel) rest(h trackshape.Head, u float64) (seat, bool) {
	at := nowhere
	return w.restNear(h, u, &at)
}

// restNear lays the wheel with its tape line at u (mm across) on one head, upright motion only: the height at which the
// first place touches. ok is false if no part of the wheel stands over the head. near is the sample at which it rested
// on a like head, and becomes the one at which it rests here: what stands lower than the samples round it need not be
// looked at. The answer is the same whatever it was.
func (w *Wheel) restNear(h trackshape.Head, u float64, near *int) (seat, bool) {
	lo, hi := h.Y0-u, h.Y1-u // in the wheel's frame
	if end := w.begin + float64(len(w.z)-1)*grid; hi < w.begin || lo > end {
		return seat{}, false
	}
	best := seat{math.Inf(-1), 0}
	first := max(0, int(math.Ceil((lo-w.begin)/grid)))
	last := min(len(w.z)-1, int(math.Floor((hi-w.begin)/grid)))
	at := nowhere
	least, roof := w.summit(&h, u, *near, first, last)-slack, h.Roof()
	// The straight part first, then the rounded edges from the inside out, block by block:
	// what cannot stand higher than the best is passed over.
	left := min(max(first, int(math.Ceil((lo+h.Edge()-w.begin)/grid))), last+1)
	right := max(min(last, int(math.Floor((hi-h.Corner-w.begin)/grid))), left-1)
	flat := h.Crown == 0 && h.Slope == 0
	for i := left; i <= right; {
		end := min(i-i%block+block-1, right)
		p := w.high[i/block]
		switch {
		case p.height-roof < least:
		case flat && p.height-h.Top <= best.height:
		case flat && p.at >= i && p.at <= end:
			best, at = seat{p.height - h.Top, w.begin + float64(p.at)*grid + u}, p.at
		case flat:
			for ; i <= end; i++ {
				if v := w.z[i] - h.Top; v > best.height {
					best, at = seat{v, w.begin + float64(i)*grid + u}, i
				}
			}
		default:
			ya, yb := w.begin+float64(i)*grid+u, w.begin+float64(end)*grid+u
			low := math.Min(h.Plane(ya), h.Plane(yb))
			if ya < h.Middle && yb > h.Middle {
				low = math.Min(low, h.Top-math.Abs(h.Slope)*(yb-ya)-h.Slope*(h.Middle-trackshape.TapeFromFace))
			}
			if p.height-low < least {
				break
			}
			for ; p.height-low > best.height && i <= end; i++ {
				if w.z[i]-low+slack <= max(best.height, least) {
					continue
				}
				y := w.begin + float64(i)*grid + u
				if v := w.z[i] - h.Plane(y); v > best.height {
					best, at = seat{v, y}, i
				}
			}
		}
		i = end + 1
	}
	apart := h.Edge()+h.Corner <= h.Y1-h.Y0
	edge := func(from, to int) { // from the inside outward
		dir := 1
		if to < from {
			dir = -1
		}
		for i := from; (to-i)*dir >= 0; {
			end := i - i%block
			if dir > 0 {
				end += block - 1
			}
			if (to-end)*dir < 0 {
				end = to
			}
			high := w.high[i/block].height
			if high-roof < least {
				i = end + dir
				continue
			}
			// The edge falls away outward, the plane by its slope and crown at most.
			y := w.begin + float64(i)*grid + u
			plane := math.Min(h.Plane(y), h.Plane(w.begin+float64(end)*grid+u))
			low := plane
			if apart {
				low += h.Fall(y)
			}
			for ; high-low > best.height && high-low >= least && (end-i)*dir >= 0; i += dir {
				if w.z[i]-low+slack <= max(best.height, least) {
					continue
				}
				y := w.begin + float64(i)*grid + u
				fall := h.Fall(y)
				if v := w.z[i] - (h.Plane(y) + fall); v > best.height {
					best, at = seat{v, y}, i
				}
				if apart {
					low = plane + fall
				}
			}
			i = end + dir
		}
	}
	if left > first {
		edge(left-1, first)
	}
	if right < last {
		edge(right+1, last)
	}
	*near = at
	// Between the samples, and at the head's very edges.
	if at > first && at < last {
		y := best.y
		a, c := w.z[at-1]-h.Depth(y-grid), w.z[at+1]-h.Depth(y+grid)
		if d := a - 2*best.height + c; d < 0 {
			t := (a - c) / (2 * d)
			best.height -= (a - c) * t / 4
			best.y += t * grid
		}
	}
	for _, y := range [2]float64{h.Y0, h.Y1} {
		if in := y - u; in >= w.begin && in <= w.curve.End() && h.There() {
			if v := w.curve.Height(in) - h.Depth(y); v > best.height {
				best = seat{v, y}
			}
		}
	}
	return best, !math.IsInf(best.height, -1)
}

// slack in mm is more than what a crown rises over the chord of a block, twice.
const slack = 0.03

// summit is the height in mm of a sample from first to last, up from the given one as long as
// the next stands higher; -Inf if none is given.
func (w *Wheel) summit(h *trackshape.Head, u float64, from, first, last int) float64 {
	if from == nowhere || first > last {
		return math.Inf(-1)
	}
	height := func(i int) float64 { return w.z[i] - h.Depth(w.begin+float64(i)*grid+u) }
	i := max(first, min(from, last))
	v := height(i)
	for _, dir := range [2]int{1, -1} {
		for n := i + dir; n >= first && n <= last; n += dir {
			next := height(n)
			if next <= v {
				break
			}
			i, v = n, next
		}
	}
	return v
}
