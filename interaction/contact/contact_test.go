package contact

import (
	"errors"
	"math"
	"testing"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// The table and the conicities below were computed by an independent second program
// with its own rigid contact (table step 0.25 mm, rail grid 0.01 mm). They are no
// published values; those usually quoted are about 0.17 to 0.18 for 1:40 and 0.01 for
// 1:20 at 1435 mm.
func TestDifferenceAgainstSecondProgram(t *testing.T) {
	tests := []struct {
		name, reason                    string
		cant, shift, rrd, nearY, farY   float64
		nearTolerance, farTolerance, by float64
	}{
		{"1:40 at 1", "after the jump of the tread contact", 40, 1, 0.610, -9.00, 6.46, 0.05, 0.05, 0.01},
		{"1:40 at 2", "smooth stretch", 40, 2, 0.768, -10.71, 8.62, 0.05, 0.05, 0.01},
		{"1:40 at 3", "the usual amplitude", 40, 3, 0.943, -12.56, 10.31, 0.05, 0.05, 0.01},
		{"1:40 at 4", "smooth stretch", 40, 4, 1.157, -14.64, 11.72, 0.05, 0.05, 0.01},
		{"1:40 at 5", "just before the throat", 40, 5, 1.458, -17.23, 12.95, 0.05, 0.05, 0.01},
		{"1:40 at 6", "in the throat", 40, 6, 4.279, -30.29, 14.07, 0.05, 0.05, 0.03},
		{"1:20 at 1", "nearly no difference", 20, 1, 0.018, 12.27, 14.31, 0.05, 0.05, 0.005},
		{"1:20 at 3", "nearly no difference", 20, 3, 0.057, 10.11, 16.25, 0.05, 0.05, 0.005},
		{"1:20 at 5", "nearly no difference", 20, 5, 0.105, 7.85, 18.08, 0.05, 0.05, 0.005},
		{"1:20 at 6", "last row before the flange", 20, 6, 0.141, 6.27, 18.97, 0.05, 0.05, 0.005},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			st, err := solver(t, axle(t, 1435, tt.cant)).At(tt.shift)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(st.RRD-tt.rrd) > tt.by {
				t.Errorf("RRD %.4f, want %.3f (%s)", st.RRD, tt.rrd, tt.reason)
			}
			if math.Abs(st.Near.Y-tt.nearY) > tt.nearTolerance || math.Abs(st.Far.Y-tt.farY) > tt.farTolerance {
				t.Errorf("contact at %.3f and %.3f, want %.2f and %.2f", st.Near.Y, st.Far.Y, tt.nearY, tt.farY)
			}
		})
	}
}

func TestConicityAgainstSecondProgram(t *testing.T) {
	tests := []struct {
		name, reason                          string
		gauge, amp, harmonic, integration, by float64
	}{
		{"1435 at 2 mm", "given by the second program", 1435, 2, 0.2224, 0.2196, 0.005},
		{"1435 at 3 mm", "the usual amplitude", 1435, 3, 0.1764, 0.1748, 0.005},
		{"1432 at 3 mm", "only right where the jump is resolved: 0.2163 and 0.2161 at a step of 0.05 mm", 1432, 3,
			0.2163, 0.2161, 0.002},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d, err := solver(t, axle(t, tt.gauge, 40)).Difference(-4, 4, 0.05)
			if err != nil {
				t.Fatal(err)
			}
			h, err := d.Harmonic(tt.amp)
			if err != nil {
				t.Fatal(err)
			}
			i, err := d.Integration(tt.amp)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(h-tt.harmonic) > tt.by || math.Abs(i-tt.integration) > tt.by {
				t.Errorf("%.4f and %.4f, want %.4f and %.4f (%s)", h, i, tt.harmonic, tt.integration, tt.reason)
			}
		})
	}
}

