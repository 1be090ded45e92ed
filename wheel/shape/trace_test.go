package shape

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/internal/measure"
)

// traceOf writes a shape as a trace would be: every stride-th point through f.
func traceOf(s *Shape, stride int, heading string, f func(y, z float64) (float64, float64)) []byte {
	var b bytes.Buffer
	b.WriteString(heading)
	for i := 0; i < len(s.Outline); i += stride {
		x, y := f(s.Outline[i].Y, s.Outline[i].Z)
		fmt.Fprintf(&b, "%.6f,%.6f\n", x, y)
	}
	return b.Bytes()
}

func TestTracesOfOneWheelAgree(t *testing.T) {
	d := design(t, "S1002")
	rng := rand.New(rand.NewPCG(9, 9))
	tests := []struct {
		name, reason, heading string
		stride                int
		by                    float64
		f                     func(y, z float64) (float64, float64)
	}{
		{"as it is", "the shape itself", "", 3, 0.06, func(y, z float64) (float64, float64) { return y, z }},
		{"moved", "any origin", "", 3, 0.06, func(y, z float64) (float64, float64) { return y + 300, z - 77 }},
		{"mirrored", "either direction", "", 3, 0.06, func(y, z float64) (float64, float64) { return -y, z }},
		{"upside down", "either side up", "", 3, 0.06, func(y, z float64) (float64, float64) { return y, -z }},
		{"inches", "told by the heading", "x_in,y_in\n", 3, 0.06, func(y, z float64) (float64, float64) {
			return y / measure.MMPerInch, z / measure.MMPerInch
		}},
		{"inches by size", "told by the width", "", 3, 0.06, func(y, z float64) (float64, float64) {
			return y / measure.MMPerInch, z / measure.MMPerInch
		}},
		{"noise of 0.03 mm", "a good hand tracer", "", 3, 0.12, func(y, z float64) (float64, float64) {
			return y + 0.03*rng.NormFloat64(), z + 0.03*rng.NormFloat64()
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, q, err := FromTrace("trace.csv", traceOf(d, tt.stride, tt.heading, tt.f), d)
			if err != nil {
				t.Fatal(err)
			}
			h, _ := s.FlangeHeight()
			w, _ := s.FlangeThickness()
			a, _, _ := s.FlangeAngle()
			if math.Abs(h-28) > tt.by || math.Abs(w-32.5) > 2*tt.by || math.Abs(a/rad-70) > 60*tt.by {
				t.Errorf("height %.3f thickness %.3f angle %.2f, %+v (%s)", h, w, a/rad, q, tt.reason)
			}
		})
	}
}

func TestUnusableTraces(t *testing.T) {
	d := design(t, "S1002")
	same := func(y, z float64) (float64, float64) { return y, z }
	whole := string(traceOf(d, 3, "", same))
	tests := []struct{ name, reason, text string }{
		{"empty", "nothing there", ""},
		{"semicolons", "another separator", "1;2\n3;4\n"},
		{"words", "no points", "a,b\nc,d\n"},
		{"not finite", "NaN is no coordinate", "NaN,1\n" + whole},
		{"flat", "no flange is seen", flat()},
		{"without the tread", "ends before the tape line", whole[:len(whole)/2]},
		{"without the back", "begins at the throat", whole[len(whole)/2:]},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if s, _, err := FromTrace("t", []byte(tt.text), d); err == nil {
				h, _ := s.FlangeHeight()
				t.Errorf("taken with a flange of %.2f (%s)", h, tt.reason)
			}
		})
	}
}

func flat() string {
	var b bytes.Buffer
	for i := range 200 {
		fmt.Fprintf(&b, "%d,%d\n", i, i/40)
	}
	return b.String()
}

// Whatever stands in a trace: no panic, no endless loop, an error or finite gauges.
func FuzzTrace(f *testing.F) {
	d := design(f, "S1002")
	f.Add(traceOf(d, 20, "", func(y, z float64) (float64, float64) { return y, z }))
	f.Add(traceOf(d, 9, "in,in\n", func(y, z float64) (float64, float64) { return -y, z }))
	f.Add([]byte("1,2\n1,2\n1,2\n"))
	f.Add([]byte("# mm\n1e4,-1e4\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, _, err := FromTrace("fuzz", data, d)
		if err != nil {
			return
		}
		for _, g := range []func() (float64, error){s.FlangeHeight, s.FlangeThickness, s.VerticalFlange,
			s.TreadHollow} {
			if v, err := g(); err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("gauge %g, %v", v, err)
			}
		}
		s.RimThickness()
	})
}
