package passage

import (
	"errors"
	"math"
	"testing"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// An even tread on a flat wing: the coned tread sinks by a twentieth of how far the wing's
// edge has moved out past the tape line, and the transfer turns the path by the slope of
// the point's top and a twentieth of the frog's angle.
func TestNewWheelOnFlatWings(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	for _, n := range []float64{6, 8, 10, 20} {
		// Held 10 mm off the gauge line, so that the throat stays off the corner.
		// The point's edges are rounded little, so that their round does not grow with it.
		m := b.frog(t, n, "rbm", func(p *trackshape.FrogPlan) { p.PointCorner = 3 })
		s := run(t, m, w, held(w, 10), FrogOptions{})
		p := s.Shown
		if !p.Place.Held || math.Abs(p.Place.Tape-(w.Shape.Tape-w.Thickness-10)) > 1e-9 {
			t.Fatalf("place %+v", p.Place)
		}
		corner := m.Plan.WingCorner
		for _, st := range p.Stations {
			if st.RestsOn != Wing || st.X < m.Throat+20*n || st.X > 0 {
				continue
			}
			// Where a slope of 1:20 touches the round: corner*sin beyond its end, and
			// corner*(1-cos) below its top.
			a := math.Atan(1.0 / 20)
			y := m.WingFace(st.X) + corner - corner*math.Sin(a) - p.Place.Tape
			want := -y/20 - corner*(1-math.Cos(a))
			// The path falls by 1 in 20 N, so the round wheel rests on what lies behind.
			want += w.Radius / 2 / (400 * n * n)
			if math.Abs(st.Z-want) > 0.002 {
				t.Fatalf("No. %g at %.0f: %.4f mm, want %.4f", n, st.X, st.Z, want)
			}
			if clear := m.Plan.FlangewayDepth + want - w.Height; st.Floored && math.Abs(st.Tip-clear) > 0.002 {
				t.Fatalf("tip clearance %.3f, want %.3f", st.Tip, clear)
			}
		}
		if !p.Transfers || len(p.Strikes) != 0 || p.FloorMargin < 10 {
			t.Errorf("No. %g: %+v, floor %.2f", n, p.Strikes, p.FloorMargin)
		}
		slope := m.Plan.PointDrop / (m.Level - m.Tip)
		if want := slope + 1/(20*n); p.Transfer < m.Tip+10 || math.Abs(p.Dip.Angle-want) > 1e-5 {
			t.Errorf("No. %g: dip %.5f, want %.5f", n, p.Dip.Angle, want)
		}
		// The level point is higher than the toe by what its smaller round leaves.
		lift := slowRest(w, m.Section(m.Level).Point, p.Place.Tape) - slowRest(w, m.Section(m.Toe).Wing, p.Place.Tape)
		if math.Abs(p.Lift-lift) > 0.002 {
			t.Errorf("No. %g: a new wheel is lifted by %.3f mm, want %.3f", n, p.Lift, lift)
		}
	}
}

// slowRest is where a wheel rests on a flat head with round edges, looked for at every
// hundredth of a millimetre.
func slowRest(w *Wheel, h trackshape.Head, tape float64) float64 {
	best := math.Inf(-1)
	for y := h.Y0; y <= h.Y1; y += 0.01 {
		if y-tape < w.curve.Begin() || y-tape > w.curve.End() {
			continue
		}
		z := h.Top
		if d := h.Y0 + h.Corner - y; d > 0 {
			z += h.Corner - math.Sqrt(math.Max(0, h.Corner*h.Corner-d*d))
		}
		if d := y - (h.Y1 - h.Corner); d > 0 {
			z += h.Corner - math.Sqrt(math.Max(0, h.Corner*h.Corner-d*d))
		}
		if h.Crown > 0 {
			z += h.Crown - math.Sqrt(h.Crown*h.Crown-(y-h.Middle)*(y-h.Middle))
		}
		z -= h.Slope * (y - 1.6875*in)
		best = math.Max(best, w.curve.Height(y-tape)-z)
	}
	return best
}

// The quick search finds what a search of every place finds, up to where the flange bears.
func TestRestFindsTheHighestPlace(t *testing.T) {
	b := newBench(t)
	for _, hollow := range []float64{0, 2, 5} {
		w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(hollow)})
		for _, h := range []trackshape.Head{
			{Y0: 0, Y1: 70, Top: 2, Corner: 12.7}, {Y0: 40, Y1: 110, Top: 0, Corner: 9.5, Crown: 254, Middle: 75},
			{Y0: 0, Y1: 12.7, Top: 5, Corner: 6.35}, {Y0: 20, Y1: 130, Top: 0, Corner: 12.7, Slope: 0.05},
			{Y0: 10, Y1: 80, Top: 0, Corner: 9.5, Crown: 254, Middle: 45, Slope: -0.03},
			{Y0: 90, Y1: 100, Top: 1, Corner: 2}, {Y0: -40, Y1: 80, Top: 1, Corner: 0},
		} {
			for tape := 15.0; tape < 44; tape += 1.7 {
				got, ok := w.rest(h, tape)
				want := slowRest(w, h, tape)
				if want < -5 { // on the rounded field edge, where no wheel rests
					continue
				}
				if ok == math.IsInf(want, 0) || ok && math.Abs(got.height-want) > 0.005 {
					t.Fatalf("hollow %g, %+v at %.1f: %.4f, want %.4f", hollow, h, tape, got.height, want)
				}
			}
		}
	}
}

