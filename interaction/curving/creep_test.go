package curving

import (
	"errors"
	"math"
	"testing"
)

// Exact values of the cubic tau - tau²/3 + tau³/27.
func TestSaturate(t *testing.T) {
	for _, tt := range []struct{ tau, want float64 }{{0, 0}, {0.1, 0.096704}, {0.5, 0.421296}, {1, 19. / 27},
		{1.5, 0.875}, {2, 0.962963}, {2.5, 0.995370}, {3, 1}, {3.1, 1}, {1e9, 1}} {
		if got := Saturate(tt.tau); math.Abs(got-tt.want) > 6e-7 {
			t.Errorf("tau %g: %.7f, want %.6f", tt.tau, got, tt.want)
		}
		if tt.tau > 0 && math.Abs(saturated(tt.tau)*tt.tau-Saturate(tt.tau)) > 1e-15 {
			t.Errorf("tau %g: both forms differ", tt.tau)
		}
	}
	if s := saturated(1e-9); math.Abs(s-1) > 1e-9 {
		t.Errorf("slope at 0 is %g", s)
	}
}

// polach is the second law, a check only: Polach 1999 with both reduction factors 1,
// f = (2/pi)(eps/(1+eps²) + atan eps). Its eps is pi/4 of the linear force over friction
// when the linear part is to be the same.
func polach(tau float64) float64 {
	e := math.Pi / 4 * tau
	return 2 / math.Pi * (e/(1+e*e) + math.Atan(e))
}

func TestSecondLaw(t *testing.T) {
	for _, tt := range []struct{ eps, want float64 }{{0.1, 0.126483}, {0.5, 0.549815}, {1, 0.818310}, {1.5, 0.919491},
		{2, 0.959481}, {3, 0.986153}} {
		if got := polach(4 / math.Pi * tt.eps); math.Abs(got-tt.want) > 1e-6 {
			t.Errorf("eps %g: %.6f, want %.6f", tt.eps, got, tt.want)
		}
	}
	if slope := polach(1e-6) / 1e-6; math.Abs(slope-1) > 1e-6 {
		t.Errorf("slope at 0 is %g of the linear law's: 4/pi in eps", slope)
	}
	for tau := 0.01; tau < 20; tau *= 1.1 { // both are laws of the same thing
		if d := math.Abs(polach(tau) - Saturate(tau)); d > 0.085 {
			t.Errorf("tau %g: the laws differ by %.3f of friction", tau, d)
		}
	}
}

func TestKalkerNodes(t *testing.T) {
	for row := range kalkerTable {
		for col, nu := range []float64{0, 0.25, 0.5} {
			c, err := Kalker(tableRatio(row), nu)
			if err != nil {
				t.Fatal(err)
			}
			for j, got := range []float64{c.C11, c.C22, c.C23, c.C33} {
				if want := kalkerTable[row][j][col]; math.Abs(got/want-1) > 1e-12 {
					t.Errorf("a/b %g nu %g: coefficient %d is %g, want %g", tableRatio(row), nu, j, got, want)
				}
			}
		}
		c, err := Kalker(tableRatio(row), 0)
		if err != nil || c.C11 != c.C22 { // exact property of the law at nu = 0
			t.Errorf("row %d: C11 %g and C22 %g at nu = 0 (%v)", row, c.C11, c.C22, err)
		}
	}
}

