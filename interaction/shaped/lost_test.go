package shaped

import (
	"math"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
)

// A lateral force stands against the load that is left: with half of it gone L/V is twice as
// much, and the more is gone the less of every margin is left.
func TestLoadThatIsLeft(t *testing.T) {
	t.Parallel()
	wheel := func(lv, v float64) curving.Wheel {
		return curving.Wheel{V: v, L: lv * v, LV: lv, Nadal: 1.1, ClimbMargin: 1.1 - lv, Flanging: lv > 0.3}
	}
	s := curving.Solution{Lead: curving.Axle{High: wheel(0.4, 1), Low: wheel(0.2, 1)},
		Trail: curving.Axle{High: wheel(0.2, 1), Low: wheel(0.2, 1)}, Climbing: "lead high", Nadal: 1.1,
		ClimbMargin: 0.7,
		High:        curving.Side{LV: 0.3, Limit: 0.5, Margin: 0.2, Defined: true}, Low: curving.Side{LV: 0.2},
		Rollover: curving.Side{LV: 0.3, Limit: 0.5, Margin: 0.2, Defined: true}}
	a := TruckAnswer{Solution: s}
	a.States = []curving.State{{Solution: s}}
	axle := contact.Axle{Gauge: 1435, BackToBack: 1360}
	of := func(lost float64) margins {
		return TruckRun{Gross: 8, Lost: lost, Lead: axle, Trail: axle, Flange: [mostAxles]float64{30, 30},
			Rim: [mostAxles]float64{140, 140}}.marginsOf(a)
	}
	for _, tt := range []struct {
		what       string
		is, before float64
		want       float64
	}{
		{"climb", of(0.5)[climb], of(0)[climb], 1.1 - 0.8},
		{"truck side", of(0.5)[side], of(0)[side], truckSideLimit - 0.6},
		{"unloading", of(0.5)[unloading], of(0)[unloading], 0.5 - leastWheelLoad},
		{"rollover", of(0.5)[rollover], of(0)[rollover], 0.2 - 0.3},
	} {
		if math.Abs(tt.is-tt.want) > 1e-9 || !(tt.before > tt.is) {
			t.Errorf("%s: %.3f, with all of its load %.3f, want %.3f", tt.what, tt.is, tt.before, tt.want)
		}
	}
	last := of(0)
	for lost := 0.05; lost < 1.2; lost += 0.05 {
		m := of(lost)
		for _, k := range []int{climb, side, unloading, rollover} {
			if m[k] > last[k]+1e-12 || math.IsNaN(m[k]) || math.IsInf(m[k], 0) {
				t.Errorf("%s: %.3f with %.2f gone, %.3f with less", mechanisms[k].name, m[k], lost, last[k])
			}
		}
		last = m
	}
}
