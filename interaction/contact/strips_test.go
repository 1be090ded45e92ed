package contact

import (
	"math"
	"slices"
	"testing"
)

// The strips of a state touch nowhere deeper than the contact itself, at least one of
// them lies at it, and they follow each other along the wheel.
func TestStripsAreWhereTheContactIs(t *testing.T) {
	s := solver(t, axle(t, 1435, 40))
	var strips []Strip
	for _, u := range []float64{-6.5, -3, 0, 2, 5, 6.6, 8} {
		st, err := s.At(u)
		if err != nil {
			t.Fatal(err)
		}
		for _, near := range []bool{true, false} {
			strips = s.Strips(strips[:0], st, near, 0.2, 0.1)
			sp := st.side(near)
			least, last := math.Inf(1), math.Inf(-1)
			var at Strip
			for i := range strips {
				s.Lean(&strips[i], st, near)
			}
			for _, x := range strips {
				if x.Gap < least {
					least, at = x.Gap, x
				}
				if !(x.Along > last) || x.Gap > 0.1 {
					t.Errorf("shift %g: %+v after %g", u, x, last)
				}
				last = x.Along
			}
			// Half a strip from the contact on a flange of 70 degrees and a corner of 13 mm.
			if least < -1e-5 || least > 0.01 {
				t.Errorf("shift %g near %t: the least gap is %g mm", u, near, least)
			}
			if math.Abs(at.Y-sp.Y) > 0.5 || math.Abs(at.Angle-sp.Angle) > 0.05 || math.Abs(at.Radius-sp.Radius) > 0.3 ||
				math.Abs(at.RailY-sp.RailY) > 0.5 {
				t.Errorf("shift %g near %t: strip %+v, contact %+v", u, near, at, sp)
			}
		}
	}
	if got := s.Strips(nil, State{}, true, 0, 1); got != nil {
		t.Error("strips of no width")
	}
	if n, f := s.Middles(); math.Abs(n-f) > 1e-9 || n < 1435/2. {
		t.Errorf("middles %g and %g mm", n, f)
	}
	if s.radius != 460 {
		t.Errorf("radius %g mm", s.radius)
	}
}

// Of a wheel that stands alone no strip is passed over: all places of its shape that are near
// enough are there.
func TestStripsAloneAreAll(t *testing.T) {
	s := solver(t, axle(t, 1435, 40))
	const step, within = 0.3, 0.25
	for u := -12.0; u < 9; u += 0.37 {
		st, err := s.Alone(u)
		if err != nil {
			t.Fatal(err)
		}
		sd, level := &s.near, turn(0)
		p := sd.spreadOf(step)
		_, z := sd.put(st.Near.Y, st.Near.Z, u, level)
		var want []float64
		for k := range p.y {
			ty, tz := sd.put(p.y[k], p.z[k], u, level)
			if rz, _, _ := sd.rail.At(ty); ty >= sd.rail.Begin() && ty <= sd.rail.End() &&
				rz-tz-(st.Near.RailZ-z) <= within {
				want = append(want, p.along[k])
			}
		}
		var got []float64
		for _, x := range s.Strips(nil, st, true, step, within) {
			got = append(got, x.Along)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("shift %.2f: strips at %v, want %v", u, got, want)
		}
	}
}
