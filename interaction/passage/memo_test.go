package passage

import (
	"sync"
	"testing"

	"flangeway/track"
	"flangeway/wheel"
)

// Alike wheels and frogs are solved once, from several goroutines too, and come out as
// they do alone.
func TestMemoSolvesOnce(t *testing.T) {
	b := newBench(t)
	design, err := wheel.ShapeNamed(b.shapes, "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	m := NewMemo()
	plan := track.NewFrogPlan(b.figures, "rbm", 8)
	answers := make([]*FrogSolution, 8)
	var group sync.WaitGroup
	for i := range answers {
		group.Go(func() {
			r := wheel.WornReadings{Hollow: exact(float64(1 + i%2))}
			w, err := m.Wheel(design, r, 36*in)
			if err != nil {
				t.Error(err)
				return
			}
			if answers[i], err = m.Frog(plan, w.Middle, Axle{}, FrogOptions{}); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	if t.Failed() {
		return
	}
	if len(m.wheels) != 2 || len(m.frogs) != 2 {
		t.Errorf("%d wheels and %d frogs kept, want 2 and 2", len(m.wheels), len(m.frogs))
	}
	alone := run(t, b.frog(t, 8, "rbm", nil), b.wheel(t, wheel.WornReadings{Hollow: exact(1)}), Axle{}, FrogOptions{})
	if got := answers[0].Shown; got.Dip != alone.Shown.Dip || got.Lift != alone.Shown.Lift {
		t.Errorf("%+v, alone %+v", got.Dip, alone.Shown.Dip)
	}
	r, err := m.Wheel(design, wheel.WornReadings{Hollow: exact(1)}, 36*in)
	if err != nil {
		t.Fatal(err)
	}
	if x, err := r.Extremes(); err != nil || len(x) == 0 {
		t.Errorf("%d extremes: %v", len(x), err)
	}
	// Errors are kept too.
	plan.Type = "spring"
	for range 2 {
		if _, err := m.Frog(plan, r.Middle, Axle{}, FrogOptions{}); err == nil {
			t.Error("a spring frog is solved")
		}
	}
}
