package curving

import (
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

const inch = measure.MMPerInch

func wheelNamed(t testing.TB, name string) *wheelshape.Shape {
	t.Helper()
	w, err := wheelshape.Named(fixture.Shapes(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func railNamed(t testing.TB, name string) *trackshape.RailHead {
	t.Helper()
	r, err := trackshape.RailNamed(fixture.Shapes(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func tableOf(t testing.TB, a contact.Axle, load float64, m contact.Material) *Table {
	t.Helper()
	tab, err := NewTable(a, load, m)
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

// european is S1002 on 60E1 1:40, gauge 1435 mm, back-to-back 1360 mm, wheels 920 mm,
// 100 kN a wheel.
func european(t testing.TB) *Table {
	t.Helper()
	w, r := wheelNamed(t, "S1002"), railNamed(t, "60E1")
	return tableOf(t, contact.Axle{Near: w, Far: w, NearDiameter: 920, FarDiameter: 920, BackToBack: 1360,
		NearRail: r, FarRail: r, Gauge: 1435, GaugeHeight: 14, Cant: trackshape.CantOf(40)}, 100e3, contact.Steel)
}

func worn(t testing.TB, design *wheelshape.Shape, thickness, hollow float64) *wheelshape.Shape {
	t.Helper()
	r := wheelshape.WornReadings{Hollow: measure.Exact(hollow, "")}
	if thickness > 0 {
		r.Thickness = measure.Exact(thickness, "")
	}
	w, err := wheelshape.Rebuild(design, r)
	if err != nil {
		t.Fatalf("flange %.2f mm, hollow %.2f mm: %v", thickness, hollow, err)
	}
	return w.Middle
}

// field draws cases over the whole field of use.
type field struct {
	t      testing.TB
	r      *rand.Rand
	wheels [2][]*wheelshape.Shape // worn, of both designs
	rails  []*trackshape.RailHead
	last   *Truck // has run one curve
	three  bool   // trucks have three axles
}

func newField(t testing.TB, seed uint64, kinds int) *field {
	f := &field{t: t, r: rand.New(rand.NewPCG(seed, 4))}
	for i, name := range []string{"narrow flange 1:20", "wide flange 1:20"} {
		d := wheelNamed(t, name)
		full, err := d.FlangeThickness()
		if err != nil {
			t.Fatal(err)
		}
		for range kinds {
			thin := f.between(15.0/16*inch, full)
			f.wheels[i] = append(f.wheels[i], worn(t, d, thin, f.between(0, 6)))
		}
	}
	for _, name := range []string{"90RA-A", "100RE", "115RE", "132RE", "136RE", "141RE"} {
		f.rails = append(f.rails, railNamed(t, name))
	}
	return f
}

func (f *field) between(lo, hi float64) float64 { return lo + (hi-lo)*f.r.Float64() }

type fieldCase struct {
	truck Truck
	curve Curve
	mu    Friction
}

// draw makes a new truck every other time, and a new curve always.
func (f *field) draw() fieldCase {
	if f.last != nil {
		truck := *f.last
		f.last = nil
		return f.curve(truck)
	}
	kind := f.r.IntN(2)
	pick := func() *wheelshape.Shape { return f.wheels[kind][f.r.IntN(len(f.wheels[kind]))] }
	back := 53.375 * inch
	if kind == 1 {
		back = 53.09375 * inch
	}
	back += f.between(-2, 2)
	gauge := f.between(56, 58) * inch
	rail := f.rails[f.r.IntN(len(f.rails))]
	cant := []float64{40, 20, 0}[f.r.IntN(3)]
	load := f.between(40, 80) * 1000 * 4.4482216
	d := f.between(32, 38) * inch
	axle := func() *Table {
		a := contact.Axle{Near: pick(), Far: pick(), NearDiameter: d + f.between(-1, 1), FarDiameter: d +
			f.between(-1, 1), BackToBack: back,
			NearRail: rail, FarRail: rail, Gauge: gauge, GaugeHeight: 0.625 * inch, Cant: trackshape.CantOf(cant)}
		return tableOf(f.t, a, load/2, contact.Steel)
	}
	truck := Truck{Lead: axle(), Trail: axle(), Wheelbase: f.between(64, 74) * inch, AxleLoad: load,
		CentreHeight: f.between(50, 98) * inch, TurningMoment: f.between(-25e6, 25e6)}
	switch {
	case f.three:
		truck.Middle, truck.Clearance, truck.Wheelbase = axle(), f.between(0, 1.5)*inch, f.between(120, 172)*inch
	case f.r.IntN(2) == 0:
		truck.WarpStiffness = math.Pow(10, f.between(8.7, 10.3))
	}
	f.last = &truck
	return f.curve(truck)
}

func (f *field) curve(truck Truck) fieldCase {
	out := fieldCase{truck: truck}
	out.curve = Curve{Radius: math.Inf(1), Elevation: f.between(0, 6) * inch, Speed: f.between(0, 60) * 0.44704}
	if deg := f.between(0, 20); deg > 0.05 {
		out.curve.Radius = 5729.578 / deg * 12 * inch
	}
	out.mu = Friction{High: f.between(0.1, 0.6), Low: f.between(0.1, 0.6)}
	out.mu.HighFace, out.mu.LowFace = out.mu.High, out.mu.Low
	if f.r.IntN(3) == 0 {
		out.mu.HighFace = math.Min(out.mu.High, f.between(0.1, 0.25))
	}
	return out
}

// radiusOf is the radius in mm of a curve of so many degrees, by the arc of 100 ft.
func radiusOf(degrees float64) float64 {
	return 100 * 12 * inch / (degrees * math.Pi / 180)
}

const poundForce = 4.4482216152605

// american is an axle on a section canted 1:40 at 57 in, 35 750 lb a wheel.
func american(t testing.TB, high, low *wheelshape.Shape, section string) *Table {
	t.Helper()
	r := railNamed(t, section)
	return tableOf(t, contact.Axle{Near: high, Far: low, NearDiameter: 36 * inch, FarDiameter: 36 * inch,
		BackToBack: 53.375 * inch,
		NearRail:   r, FarRail: r, Gauge: 57 * inch, GaugeHeight: 0.625 * inch, Cant: trackshape.CantOf(40)},
		35750*poundForce, contact.Steel)
}

// freight is a rigid truck of a 286 000 lb car.
func freight(axle *Table) Truck {
	return Truck{Lead: axle, Trail: axle, Wheelbase: 70 * inch, AxleLoad: 71500 * poundForce, CentreHeight: 90 * inch}
}

// threePiece is the same with a worn frame and the turning moment of its centre plate.
func threePiece(axle *Table) Truck {
	t := freight(axle)
	t.WarpStiffness, t.TurningMoment = 3e9, 24e6
	return t
}

// first is the first steady state of a problem that is found.
func first(p *problem) (q vector, ok bool) {
	q, _, ok = firstResidual(p)
	return q, ok
}

func firstResidual(p *problem) (vector, float64, bool) {
	found, stuck, _ := p.solve()
	if len(found) == 0 {
		return stuck.q, stuck.residual, false
	}
	return found[0].q, found[0].residual, stuck == nil
}

// threeAxles is a truck with an axle of the make of its lead axle in the middle, free by so much (mm) each way.
func threeAxles(t Truck, clearance float64) Truck {
	t.Middle, t.Clearance, t.Wheelbase = t.Lead, clearance, 158*inch
	return t
}
