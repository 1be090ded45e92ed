package curving

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"flangeway/internal/fixture"
)

// cover solves n cases drawn over the whole field of use. At most so large a part may be open, with its reason.
func cover(t *testing.T, f *field, n int, most float64) {
	t.Helper()
	solved, open, over, climbs := 0, 0, 0, 0
	var counts []int
	var took []time.Duration
	for i := 0; solved+open < n; i++ {
		c := f.draw()
		begin := time.Now()
		s, err := Solve(c.truck, c.curve, c.mu)
		took = append(took, time.Since(begin))
		if errors.Is(err, ErrOverturns) { // an answer from statics, before anything is solved
			over++
			continue
		}
		if err != nil {
			t.Fatalf("case %d: %v", i, err)
		}
		counts = append(counts, s.Iterations)
		if s.Iterations > len(starts)*(MostIterations+20) {
			t.Errorf("case %d: %d iterations", i, s.Iterations)
		}
		if !s.Converged {
			open++
			if s.Reason == "" {
				t.Errorf("case %d: open without a reason", i)
			}
			t.Logf("case %d: %s (R %.0f m, %.1f m/s, %.0f mm, unbalance %.3f, friction %.2f, shifts %.1f and %.1f "+
				"mm, residual %.1g)", i, s.Reason, c.curve.Radius/1000, c.curve.Speed, c.curve.Elevation, s.Unbalance,
				c.mu, s.Lead.Shift, s.Trail.Shift, s.Residual)
			continue
		}
		solved++
		if s.Climbs {
			climbs++
			t.Logf("case %d: %s climbs, margin %.3f, L/V %.3f, limit %.3f; friction %.2f, unbalance %.2f, R %.0f m, "+
				"shift %.2f attack %.1f", i, s.Climbing, s.ClimbMargin, s.Lead.High.LV, s.Lead.High.Nadal,
				c.mu.HighFace, s.Unbalance, c.curve.Radius/1e3, s.Lead.Shift, s.Lead.Attack*1e3)
			if !(s.ClimbMargin < 0) {
				t.Errorf("case %d: it climbs with a margin of %.3f", i, s.ClimbMargin)
			}
		}
		if !(s.Residual < Tolerance) {
			t.Errorf("case %d: residual %g", i, s.Residual)
		}
		sound(t, i, c, s)
	}
	slices.Sort(counts)
	slices.Sort(took)
	t.Logf("%d solved, of which %d climb, %d open, %d tip over; iterations: half below %d, 99 percent below %d, most "+
		"%d; median time %v", solved, climbs, open, over, counts[len(counts)/2], counts[len(counts)*99/100],
		counts[len(counts)-1], took[len(took)/2])
	if float64(open) > most*float64(n) {
		t.Errorf("%d of %d are open", open, n)
	}
}

// sound holds of every answer: the forces of the wheels themselves, read again, are in
// balance, and no wheel has more creep force than friction.
func sound(t *testing.T, i int, c fieldCase, s Solution) {
	t.Helper()
	w := c.truck.AxleLoad
	net := 0.0
	axles := s.Axles()
	for _, a := range axles {
		net += a.High.L - a.Low.L
		if math.Abs(a.High.V+a.Low.V-w) > 1e-5*w {
			t.Errorf("case %d: an axle carries %.6g of %.6g N", i, a.High.V+a.Low.V, w)
		}
		for _, x := range []Wheel{a.High, a.Low} {
			if !(x.V > 0) || !(x.Slip >= 0) || !(x.Wear >= 0) ||
				math.IsNaN(x.L+x.ContactAngle+x.TreadY+x.Offset+x.ClimbMargin) {
				t.Errorf("case %d: %+v", i, x)
			}
		}
	}
	if want := float64(len(axles)) * s.Unbalance * w; math.Abs(net-want) > 1e-5*w {
		t.Errorf("case %d: net lateral force %.6g N, unbalanced %.6g", i, net, want)
	}
}

// A short walk over the whole field, always.
func TestField(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	cover(t, newField(t, 1, 8), 120, 0.001)
}

// The whole field: 0 to 20 degrees, hollow 0 to 6 mm on each wheel, friction 0.1 to
// 0.6, gauge 56 to 58 in, 0 to 60 mph, axles of 40 to 80 kip, thin to thick flanges of
// both designs, all sections, rigid and three-piece. Run once, without the race
// detector.
func TestVolumeField(t *testing.T) {
	fixture.InVolumes(t, "large volume")
	t.Parallel()
	cover(t, newField(t, 2, 40), 10000, 0.001)
}

// threeAxleField draws trucks of three axles, whose middle axle has 0 to 1-1/2 in in the frame.
func threeAxleField(t testing.TB, seed uint64, kinds int) *field {
	f := newField(t, seed, kinds)
	f.three = true
	return f
}

func TestFieldOfThreeAxles(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	cover(t, threeAxleField(t, 5, 4), 40, 0.002)
}

// The same field with trucks of three axles. Run once, without the race detector.
func TestVolumeFieldOfThreeAxles(t *testing.T) {
	fixture.InVolumes(t, "large volume")
	t.Parallel()
	cover(t, threeAxleField(t, 6, 30), 3000, 0.002)
}
