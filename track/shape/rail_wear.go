package shape

import (
	"fmt"
	"math"

	"flangeway/internal/outline"
)

// WornFaceAngle is the angle in degrees from horizontal taken for a worn gauge face whose angle was not read (assumed).
const WornFaceAngle = 75.0

// cornerRound is the radius in mm between a worn gauge face and the crown (assumed).
const cornerRound = 10.0

// Worn is the head after wear, all assumed: head wear (mm, at the middle) takes the head down and leaves the crown its
// form, so that only depth and height change; gauge-face wear (mm, at the gauge line below the present top) leaves a
// plane face that rises at the angle (degrees from horizontal, 0: not read, WornFaceAngle) and runs into the crown with
// a round of 10 mm. It errs if more is worn than there is.
func (r *RailHead) Worn(headWear, faceWear, angle float64) (*RailHead, error) {
	if angle == 0 {
		angle = WornFaceAngle
	}
	if !(headWear >= 0 && headWear <= 60) || !(faceWear >= 0 && faceWear <= 40) || !(angle >= 30 && angle <= 90) {
		return nil, fmt.Errorf("%w: head wear %g mm, gauge face wear %g mm at %g degrees", ErrRail, headWear,
			faceWear, angle)
	}
	w := *r
	if headWear > 0 {
		w.Name += fmt.Sprintf(", head worn %.1f mm", headWear)
		if r.HeadDepth > 0 {
			if w.HeadDepth = r.HeadDepth - headWear; w.HeadDepth < r.GaugeHeight {
				return nil, fmt.Errorf("%w: %s: head wear %.1f mm of a head %.1f mm deep", ErrRail, r.Name,
					headWear, r.HeadDepth)
			}
		}
		if r.Height > 0 {
			w.Height -= headWear
		}
		var err error
		if w.Outline, err = below(r.Outline, headWear); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
		}
	}
	if faceWear == 0 {
		return &w, nil
	}
	w.Name += fmt.Sprintf(", gauge face worn %.1f mm", faceWear)
	o := w.Outline
	y, ok := gaugeSide(o, r.GaugeHeight)
	if !ok {
		return nil, fmt.Errorf("%w: %s does not reach its gauge line", ErrRail, r.Name)
	}
	var err error
	if w.Outline, err = faceCut(o, y+faceWear, r.GaugeHeight, angle*math.Pi/180); err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
	}
	return &w, nil
}

// below shortens the sides by what the head has lost: the crown keeps its place at the top of the present rail.
func below(o outline.Outline, wear float64) (outline.Outline, error) {
	_, _, _, deep := o.Extent()
	var out outline.Outline
	for _, v := range o {
		if v.Z <= math.Max(deep-wear, 20) {
			out = append(out, v)
		}
	}
	return out, out.Check()
}

// faceCut takes away what lies on the gauge side of the line through (y, z) that rises toward the field at the angle,
// with a round where it meets the crown.
func faceCut(o outline.Outline, y, z, angle float64) (outline.Outline, error) {
	s, c := math.Sincos(angle)
	// Distance of a point into the rail from the line; along it upward: (c, -s).
	in := func(py, pz float64) float64 { return (py-y)*s + (pz-z)*c }
	top := 0
	for i, v := range o {
		if v.Z < o[top].Z {
			top = i
		}
	}
	lowest := -1
	for i := range o {
		if in(o[i].Y, o[i].Z) < 0 {
			lowest = i
		}
	}
	if lowest < 0 {
		return o, nil // nothing reaches beyond the line
	}
	kept := lowest + 1
	if kept >= len(o)-5 || o[kept].Z > z {
		return nil, fmt.Errorf("the worn face leaves no crown")
	}
	// The round: its centre lies r inside the line and r inside the crown. Slide it up along the line until the crown
	// is just r away.
	nearest := func(t float64) (int, float64) {
		cy, cz := y+t*c+cornerRound*s, z-t*s+cornerRound*c
		best, d := kept, math.Inf(1)
		for i := kept; i < len(o); i++ {
			if h := math.Hypot(o[i].Y-cy, o[i].Z-cz); h < d {
				best, d = i, h
			}
		}
		return best, d
	}
	lo, hi := -20.0, 60.0
	if _, d := nearest(lo); d < cornerRound {
		return nil, fmt.Errorf("no room for the round between worn face and crown")
	}
	for range 60 {
		mid := (lo + hi) / 2
		cz := z - mid*s + cornerRound*c
		if _, d := nearest(mid); d > cornerRound && cz > o[top].Z {
			lo = mid
		} else {
			hi = mid
		}
	}
	at, _ := nearest(lo)
	arc := outline.Arc{CY: y + lo*c + cornerRound*s, CZ: z - lo*s + cornerRound*c, R: cornerRound, From: -angle,
		To: o[at].Angle}
	if !(arc.To > arc.From) || at >= len(o)-3 {
		return nil, fmt.Errorf("no room for the round between worn face and crown")
	}
	from := arc.At(arc.From)
	// The face runs down to where the old shape ended.
	_, _, _, deep := o.Extent()
	face := outline.Line{Y0: y - (deep-z)/s*c, Z0: deep, Y1: from.Y, Z1: from.Z}
	if face.Z0 <= face.Z1+1 {
		return nil, fmt.Errorf("the worn face is too short")
	}
	// If the old side lies inside the line's lower end, the side stays.
	var head outline.Outline
	for i := 0; i <= lowest && in(o[i].Y, o[i].Z) >= 0; i++ {
		head = append(head, o[i])
	}
	if n := len(head); n > 0 {
		v := head[n-1]
		t := (z - v.Z) / s
		face.Y0, face.Z0 = y+t*c, v.Z
	}
	run, err := outline.Join(railStep, 0.01, face, arc)
	if err != nil {
		return nil, err
	}
	return append(append(head, run...), o[at:]...), nil
}
