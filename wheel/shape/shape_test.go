package shape

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/wheel"
)

func design(t testing.TB, name string) *Shape {
	t.Helper()
	s, err := Named(fixture.Shapes(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// EN 13715: S1002 with a flange 28 mm high and 32.5 mm thick, face 70 degrees. The
// thickness at 3/8 in follows from the same section D (computed by hand).
func TestS1002Gauges(t *testing.T) {
	s := design(t, "S1002")
	h, err := s.FlangeHeight()
	if err != nil || math.Abs(h-28) > 1e-3 {
		t.Errorf("height %.4f %v, want 28.000", h, err)
	}
	for _, tt := range []struct{ at, want float64 }{{10, 32.500}, {9.525, 32.785}} {
		if got, err := s.FlangeThicknessAt(tt.at); err != nil || math.Abs(got-tt.want) > 1e-3 {
			t.Errorf("thickness at %g: %.4f %v, want %.3f", tt.at, got, err, tt.want)
		}
	}
	if a, l, err := s.FlangeAngle(); err != nil || math.Abs(a/rad-70) > 0.001 || l < 3 {
		t.Errorf("angle %.4f over %.2f mm, %v", a/rad, l, err)
	}
	if q, err := s.TreadHollow(); err != nil || q != 0 {
		t.Errorf("a new tread is hollow by %g mm, %v", q, err)
	}
	if v, err := s.VerticalFlange(); err != nil || v != 0 {
		t.Errorf("a 70 degree face is vertical to %g mm, %v", v, err)
	}
	for i := 1; i < len(s.Outline); i++ { // the direction turns by no more than a sample's share
		if d := math.Abs(s.Outline[i].Angle - s.Outline[i-1].Angle); d > 0.6*rad && s.Outline[i].Y < 59.9 {
			t.Errorf("a kink of %.3f degrees at y = %.3f", d/rad, s.Outline[i].Y)
		}
	}
}

func TestFreightWheelsReadAsQuoted(t *testing.T) {
	in := measure.MMPerInch
	tests := []struct {
		name, reason         string
		thickness, rim, tape float64
	}{
		{"narrow flange 1:20", "quoted: 1-5/32, 5-1/2, 2-27/32", 1 + 5./32, 5.5, 2 + 27./32},
		{"wide flange 1:20", "quoted: 1-3/8, 5-23/32, 3-1/16", 1.375, 5 + 23./32, 3 + 1./16},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := design(t, tt.name)
			h, err := s.FlangeHeight()
			if err != nil || math.Abs(h-in) > 1e-3 {
				t.Errorf("height %.4f %v", h, err)
			}
			w, err := s.FlangeThickness()
			if err != nil || math.Abs(w-tt.thickness*in) > 1e-3 {
				t.Errorf("thickness %.4f in, %v (%s)", w/in, err, tt.reason)
			}
			yl, yh, _, _ := s.Outline.Extent()
			if math.Abs(yl+tt.tape*in) > 1e-6 || math.Abs(yh-(tt.rim-tt.tape)*in) > 1e-6 {
				t.Errorf("from %.4f to %.4f in", yl/in, yh/in)
			}
			if a, _, err := s.FlangeAngle(); err != nil || math.Abs(a/rad-75) > 1e-6 {
				t.Errorf("angle %.4f, %v", a/rad, err)
			}
		})
	}
	// From the face to the field both are one wheel.
	n, w := design(t, "narrow flange 1:20"), design(t, "wide flange 1:20")
	for _, h := range []float64{3, 9.525, 15, 20} {
		a, err1 := n.FlangeThicknessAt(h)
		b, err2 := w.FlangeThicknessAt(h)
		if err1 != nil || err2 != nil || math.Abs(b-a-7./32*in) > 1e-6 {
			t.Errorf("at %g mm: %.4f and %.4f", h, a, b)
		}
	}
}

func TestShapeNames(t *testing.T) {
	tests := []struct{ name, reason, says string }{
		{"S1003", "unknown: the known ones are listed", `did you mean "S1002"`},
		{"cone:1/0", "no taper", "not a taper"},
		{"cone:x", "no number", "not a taper"},
		{"cone:5", "beyond -1 to 1", "taper 5"},
		{"cone:NaN", "not a number", "taper NaN"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := Named(fixture.Shapes(t), tt.name); err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("%v (%s)", err, tt.reason)
			}
		})
	}
	for _, name := range []string{"cone:1/20", "cone:1:20", "cone:0.05"} {
		s, err := Named(fixture.Shapes(t), name)
		if err != nil || s.Outline[0].Z != 3.5 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func reading(lo, as, hi float64) measure.Reading {
	return measure.Reading{Form: measure.Point, Lo: lo, As: as, Hi: hi}
}

// Over the field of plausible readings a rebuilt wheel must read back as given or be
// called a contradiction, and most of the field must be possible.
func TestRebuiltWheelReadsBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for _, name := range []string{"S1002", "narrow flange 1:20", "wide flange 1:20"} {
		d := design(t, name)
		h0, _ := d.FlangeHeight()
		t0, _ := d.FlangeThickness()
		possible := 0
		const n = 45
		for range n {
			hollow := 5 * rng.Float64()
			v := values{height: h0 + hollow + 1.5 + 7*rng.Float64(), thickness: t0 - 9*rng.Float64(), vertical: 0,
				hollow: hollow}
			switch rng.IntN(3) {
			case 0:
				v.vertical = 19 + 5*rng.Float64()
			case 1: // the upright face ends in what was the throat
				v.vertical = 7 + 12*rng.Float64()
			}
			s, err := d.fit(v)
			if err != nil {
				if !errors.Is(err, ErrContradiction) {
					t.Fatalf("%s %+v: %v", name, v, err)
				}
				continue
			}
			possible++
			h, _ := s.FlangeHeight()
			w, _ := s.FlangeThickness()
			u, _ := s.VerticalFlange()
			q, _ := s.TreadHollow()
			if math.Abs(h-v.height) > 0.1 || math.Abs(w-v.thickness) > 0.1 || math.Abs(u-v.vertical) > 0.1 ||
				math.Abs(q-v.hollow) > 0.1 {
				t.Errorf("%s %+v reads %.3f %.3f %.3f %.3f", name, v, h, w, u, q)
			}
		}
		if possible < n*2/3 {
			t.Errorf("%s: only %d of %d plausible wheels could be rebuilt", name, possible, n)
		}
	}
}

