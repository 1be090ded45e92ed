package contact

import (
	"fmt"
	"math"
	"slices"

	"flangeway/internal/outline"
)

// Strip is a narrow stretch of a wheel's shape where it lies close to its rail.
type Strip struct {
	Along  float64 // way along the wheel's shape from the flange side, mm
	Y      float64 // on the wheel from the tape line, mm
	RailY  float64 // from the middle of the track, mm
	RailZ  float64 // below the top of the rail, mm
	Radius float64 // rolling radius, mm
	Angle  float64 // rad from the track plane, as in Spot, of the side that bends less; 0 until [Solver.Lean]
	Gap    float64 // upright, over that at the contact, mm
	slope  float64 // of the rail
	place  int32   // on the wheel
	on     int32   // the rail's segment
}

// spread is a wheel's shape at places step mm apart along it.
type spread struct {
	step    float64
	along   []float64
	y, z, s []float64 // s: slope dz/dy
	bend    []float64 // by how much the shape turns from the place before to the one after, rad
	level   []leaning // of the places of a wheel that is not rolled
	low     []float64 // the greatest z of each spreadBlock places
}

// leaning is what follows from the slope of a place: its angle as in Spot, 1/(1 + slope²), which turns slopes into
// angles, and how far a step reaches along the track.
type leaning struct{ angle, flat, along float64 }

func leaningOf(slope, step float64) leaning {
	flat := 1 / (1 + slope*slope)
	return leaning{-math.Atan(slope), flat, step * math.Sqrt(flat)}
}

// spreadBlock is how many places of a wheel's shape are bounded together, and clearOf by how
// much in mm a block must be farther from the rail's chords than a strip that is looked for:
// more than the curves leave their chords.
const (
	spreadBlock = 16
	clearOf     = 1.0
)

// spreadOf samples the curve of one side, once for each step.
func (sd *side) spreadOf(step float64) *spread {
	if sd.spread.step != step {
		sd.spread = sd.keeper.strips(sd.made, step)
	}
	return &sd.spread
}

// spreadOf cuts a wheel into strips.
func spreadOf(w *outline.Curve, step float64) spread {
	p := spread{step: step}
	along, at := 0.0, step/2
	for k := 0; k+1 < len(w.Y); k++ {
		dy, dz := w.Y[k+1]-w.Y[k], w.Z[k+1]-w.Z[k]
		l := math.Sqrt(dy*dy + dz*dz)
		for ; at < along+l; at += step {
			y := w.Y[k] + (at-along)/l*dy
			z, s, _ := w.On(k, y)
			p.along, p.y, p.z, p.s = append(p.along, at), append(p.y, y), append(p.z, z), append(p.s, s)
		}
		along += l
	}
	for k := 0; k < len(p.z); k += spreadBlock {
		p.low = append(p.low, slices.Max(p.z[k:min(k+spreadBlock, len(p.z))]))
	}
	for k := range p.s {
		p.level = append(p.level, leaningOf(p.s[k], step))
		p.bend = append(p.bend, math.Abs(math.Atan(p.s[min(k+1, len(p.s)-1)])-math.Atan(p.s[max(k-1, 0)])))
	}
	return p
}

