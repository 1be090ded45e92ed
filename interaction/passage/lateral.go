package passage

import (
	"fmt"

	"flangeway/track/shape"
)

// Axle has the distances that hold a wheel across the track in a frog, mm; 0: not known.
type Axle struct {
	BackToBack    float64 // the greatest
	MateThickness float64 // flange thickness of the other wheel
	GuardCheck    float64
	Gauge         float64
}

// Place is a position of the wheel across the track: its tape line's distance from the
// gauge line in mm, positive to the field, and what holds it there.
type Place struct {
	Tape float64
	// Why names the part that holds the wheel: the guard rail (at the back of its mate), the raised guard (at its rim),
	// the gauge line (at its flange face), the other wing (at its flange back), the mate's rail (at the mate's flange),
	// or nothing (in the middle of its play).
	Why  string
	Held bool // by the guard rail or a raised guard
	// Beyond is how far in mm the guard lets the flange face pass the gauge line; 0 if it does not.
	Beyond float64
}

// Places are the positions that are tried: the one nearest to the point first, the one farthest from it last. Axles
// with the same last one pass alike.
func (a Axle) Places(f *shape.FrogModel, w *Wheel) ([]Place, error) {
	if f == nil || w == nil {
		return nil, fmt.Errorf("%w: a frog or a wheel is missing", ErrInput)
	}
	for _, v := range []float64{a.BackToBack, a.GuardCheck, a.Gauge} {
		if v != 0 && !(v > 500 && v < 2500) {
			return nil, fmt.Errorf("%w: back-to-back %g, guard check %g, gauge %g mm", ErrInput, a.BackToBack,
				a.GuardCheck, a.Gauge)
		}
	}
	tape := w.Shape.Tape
	near := Place{Tape: tape - w.Thickness, Why: "the gauge line"}
	switch {
	case f.Plan.Type == "self-guarded":
		near = near.held(f.Plan.GuardFaceOfRim-(w.Shape.Rim-tape), "the raised guard")
	case a.GuardCheck > 0 && a.BackToBack > 0:
		near = near.held(tape-(a.GuardCheck-a.BackToBack), "the guard rail")
	}
	return a.between(w, near, Place{Tape: tape - f.Plan.FlangewayWidth, Why: "the other wing"})
}

// between are the positions from the nearest to the point to the one at which the flange's back meets what stands
// beside it, or the other flange its rail, if that comes first.
func (a Axle) between(w *Wheel, near, far Place) ([]Place, error) {
	if !(a.MateThickness >= 0 && a.MateThickness < 100) {
		return nil, fmt.Errorf("%w: flange thickness %g mm", ErrInput, a.MateThickness)
	}
	tape := w.Shape.Tape
	if a.BackToBack > 0 && a.Gauge > 0 && a.MateThickness > 0 {
		// The other flange on its rail: the play of the axle in the gauge.
		if t := tape - w.Thickness - (a.Gauge - a.BackToBack - w.Thickness - a.MateThickness); t > far.Tape {
			far = Place{Tape: t, Why: "the mate's rail"}
		}
	}
	if far.Tape >= near.Tape-0.1 { // no play left
		return []Place{near}, nil
	}
	middle := Place{Tape: (near.Tape + far.Tape) / 2, Why: "nothing (middle)"}
	return []Place{near, middle, far}, nil
}

// held limits the position nearest to the point.
func (p Place) held(tape float64, why string) Place {
	if tape > p.Tape {
		return Place{Tape: p.Tape, Why: p.Why + ", past the guard", Beyond: tape - p.Tape}
	}
	return Place{Tape: tape, Why: why, Held: true}
}
