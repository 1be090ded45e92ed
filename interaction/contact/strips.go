package contact

import "math"

// Strip is a narrow stretch of a wheel's shape where it lies close to its rail.
type Strip struct {
	Along  float64 // way along the wheel's shape from the flange side, mm
	Y      float64 // on the wheel from the tape line, mm
	RailY  float64 // from the middle of the track, mm
	RailZ  float64 // below the top of the rail, mm
	Radius float64 // rolling radius, mm
	Angle  float64 // rad from the track plane, as in Spot
	Gap    float64 // upright, over that at the contact, mm
}

// spread is a wheel's shape at places step mm apart along it.
type spread struct {
	step    float64
	along   []float64
	y, z, s []float64 // s: slope dz/dy
}

// spreadOf samples the curve of one side, once for each step.
func (sd *side) spreadOf(step float64) *spread {
	if sd.spread.step == step {
		return &sd.spread
	}
	w := sd.wheel
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
	sd.spread = p
	return &sd.spread
}

// Strips appends to dst the strips of one side, each step mm (> 0) wide along the
// wheel, that are within mm (upright) of touching in a state, from the flange to the
// field. They are what an elastic contact spreads over.
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
	begin, end, i := r.Begin(), r.End(), 0
	for k, y := range p.y {
		ty, tz := sd.put(y, p.z[k], st.Shift, t)
		if ty < begin {
			continue
		}
		if ty > end {
			break
		}
		i = walk(r.Y, i, ty)
		// The curve stays near its chord: most places are told by that.
		if rz := r.Z[i] + r.Chord[i]*(ty-r.Y[i]); rz-tz-base > within+0.1+0.1*math.Abs(r.Chord[i]) {
			continue
		}
		rz, _, _ := r.On(i, ty)
		gap := rz - tz - base
		if gap > within {
			continue
		}
		slope := (t.c*p.s[k] - sd.g*t.s) / (t.c + sd.g*t.s*p.s[k])
		dst = append(dst, Strip{Along: p.along[k], Y: y, RailY: ty, RailZ: rz,
			Radius: s.radius + sd.dz + p.z[k], Angle: -math.Atan(slope), Gap: gap})
	}
	return dst
}

// Radius is the mean of both radii at the tape line, mm.
func (s *Solver) Radius() float64 { return s.radius }

// Middles are the middles of both rail heads from the middle of the track, mm.
func (s *Solver) Middles() (near, far float64) { return s.near.placed.Middle, s.far.placed.Middle }
