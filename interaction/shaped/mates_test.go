package shaped

import (
	"math"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

func TestMoreLost(t *testing.T) {
	t.Parallel()
	tall := func(mm, hollow float64) WornTread {
		return WornTread{Height: measure.Exact(mm, ""), Hollow: measure.Exact(hollow, ""), New: 25.4}
	}
	hollow := func(mm float64) WornTread { return WornTread{Hollow: measure.Exact(mm, ""), New: 25.4} }
	for _, tt := range []struct {
		name, reason string
		of, mate     WornTread
		want         float64
	}{
		{"alike", "nothing tells them apart", hollow(3), hollow(3), 0},
		{"hollow", "by its hollow", hollow(4), hollow(0), 4},
		{"its mate", "the other way about", hollow(0), hollow(4), -4},
		{"tall", "height gained is tread lost, hollow or not", tall(30, 0), tall(28, 0), 2},
		{"heights go before hollows", "they hold all that was lost", tall(30, 4), tall(30, 0), 0},
		{"one height", "a height alone compares with nothing", tall(30, 2), hollow(0), 2},
		{"another design", "each over its own new height", WornTread{Height: measure.Exact(30, ""), New: 28},
			tall(26.4, 0), 1},
	} {
		if got := MoreLost(tt.of, tt.mate); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %.3f mm, want %.3f (%s)", tt.name, got, tt.want, tt.reason)
		}
	}
}

