package contact

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"flangeway/internal/measure"
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

// spreadBlock is how many places of a wheel's shape are bounded together, and clearOf by how much in mm at most a block
// must be farther from the rail's chords than a strip that is looked for: more than the curves leave their chords.
const (
	spreadBlock = 16
	clearOf     = 1.0
)

// offChord is by how much in mm a place must be farther from a chord of the rail, of this slope, than a strip that is
// looked for to be none: more than the curve leaves it.
func offChord(slope float64) float64 { return 0.1 + 0.1*math.Abs(slope) }

// clearings are the most of offChord over each bin of a rail, at most clearOf.
func clearings(r *outline.Curve) []float64 {
	out := make([]float64, r.Bins())
	for j := range out {
		for i := r.First(j); i < len(r.Chord) && r.Y[i] <= r.Begin()+float64(j+1)*outline.Bin+measure.Near; i++ {
			out[j] = math.Max(out[j], offChord(r.Chord[i]))
		}
		out[j] = math.Min(out[j], clearOf)
	}
	return out
}

// rests are the places at which a wheel by itself was laid on a rail, by shift: where it bears and which of its strips
// are close hang neither on its radius nor on its load.
type rests struct {
	lock         sync.Mutex
	at           map[float64]rested
	step, within float64 // of the strips that were looked for first; others are not kept
}

// rested is one of them.
type rested struct {
	spot  Spot       // but for the rolling radius; a gap of +Inf: the wheel stands beside the rail
	close [][2]int32 // which strips were close: from the first one to before the second one; nil: not looked for
}

func (r *rests) get(shift float64) (rested, bool) {
	r.lock.Lock()
	defer r.lock.Unlock()
	out, ok := r.at[shift]
	return out, ok
}

// same reports whether strips of this step and within so much are those that are kept.
func (r *rests) same(step, within float64) bool {
	r.lock.Lock()
	defer r.lock.Unlock()
	if r.step == 0 {
		r.step, r.within = step, within
	}
	return r.step == step && r.within == within
}

func (r *rests) put(shift float64, x rested) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.at[shift] = x
}

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

// Strips appends to dst the strips of one side, each step mm (> 0) wide along the wheel, that are within mm (upright)
// of touching in a state, from the flange to the field. They are what an elastic contact spreads over. Their angles are
// worked out within angled mm alone.
func (s *Solver) Strips(dst []Strip, st State, near bool, step, within float64) []Strip {
	sd, first := s.side(near), st.side(near)
	if !(step > 0) {
		return dst
	}
	t := turn(st.Roll)
	r := sd.rail
	_, z := sd.put(first.Y, first.Z, st.Shift, t)
	base := first.RailZ - z
	p := sd.spreadOf(step)
	level, moved, radius := t.s == 0, sd.g*st.Shift, s.radius+sd.dz
	known, alone := s.alone(st, near, step, within)
	if alone && known.close != nil {
		for _, c := range known.close {
			i := r.Segment(sd.x0 + p.y[c[0]] + moved)
			for k := int(c[0]); k < int(c[1]); k++ {
				y := p.y[k]
				ty, tz := sd.x0+y+moved, p.z[k]+sd.dz-sd.level
				i = walk(r.Y, i, ty)
				rz, rs, _ := r.On(i, ty)
				dst = append(dst, Strip{Along: p.along[k], Y: y, RailY: ty, RailZ: rz, Radius: radius + p.z[k],
					Gap: rz - tz - base, slope: rs, place: int32(k), on: int32(i)})
			}
		}
		return dst
	}
	begin, end, i := r.Begin(), r.End(), -1 // i: the rail's segment; -1 behind what is passed over
	before := len(dst)
	for k := 0; k < len(p.y); k++ {
		if k%spreadBlock == 0 && level && sd.clear(p, k, st.Shift, base+within) {
			k, i = k+spreadBlock-1, -1
			continue
		}
		y := p.y[k]
		var ty, tz float64
		if level {
			ty, tz = sd.x0+y+moved, p.z[k]+sd.dz-sd.level
		} else {
			ty, tz = sd.put(y, p.z[k], st.Shift, t)
		}
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
		if rz := r.Z[i] + r.Chord[i]*(ty-r.Y[i]); rz-tz-base > within+offChord(r.Chord[i]) {
			continue
		}
		rz, rs, _ := r.On(i, ty)
		gap := rz - tz - base
		if gap > within {
			continue
		}
		dst = append(dst, Strip{Along: p.along[k], Y: y, RailY: ty, RailZ: rz, Radius: radius + p.z[k], Gap: gap,
			slope: rs, place: int32(k), on: int32(i)})
	}
	if alone {
		known.close = runs(dst[before:])
		s.rests.put(st.Shift, known)
	}
	return dst
}

