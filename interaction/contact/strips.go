package contact

import "math"

// Strip is a narrow stretch of a wheel's shape where it lies close to its rail.
type Strip struct {
	Along  float64 // way along the wheel's shape from the flange side, mm
	Width  float64 // of the strip along the shape, mm
	Y      float64 // on the wheel from the tape line, mm
	RailY  float64 // from the middle of the track, mm
	RailZ  float64 // below the top of the rail, mm
	Radius float64 // rolling radius, mm
	Angle  float64 // rad from the track plane, as in Spot
	Gap    float64 // upright, over that at the contact, mm
}

// Strips appends to dst the strips of one side that are within mm (upright) of
// touching in a state, about step mm wide, from the flange to the field. They are what
// an elastic contact spreads over.
func (s *Solver) Strips(dst []Strip, st State, near bool, step, within float64) []Strip {
	sd, first := &s.far, st.Far
	if near {
		sd, first = &s.near, st.Near
	}
	t := turn(st.Roll)
	w, r := sd.wheel, sd.rail
	_, z := sd.put(first.Y, first.Z, st.Shift, t)
	base := first.RailZ - z
	along, i := 0.0, 0 // along: where the segment begins
	at := step / 2
	for k := 0; k+1 < len(w.Y); k++ {
		dy := w.Y[k+1] - w.Y[k]
		l := math.Hypot(dy, w.Z[k+1]-w.Z[k])
		for ; at < along+l; at += step {
			f := (at - along) / l
			y := w.Y[k] + f*dy
			// The chords first: the curves stay near them, and most places are told by that.
			ty, tz := sd.put(y, w.Z[k]+f*(w.Z[k+1]-w.Z[k]), st.Shift, t)
			if ty < r.Y[0] || ty > r.End() {
				continue
			}
			i = walk(r.Y, i, ty)
			if rz := r.Z[i] + r.Chord[i]*(ty-r.Y[i]); rz-tz-base > within+0.1+0.1*(math.Abs(r.Chord[i])+math.Abs(w.Chord[k])) {
				continue
			}
			z, slope, _ := w.On(k, y)
			ty, tz = sd.put(y, z, st.Shift, t)
			i = walk(r.Y, i, ty)
			rz, _, _ := r.On(i, ty)
			gap := rz - tz - base
			if gap > within {
				continue
			}
			slope = (t.c*slope - sd.g*t.s) / (t.c + sd.g*t.s*slope)
			dst = append(dst, Strip{Along: at, Width: step, Y: y, RailY: ty, RailZ: rz,
				Radius: s.radius + sd.dz + z, Angle: -math.Atan(slope), Gap: gap})
		}
		along += l
	}
	return dst
}

// Radius is the mean of both radii at the tape line, mm.
func (s *Solver) Radius() float64 { return s.radius }
