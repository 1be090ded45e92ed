package curving

import (
	"errors"
	"math"
	"testing"
)

// Exact values of Nadal's formula; the axle sums are Weinstock's.
func TestNadal(t *testing.T) {
	for _, tt := range []struct{ angle, mu, want float64 }{
		{60, 0.1, 1.391}, {60, 0.5, 0.660}, {63, 0.3, 1.046}, {65, 0.5, 0.794}, {68, 0.4, 1.043}, {70, 0.5, 0.947},
		{72, 0.5, 1.015}, {73, 0.6, 0.902}, {75, 0.1, 2.645}, {75, 0.3, 1.619}, {75, 0.5, 1.128}, {75, 0.6, 0.967},
	} {
		if got, err := Nadal(tt.angle*degree, tt.mu); err != nil || math.Abs(got-tt.want) > 6e-4 {
			t.Errorf("%g degrees, friction %g: %.4f %v, want %.3f", tt.angle, tt.mu, got, err, tt.want)
		}
	}
	// The last two: Nadal's value and the other friction, added by hand.
	for _, tt := range []struct{ angle, face, other, want float64 }{{65, 0.5, 0.5, 1.294}, {70, 0.5, 0.5, 1.447},
		{72, 0.5, 0.5, 1.515}, {75, 0.5, 0.5, 1.628}, {70, 0.4, 0.4, 1.518}, {75, 0.4, 0.4, 1.737},
		{75, 0.5, 0.2, 1.328}, {75, 0.3, 0.5, 2.119}} {
		if got, err := AxleSumLimit(tt.angle*degree, tt.face, tt.other); err != nil || math.Abs(got-tt.want) > 6e-4 {
			t.Errorf("axle sum at %g degrees, friction %g and %g: %.4f %v, want %.3f", tt.angle, tt.face, tt.other, got,
				err, tt.want)
		}
	}
	for _, bad := range [][2]float64{{0, 0.5}, {90, 0.5}, {math.NaN(), 0.5}, {70, -0.1}, {70, 1.6}} {
		if _, err := Nadal(bad[0]*degree, bad[1]); !errors.Is(err, ErrInput) {
			t.Errorf("%v taken", bad)
		}
	}
}

// Equation 2.4 computed elsewhere at the same figures, and the report's own formula for
// the 75-degree freight wheel, 26.33/(AoA + 1.2) ft (from memory), which it meets within
// 4 percent.
func TestClimbDistance(t *testing.T) {
	feet := 12 * inch
	for _, tt := range []struct{ attack, angle, length, want float64 }{
		{0, 63, 0.4, 3.02}, {5, 63, 0.4, 1.94}, {10, 63, 0.4, 1.43}, {20, 63, 0.4, 0.94}, {0, 70, 0.5, 5.68},
		{5, 70, 0.5, 2.63},
		{10, 72, 0.5, 1.73}, {20, 72, 0.5, 0.98}, {5, 75, 0.4, 3.26}, {10, 75, 0.75, 2.37}, {5, 75, 0.618, 4.11},
		{10, 75, 0.618, 2.29}, {20, 75, 0.618, 1.21},
	} {
		got, err := ClimbDistance(tt.attack/1000, tt.angle*degree, tt.length*inch)
		if err != nil || math.Abs(got/feet-tt.want) > 0.006 {
			t.Errorf("%+v: %.3f ft %v", tt, got/feet, err)
		}
		if tt.length == 0.618 {
			if own := 26.33 / (tt.attack + 1.2); math.Abs(got/feet/own-1) > 0.04 {
				t.Errorf("%+v: %.3f ft against %.3f", tt, got/feet, own)
			}
		}
	}
	for _, tt := range []struct {
		name, reason          string
		attack, angle, length float64
		ok                    bool
	}{
		{"at the least angle", "63 degrees are in the fit", 5, 63, 0.5, true},
		{"below it", "62.9 are not", 5, 62.9, 0.5, false},
		{"at the greatest angle", "75 degrees are in the fit", 5, 75, 0.5, true},
		{"above it", "poles lie at 76.6 and 77.0", 5, 75.1, 0.5, false},
		{"at the least length", "0.3 in are in the fit", 5, 70, 0.3, true},
		{"below it", "a pole lies at 0.099 in", 5, 70, 0.29, false},
		{"at the greatest length", "0.8 in are in the fit", 5, 70, 0.8, true},
		{"above it", "not fitted there", 5, 70, 0.81, false},
		{"steering off the rail", "a wheel that points inward does not climb", -0.01, 70, 0.5, false},
		{"not a number", "nothing is known", math.NaN(), 70, 0.5, false},
	} {
		if _, err := ClimbDistance(tt.attack/1000, tt.angle*degree, tt.length*inch); (err == nil) != tt.ok ||
			err != nil && !errors.Is(err, ErrOutOfFit) {
			t.Errorf("%s: %v (%s)", tt.name, err, tt.reason)
		}
	}
}

// Geometry, exact: section sizes of the suppliers' sheets.
func TestRolloverLimit(t *testing.T) {
	for _, tt := range []struct{ height, base, e, below, want float64 }{
		{6, 5.375, 0, 0, 0.448}, {6, 5.375, -1, 0, 0.281}, {6, 5.375, 1.4, 0.625, 0.760}, {6.625, 5.5, 0, 0, 0.415},
		{6.625, 5.5, -1.25, 0, 0.226},
		{6.625, 5.5, 1.25, 0, 0.604}, {6.625, 5.5, 1.4, 0.625, 0.692}, {7.3125, 6, 0, 0, 0.410},
		{7.4375, 6, -0.5, 0, 0.336},
	} {
		if got, err := RolloverLimit(tt.base*inch, tt.e*inch, (tt.height-tt.below)*inch); err != nil ||
			math.Abs(got-tt.want) > 6e-4 {
			t.Errorf("%+v: %.4f %v", tt, got, err)
		}
	}
	for _, bad := range [][3]float64{{0, 0, 150}, {150, 0, 0}, {150, 151, 150}, {150, math.NaN(), 150}} {
		if _, err := RolloverLimit(bad[0], bad[1], bad[2]); !errors.Is(err, ErrInput) {
			t.Errorf("%v taken", bad)
		}
	}
	s := Side{Margin: -0.1}
	if s.Fastened(0.05) >= 0 || s.Fastened(0.15) <= 0 {
		t.Error("fastenings do not add to the margin")
	}
}

func TestLoadedGauge(t *testing.T) {
	h := Holding{Give: 1e-4}
	if g, err := LoadedGauge(1448, 80e3, h); err != nil || g != 1456 {
		t.Errorf("%g %v", g, err)
	}
	if g, err := LoadedGauge(1448, -80e3, h); err != nil || g != 1448 {
		t.Errorf("drawn together: %g %v", g, err)
	}
	for _, bad := range []float64{0, -1, math.NaN()} {
		if _, err := LoadedGauge(bad, 1, h); !errors.Is(err, ErrInput) {
			t.Errorf("gauge %g taken", bad)
		}
	}
	if _, err := LoadedGauge(1448, 1, Holding{Give: -1}); !errors.Is(err, ErrInput) {
		t.Error("a negative give taken")
	}
}
