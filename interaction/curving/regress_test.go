package curving

import (
	"fmt"
	"math"
	"testing"

	"flangeway/configs"
	"flangeway/interaction/contact"
	"flangeway/track"
	"flangeway/wheel"
)

func shapes(t testing.TB) *configs.Shapes {
	t.Helper()
	d, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.LoadShapes()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func european(t testing.TB) *Table {
	t.Helper()
	s := shapes(t)
	w, err := wheel.ShapeNamed(s, "S1002")
	if err != nil {
		t.Fatal(err)
	}
	r, err := track.RailNamed(s, "60E1")
	if err != nil {
		t.Fatal(err)
	}
	a := contact.Axle{Near: w, Far: w, NearDiameter: 920, FarDiameter: 920, BackToBack: 1360, NearRail: r, FarRail: r, Gauge: 1435, GaugeHeight: 14, Cant: track.CantOf(40)}
	tab, err := NewTable(a, 100e3, contact.Steel)
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

func TestScratch(t *testing.T) {
	tab := european(t)
	fmt.Println(len(tab.shift), tab.shift[0], tab.shift[len(tab.shift)-1], tab.flange, tab.touch, len(tab.high.parts))
	for _, c := range []struct{ r, mu, h, l, psi float64 }{{1000, .35, -.034, .130, 1.21}, {400, .35, .224, .284, 4.32}, {300, .5, .383, .406, 5.97}, {200, .35, .535, .344, 10.10}} {
		p, err := newProblem(Truck{tab, tab, 1800, 200e3, 1800, 0, 0}, Curve{Radius: c.r * 1000}, Same(c.mu))
		if err != nil {
			t.Fatal(err)
		}
		q, res, n, ok := p.solve()
		steady := state{way: math.Inf(1)}
		for i := range 2 {
			po := p.pose(&q, i, &steady)
			h, l := p.detail(q, i)
			fmt.Printf("R%g axle %d: u %.3f psi %.3f  high %.3f low %.3f  (want %.3f %.3f %.2f) res %.2g n %d %v\n", c.r, i, po.u, po.psi*1e3, h, l, c.h, c.l, c.psi, res, n, ok)
		}
	}
}

func (p *problem) detail(q vector, i int) (float64, float64) {
	steady := state{way: math.Inf(1)}
	po := p.pose(&q, i, &steady)
	t := p.axle[i]
	k, f := t.find(po.u)
	var lv [2]float64
	for side, fl := range []*flank{&t.high, &t.low} {
		load := []float64{po.high, po.low}[side]
		l23 := math.Cbrt(load * load)
		L, V := 0.0, 0.0
		sign := 1 - 2*float64(side)
		for g := min(fl.rows[k].lo, fl.rows[k+1].lo); g < max(fl.rows[k].lo+fl.rows[k].n, fl.rows[k+1].lo+fl.rows[k+1].n); g++ {
			qq := fl.blend(fl.rows[k], fl.rows[k+1], f, g)
			if qq.share < 1e-9 {
				continue
			}
			c := t.press(&qq, side, &po, &p.bend, load, l23)
			fmt.Printf("    side %d part %d N %.1f y %.1f ang %.1f r %.2f fx %.0f ft %.0f tau %.2f\n", side, g, c.normal, c.y, c.angle*57.3, c.radius, c.fx, c.ft, math.Hypot(c.fx, c.ft)/c.mu/c.normal)
			L += c.normal*c.sin - sign*c.ft*c.cos
			V += c.normal*c.cos + sign*c.ft*c.sin
		}
		lv[side] = L / V
	}
	return lv[0], lv[1]
}
