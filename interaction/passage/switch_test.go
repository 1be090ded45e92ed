package passage

import (
	"errors"
	"math"
	"testing"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

const deg = math.Pi / 180

func (b bench) point(t testing.TB, detail string, change func(*trackshape.SwitchPlan)) *trackshape.SwitchModel {
	t.Helper()
	p, err := trackshape.NewSwitchPlan(b.figures, detail)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&p)
	}
	m, err := trackshape.NewSwitchModel(p)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// A round flange tip on the edge of a point's top: acos(1 - s/r) up to where the tip's
// own round ends, the face's angle above. With a flange 1 in high and a tip of 1/2 in the
// contact is at 60 degrees when the top lies 3/4 in down, the practice limit of 19 mm.
func TestContactAngleOnTheTip(t *testing.T) {
	b := newBench(t)
	rec, ok := b.shapes.Wheel("narrow flange 1:20")
	if !ok {
		t.Fatal("no wheel")
	}
	f := *rec.Freight
	f.TipRadius = 0.5 * in
	rec.Freight = &f
	s, err := wheelshape.New(rec)
	if err != nil {
		t.Fatal(err)
	}
	half, err := NewWheel(s, 36*in)
	if err != nil {
		t.Fatal(err)
	}
	whole := b.wheel(t, wheelshape.WornReadings{})
	for _, v := range []struct {
		name, reason string
		w            *Wheel
		down, want   float64
	}{
		{"3/4 in", "the 60 degree mark", half, 0.75, 60},
		{"s 0.10", "near the tip", half, 0.9, 36.870},
		{"s 0.20", "on the tip's round", half, 0.8, 53.130},
		{"low on 11/16", "rounder tip, less steep", whole, 0.8, math.Acos(1-0.2/0.6875) / deg},
		{"60 on 11/16", "half of the radius above the tip", whole, 1 - 0.6875/2, 60},
		{"on the face", "capped by the face", half, 0.5, 75},
		{"in the throat", "the face must be passed", half, 0.2, 75},
	} {
		t.Run(v.name, func(t *testing.T) {
			sd := v.w.beside(trackshape.Head{Y0: -10, Y1: 10, Top: v.down * in}, 30, 0, 0)
			if sd.over {
				t.Fatal("over the point")
			}
			if got := v.w.climbAngle(sd.height) / deg; math.Abs(got-v.want) > 0.2 {
				t.Errorf("%.3f degrees, want %.3f (%s)", got, v.want, v.reason)
			}
		})
	}
	if sd := half.beside(trackshape.Head{Y0: -10, Y1: 10, Top: 1.001 * in}, 30, 0, 0); !sd.over {
		t.Error("a top below the flange tip is met")
	}
}

// Pushed toward the point by a millimetre, the room falls by a millimetre; a yawed axle
// comes nearer by the yaw times how far ahead the flange is.
func TestRoomBesideThePoint(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	h := trackshape.Head{Y0: -3, Y1: 0, Top: 10}
	a, c := w.beside(h, 40, 0, 0), w.beside(h, 41, 0, 0)
	if math.Abs(a.room-c.room-1) > 0.005 {
		t.Errorf("%.3f and %.3f", a.room, c.room)
	}
	// On the upright part of a vertical flange the deepest place leads.
	v := b.wheel(t, wheelshape.WornReadings{Thickness: exact(1 * in), Vertical: exact(0.8 * in)})
	h.Top = 16
	straight, yawed := v.beside(h, 40, 0, 0), v.beside(h, 40, 0, 0.02)
	deep := v.Vertical - 16
	if want := 0.02 * math.Sqrt(2*(v.Radius+16)*deep); math.Abs(straight.room-yawed.room-want) > 0.1 {
		t.Errorf("yaw takes %.3f mm, want %.3f", straight.room-yawed.room, want)
	}
}