// Where the wheel rested before only says where to look first: from any sample the answer is
// the same to the last digit.
func TestRestNearAnySample(t *testing.T) {
	b := newBench(t)
	for _, hollow := range []float64{0, 5} {
		w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(hollow)})
		for _, h := range []trackshape.Head{
			{Y0: 0, Y1: 70, Top: 2, Corner: 12.7}, {Y0: 0, Y1: 70, Corner: 9.5, Bevel: 20, Crown: 254, Middle: 35},
			{Y0: 0, Y1: 6, Top: 5, Corner: 3}, {Y0: 20, Y1: 130, Corner: 12.7, Slope: 0.05},
			{Y0: -40, Y1: 80, Top: 1, Crown: 254, Middle: 20, Slope: -0.03},
		} {
			for tape := 15.0; tape < 44; tape += 2.9 {
				want, there := w.rest(h, tape)
				for from := 0; from < len(w.z); from += 7 {
					at := from
					if got, ok := w.restNear(h, tape, &at); got != want || ok != there {
						t.Fatalf("hollow %g, %+v at %.1f from sample %d: %+v, want %+v", hollow, h, tape, from, got,
							want)
					}
				}
			}
		}
	}
}

// On wings that conform to the new tread a new wheel stays level; a hollow one is lifted by
// what its false flange stands above the tread, from there to the transfer.
func TestHollowOnConformingWing(t *testing.T) {
	b := newBench(t)
	conform := func(p *trackshape.FrogPlan) { p.WingSlope, p.WingWidth, p.PointDrop = 1.0/20, 110, 0 }
	fresh := b.wheel(t, wheelshape.WornReadings{})
	m := b.frog(t, 8, "rbm", conform)
	level := run(t, m, fresh, held(fresh, 10), FrogOptions{}).Shown
	from := level.Stations[0].Z
	for _, st := range level.Stations {
		if math.Abs(st.Z-from) > 0.02 {
			t.Fatalf("the new wheel at %.0f stands %.3f mm over its level on a conforming frog", st.X, st.Z-from)
		}
	}
	for _, mm := range []float64{1, 2, 4, 6} {
		w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(mm)})
		// What stands above the new tread's line, drawn through the hollow's ground.
		over := math.Inf(-1)
		for _, v := range w.Shape.Outline {
			if v.Y > 0 {
				over = math.Max(over, v.Z+v.Y/20)
			}
		}
		p := run(t, m, w, held(w, 10), FrogOptions{}).Shown
		// The wing is wide enough to carry the false flange from the toe on: its height
		// over the level of the new wheel is what the false flange stands above the tread.
		shift := held(w, 10).GuardCheck - held(fresh, 10).GuardCheck // both faces held alike
		lift := math.Inf(-1)
		for _, st := range p.Stations {
			if st.X < 0 {
				lift = math.Max(lift, st.Z-from)
			}
		}
		if want := over + shift/20; math.Abs(lift-want) > 0.05 {
			t.Errorf("hollow %g mm: lifted by %.3f mm, want %.3f", mm, lift, want)
		}
		if over < mm-0.5 {
			t.Errorf("hollow %g mm: the false flange stands %.2f mm over the tread", mm, over)
		}
	}
}

