package passage

import (
	"errors"
	"math"
	"testing"
)

var gm = Support{Mass: 245, Damping: 55.4e3, Stiffness: 62.0e6}

const mph = 0.44704

// Worked vectors of the P2 formula with the constants of GM/TT0088: factors, dynamic part
// and sum, computed by hand from the formula; it and the constants are from memory.
func TestP2Vectors(t *testing.T) {
	for _, v := range []struct {
		name, reason              string
		q, az, v, mv, m, c, k, p2 float64
	}{
		{"T1", "loaded car, 10 mph", 159000, 0.02, 4.4704, 1000, 0.896221, 0.843390, 248998.0, 175827.4},
		{"T2", "25 mph", 159000, 0.02, 11.176, 1000, 0.896221, 0.843390, 248998.0, 201068.4},
		{"T3", "half the angle", 159000, 0.01, 11.176, 1000, 0.896221, 0.843390, 248998.0, 180034.2},
		{"T4", "40 mph", 159000, 0.02, 17.8816, 1000, 0.896221, 0.843390, 248998.0, 226309.5},
		{"T6", "locomotive", 145000, 0.02, 11.176, 2500, 0.954331, 0.894529, 393700.4, 220123.5},
		{"T7", "the locomotive said to have set the limit", 81000, 0.02, 44.704, 1650, 0.933120, 0.873060, 319843.7,
			313967.6},
	} {
		t.Run(v.name, func(t *testing.T) {
			if m := gm.factorM(v.mv); math.Abs(m-v.m) > 1e-6 {
				t.Errorf("M %.6f, want %.6f (%s)", m, v.m, v.reason)
			}
			if c := gm.factorC(v.mv); math.Abs(c-v.c) > 1e-6 {
				t.Errorf("C %.6f, want %.6f", c, v.c)
			}
			if k := math.Sqrt(gm.Stiffness * v.mv); math.Abs(k-v.k) > 0.1 {
				t.Errorf("K %.1f, want %.1f", k, v.k)
			}
			p, err := P2(v.q, v.az, v.v, v.mv, gm)
			if err != nil || math.Abs(p-v.p2) > 0.1 {
				t.Errorf("P2 %.1f, want %.1f: %v", p, v.p2, err)
			}
			// The speed at which this force is reached is the speed it was computed at.
			s, ok, err := SpeedAt(p, v.q, v.az, v.mv, gm)
			if err != nil || !ok || math.Abs(s-v.v) > 1e-9 {
				t.Errorf("speed %.4f %v %v", s, ok, err)
			}
		})
	}
}

func TestP1Vectors(t *testing.T) {
	for me, want := range map[float64]float64{50: 216712.6, 100: 238741.4, 150: 254516.2} {
		if p, err := P1(159000, 0.02, 11.176, 1000, 1.4e9, me); err != nil || math.Abs(p-want) > 0.1 {
			t.Errorf("rail mass %g: %.1f, want %.1f: %v", me, p, want, err)
		}
	}
}

// Steps of a floor under wheels with a flange 1-1/4 in high, with the spring's cap.
func TestStepForces(t *testing.T) {
	for _, v := range []struct {
		name, reason        string
		dia, e              float64
		theta, ten, twenty5 float64
	}{
		{"33, 1/32", "capped at both speeds", 33, 1.0 / 32, 0.05935, 49.2, 49.2},
		{"33, 1/16", "capped at 25 mph", 33, 1.0 / 16, 0.08394, 70.6, 98.4},
		{"33, 1/8", "capped at 25 mph", 33, 1.0 / 8, 0.11875, 99.9, 196.8},
		{"33, 1/4", "not capped", 33, 1.0 / 4, 0.16803, 141.4, 353.4},
		{"36, 1/16", "larger wheel", 36, 1.0 / 16, 0.08060, 67.8, 98.4},
		{"36, 1/8", "larger wheel", 36, 1.0 / 8, 0.11402, 95.9, 196.8},
	} {
		t.Run(v.name, func(t *testing.T) {
			a, err := StepAngle((v.dia/2+1.25)*in, v.e*in)
			if err != nil || math.Abs(a-v.theta) > 6e-6 {
				t.Fatalf("angle %.5f, want %.5f (%s): %v", a, v.theta, v.reason, err)
			}
			for speed, want := range map[float64]float64{10: v.ten, 25: v.twenty5} {
				if f, err := StrikeForce(a, v.e*in, speed*mph, 1000, gm); err != nil || math.Abs(f/1000-want) > 0.051 {
					t.Errorf("%g mph: %.2f kN, want %.1f: %v", speed, f/1000, want, err)
				}
			}
		})
	}
	for n, want := range map[float64]float64{20: 105.2, 40: 52.6, 60: 35.1, 120: 17.5, 200: 10.5} {
		a, err := RampAngle(n)
		if err != nil {
			t.Fatal(err)
		}
		f, err := StrikeForce(a, 200, 25*mph, 1000, gm)
		if err != nil || math.Abs(f/1000-want) > 0.051 {
			t.Errorf("1:%g at 25 mph: %.2f kN, want %.1f: %v", n, f/1000, want, err)
		}
		if slow, err := StrikeForce(a, 200, 10*mph, 1000, gm); err != nil || math.Abs(slow-0.4*f) > 1e-6 {
			t.Errorf("at 10 mph %.1f N, want 0.4 of %.1f: %v", slow, f, err)
		}
	}
}