func TestContradictions(t *testing.T) {
	tests := []struct {
		name, reason string
		v            values
	}{
		{"flange too low", "a tip does not grow shorter in the model", values{27, math.NaN(), math.NaN(), math.NaN()}},
		{"hollow without tread wear", "4 mm of hollow must show in the flange height",
			values{28.5, math.NaN(), math.NaN(), 4}},
		{"flange too thick", "metal does not grow", values{28, 34, math.NaN(), math.NaN()}},
		{"vertical too high", "the tip is rounder than that", values{30, 31, 29, math.NaN()}},
		{"vertical too low", "the throat stands there", values{30, 28, 3, math.NaN()}},
		{"no flange left", "the face would lie behind the tip", values{30, 5, math.NaN(), math.NaN()}},
	}
	d := design(t, "S1002")
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := d.fit(tt.v); !errors.Is(err, ErrContradiction) {
				t.Errorf("%v (%s)", err, tt.reason)
			}
		})
	}
	if _, err := d.fit(values{28, 32.5, 0, 0}); err != nil {
		t.Errorf("the new wheel itself: %v", err)
	}
}

// More hollow is a deeper shape everywhere on the running band, seen from the tip, which does not wear.
func TestMoreHollowIsDeeper(t *testing.T) {
	d := design(t, "narrow flange 1:20")
	var last *Shape
	for _, q := range []float64{0.5, 1, 2, 3, 4, 5} {
		s, err := d.fit(values{math.NaN(), math.NaN(), math.NaN(), q})
		if err != nil {
			t.Fatal(err)
		}
		h, _ := s.FlangeHeight()
		if last != nil {
			hl, _ := last.FlangeHeight()
			for y := -20.0; y < bandEnd-0.5; y += 0.5 {
				if z, l := heightAt(t, s, y)-h, heightAt(t, last, y)-hl; !(z < l) {
					t.Errorf("hollow %g at y = %g: %.4f is not below %.4f", q, y, z, l)
				}
			}
		}
		last = s
	}
}

