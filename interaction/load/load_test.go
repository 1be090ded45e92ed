package load

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

const (
	in   = measure.MMPerInch
	lb   = measure.NewtonsPerPound
	kip  = 1000 * lb / in // a kip an inch, N/mm
	mega = 1e9            // MN·m/rad, in N·mm/rad
)

// usual is the car of the check vectors: k = 25 kip/in, b = 39 in, r = 7 in, g = 1/4 in, c = 25 in.
func usual(weightLb, bodyMega float64) Car {
	return Car{Weight: weightLb * lb, Body: bodyMega * mega, Nest: 25 * kip, NestSpacing: 78 * in, PlateRadius: 7 * in,
		Bearings: 50 * in, Clearance: in / 4}
}

func rigid() float64 { return math.Inf(1) }

func twist(t *testing.T, c Car, differenceIn float64) float64 {
	t.Helper()
	v, err := c.Twist(differenceIn * in)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The vectors were worked out by hand for this project, apart from this program, to three places.
func TestTwistVectors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		weight, body float64
		shares       [6]float64 // at 0.5, 1, 1.5, 2, 2.5, 3 in
		reason       string
	}{
		{50000, rigid(), [6]float64{0.235, 0.235, 0.235, 0.298, 0.728, 0.840},
			"empty and stiff: on its bearings from 2 in"},
		{50000, 10, [6]float64{0.235, 0.235, 0.235, 0.235, 0.509, 0.810}, "an ordinary body meets them later"},
		{50000, 1, [6]float64{0.081, 0.162, 0.235, 0.235, 0.235, 0.235}, "a soft body goes along"},
		{65000, rigid(), [6]float64{0.235, 0.235, 0.235, 0.235, 0.560, 0.840}, "a little more weight"},
		{263000, rigid(), [6]float64{0.082, 0.163, 0.235, 0.235, 0.235, 0.235}, "loaded: the springs give way"},
		{286000, 10, [6]float64{0.053, 0.105, 0.158, 0.210, 0.235, 0.235}, "loaded and ordinary"},
	} {
		for i, want := range tt.shares {
			if got := twist(t, usual(tt.weight, tt.body), 0.5*float64(i+1)); math.Abs(got-want) > 0.0005 {
				t.Errorf("%g lb, body %g, %g in: %.4f, want %.3f (%s)", tt.weight, tt.body, 0.5*float64(i+1), got, want,
					tt.reason)
			}
		}
	}
}

// bySearch is the moment of a car on twisted track found the other way about: the angle that a
// moment takes is built up part by part, and the moment is searched for whose angle it is.
func bySearch(c Car, differenceMM float64) float64 {
	half, plate, bearing := c.Weight/2, c.PlateRadius, c.Bearings/2
	angle := func(m float64) (least, most float64) {
		a := m/(c.Nest*c.NestSpacing*c.NestSpacing/2)*2 + m/c.Body
		tilt := 2 * c.Clearance / (bearing - plate)
		switch {
		case m >= half*bearing:
			return a + tilt, math.Inf(1)
		case m > half*plate:
			return a + tilt, a + tilt
		case m == half*plate:
			return a, a + tilt
		}
		return a, a
	}
	want := differenceMM / ContactSpacing
	if lo, hi := angle(half * plate); want >= lo && want <= hi {
		return 4 * half * plate / (c.Weight * ContactSpacing)
	}
	lo, hi := 0.0, half*bearing
	for range 200 {
		mid := (lo + hi) / 2
		if a, _ := angle(mid); a < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	return 4 * hi / (c.Weight * ContactSpacing)
}

func cars() int { return int(fixture.Drawn(500, 10_000)) }

func drawn(r *rand.Rand) Car {
	c := Car{Weight: (20000 + 480000*r.Float64()) * lb, Body: math.Pow(10, -1+3*r.Float64()) * mega,
		Nest: (2 + 80*r.Float64()) * kip, NestSpacing: (60 + 40*r.Float64()) * in,
		PlateRadius: (5 + 5*r.Float64()) * in,
		Bearings:    (30 + 40*r.Float64()) * in, Clearance: r.Float64() * in}
	if r.IntN(4) == 0 {
		c.Body = math.Inf(1)
	}
	if r.IntN(6) == 0 {
		c.Clearance = 0
	}
	return c
}

// Drawn cars have an answer or say why not, and it is that of the search; and nothing that makes
// it worse lifts what a wheel keeps.
func TestDrawnCars(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(17, 4))
	for i := range cars() {
		c, d := drawn(r), 6*in*r.Float64()
		got, err := c.Twist(d)
		if err != nil {
			t.Fatalf("car %d %+v: %v", i, c, err)
		}
		if want := bySearch(c, d); math.Abs(got-want) > 1e-6 {
			t.Fatalf("car %d %+v at %.1f mm: %.7f, by search %.7f", i, c, d, got, want)
		}
		if got < 0 || got > c.Bearings/ContactSpacing+1e-12 {
			t.Fatalf("car %d: share %g, at most %g", i, got, c.Bearings/ContactSpacing)
		}
		more, lighter, stiffer := c, c, c
		lighter.Weight *= 1 - 0.5*r.Float64()
		stiffer.Body *= 1 + r.Float64()
		for _, w := range []struct {
			what string
			c    Car
			d    float64
		}{{"more twist", more, d + 2*in*r.Float64()}, {"less weight", lighter, d}, {"a stiffer body", stiffer, d}} {
			worse, err := w.c.Twist(w.d)
			if err != nil || worse < got-1e-12 {
				t.Fatalf("car %d %+v: %s takes %.6f, before %.6f (%v)", i, c, w.what, worse, got, err)
			}
		}
	}
}