// Diameters that were read keep their error; those that were not are an axle with equal flange tips, and no height
// leads out of what the hollows leave open, so that nobody who reads it comes off worse.
func TestDiametersOfMates(t *testing.T) {
	t.Parallel()
	design, err := wheelshape.Named(fixture.Shapes(t), "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	const half = matesDiffer/2 + sizeRead
	usual := 36 * measure.MMPerInch
	point := func(mm, by float64) measure.Reading {
		return measure.Reading{Form: measure.Point, As: mm, Lo: mm - by, Hi: mm + by}
	}
	type readings struct{ hollow, height, diameter measure.Reading }
	for _, tt := range []struct {
		name, reason string
		l, r         readings
		want         [2][3]float64 // as, low, high less 36 in
	}{
		{"nothing read", "within two tape sizes", readings{}, readings{},
			[2][3]float64{{0, -half, half}, {0, -half, half}}},
		{"hollow", "4 mm of radius, shared", readings{hollow: point(4, 0.05)}, readings{},
			[2][3]float64{{-4, -4 - half, -4 + half}, {4, 4 - half, 4 + half}}},
		{"both read", "as read, with their error", readings{diameter: point(usual, 0.8)},
			readings{diameter: point(usual+1, 0.8)},
			[2][3]float64{{0, -0.8, 0.8}, {1, 0.2, 1.8}}},
		{"one read", "its mate follows, tip for tip", readings{hollow: point(3, 0.05), diameter: point(usual, 0.8)},
			readings{},
			[2][3]float64{{0, -0.8, 0.8}, {6, 6 - 0.8 - matesDiffer, 6 + 0.8 + matesDiffer}}},
		{"a little taller", "as written by the heights", readings{height: point(26.4, 0.8)},
			readings{height: point(25.4, 0.8)},
			[2][3]float64{{-1, -half, half}, {1, -half, half}}},
		{"much taller", "no farther than the hollows leave open", readings{height: point(30, 0.8)},
			readings{height: point(25.4, 0.8)}, [2][3]float64{{-half, -half, half}, {half, -half, half}}},
	} {
		j := &truckJob{car: &wheel.Car{ID: "A"}, axles: 2}
		for i, x := range []readings{tt.l, tt.r} {
			w := &wheel.Wheel{Car: j.car, Position: wheel.Position{Side: "LR"[i], Axle: 1}}
			w.Set(wheel.TreadHollow, x.hollow)
			w.Set(wheel.FlangeHeight, x.height)
			w.Set(wheel.Diameter, x.diameter)
			j.wheels[i], j.designs[i] = w, design
		}
		j.treadLost()
		got := j.sizesRead(0, usual)
		for i, want := range tt.want {
			for k, v := range [3]float64{got[i].As, got[i].Lo, got[i].Hi} {
				if math.Abs(v-usual-want[k]) > 1e-6 {
					t.Errorf("%s, wheel %d: %.3f %.3f %.3f, want %v (%s)", tt.name, i, got[i].As-usual, got[i].Lo-usual,
						got[i].Hi-usual, want, tt.reason)
					break
				}
			}
		}
	}
}

// A diameter that was not read is tried from equal flange tips to equal diameters, within its bound; one that was read
// stands as it was.
func TestDiametersTried(t *testing.T) {
	t.Parallel()
	design, err := wheelshape.Named(fixture.Shapes(t), "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	const half = matesDiffer/2 + sizeRead
	usual := 36 * measure.MMPerInch
	read := func(mm, by float64) measure.Reading {
		return measure.Reading{Form: measure.Point, As: mm, Lo: mm - by, Hi: mm + by}
	}
	for _, tt := range []struct {
		name   string
		hollow float64 // of the left wheel, mm
		l, r   measure.Reading
		want   [2][2]float64 // low, high less 36 in
	}{
		{"alike", 0, measure.Reading{}, measure.Reading{}, [2][2]float64{{-half, half}, {-half, half}}},
		{"none read", 4, measure.Reading{}, measure.Reading{}, [2][2]float64{{-4 - half, half}, {-half, 4 + half}}},
		{"the hollow one read", 3, read(usual, 0.8), measure.Reading{},
			[2][2]float64{{-0.8, 0.8}, {-0.8 - matesDiffer, 6 + 0.8 + matesDiffer}}},
		{"its mate read", 3, measure.Reading{}, read(usual, 0.8),
			[2][2]float64{{-6 - 0.8 - matesDiffer, 0.8 + matesDiffer}, {-0.8, 0.8}}},
		{"a bound", 3, read(usual, 0.8), measure.Reading{Form: measure.Above, As: math.NaN(), Lo: usual + 2,
			Hi: usual + 100},
			[2][2]float64{{-0.8, 0.8}, {2, 6 + 0.8 + matesDiffer}}},
		{"both read", 4, read(usual, 0.8), read(usual+1, 0.8), [2][2]float64{{-0.8, 0.8}, {0.2, 1.8}}},
	} {
		j := &truckJob{car: &wheel.Car{ID: "A"}, axles: 2}
		for i, size := range []measure.Reading{tt.l, tt.r} {
			w := &wheel.Wheel{Car: j.car, Position: wheel.Position{Side: "LR"[i], Axle: 1}}
			w.Set(wheel.TreadHollow, measure.Exact(float64(1-i)*tt.hollow, ""))
			w.Set(wheel.Diameter, size)
			j.wheels[i], j.designs[i] = w, design
		}
		j.treadLost()
		got := j.sizesTried(0, usual)
		for i, want := range tt.want {
			if math.Abs(got[i].Lo-usual-want[0]) > 1e-6 || math.Abs(got[i].Hi-usual-want[1]) > 1e-6 {
				t.Errorf("%s, wheel %d: %.3f to %.3f, want %.3f to %.3f", tt.name, i, got[i].Lo-usual, got[i].Hi-usual,
					want[0], want[1])
			}
		}
	}
}

// Whether diameters are too far apart is asked on every curve, and adds nothing to what the truck says.
func TestAskingAddsNothing(t *testing.T) {
	truck := &truckJob{car: &wheel.Car{ID: "A"}, axles: 2}
	before := len(truck.notes)
	for range 2 {
		truck.anyMismatched()
	}
	if len(truck.notes) != before {
		t.Errorf("%q after asking twice", truck.notes)
	}
}
