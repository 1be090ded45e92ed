package shape

import (
	"fmt"
	"math"

	"flangeway/internal/measure"
	"flangeway/internal/outline"
)

// Turning is the lathe's work on a wheel.
type Turning struct {
	Shape     *Shape  // the wheel afterwards, y and z as always
	Cut       float64 // off the radius at the tape line, mm, a whole number of sixteenths
	Least     float64 // the least cut before rounding up, mm
	Thickness float64 // flange thickness left, mm
	RimLeft   float64 // mm; only if Rim is known
	RimKnown  bool
	RimHolds  bool // RimLeft is within the limit
	More      int  // how many further turnings of the same cut the rim then holds
}

// Lathe asks for a turning; all in mm, 0 if not given.
type Lathe struct {
	Thickness float64 // flange thickness to restore; 0: the design's
	Cut       float64 // the most that may be taken off the radius; 0: as much as it needs
	Rim       Rim
}

// Rim is a rim and what it may wear or be turned to, mm.
type Rim struct {
	Thickness float64 // before; 0: unknown
	Limit     float64
	// LimitHolds tells that a rim at the limit is within it, as under "less than 1 in"; else it is condemned, as under
	// "11/16 in or less".
	LimitHolds bool
}

// holds reports whether a rim of so many mm is within the limit.
func (r Rim) holds(left float64) bool {
	if r.LimitHolds {
		return left >= r.Limit-measure.Near
	}
	return left > r.Limit+measure.Near
}

// TurnOver turns a worn wheel and, if it was rebuilt from readings (else nil), the shapes at the ends of their
// intervals: the turning of the least and of the greatest cut among them. With a cut given it is the thickest flange
// that this allows, not thinner than Thickness or, without that, than the flange is now; least and most are then the
// same.
func TurnOver(worn *Shape, rebuilt *Worn, design *Shape, l Lathe) (least, most *Turning, err error) {
	if l.Cut > 0 {
		atLeast := l.Thickness
		if atLeast == 0 {
			if atLeast, err = worn.FlangeThickness(); err != nil {
				return nil, nil, err
			}
			full, err := design.FlangeThickness()
			if err != nil {
				return nil, nil, err
			}
			atLeast = math.Min(atLeast, full)
		}
		least, err = turnWithin(worn, design, l.Cut, atLeast, l.Rim)
		return least, least, err
	}
	shapes := []*Shape{worn}
	if rebuilt != nil {
		shapes = append(shapes, rebuilt.Extremes()...)
	}
	for _, s := range shapes {
		t, err := Turn(s, design, l.Thickness, l.Rim)
		if err != nil {
			return nil, nil, err
		}
		if least == nil || t.Cut < least.Cut {
			least = t
		}
		if most == nil || t.Least > most.Least {
			most = t
		}
	}
	return least, most, nil
}

// leastCut is how much the profile must be lowered, mm, until no part of it lies outside the worn wheel. Both have
// their tread at z = 0 at the tape line and the flange back in common.
func leastCut(worn, profile *Shape) (float64, error) {
	w, err := outline.SeenFromBelow(worn.Outline)
	if err != nil {
		return 0, err
	}
	p, err := outline.SeenFromBelow(profile.Outline)
	if err != nil {
		return 0, err
	}
	lo, hi := math.Max(w.Begin(), p.Begin())+1, math.Min(w.End(), p.End())-1 // the edges are broken anyway
	if !(lo < -10 && hi > 10) {
		return 0, fmt.Errorf("%w: the worn shape is too short to be turned", ErrShape)
	}
	cut := 0.0
	try := func(y float64) {
		if y >= lo && y <= hi {
			cut = math.Max(cut, p.Height(y)-w.Height(y))
		}
	}
	for _, y := range w.Y {
		try(y)
	}
	for _, y := range p.Y {
		try(y)
	}
	return cut, nil
}

