package shape

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

func rail(t testing.TB, name string) *RailHead {
	t.Helper()
	r, err := RailNamed(fixture.Shapes(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// EN 13674-1: the arcs chained from the two printed widths must end at the printed 36 mm
// and 14.3 mm with the printed slope.
func TestUIC60HeadCloses(t *testing.T) {
	r := rail(t, "60E1")
	found := false
	for _, v := range r.Outline {
		if math.Abs(v.Angle-(math.Pi/2-math.Atan(0.05))) < 1e-9 {
			if !found && (math.Abs(v.Y-36) > 1e-3 || math.Abs(v.Z-14.3) > 1e-3) {
				t.Errorf("the corner ends at %.4f, %.4f", v.Y, v.Z)
			}
			found = true
		}
		for _, p := range []struct{ y, z float64 }{{10.228, 0.1744}, {26.0265, 2.3025}} {
			if math.Abs(v.Y-p.y) < 1e-6 && math.Abs(v.Z-p.z) > 1e-4 {
				t.Errorf("at %.4f: %.4f, want %.4f", v.Y, v.Z, p.z)
			}
		}
	}
	if !found {
		t.Error("no side 1:20")
	}
}

func TestHeadsHaveTheirWidthAtTheGaugeLine(t *testing.T) {
	for name, width := range map[string]float64{"90RA-A": 2 + 9./16, "100RE": 2 + 11./16, "115RE": 2 + 23./32,
		"132RE": 3, "136RE": 2 + 15./16, "141RE": 3 + 1./16} {
		r := rail(t, name)
		y, ok := gaugeSide(r.Outline, r.GaugeHeight)
		if want := -width / 2 * measure.MMPerInch; !ok || math.Abs(y-want) > 1e-3 {
			t.Errorf("%s: %.4f, want %.4f", name, y, want)
		}
		for i := 1; i < len(r.Outline); i++ {
			if d := r.Outline[i].Angle - r.Outline[i-1].Angle; d < -1e-9 || d > 0.01 {
				t.Fatalf("%s: the direction turns by %.4f rad at y = %.3f: not tangent", name, d, r.Outline[i].Y)
			}
		}
	}
}

func TestPlacedRail(t *testing.T) {
	tests := []struct {
		name, reason       string
		gauge, depth, cant float64
	}{
		{"upright", "no cant", 1435, 14, 0},
		{"1:40", "inward lean", 1435, 14, CantOf(40)},
		{"1:20", "the gauge face stands upright then", 1435, 14, CantOf(20)},
		{"wide, 5/8 in", "read deeper", 1460, 15.875, CantOf(40)},
	}
	r := rail(t, "60E1")
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := r.Place(tt.gauge, tt.depth, tt.cant)
			if err != nil {
				t.Fatal(err)
			}
			y, ok := gaugeSide(p.Outline, tt.depth)
			if !ok || math.Abs(y-tt.gauge/2) > 1e-6 {
				t.Errorf("gauge side at %.6f, want %.6f (%s)", y, tt.gauge/2, tt.reason)
			}
			if h := highest(p.Curve); math.Abs(h) > 1e-9 {
				t.Errorf("the top lies at %g", h)
			}
		})
	}
	// Leaning inward by c moves the highest place of a crown of radius R by R*sin(c) to the field of the middle.
	p, err := r.Place(1435, 14, CantOf(40))
	if err != nil {
		t.Fatal(err)
	}
	best := 0
	for i, z := range p.Curve.Z {
		if z < p.Curve.Z[best] {
			best = i
		}
	}
	if slope := p.Curve.S0[best]; math.Abs(slope) > 5e-4 {
		t.Errorf("slope %g at the top", slope)
	}
}

func TestWornRail(t *testing.T) {
	r := rail(t, "136RE")
	for _, tt := range []struct {
		name, reason      string
		head, face, angle float64
	}{
		{"head only", "the crown keeps its form", 6, 0, 0},
		{"face only", "upright face", 0, 5, 90},
		{"face leaning", "usual on the high rail", 0, 8, 70},
		{"both", "a worn-out curve rail", 8, 10, 65},
		{"angle not read", "the assumed one", 0, 6, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w, err := r.Worn(tt.head, tt.face, tt.angle)
			if err != nil {
				t.Fatal(err)
			}
			a, _ := gaugeSide(r.Outline, r.GaugeHeight)
			b, ok := gaugeSide(w.Outline, r.GaugeHeight)
			if !ok || math.Abs(b-a-tt.face) > 0.02 {
				t.Errorf("the gauge side moved by %.3f mm, want %g (%s)", b-a, tt.face, tt.reason)
			}
			if math.Abs(r.Height-w.Height-tt.head) > 1e-9 {
				t.Errorf("height %g", w.Height)
			}
			if tt.face > 0 {
				up, _ := gaugeSide(w.Outline, r.GaugeHeight-1)
				angle := tt.angle
				if angle == 0 {
					angle = WornFaceAngle
				}
				if got := math.Atan2(1, up-b) * 180 / math.Pi; math.Abs(got-angle) > 1 {
					t.Errorf("face of %.2f degrees, want %g", got, angle)
				}
			}
			for i := 1; i < len(w.Outline); i++ {
				if d := math.Hypot(w.Outline[i].Y-w.Outline[i-1].Y, w.Outline[i].Z-w.Outline[i-1].Z); d > 0.5 &&
					w.Outline[i].Z < 25 {
					t.Errorf("a hole of %.2f mm at %.2f, %.2f", d, w.Outline[i].Y, w.Outline[i].Z)
				}
			}
			if _, err := w.Place(1435, r.GaugeHeight, CantOf(40)); err != nil {
				t.Error(err)
			}
		})
	}
	for _, bad := range [][3]float64{{-1, 0, 0}, {0, math.NaN(), 0}, {0, 5, 20}, {0, 5, 91}, {45, 0, 0}} {
		if _, err := r.Worn(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("%v taken", bad)
		}
	}
}

func TestTracedRail(t *testing.T) {
	r := rail(t, "60E1")
	write := func(f func(y, z float64) (float64, float64)) []byte {
		var b bytes.Buffer
		for i := 0; i < len(r.Outline); i += 4 {
			x, y := f(r.Outline[i].Y, r.Outline[i].Z)
			fmt.Fprintf(&b, "%.5f,%.5f\n", x, y)
		}
		return b.Bytes()
	}
	for name, f := range map[string]func(y, z float64) (float64, float64){
		"z down": func(y, z float64) (float64, float64) { return y, z },
		"z up":   func(y, z float64) (float64, float64) { return y + 500, 90 - z },
		"inches": func(y, z float64) (float64, float64) { return y / measure.MMPerInch, -z / measure.MMPerInch },
	} {
		tr, _, err := RailFromTrace(name, write(f), 14, false)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		a, _ := gaugeSide(r.Outline, 14)
		b, ok := gaugeSide(tr.Outline, 14)
		if !ok || math.Abs(a-b) > 0.05 {
			t.Errorf("%s: gauge side at %.3f, want %.3f", name, b, a)
		}
	}
}

func FuzzRailTrace(f *testing.F) {
	f.Add([]byte("0,0\n1,1\n"), false)
	f.Fuzz(func(t *testing.T, data []byte, mirrored bool) {
		r, _, err := RailFromTrace("fuzz", data, 14, mirrored)
		if err != nil {
			return
		}
		if err := r.Outline.Check(); err != nil {
			t.Error(err)
		}
		r.Place(1435, 14, 0.025)
	})
}
