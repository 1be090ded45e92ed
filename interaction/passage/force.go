package passage

import (
	"fmt"
	"math"
)

// Support is the track under one wheel: equivalent mass kg, damping N s/m, stiffness N/m.
type Support struct{ Mass, Damping, Stiffness float64 }

// check refuses what gives no force.
func (s Support) check(unsprung float64) error {
	for _, v := range []struct {
		what      string
		v, lo, hi float64
	}{{"track mass in kg", s.Mass, 0, 1e4}, {"track damping in N s/m", s.Damping, 0, 1e7},
		{"track stiffness in N/m", s.Stiffness, 1e5, 1e10}, {"unsprung mass in kg", unsprung, 10, 1e5}} {
		if !(v.v >= v.lo && v.v <= v.hi) {
			return fmt.Errorf("%w: %s %g (%g to %g)", ErrInput, v.what, v.v, v.lo, v.hi)
		}
	}
	if c := s.factorC(unsprung); !(c > 0) {
		return fmt.Errorf("%w: damping %g N s/m: the formula's factor C is %.3f and must be positive", ErrInput,
			s.Damping, c)
	}
	return nil
}

func (s Support) factorM(unsprung float64) float64 { return math.Sqrt(unsprung / (unsprung + s.Mass)) }

func (s Support) factorC(unsprung float64) float64 {
	return 1 - math.Pi*s.Damping/(4*math.Sqrt(s.Stiffness*(unsprung+s.Mass)))
}

// Impedance is M*C*K of the P2 formula in N s/m: the added force per angle (rad) and speed (m/s) of an unsprung mass in
// kg,
//
//	M = sqrt(mu/(mu+mt)), C = 1 - pi ct/(4 sqrt(kt (mu+mt))), K = sqrt(kt mu).
//
// Source: Jenkins, Stephenson, Clayton, Morland and Lyon, Railway Engineering Journal 1974; GM/TT0088 issue 1 rev A
// section 6 (both from memory). It errs outside 10 to 1e5 kg, 1e5 to 1e10 N/m and if C is not positive.
func (s Support) Impedance(unsprung float64) (float64, error) {
	if err := s.check(unsprung); err != nil {
		return 0, err
	}
	return s.factorM(unsprung) * s.factorC(unsprung) * math.Sqrt(s.Stiffness*unsprung), nil
}

// speedLimit is the greatest speed taken, m/s, and angleLimit the greatest dip angle, rad.
const (
	speedLimit = 100.0
	angleLimit = 1.5
)

// P2 is the greatest vertical force in N of a wheel with the static load (N) at a dip of the whole angle (rad, 0 to
// 1.5) at a speed (m/s, 0 to 100): static + angle * speed * Impedance.
func P2(static, angle, speed, unsprung float64, s Support) (float64, error) {
	z, err := s.Impedance(unsprung)
	if err != nil {
		return 0, err
	}
	if !(static >= 0 && static <= 1e7) || !(angle >= 0 && angle <= angleLimit) || !(speed >= 0 && speed <= speedLimit) {
		return 0, fmt.Errorf("%w: load %g N, dip %g rad, speed %g m/s", ErrInput, static, angle, speed)
	}
	return static + angle*speed*z, nil
}

// P1 is the short peak at a dip in N, for information only: static + angle * speed * sqrt(KH me/(1 + me/mu)) with the
// contact stiffness KH (N/m) and the effective rail mass me (kg). Source and ranges as for P2.
func P1(static, angle, speed, unsprung, contactStiffness, railMass float64) (float64, error) {
	if !(static >= 0) || !(angle >= 0 && angle <= angleLimit) || !(speed >= 0 && speed <= speedLimit) ||
		!(unsprung > 0) || !(contactStiffness > 0) || !(railMass > 0) {
		return 0, fmt.Errorf("%w: P1 of %g N, %g rad, %g m/s, %g kg, %g N/m, %g kg", ErrInput, static, angle, speed,
			unsprung, contactStiffness, railMass)
	}
	return static + angle*speed*math.Sqrt(contactStiffness*railMass/(1+railMass/unsprung)), nil
}

// StepAngle is the angle in rad at which a wheel of the radius meets a step of the height (both mm): acos((R-e)/R). The
// height must be from 0 to R.
func StepAngle(radius, height float64) (float64, error) {
	if !(radius > 0 && height >= 0 && height <= radius) {
		return 0, fmt.Errorf("%w: a step of %g mm under a radius of %g mm", ErrInput, height, radius)
	}
	return math.Acos((radius - height) / radius), nil
}

// RampAngle is the angle in rad of a ramp 1:n, 1/n for n from 1 to 1000.
func RampAngle(n float64) (float64, error) {
	if !(n >= 1 && n <= 1000) {
		return 0, fmt.Errorf("%w: a ramp 1:%g", ErrInput, n)
	}
	return 1 / n, nil
}

// StrikeForce is the added force in N of a wheel that meets an angle (rad) and is lifted by a rise (mm): min(angle *
// speed * Impedance, stiffness * rise), because the track's spring cannot be pressed in by more than the rise. The cap
// is the project's own reasoning.
func StrikeForce(angle, rise, speed, unsprung float64, s Support) (float64, error) {
	f, err := P2(0, angle, speed, unsprung, s)
	if err != nil {
		return 0, err
	}
	if !(rise >= 0 && rise <= 200) {
		return 0, fmt.Errorf("%w: a rise of %g mm", ErrInput, rise)
	}
	return math.Min(f, s.Stiffness*rise/1000), nil
}

// SpeedAt is the speed in m/s at which P2 reaches the bound (N); ok is false if it never does.
func SpeedAt(bound, static, angle, unsprung float64, s Support) (speed float64, ok bool, err error) {
	z, err := s.Impedance(unsprung)
	if err != nil {
		return 0, false, err
	}
	if !(bound >= 0 && static >= 0) {
		return 0, false, fmt.Errorf("%w: bound %g N, load %g N", ErrInput, bound, static)
	}
	if static >= bound {
		return 0, true, nil
	}
	if !(angle > 0) {
		return 0, false, nil
	}
	return (bound - static) / (angle * z), true, nil
}

// GapDrop is how far a wheel of the radius drops into a gap it bridges (both in one unit of length) and the whole angle
// in rad by which its path turns at the far edge: R - sqrt(R^2 - g^2/4) and 2 asin(g/(2R)). It errs for gaps from 2R;
// it is for crossing diamonds, not for turnout frogs, where the tread stays on the wing.
func GapDrop(radius, gap float64) (drop, angle float64, err error) {
	if !(radius > 0 && gap >= 0 && gap < 2*radius) {
		return 0, 0, fmt.Errorf("%w: a gap of %g under a radius of %g", ErrInput, gap, radius)
	}
	return radius - math.Sqrt(radius*radius-gap*gap/4), 2 * math.Asin(gap/(2*radius)), nil
}

// JointDip is the whole dip angle in rad of a symmetric joint that is low by the depth in the middle of a straight edge
// (one unit of length): 4 depth/length.
func JointDip(depth, length float64) (float64, error) {
	if !(depth >= 0 && length > 0 && depth < length/4) {
		return 0, fmt.Errorf("%w: a dip of %g on %g", ErrInput, depth, length)
	}
	return 4 * depth / length, nil
}

// WingDrop is how far a coned tread sinks on a wing without risers where the point is w wide, against a flange height
// read at the tape line: taper*(fw + w - tape), with the tape line's distance from the flange face, all in one unit of
// length.
func WingDrop(taper, flangeway, w, tape float64) float64 { return taper * (flangeway + w - tape) }