// Deeper hollows climb higher, carry the load farther back and fall farther at the
// transfer.
func TestHollowFallsFartherLater(t *testing.T) {
	b := newBench(t)
	m := b.frog(t, 8, "rbm", nil)
	last := run(t, m, b.wheel(t, wheelshape.WornReadings{}), Axle{}, FrogOptions{}).Paths[1]
	for _, mm := range []float64{2, 4, 6} {
		p := run(t, m, b.wheel(t, wheelshape.WornReadings{Hollow: exact(mm)}), Axle{}, FrogOptions{}).Paths[1]
		if !(p.Lift > last.Lift-0.01 && p.Transfer > last.Transfer) || mm > 2 &&
			!(p.Drop > last.Drop && p.Lift > last.Lift+1) {
			t.Errorf("hollow %g mm: lift %.2f after %.2f, drop %.2f after %.2f, transfer %.0f after %.0f, dip %.4f "+
				"after %.4f", mm, p.Lift, last.Lift, p.Drop, last.Drop, p.Transfer, last.Transfer, p.Dip.Angle,
				last.Dip.Angle)
		}
		last = p
	}
}

// A new wheel of either flange passes an unworn frog of any number and modelled type,
// held by the guard as designed, without a strike, and clears the blunt point.
func TestNewWheelsPassNewFrogs(t *testing.T) {
	b := newBench(t)
	for _, v := range []struct {
		name string
		back float64
	}{{"narrow flange 1:20", 53.375}, {"wide flange 1:20", 53.09375}} {
		s, err := wheelshape.Named(b.shapes, v.name)
		if err != nil {
			t.Fatal(err)
		}
		w, err := NewWheel(s, 33*in)
		if err != nil {
			t.Fatal(err)
		}
		for _, typ := range trackshape.ModelledFrogs() {
			if typ == trackshape.BearingFrog { // its floor is to be struck
				continue
			}
			for _, n := range []float64{5, 8, 12, 20} {
				m := b.frog(t, n, typ, nil)
				r := run(t, m, w, Axle{BackToBack: v.back * in, MateThickness: w.Thickness, GuardCheck: 54.625 * in,
					Gauge: 56.5 * in}, FrogOptions{})
				p := r.Shown
				if len(p.Strikes) > 0 || r.FloorMargin < 0.7*in || !p.Transfers || p.Lift > 0.03*in ||
					p.PointMargin < 0 {
					t.Errorf("%s, No. %g %s: strikes %+v, floor %.1f, lift %.2f, point %.2f", v.name, n, typ, p.Strikes,
						r.FloorMargin, p.Lift, p.PointMargin)
				}
			}
		}
	}
}

