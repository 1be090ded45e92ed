package curving

import (
	"fmt"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/track"
)

func TestDbg(t *testing.T) {
	w := worn(t, wheelNamed(t, "narrow flange 1:20"), 1.0*inch, 3)
	w2 := worn(t, wheelNamed(t, "narrow flange 1:20"), 1.1*inch, 1)
	r := railNamed(t, "115RE")
	a := contact.Axle{Near: w, Far: w2, NearDiameter: 914, FarDiameter: 914, BackToBack: 53.375 * inch, NearRail: r, FarRail: r, Gauge: 57 * inch, GaugeHeight: 0.625 * inch, Cant: track.CantOf(40)}
	s, err := contact.NewSolver(a)
	if err != nil {
		t.Fatal(err)
	}
	for u := 0.0; u < 40; u += 0.4 {
		st, err := s.At(u)
		if err != nil {
			fmt.Println(u, err)
			break
		}
		fmt.Printf("%.1f roll %.4f near y %.1f ang %.1f r %.1f far y %.1f ang %.1f\n", u, st.Roll, st.Near.Y, st.Near.Angle*57.3, st.Near.Radius, st.Far.Y, st.Far.Angle*57.3)
	}
	tab, err := NewTable(a, 160e3, contact.Steel)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println(tab.Range())
	fmt.Println(tab.touch, tab.flange, len(tab.shift))
	for i := range tab.shift {
		p := tab.high.parts[tab.high.rows[i].at:][:tab.high.rows[i].n]
		fmt.Printf("%.2f: ", tab.shift[i])
		for _, q := range p {
			if q.share > 1e-4 {
				fmt.Printf(" [%.3f y %.1f a %.1f r %.1f]", q.share, q.y/q.share, q.angle/q.share*57.3, q.radius/q.share)
			}
		}
		fmt.Println()
	}
}
