package curving

import (
	"testing"

	"flangeway/interaction/contact"
	"flangeway/track"
)

// One table: a hollow and a worn wheel on two rails, over all shifts.
func BenchmarkTable(b *testing.B) {
	d := wheelNamed(b, "narrow flange 1:20")
	w, v := worn(b, d, 1.0*inch, 4), worn(b, d, 1.1*inch, 1)
	r := railNamed(b, "115RE")
	a := contact.Axle{Near: w, Far: v, NearDiameter: 914, FarDiameter: 914, BackToBack: 53.375 * inch,
		NearRail: r, FarRail: r, Gauge: 57 * inch, GaugeHeight: 0.625 * inch, Cant: track.CantOf(40)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewTable(a, 150e3, contact.Steel); err != nil {
			b.Fatal(err)
		}
	}
}
