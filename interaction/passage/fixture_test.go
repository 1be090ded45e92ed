package passage

import (
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

const in = measure.MMPerInch

// bench holds what the tests share.
type bench struct {
	shapes  *configs.Shapes
	figures *configs.Passage
}

func newBench(t testing.TB) bench {
	t.Helper()
	return bench{fixture.Shapes(t), fixture.Figures(t)}
}

// wheel is a narrow-flange wheel of 36 in, worn as the readings say.
func (b bench) wheel(t testing.TB, r wheelshape.WornReadings) *Wheel {
	t.Helper()
	s, err := wheelshape.Named(b.shapes, "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	if r != (wheelshape.WornReadings{}) {
		w, err := wheelshape.Rebuild(s, r)
		if err != nil {
			t.Fatal(err)
		}
		s = w.Middle
	}
	w, err := NewWheel(s, 36*in)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func (b bench) frog(t testing.TB, number float64, typ string, change func(*trackshape.FrogPlan)) *trackshape.FrogModel {
	t.Helper()
	p := trackshape.NewFrogPlan(b.figures, typ, number)
	if change != nil {
		change(&p)
	}
	m, err := trackshape.NewFrogModel(p)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func run(t testing.TB, m *trackshape.FrogModel, w *Wheel, a Axle, o FrogOptions) *FrogSolution {
	t.Helper()
	s, err := Frog(m, w, a, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func exact(mm float64) measure.Reading { return measure.Exact(mm, "") }

// at is a guard and gauge that hold the wheel's face the given distance (mm) from the
// gauge line.
func held(w *Wheel, face float64) Axle {
	const back = 53.375 * in
	return Axle{BackToBack: back, MateThickness: w.Thickness, GuardCheck: back + w.Thickness + face, Gauge: 56.5 * in}
}
