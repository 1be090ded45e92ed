package interaction

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Spread is a side's share of a margin as what is not known of it: every reading lies anywhere in its interval with the
// same chance, independent of the others (assumed).
type Spread struct {
	lo      float64   // the least share, mm
	widths  []float64 // of the readings in it, mm
	sampled []sample  // if the margin is no plain sum
	whole   *Part     // if every margin of the interval is as likely
}

// sample is one possible share, mm and degrees.
type sample struct{ share, face float64 }

// Samples is how many times a share that is no plain sum is drawn.
const Samples = 400

// SampleError is the greatest standard error of a chance found from [Samples].
var SampleError = 0.5 / math.Sqrt(Samples)

// linear reports whether a check's margin is a plain sum of readings.
func (t *Trial) linear(k int) bool { return !t.Checks[k].Sampled && !t.Checks[k].Even }

// drawn is a reading with one value of its interval.
func drawn(r measure.Reading, rng *rand.Rand) measure.Reading {
	if !r.Measured() || r.Width() == 0 {
		return r
	}
	return measure.Exact(r.Lo+rng.Float64()*r.Width(), r.Written)
}

// spreadOf is the spread of a sum, with a width more for what is known between two bounds only (the depth of a
// section).
func spreadOf(s *sum) Spread {
	if s.NoHi { // it can only be clear
		return Spread{lo: math.Inf(1)}
	}
	out := Spread{lo: s.Lo}
	rest := s.Hi - s.Lo
	for _, w := range s.widths {
		rest -= w
		if w > measure.Near {
			out.widths = append(out.widths, w)
		}
	}
	if rest > measure.Near {
		out.widths = append(out.widths, rest)
	}
	return out
}

// WheelSpread is the spread of a wheel's share at check k; seed makes the draws of one wheel differ from those of
// another.
func (t *Trial) WheelSpread(k int, w *wheel.Wheel, seed uint64) Spread {
	c := t.Checks[k]
	if c.Even {
		return Spread{whole: &c.WheelPart(t.Rules, w, false).Part}
	}
	if t.linear(k) {
		b := &wheelSum{sum: sum{rules: t.Rules, recording: true}, w: w}
		c.wheel(b)
		return spreadOf(&b.sum)
	}
	rng := rand.New(rand.NewPCG(1, seed))
	out := Spread{}
	v := w.Axle().Clone().Like(w)
	for range Samples {
		for _, q := range []wheel.Quantity{wheel.FlangeHeight, wheel.FlangeThickness, wheel.VerticalFlange} {
			v.Set(q, drawn(w.Read(q), rng))
		}
		b := &wheelSum{sum: sum{rules: t.Rules}, w: v}
		c.wheel(b)
		out.sampled = append(out.sampled, sample{share: b.Lo + rng.Float64()*(b.Hi-b.Lo)})
	}
	return out
}

// PlaceSpread is the spread of a feature's share at check k.
func (t *Trial) PlaceSpread(k int, f *track.Feature, seed uint64) Spread {
	c := t.Checks[k]
	if c.Even {
		return Spread{whole: &c.PlacePart(t.Rules, f, false).Part}
	}
	if t.linear(k) {
		b := &PlaceSum{sum: sum{rules: t.Rules, recording: true}, F: f}
		c.place(b)
		return spreadOf(&b.sum)
	}
	rng := rand.New(rand.NewPCG(2, seed))
	out := Spread{}
	for range Samples {
		g := f
		for _, q := range f.Measured() {
			if r := f.Read(q); r.Measured() && r.Width() > 0 {
				g = g.With(q, drawn(r, rng))
			}
		}
		b := &PlaceSum{sum: sum{rules: t.Rules}, F: g}
		c.place(b)
		out.sampled = append(out.sampled, sample{share: b.Lo + rng.Float64()*(b.Hi-b.Lo), face: b.face.lo})
	}
	return out
}

// Chance is the probability that the pair conflicts: in closed form for a plain sum, else the share of the draws. The
// pair must be measured.
func (t *Trial) Chance(k int, w, p *Spread) float64 {
	if t.linear(k) {
		return below(-(w.lo + p.lo), w.widths, p.widths)
	}
	if t.Checks[k].Even {
		m := t.Checks[k].Margin(t.Rules, w.whole, p.whole)
		return math.Max(0, math.Min(1, -m.Lo/math.Max(m.Hi-m.Lo, near)))
	}
	n := 0
	for i := range w.sampled {
		a := Part{Lo: w.sampled[i].share, Hi: w.sampled[i].share, as: w.sampled[i].share}
		x := p.sampled[i]
		b := Part{Lo: x.share, Hi: x.share, as: x.share, face: faceAngle{lo: x.face, hi: x.face, as: x.face}}
		if t.Checks[k].Margin(t.Rules, &a, &b).Hi < -near {
			n++
		}
	}
	return float64(n) / Samples
}

// below is the probability that a sum of independent values, each uniform from 0 to its width, is below x: by inclusion
// and exclusion over the corners of the box, 1/(n! w1...wn) times the sum over all sets S of widths of (-1)^|S| max(0,
// x - sum of S)^n. Exact for up to six widths; the checks have at most five.
//
// Source: the volume of a box cut by a plane; with equal widths the Irwin-Hall distribution.
func below(x float64, a, b []float64) float64 {
	w := slices.Concat(a, b)
	n := len(w)
	if n == 0 {
		if x > measure.Near {
			return 1
		}
		return 0
	}
	scale := 1.0
	for i, v := range w {
		scale *= v * float64(i+1)
	}
	sum := 0.0
	for s := range 1 << n {
		at := x
		for i := range n {
			if s>>i&1 == 1 {
				at -= w[i]
			}
		}
		if at <= 0 {
			continue
		}
		v := math.Pow(at, float64(n))
		if bits.OnesCount(uint(s))%2 == 1 {
			v = -v
		}
		sum += v
	}
	return math.Min(1, math.Max(0, sum/scale))
}