// A floor that stands blunt above the flange tip is met as a step of its overlap; a ramp
// at its own rate; a frog worn down onto its floor at a slope.
func TestFloorStrikes(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{Height: exact(1.375 * in)})
	shallow := func(p *trackshape.FrogPlan) { p.FlangewayDepth = 1.25 * in }
	m := b.frog(t, 8, "rbm", shallow)
	p := run(t, m, w, held(w, 10), FrogOptions{}).Shown
	if len(p.Strikes) != 1 {
		t.Fatalf("%+v", p.Strikes)
	}
	k := p.Strikes[0]
	// The overlap where the tread is lowest on the wing.
	if k.What != "floor" || k.How != "step" || math.Abs(k.Rise+p.FloorMargin) > 0.01 || p.FloorMargin > -0.125*in {
		t.Errorf("%+v, margin %.3f", k, p.FloorMargin)
	}
	// The edge is met by the overlap there, where the tread has not sunk yet: the tip's
	// clearance at the floor's first station without the wheel's roundness.
	if z, _ := p.At(m.FloorFrom - 200); math.Abs(k.Met-(w.Height-m.Plan.FlangewayDepth-z)) > 0.05 || !(k.Met < k.Rise) {
		t.Errorf("met by %.3f of %.3f mm, the tread at %.3f", k.Met, k.Rise, z)
	}
	// the tread sinks a little toward it
	if a, _ := StepAngle(w.Radius+w.Height, k.Met); !(k.Angle >= a && k.Angle < a+0.001) {
		t.Errorf("angle %.5f, want %.5f", k.Angle, a)
	}
	// At the far end the wheel rolls off the edge; the point has risen there, so it falls
	// less than it was lifted.
	if !(k.Off > 0.3*k.Angle && k.Off <= k.Angle+1e-9) {
		t.Errorf("off at %.5f rad, met at %.5f", k.Off, k.Angle)
	}
	f, err := p.Forces(Load{Static: 159000, Unsprung: 1000, Speed: 11.176, Support: gm, Bound: 322000})
	if err != nil {
		t.Fatal(err)
	}
	if added := math.Min(k.Angle*11.176*0.896221*0.843390*248998.0, 62e3*k.Met); math.Abs(f.Most-159000-added) > 50 {
		t.Errorf("%.0f N, want %.0f", f.Most, 159000+added)
	}
	if one := run(t, m, w, held(w, 10), FrogOptions{OnlyHeld: true}); len(one.Paths) != 1 ||
		one.Shown.FloorMargin != p.FloorMargin {
		t.Errorf("%d positions where only the held one is asked for", len(one.Paths))
	}
	back := run(t, m, w, held(w, 10), FrogOptions{Trailing: true}).Shown.Strikes
	if len(back) != 1 || back[0].How != "step" || back[0].From != k.From || back[0].To != k.To ||
		back[0].Rise != k.Rise {
		t.Errorf("from the heel %+v, from the toe %+v", back, k)
	}
	// A little more flange at the edge is a little more blow, whatever the rise farther on.
	last := Strike{}
	for i := range 40 {
		m := b.frog(t, 8, "rbm", func(p *trackshape.FrogPlan) { p.FlangewayDepth = w.Height + 2 - 0.1*float64(i) })
		s := run(t, m, w, held(w, 10), FrogOptions{}).Shown.Strikes
		if len(s) == 0 {
			continue
		}
		if rise := s[0].Met - last.Met; last.Angle > 0 && s[0].How == last.How &&
			(s[0].Angle < last.Angle-1e-6 || rise > 0.2) {
			t.Errorf("met by %.2f mm at %.1f mrad after %.2f at %.1f", s[0].Met, s[0].Angle*1000, last.Met,
				last.Angle*1000)
		}
		if last.Angle > 0 && s[0].Angle > last.Angle+math.Sqrt(2*0.11/(w.Radius+w.Height))+0.002 {
			t.Errorf("0.1 mm more of overlap: %.1f mrad after %.1f", s[0].Angle*1000, last.Angle*1000)
		}
		last = s[0]
	}
	m = b.frog(t, 8, "rbm", func(p *trackshape.FrogPlan) { shallow(p); p.FloorRamp = 40 })
	k = run(t, m, w, held(w, 10), FrogOptions{}).Shown.Strikes[0]
	if k.How != "ramp" || k.Angle != 1.0/40 {
		t.Errorf("%+v, want a ramp 1:40", k)
	}
	m = b.frog(t, 8, "rbm", func(p *trackshape.FrogPlan) { p.FlangewayDepth, p.TreadWear = 1.3125*in, 0.375*in })
	s := run(t, m, w, held(w, 10), FrogOptions{})
	k = s.Shown.Strikes[0]
	if k.How != "slope" || !(k.Angle > 0 && k.Angle < 0.05) || s.FloorMargin > s.Shown.FloorMargin {
		t.Errorf("%+v, floor %.2f and %.2f", k, s.FloorMargin, s.Shown.FloorMargin)
	}
	for _, st := range s.Shown.Stations {
		if st.Floored && (st.Tip < -1e-9) != (st.RestsOn == Floor) {
			t.Fatalf("at %.0f the wheel rests on the %s with a tip clearance of %.3f", st.X, st.RestsOn, st.Tip)
		}
	}
}

