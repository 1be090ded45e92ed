package passage

import (
	"testing"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

func BenchmarkFrog(b *testing.B) {
	x := newBench(b)
	m := x.frog(b, 8, "rbm", func(p *trackshape.FrogPlan) { p.FlangewayDepth, p.TreadWear = 1.5*in, 0.25*in })
	for _, v := range []struct {
		name string
		r    wheelshape.WornReadings
	}{{"new", wheelshape.WornReadings{}}, {"worn", wheelshape.WornReadings{Hollow: exact(3),
		Height: exact(1.25 * in)}}} {
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
