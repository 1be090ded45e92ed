package passage

import (
	"errors"
	"math"
	"testing"
)

// At the angle that holds, the limit of the flange is the friction of the other wheel.
func TestHeldAngle(t *testing.T) {
	for _, mu := range []float64{0, 0.1, 0.3, 0.5, 0.6, 0.99} {
		d, err := HeldAngle(mu)
		if err != nil {
			t.Fatal(err)
		}
		if limit := (math.Tan(d) - mu) / (1 + mu*math.Tan(d)); math.Abs(limit-mu) > 1e-12 {
			t.Errorf("friction %g: %g degrees, limit %g", mu, d/deg, limit)
		}
	}
	for _, mu := range []float64{-0.1, 1, math.NaN()} {
		if _, err := HeldAngle(mu); !errors.Is(err, ErrInput) {
			t.Errorf("friction %g: %v", mu, err)
		}
	}
}

func TestFacingAngle(t *testing.T) {
	for _, c := range []struct {
		name            string
		least, mu, want float64
	}{
		{"the least rules", 60, 0.5, 60},
		{"just below", 60, 0.57735, 60},
		{"friction rules", 60, 0.6, 61.93},
	} {
		if got, err := FacingAngle(c.least, c.mu); err != nil || math.Abs(got-c.want) > 0.005 {
			t.Errorf("%s: %g degrees, %v, want %g", c.name, got, err, c.want)
		}
	}
	if _, err := FacingAngle(60, 1); !errors.Is(err, ErrInput) {
		t.Errorf("friction 1: %v", err)
	}
}