// A cone on a knife edge has its own taper as conicity by definition, whatever the
// amplitude and the diameters.
func TestConeOnKnifeEdgeIsExact(t *testing.T) {
	tests := []struct {
		name, reason string
		taper, step  float64
	}{
		{"1:40", "the shallow tread", 1. / 40, 0},
		{"1:20", "the freight tread", 1. / 20, 0},
		{"1:40 with unequal wheels", "0.2 mm of radius moves the centre by 4 mm and changes nothing else", 1. / 40,
			0.4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, err := wheelshape.Cone(tt.taper)
			if err != nil {
				t.Fatal(err)
			}
			k := trackshape.KnifeEdge()
			s := solver(t, Axle{Near: c, Far: c, NearDiameter: 920 - tt.step, FarDiameter: 920, BackToBack: 1360,
				NearRail: k, FarRail: k, Gauge: 1435, GaugeHeight: 14})
			d, err := s.Difference(-12, 12, 0.05)
			if err != nil {
				t.Fatal(err)
			}
			c0, err := d.Centre()
			if err != nil {
				t.Fatal(err)
			}
			if want := tt.step / 2 / (2 * tt.taper); math.Abs(c0-want) > 1e-3 {
				t.Errorf("centre %.5f, want %.5f (%s)", c0, want, tt.reason)
			}
			for _, amp := range []float64{0.5, 1, 3, 6} {
				for name, f := range map[string]func(float64) (float64, error){"harmonic": d.Harmonic,
					"integration": d.Integration, "regression": d.Regression} {
					g, err := f(amp)
					if err != nil {
						t.Fatal(err)
					}
					if math.Abs(g-tt.taper) > 1e-6 {
						t.Errorf("%s at %g mm: %.8f, want %.8f (%s)", name, amp, g, tt.taper, tt.reason)
					}
				}
			}
			st, err := s.At(3)
			if err != nil {
				t.Fatal(err)
			}
			if want := 2*tt.taper*3 - tt.step/2; math.Abs(st.RRD-want) > 1e-5 {
				t.Errorf("RRD %.7f, want %.7f", st.RRD, want)
			}
		})
	}
}

// On a crowned rail the contact walks over the crown: lambda/(1-lambda'*...) — the
// value 0.0510 is that of the second program for 1:20 on 60E1 at 1:40.
func TestConeOnCrownedRail(t *testing.T) {
	a := axle(t, 1435, 40)
	c, err := wheelshape.Cone(0.05)
	if err != nil {
		t.Fatal(err)
	}
	a.Near, a.Far = c, c
	d, err := solver(t, a).Difference(-4, 4, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	g, err := d.Harmonic(3)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(g-0.0510) > 5e-5 {
		t.Errorf("%.5f, want 0.0510", g)
	}
}

// The mirrored axle, shifted the other way, gives the mirrored result.
func TestMirroredAxle(t *testing.T) {
	a := axle(t, 1435, 40)
	a.Far = shape(t, "narrow flange 1:20")
	a.FarDiameter = 918.5
	a.FarRail = railHead(t, "136RE")
	b := a
	b.Near, b.Far, b.NearDiameter, b.FarDiameter, b.NearRail, b.FarRail = a.Far, a.Near, a.FarDiameter, a.NearDiameter,
		a.FarRail, a.NearRail
	s, m := solver(t, a), solver(t, b)
	for u := -3.0; u <= 3; u += 0.37 {
		p, err := s.At(u)
		if err != nil {
			t.Fatal(err)
		}
		q, err := m.At(-u)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(p.RRD+q.RRD) > 1e-6 || math.Abs(p.Near.Y-q.Far.Y) > 1e-4 ||
			math.Abs(p.Far.Angle-q.Near.Angle) > 1e-6 || math.Abs(p.Roll+q.Roll) > 1e-8 {
			t.Errorf("at %.2f: %+v against %+v", u, p, q)
		}
	}
}

// A search of every wheel vertex over the rail, without bins or starts from the last
// place, must not find anything nearer, nor may the gaps of both sides differ.
func TestNothingIsNearer(t *testing.T) {
	for _, name := range []string{"S1002", "narrow flange 1:20"} {
		a := axle(t, 1435, 40)
		a.Near = shape(t, name)
		a.Far = a.Near
		a.FarDiameter = 921
		s := solver(t, a)
		for u := -9.0; u <= 9; u += 0.83 {
			st, err := s.At(u)
			if err != nil {
				t.Fatal(err)
			}
			rot := turn(st.Roll)
			var gaps []float64
			for _, sd := range []*side{&s.near, &s.far} {
				sp := st.Near
				if sd == &s.far {
					sp = st.Far
				}
				g0, _, _ := sd.place(sp.Y, u, rot)
				gaps = append(gaps, g0)
				for i := 0; i+1 < len(sd.wheel.Y); i++ {
					for _, f := range []float64{0, 0.5} {
						y := sd.wheel.Y[i] + f*(sd.wheel.Y[i+1]-sd.wheel.Y[i])
						if g, _, out := sd.place(y, u, rot); !out && g < g0-1e-5 {
							t.Fatalf("%s at %.2f: gap %.6f at %.3f, found %.6f at %.3f", name, u, g, y, g0, sp.Y)
						}
					}
				}
			}
			if math.Abs(gaps[0]-gaps[1]) > 1e-5 {
				t.Errorf("%s at %.2f: roll not solved, gaps %.7f and %.7f", name, u, gaps[0], gaps[1])
			}
		}
	}
}

// Play by its definition: the angle at it is the limit, just below it is less.
func TestPlay(t *testing.T) {
	tests := []struct {
		name, reason string
		gauge        float64
	}{
		{"1435", "standard gauge", 1435}, {"1432", "tight", 1432}, {"1445", "wide: 5 mm more to each side", 1445},
	}
	play := map[float64]float64{}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := solver(t, axle(t, tt.gauge, 40))
			p, err := s.Play()
			if err != nil {
				t.Fatal(err)
			}
			play[tt.gauge] = p
			limit := 69.9 * math.Pi / 180
			at, err := s.At(p)
			if err != nil {
				t.Fatal(err)
			}
			below, err := s.At(p - 0.01)
			if err != nil {
				t.Fatal(err)
			}
			if at.Near.Angle < limit-1e-6 || below.Near.Angle >= limit {
				t.Errorf("angles %.5f at and %.5f below the play (%s)", at.Near.Angle, below.Near.Angle, tt.reason)
			}
		})
	}
	if d := play[1445] - play[1435]; math.Abs(d-5) > 0.02 {
		t.Errorf("10 mm of gauge gave %.3f mm of play, want 5", d)
	}
	c, err := wheelshape.Cone(0.05)
	if err != nil {
		t.Fatal(err)
	}
	a := axle(t, 1435, 40)
	a.Near, a.Far = c, c
	if _, err := solver(t, a).Play(); !errors.Is(err, ErrInput) {
		t.Errorf("a cone has no flange: %v", err)
	}
}