// Strips appends to dst the strips of one side, each step mm (> 0) wide along the
// wheel, that are within mm (upright) of touching in a state, from the flange to the
// field. They are what an elastic contact spreads over. Their angles are worked out within
// angled mm alone.
func (s *Solver) Strips(dst []Strip, st State, near bool, step, within float64) []Strip {
	sd, first := &s.far, st.Far
	if near {
		sd, first = &s.near, st.Near
	}
	if !(step > 0) {
		return dst
	}
	t := turn(st.Roll)
	r := sd.rail
	_, z := sd.put(first.Y, first.Z, st.Shift, t)
	base := first.RailZ - z
	p := sd.spreadOf(step)
	begin, end, i := r.Begin(), r.End(), -1 // i: the rail's segment; -1 behind what is passed over
	for k := 0; k < len(p.y); k++ {
		if k%spreadBlock == 0 && st.Roll == 0 && sd.clear(p, k, st.Shift, base+within+clearOf) {
			k, i = k+spreadBlock-1, -1
			continue
		}
		y := p.y[k]
		ty, tz := sd.put(y, p.z[k], st.Shift, t)
		if ty < begin {
			continue
		}
		if ty > end {
			break
		}
		if i < 0 {
			i = r.Segment(ty)
		}
		i = walk(r.Y, i, ty)
		// The curve stays near its chord: most places are told by that.
		if rz := r.Z[i] + r.Chord[i]*(ty-r.Y[i]); rz-tz-base > within+0.1+0.1*math.Abs(r.Chord[i]) {
			continue
		}
		rz, rs, _ := r.On(i, ty)
		gap := rz - tz - base
		if gap > within {
			continue
		}
		dst = append(dst, Strip{Along: p.along[k], Y: y, RailY: ty, RailZ: rz, Radius: s.radius + sd.dz + p.z[k], Gap: gap,
			slope: rs, place: int32(k), on: int32(i)})
	}
	return dst
}

// Lean works out the angle of one of the last strips of a side, which were asked for in the same state.
func (s *Solver) Lean(strip *Strip, st State, near bool) {
	sd := &s.far
	if near {
		sd = &s.near
	}
	strip.Angle = sd.between(&sd.spread, int(strip.place), int(strip.on), strip.RailY, strip.slope, turn(st.Roll))
}

// clear reports whether a level wheel's places from k on, a block of them, stand over the
// rail and all by more than gap (mm) above its chords.
func (sd *side) clear(p *spread, k int, shift, gap float64) bool {
	r, level := sd.rail, turn(0)
	a, z := sd.put(p.y[k], p.low[k/spreadBlock], shift, level)
	b, _ := sd.put(p.y[min(k+spreadBlock, len(p.y))-1], 0, shift, level)
	if a < r.Begin() || b > r.End() {
		return false
	}
	first, last := int((a-r.Begin())/outline.Bin), min(int((b-r.Begin())/outline.Bin), r.Bins()-1)
	for j := first; j <= last; j++ {
		if r.Lo[j]-z <= gap {
			return false
		}
	}
	return true
}

// between is the contact angle (rad) of strip k, whose place on the rail is ty in
// segment i with slope rs: that of the side which bends less there. A corner bears on a
// face at the face's angle, not at the mean of its own two.
func (sd *side) between(p *spread, k, i int, ty, rs float64, t rotation) float64 {
	own, lean := p.s[k], p.level[k]
	if t.s != 0 {
		own = (t.c*own - sd.g*t.s) / (t.c + sd.g*t.s*own)
		lean = leaningOf(own, p.step)
	}
	if own == rs {
		return lean.angle
	}
	r := sd.rail
	first, last := walk(r.Y, i, ty-lean.along), walk(r.Y, i, ty+lean.along)
	rail := math.Abs(r.S1[last]-r.S0[first]) * lean.flat
	if rail+p.bend[k] == 0 {
		return lean.angle
	}
	w := rail / (rail + p.bend[k])
	return w*lean.angle - (1-w)*math.Atan(rs)
}

// Middles are the middles of both rail heads from the middle of the track, mm.
func (s *Solver) Middles() (near, far float64) { return s.near.placed.Middle, s.far.placed.Middle }

// Alone lays the near wheel by itself on its rail at a lateral shift (mm), the axle held
// level: what one wheel does on one rail whatever the other end of its axle does. The
// roll that two wheels on two rails would have is left out; it is a few thousandths of
// a radian if one is hollow.
func (s *Solver) Alone(shift float64) (State, error) {
	if math.IsNaN(shift) || math.Abs(shift) > 200 {
		return State{}, fmt.Errorf("%w: shift %g mm", ErrInput, shift)
	}
	t := turn(0)
	n, ok := s.near.least(shift, t)
	if !ok {
		return State{}, fmt.Errorf("%w at shift %.3f mm", ErrOffRail, shift)
	}
	st := State{Shift: shift, Near: s.near.spot(n, shift, t)}
	st.Near.Radius = s.radius + s.near.dz + st.Near.Z
	return st, nil
}
