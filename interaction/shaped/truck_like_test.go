package shaped

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Trucks that were read alike are computed once, and one of which anything was read otherwise for itself: each comes to
// what it comes to alone.
func TestTrucksAlikeAreComputedOnce(t *testing.T) {
	t.Parallel()
	data := fixture.Data(t)
	c, err := New(Fleet{Rules: interaction.NewRules(survey.NewSettings(data.Settings), data)}, data, fixture.Shapes(t))
	if err != nil {
		t.Fatal(err)
	}
	curve := &track.Feature{Kind: track.Curve, ID: "C", Class: "1", Speed: 10, SpeedKnown: true, Rail: "115RE",
		Cant: "1:40", Holding: "good", Lubricated: "none", WarpOverFt: 62}
	for q, v := range map[track.Quantity]float64{track.Degree: 12, track.Elevation: 25, track.Gauge: 1448,
		track.LoadedGauge: 1455, track.HeadWear: 0, track.GaugeFaceWear: 0, track.Warp: 40} {
		curve = curve.With(q, measure.Exact(v, ""))
	}
	j := c.curve(curve)
	for _, change := range []func(*truckJob){nil, nil, // the same twice
		func(n *truckJob) { n.wheels[2].Set(wheel.FlangeThickness, measure.Exact(32, "")) },
		func(n *truckJob) { n.wheels[2].Set(wheel.TreadHollow, measure.Exact(1, "")) },
		func(n *truckJob) { n.wheels[2].Set(wheel.Diameter, measure.Exact(911, "")) },
		func(n *truckJob) { n.wheels[2].Set(wheel.BackToBack, measure.Exact(1350, "")) },
		func(n *truckJob) { n.wheels[2].Design = "wide flange 1:20" },
		func(n *truckJob) { n.car.GrossLb = 100000 },
		func(n *truckJob) { n.car.TruckWheelbase = measure.Exact(1700, "") },
		func(n *truckJob) { n.car.TruckCenters = measure.Exact(8000, "") },
		func(n *truckJob) { n.car.LoadImbalance = measure.Exact(9, "") },
		func(n *truckJob) { n.car.Body = "stiff" },
		func(n *truckJob) { n.car.WarpStiffness = "worn" },
		func(n *truckJob) { n.car.Kind = "passenger" },
		func(n *truckJob) { n.number = 2 },
	} {
		n := truckRead("A" + string(rune('a'+len(c.trucks))))
		if change != nil {
			change(n)
		}
		for _, w := range n.all() {
			n.hollow = n.hollow || isHollow(w.Read(wheel.TreadHollow))
		}
		if c.prepare(n); n.broken != "" {
			t.Fatal(n.broken)
		}
		c.trucks = append(c.trucks, n)
	}
	findLike(c.trucks)
	for i, n := range c.trucks {
		if want := max(i, 1) - 1; i < 2 && n.like != c.trucks[want] || i >= 2 && n.like != n {
			t.Errorf("truck %d stands for another one", i)
		}
		want := c.ofAnyKind(n, j)
		got, _, w := c.anyKindOn(n, j)
		if !reflect.DeepEqual(got, want.k) || w != want.w {
			t.Errorf("truck %d: %+v %s, alone %+v %s", i, got, w, want.k, want.w)
		}
		if n.hollow { // its hollow wheel turned
			bare := c.unhollowed(n)
			want := c.ofAnyKind(bare, j)
			if got, _, _ := c.anyKindOn(bare, j); !reflect.DeepEqual(got, want.k) {
				t.Errorf("truck %d without its hollow: %+v, alone %+v", i, got, want.k)
			}
		}
	}
}

// truckRead is a truck with every reading taken.
func truckRead(id string) *truckJob {
	car := &wheel.Car{ID: id, Kind: "freight", GrossLb: 220000, Axles: 4, Body: "ordinary", WarpStiffness: "new",
		TruckWheelbase: measure.Exact(1778, ""), TruckCenters: measure.Exact(14000, ""),
		LoadImbalance: measure.Exact(2, "")}
	n := &truckJob{car: car, number: 1, axles: 2}
	for a := range 2 {
		of := func(side byte) *wheel.Wheel {
			return &wheel.Wheel{Car: car, Position: wheel.Position{Side: side, Axle: 1 + a},
				Design: "narrow flange 1:20"}
		}
		axle := (&wheel.Axle{Car: car, Number: 1 + a, L: of('L'), R: of('R')}).Clone()
		for k, w := range []*wheel.Wheel{axle.L, axle.R} {
			for q, v := range map[wheel.Quantity]float64{wheel.TreadHollow: 0, wheel.FlangeThickness: 29,
				wheel.FlangeHeight: 27, wheel.Diameter: 914, wheel.BackToBack: 1354, wheel.RimWidth: 140} {
				w.Set(q, measure.Exact(v, ""))
			}
			n.wheels[2*a+k] = w
		}
	}
	return n
}

