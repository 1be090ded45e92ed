package curving

import (
	"testing"

	"flangeway/interaction/contact"
	"flangeway/track/shape"
)

// One table: a hollow and a worn wheel on two rails, over all shifts.
func BenchmarkTable(b *testing.B) {
	d := wheelNamed(b, "narrow flange 1:20")
	w, v := worn(b, d, 1.0*inch, 4), worn(b, d, 1.1*inch, 1)
	r := railNamed(b, "115RE")
	a := contact.Axle{Near: w, Far: v, NearDiameter: 914, FarDiameter: 914, BackToBack: 53.375 * inch,
		NearRail: r, FarRail: r, Gauge: 57 * inch, GaugeHeight: 0.625 * inch, Cant: shape.CantOf(40)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewTable(a, 150e3, contact.Steel); err != nil {
			b.Fatal(err)
		}
	}
}

// One solution with its tables ready: a new car and a hollow one by turns, curves of 2
// to 12 degrees.
func BenchmarkSolve(b *testing.B) {
	d := wheelNamed(b, "narrow flange 1:20")
	h := worn(b, d, 0, 4)
	good, bad := american(b, d, d, "115RE"), american(b, d, h, "115RE")
	trucks := []Truck{freight(good), freight(bad), threePiece(good), threePiece(bad)}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		c := Curve{Radius: radiusOf(float64(2 + i%11)), Speed: 5}
		if s, err := Solve(trucks[i%4], c, Same(0.5)); err != nil || !s.Converged {
			b.Fatal(s.Reason, err)
		}
		i++
	}
}
