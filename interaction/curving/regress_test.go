package curving

import (
	"math"
	"testing"
)

// A rigid truck, S1002 on 60E1 1:40, computed by an independent second program (not
// published). Modelling freedom 10 percent on L/V and 15 percent on the angle; where
// L/V is the small difference of creep and gravity, 0.01.
var second = []struct {
	radius, mu, high, low, attack float64
}{
	{1000, 0.35, -0.034, 0.130, 1.21},
	{400, 0.35, 0.224, 0.284, 4.32},
	{300, 0.50, 0.383, 0.406, 5.97},
	{200, 0.35, 0.535, 0.344, 10.10},
}

func secondTruck(t testing.TB) Truck {
	tab := european(t)
	return Truck{Lead: tab, Trail: tab, Wheelbase: 1800, AxleLoad: 200e3, CentreHeight: 1800}
}

func TestAgainstSecondProgram(t *testing.T) {
	truck := secondTruck(t)
	for _, tt := range second {
		s, err := Solve(truck, Curve{Radius: tt.radius * 1000}, Same(tt.mu))
		if err != nil || !s.Converged {
			t.Fatalf("R %g: %v %s", tt.radius, err, s.Reason)
		}
		t.Logf("R %4.0f mu %.2f: high %.3f (%.3f), low %.3f (%.3f), attack %.2f (%.2f) mrad", tt.radius, tt.mu,
			s.Lead.High.LV, tt.high, s.Lead.Low.LV, tt.low, s.Lead.Attack*1e3, tt.attack)
		for _, v := range []struct {
			name          string
			got, want, by float64
		}{{"high L/V", s.Lead.High.LV, tt.high, math.Max(0.01, 0.1*math.Abs(tt.high))},
			{"low L/V", s.Lead.Low.LV, tt.low, 0.1 * tt.low}, {"attack", s.Lead.Attack * 1e3, tt.attack,
				0.15 * tt.attack}} {
			if math.Abs(v.got-v.want) > v.by {
				t.Errorf("R %g mu %g: %s %.3f, second program %.3f", tt.radius, tt.mu, v.name, v.got, v.want)
			}
		}
	}
}

// Both laws of creep in the same truck: where everything slides they must agree.
func TestSecondLawInTheTruck(t *testing.T) {
	truck := secondTruck(t)
	for _, tt := range second {
		c := Curve{Radius: tt.radius * 1000}
		a, err := Solve(truck, c, Same(tt.mu))
		if err != nil || !a.Converged {
			t.Fatal(err, a.Reason)
		}
		p, err := new(Room).problem(truck, c, Same(tt.mu))
		if err != nil {
			t.Fatal(err)
		}
		p.bend.law = polach
		q, residual, ok := firstResidual(p)
		if !ok {
			t.Fatalf("R %g: not converged, %g", tt.radius, residual)
		}
		var b Solution
		p.report(&q, &b)
		t.Logf("R %4.0f: low %.3f and %.3f, high %.3f and %.3f, attack %.2f and %.2f", tt.radius, a.Lead.Low.LV,
			b.Lead.Low.LV, a.Lead.High.LV, b.Lead.High.LV, a.Lead.Attack*1e3, b.Lead.Attack*1e3)
		if math.Abs(a.Lead.Low.LV-b.Lead.Low.LV) > 0.08*tt.mu || math.Abs(a.Lead.Attack/b.Lead.Attack-1) > 0.1 {
			t.Errorf("R %g: low L/V %.3f and %.3f, attack %.2f and %.2f mrad by the two laws", tt.radius, a.Lead.Low.LV,
				b.Lead.Low.LV, a.Lead.Attack*1e3, b.Lead.Attack*1e3)
		}
	}
}