// The bound on the yaw: play in the gauge over the truck's wheelbase.
func TestYawWithinPlay(t *testing.T) {
	for _, v := range []struct{ b, t, want float64 }{{53, 0.9375, 0.0232}, {53.09375, 1.15625, 0.0156}} {
		a := SwitchAxle{BackToBack: v.b * in, MateThickness: v.t * in, Gauge: 56.5 * in, Wheelbase: 70 * in}
		if yaw, ok, err := a.Yaw(v.t * in); err != nil || !ok || math.Abs(yaw-v.want) > 6e-5 {
			t.Errorf("%.5f, want %.4f: %v", yaw, v.want, err)
		}
		a.Wheelbase = 0
		if yaw, ok, err := a.Yaw(v.t * in); yaw != 0 || ok || err != nil {
			t.Errorf("without a wheelbase %g %v %v", yaw, ok, err)
		}
	}
}

func cross(t testing.TB, m *trackshape.SwitchModel, w *Wheel) *SwitchSolution {
	t.Helper()
	s, err := Switch(m, w, SwitchAxle{BackToBack: 53.375 * in, MateThickness: w.Thickness, Gauge: 56.5 * in,
		Wheelbase: 70 * in}, 60*deg, 0)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A new wheel on an unworn point: it clears the tip, meets the point behind it on the face,
// is carried over and lifted by the riser, its outer tread clear of the stock rail.
func TestNewWheelOnNewPoint(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	for _, detail := range []string{"plain", "undercut"} {
		m := b.point(t, detail, nil)
		s := cross(t, m, w)
		if s.TipRoom < 0 || s.TipOver || !s.Meets || s.First <= 0 || s.RidesUp || s.Behinds || s.Least < 60*deg {
			t.Errorf("%s: tip room %.2f, first met at %.0f, least angle %.1f, rides up %v, behind %v", detail,
				s.TipRoom, s.First, s.Least/deg, s.RidesUp, s.Behinds)
		}
		if !s.Transfers || !s.FalseKnown || s.FalseFlange < 0.25*in || s.Dip.Angle > 0.03 {
			t.Errorf("%s: %+v, outer tread %.2f", detail, s.Dip, s.FalseFlange)
		}
		for i := 1; i < len(s.Stations); i++ {
			if a, b := s.Stations[i-1], s.Stations[i]; math.Abs(b.Z-a.Z) > 0.03*(b.X-a.X) {
				t.Errorf("%s: from %.0f to %.0f the wheel goes from %.2f to %.2f mm", detail, a.X, b.X, a.Z, b.Z)
			}
		}
		end := s.Stations[len(s.Stations)-1]
		if math.Abs(end.Z-s.Stations[0].Z-0.25*in) > 0.05 || end.RestsOn != Point {
			t.Errorf("%s: lifted by %.3f mm on the riser of %.3f", detail, end.Z-s.Stations[0].Z, 0.25*in)
		}
	}
}

// The step behind a chip is met at the chip's own depth, also where the flange passes
// beside the chip: the angle of the tip's round, less with each deeper chip.
func TestStepBehindAChip(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	last := 90.0
	for depth := 0.5; depth < 1.1; depth += 0.0156 {
		for _, length := range []float64{3, 8, 20} {
			s := cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) {
				p.ChipDepth, p.ChipLength = depth*in,
					length*in
			}), w)
			// Below its face the tip is round with 11/16 in; the tread pressed on stands up to 4 mm over the
			// plane that the depth is read from.
			angle := func(up float64) float64 {
				return math.Min(math.Acos(1-math.Max(0, math.Min(up/0.6875, 1)))/deg, 75)
			}
			want := angle(1 - depth)
			if !s.Steps || s.Step != length*in || want < 62 && s.StepAngle/deg > want+0.5 ||
				s.StepAngle/deg < angle(1-depth-4/in)-0.5 {
				t.Errorf("chip %.3f in deep, %g long: step %v at %.1f, %.1f degrees, want %.1f", depth, length, s.Steps,
					s.Step, s.StepAngle/deg, want)
			}
			if want < 58 && !s.RidesUp {
				t.Errorf("chip %.3f in deep, %g long: met at %.1f degrees and does not ride up", depth, length,
					s.StepAngle/deg)
			}
			if length == 8 {
				if s.StepAngle/deg > last+1e-9 {
					t.Errorf("chip %.3f in deep: %.1f degrees after %.1f", depth, s.StepAngle/deg, last)
				}
				last = s.StepAngle / deg
			}
		}
	}
	for _, v := range []struct {
		name, reason  string
		depth, length float64
	}{{"short", "a chip under 2 in is none", 0.9, 1.9}, {"shallow", "the point is as low anyhow", 0.1, 3},
		{"none", "no chip", 0, 8}} {
		if s := cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) {
			p.ChipDepth, p.ChipLength = v.depth*in,
				v.length*in
		}), w); s.Steps {
			t.Errorf("%s: a step at %.0f (%s)", v.name, s.Step, v.reason)
		}
	}
}

