package passage

import (
	"errors"
	"math"
	"testing"

	"flangeway/interaction/contact"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// On the level of the floor the tread is lifted by the flange's height less the depth.
func TestFlangeBearing(t *testing.T) {
	b := newBench(t)
	for _, v := range []struct {
		name          string
		height, depth float64 // in
		bears, whole  bool
	}{
		{"new flange on a new floor", 1, 0.875, true, true},
		{"high flange", 1.375, 0.875, true, true},
		{"worn floor that the flange meets where the tread dips", 1, 1.02, true, true},
		{"floor out of reach", 1, 1.25, false, false},
	} {
		w := b.wheel(t, wheelshape.WornReadings{Height: exact(v.height * in)})
		f := b.frog(t, 8, trackshape.BearingFrog, func(p *trackshape.FrogPlan) { p.FlangewayDepth = v.depth * in })
		p := run(t, f, w, held(w, 0), FrogOptions{}).Shown
		got, ok := p.Bears(w)
		if ok != v.bears || ok && got.Whole != v.whole {
			t.Errorf("%s: bears %t, %+v, dips %v", v.name, ok, got, p.Dips)
			continue
		}
		if lift := (v.height - v.depth) * in; ok && lift > 0 && math.Abs(got.Lift-lift) > 0.02 {
			t.Errorf("%s: lifts by %.3f mm, want %.3f", v.name, got.Lift, lift)
		}
		if want := w.Height / (w.Radius + w.Height); ok && math.Abs(got.Slower-want) > 1e-12 {
			t.Errorf("%s: slower by %g, want %g", v.name, got.Slower, want)
		}
		for _, s := range p.Strikes {
			if s.What == "floor" && v.depth == 0.875 && (s.How != "ramp" || math.Abs(s.Angle-0.01) > 1e-9) {
				t.Errorf("%s: %+v, want its ramp of 1:100", v.name, s)
			}
		}
	}
}

// The tip of a new narrow flange has the radius that its design gives it, and presses as
// a ball of it does where its wheel is as round along the track.
func TestTipOnFloor(t *testing.T) {
	w := newBench(t).wheel(t, wheelshape.WornReadings{})
	r := w.TipRadius()
	if !(r > 8 && r < 20) {
		t.Fatalf("radius of the tip %.2f mm", r)
	}
	got, err := w.TipPressure(159e3, 0)
	if err != nil {
		t.Fatal(err)
	}
	want, err := contact.Hertz(159e3, 1/(w.Radius+w.Height), 1/r, contact.Steel)
	if err != nil || got != want {
		t.Errorf("%+v, want %+v (%v)", got, want, err)
	}
	grooved, err := w.TipPressure(159e3, 2*r)
	if err != nil || !(grooved.P0 < got.P0) {
		t.Errorf("in a groove %.0f N/mm2, on a flat floor %.0f (%v)", grooved.P0, got.P0, err)
	}
	if _, err := w.TipPressure(159e3, r); !errors.Is(err, contact.ErrConformal) {
		t.Errorf("a groove that fits: %v", err)
	}
	if _, err := w.TipPressure(159e3, -1); !errors.Is(err, ErrInput) {
		t.Errorf("a groove of no radius: %v", err)
	}
}

// A wing that a spring holds closed carries the wheel farther: on the open route the frog
// is a rigid one, and a hollow wheel climbs the closed wing more.
func TestSpringFrog(t *testing.T) {
	b := newBench(t)
	at := func(typ string, closed bool, hollow float64) *FrogPath {
		r := wheelshape.WornReadings{}
		if hollow > 0 {
			r.Hollow = exact(hollow)
		}
		w := b.wheel(t, r)
		f := b.frog(t, 8, typ, func(p *trackshape.FrogPlan) { p.Closed = closed })
		return run(t, f, w, held(w, 0), FrogOptions{}).Shown
	}
	rigid, open, closed := at("rbm", false, 0), at("spring", false, 0), at("spring", true, 0)
	if rigid.Transfer != open.Transfer || rigid.Drop != open.Drop {
		t.Errorf("open route: transfer %.2f, drop %.3f, a rigid frog's %.2f, %.3f", open.Transfer, open.Drop,
			rigid.Transfer, rigid.Drop)
	}
	if !(closed.Drop < open.Drop) || !(closed.Transfer > open.Transfer) {
		t.Errorf("closed route: drop %.3f (open %.3f), transfer %.1f (%.1f)", closed.Drop, open.Drop, closed.Transfer,
			open.Transfer)
	}
	last := -math.MaxFloat64
	for _, hollow := range []float64{0, 2, 4, 6} {
		if rise := at("spring", true, hollow).WingRise; rise < last-1e-9 {
			t.Errorf("hollow %g mm climbs %.3f mm, less than a smaller one's %.3f", hollow, rise, last)
		} else {
			last = rise
		}
	}
	p := trackshape.NewFrogPlan(b.figures, "rbm", 8)
	p.Closed = true
	if _, err := trackshape.NewFrogModel(p); !errors.Is(err, trackshape.ErrFrog) {
		t.Errorf("a rigid frog with a spring: %v", err)
	}
}
