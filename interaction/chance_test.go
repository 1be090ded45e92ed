package interaction

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The probability of a sum of uniform values: by hand where it is easy, by drawing
// where it is not.
func TestBelow(t *testing.T) {
	tests := []struct {
		name, reason string
		x            float64
		widths       []float64
		want         float64
	}{
		{"one value", "uniform", 0.25, []float64{1}, 0.25},
		{"one value, above", "all of it", 2, []float64{1}, 1},
		{"one value, below", "none of it", -1, []float64{1}, 0},
		{"two alike", "triangle: half", 1, []float64{1, 1}, 0.5},
		{"two alike, low", "triangle: x*x/2", 0.5, []float64{1, 1}, 0.125},
		{"wide and narrow", "trapezoid: 1/2 of the narrow one is passed", 1.5, []float64{1, 2}, 0.5},
		{"three alike", "Irwin-Hall of 3 at 1: 1/6", 1, []float64{1, 1, 1}, 1.0 / 6},
		{"four alike", "Irwin-Hall of 4 at 2: half", 2, []float64{1, 1, 1, 1}, 0.5},
		{"no width, above", "a fixed value", 0.1, nil, 1},
		{"no width, at", "a difference of none is no conflict", 0, nil, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := below(tt.x, tt.widths, nil); math.Abs(got-tt.want) > 1e-12 {
				t.Errorf("%.9f, want %.9f (%s)", got, tt.want, tt.reason)
			}
		})
	}
	r := rand.New(rand.NewPCG(9, 9))
	for range 12 {
		w := []float64{50 * r.Float64(), 1.6, 3.2, 0.8, 0.4}[:2+r.IntN(4)]
		sum := 0.0
		for _, v := range w {
			sum += v
		}
		x, n := sum*r.Float64(), 0
		const draws = 40000
		for range draws {
			s := 0.0
			for _, v := range w {
				s += v * r.Float64()
			}
			if s < x {
				n++
			}
		}
		if got := below(x, w[:1], w[1:]); math.Abs(got-float64(n)/draws) > 0.015 {
			t.Errorf("below %.3f of %v: %.4f, drawn %.4f", x, w, got, float64(n)/draws)
		}
	}
}