// alone is where the near wheel by itself was laid in a state; false if it is not such a state, or if other strips
// are looked for.
func (s *Solver) alone(st State, near bool, step, within float64) (known rested, ok bool) {
	if s.rests == nil || !near || st.Roll != 0 {
		return known, false
	}
	if known, ok = s.rests.get(st.Shift); ok {
		ok = s.rests.same(step, within)
	}
	return known, ok && known.spot.Y == st.Near.Y && known.spot.RailZ == st.Near.RailZ
}

// runs are the stretches of places that follow each other.
func runs(strips []Strip) [][2]int32 {
	out := [][2]int32{}
	for _, x := range strips {
		k := x.place
		if n := len(out); n > 0 && out[n-1][1] == k {
			out[n-1][1]++
			continue
		}
		out = append(out, [2]int32{k, k + 1})
	}
	return slices.Clip(out)
}

// Lean works out the angle of one of the last strips of a side, which were asked for in the same state.
func (s *Solver) Lean(strip *Strip, st State, near bool) {
	sd := s.side(near)
	strip.Angle = sd.between(&sd.spread, int(strip.place), int(strip.on), strip.RailY, strip.slope, turn(st.Roll))
}

// clear reports whether a level wheel's places from k on, a block of them, stand over the
// rail and all by so much more than gap (mm) above its chords that none is a strip so close.
func (sd *side) clear(p *spread, k int, shift, gap float64) bool {
	r, moved := sd.rail, sd.g*shift
	a, z := sd.x0+p.y[k]+moved, p.low[k/spreadBlock]+sd.dz-sd.level
	b := sd.x0 + p.y[min(k+spreadBlock, len(p.y))-1] + moved
	if a < r.Begin() || b > r.End() {
		return false
	}
	first, last := int((a-r.Begin())/outline.Bin), min(int((b-r.Begin())/outline.Bin), r.Bins()-1)
	for j := first; j <= last; j++ {
		if r.Lo[j]-z <= gap+sd.clearing[j] {
			return false
		}
	}
	return true
}

// between is the contact angle (rad) of strip k, whose place on the rail is ty in segment i with slope rs: that of the
// side which bends less there. A corner bears on a face at the face's angle, not at the mean of its own two.
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

// FlangeLength is that of the near wheel's flange for the climb distance, mm; 0: it has none.
func (s *Solver) FlangeLength() float64 { return s.near.made.length }

// Middles are the middles of both rail heads from the middle of the track, mm.
func (s *Solver) Middles() (near, far float64) { return s.near.placed.Middle, s.far.placed.Middle }

// Alone lays the near wheel by itself on its rail at a lateral shift (mm), the axle held level: what one wheel does on
// one rail whatever the other end of its axle does. The roll that two wheels on two rails would have is left out; it is
// a few thousandths of a radian if one is hollow.
func (s *Solver) Alone(shift float64) (State, error) {
	if math.IsNaN(shift) || math.Abs(shift) > 200 {
		return State{}, fmt.Errorf("%w: shift %g mm", ErrInput, shift)
	}
	var known rested
	ok := false
	if s.rests != nil {
		known, ok = s.rests.get(shift)
	}
	if !ok {
		t := turn(0)
		if n, on := s.near.least(shift, t); on {
			known.spot = s.near.spot(n, shift, t)
		} else {
			known.spot.Gap = math.Inf(1)
		}
		if s.rests != nil {
			s.rests.put(shift, known)
		}
	}
	if math.IsInf(known.spot.Gap, 1) {
		return State{}, fmt.Errorf("%w at shift %.3f mm", ErrOffRail, shift)
	}
	st := State{Shift: shift, Near: known.spot}
	st.Near.Radius = s.radius + s.near.dz + st.Near.Z
	return st, nil
}
