package measure_test

import (
	"math"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// TestPublishedRadii compares the chord definition with the radii printed in Vose,
// Handbook of Railroad Construction (19th century), to its last printed digit. The
// entry of that table for 6.5 degrees (822 ft) is a misprint and left out.
func TestPublishedRadii(t *testing.T) {
	for _, tc := range []struct {
		name     string
		deg, ft  float64
		halfUnit float64 // half the last printed digit
		reason   string
	}{
		{"1 degree", 1, 5730, 0.5, "printed to a foot"},
		{"2 degrees", 2, 2865, 0.5, "printed to a foot"},
		{"3 degrees", 3, 1910, 0.5, "printed to a foot"},
		{"4 degrees", 4, 1433, 0.5, "printed to a foot"},
		{"5 degrees", 5, 1146, 0.5, "printed to a foot"},
		{"6 degrees", 6, 955.4, 0.05, "printed to a tenth"},
		{"7 degrees", 7, 819.0, 0.05, "printed to a tenth"},
		{"8 degrees", 8, 716.8, 0.05, "printed to a tenth"},
		{"10 degrees", 10, 573.7, 0.05, "printed to a tenth"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := measure.RadiusFt(tc.deg)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(r-tc.ft) > tc.halfUnit {
				t.Errorf("R(%v deg) = %.3f ft, printed %v; %s", tc.deg, r, tc.ft, tc.reason)
			}
		})
	}
}

// TestOrdinates checks mid-ordinates against the triangle itself rather than against figures of this program: with the
// cord as base, the circle through its ends and the point m off its middle has the radius of the curve, which
// Pythagoras gives as (R − m)² + (cord/2)² = R². The classic rule of thumb, an inch of a 62 ft cord to the degree
// (string lining practice), must hold within 1 per cent.
func TestOrdinates(t *testing.T) {
	for d := 0.25; d <= 20; d += 0.25 {
		r, err := measure.RadiusFt(d)
		if err != nil {
			t.Fatal(err)
		}
		for _, cord := range []float64{31, 62} {
			m, err := measure.OrdinateIn(d, cord)
			if err != nil {
				t.Fatal(err)
			}
			ft := m / 12
			if got := math.Hypot(r-ft, cord/2); math.Abs(got-r) > 1e-6 {
				t.Errorf("%v deg, %v ft cord: the ends stand %v ft from the centre, R = %v", d, cord, got, r)
			}
			if cord == 62 && math.Abs(m/d-1) > 0.01 {
				t.Errorf("%v deg: %v in on a 62 ft cord is far from an inch to the degree", d, m)
			}
			if back, err := measure.DegreeOfOrdinate(m); cord == 62 && m <= 59 &&
				(err != nil || math.Abs(back-d) > 1e-9) {
				t.Errorf("%v deg -> %v in -> %v deg (%v)", d, m, back, err)
			}
		}
		if back, err := measure.DegreeOfRadius(r); err != nil || math.Abs(back-d) > 1e-9 {
			t.Errorf("%v deg -> %v ft -> %v deg (%v)", d, r, back, err)
		}
	}
}

// TestChordSubtendsDegree checks the definition itself: a 100 ft chord of the radius subtends the degree at the centre.
func TestChordSubtendsDegree(t *testing.T) {
	for _, d := range []float64{0.1, 1, 6, 20, measure.MaxDegree} {
		r, err := measure.RadiusFt(d)
		if err != nil {
			t.Fatal(err)
		}
		a := d * math.Pi / 180
		if chord := math.Hypot(r-r*math.Cos(a), r*math.Sin(a)); math.Abs(chord-100) > 1e-6 {
			t.Errorf("%v deg: the chord is %v ft, not 100", d, chord)
		}
	}
}