// However hollow, the wheel goes over a point without a leap in height or sideways.
func TestHollowWheelGoesOverSmoothly(t *testing.T) {
	b := newBench(t)
	for _, hollow := range []float64{2, 5, 8} {
		w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(hollow)})
		for _, detail := range []string{"plain", "undercut"} {
			s := cross(t, b.point(t, detail, func(p *trackshape.SwitchPlan) { p.Gap = 9.5 }), w)
			for i := 1; i < len(s.Stations); i++ {
				a, b := s.Stations[i-1], s.Stations[i]
				if math.Abs(b.Z-a.Z) > 0.08*(b.X-a.X) || a.X > 0 && math.Abs(b.Tape-a.Tape) > 0.06*(b.X-a.X) {
					t.Errorf("hollow %g, %s: from %.0f to %.0f the wheel goes from %.2f to %.2f mm up, %.2f to %.2f "+
						"across", hollow, detail, a.X, b.X, a.Z, b.Z, a.Tape, b.Tape)
				}
			}
		}
	}
}

// A gap, a worn stock rail and a thick tip bring the tip out by as much; an undercut hides
// it by as much.
func TestTipRoomGoesWithTheTip(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	base := cross(t, b.point(t, "plain", nil), w).TipRoom
	for _, v := range []struct {
		name, reason string
		change       func(*trackshape.SwitchPlan)
		want         float64
	}{
		{"gap", "one for one", func(p *trackshape.SwitchPlan) { p.Gap = 3 }, -3},
		{"stock rail wear", "one for one", func(p *trackshape.SwitchPlan) { p.StockWear = 2 }, -2},
		{"undercut", "hides", func(p *trackshape.SwitchPlan) { p.Undercut = 4 }, 4},
		{"both", "gap in an undercut", func(p *trackshape.SwitchPlan) { p.Gap, p.Undercut = 5, 2 }, -3},
	} {
		t.Run(v.name, func(t *testing.T) {
			if got := cross(t, b.point(t, "plain", v.change), w).TipRoom - base; math.Abs(got-v.want) > 0.02 {
				t.Errorf("%.3f mm, want %.3f (%s)", got, v.want, v.reason)
			}
		})
	}
}

