package passage

import (
	"errors"
	"fmt"
	"math"
	"testing"

	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// diamond is a crossing of standard gauge, changed.
func (b bench) diamond(t testing.TB, angle float64, change func(*trackshape.DiamondPlan)) *trackshape.DiamondModel {
	t.Helper()
	p := trackshape.NewDiamondPlan(b.figures, angle, 56.5*in, false)
	if change != nil {
		change(&p)
	}
	m, err := trackshape.NewDiamondModel(p)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func overRail(t testing.TB, m *trackshape.DiamondModel, w *Wheel, o FrogOptions) *FrogSolution {
	t.Helper()
	s, err := Diamond(m, w, Axle{BackToBack: 53.375 * in, MateThickness: w.Thickness, Gauge: 56.5 * in}, o)
	if err != nil {
		t.Fatalf("%g degrees: %v", m.Plan.AngleDeg, err)
	}
	return s
}

// At right angles nothing bridges a cut: the wheel drops into each and turns at its far edge as the closed form has it,
// twice, as far apart as the gauge less one flangeway.
func TestSquareDiamondIsTheGapFormula(t *testing.T) {
	b := newBench(t)
	for _, dia := range []float64{33, 36, 38} {
		s, err := wheelshape.Named(b.shapes, "narrow flange 1:20")
		if err != nil {
			t.Fatal(err)
		}
		w, err := NewWheel(s, dia*in)
		if err != nil {
			t.Fatal(err)
		}
		for _, gap := range []float64{1.875, 2, 2.5} {
			for _, field := range []bool{false, true} {
				p := overRail(t, b.diamond(t, 90, func(p *trackshape.DiamondPlan) {
					p.FlangewayWidth, p.FieldFirst = gap*in, field
				}), w, FrogOptions{}).Paths[0]
				// It rolls on the circle of the place that carries it, which is near the tape line's.
				drop, angle, err := GapDrop(w.Radius, gap*in)
				if err != nil || len(p.Dips) != 2 || math.Abs(p.Dip.Angle/angle-1) > 0.01 ||
					math.Abs(p.Drop/drop-1) > 0.01 {
					t.Fatalf("%g in over %g in: drop %.3f mm, dips %+v, want %.3f and twice %.4f: %v", dia, gap, p.Drop,
						p.Dips,
						drop, angle, err)
				}
				if d := p.Dips[1].X - p.Dips[0].X; math.Abs(d-(56.5-gap)*in) > 0.5 {
					t.Errorf("%g in over %g in: the dips lie %.1f mm apart", dia, gap, d)
				}
			}
		}
	}
}

// On the slant a wheel never turns more than over a gap as long as the cut is along the rail with the rounded edges
// beside it, which nothing bridges; a wider flangeway and a worn corner drop it more.
func TestDiamondTrends(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{})
	for _, field := range []bool{false, true} {
		at := func(angle, width, worn float64) (*FrogPath, *trackshape.DiamondModel) {
			m := b.diamond(t, angle, func(p *trackshape.DiamondPlan) {
				p.FlangewayWidth, p.FieldFirst, p.WornDown = width*in, field, worn*in
			})
			return overRail(t, m, w, FrogOptions{}).Paths[0], m
		}
		for _, angle := range []float64{90, 75, 45, 25, 15, 8} {
			p, m := at(angle, 1.875, 0)
			length := m.Gap + 2*m.Plan.Corner/math.Tan(angle*math.Pi/180)
			if _, most, err := GapDrop(w.Radius, length); err != nil || p.Dip.Angle > 1.01*most {
				t.Errorf("field side first %v: %g degrees turns %.4f, a gap of %.0f mm %.4f: %v", field, angle,
					p.Dip.Angle,
					length, most, err)
			}
			if wide, _ := at(angle, 2.25, 0); wide.Drop < p.Drop-1e-6 {
				t.Errorf("%g degrees: %.3f mm over a wider flangeway, %.3f", angle, wide.Drop, p.Drop)
			}
			if worn, _ := at(angle, 1.875, 0.25); worn.Drop < p.Drop-1e-6 {
				t.Errorf("%g degrees: a worn corner drops %.3f mm, a new one %.3f", angle, worn.Drop, p.Drop)
			}
		}
	}
	hollow := b.wheel(t, wheelshape.WornReadings{Hollow: exact(2)})
	flat, steep := overRail(t, b.diamond(t, 15, nil), hollow, FrogOptions{}), overRail(t, b.diamond(t, 60, nil), hollow,
		FrogOptions{})
	if flat.Paths[0].Dip.Angle > steep.Paths[0].Dip.Angle {
		t.Errorf("a worn tread turns %.4f at 15 degrees, %.4f at 60", flat.Paths[0].Dip.Angle, steep.Paths[0].Dip.Angle)
	}
}

// A floor under the flange tip is struck at its blunt end; one that is made to carry it takes the wheel over both cuts
// on its ramps, without a dip.
func TestDiamondFloors(t *testing.T) {
	b := newBench(t)
	w := b.wheel(t, wheelshape.WornReadings{Height: exact(1.375 * in)})
	for _, angle := range []float64{25, 60, 90} {
		deep := overRail(t, b.diamond(t, angle, nil), w, FrogOptions{}).Paths[0]
		if len(deep.Strikes) > 0 || deep.FloorMargin < 0.3*in {
			t.Errorf("%g degrees: deep enough, and %+v, %.2f mm", angle, deep.Strikes, deep.FloorMargin)
		}
		p := overRail(t, b.diamond(t, angle, func(p *trackshape.DiamondPlan) { p.FlangewayDepth = 1.25 * in }), w,
			FrogOptions{}).Paths[0]
		if len(p.Strikes) == 0 || p.Strikes[0].How != "step" || p.FloorMargin > -0.05*in {
			t.Errorf("%g degrees: strikes %+v, clearance %.2f mm", angle, p.Strikes, p.FloorMargin)
		}
		plan := trackshape.NewDiamondPlan(b.figures, angle, 56.5*in, true)
		m, err := trackshape.NewDiamondModel(plan)
		if err != nil {
			t.Fatal(err)
		}
		p = overRail(t, m, w, FrogOptions{}).Paths[0]
		k, ok := p.Bears(w)
		if !ok || !k.Whole || len(p.Dips) > 0 || math.Abs(k.Lift-(w.Height-plan.FlangewayDepth)) > 0.1 ||
			len(p.Strikes) != 1 || p.Strikes[0].How != "ramp" {
			t.Errorf("%g degrees, flange-bearing: %+v, dips %+v, strikes %+v", angle, k, p.Dips, p.Strikes)
		}
	}
}

// What no diamond can have is refused.
func TestDiamondsRefused(t *testing.T) {
	b := newBench(t)
	for name, change := range map[string]func(*trackshape.DiamondPlan){
		"flat":        func(p *trackshape.DiamondPlan) { p.AngleDeg = 7 },
		"nan":         func(p *trackshape.DiamondPlan) { p.AngleDeg = math.NaN() },
		"over square": func(p *trackshape.DiamondPlan) { p.AngleDeg = 91 },
		"depth":       func(p *trackshape.DiamondPlan) { p.FlangewayDepth = -1 },
		"gauge":       func(p *trackshape.DiamondPlan) { p.Gauge = 0 },
	} {
		p := trackshape.NewDiamondPlan(b.figures, 30, 56.5*in, false)
		change(&p)
		if _, err := trackshape.NewDiamondModel(p); !errors.Is(err, trackshape.ErrDiamond) {
			t.Errorf("%s: %v", name, err)
		}
	}
	w := b.wheel(t, wheelshape.WornReadings{})
	for _, step := range []float64{-1, 1e9, math.NaN()} {
		if _, err := Diamond(b.diamond(t, 30, nil), w, Axle{}, FrogOptions{Step: step}); !errors.Is(err, ErrInput) {
			t.Error(fmt.Sprint(step), err)
		}
	}
}