func TestCurveRanges(t *testing.T) {
	for _, tc := range []struct {
		name   string
		f      func(float64) (float64, error)
		x      float64
		ok     bool
		reason string
	}{
		{"radius of 0 degrees", measure.RadiusFt, 0, false, "tangent track has no radius"},
		{"radius of a negative degree", measure.RadiusFt, -1, false, "no such curve"},
		{"radius just above 0", measure.RadiusFt, 1e-6, true, "a very flat curve"},
		{"radius of 60 degrees", measure.RadiusFt, 60, true, "the sharpest taken"},
		{"radius above 60 degrees", measure.RadiusFt, 60.001, false, "beyond railroad curves"},
		{"radius of no number", measure.RadiusFt, math.NaN(), false, "nothing to compute"},
		{"degree of 100 ft", measure.DegreeOfRadius, 100, true, "60 degrees"},
		{"degree under 100 ft", measure.DegreeOfRadius, 99.999, false, "beyond railroad curves"},
		{"degree of an endless radius", measure.DegreeOfRadius, math.Inf(1), false, "tangent track is degree 0"},
		{"degree of no number", measure.DegreeOfRadius, math.NaN(), false, "nothing to compute"},
		{"ordinate of a diameter", func(c float64) (float64, error) { return measure.OrdinateIn(60, c) }, 200, true,
			"the cord is the diameter"},
		{"ordinate beyond a diameter", func(c float64) (float64, error) { return measure.OrdinateIn(60, c) }, 200.001,
			false, "no such cord"},
		{"ordinate of cord 0", func(c float64) (float64, error) { return measure.OrdinateIn(60, c) }, 0, false,
			"no such cord"},
		{"ordinate of no cord", func(c float64) (float64, error) { return measure.OrdinateIn(60, c) }, math.NaN(),
			false, "no such cord"},
		{"greatest ordinate", measure.DegreeOfOrdinate, 59, true, "59.88 degrees"},
		{"ordinate above", measure.DegreeOfOrdinate, 59.1, false, "at about 60 degrees the formula ends"},
		{"ordinate of a half circle", measure.DegreeOfOrdinate, 372, false, "31 ft, the cord is the diameter"},
		{"ordinate below", measure.DegreeOfOrdinate, -0.01, false, "a curve has no hand here"},
		{"ordinate not a number", measure.DegreeOfOrdinate, math.NaN(), false, "nothing is known"},
		{"ordinate of degree 0", func(d float64) (float64, error) { return measure.OrdinateIn(d, 62) }, 0, false,
			"no radius"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			v, err := tc.f(tc.x)
			if (err == nil) != tc.ok || err == nil && !(v > 0) {
				t.Errorf("f(%v) = %v, %v; want ok %v; %s", tc.x, v, err, tc.ok, tc.reason)
			}
		})
	}
	if d, err := measure.DegreeOfOrdinate(0); err != nil || d != 0 {
		t.Errorf("a mid-ordinate of 0 is tangent track, not %v deg (%v)", d, err)
	}
}