// The depth reading is taken from the worn plane: wear of the tread at the same reading
// leaves the clearance over the wings as it was.
func TestDepthIsReadFromTheWornPlane(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	at := func(wear float64) float64 {
		m := b.frog(t, 8, "solid", func(p *trackshape.FrogPlan) { p.TreadWear = wear })
		return run(t, m, w, held(w, 10), FrogOptions{}).Shown.FloorMargin
	}
	if a, b := at(0), at(6); math.Abs(a-b) > 0.01 {
		t.Errorf("%.3f and %.3f mm", a, b)
	}
}

// At rest nothing is added; force grows in proportion to speed.
func TestNoSpeedNoForce(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(4)})
	p := run(t, b.frog(t, 8, "rbm", func(p *trackshape.FrogPlan) { p.FlangewayDepth = 25 }), w, Axle{},
		FrogOptions{}).Shown
	l := Load{Static: 159000, Unsprung: 1000, Support: gm, Bound: 322000}
	f, err := p.Forces(l)
	if err != nil || f.P2 != l.Static || f.Most != l.Static {
		t.Errorf("at rest %.1f and %.1f N: %v", f.P2, f.Most, err)
	}
	if !f.Bounded {
		t.Fatal("no speed for the bound")
	}
	l.Speed = f.Speed
	g, err := p.Forces(l)
	if err != nil || math.Abs(g.Most-l.Bound) > 1 {
		t.Errorf("at %.2f m/s %.1f N, want the bound: %v", f.Speed, g.Most, err)
	}
	l.Bound = 100
	if g, err = p.Forces(l); err != nil || !g.Bounded || g.Speed != 0 {
		t.Errorf("a bound under the static load: %+v %v", g, err)
	}
}

// Finer stations converge: each halving moves the answers less, and the usual step is
// within a tenth of a millimetre and two milliradians of a very fine one.
func TestFinerStationsConverge(t *testing.T) {
	b := newBench(t)
	for _, v := range []struct {
		name, reason string
		r            wheelshape.WornReadings
		change       func(*trackshape.FrogPlan)
	}{
		{"new", "flat wings", wheelshape.WornReadings{}, nil},
		{"hollow", "rolls off the wing's edge", wheelshape.WornReadings{Hollow: exact(4)}, nil},
		{"high flange", "on a worn frog's floor", wheelshape.WornReadings{Height: exact(1.4375 * in)},
			func(p *trackshape.FrogPlan) { p.FlangewayDepth, p.TreadWear = 1.375*in, 0.375*in }},
	} {
		t.Run(v.name, func(t *testing.T) {
			m := b.frog(t, 8, "rbm", v.change)
			w := b.wheel(t, v.r)
			at := func(step float64) *FrogPath { return run(t, m, w, Axle{}, FrogOptions{Step: step}).Paths[1] }
			fine := at(0.5)
			for _, step := range []float64{0, 5, 2} {
				p := at(step)
				if d := math.Abs(p.Lift - fine.Lift); d > 0.03 {
					t.Errorf("step %g: lift off by %.3f mm (%s)", step, d, v.reason)
				}
				if d := math.Abs(p.Drop - fine.Drop); d > 0.08 {
					t.Errorf("step %g: drop off by %.3f mm", step, d)
				}
				if d := math.Abs(p.Transfer - fine.Transfer); d > 1 {
					t.Errorf("step %g: transfer off by %.2f mm", step, d)
				}
				if d := math.Abs(p.Dip.Angle - fine.Dip.Angle); d > 0.002 {
					t.Errorf("step %g: dip off by %.5f rad", step, d)
				}
				if d := math.Abs(p.FloorMargin - fine.FloorMargin); d > 0.08 {
					t.Errorf("step %g: floor off by %.3f mm", step, d)
				}
				if len(p.Strikes) != len(fine.Strikes) {
					t.Errorf("step %g: %d strikes, not %d", step, len(p.Strikes), len(fine.Strikes))
				}
			}
		})
	}
}

// From heel to toe the wheel runs the same path; only what is fallen and risen changes.
func TestTrailingRunsTheSamePath(t *testing.T) {
	b := newBench(t)
	m := b.frog(t, 10, "rbm", nil)
	w := b.wheel(t, wheelshape.WornReadings{Hollow: exact(3)})
	f := run(t, m, w, Axle{}, FrogOptions{}).Paths[0]
	r := run(t, m, w, Axle{}, FrogOptions{Trailing: true}).Paths[0]
	for i := range f.Stations {
		if f.Stations[i] != r.Stations[i] {
			t.Fatalf("station %d differs", i)
		}
	}
	if f.Dip != r.Dip || f.FloorMargin != r.FloorMargin {
		t.Error("dip or floor differ")
	}
}

