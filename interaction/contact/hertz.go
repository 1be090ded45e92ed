package contact

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ErrConformal says that the shapes fit into each other at the contact, so that a
// small ellipse of contact (Hertz 1881) is no model of it.
var ErrConformal = errors.New("the shapes fit into each other: no ellipse of contact")

// Material is the elastic pair: E in N/mm², nu without a unit, the same for both.
type Material struct{ E, Nu float64 }

// Steel is the usual pair of figures for wheel and rail steel, 210 000 N/mm² and 0.3
// (common practice).
var Steel = Material{E: 210e3, Nu: 0.3}

// Modulus is the contact modulus E/(2(1-nu²)) of two like bodies, N/mm².
func (m Material) Modulus() float64 { return m.E / (2 * (1 - m.Nu*m.Nu)) }

// Ellipse is a contact after Hertz: semi-axes along the rail (A) and across it (B) in
// mm, greatest pressure P0 in N/mm², approach of the bodies in mm.
type Ellipse struct{ A, B, P0, Approach float64 }

// Hertz finds the ellipse of contact of two bodies pressed together by load (N, > 0),
// k1 and k2 the sums of their curvatures along the rail and across it (1/mm, both
// > 0, else ErrConformal). Formulas: Hertz 1881 in the form of the complete elliptic
// integrals, as in Johnson, Contact Mechanics, section 4.2 (from memory). The ratio of
// the axes is found to 1e-12; curvature ratios up to 1e8 are taken.
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
	sum := (k1 + k2) / 2
	unit := math.Cbrt(3 * load / (4 * m.Modulus() * sum))
	long := unit * math.Cbrt(2*ee/(math.Pi*g*g))
	short := long * g
	el := Ellipse{A: long, B: short, P0: 3 * load / (2 * math.Pi * long * short)}
	if k1 > k2 { // the long axis lies along the smaller curvature
		el.A, el.B = short, long
	}
	mod := m.Modulus()
	el.Approach = 2 * kk / math.Pi * math.Cbrt(math.Pi*g*g/(2*ee)) * math.Cbrt(9*load*load*sum/(16*mod*mod))
	return el, nil
}

// axisRatio solves A/B = (K-E)/(E/g²-K) for g = b/a, the parameter of the integrals
// being 1-g², and gives K and E there. q in (0,1].
func axisRatio(q float64) (g, kk, ee float64) {
	if q > 1-1e-9 {
		return 1, math.Pi / 2, math.Pi / 2
	}
	// g = q^0.636 is right to a few percent (a common approximation); secant steps
	// on log g against log q, which is nearly straight, do the rest.
	target := math.Log(q)
	f := func(x float64) float64 {
		g = math.Exp(x)
		m := 1 - g*g
		kk, ee = mathext.CompleteK(m), mathext.CompleteE(m)
		// K - E = m*D and E - g²K = m*B without cancellation, as g goes to 1.
		d := mathext.CompleteD(m)
		b := mathext.CompleteB(m)
		return math.Log(d*g*g/b) - target
	}
	x0 := 0.636 * target
	f0 := f(x0)
	x1 := x0 - 0.64*f0
	for range 30 {
		f1 := f(x1)
		if math.Abs(f1) < 1e-13 || f1 == f0 {
			break
		}
		x2 := x1 - f1*(x1-x0)/(f1-f0)
		if !(x2 < 0) {
			x2 = x1 / 2
		}
		x0, f0, x1 = x1, f1, x2
		if math.Abs(x1-x0) < 1e-13 {
			f(x1)
			break
		}
	}
	return g, kk, ee
}

// Press is Hertz at a contact of a wheel of which the vertical force is load (N): the
// force across the surface is load over the cosine of the contact angle (no friction),
// the curvature along the rail that of the rolling circle seen along the normal.
func (sp Spot) Press(load float64, m Material) (Ellipse, error) {
	c := math.Cos(sp.Angle)
	if !(sp.Radius > 0) || !(c > 0) {
		return Ellipse{}, fmt.Errorf("%w: radius %g mm, angle %g rad", ErrInput, sp.Radius, sp.Angle)
	}
	return Hertz(load/c, c/sp.Radius, sp.KWheel+sp.KRail, m)
}