// TestParseDegree reads all six notations. The radii and ordinates come from the definition, R = 50 / sin(D/2).
func TestParseDegree(t *testing.T) {
	radius := func(ft float64) float64 { return 2 * math.Asin(50/ft) * 180 / math.Pi }
	ordinate := func(in float64) float64 { ft := in / 12; return radius((31*31 + ft*ft) / (2 * ft)) }
	for _, tc := range []struct {
		name, cell string
		want       float64
		reason     string
	}{
		{"decimal", "6.5", 6.5, "degrees"},
		{"whole", "6", 6, "degrees"},
		{"with a mark", "6°", 6, "degrees"},
		{"with a D", "D 6", 6, "degrees"},
		{"degrees and minutes", "6°30'", 6.5, "30 minutes are half a degree"},
		{"degrees and minutes, prime", "6°30′", 6.5, "a typographic prime"},
		{"ordinal sign", "6º30'", 6.5, "what a keyboard has for a degree sign"},
		{"D and dash", "D6-30", 6.5, "30 minutes"},
		{"words", "6 deg 30", 6.5, "30 minutes"},
		{"words with min", "6 deg. 30 min", 6.5, "30 minutes"},
		{"no minutes", "6-00", 6, "0 minutes"},
		{"most minutes", "6-59", 6 + 59.0/60, "59 minutes"},
		{"no degrees", "0-30", 0.5, "30 minutes"},
		{"radius", "R 955'", radius(955), "radius in feet"},
		{"radius close", "R955", radius(955), "radius in feet"},
		{"radius in words", "R 955.37 ft", radius(955.37), "radius in feet"},
		{"sharpest radius", "R 100'", 60, "100 ft is 60 degrees"},
		{"mid-ordinate", "62ft 6-1/4", ordinate(6.25), "exact, not an inch to the degree"},
		{"mid-ordinate with marks", `62' 6-1/4"`, ordinate(6.25), "exact"},
		{"mid-ordinate decimal", "62 ft 1.0", ordinate(1), "exact"},
		{"mid-ordinate millimetres", "62ft 25.4mm", ordinate(1), "a length in its unit"},
		{"mid-ordinate 0", "62ft 0", 0, "tangent"},
		{"tangent", "0", 0, "tangent"},
		{"none", "none", 0, "looked at and there is none"},
		{"at the bound", "60", 60, "the sharpest taken"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := measure.ParseDegree(tc.cell)
			if err != nil {
				t.Fatal(err)
			}
			if !r.Measured() || !same(r.As, tc.want) || r.Lo != r.As || r.Hi != r.As || r.Written != tc.cell {
				t.Errorf("%q = %v [%v, %v], want %v exactly; %s", tc.cell, r.As, r.Lo, r.Hi, tc.want, tc.reason)
			}
		})
	}
	for _, missing := range []string{"", "-", "n/m", "  "} {
		if r, err := measure.ParseDegree(missing); err != nil || r.Measured() {
			t.Errorf("%q is not measured, got %+v, %v", missing, r, err)
		}
	}
}

func TestParseDegreeRefuses(t *testing.T) {
	for _, tc := range []struct {
		name, cell, says, reason string
	}{
		{"above the bound", "60.01", "0 to 60", "just above"},
		{"minutes over", "6-60", "minutes", "60 minutes are a degree"},
		{"fraction", "6-1/2", "not a degree", "degrees have minutes, not fractions"},
		{"unicode fraction", "6½", "6½", "quoted as typed"},
		{"date", "30-Jun", "date", "6-30 became a date"},
		{"date of D", "2016-06-30", "date", "6-30 became a date"},
		{"negative", "-1", "not a degree", "the hand is not told by a sign"},
		{"blank between", "6 30", "not a degree", "6 degrees 30 minutes or 6 and 30"},
		{"minutes alone", "30'", "not a degree", "minutes or feet"},
		{"radius in metres", "R 300m", "not a degree", "feet"},
		{"radius too sharp", "R 99.9'", "100 or more", "just under 100 ft"},
		{"radius 0", "R 0", "100 or more", "no curve"},
		{"cord of another length", "31ft 1-1/2", "not a degree", "the 62 ft cord"},
		{"go/no-go ordinate", "62ft >6", "mid-ordinate", "one value"},
		{"range of ordinates", "62ft 6..7", "mid-ordinate", "one value"},
		{"ordinate missing", "62ft -", "mid-ordinate", "no value"},
		{"ordinate too large", "62ft 41", "mid-ordinate", "beyond 60 degrees or so"},
		{"seconds", "6°30'15\"", "not a degree", "no curve is read to seconds"},
		{"exponent", "1e1", "not a degree", "not a notation of the trade"},
		{"very long", strings.Repeat("6", 5000), "too long", "cut in the message"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := measure.ParseDegree(tc.cell)
			if err == nil {
				t.Fatalf("%q was taken as %v; %s", tc.cell, r.As, tc.reason)
			}
			if !strings.Contains(err.Error(), tc.says) {
				t.Errorf("%q says %q without %q; %s", tc.cell, err, tc.says, tc.reason)
			}
			checkFault(t, tc.cell, err)
		})
	}
}
