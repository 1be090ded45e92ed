package shape

import (
	"errors"
	"math"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/track"
)

// Angle of the frog and the axis lengths from throat to theoretical point and on to the
// 1/2 in point, flangeway 1-7/8 in: worked by hand from F = 2 atan(1/2N).
func TestFrogTable(t *testing.T) {
	p := fixture.Figures(t)
	for _, v := range []struct{ n, deg, throat, gap float64 }{
		{4, 14.25003, 7.558, 9.558}, {5, 11.42119, 9.422, 11.922}, {6, 9.52728, 11.289, 14.289},
		{7, 8.17123, 13.158, 16.658},
		{8, 7.15267, 15.029, 19.029}, {9, 6.35966, 16.901, 21.401}, {10, 5.72481, 18.773, 23.773},
		{11, 5.20512, 20.646, 26.146},
		{12, 4.77189, 22.520, 28.520}, {15, 3.81830, 28.141, 35.641}, {16, 3.57982, 30.015, 38.015},
		{18, 3.18228, 33.763, 42.763}, {20, 2.86419, 37.512, 47.512},
	} {
		if d, err := track.FrogAngleDeg(v.n); err != nil || math.Abs(d-v.deg) > 6e-6 {
			t.Errorf("No. %g: %.5f degrees, want %.5f: %v", v.n, d, v.deg, err)
		}
		m, err := NewFrogModel(NewFrogPlan(p, "rbm", v.n))
		if err != nil {
			t.Fatal(err)
		}
		if l := -m.Throat / measure.MMPerInch; math.Abs(l-v.throat) > 6e-4 {
			t.Errorf("No. %g: throat %.3f in, want %.3f", v.n, l, v.throat)
		}
		if gap := (m.Tip - m.Throat) / measure.MMPerInch; math.Abs(gap-v.gap) > 6e-4 {
			t.Errorf("No. %g: throat to point %.3f in, want %.3f", v.n, gap, v.gap)
		}
		if d := m.WingFace(m.Throat); math.Abs(d) > 1e-9 {
			t.Errorf("No. %g: the wing stands %.3g mm off the gauge line in the throat", v.n, d)
		}
	}
	for _, bad := range []float64{1.9, 41, math.NaN()} {
		if _, err := NewFrogModel(NewFrogPlan(p, "rbm", bad)); !errors.Is(err, ErrFrog) {
			t.Errorf("number %g taken", bad)
		}
	}
}

func TestWingOverlap(t *testing.T) {
	for w, want := range map[float64]float64{0: 2.6875, 0.25: 2.4375, 0.5: 2.1875, 0.75: 1.9375, 1: 1.6875,
		1.5: 1.1875, 2: 0.6875} {
		if got := WingOverlap(5.71875, 1.15625, 1.875, w); got != want {
			t.Errorf("point %g in wide: %g, want %g", w, got, want)
		}
	}
}

// What a tape would read on the sections is what the plan says.
func TestSectionsReadAsPlanned(t *testing.T) {
	p := NewFrogPlan(fixture.Figures(t), "rbm", 8)
	p.FlangewayDepth, p.TreadWear, p.PointWornDown, p.PointWornBack, p.WingRiser = 40, 5, 6, 100, 0
	m, err := NewFrogModel(p)
	if err != nil {
		t.Fatal(err)
	}
	tip := m.Section(m.Tip)
	cos := math.Cos(math.Atan(1.0 / 16))
	for _, v := range []struct {
		what      string
		got, want float64
	}{
		{"flangeway width at the point", (tip.Wing.Y0 - tip.Point.Y1) * cos, p.FlangewayWidth},
		{"the other flangeway", (tip.Point.Y0 - tip.FarWing.Y1) * cos, p.FlangewayWidth},
		{"depth from the worn wing", tip.Floor - tip.Wing.Top, 40},
		{"point under the worn wings", tip.Point.Top - tip.Wing.Top, p.PointDrop + 6},
		{"point width", tip.Point.Y1 - tip.Point.Y0, p.PointSpread},
		{"wear runs out to the toe", m.Section(m.Toe).Wing.Top, 0},
		{"wear runs out to the heel", m.Section(m.Heel).Point.Top, 0},
		{"point worn to its length", m.PointTop(m.Tip+100) - m.PointTop(m.Level),
			p.PointDrop * (m.Level - m.Tip - 100) / (m.Level - m.Tip)},
		{"level point", m.PointTop(m.Level) - m.Section(m.Level).Wing.Top, 0},
		{"heel head", m.Section(m.Heel).Heel.Y1, p.HeelSpread},
	} {
		if math.Abs(v.got-v.want) > 1e-6 {
			t.Errorf("%s: %.4f mm, want %.4f", v.what, v.got, v.want)
		}
	}
	if s := m.Section(m.Tip - 1); s.Point.There() {
		t.Error("a point ahead of the blunt point")
	}
	if _, ok := m.FloorAt(m.FloorTo + 1); ok {
		t.Error("a floor beyond its end")
	}
	ramped := p
	ramped.FloorRamp = 40
	r, err := NewFrogModel(ramped)
	if err != nil {
		t.Fatal(err)
	}
	a, _ := r.FloorAt(r.FloorFrom + 100)
	b, _ := r.FloorAt(r.FloorFrom + 140)
	if math.Abs(a-b-1) > 1e-9 {
		t.Errorf("the ramp rises by %.3f mm in 40", a-b)
	}
}