// A chip lets the flange meet the point low on its tip; deeper is shallower; a chip below
// the tip is passed over.
func TestChippedPoint(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	last := math.Pi
	for _, v := range []struct {
		depth   float64
		ridesUp bool
	}{{0.5, false}, {0.6, false}, {0.75, true}, {0.85, true}} {
		s := cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) {
			p.Gap, p.ChipDepth, p.ChipLength = 6,
				v.depth*in, 12*in
		}), w)
		if s.RidesUp != v.ridesUp || s.Least > last+1e-9 {
			t.Errorf("chip %g in: least angle %.1f at %.0f after %.1f, rides up %v", v.depth, s.Least/deg, s.LeastX,
				last/deg, s.RidesUp)
		}
		last = s.Least
		if v.ridesUp && !(s.RideUp >= 0 && s.RideUp <= 12*in) {
			t.Errorf("chip %g in: rides up at %.0f", v.depth, s.RideUp)
		}
	}
	s := cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) {
		p.Gap, p.ChipDepth, p.ChipLength = 6, 1.1*in,
			12*in
	}), w)
	if !s.Behinds || !s.TipOver {
		t.Errorf("chip below the flange tip: behind %v, over %v", s.Behinds, s.TipOver)
	}
	// A high flange helps here.
	high := b.wheel(t, wheelshape.WornReadings{Height: exact(1.25 * in)})
	if s := cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) {
		p.Gap, p.ChipDepth, p.ChipLength = 6, 0.75*in,
			12*in
	}), high); s.RidesUp {
		t.Errorf("a flange 1-1/4 in high rides up at %.1f degrees", s.Least/deg)
	}
	// A worn face is no steeper than it was read.
	if s := cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) { p.FaceAngle = 55 }), w); !s.RidesUp ||
		math.Abs(s.Least-55*deg) > 1e-9 {
		t.Errorf("a face of 55 degrees: %.1f", s.Least/deg)
	}
}

// The outer tread's clearance over the stock rail goes one for one with the riser, and a
// hollow takes it away.
func TestFalseFlangeOverTheStockRail(t *testing.T) {
	b := newBench(t)
	at := func(hollow, rise float64) *SwitchSolution {
		return cross(t, b.point(t, "plain", func(p *trackshape.SwitchPlan) { p.HeelRise = rise }),
			b.wheel(t, wheelshape.WornReadings{Hollow: exact(hollow)}))
	}
	a, c := at(0, 6), at(0, 4)
	if math.Abs(a.FalseFlange-c.FalseFlange-2) > 0.05 {
		t.Errorf("%.3f and %.3f", a.FalseFlange, c.FalseFlange)
	}
	last := a.FalseFlange
	for _, h := range []float64{2, 4, 6} {
		s := at(h, 6)
		if s.FalseFlange > last-1 {
			t.Errorf("hollow %g mm: %.2f after %.2f", h, s.FalseFlange, last)
		}
		last = s.FalseFlange
	}
	if s := at(6, 0); s.FalseFlange > 0 {
		t.Errorf("hollow 6 mm without a riser: clear by %.2f", s.FalseFlange)
	}
}

func TestSwitchConverges(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(3)})
	m := b.point(t, "plain", func(p *trackshape.SwitchPlan) { p.Gap, p.ChipDepth, p.ChipLength = 4, 0.7*in, 6*in })
	at := func(step float64) *SwitchSolution {
		s, err := Switch(m, w, SwitchAxle{}, 60*deg, step)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	fine := at(1)
	for _, step := range []float64{0, 5} {
		s := at(step)
		if math.Abs(s.Transfer-fine.Transfer) > 15 || math.Abs(s.Least-fine.Least) > 1*deg ||
			math.Abs(s.TipRoom-fine.TipRoom) > 1e-9 || math.Abs(s.Lift-fine.Lift) > 0.05 {
			t.Errorf("step %g: transfer %.1f (%.1f), least %.2f (%.2f), lift %.3f (%.3f)", step, s.Transfer,
				fine.Transfer, s.Least/deg, fine.Least/deg, s.Lift, fine.Lift)
		}
	}
}