// thinned is the design with its flange face moved back to the given thickness (mm).
func thinned(design *Shape, thickness float64) (*Shape, error) {
	full, err := design.FlangeThickness()
	if err != nil {
		return nil, err
	}
	if thickness >= full-1e-9 {
		return design, nil
	}
	v := values{math.NaN(), thickness, math.NaN(), math.NaN()}
	s, err := design.fit(v)
	if err != nil {
		return nil, err
	}
	s.Name = fmt.Sprintf("%s, flange %.1f mm", design.Name, thickness)
	return s, nil
}

// Turn finds the least cut, in sixteenths, that restores the design's profile with a flange at least thickness mm thick
// (0: the full one). What lies under the cut follows only from the shape: cracks and hard spots may ask for more.
func Turn(worn, design *Shape, thickness float64, rim Rim) (*Turning, error) {
	full, err := design.FlangeThickness()
	if err != nil {
		return nil, err
	}
	if thickness == 0 {
		thickness = full
	}
	if !(thickness > 0 && thickness <= full+1e-9) {
		return nil, fmt.Errorf("%w: a flange of %.2f mm, the design has %.2f", ErrShape, thickness, full)
	}
	if !(rim.Thickness >= 0 && rim.Thickness < 500) || !(rim.Limit >= 0 && rim.Limit < 500) {
		return nil, fmt.Errorf("%w: rim %g mm, limit %g mm", ErrShape, rim.Thickness, rim.Limit)
	}
	profile, err := thinned(design, thickness)
	if err != nil {
		return nil, err
	}
	least, err := leastCut(worn, profile)
	if err != nil {
		return nil, err
	}
	return finish(profile, least, math.Ceil(least/measure.Sixteenth-1e-6)*measure.Sixteenth, rim)
}

func finish(profile *Shape, least, cut float64, rim Rim) (*Turning, error) {
	t := &Turning{Shape: profile, Cut: cut, Least: least}
	var err error
	if t.Thickness, err = profile.FlangeThickness(); err != nil {
		return nil, err
	}
	if rim.Thickness > 0 {
		t.RimKnown, t.RimLeft = true, rim.Thickness-cut
		t.RimHolds = rim.holds(t.RimLeft)
		if t.RimHolds && cut > 0 {
			// One less if the last of them ends at a limit that condemns.
			if t.More = int((t.RimLeft-rim.Limit)/cut + 1e-9); !rim.holds(t.RimLeft - float64(t.More)*cut) {
				t.More--
			}
		}
	}
	return t, nil
}

// turnWithin finds the thickest flange that a cut of at most cut mm off the radius allows, not thinner than atLeast mm;
// an error that wraps ErrContradiction says that even that asks for more.
func turnWithin(worn, design *Shape, cut, atLeast float64, rim Rim) (*Turning, error) {
	full, err := design.FlangeThickness()
	if err != nil {
		return nil, err
	}
	if !(cut >= 0 && cut < 200) || !(atLeast > 0 && atLeast <= full+1e-9) {
		return nil, fmt.Errorf("%w: cut %g mm, flange %g mm", ErrShape, cut, atLeast)
	}
	need := func(t float64) (float64, *Shape, error) {
		p, err := thinned(design, t)
		if err != nil {
			return 0, nil, err
		}
		c, err := leastCut(worn, p)
		return c, p, err
	}
	c, p, err := need(full)
	if err != nil {
		return nil, err
	}
	if c > cut {
		lo, hi := atLeast, full
		if c, p, err = need(lo); err != nil {
			return nil, err
		}
		if c > cut {
			return nil, fmt.Errorf("%w: a flange of %.1f mm needs a cut of %.2f mm", ErrContradiction, atLeast, c)
		}
		for hi-lo > 0.01 {
			mid := (lo + hi) / 2
			mc, mp, err := need(mid)
			if err == nil && mc <= cut {
				lo, c, p = mid, mc, mp
			} else {
				hi = mid
			}
		}
	}
	return finish(p, c, cut, rim)
}