// A head's surface is continuous, and its line follows it.
func TestHeadSurface(t *testing.T) {
	for _, h := range []Head{{Y0: 10, Y1: 80, Top: 2, Corner: 12}, {Y0: 10, Y1: 80, Top: 2, Corner: 9, Crown: 254,
		Middle: 45}, {Y0: -80, Y1: -10, Top: 0, Corner: 12, Slope: 0.05}, {Y0: 0, Y1: 12.7, Top: 5, Corner: 6.35}} {
		last := h.Depth(h.Y0)
		for y := h.Y0; y <= h.Y1; y += 0.001 {
			z := h.Depth(y)
			if math.Abs(z-last) > 0.2 || math.IsNaN(z) {
				t.Fatalf("%+v: a step of %.3f at %.3f", h, z-last, y)
			}
			last = z
		}
		for _, p := range h.Line(100)[1:25] {
			if p[0] >= h.Y0 && p[0] <= h.Y1 && math.Abs(p[1]-h.Depth(p[0])) > 1e-9 {
				t.Errorf("%+v: the line lies off the surface at %v", h, p)
			}
		}
	}
}

func TestFrogsThatAreNotModelled(t *testing.T) {
	f := fixture.Figures(t)
	for _, typ := range configs.FrogTypes() {
		_, err := NewFrogModel(NewFrogPlan(f, typ, 8))
		if ok := FrogModelled(typ); ok != (err == nil) || err != nil && !errors.Is(err, ErrFrog) {
			t.Errorf("%s: %v", typ, err)
		}
	}
	base := NewFrogPlan(f, "rbm", 8)
	for name, change := range map[string]func(*FrogPlan){
		"number":       func(p *FrogPlan) { p.Number = 1 },
		"number nan":   func(p *FrogPlan) { p.Number = math.NaN() },
		"width":        func(p *FrogPlan) { p.FlangewayWidth = 9.9 },
		"depth":        func(p *FrogPlan) { p.FlangewayDepth = -1 },
		"depth nan":    func(p *FrogPlan) { p.FlangewayDepth = math.NaN() },
		"wing":         func(p *FrogPlan) { p.WingWidth = 2 },
		"level point":  func(p *FrogPlan) { p.PointLevelSpread = p.PointSpread - 1 },
		"heel":         func(p *FrogPlan) { p.HeelSpread = 5 },
		"crown":        func(p *FrogPlan) { p.WingCrown = 10 },
		"run-out":      func(p *FrogPlan) { p.WearRunOut = 0 },
		"raised guard": func(p *FrogPlan) { p.Type, p.GuardFaceOfRim = "self-guarded", 0 },
	} {
		p := base
		change(&p)
		if _, err := NewFrogModel(p); !errors.Is(err, ErrFrog) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range FrogPlanConstants("bolted") {
		if _, ok := f.Constant(name); !ok {
			t.Errorf("no figure %s", name)
		}
	}
	for _, name := range FrogPlanConstants("self-guarded") {
		if _, ok := f.Constant(name); !ok {
			t.Errorf("no figure %s", name)
		}
	}
}

// No place of a head's plane lies above its roof, and where the plane's summit is over the head
// the roof is no more than rounding above it.
func TestRoof(t *testing.T) {
	for _, h := range []Head{
		{Y0: 0, Y1: 70, Top: 2}, {Y0: 16, Y1: 86, Top: 3, Slope: 0.05}, {Y0: 16, Y1: 86, Slope: -0.05},
		{Y0: 16, Y1: 86, Top: 3, Crown: 254, Middle: 51}, {Y0: 16, Y1: 86, Top: 3, Crown: 254, Middle: 51, Slope: 0.05},
		{Y0: 16, Y1: 86, Top: 3, Crown: 254, Middle: 51, Slope: -0.05},
		{Y0: 0, Y1: 5, Top: 9, Crown: 254, Middle: 35, Slope: 0.05},
	} {
		roof, high := h.Roof(), math.Inf(1)
		for y := h.Y0; y <= h.Y1; y += 0.01 {
			high = math.Min(high, h.Plane(y))
		}
		if high < roof-1e-9 {
			t.Errorf("%+v: the plane comes to %.6f, above its roof %.6f", h, high, roof)
		}
		if at := h.Middle + h.Slope*h.Crown; h.Crown > 0 && at > h.Y0 && at < h.Y1 && high > roof+1e-3 {
			t.Errorf("%+v: the roof %.6f stands over the summit %.6f", h, roof, high)
		}
	}
}
