package passage

import (
	"fmt"
	"math"

	"flangeway/interaction/contact"
)

// Bearing is a flange whose tip carries the wheel over the floor of a frog made for it.
type Bearing struct {
	From, To float64 // stations between which it does, mm
	Lift     float64 // of the tread over its plane at most, mm
	// Whole tells that the flange carries the wheel wherever its tread would dip, so that the load passes no gap.
	Whole bool
	// Slower is the share by which the wheel turns slower on its flange than on its tread:
	// h/(R + h). The tip slides by as much on the ramps.
	Slower float64
}

// Bears finds where the floor carries the wheel; ok is false if it nowhere does.
func (p *FrogPath) Bears(w *Wheel) (b Bearing, ok bool) {
	b = Bearing{Whole: len(p.Dips) == 0, Slower: w.Height / (w.Radius + w.Height)}
	for _, s := range p.Stations {
		if s.RestsOn != Floor {
			continue
		}
		if !ok {
			b.From, b.Lift, ok = s.X, s.Z, true
		}
		b.To, b.Lift = s.X, math.Max(b.Lift, s.Z)
	}
	return b, ok
}

// carried leaves the dips and the transfer out at which the floor carries the wheel, not its tread.
func (p *FrogPath) carried() {
	dips := p.Dips
	p.Dips, p.Dip = nil, Dip{}
	for _, d := range dips {
		if _, on := p.At(d.X); on != Floor {
			p.dip(d)
		}
	}
	if _, on := p.At(p.Transfer); on == Floor {
		p.Transfers = false
	}
}

// TipPressure is the ellipse of contact of the flange tip under a load (N) on a flat floor, or in a groove of a radius
// across (mm, greater than the tip's; 0: flat): Hertz, see [contact.Hertz]. It is contact.ErrConformal if the groove
// fits the tip.
func (w *Wheel) TipPressure(load, groove float64) (contact.Ellipse, error) {
	if !(groove >= 0) {
		return contact.Ellipse{}, fmt.Errorf("%w: a groove of radius %g mm", ErrInput, groove)
	}
	across := 1 / w.TipRadius()
	if groove > 0 {
		across -= 1 / groove
	}
	return contact.Hertz(load, 1/(w.Radius+w.Height), across, contact.Steel)
}

// TipRadius is the radius in mm of the flange tip across the track: that of the circle through the tip and the shape a
// twentieth of an inch to each side of it.
func (w *Wheel) TipRadius() float64 {
	const half = 1.27
	fall := w.curve.Height(w.tipY) - (w.curve.Height(w.tipY-half)+w.curve.Height(w.tipY+half))/2
	return (half*half + fall*fall) / (2 * fall)
}
