package shape

import (
	"errors"
	"math"
	"testing"

	"flangeway/internal/fixture"
)

func TestPointAngle(t *testing.T) {
	const inch = 25.4
	for _, c := range []struct {
		name                string
		spread, tip, length float64 // in
		mrad                float64 // NaN: refused
	}{
		{"16 ft 6 in (TI 850-02, eq. 6-12)", 6.25, 0.25, 198, 30.3},
		{"11 ft", 6.25, 0.25, 132, 45.5},
		{"no spread", 0.25, 0.25, 198, math.NaN()},
		{"too short", 6.25, 0.25, 59, math.NaN()},
		{"too long", 6.25, 0.25, 591, math.NaN()},
		{"no length", 6.25, 0.25, math.NaN(), math.NaN()},
	} {
		got, err := PointAngle(c.spread*inch, c.tip*inch, c.length*inch)
		switch {
		case math.IsNaN(c.mrad):
			if !errors.Is(err, ErrSwitch) {
				t.Errorf("%s: %v, %v", c.name, got, err)
			}
		case err != nil || math.Abs(got*1000-c.mrad) > 0.05:
			t.Errorf("%s: %.2f mrad, %v, want %.1f", c.name, got*1000, err, c.mrad)
		}
	}
}

// A point twice as long stands at half the angle, as thick and high at twice the distance.
func TestStretchedPoint(t *testing.T) {
	p, err := NewSwitchPlan(fixture.Figures(t), "undercut")
	if err != nil {
		t.Fatal(err)
	}
	long := p
	if err := long.Stretch(2 * p.Stations[len(p.Stations)-1].At); err != nil {
		t.Fatal(err)
	}
	a, err := NewSwitchModel(p)
	if err != nil {
		t.Fatal(err)
	}
	b, err := NewSwitchModel(long)
	if err != nil {
		t.Fatal(err)
	}
	one, errOne := a.Angle()
	two, errTwo := b.Angle()
	if errOne != nil || errTwo != nil || math.Abs(one-2*two) > 1e-12 {
		t.Errorf("%g rad and %g rad at twice the length (%v, %v)", one, two, errOne, errTwo)
	}
	for _, x := range []float64{0, 300, 700, 2000} {
		if a.Top(x) != b.Top(2*x) || math.Abs(a.Exposed(x)-b.Exposed(2*x)) > 1e-9 {
			t.Errorf("%g mm: %g and %g deep, %g and %g out", x, a.Top(x), b.Top(2*x), a.Exposed(x), b.Exposed(2*x))
		}
	}
}
