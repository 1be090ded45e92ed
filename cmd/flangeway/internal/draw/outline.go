package draw

import (
	"math"

	"flangeway/internal/measure"
)

const (
	inch     = measure.MMPerInch
	gaugedAt = 3.0 / 8 * inch // height above the tread at which the thickness gauge reads, mm
	throat   = 5.0 / 8 * inch // radius of the throat, mm; as quoted for freight wheels
	tipRound = 11.0 / 16 * inch
	faceTilt = 75 * math.Pi / 180 // of the flange face
	tapeLine = (2 + 27.0/32) * inch
	headSize = (2 + 15.0/16) * inch // width of a rail head, mm
	headDeep = 42.0                 // of the drawn part of a rail, mm
	rimDrawn = 34.0                 // of a wheel over its tread, mm
)

// outline is the outline of a wheel whose flange back stands at back (mm), the field to the right (dir 1) or left (dir
// -1). y is mm below the tread at the tape line.
func (w WheelDims) outline(back, dir float64) [][2]float64 {
	return w.shaped(back, dir, tipRound, faceTilt)
}

// shaped is outline with the radius of the flange tip in mm and the angle of the face in rad.
func (w WheelDims) shaped(back, dir, tip, face float64) [][2]float64 {
	var out [][2]float64
	add := func(u, y float64) { out = append(out, [2]float64{back + dir*u, y}) }
	const rimTop = -rimDrawn
	// The throat stands where the gauge reads the thickness on it or on the face.
	foot := w.Thickness + gaugedAt/math.Tan(face) + throat*(1-math.Cos(face))/math.Sin(face)
	if throat*(1-math.Cos(face)) > gaugedAt {
		foot = w.Thickness + math.Sqrt(throat*throat-(throat-gaugedAt)*(throat-gaugedAt))
	}
	line := foot - throat*(1-math.Cos(face))/math.Sin(face) // u of the face at y = 0
	if w.Height-tip*(1-math.Cos(face)) < throat*(1-math.Cos(face)) && tip == tipRound {
		tip = math.Max(3, (w.Height-throat*(1-math.Cos(face)))/(1-math.Cos(face)))
	}
	from := w.Height - tip*(1-math.Cos(face)) // y where the tip's arc begins
	apex := line - from/math.Tan(face) - tip*math.Sin(face)
	if apex < 2 {
		apex = 2
	}
	round := math.Min(apex, w.Height)
	add(0, rimTop)
	for i := range 13 { // the back's round
		a := float64(i) / 12 * math.Pi / 2
		add(apex*(1-math.Cos(a)), w.Height-round+round*math.Sin(a))
	}
	for i := 1; i <= 16; i++ {
		a := float64(i) / 16 * face
		add(apex+tip*math.Sin(a), w.Height-tip*(1-math.Cos(a)))
	}
	for i := range 17 { // the throat, from the face to the tread
		a := face * (1 - float64(i)/16)
		add(foot-throat*math.Sin(a), throat*(1-math.Cos(a)))
	}
	low, high := tapeLine+12, tapeLine+40
	if high > w.Rim-12 {
		high = w.Rim - 12
		low = math.Min(low, high-20)
	}
	if w.Hollow > 0 {
		for i := range 15 {
			t := float64(i) / 14
			add(low+t*(high-low), w.Hollow*t*t*(3-2*t))
		}
	}
	add(w.Rim-6, w.Hollow)
	add(w.Rim, w.Hollow-6)
	add(w.Rim, rimTop)
	return out
}

// falseFlange is where the false flange begins, mm from the back.
func (w WheelDims) falseFlange() float64 { return math.Min(tapeLine+40, w.Rim-12) }

// head is the outline of a rail head whose gauge side stands at x (mm); its steel lies to the right (dir 1) or left
// (dir -1), its top at y.
func head(x, dir, width, top, down float64) [][2]float64 {
	r := math.Min(throat, width/2)
	out := [][2]float64{{x, down}}
	for i := range 9 {
		a := float64(i) / 8 * math.Pi / 2
		out = append(out, [2]float64{x + dir*r*(1-math.Cos(a)), top + r*(1-math.Sin(a))})
	}
	r = math.Min(3.0/8*inch, width-r) // away from the flange
	for i := range 9 {
		a := float64(i) / 8 * math.Pi / 2
		out = append(out, [2]float64{x + dir*(width-r+r*math.Sin(a)), top + r*(1-math.Cos(a))})
	}
	return append(out, [2]float64{x + dir*width, down})
}

func box(x0, y0, x1, y1 float64) [][2]float64 {
	return [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// half is a half plane: the points whose coordinate axis (0 x, 1 y) is above at, or below it.
type half struct {
	axis  int
	at    float64
	above bool
}

// clip cuts a closed outline by half planes.
func clip(p [][2]float64, planes ...half) [][2]float64 {
	for _, h := range planes {
		in := func(q [2]float64) bool { return (q[h.axis] >= h.at) == h.above }
		var out [][2]float64
		for i, b := range p {
			a := p[(i+len(p)-1)%len(p)]
			if in(a) != in(b) {
				t := (h.at - a[h.axis]) / (b[h.axis] - a[h.axis])
				out = append(out, [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])})
			}
			if in(b) {
				out = append(out, b)
			}
		}
		p = out
	}
	return p
}

func right(x float64) half { return half{0, x, true} }
func left(x float64) half  { return half{0, x, false} }
func below(y float64) half { return half{1, y, true} }
func above(y float64) half { return half{1, y, false} }
