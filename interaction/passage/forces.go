package passage

import (
	"fmt"
	"math"
)

// Load is the load of a wheel and how fast it runs.
type Load struct {
	Static   float64 // N
	Unsprung float64 // kg of one wheel
	Speed    float64 // m/s
	Support  Support
	Bound    float64 // N, whose speed is asked for
}

// Blow is the force that a dip or a strike adds.
type Blow struct {
	What   string  // dip; floor, point: met; off: the wheel comes back from the floor to its tread
	X      float64 // mm
	Angle  float64 // rad
	Added  float64 // N
	Capped bool    // by the track's spring
}

// Forces are the vertical forces of a passage.
type Forces struct {
	P2    float64 // at the greatest dip, N
	Most  float64 // the greatest of P2 and static load plus a strike, N
	Blows []Blow  // the greatest dip, then each strike and its end
	// Speed is that in m/s at which the first of dip and strikes reaches the bound; Bounded tells that one does, within
	// 100 m/s.
	Speed   float64
	Bounded bool
}

// Forces computes the vertical forces of a path under a load.
func (p *FrogPath) Forces(l Load) (Forces, error) {
	f := Forces{}
	var err error
	if f.P2, err = P2(l.Static, p.Dip.Angle, l.Speed, l.Unsprung, l.Support); err != nil {
		return f, err
	}
	if !(l.Bound >= 0) {
		return f, fmt.Errorf("%w: bound %g N", ErrInput, l.Bound)
	}
	f.Most = f.P2
	first := math.Inf(1)
	bound := func(angle, most float64) error {
		v, ok, err := SpeedAt(l.Bound, l.Static, angle, l.Unsprung, l.Support)
		if ok && (most >= l.Bound-l.Static || l.Static >= l.Bound) {
			first = math.Min(first, v)
		}
		return err
	}
	if p.Dip.Angle > 0 {
		f.Blows = append(f.Blows, Blow{What: "dip", X: p.Dip.X, Angle: p.Dip.Angle, Added: f.P2 - l.Static})
		if err := bound(p.Dip.Angle, math.Inf(1)); err != nil {
			return f, err
		}
	}
	for _, s := range p.Strikes {
		for _, end := range []Blow{{What: s.What, X: s.From, Angle: s.Angle}, {What: "off", X: s.To, Angle: s.Off}} {
			rise := s.Met
			if end.What == "off" {
				if rise = s.Left; s.Off == 0 {
					continue
				}
			}
			if end.Added, err = StrikeForce(end.Angle, rise, l.Speed, l.Unsprung, l.Support); err != nil {
				return f, err
			}
			most := l.Support.Stiffness * rise / 1000
			end.Capped = l.Speed > 0 && end.Added >= most
			f.Blows = append(f.Blows, end)
			f.Most = math.Max(f.Most, l.Static+end.Added)
			if err := bound(end.Angle, most); err != nil {
				return f, err
			}
		}
	}
	if first <= speedLimit {
		f.Speed, f.Bounded = first, true
	}
	return f, nil
}
