package curving

import (
	"math"
	"testing"
)

// slippery is an axle of the same shape whose wheels have no creep force.
func slippery(t *Table) *Table {
	n := *t
	for side, f := range t.flank {
		g := *f
		g.parts = append([]part{}, f.parts...)
		for i := range g.parts {
			p := &g.parts[i]
			p.c11, p.c22, p.c23 = 1e-9, 1e-9, 1e-9
		}
		n.flank[side] = &g
	}
	return &n
}

// A middle axle without friction is none: the truck runs as one of two axles at the ends of its wheelbase. At
// balance speed, because off it the ends carry the middle axle's share of what pushes to a side.
func TestMiddleAxleWithoutFriction(t *testing.T) {
	t.Parallel()
	d := wheelNamed(t, "narrow flange 1:20")
	for _, tt := range []struct {
		name, reason  string
		hollow        float64
		degrees, turn float64
	}{
		{"new, gentle", "no flange bears", 0, 1, 0},
		{"new, sharp", "the lead flange bears", 0, 10, 0},
		{"new, with a moment", "the middle axle takes none of it", 0, 6, 24e6},
		{"hollow", "several states", 3, 6, 0},
	} {
		w := d
		if tt.hollow > 0 {
			w = worn(t, d, 0, tt.hollow)
		}
		two := freight(american(t, w, w, "115RE"))
		two.Wheelbase, two.TurningMoment = 158*inch, tt.turn
		three := two
		three.Middle, three.Clearance = slippery(two.Lead), 3*inch // never at its stop
		c := Curve{Radius: radiusOf(tt.degrees)}
		a, b := solved(t, two, c, Same(0.4)), solved(t, three, c, Same(0.4))
		for i, x := range [][2]Axle{{a.Lead, b.Lead}, {a.Trail, b.Trail}} {
			if math.Abs(x[0].Attack-x[1].Attack) > 2e-5 || math.Abs(x[0].Shift-x[1].Shift) > 0.02 ||
				math.Abs(x[0].High.LV-x[1].High.LV) > 2e-3 || math.Abs(x[0].Low.LV-x[1].Low.LV) > 2e-3 {
				t.Errorf("%s: axle %d: attack %.4f and %.4f mrad, shift %.3f and %.3f mm, L/V %.4f %.4f and %.4f "+
					"%.4f (%s)",
					tt.name, i, x[0].Attack*1e3, x[1].Attack*1e3, x[0].Shift, x[1].Shift, x[0].High.LV, x[0].Low.LV,
					x[1].High.LV, x[1].Low.LV, tt.reason)
			}
		}
		if l := math.Abs(b.Middle.High.L - b.Middle.Low.L); l > 1e-3*three.AxleLoad {
			t.Errorf("%s: the free middle axle carries %.0f N to a side", tt.name, l)
		}
	}
}

// on is a problem of three axles on cones or cylinders.
func on(tab *Table, half, degrees, clearance float64) *problem {
	return &problem{room: &work{}, axle: [mostAxles]*Table{tab, tab, tab}, axles: mostAxles, half: half,
		clearance: clearance,
		load:      2 * tab.load, vertical: [2]float64{tab.load, tab.load},
		bend:      bend{top: [2]float64{1, 1}, face: [2]float64{1, 1}, law: linear},
		curvature: 1 / radiusOf(degrees), damping: usualDamping}
}

// onlyState is the one state of a truck of plain figures. From the middle of the track nothing may push it, so
// that a start from there need not come to it.
func onlyState(t *testing.T, p *problem, name string) vector {
	t.Helper()
	found, _, _ := p.solve()
	if len(found) != 1 || found[0].residual > Tolerance {
		t.Fatalf("%s: %d states", name, len(found))
	}
	return found[0].q
}

