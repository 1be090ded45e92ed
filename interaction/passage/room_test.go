package passage

import (
	"math"
	"testing"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// A flange may pass the gauge line until the point stands at its 60 degree mark: along the
// 75 degree face from where thickness is read, 3/8 in over the tread, to where the tip's
// round begins, and along the round from 75 to 60 degrees. The figures are those of the
// freight designs in configs: 1 in high, a tip of 11/16 in. Their throat reaches above
// the 3/8 in and they blend into the tip, which makes a quarter of a millimetre.
func TestPointReliefOfANewFlange(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	f := b.frog(t, 8, "rbm", nil)
	const r, h = 0.6875 * in, 1 * in
	round := h - r*(1-math.Cos(75*deg))
	want := (round-0.375*in)/math.Tan(75*deg) + r*(math.Sin(75*deg)-math.Sin(60*deg))
	got, ok := w.PointRelief(f, 0, 60*deg)
	if !ok || math.Abs(got-want) > 0.25 {
		t.Errorf("relief %.2f mm %v, by the flange's own dimensions %.2f", got, ok, want)
	}
	// A point that is worn down for some inches is met where its wear has run out.
	worn := b.frog(t, 8, "rbm", func(p *trackshape.FrogPlan) { p.PointWornDown, p.PointWornBack = 0.5*in, 4*in })
	if less, ok := w.PointRelief(worn, 0, 60*deg); !ok || math.Abs(less-got) > 0.15 {
		t.Errorf("relief %.2f mm %v at a worn point, %.2f at a new one", less, ok, got)
	}
	// The shallower the mark, the less may pass.
	if steep, ok := w.PointRelief(f, 0, 74*deg); !ok || !(steep < got) {
		t.Errorf("relief %.2f mm at 74 degrees, %.2f at 60", steep, got)
	}
	// A flange that stands above the point is not beside it.
	if _, ok := w.PointRelief(f, 60, 60*deg); ok {
		t.Error("a wheel 60 mm up still stands beside the point")
	}
}

func TestTipRoomIsThatOfTheSwitch(t *testing.T) {
	b := newBench(t)
	for _, detail := range []string{"plain", "undercut"} {
		m := b.point(t, detail, func(p *trackshape.SwitchPlan) { p.Gap = 2 })
		for _, r := range []wheelshape.WornReadings{{}, {Height: exact(32), Thickness: exact(25)},
			{Height: exact(34), Thickness: exact(25.4), Vertical: exact(20)}} {
			w := b.wheel(t, r)
			a := SwitchAxle{BackToBack: 53.375 * in, MateThickness: w.Thickness, Gauge: 56.5 * in, Wheelbase: 70 * in}
			s, err := Switch(m, w, a, 60*deg, 0)
			if err != nil {
				t.Fatal(err)
			}
			room, over := w.TipRoom(m, s.Yaw)
			if over != s.TipOver || math.Abs(room-s.TipRoom) > 0.02 {
				t.Errorf("%s: room %.3f %v, on the whole switch %.3f %v", detail, room, over, s.TipRoom, s.TipOver)
			}
		}
	}
}

// A part of a switch tells the same as the whole one there.
func TestPartOfASwitch(t *testing.T) {
	b := newBench(t)
	m := b.point(t, "plain", func(p *trackshape.SwitchPlan) {
		p.ChipDepth, p.ChipLength, p.Gap = 0.8*in, 8*in,
			0.25*in
	})
	w := b.wheel(t, wheelshape.WornReadings{Height: exact(28)})
	whole, err := Switch(m, w, SwitchAxle{}, 60*deg, 0)
	if err != nil {
		t.Fatal(err)
	}
	low, err := SwitchPart(m, w, SwitchAxle{}, 60*deg, 0, 0, m.Level)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(low.Least-whole.Least) > 0.2*deg || low.First != whole.First {
		t.Errorf("least angle %.2f first at %.0f, on the whole switch %.2f at %.0f", low.Least/deg, low.First,
			whole.Least/deg, whole.First)
	}
	heel, err := SwitchPart(m, w, SwitchAxle{}, 0, 0, m.Full-w.Radius/2, m.Heel)
	if err != nil {
		t.Fatal(err)
	}
	if !heel.FalseKnown || math.Abs(heel.FalseFlange-whole.FalseFlange) > 0.02 {
		t.Errorf("false flange %.3f mm %v, on the whole switch %.3f", heel.FalseFlange, heel.FalseKnown,
			whole.FalseFlange)
	}
	if _, err := SwitchPart(m, w, SwitchAxle{}, 1, 0, m.Heel, m.Heel+100); err == nil {
		t.Error("stations behind the heel pass")
	}
}

// Heights alone are those of the whole passage.
func TestHeightsAlone(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(3), Height: exact(32)})
	m := b.frog(t, 8, "rbm", func(p *trackshape.FrogPlan) { p.FlangewayDepth = 1.5 * in })
	whole, alone := run(t, m, w, held(w, 3), FrogOptions{}), run(t, m, w, held(w, 3), FrogOptions{Heights: true})
	for i, p := range whole.Paths {
		q := alone.Paths[i]
		if p.FloorMargin != q.FloorMargin || p.WingRise != q.WingRise || p.Drop != q.Drop || p.AtTip != q.AtTip ||
			p.Transfer != q.Transfer {
			t.Errorf("held by %s: %+v, alone %+v", p.Place.Why, p.FloorMargin, q.FloorMargin)
		}
		if len(q.Strikes) != 0 || len(p.Dips) < len(q.Dips) {
			t.Errorf("dips and strikes were not left out")
		}
	}
}