func TestTwistLimits(t *testing.T) {
	t.Parallel()
	soft := usual(50000, rigid())
	soft.Nest = 2.5 * kip
	solid, hard, flexible := usual(50000, 10), usual(50000, rigid()), usual(263000, 10)
	solid.Nest, hard.Nest, flexible.Nest = math.Inf(1), math.Inf(1), math.Inf(1)
	constant := usual(263000, rigid())
	flexible.Clearance, constant.Clearance = 0, 0
	w, s := 50000*lb, ContactSpacing
	kr := 2 * 2.5 * kip * 39 * in * 39 * in
	for _, tt := range []struct {
		name string
		c    Car
		d    float64 // in
		want float64
	}{
		{"a rigid body on soft springs: the two trucks' springs in a row", soft, 1, 4 * (in / s) * kr / 2 / (w * s)},
		{"rigid springs: the body alone", solid, 0.1, 4 * (0.1 * in / s) * 10 * mega / (w * s)},
		{"nothing gives way: level track unloads nothing", hard, 0, 0},
		{"nothing gives way: any twist rocks it on the plates", hard, 0.001, 2 * 7 * in / s},
		{"nothing gives way: beyond both clearances all lies on the bearings", hard, 2, 2 * 25 * in / s},
		{"no clearance: from the plate straight to the bearing", constant, 2,
			4 * (2 * in / s) * (25 * kip * 39 * in * 39 * in) / (263000 * lb * s)},
		{"no clearance, the body alone", flexible, 2, 4 * (2 * in / s) * 10 * mega / (263000 * lb * s)},
	} {
		if got := twist(t, tt.c, tt.d); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %.6f, want %.6f", tt.name, got, tt.want)
		}
	}
	for _, plate := range []struct{ radiusIn, want float64 }{{7, 0.235}, {8, 0.269}} {
		for _, weight := range []float64{30000, 60000, 200000, 400000} {
			c := usual(weight, rigid())
			c.PlateRadius = plate.radiusIn * in
			at := (2/(2*c.Nest*39*in*39*in)*c.Weight/2*c.PlateRadius + c.Clearance/(25*in-c.PlateRadius)) * s / in
			if got := twist(t, c, at); math.Abs(got-plate.want) > 0.0005 {
				t.Errorf("while a %g in plate rocks under %g lb: %.4f, want 2r/s = %.3f at any weight",
					2*plate.radiusIn,
					weight, got, plate.want)
			}
		}
	}
	c := usual(50000, rigid())
	for _, d := range []float64{2.2, 2.4} { // on the bearings: twice the clearance is lost between both ends
		a, b := twist(t, c, d), twist(t, c, d+0.1)
		if slope := (b - a) / 0.1; math.Abs(slope-4*in/s*c.Nest*39*in*39*in/(w*s)) > 1e-6 {
			t.Errorf("on the bearings at %g in: slope %g a inch", d, slope)
		}
	}
}

func TestElevationAndLoad(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ heightIn, overIn, want float64 }{
		{60, 3, 0.102}, {84, 3, 0.142}, {98, 3, 0.166}, // worked out by hand for this project
		{84, 0, 0}, {84, -3, 0.142}, // no elevation over balance; the low side alike
	} {
		got, err := Elevation(tt.overIn*in, tt.heightIn*in)
		if err != nil || math.Abs(got-tt.want) > 0.0005 {
			t.Errorf("%g in over balance, height %g in: %.4f, %v, want %.3f", tt.overIn, tt.heightIn, got, err, tt.want)
		}
	}
	// 49 CFR 238 appendix C asks for 60 percent on any wheel on 6 in of elevation: a car 98 in high keeps more.
	if got, err := Elevation(6*in, 98*in); err != nil || 1-got < 0.6 {
		t.Errorf("on 6 in of elevation %.3f of the load is lost, %v", got, err)
	}
	if got, err := Imbalance(25); err != nil || got != 0.25 {
		t.Errorf("a quarter more than half: %g, %v", got, err)
	}
}

