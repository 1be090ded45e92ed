package curving

import (
	"math"
	"testing"
)

// made is a table of plain figures instead of shapes: high and low wheel alike, given
// over the shift toward their own rail.
func made(half, load, radius float64, at func(u float64) []part) *Table {
	b := &builder{f: &Flank{load: load}}
	for i := -60; i <= 60; i++ {
		u := float64(i) * 0.5
		s := sample{shift: u, parts: at(u)}
		for _, p := range s.parts {
			s.angle += p.angle
		}
		b.rows = append(b.rows, s)
	}
	b.store()
	t := &Table{flank: [2]*Flank{b.f, b.f}, offset: [2]float64{begin, begin}, load: load, radius: radius, half: half}
	for side := range 2 {
		t.touch[side], t.peak[side], t.stop[side] = b.f.touch-begin, b.f.peak-begin, b.f.stop-begin
	}
	return t
}

// cone is a wheel of which only the radius changes: the contact lies flat, spin has no
// force, so that the equations are the textbook's.
func cone(half, load, radius, taper, f11, f22 float64) *Table {
	return made(half, load, radius, func(u float64) []part {
		return []part{{share: 1, radius: radius + taper*u, railY: half, c11: f11, c22: f22}}
	})
}

func linear(tau float64) float64 { return tau }

// textbook is a rigid truck on cones in a curve of so many degrees, linear law.
func textbook(t *testing.T, a, taper, f11, f22, degrees, moment float64) (lead, trail pose, ok bool) {
	t.Helper()
	const half, radius, load = 29.75 * inch, 18 * inch, 100e3
	p := &problem{room: &work{}, axles: 2, half: a, load: 2 * load, vertical: [2]float64{load, load}, turning: moment,
		bend: bend{top: [2]float64{1, 1}, face: [2]float64{1, 1}, law: linear}, curvature: 1 / radiusOf(degrees),
		damping: usualDamping}
	tab := cone(half, load, radius, taper, f11, f22)
	p.axle = [mostAxles]*Table{tab, tab}
	q, residual, ok := firstResidual(p)
	steady := state{way: math.Inf(1)}
	return p.pose(&q, 0, &steady), p.pose(&q, 1, &steady), ok && residual < Tolerance
}

// Closed forms of Newland 1968 and Boocock 1969 (derived from the equations; the
// figures computed from them by hand): a free axle runs at u = r0 s/(lambda R) at no
// angle; a rigid truck at (r0 s/(lambda R))(1 + (f22/f11)(a/s)²) = 0.37137 in for one
// degree, 36 in wheels, lambda 1/20, s 29.75 in, a 35 in, f22 = f11, with the attack
// ±a/R = 0.5091 mrad; a moment M adds M r0/(4 f11 s lambda).
func TestClosedForms(t *testing.T) {
	const f = 10e6
	free := 18.0 * 29.75 * inch * inch / (0.05 * radiusOf(1))
	tests := []struct {
		name, reason              string
		a, f22, degrees, moment   float64
		shift, attack, shiftExact float64
	}{
		{"free axle", "both axles in one place are one axle", 1e-3, f, 1, 0, 0.15577 * inch, 0, free},
		{"rigid truck, 1 degree", "the textbook's rigid truck", 35 * inch, f, 1, 0, 0.37137 * inch, 0.5091e-3,
			free * (1 + 35*35/(29.75*29.75))},
		{"rigid truck, 2 degrees", "all is in proportion to the curvature", 35 * inch, f, 2, 0, 2 * 0.37137 * inch,
			2 * 0.5091e-3, 2 * free * (1 + 35*35/(29.75*29.75))},
		{"stiffer across", "the truck's part grows with f22/f11", 35 * inch, 1.3 * f, 1, 0, 0, 0.5091e-3,
			free * (1 + 1.3*35*35/(29.75*29.75))},
		{"with a moment", "the moment is carried by 4 f11 s lambda u/r0", 35 * inch, f, 1, 1e6, 0, 0.5091e-3,
			free*(1+35*35/(29.75*29.75)) + 1e6*18*inch/(4*f*29.75*inch*0.05)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lead, trail, ok := textbook(t, tt.a, 0.05, f, tt.f22, tt.degrees, tt.moment)
			if !ok {
				t.Fatalf("not converged (%s)", tt.reason)
			}
			for _, x := range []pose{lead, trail} {
				if math.Abs(x.u/tt.shiftExact-1) > 2e-4 || tt.shift > 0 && math.Abs(x.u/tt.shift-1) > 3e-4 {
					t.Errorf("shift %.5f in, want %.5f (%s)", x.u/inch, tt.shiftExact/inch, tt.reason)
				}
			}
			if math.Abs(lead.psi-tt.attack) > 1e-7 || math.Abs(trail.psi+tt.attack) > 1e-7 {
				t.Errorf("attack %.5f and %.5f mrad, want ±%.5f (%s)", lead.psi*1e3, trail.psi*1e3, tt.attack*1e3,
					tt.reason)
			}
		})
	}
}

