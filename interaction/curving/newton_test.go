package curving

import (
	"math"
	"testing"
)

// The derived change of the residuals with each unknown is that between two residuals a
// little apart, of a rigid truck, of one that warps and of one with three axles, the middle one
// free and at its stop, steady and within a step.
func TestJacobian(t *testing.T) {
	w := worn(t, wheelNamed(t, "narrow flange 1:20"), 0, 3)
	axle := american(t, w, w, "115RE")
	off := vector{4, 3, 1, 0.2, 0.1, -0.1, 0.3, -0.1, 0.1, 0.1, 0.1, -0.1, 6.5}
	for _, tt := range []struct {
		name  string
		truck Truck
		way   float64
	}{
		{"rigid, steady", freight(axle), math.Inf(1)},
		{"rigid, a step of 0.5 m", freight(axle), 500},
		{"warps, steady", threePiece(axle), math.Inf(1)},
		{"warps, a step of 0.5 m", threePiece(axle), 500},
		{"three axles, steady", threeAxles(freight(axle), 5), math.Inf(1)},
		{"three axles, a step of 0.5 m", threeAxles(freight(axle), 8), 500},
	} {
		p, err := new(Room).problem(tt.truck, Curve{Radius: radiusOf(5), Elevation: inch, Speed: 8}, Same(0.4))
		if err != nil {
			t.Fatal(err)
		}
		p.bend.curvature = p.curvature
		q := p.start()
		from := p.now(&q)
		from.way = tt.way
		for c, by := range off {
			q[c] += by
		}
		var wk work
		p.residual(&q, &from, &wk)
		p.jacobian(&from, &wk)
		for c := range p.unknowns() {
			const h = 1e-5
			lo, hi := q, q
			lo[c] -= h
			hi[c] += h
			var other work
			a, b := p.residual(&lo, &from, &other), p.residual(&hi, &from, &other)
			for i := range p.unknowns() {
				want := (b[i] - a[i]) / (2 * h)
				if got := wk.jac[i][c]; math.Abs(got-want) > 1e-4*(1+math.Abs(want)) {
					t.Errorf("%s: residual %d changes with unknown %d by %g, between two residuals by %g", tt.name, i,
						c, got, want)
				}
			}
		}
	}
}