func TestWithin(t *testing.T) {
	t.Parallel()
	const ft = 12 * in
	for _, tt := range []struct {
		warpIn, overFt, centersFt float64
		least, ramp, most         float64 // in
		reason                    string
	}{
		{3, 62, 40, 1.5, 3 * 40.0 / 62, 3, "two stretches of 40 ft: one has half of it at least, all may lie within " +
			"one"},
		{3, 62, 31, 1.5, 1.5, 3, "exactly two"},
		{3, 40, 39.7, 3, 3 * 39.7 / 40, 3, "read over the truck centers, but for the error of both lengths"},
		{3, 40, 39, 1.5, 3 * 39.0 / 40, 3, "a foot more than the truck centers"},
		{3, 62, 20, 0.75, 3 * 20.0 / 62, 3, "four stretches of 20 ft"},
		{3, 62, 62, 3, 3, 3, "as far apart as it was read"},
		{1, 31, 62, 1, 2, 2, "farther apart: it may go on"},
		{0, 62, 40, 0, 0, 0, "level"},
	} {
		least, ramp, most, err := Within(tt.warpIn*in, tt.overFt*ft, tt.centersFt*ft)
		if err != nil || math.Abs(least/in-tt.least) > 1e-9 || math.Abs(ramp/in-tt.ramp) > 1e-9 ||
			math.Abs(most/in-tt.most) > 1e-9 {
			t.Errorf("%+v: %.4f, %.4f, %.4f, %v", tt, least/in, ramp/in, most/in, err)
		}
	}
}

func TestSides(t *testing.T) {
	t.Parallel()
	const w = 100.0
	twisted := Shares{Twist: 0.3}.Sides(w)
	if twisted[0][0] != twisted[1][1] || twisted[0][1] != twisted[1][0] || math.Abs(twisted[0][0]-17.5) > 1e-9 {
		t.Errorf("twist unloads corners that are diagonally across alike: %v", twisted)
	}
	if tilted := (Shares{Elevation: 0.2, Imbalance: 0.1}).Sides(w); tilted[0] != tilted[1] ||
		math.Abs(tilted[0][0]-17.5) > 1e-9 {
		t.Errorf("elevation and load act on both trucks alike: %v", tilted)
	}
	r := rand.New(rand.NewPCG(17, 5))
	for range cars() {
		s := Shares{r.Float64(), 2*r.Float64() - 1, r.Float64()}
		out := s.Sides(w)
		if math.Abs(out.Weight()-w) > 1e-9 {
			t.Fatalf("%+v: the loads %v are not the weight", s, out)
		}
		least := math.Inf(1)
		for _, truck := range out {
			least = math.Min(least, math.Min(truck[0], truck[1]))
		}
		kept := math.Max(0, Shares{s.Twist, math.Abs(s.Elevation + s.Imbalance), 0}.Kept())
		if math.Abs(least/(w/4)-kept) > 1e-9 {
			t.Fatalf("%+v: the lightest side keeps %g of its load, by the shares %g", s, least/(w/4), kept)
		}
	}
}

// What is asked outside the range of a formula is an error and no number.
func TestRanges(t *testing.T) {
	t.Parallel()
	nan := math.NaN()
	bad := func(change func(*Car)) error {
		c := usual(100000, 10)
		change(&c)
		_, err := c.Twist(in)
		return err
	}
	of := func(_ float64, err error) error { return err }
	within := func(warp, over, centers float64) error {
		_, _, _, err := Within(warp, over, centers)
		return err
	}
	for i, err := range []error{
		bad(func(c *Car) { c.Weight = 0 }), bad(func(c *Car) { c.Weight = nan }), bad(func(c *Car) { c.Body = 0 }),
		bad(func(c *Car) { c.Nest = -1 }), bad(func(c *Car) { c.NestSpacing = 0 }),
		bad(func(c *Car) { c.PlateRadius = -1 }),
		bad(func(c *Car) { c.PlateRadius = 25 * in }), bad(func(c *Car) { c.Bearings = 0 }),
		bad(func(c *Car) { c.Clearance = -1 }), bad(func(c *Car) { c.Clearance = nan }),
		of(usual(100000, 10).Twist(-1)), of(usual(100000, 10).Twist(12 * in)), of(usual(100000, 10).Twist(nan)),
		of(Elevation(12*in, 84*in)), of(Elevation(nan, 84*in)), of(Elevation(in, -1)), of(Elevation(in, 5000)),
		of(Imbalance(-1)), of(Imbalance(101)), of(Imbalance(nan)),
		within(-1, 1, 1), within(1, 0, 1), within(1, 1, 0), within(nan, 1, 1), within(1, math.Inf(1), 1),
	} {
		if !errors.Is(err, ErrInput) {
			t.Errorf("case %d: %v", i, err)
		}
	}
}

func ExampleCar_Twist() {
	c := usual(50000, 10)
	share, err := c.Twist(2.5 * in)
	fmt.Printf("%.3f %v\n", share, err)
	// Output: 0.509 <nil>
}