// Limits of slender ellipses (Kalker 1967, from memory) at their formulas' own figures,
// and that the table's ends lie as near to them as they are known to.
func TestKalkerLimits(t *testing.T) {
	near := func(name string, got, want, by float64) {
		t.Helper()
		if math.Abs(got/want-1) > by {
			t.Errorf("%s: %.4g, want %.4g", name, got, want)
		}
	}
	for _, tt := range []struct{ nu, c11, c22, c33, l11, l22 float64 }{{0, 2.467, 2.467, 6.17, 10.38, 10.38},
		{0.25, 3.290, 2.467, 8.22, 11.28, 12.50}, {0.5, 4.935, 2.467, 12.3, 12.34, 15.71}} {
		s, l := slender(0.1, tt.nu), slender(10, tt.nu)
		near("C11 wide", s.C11, tt.c11, 1e-3)
		near("C22 wide", s.C22, tt.c22, 1e-3)
		near("C33 wide", s.C33, tt.c33, 4e-3)
		near("C11 long", l.C11, tt.l11, 1e-3)
		near("C22 long", l.C22, tt.l22, 1e-3)
		a, err := Kalker(0.1, tt.nu)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Kalker(10, tt.nu)
		if err != nil {
			t.Fatal(err)
		}
		near("table C11 wide", a.C11, s.C11, 0.03)
		near("table C22 wide", a.C22, s.C22, 0.03)
		near("table C23 wide", a.C23, s.C23, 0.11)
		near("table C11 long", b.C11, l.C11, 0.05)
		near("table C22 long", b.C22, l.C22, 0.035)
		near("table C23 long", b.C23, l.C23, 0.03)
		// Beyond the ends it goes on without a step.
		in, err1 := Kalker(0.1000001, tt.nu)
		out, err2 := Kalker(0.0999999, tt.nu)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		near("C23 across the end", out.C23, in.C23, 1e-5)
	}
	for _, bad := range [][2]float64{{0, 0.3}, {-1, 0.3}, {math.NaN(), 0.3}, {math.Inf(1), 0.3}, {1, -0.01},
		{1, 0.51}} {
		if _, err := Kalker(bad[0], bad[1]); !errors.Is(err, ErrInput) {
			t.Errorf("a/b %g nu %g taken", bad[0], bad[1])
		}
	}
}

// The slopes of a wheel's load are those of its load: against differences over all that
// they are taken by.
func TestSlopes(t *testing.T) {
	d := wheelNamed(t, "narrow flange 1:20")
	tab := american(t, d, worn(t, d, 1.1*inch, 3), "115RE")
	b := bend{curvature: 1 / radiusOf(6), top: [2]float64{0.5, 0.4}, face: [2]float64{0.25, 0.5}}
	const rate = 1e-3
	for _, u := range []float64{-8, -2, 0, 5, 11} {
		var s stand
		tab.stand(u, &b, &s)
		for _, x := range []pose{{psi: 1e-4, high: 1, low: 1}, {psi: 8e-3, slip: 2e-3, high: 1.2, low: 0.7, du: 1e-3,
			dpsi: 1e-6}, {psi: -3e-3, slip: -1e-3, high: 0.6, low: 1.5}} {
			for side := range 2 {
				tab.wheel(&s, side, &x, &b)
				by := tab.slopes(&s, side, &x, &b, rate)
				for _, tt := range []struct {
					name string
					got  load
					by   float64
					move func(p *pose, h float64)
				}{
					{"shift", by.shift, 1e-6, func(p *pose, h float64) { p.u += h; p.du += h * rate }},
					{"angle", by.angle, 1e-9, func(p *pose, h float64) { p.psi += h; p.dpsi += h * rate }},
					{"slip", by.slip, 1e-9, func(p *pose, h float64) { p.slip += h }},
					{"load", by.factor, 1e-6, func(p *pose, h float64) {
						if side == 0 {
							p.high += h
						} else {
							p.low += h
						}
					}},
				} {
					lo, hi := x, x
					tt.move(&lo, -tt.by)
					tt.move(&hi, tt.by)
					var before, behind stand
					tab.stand(u+lo.u, &b, &before)
					tab.stand(u+hi.u, &b, &behind)
					a, c := tab.wheel(&before, side, &lo, &b), tab.wheel(&behind, side, &hi, &b)
					for _, v := range [][2]float64{{tt.got.lateral, (c.lateral - a.lateral) / (2 * tt.by)},
						{tt.got.turn, (c.turn - a.turn) / (2 * tt.by)},
						{tt.got.torque, (c.torque - a.torque) / (2 * tt.by)},
						{tt.got.upright, (c.upright - a.upright) / (2 * tt.by)}} {
						if math.Abs(v[0]-v[1]) > 1e-4*(math.Abs(v[1])+1e3) {
							t.Errorf("shift %g, side %d, by %s: %.6g, by differences %.6g", u, side, tt.name, v[0],
								v[1])
						}
					}
				}
			}
		}
	}
}
