package curving

import "math"

// middle reports whether axle i is the middle one of three.
func (p *problem) middle(i int) bool { return i == 1 && p.axles == mostAxles }

// place is how far axle i lies before the middle of the truck, mm.
func (p *problem) place(i int) float64 {
	switch i {
	case 0:
		return p.half
	case p.axles - 1:
		return -p.half
	}
	return 0
}

// all is the lateral force and the turning moment on all axles.
func (p *problem) all(f *[mostAxles]forces) (lateral, turn float64) {
	lateral, turn = f[0].lateral+f[1].lateral, f[0].turn+f[1].turn
	if p.axles == mostAxles {
		lateral, turn = lateral+f[2].lateral, turn+f[2].turn
	}
	return lateral, turn
}

const (
	// centring is the share of an axle's load with which a middle axle that stands a
	// millimetre off the frame is drawn back: so little that it moves no result, and enough
	// for an axle that nothing else pushes, as on cones, to have a place.
	centring = 1e-5
	// stopped is the share of it that holds a middle axle a millimetre beyond its clearance,
	// with the square of the way.
	stopped = 8.0
)

// pushed is the lateral force (N) of a middle axle on the frame if it stands off mm from it.
func (p *problem) pushed(off float64) float64 {
	f := centring * off
	if beyond := math.Abs(off) - p.clearance; beyond > 0 {
		f += math.Copysign(stopped*beyond*beyond, off)
	}
	return f * p.load
}

// pushedSlope is by how much pushed grows, N/mm.
func (p *problem) pushedSlope(off float64) float64 {
	return (centring + 2*stopped*math.Max(0, math.Abs(off)-p.clearance)) * p.load
}