// Cones, linear law, the middle axle free: it stands where the frame carries it, radial. From the equations: sum of
// the laterals gives no yaw, the moments 6 f11 s (lambda u/r0 - s/R) = 4 f22 a²/R, u the mean shift of the axles, so
// u = (r0 s/(lambda R))(1 + (2/3)(f22/f11)(a/s)²); each axle stands at u + (x² - (2/3) a²)/(2R). With f22 of nothing
// each axle stands where it would alone, but for the arc.
func TestThreeAxlesOnCones(t *testing.T) {
	t.Parallel()
	const half, radius, taper, f, a = 29.75 * inch, 18 * inch, 0.05, 10e6, 79 * inch
	free := radius * half / (taper * radiusOf(0.5))
	for _, tt := range []struct {
		name, reason string
		across       float64
		degrees      float64
	}{
		{"f22 as f11", "the ends' yaw is carried by all three", 1, 0.5},
		{"stiffer across", "its part grows with f22", 1.3, 0.5},
		{"half as sharp", "all is in proportion", 1, 0.25},
		{"slides across", "each axle at its radial shift", 0.01, 0.5},
	} {
		tab := cone(half, 100e3, radius, taper, f, tt.across*f)
		p := on(tab, a, tt.degrees, inch)
		q := onlyState(t, p, tt.name)
		k := 1 / radiusOf(tt.degrees)
		mean := free * tt.degrees / 0.5 * (1 + 2.0/3*tt.across*a*a/(half*half))
		steady := state{way: math.Inf(1)}
		for i := range mostAxles {
			x := p.place(i)
			got := p.pose(&q, i, &steady)
			want := mean + (x*x-2.0/3*a*a)*k/2
			if i == 1 { // free: only what draws it back ties it to the frame
				want = mean - 2.0/3*a*a*k/2
			}
			if math.Abs(got.u-want) > 2e-3*math.Abs(mean)+0.01 || math.Abs(got.psi-x*k) > 1e-6 {
				t.Errorf("%s: axle %d at %.4f mm and %.5f mrad, want %.4f and %.5f (%s)", tt.name, i, got.u,
					got.psi*1e3,
					want, x*k*1e3, tt.reason)
			}
		}
	}
}

// Cylinders that slide everywhere: no axle steers, and the frame turns about the point of its middle line at which
// the attack is nothing. Friction mu P of a wheel at x before the middle points against (s, x - p), so with the flange
// force F of the lead axle F = sum of 2 mu P (x-p)/h and F a = sum of 2 mu P (s² + x(x-p))/h, h² = s² + (x-p)². p is
// found here by halving. A middle axle at its stop in the frame is in both sums; one that the rail stops is not in
// the first.
func TestThreeAxlesThatSlide(t *testing.T) {
	t.Parallel()
	const half, load, mu, a, flange = 29.75 * inch, 100e3, 0.4, 79 * inch, 8.0
	for _, tt := range []struct {
		name, reason string
		clearance    float64
		carried      bool // by the frame
	}{
		{"no clearance", "the frame carries the middle axle along", 0, true},
		{"3 in", "the rail stops it before the frame does", 3 * inch, false},
	} {
		for _, degrees := range []float64{4, 8} {
			tab := cone(half, load, 18*inch, 0, 1e12, 1e12)
			tab.stop = [2]float64{flange, math.Inf(1)}
			p := on(tab, a, degrees, tt.clearance)
			p.bend = bend{top: [2]float64{mu, mu}, face: [2]float64{mu, mu}}
			q := onlyState(t, p, tt.name)
			// rest is what is left of the moments about the lead axle with the pole at x = at.
			rest := func(at float64) (sum float64) {
				for i, x := range [mostAxles]float64{a, 0, -a} {
					h := math.Hypot(half, x-at)
					sum += 2 * mu * load * half * half / h
					if i != 1 || tt.carried {
						sum -= 2 * mu * load * (a - x) * (x - at) / h
					}
				}
				return sum
			}
			lo, hi := -4*a, a
			for range 100 {
				if mid := (lo + hi) / 2; rest(mid)*rest(lo) > 0 {
					lo = mid
				} else {
					hi = mid
				}
			}
			steady := state{way: math.Inf(1)}
			k := 1 / radiusOf(degrees)
			for i, x := range [mostAxles]float64{a, 0, -a} {
				if got, want := p.pose(&q, i, &steady).psi, (x-lo)*k; math.Abs(got/want-1) > 2e-3 {
					t.Errorf("%s, %g degrees: axle %d attacks at %.4f mrad, want %.4f: pole %.1f in (%s)", tt.name,
						degrees,
						i, got*1e3, want*1e3, lo/inch, tt.reason)
				}
			}
		}
	}
}
