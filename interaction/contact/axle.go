package contact

import (
	"errors"
	"fmt"
	"math"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// Errors that callers tell apart.
var (
	// ErrInput is wrapped by errors of arguments outside their range.
	ErrInput = errors.New("contact cannot be computed from this")
	// ErrOffRail says that a wheel does not stand over its rail at this shift.
	ErrOffRail = errors.New("the wheel stands beside the rail")
)

// Axle is an axle and the track under it. Near and far wheels, diameters and rails may differ.
type Axle struct {
	Near, Far                 *wheelshape.Shape
	NearDiameter, FarDiameter float64 // at the tape line, mm
	BackToBack                float64 // mm
	NearRail, FarRail         *trackshape.RailHead
	Gauge, GaugeHeight        float64 // mm; the height is the depth below the top at which gauge is read
	Cant                      float64 // inward lean of both rails, rad
}

// Solver lays the axle of a pair of wheels on a pair of rails. It keeps its place from one shift to the next, so use
// one per goroutine.
type Solver struct {
	near, far side
	roll      float64 // of the last solution, the next one's start
	shift     float64 // of the last solution, mm
	gain      float64 // roll per shift there, rad/mm
	radius    float64 // mean of both radii at the tape line, mm
	flange    float64 // flange angle of the near wheel, rad; 0: it has none
	rests     *rests  // of the near wheel by itself, see Alone
}

// NewSolver places the rails and makes the curves that contact is looked for on.
func NewSolver(a Axle) (*Solver, error) { return new(Made).NewSolver(a) }

// NewSolver is [NewSolver] with what has been made before of the same wheels and rails.
func (m *Made) NewSolver(a Axle) (*Solver, error) {
	for _, v := range []struct {
		what      string
		v, lo, hi float64
	}{{"near diameter", a.NearDiameter, 100, 3000}, {"far diameter", a.FarDiameter, 100, 3000},
		{"back-to-back", a.BackToBack, 100, 5000}} {
		if !(v.v >= v.lo && v.v <= v.hi) {
			return nil, fmt.Errorf("%w: %s %g mm (from %g to %g)", ErrInput, v.what, v.v, v.lo, v.hi)
		}
	}
	if math.Abs(a.NearDiameter-a.FarDiameter) > 50 {
		return nil, fmt.Errorf("%w: diameters %g and %g mm differ by more than 50 mm", ErrInput, a.NearDiameter,
			a.FarDiameter)
	}
	s := &Solver{radius: (a.NearDiameter + a.FarDiameter) / 4}
	for i, sd := range []*side{&s.near, &s.far} {
		w, r, d := a.Near, a.NearRail, a.NearDiameter
		sd.g = 1
		if i == 1 {
			w, r, d = a.Far, a.FarRail, a.FarDiameter
			sd.g = -1
		}
		if w == nil || r == nil {
			return nil, fmt.Errorf("%w: a wheel or a rail is missing", ErrInput)
		}
		if i == 1 && !a.Differ() { // the same again, from the other side
			near := s.near
			s.far = near
			s.far.g = -1
			s.far.close = nil
			break
		}
		var err error
		if sd.made, err = m.wheel(w); err != nil {
			return nil, err
		}
		laid, err := m.rail(placing{r, a.Gauge, a.GaugeHeight, a.Cant})
		if err != nil {
			return nil, err
		}
		sd.keeper, sd.wheel, sd.window = m, sd.made.curve, sd.made.window
		sd.placed, sd.rail, sd.railFace, sd.clearing = laid.placed, laid.placed.Curve, laid.face, laid.clear
		sd.shape = w.Outline
		sd.x0 = a.BackToBack/2 + w.Tape
		sd.dz = d/2 - s.radius
		sd.warm = sd.rail.Bins() / 2
		sd.bound()
	}
	s.flange = s.near.made.flange
	if !a.Differ() { // else the level at which it stands is that of both wheels
		s.rests = m.rest(pairing{a.Near, placing{a.NearRail, a.Gauge, a.GaugeHeight, a.Cant}, s.near.x0})
	}
	// The shift is that of the axle's point at rail level: the level of the contacts when the axle stands in the
	// middle. If it cannot stand there, of the tread.
	if st, err := s.At(0); err == nil {
		level := (st.Near.Z + s.near.dz + st.Far.Z + s.far.dz) / 2
		s.near.level, s.far.level = level, level
		s.near.bound()
		s.far.bound()
	}
	return s, nil
}

// Spot is a place of contact on one side.
type Spot struct {
	Y      float64 // on the wheel from the tape line, mm
	Z      float64 // what the wheel's shape adds to the radius there, mm
	RailY  float64 // from the middle of the track, mm
	RailZ  float64 // below the top of the rail, mm
	Radius float64 // rolling radius, mm
	Angle  float64 // rad from the track plane, positive if the wheel's radius grows toward the flange
	KWheel float64 // curvature of the wheel's shape, positive if it bulges to the rail, 1/mm
	KRail  float64 // of the rail, positive if it bulges to the wheel, 1/mm
	Gap    float64 // to touching, normal to the surface, mm: 0 at the contact itself
}

// State is the axle at one lateral shift.
type State struct {
	Shift float64 // mm, positive toward the near rail
	Roll  float64 // rad, positive if the near side stands higher
	RRD   float64 // rolling radius near less far, mm
	Near  Spot
	Far   Spot
}

// rollLimit is the greatest roll looked at, rad; an axle that needs more is off the rail.
const rollLimit = 0.05

// rollExact is within how many mm the gaps of both sides must agree: the roll is then right to a billionth of a radian.
const rollExact = 1e-6

// search looks along both rails, again only where the contact can be after a small change of roll.
func (s *Solver) search(shift float64, t rotation, again bool) (n, f hit, ok bool) {
	var okN, okF bool
	if again {
		n, okN = s.near.again(shift, t)
		f, okF = s.far.again(shift, t)
	} else {
		n, okN = s.near.least(shift, t)
		f, okF = s.far.least(shift, t)
	}
	return n, f, okN && okF
}

// At lays the axle at a lateral shift (mm). ErrOffRail is returned if a wheel does not stand over its rail.
func (s *Solver) At(shift float64) (State, error) {
	if math.IsNaN(shift) || math.Abs(shift) > 200 {
		return State{}, fmt.Errorf("%w: shift %g mm", ErrInput, shift)
	}
	// The near gap grows and the far gap falls as the near side rises, each nearly in proportion to its distance from
	// the middle: Newton from the last roll, guarded by a bracket.
	roll := s.roll
	if step := shift - s.shift; step != 0 && math.Abs(step) < 1 && math.Abs(s.gain) < 1e-3 {
		roll += s.gain * step
	}
	lo, hi := -rollLimit, rollLimit
	searched := math.Inf(1) // the roll of the last search along the rails
	var n, f hit
	for i := 0; ; i++ {
		t := turn(roll)
		// One search, then only the two places are followed as the roll changes, then one more look whether another
		// place has come nearer.
		ok := !math.IsInf(searched, 1) && s.near.follow(&n, shift, t) && s.far.follow(&f, shift, t)
		if !ok {
			if n, f, ok = s.search(shift, t, math.Abs(roll-searched) < keepRoll); !ok {
				return State{}, fmt.Errorf("%w at shift %.3f mm", ErrOffRail, shift)
			}
			searched = roll
		}
		d := n.gap - f.gap // grows with roll
		done := math.Abs(d) < rollExact || i == 60
		if done && roll != searched {
			a, b, ok := s.search(shift, t, math.Abs(roll-searched) < keepRoll)
			if !ok {
				return State{}, fmt.Errorf("%w at shift %.3f mm", ErrOffRail, shift)
			}
			searched = roll
			if a.gap < n.gap-rollExact || b.gap < f.gap-rollExact {
				n, f, d = a, b, a.gap-b.gap
				lo, hi = -rollLimit, rollLimit
				done = i == 60
			}
		}
		if done {
			break
		}
		if d > 0 {
			hi = roll
		} else {
			lo = roll
		}
		next := roll - d/(math.Abs(n.railY)+math.Abs(f.railY))
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-roll) < 1e-13 {
			break
		}
		roll = next
	}
	if step := shift - s.shift; step != 0 {
		s.gain = (roll - s.roll) / step
	}
	s.roll, s.shift = roll, shift
	t := turn(roll)
	st := State{Shift: shift, Roll: roll, Near: s.near.spot(n, shift, t), Far: s.far.spot(f, shift, t)}
	st.Near.Radius = s.radius + s.near.dz + st.Near.Z
	st.Far.Radius = s.radius + s.far.dz + st.Far.Z
	st.RRD = st.Near.Radius - st.Far.Radius
	return st, nil
}

// spacing is the distance between the two contacts in mm with the axle as it is.
func (st State) spacing() float64 { return st.Near.RailY + st.Far.RailY }
