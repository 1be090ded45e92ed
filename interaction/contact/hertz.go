package contact

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ErrConformal says that the shapes fit into each other at the contact, so that a small ellipse of contact (Hertz 1881)
// is no model of it.
var ErrConformal = errors.New("the shapes fit into each other: no ellipse of contact")

// Material is the elastic pair: E in N/mm², nu without a unit, the same for both.
type Material struct{ E, Nu float64 }

// Steel is the usual pair of figures for wheel and rail steel, 210 000 N/mm² and 0.3 (common practice).
var Steel = Material{E: 210e3, Nu: 0.3}

// Modulus is the contact modulus E/(2(1-nu²)) of two like bodies, N/mm².
func (m Material) Modulus() float64 { return m.E / (2 * (1 - m.Nu*m.Nu)) }

// Ellipse is a contact after Hertz: semi-axes along the rail (A) and across it (B) in mm, greatest pressure P0 in
// N/mm², approach of the bodies in mm.
type Ellipse struct{ A, B, P0, Approach float64 }

// Hertz finds the ellipse of contact of two bodies pressed together by load (N, > 0), k1 and k2 the sums of their
// curvatures along the rail and across it (1/mm, both > 0, else ErrConformal). Formulas: Hertz 1881 in the form of the
// complete elliptic integrals, as in Johnson, Contact Mechanics, section 4.2 (from memory). The ratio of the axes is
// found to 1e-12; curvature ratios up to 1e8 are taken.
func Hertz(load, k1, k2 float64, m Material) (Ellipse, error) {
	if !(load > 0) || math.IsInf(load, 0) || !(m.E > 0) || !(m.Nu >= 0 && m.Nu <= 0.5) {
		return Ellipse{}, fmt.Errorf("%w: load %g N, E %g, nu %g", ErrInput, load, m.E, m.Nu)
	}
	if !(k1 > 0) || !(k2 > 0) || math.IsInf(k1+k2, 0) {
		return Ellipse{}, fmt.Errorf("%w (curvatures %.3g and %.3g per mm)", ErrConformal, k1, k2)
	}
	ratio := math.Min(k1, k2) / math.Max(k1, k2) // A/B of the relative curvatures
	if ratio < 1e-8 {
		return Ellipse{}, fmt.Errorf("%w (curvatures %.3g and %.3g per mm)", ErrConformal, k1, k2)
	}
	g, kk, ee := axisRatio(ratio)
	sum, mod := (k1+k2)/2, m.Modulus()
	f := 2 * ee / (math.Pi * g * g)
	long := math.Cbrt(3 * load / (4 * mod * sum) * f)
	short := long * g
	el := Ellipse{A: long, B: short, P0: 3 * load / (2 * math.Pi * long * short)}
	if k1 > k2 { // the long axis lies along the smaller curvature
		el.A, el.B = short, long
	}
	el.Approach = 2 * kk / math.Pi * math.Cbrt(9*load*load*sum/(16*mod*mod)/f)
	return el, nil
}

// axisRatio solves A/B = (K-E)/(E/g²-K) for g = b/a, the parameter of the integrals being m = 1-g², and gives K and E
// there. q in (0,1].
//
// With the associate integrals B and D (K = B+D, E = B+g²D) the right side is g²D/B, free of cancellation. Newton on
// log g against log q, which is nearly straight.
func axisRatio(q float64) (g, kk, ee float64) {
	if q > 1-1e-9 {
		return 1, math.Pi / 2, math.Pi / 2
	}
	target := math.Log(q)
	x := 0.636 * target // right to a few percent: a common approximation
	if target > -5.29 { // own fit, right to 1.5e-5 in log g
		x = target * (0.6666642986 + target*(-3.507091e-5+target*(-3.16636684e-3+target*(-4.4308152e-5+
			target*(1.4766766e-4+target*(2.6394535e-5+target*1.4819718e-6))))))
	}
	for range 20 {
		g = math.Exp(x)
		m1 := g * g
		m := 1 - m1
		b, d := mathext.CompleteB(m), mathext.CompleteD(m)
		bend := math.Pi / 16 // (D-B)/m
		if m > 1e-4 {
			bend = (d - b) / m
		}
		slope := 2 - 2*m1*((b/(2*m1)-bend/2)/d-bend/(2*b))
		step := (math.Log(m1*d/b) - target) / slope
		x -= step
		if x >= 0 {
			x = -1e-12
		}
		// the next one would be under 1e-9; the rest of the step by the integrals' own slopes
		if math.Abs(step) < 1e-4 {
			to := math.Exp(x)
			dm := m1 - to*to
			return to, b + d + dm*b/(2*m1), b + m1*d - dm*d/2
		}
		kk, ee = b+d, b+m1*d
	}
	return g, kk, ee
}

// Press is Hertz at a contact of a wheel of which the vertical force is load (N): the force across the surface is load
// over the cosine of the contact angle (no friction), the curvature along the rail that of the rolling circle seen
// along the normal.
func (sp Spot) Press(load float64, m Material) (Ellipse, error) {
	c := math.Cos(sp.Angle)
	if !(sp.Radius > 0) || !(c > 0) {
		return Ellipse{}, fmt.Errorf("%w: radius %g mm, angle %g rad", ErrInput, sp.Radius, sp.Angle)
	}
	return Hertz(load/c, c/sp.Radius, sp.KWheel+sp.KRail, m)
}