// The nearer the guard lets the wheel come, the nearer its flange comes to the point, one
// for one; a guard that lets it past the gauge line says so.
func TestGuardHoldsTheFlangeOffThePoint(t *testing.T) {
	b := newBench(t)
	m := b.frog(t, 8, "rbm", nil)
	w := b.wheel(t, wheelshape.WornReadings{})
	var before float64
	for i, face := range []float64{12, 10, 8, 6} {
		p := run(t, m, w, held(w, face), FrogOptions{}).Shown
		if !p.PointMet {
			t.Fatal("no point was met")
		}
		if i > 0 && math.Abs(before-p.PointMargin-2) > 0.25 {
			t.Errorf("from %g to %g mm off the gauge line the flange comes nearer by %.3f mm", face+2, face,
				before-p.PointMargin)
		}
		before = p.PointMargin
	}
	p := run(t, m, w, held(w, -5), FrogOptions{}).Shown
	if p.Place.Held || math.Abs(p.Place.Beyond-5) > 1e-9 || p.PointMargin >= 0 {
		t.Errorf("%+v, point %.2f", p.Place, p.PointMargin)
	}
}

// Everything three tenths larger runs the same path three tenths larger, at the same angles.
func TestPathScales(t *testing.T) {
	b := newBench(t)
	const k = 1.3
	small := b.wheel(t, wheelshape.WornReadings{Hollow: exact(3)})
	shape := *small.Shape
	shape.Outline, shape.Tape, shape.Rim, shape.ThicknessAt = shape.Outline.Scaled(k), shape.Tape*k, shape.Rim*k,
		shape.ThicknessAt*k
	large, err := NewWheel(&shape, 2*small.Radius*k)
	if err != nil {
		t.Fatal(err)
	}
	m := b.frog(t, 8, "bolted", func(p *trackshape.FrogPlan) { p.TreadWear, p.FlangewayDepth = 4, 30 })
	p := m.Plan
	for _, v := range []*float64{&p.FlangewayWidth, &p.FlangewayDepth, &p.TreadWear, &p.PointSpread, &p.PointDrop,
		&p.PointLevelSpread, &p.PointWornDown, &p.PointWornBack,
		&p.PointCorner, &p.WingCorner, &p.WingWidth, &p.WingRiser, &p.WingCrown, &p.FloorBefore, &p.FloorEndSpread,
		&p.WearRunOut, &p.HeelHeadWidth, &p.HeelSpread, &p.ToeBefore} {
		*v *= k
	}
	big, err := trackshape.NewFrogModel(p)
	if err != nil {
		t.Fatal(err)
	}
	a := run(t, m, small, Axle{}, FrogOptions{Step: 4}).Paths[1]
	c := run(t, big, large, Axle{}, FrogOptions{Step: 4 * k}).Paths[1]
	if math.Abs(c.Lift-k*a.Lift) > 0.01 || math.Abs(c.Drop-k*a.Drop) > 0.01 ||
		math.Abs(c.Transfer-k*a.Transfer) > 0.2 || math.Abs(c.Dip.Angle-a.Dip.Angle) > 1e-3 ||
		math.Abs(c.FloorMargin-k*a.FloorMargin) > 0.01 {
		t.Errorf("lift %.3f (%.3f), drop %.3f (%.3f), transfer %.2f (%.2f), dip %.5f (%.5f), floor %.3f (%.3f)", c.Lift,
			k*a.Lift, c.Drop, k*a.Drop, c.Transfer, k*a.Transfer, c.Dip.Angle, a.Dip.Angle, c.FloorMargin,
			k*a.FloorMargin)
	}
}

func TestSelfGuardedHoldsTheRim(t *testing.T) {
	b := newBench(t)
	m := b.frog(t, 8, "self-guarded", nil)
	w := b.wheel(t, wheelshape.WornReadings{})
	p := run(t, m, w, Axle{GuardCheck: 1300, BackToBack: 1350}, FrogOptions{}).Shown
	if want := m.Plan.GuardFaceOfRim - (w.Shape.Rim - w.Shape.Tape); math.Abs(p.Place.Tape-want) > 1e-9 {
		t.Errorf("tape line at %.3f, want %.3f: the separate guard check plays no part", p.Place.Tape, want)
	}
}

