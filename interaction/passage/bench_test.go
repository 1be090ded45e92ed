package passage

import (
	"testing"

	"flangeway/track"
	"flangeway/wheel"
)

func BenchmarkFrog(b *testing.B) {
	x := newBench(b)
	m := x.frog(b, 8, "rbm", func(p *track.FrogPlan) { p.FlangewayDepth, p.TreadWear = 1.5*in, 0.25*in })
	for _, v := range []struct {
		name string
		r    wheel.WornReadings
	}{{"new", wheel.WornReadings{}}, {"worn", wheel.WornReadings{Hollow: exact(3), Height: exact(1.25 * in)}}} {
		w := x.wheel(b, v.r)
		a := held(w, 8)
		b.Run(v.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Frog(m, w, a, FrogOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// 40 frogs by 400 wheels of 60 distinct shapes, half of the frogs alike.
func BenchmarkYard(b *testing.B) {
	x := newBench(b)
	design, err := wheel.ShapeNamed(x.shapes, "narrow flange 1:20")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		memo := NewMemo()
		solved := 0
		for i := range 400 {
			r := wheel.WornReadings{Height: exact((1 + float64(4+i%5)/16) * in), Thickness: exact((1 + float64(i/5%3)/16) * in), Hollow: exact(float64(i / 15 % 4))}
			w, err := memo.Wheel(design, r, 36*in)
			if err != nil {
				b.Fatal(err)
			}
			for f := range 40 {
				p := track.NewFrogPlan(x.figures, "rbm", float64(6+f/2%5))
				p.FlangewayDepth = 38 + float64(f/2)/4
				a := Axle{BackToBack: 53.375 * in, MateThickness: w.Middle.Thickness, GuardCheck: 54.5 * in, Gauge: 56.5 * in}
				if _, err := memo.Frog(p, w.Middle, a, FrogOptions{}); err != nil {
					b.Fatal(err)
				}
				solved++
			}
		}
		b.ReportMetric(float64(len(memo.frogs)), "distinct")
	}
}