func heightAt(t *testing.T, s *Shape, y float64) float64 {
	t.Helper()
	for i := 1; i < len(s.Outline); i++ {
		if a, b := s.Outline[i-1], s.Outline[i]; a.Y <= y && b.Y >= y && b.Y > a.Y {
			return a.Z + (b.Z-a.Z)*(y-a.Y)/(b.Y-a.Y)
		}
	}
	t.Fatalf("no y = %g", y)
	return 0
}

func TestRebuildIntervals(t *testing.T) {
	d := design(t, "narrow flange 1:20")
	in := measure.MMPerInch
	w, err := Rebuild(d, WornReadings{Height: reading(1.21875*in, 1.25*in, 1.28125*in),
		Thickness: reading(0.96875*in, in, 1.03125*in), Hollow: reading(1.5, 2, 2.5)})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(w.Extremes()); n != 8 {
		t.Errorf("%d extremes of three intervals, want 8", n)
	}
	// As written a contradiction, within the interval not: the hollow needs more height.
	w, err = Rebuild(d, WornReadings{Height: reading(in, in, in+4), Hollow: reading(2, 2, 2)})
	if err != nil {
		t.Fatal(err)
	}
	if h, _ := w.Middle.FlangeHeight(); h < in+2 {
		t.Errorf("height %.2f cannot hold 2 mm of hollow", h)
	}
	if _, err = Rebuild(d, WornReadings{Height: reading(in, in, in), Hollow: reading(4, 4, 4)}); !errors.Is(err,
		ErrContradiction) {
		t.Errorf("contradiction not found: %v", err)
	}
	if _, err = Rebuild(d, WornReadings{Height: reading(math.NaN(), 1, 2)}); err == nil {
		t.Error("NaN taken")
	}
	if w, err = Rebuild(d, WornReadings{}); err != nil || w.Middle == nil {
		t.Errorf("no readings: %v", err)
	}
}

// What does not go together is set aside in a stated order, and the rest is read back.
func TestReadingsSetAside(t *testing.T) {
	d := design(t, "narrow flange 1:20")
	in := measure.MMPerInch
	point := func(v float64) measure.Reading { return reading(v, v, v) }
	tests := []struct {
		name, reason string
		r            WornReadings
		aside        []wheel.Quantity
	}{
		{"all", "nothing contradicts", WornReadings{Height: point(30), Thickness: point(27), Hollow: point(2)}, nil},
		{"vertical", "no throat leaves a face that ends so low", WornReadings{Height: point(30), Thickness: point(27),
			Vertical: point(3)}, []wheel.Quantity{wheel.VerticalFlange}},
		{"height", "3 mm of hollow shows in the height", WornReadings{Height: point(in), Thickness: point(27),
			Hollow: point(3)}, []wheel.Quantity{wheel.FlangeHeight}},
		{"height and vertical", "both faults at once", WornReadings{Height: point(in), Vertical: point(3),
			Hollow: point(3)}, []wheel.Quantity{wheel.VerticalFlange, wheel.FlangeHeight}},
		{"thickness", "a narrow flange is never so thick", WornReadings{Height: point(27), Thickness: point(35)},
			[]wheel.Quantity{wheel.FlangeThickness}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w, aside, why, err := RebuildFrom(d, tt.r)
			if err != nil || !slices.Equal(aside, tt.aside) || (why != nil) != (len(aside) > 0) {
				t.Fatalf("%s: aside %v, why %v, err %v", tt.reason, aside, why, err)
			}
			if q, _ := w.Middle.TreadHollow(); math.Abs(q-tt.r.Hollow.As) > readBack {
				t.Errorf("hollow %.2f", q)
			}
		})
	}
}