func TestFrogRefuses(t *testing.T) {
	b := newBench(t)
	m := b.frog(t, 8, "rbm", nil)
	w := b.wheel(t, wheelshape.WornReadings{})
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"no frog":      func() error { _, err := Frog(nil, w, Axle{}, FrogOptions{}); return err },
		"no wheel":     func() error { _, err := Frog(m, nil, Axle{}, FrogOptions{}); return err },
		"step":         func() error { _, err := Frog(m, w, Axle{}, FrogOptions{Step: -1}); return err },
		"fine step":    func() error { _, err := Frog(m, w, Axle{}, FrogOptions{Step: 1e-3}); return err },
		"coarse step":  func() error { _, err := Frog(m, w, Axle{}, FrogOptions{Step: 60}); return err },
		"step nan":     func() error { _, err := Frog(m, w, Axle{}, FrogOptions{Step: nan}); return err },
		"back-to-back": func() error { _, err := Frog(m, w, Axle{BackToBack: 10}, FrogOptions{}); return err },
		"gauge":        func() error { _, err := Frog(m, w, Axle{Gauge: nan}, FrogOptions{}); return err },
		"mate":         func() error { _, err := Frog(m, w, Axle{MateThickness: -1}, FrogOptions{}); return err },
		"diameter":     func() error { _, err := NewWheel(w.Shape, 10); return err },
		"no shape":     func() error { _, err := NewWheel(nil, 900); return err },
	} {
		if err := f(); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A guard check that pulls the wheel far from the point, a flangeway as wide as the rim.
	for _, a := range []Axle{{GuardCheck: 58 * in, BackToBack: 53 * in}, {GuardCheck: 54.625 * in, BackToBack: 50 * in,
		Gauge: 56.5 * in, MateThickness: 1 * in}} {
		if _, err := Frog(m, w, a, FrogOptions{}); !errors.Is(err, ErrUnsupported) {
			t.Errorf("%+v: %v", a, err)
		}
	}
	cone, err := wheelshape.Cone(0.05)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := NewWheel(cone, 900); err == nil {
		t.Error("a cone without a flange is taken")
	}
}

// Every reading that a sheet can hold gives an answer or an error, never a panic or a
// value that is no number.
func TestAnyFrogAnswers(t *testing.T) {
	b := newBench(t)
	wheels := []*Wheel{b.wheel(t, wheelshape.WornReadings{}), b.wheel(t, wheelshape.WornReadings{Hollow: exact(8)})}
	n := 0
	for _, depth := range []float64{0, 20, 50, 101.6} {
		for _, width := range []float64{0, 25, 60, 127} {
			for _, worn := range []float64{0, 3, 50, 152.4} {
				for _, number := range []float64{2, 7.3, 40} {
					p := trackshape.NewFrogPlan(b.figures, "bolted", number)
					p.FlangewayDepth, p.FlangewayWidth, p.PointWornDown, p.TreadWear = depth, width, worn, worn/4
					m, err := trackshape.NewFrogModel(p)
					if err != nil {
						continue
					}
					for _, w := range wheels {
						s, err := Frog(m, w, Axle{GuardCheck: 1300, BackToBack: 1340}, FrogOptions{})
						if errors.Is(err, ErrUnsupported) && width > 100 {
							continue
						} else if err != nil {
							t.Fatal(err)
						}
						n++
						for _, q := range s.Paths {
							if math.IsNaN(q.Lift + q.Drop + q.Dip.Angle + q.FloorMargin) {
								t.Fatalf("%+v: %+v", p, q.Dip)
							}
							for _, st := range q.Stations {
								if math.IsNaN(st.Z) || math.IsInf(st.Z, 0) {
									t.Fatalf("%+v: at %.0f the wheel stands at %g", p, st.X, st.Z)
								}
							}
						}
					}
				}
			}
		}
	}
	if n < 100 {
		t.Errorf("only %d were solved", n)
	}
}