// S1002 on 60E1 at 1:40 jumps between the middle and 1 mm (so the second program);
// there both places nearly touch.
func TestJumpHasTwoContacts(t *testing.T) {
	s := solver(t, axle(t, 1435, 40))
	var j Jump
	var last State
	found := false
	for i := 0; i <= 50 && !found; i++ {
		st, err := s.At(float64(i) / 10)
		if err != nil {
			t.Fatal(err)
		}
		if i > 0 {
			j, found = s.Jump(last, st, true)
		}
		last = st
	}
	if !found {
		t.Fatal("no jump found")
	}
	if !j.Near || j.Shift <= 0 || j.Shift >= 1 || j.From < 0 || j.To > -5 {
		t.Errorf("%+v", j)
	}
	st, err := s.At(j.Shift - 2*jumpWidth)
	if err != nil {
		t.Fatal(err)
	}
	two, ok := s.Second(st, true, 3, 0.05)
	if !ok || math.Abs(two.Y-j.To) > 0.5 || two.Gap < -1e-6 || two.Gap > 1e-3 {
		t.Errorf("second contact %+v %v, want at %.2f nearly touching", two, ok, j.To)
	}
}

// Halving the sampling brings the result to that of a fine sample with at least the
// second order: the chords' error.
func TestFinerSamplingConverges(t *testing.T) {
	a := axle(t, 1435, 40)
	ref, err := solver(t, a).At(3)
	if err != nil {
		t.Fatal(err)
	}
	var last float64
	for i, keep := range []int{16, 8, 4} {
		w := *a.Near
		w.Outline = nil
		for j, v := range a.Near.Outline {
			if j%keep == 0 || j == len(a.Near.Outline)-1 {
				w.Outline = append(w.Outline, v)
			}
		}
		b := a
		b.Near, b.Far = &w, &w
		st, err := solver(t, b).At(3)
		if err != nil {
			t.Fatal(err)
		}
		e := math.Abs(st.RRD - ref.RRD)
		t.Logf("every %d. point: error %.2e mm", keep, e)
		if i > 0 && e > last/4+1e-8 {
			t.Errorf("error %.2e after %.2e: slower than the second order", e, last)
		}
		last = e
	}
}

func TestBadAxles(t *testing.T) {
	tests := []struct {
		name, reason string
		spoil        func(*Axle)
	}{
		{"no wheel", "a nil wheel must not panic", func(a *Axle) { a.Near = nil }},
		{"NaN diameter", "not a number", func(a *Axle) { a.NearDiameter = math.NaN() }},
		{"infinite gauge", "not finite", func(a *Axle) { a.Gauge = math.Inf(1) }},
		{"diameters 60 mm apart", "no axle", func(a *Axle) { a.FarDiameter = 860 }},
		{"gauge read under the head", "the shape ends above", func(a *Axle) { a.GaugeHeight = 55 }},
		{"NaN cant", "not a number", func(a *Axle) { a.Cant = math.NaN() }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := axle(t, 1435, 40)
			tt.spoil(&a)
			if _, err := NewSolver(a); err == nil {
				t.Errorf("taken (%s)", tt.reason)
			}
		})
	}
	s := solver(t, axle(t, 1435, 40))
	if _, err := s.At(math.NaN()); !errors.Is(err, ErrInput) {
		t.Errorf("shift NaN: %v", err)
	}
	if _, err := s.At(-199); !errors.Is(err, ErrOffRail) {
		t.Errorf("199 mm off: %v", err)
	}
}