// The lathe never leaves a flange thinner than asked, never needs less cut for a thicker flange (within 0.05 mm: a
// thinner profile's throat is a little reshaped where it joins the tread), and takes nothing off a new wheel.
func TestTurning(t *testing.T) {
	d := design(t, "narrow flange 1:20")
	full, _ := d.FlangeThickness()
	none, err := Turn(d, d, 0, Rim{Thickness: 38, Limit: 22})
	if err != nil || none.Cut != 0 {
		t.Errorf("a new wheel: cut %g, %v", none.Cut, err)
	}
	rng := rand.New(rand.NewPCG(5, 2))
	for range 6 {
		hollow := 1 + 3*rng.Float64()
		worn, err := d.fit(values{25.4 + hollow + 2 + 3*rng.Float64(), full - 1 - 5*rng.Float64(), 0, hollow})
		if err != nil {
			t.Fatal(err)
		}
		last := 0.0
		for _, share := range []float64{0.8, 0.9, 1} {
			ask := full * share
			c, err := Turn(worn, d, ask, Rim{Thickness: 38, Limit: 22})
			if err != nil {
				t.Fatal(err)
			}
			if c.Thickness < ask-0.05 || c.Least > c.Cut+1e-9 || c.Least < last-0.05 ||
				math.Abs(c.Cut/measure.Sixteenth-math.Round(c.Cut/measure.Sixteenth)) > 1e-9 {
				t.Errorf("asked %.2f: %+v after %.3f", ask, c, last)
			}
			if got := int(math.Floor((38-c.Cut-22)/c.Cut + 1e-9)); c.RimHolds && got != c.More ||
				c.RimHolds != (38-c.Cut > 22) {
				t.Errorf("rim: %+v", c)
			}
			last = c.Least
		}
		within, err := turnWithin(worn, d, last*0.7, full*0.6, Rim{Thickness: 38, Limit: 22})
		if err != nil {
			t.Fatal(err)
		}
		if within.Least > last*0.7 || within.Thickness < full*0.6-0.05 || within.Thickness > full {
			t.Errorf("within %.3f: %+v", last*0.7, within)
		}
	}
	worn, err := d.fit(values{30, full - 6, math.NaN(), 2})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := turnWithin(worn, d, 0.5, full, Rim{}); !errors.Is(err, ErrContradiction) {
		t.Errorf("a cut too small: %v", err)
	}
}

// A rule that condemns a rim "of 11/16 in or less" takes the figure itself, one that condemns "less than 1 in" leaves
// it: the same cut to just the limit, and a 64th to either side of it.
func TestRimAtItsLimit(t *testing.T) {
	const in, cut = 25.4, 2 * measure.Sixteenth
	d := design(t, "narrow flange 1:20")
	for _, tt := range []struct {
		name       string
		limit      float64
		limitHolds bool
		left       float64
		holds      bool
		more       int
		reason     string
	}{
		{"freight, below", 0.6875 * in, false, (0.6875 - 1.0/64) * in, false, 0, "215.103(c): 11/16 or less"},
		{"freight, at", 0.6875 * in, false, 0.6875 * in, false, 0, "215.103(c): 11/16 or less"},
		{"freight, above", 0.6875 * in, false, (0.6875 + 1.0/64) * in, true, 0, "215.103(c): 11/16 or less"},
		{"freight, one cut above", 0.6875 * in, false, 0.6875*in + cut, true, 0,
			"the next cut ends at the limit, which condemns"},
		{"freight, more than one cut above", 0.6875 * in, false, (0.6875+1.0/64)*in + cut, true, 1,
			"the next cut ends above the limit"},
		{"locomotive, below", in, true, (1 - 1.0/64) * in, false, 0, "229.75(j): less than 1 in"},
		{"locomotive, at", in, true, in, true, 0, "229.75(j): less than 1 in"},
		{"locomotive, above", in, true, (1 + 1.0/64) * in, true, 0, "229.75(j): less than 1 in"},
		{"locomotive, one cut above", in, true, in + cut, true, 1, "the next cut ends at the limit, which is legal"},
		{"steam, two cuts above", in, true, in + 2*cut, true, 2, "230.113(j): less than 1 in"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := turnWithin(d, d, cut, 20, Rim{Thickness: tt.left + cut, Limit: tt.limit,
				LimitHolds: tt.limitHolds})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got.RimLeft-tt.left) > 1e-9 || got.RimHolds != tt.holds || got.More != tt.more {
				t.Errorf("rim left %.4f in, holds %t, %d more; want %.4f, %t, %d: %s", got.RimLeft/in, got.RimHolds,
					got.More, tt.left/in, tt.holds, tt.more, tt.reason)
			}
		})
	}
}
