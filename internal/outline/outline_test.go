package outline

import (
	"errors"
	"math"
	"testing"
)

// A lower half circle of radius 13 sampled at 0.1 mm: the curve between its vertices
// must be the circle to a nanometre or so, and its slope and curvature too.
func TestCurveOfAnArc(t *testing.T) {
	a, err := ArcOver(-12, 12, 0, 0, 13, false)
	if err != nil {
		t.Fatal(err)
	}
	o, err := Join(0.1, 1e-9, a)
	if err != nil {
		t.Fatal(err)
	}
	c, err := SeenFromAbove(o)
	if err != nil {
		t.Fatal(err)
	}
	for y := -9.0; y <= 9; y += 0.0371 {
		z, s, k := c.At(y)
		want := -math.Sqrt(169 - y*y)
		if math.Abs(z-want) > 2e-9 || math.Abs(s+y/want) > 1e-5 || math.Abs(math.Abs(k)-1./13) > 1e-9 {
			t.Fatalf("at %g: %.12f %.9f %.9f, want %.12f", y, z, s, k, want)
		}
	}
}

func TestMovesAreUndone(t *testing.T) {
	o, err := Join(0.5, 1e-9, Line{-20, 4, -5, 0}, Line{-5, 0, 10, -3})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, reason string
		there        func(Outline) Outline
	}{
		{"mirror twice", "an involution", func(o Outline) Outline { return o.Mirrored().Mirrored() }},
		{"flip twice", "an involution", func(o Outline) Outline { return o.Flipped().Flipped() }},
		{"turn and back", "a group", func(o Outline) Outline { return o.Turned(0.3).Turned(-0.3) }},
		{"move and back", "a group", func(o Outline) Outline { return o.Moved(7, -2).Moved(-7, 2) }},
		{"grow and shrink", "inches and back", func(o Outline) Outline { return o.Scaled(25).Scaled(0.04) }},
		{"reverse twice", "an involution", func(o Outline) Outline { return o.Reversed().Reversed() }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := tt.there(o)
			for i := range o {
				if d := math.Abs(p[i].Y-o[i].Y) + math.Abs(p[i].Z-o[i].Z) +
					math.Abs(wrap(p[i].Angle-o[i].Angle)); d > 1e-12 {
					t.Fatalf("point %d is off by %g (%s)", i, d, tt.reason)
				}
			}
		})
	}
}

// What hangs over is not seen: from above only the least z at each y counts.
func TestOverhangIsBridged(t *testing.T) {
	o := Polyline([][2]float64{{-10, 20}, {-6, 12}, {-8, 6}, {-4, 0}, {10, 1}})
	c, err := SeenFromAbove(o)
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(c.Y); i++ {
		if !(c.Y[i] > c.Y[i-1]) {
			t.Fatalf("y %g after %g", c.Y[i], c.Y[i-1])
		}
	}
	if z := c.Height(-8); math.Abs(z-6) > 1e-6 {
		t.Errorf("at -8: %g, want the overhang's 6", z)
	}
}

func TestJoinAndArcErrors(t *testing.T) {
	if _, err := Join(0.1, 1e-3, Line{0, 0, 5, 0}, Line{5, 0.002, 9, 0}); !errors.Is(err, ErrShape) {
		t.Errorf("a gap of 0.002 with 0.001 allowed: %v", err)
	}
	if o, err := Join(0.1, 1e-3, Line{0, 0, 5, 0}, Line{5, 0.0009, 9, 0}); err != nil {
		t.Errorf("a gap of 0.0009: %v", err)
	} else if c, err := SeenFromAbove(o); err != nil || math.Abs(c.Height(5)-0.00045) > 1e-9 {
		t.Errorf("the gap is not closed by its middle: %v", err)
	}
	if _, err := ArcOver(0, 11, 0, 0, 10, true); !errors.Is(err, ErrShape) {
		t.Errorf("an arc that does not reach: %v", err)
	}
	if _, err := Join(math.NaN(), 1, Line{0, 0, 1, 0}); !errors.Is(err, ErrShape) {
		t.Errorf("step NaN: %v", err)
	}
}

// Doubled points and a spike are left out and reported; the shape stays.
func TestCleanLeavesOutSpikes(t *testing.T) {
	var p [][2]float64
	for i := range 120 {
		x := float64(i) / 2
		p = append(p, [2]float64{x, 0.001 * x * x})
		if i == 40 {
			p = append(p, p[len(p)-1])
		}
		if i == 70 {
			p = append(p, [2]float64{x + 0.25, 9})
		}
	}
	o, q, err := Clean(p, Quality{})
	if err != nil {
		t.Fatal(err)
	}
	if q.Doubled != 1 || q.Spikes != 1 || q.Noise > 0.01 {
		t.Errorf("%+v", q)
	}
	for _, v := range o {
		if math.Abs(v.Z-0.001*v.Y*v.Y) > 2e-3 {
			t.Fatalf("at %.2f: %.4f", v.Y, v.Z)
		}
	}
	for i := range p {
		p[i][1] += []float64{1, -1}[i%2] * 0.9
	}
	if _, _, err := Clean(p, Quality{}); !errors.Is(err, ErrShape) {
		t.Errorf("noise of 0.9 mm: %v", err)
	}
}
