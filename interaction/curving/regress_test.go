package curving

import (
	"fmt"
	"math"
	"os"
	"sort"
	"testing"
	"time"
)

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
	at := t.near(po.u)
	var lv [2]float64
	for side, fl := range []*flank{&t.high, &t.low} {
		load := []float64{po.high, po.low}[side]
		l23 := math.Cbrt(load * load)
		L, V := 0.0, 0.0
		sign := 1 - 2*float64(side)
		lo, hi := fl.span(&at)
		for g := lo; g < hi; g++ {
			qq := fl.blend(&at, g)
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

func TestScratchField(t *testing.T) {
	f := newField(t, 1, 30)
	n, bad, over := 0, 0, 0
	var counts []int
	var took time.Duration
	most := 0
	N := 300
	if v := os.Getenv("NCASE"); v != "" {
		fmt.Sscan(v, &N)
	}
	for i := range N {
		c := f.draw()
		p, err := newProblem(c.truck, c.curve, c.mu)
		if err != nil {
			over++
			continue
		}
		n++
		t0 := time.Now()
		q, res, cnt, ok := p.solve()
		took += time.Since(t0)
		counts = append(counts, cnt)
		most = max(most, cnt)
		if !ok {
			bad++
			st := state{way: math.Inf(1)}
			a, b := p.pose(&q, 0, &st), p.pose(&q, 1, &st)
			lo1, hi1 := c.truck.Lead.Range()
			lo2, hi2 := c.truck.Trail.Range()
			fmt.Printf("case %d: res %.2g n %d R %.0f m v %.1f e %.0f unb %.3f mu %.2f u %.2f %.2f psi %.1f %.1f range %.1f %.1f %.1f %.1f touch %.1f %.1f\n", i, res, cnt, c.curve.Radius/1000, c.curve.Speed, c.curve.Elevation, p.side/p.load, c.mu, a.u, b.u, a.psi*1e3, b.psi*1e3, lo1, hi1, lo2, hi2, c.truck.Lead.touch, c.truck.Trail.touch)
		}
	}
	sort.Ints(counts)
	fmt.Println("n", n, "bad", bad, "over", over, "median count", counts[len(counts)/2], "most", most, "p99", counts[len(counts)*99/100], "mean time", took/time.Duration(n))
}