// Of a curve as designed it is asked alone whether a truck conflicts: one that is looked at no farther does not.
func TestConflictIsOneAsWritten(t *testing.T) {
	t.Parallel()
	data := fixture.Data(t)
	c, err := New(Fleet{Rules: interaction.NewRules(survey.NewSettings(data.Settings), data)}, data, fixture.Shapes(t))
	if err != nil {
		t.Fatal(err)
	}
	draw := rand.New(rand.NewPCG(19, 30))
	trucks, curves := fixture.Drawn(6, 60), 2
	var conflicts, passed int
	for range trucks {
		n := truckRead("A")
		deep := draw.IntN(2) == 0
		for i, w := range n.all() {
			if deep && i < 3 {
				w.Set(wheel.TreadHollow, measure.Exact(1+4*draw.Float64(), ""))
			}
			w.Set(wheel.FlangeThickness, measure.Exact(23+9*draw.Float64(), ""))
			w.Set(wheel.RimWidth, measure.Exact(115+25*draw.Float64(), ""))
			n.index[i], n.hollow = i, n.hollow || isHollow(w.Read(wheel.TreadHollow))
		}
		if draw.IntN(2) == 0 {
			n.car.GrossLb = 60000
		}
		if c.prepare(n); n.broken != "" {
			t.Fatal(n.broken)
		}
		for range curves {
			curve := &track.Feature{Kind: track.Curve, ID: "C", Class: "1", Speed: 10, SpeedKnown: true, Rail: "115RE",
				Cant: "1:40", Holding: "good", Lubricated: "none"}
			gauge := 1440 + 38*draw.Float64()
			for q, v := range map[track.Quantity]float64{track.Degree: 4 + 20*draw.Float64(), track.Elevation: 0,
				track.Gauge: gauge, track.LoadedGauge: gauge + 80*draw.Float64(), track.HeadWear: 0,
				track.GaugeFaceWear: 0} {
				curve = curve.With(q, measure.Exact(v, ""))
			}
			j := c.curve(curve)
			computed := make([]*Computed, 4)
			c.truckTo(n, j, computed)
			any := slices.ContainsFunc(computed, func(k *Computed) bool { return k.Verdict == interaction.Conflict })
			switch may := c.mayConflict(n, j); {
			case any && !may:
				t.Errorf("a conflict is passed over: %+v", computed)
			case any:
				conflicts++
			case !may:
				passed++
			}
		}
	}
	if conflicts == 0 || passed == 0 {
		t.Errorf("%d conflicts, %d trucks passed over", conflicts, passed)
	}
}

// Curves that differ by names alone share what is computed on them, and others do not.
func TestCurvesAlikeShare(t *testing.T) {
	t.Parallel()
	of := func(name string) *track.Feature {
		f := &track.Feature{Kind: track.Curve, ID: name, Location: name, Class: "1", Speed: 10, SpeedKnown: true,
			Rail: "115RE", Cant: "1:40", Holding: "good", Lubricated: "none", GuardRail: "no", WarpOverFt: 62}
		for _, q := range f.Measured() {
			f = f.With(q, measure.Exact(5, name))
		}
		return f
	}
	jobs := []*curveJob{{f: of("A")}, {f: of("B")}}
	add := func(change func(*track.Feature)) {
		f := of("A")
		change(f)
		jobs = append(jobs, &curveJob{f: f})
	}
	for _, change := range []func(*track.Feature){
		func(f *track.Feature) { f.Class = "2" }, func(f *track.Feature) { f.Speed = 11 },
		func(f *track.Feature) { f.SpeedKnown = false }, func(f *track.Feature) { f.Rail = "136RE" },
		func(f *track.Feature) { f.Cant = "" }, func(f *track.Feature) { f.Holding = "" },
		func(f *track.Feature) { f.Lubricated = "high" }, func(f *track.Feature) { f.GuardRail = "yes" },
		func(f *track.Feature) { f.WarpOverFt = 31 },
	} {
		add(change)
	}
	for _, q := range jobs[0].f.Measured() {
		add(func(f *track.Feature) { *f = *f.With(q, measure.Exact(6, "")) })
		add(func(f *track.Feature) { *f = *f.With(q, measure.Reading{}) })
	}
	shareLike(jobs)
	seen := map[*cameTo]int{}
	for i, j := range jobs {
		if k, ok := seen[j.came]; ok && i != 1 || !ok && i == 1 {
			t.Errorf("curve %d shares with curve %d", i, k)
		}
		seen[j.came] = i
	}
}