// Cylinders, fully sliding, f22 = f11, the trailing axle radial: low-rail L/V of the
// leading axle mu·2a/sqrt(s² + (2a)²) = 0.9203 mu for 70 in and 29.75 in, whatever the
// radius (from the equations).
func TestFullySlidingCylinders(t *testing.T) {
	const half, load = 29.75 * inch, 100e3
	tab := cone(half, load, 18*inch, 0, 1e12, 1e12)
	for _, mu := range []float64{0.3, 0.4, 0.5} {
		for _, degrees := range []float64{4, 8, 16} {
			k := 1 / radiusOf(degrees)
			x := pose{psi: 70 * inch * k, high: 1, low: 1}
			b := bend{curvature: k, top: [2]float64{mu, mu}, face: [2]float64{mu, mu}}
			var st stand
			tab.stand(0, &b, &st)
			loads := tab.axle(&st, &x, &b)
			f := sum(&loads, 0)
			p := &problem{room: &work{}, axle: [mostAxles]*Table{tab, tab}, axles: 2, bend: b}
			var w Wheel
			p.wheel(tab, &st, 1, &x, &w, &sideSum{})
			if math.Abs(w.LV/mu-0.9203) > 5e-5 {
				t.Errorf("mu %g, %g degrees: L/V %.5f mu, want 0.9203", mu, degrees, w.LV/mu)
			}
			if math.Abs(f.torque) > 1e-6*load {
				t.Errorf("torque %g N of wheels that slide alike", f.torque)
			}
		}
	}
}

// At balance speed (49 CFR 213.57 in its exact form) nothing pushes the car to either
// side: the lateral forces of all wheels add up to nothing.
func TestBalanceSpeed(t *testing.T) {
	d := wheelNamed(t, "narrow flange 1:20")
	truck := freight(american(t, d, d, "115RE"))
	c := Curve{Radius: radiusOf(6), Speed: 25 * 0.44704}
	c.Elevation = c.Speed * c.Speed / (c.Radius / 1000 * gravity) * 2 * truck.Lead.half
	if e := c.Elevation / inch; math.Abs(e-2.625) > 0.05 { // 0.0007 D V² takes 60 in for the spacing
		t.Errorf("elevation of balance %.3f in, the rule of thumb says 2.625", e)
	}
	for _, tt := range []struct {
		name, reason string
		speed, want  float64
	}{
		{"at balance", "no net force", c.Speed, 0},
		{"below", "the car leans on the low rail: net force inward", c.Speed / 2, -1},
		{"above", "and on the high one", c.Speed * 1.5, 1},
	} {
		c.Speed = tt.speed
		s, err := Solve(truck, c, Same(0.4))
		if err != nil || !s.Converged {
			t.Fatalf("%s: %v %s", tt.name, err, s.Reason)
		}
		net := s.Lead.High.L + s.Trail.High.L - s.Lead.Low.L - s.Trail.Low.L
		if math.Abs(net-2*s.Unbalance*truck.AxleLoad) > 1e-5*truck.AxleLoad || tt.want == 0 &&
			math.Abs(net) > 1e-5*truck.AxleLoad || net*tt.want < 0 {
			t.Errorf("%s: net lateral force %.3g N, unbalance %.3g (%s)", tt.name, net, s.Unbalance, tt.reason)
		}
	}
}