// A wheel that bridges the gap of a crossing diamond.
func TestGapDrop(t *testing.T) {
	for _, v := range []struct{ dia, gap, drop, theta float64 }{
		{33, 1.875, 0.02666, 0.11370}, {33, 2, 0.03033, 0.12129}, {33, 2.5, 0.04742, 0.15166},
		{36, 1.875, 0.02443, 0.10421}, {36, 2, 0.02780, 0.11117}, {36, 2.5, 0.04346, 0.13900},
		{38, 1.875, 0.02314, 0.09872}, {38, 2, 0.02633, 0.10531}, {38, 2.5, 0.04116, 0.13167},
	} {
		d, a, err := GapDrop(v.dia/2, v.gap)
		if err != nil || math.Abs(d-v.drop) > 6e-6 || math.Abs(a-v.theta) > 6e-6 {
			t.Errorf("%g in over %g: %.5f, %.5f, want %.5f, %.5f: %v", v.dia, v.gap, d, a, v.drop, v.theta, err)
		}
		if math.Abs(d/(v.gap*v.gap/(4*v.dia))-1) > 0.01 {
			t.Errorf("%g in over %g: far from g^2/8R", v.dia, v.gap)
		}
	}
	if d, a, err := GapDrop(18, 0); d != 0 || a != 0 || err != nil {
		t.Errorf("no gap: %g %g %v", d, a, err)
	}
}

func TestJointDip(t *testing.T) {
	for _, v := range []struct{ depth, want float64 }{{3.0 / 16, 0.02083}, {1.0 / 8, 0.01389}} {
		if a, err := JointDip(v.depth, 36); err != nil || math.Abs(a-v.want) > 5e-6 {
			t.Errorf("%g in on 36: %.5f, want %.5f: %v", v.depth, a, v.want, err)
		}
	}
}

func TestForcesRefuse(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"negative angle": func() error { _, err := P2(1, -1e-9, 1, 1000, gm); return err },
		"steep angle":    func() error { _, err := P2(1, 1.6, 1, 1000, gm); return err },
		"no speed":       func() error { _, err := P2(1, 0, nan, 1000, gm); return err },
		"no mass":        func() error { _, err := P2(1, 0, 1, 0, gm); return err },
		"overdamped":     func() error { _, err := Support{245, 6e5, 62e6}.Impedance(1000); return err },
		"soft":           func() error { _, err := Support{245, 0, 1}.Impedance(1000); return err },
		"step too high":  func() error { _, err := StepAngle(1, 1.01); return err },
		"step below":     func() error { _, err := StepAngle(1, -0.01); return err },
		"ramp":           func() error { _, err := RampAngle(0.9); return err },
		"ramp nan":       func() error { _, err := RampAngle(nan); return err },
		"gap":            func() error { _, _, err := GapDrop(1, 2); return err },
		"rise":           func() error { _, err := StrikeForce(0.1, nan, 1, 1000, gm); return err },
		"joint":          func() error { _, err := JointDip(10, 36); return err },
		"P1":             func() error { _, err := P1(nan, 0, 0, 1, 1, 1); return err },
		"bound":          func() error { _, _, err := SpeedAt(nan, 1, 1, 1000, gm); return err },
	} {
		if err := f(); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
