package contact

import (
	"fmt"
	"math"
)

// steepest is the greatest flange angle in rad that counts: a face steeper than this (a vertical flange) is met by the
// rail's corner before it is reached.
const steepest = 88 * math.Pi / 180

// playMargin is how far below the flange angle contact counts as flange contact, rad.
const playMargin = 0.1 * math.Pi / 180

// Play is the shift in mm from the middle toward the near rail at which the near contact angle first reaches the near
// wheel's flange angle less 0.1 degree. If the rail's gauge side is nowhere that steep down to the gauge line (a worn
// face), its own steepest angle stands for the flange's, and 88 degrees for a steeper one. ErrInput is returned for a
// wheel without a flange and if no such shift below 100 mm exists.
func (s *Solver) Play() (float64, error) {
	if s.flange == 0 {
		return 0, fmt.Errorf("%w: a wheel without a flange has no play", ErrInput)
	}
	want := math.Min(math.Min(s.flange, s.near.railFace), steepest) - playMargin
	reached := func(u float64) (bool, error) {
		st, err := s.At(u)
		if err != nil {
			return false, err
		}
		return st.Near.Angle >= want, nil
	}
	const step = 0.1
	for i := range 1001 {
		u := float64(i) * step
		yes, err := reached(u)
		if err != nil {
			return 0, err
		}
		if !yes {
			continue
		}
		if i == 0 {
			return 0, fmt.Errorf("%w: the flange bears on the rail in the middle already", ErrInput)
		}
		lo, hi := u-step, u
		for hi-lo > 1e-7 {
			mid := (lo + hi) / 2
			if yes, err = reached(mid); err != nil {
				return 0, err
			}
			if yes {
				hi = mid
			} else {
				lo = mid
			}
		}
		return hi, nil
	}
	return 0, fmt.Errorf("%w: no flange contact within 100 mm", ErrInput)
}

// Jump is a shift at which the contact of one side moves at once.
type Jump struct {
	Shift    float64 // mm, known to a thousandth
	Near     bool    // on the near side, else on the far one
	From, To float64 // y on the wheel before and after, mm
}

func (st State) side(near bool) Spot {
	if near {
		return st.Near
	}
	return st.Far
}

func (s *Solver) side(near bool) *side {
	if near {
		return &s.near
	}
	return &s.far
}

// Jump brackets the greatest move of one side's contact between two states.
func (s *Solver) Jump(a, b State, near bool) (Jump, bool) {
	move := func(a, b State) float64 { return math.Abs(b.side(near).Y - a.side(near).Y) }
	for b.Shift-a.Shift > jumpWidth {
		if move(a, b) < jumpReach {
			return Jump{}, false
		}
		m, err := s.At((a.Shift + b.Shift) / 2)
		if err != nil {
			return Jump{}, false
		}
		if move(a, m) > move(m, b) {
			b = m
		} else {
			a = m
		}
	}
	return Jump{(a.Shift + b.Shift) / 2, near, a.side(near).Y, b.side(near).Y}, move(a, b) >= jumpReach
}

// Second finds the second place on one side that nearly touches in a state: the nearest one at least apart mm from the
// contact along the rail, if it is nearer than within mm across the surface.
func (s *Solver) Second(st State, near bool, apart, within float64) (Spot, bool) {
	sd, first := s.side(near), st.side(near)
	t := turn(st.Roll)
	w := sd.wheel
	_, z := sd.put(first.Y, first.Z, st.Shift, t)
	base := first.RailZ - z
	// Local minima of the gap over the wheel's vertices, then on the curves.
	best, found := Spot{Gap: within}, false
	prev, here := math.Inf(1), math.Inf(1)
	for k := range w.Y {
		gap, _, out := sd.place(w.Y[k], st.Shift, t)
		if out {
			gap = math.Inf(1)
		}
		if k > 0 && here <= prev && here < gap {
			h := hit{gap: here, y: w.Y[k-1]}
			_, h.railY, _ = sd.place(h.y, st.Shift, t)
			sd.refine(st.Shift, t, &h)
			if math.Abs(h.railY-first.RailY) >= apart {
				sp := sd.spot(h, st.Shift, t)
				sp.Gap = (h.gap - base) * math.Cos(sp.Angle)
				sp.Radius = s.radius + sd.dz + sp.Z
				if sp.Gap < best.Gap {
					best, found = sp, true
				}
			}
		}
		prev, here = here, gap
	}
	return best, found
}
