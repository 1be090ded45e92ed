package curving

import "math"

// Reversed is the truck with the other axle leading, its high and low sides as they
// were: the same curve run the other way. The turning moment keeps its sign.
func (t Truck) Reversed() Truck {
	t.Lead, t.Trail = t.Trail, t.Lead
	return t
}

// Mirrored is the truck in a curve of the other hand: high and low sides change.
func (t Truck) Mirrored() Truck {
	same := t.Lead == t.Trail
	t.Lead = t.Lead.Mirrored()
	if same {
		t.Trail = t.Lead
	} else {
		t.Trail = t.Trail.Mirrored()
	}
	return t
}

// Car is both trucks of a car in a curve.
type Car struct{ Lead, Trail Solution }

// SolveCar solves both trucks. The turning moments' signs are set: centre plate and
// side bearings turn the leading truck toward the high rail and the trailing one
// toward the low rail, since each has been turned the other way against the car.
func SolveCar(lead, trail Truck, c Curve, f Friction) (Car, error) {
	lead.TurningMoment = math.Abs(lead.TurningMoment)
	trail.TurningMoment = -math.Abs(trail.TurningMoment)
	var out Car
	var err error
	if out.Lead, err = Solve(lead, c, f); err != nil {
		return out, err
	}
	out.Trail, err = Solve(trail, c, f)
	return out, err
}

// Converged reports whether both trucks did.
func (c Car) Converged() bool { return c.Lead.Converged && c.Trail.Converged }

// Worst gives the trucks with the least climb margin, the least rollover margin and
// the greatest spreading force; they may be the same one.
func (c *Car) Worst() (climb, rollover, spreading *Solution) {
	climb, rollover, spreading = &c.Lead, &c.Lead, &c.Lead
	if c.Trail.Climbing != "" && (c.Lead.Climbing == "" || c.Trail.ClimbMargin < c.Lead.ClimbMargin) {
		climb = &c.Trail
	}
	if c.Trail.Rollover.Defined && (!c.Lead.Rollover.Defined || c.Trail.Rollover.Margin < c.Lead.Rollover.Margin) {
		rollover = &c.Trail
	}
	if c.Trail.Spreading > c.Lead.Spreading {
		spreading = &c.Trail
	}
	return
}