func TestSwitchRefuses(t *testing.T) {
	b := newBench(t)
	m := b.point(t, "plain", nil)
	w := b.wheel(t, wheelshape.WornReadings{})
	for name, f := range map[string]func() error{
		"no switch": func() error { _, err := Switch(nil, w, SwitchAxle{}, 1, 0); return err },
		"no wheel":  func() error { _, err := Switch(m, nil, SwitchAxle{}, 1, 0); return err },
		"step":      func() error { _, err := Switch(m, w, SwitchAxle{}, 1, math.NaN()); return err },
		"fine":      func() error { _, err := Switch(m, w, SwitchAxle{}, 1, 1e-3); return err },
		"climb":     func() error { _, err := Switch(m, w, SwitchAxle{}, 2, 0); return err },
		"axle": func() error {
			_, err := Switch(m, w, SwitchAxle{BackToBack: 1, MateThickness: 1, Gauge: 1, Wheelbase: 1}, 1, 0)
			return err
		},
	} {
		if err := f(); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, change := range map[string]func(*trackshape.SwitchPlan){
		"gap":      func(p *trackshape.SwitchPlan) { p.Gap = -1 },
		"gap nan":  func(p *trackshape.SwitchPlan) { p.Gap = math.NaN() },
		"chip":     func(p *trackshape.SwitchPlan) { p.ChipDepth = 200 },
		"face":     func(p *trackshape.SwitchPlan) { p.FaceAngle = 91 },
		"drop":     func(p *trackshape.SwitchPlan) { p.Drop = 100 },
		"stations": func(p *trackshape.SwitchPlan) { p.Stations = p.Stations[:1] },
	} {
		p, err := trackshape.NewSwitchPlan(b.figures, "plain")
		if err != nil {
			t.Fatal(err)
		}
		change(&p)
		if _, err := trackshape.NewSwitchModel(p); !errors.Is(err, trackshape.ErrSwitch) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := trackshape.NewSwitchPlan(b.figures, "other"); !errors.Is(err, trackshape.ErrSwitch) {
		t.Error("an unknown detail is taken")
	}
}

func BenchmarkSwitch(b *testing.B) {
	x := newBench(b)
	w := x.wheel(b, wheelshape.WornReadings{Hollow: exact(3)})
	m := x.point(b, "plain", func(p *trackshape.SwitchPlan) { p.Gap, p.ChipDepth, p.ChipLength = 4, 0.7*in, 6*in })
	a := SwitchAxle{BackToBack: 53.375 * in, MateThickness: w.Thickness, Gauge: 56.5 * in, Wheelbase: 70 * in}
	for b.Loop() {
		if _, err := Switch(m, w, a, 60*deg, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// Every reading that a sheet can hold gives an answer or an error, never a panic or a value
// that is no number.
func TestAnySwitchAnswers(t *testing.T) {
	b := newBench(t)
	wheels := []*Wheel{b.wheel(t, wheelshape.WornReadings{}), b.wheel(t, wheelshape.WornReadings{Hollow: exact(8)}),
		b.wheel(t, wheelshape.WornReadings{Thickness: exact(0.875 * in)})}
	for _, detail := range []string{"plain", "undercut"} {
		for _, v := range []struct{ gap, drop, thick, chip, length, wear, undercut, rise float64 }{
			{0, 0, 0, 0, 0, 0, 0, 0}, {101, 76, 50, 101, 1524, 50, 25, 50}, {0, 76, 0, 0, 0, 0, 25, 50},
			{50, 0, 50, 20, 0, 0, 0, 0}, {3, 5, 3, 25.4, 200, 5, 0, 6},
		} {
			p, err := trackshape.NewSwitchPlan(b.figures, detail)
			if err != nil {
				t.Fatal(err)
			}
			p.Gap, p.Drop, p.TipThickness, p.ChipDepth, p.ChipLength, p.StockWear, p.Undercut, p.HeelRise = v.gap,
				v.drop, v.thick, v.chip, v.length, v.wear, v.undercut, v.rise
			m, err := trackshape.NewSwitchModel(p)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range wheels {
				s := cross(t, m, w)
				for _, st := range s.Stations {
					if math.IsNaN(st.Z+st.Angle+st.Tape+st.Tread) || math.IsInf(st.Z, 0) {
						t.Fatalf("%s %+v at %.0f: %+v", detail, v, st.X, st)
					}
				}
				if math.IsNaN(s.TipRoom + s.Least + s.Lift + s.Drop + s.Dip.Angle) {
					t.Fatalf("%s %+v: %+v", detail, v, s.Dip)
				}
			}
		}
	}
}
