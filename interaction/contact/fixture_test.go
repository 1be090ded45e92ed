package contact

import (
	"testing"

	"flangeway/internal/fixture"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

func shape(t testing.TB, name string) *wheelshape.Shape {
	t.Helper()
	w, err := wheelshape.Named(fixture.Shapes(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func railHead(t testing.TB, name string) *trackshape.RailHead {
	t.Helper()
	r, err := trackshape.RailNamed(fixture.Shapes(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// axle is the usual European pair: S1002 on 60E1, back-to-back 1360 mm, wheels 920 mm.
func axle(t testing.TB, gauge, cant float64) Axle {
	w, r := shape(t, "S1002"), railHead(t, "60E1")
	return Axle{Near: w, Far: w, NearDiameter: 920, FarDiameter: 920, BackToBack: 1360,
		NearRail: r, FarRail: r, Gauge: gauge, GaugeHeight: 14, Cant: trackshape.CantOf(cant)}
}

func solver(t testing.TB, a Axle) *Solver {
	t.Helper()
	s, err := NewSolver(a)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
