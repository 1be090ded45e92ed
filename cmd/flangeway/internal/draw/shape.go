package draw

import (
	"fmt"
	"math"

	"flangeway/internal/each"
	"flangeway/internal/measure"
)

// Side is one wheel on one rail: y outward from the middle of the track, z below the top of the rails, mm.
type Side struct {
	Name           string // "near" or "far"
	Wheel, Rail    [][2]float64
	ContactY       float64
	ContactZ       float64
	Note           string // what is written under it
	SecondY, Depth float64
	HasSecond      bool
}

// Shapes holds the lines of the drawing of the shape command.
type Shapes struct {
	Title, Desc string
	Near, Far   Side
	RRD         [][2]float64 // shift, difference, mm
	Needed      float64      // mm
	Degree      float64
	Play        float64 // mm; 0: none
	Gauge       string
	Metric      bool // axes and scale in mm, else in inches
}

// Shape draws both wheels on both rails to scale, 3/4 of full size, contact marked, and under them the rolling radius
// difference over the shift with the line that a curve needs. Letter paper, landscape.
func Shape(d Shapes) []byte {
	const width, height = 11.0, 8.5
	s := newSheet(width, height, d.Title, d.Desc)
	s.heading(d.Title)
	s.label(40, 54, "start", d.Gauge)
	scale := 0.75 * perInch / measure.MMPerInch
	side(s, d.Far, -1, 40, 70, scale)
	side(s, d.Near, 1, 548, 70, scale)
	s.scaleBar(528-scale*measure.MMPerInch, 392, scale, d.Metric)
	curve(s, d, 90, 440, 920, 300)
	return s.done()
}

// axisUnit is the unit of an axis and its mm.
func axisUnit(metric bool) (name string, mm float64) {
	if metric {
		return "mm", 1
	}
	return "in", measure.MMPerInch
}

// scaleBar draws two inches, or 50 mm, of the object from x to the right.
func (s *sheet) scaleBar(x0, y0, scale float64, metric bool) {
	if metric {
		s.comb(x0, y0, 50*scale, 10, func(i int) float64 { return map[bool]float64{true: 12, false: 6}[i%5 == 0] })
		s.label(x0, y0-15, "middle", "0")
		s.label(x0+50*scale, y0-15, "middle", "50 mm")
		return
	}
	inch := scale * measure.MMPerInch
	s.twoInches(x0, y0, inch)
	s.label(x0, y0-15, "middle", "0")
	s.label(x0+inch, y0-15, "middle", "1")
	s.label(x0+2*inch, y0-15, "middle", "2 in")
}

// twoInches draws two inches of so many units each, by eighths.
func (s *sheet) twoInches(x0, y0, inch float64) {
	s.comb(x0, y0, 2*inch, 16, func(i int) float64 {
		switch {
		case i%8 == 0:
			return 10
		case i%4 == 0:
			return 7
		}
		return 4
	})
}

// comb draws a line from x to the right with a mark at each of its parts, up so far as high says.
func (s *sheet) comb(x0, y0, long float64, parts int, high func(int) float64) {
	fmt.Fprintf(&s.b, `<path d="M%s %sH%s`, xy(x0), xy(y0), xy(x0+long))
	s.strokes = append(s.strokes, [4]float64{x0, y0, x0 + long, y0})
	for i := range parts + 1 {
		x := x0 + long*float64(i)/float64(parts)
		s.strokes = append(s.strokes, [4]float64{x, y0, x, y0 - high(i)})
		fmt.Fprintf(&s.b, "M%s %sv-%s", xy(x), xy(y0), xy(high(i)))
	}
	fmt.Fprintf(&s.b, "\" %s/>\n", style{width: 1})
}

// side draws one wheel on one rail in a frame of 468 by 300 with its corner at (left, top); flip is -1 if outward is to
// the left.
func side(s *sheet, d Side, flip, left, top, scale float64) {
	if len(d.Wheel) == 0 {
		return
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range d.Wheel {
		lo, hi = math.Min(lo, p[0]), math.Max(hi, p[0])
	}
	mid := (lo + hi) / 2
	const w, level = 468.0, 150.0
	at := func(y, z float64) [2]float64 {
		return [2]float64{left + w/2 + flip*(y-mid)*scale, top + level + z*scale}
	}
	rail := each.Of(d.Rail, func(p [2]float64) [2]float64 { return at(p[0], p[1]) })
	s.path(rail, true, style{width: 1.2, fill: "#ddd"})
	// The wheel closes over the rim: up from both ends to 20 mm over the tread.
	wheel := each.Of(d.Wheel, func(p [2]float64) [2]float64 { return at(p[0], p[1]) })
	if n := len(d.Wheel); n > 1 {
		wheel = append(wheel, at(d.Wheel[n-1][0], -32), at(d.Wheel[0][0], -32))
	}
	s.path(wheel, true, style{width: 1.8, fill: "#fff"})
	c := at(d.ContactY, d.ContactZ)
	s.circle(c[0], c[1], 5, style{width: 1.5})
	s.line(c[0], c[1]-14, c[0], c[1]+14, style{width: 0.8})
	s.line(c[0]-14, c[1], c[0]+14, c[1], style{width: 0.8})
	if d.HasSecond {
		p := at(d.SecondY, d.Depth)
		s.circle(p[0], p[1], 5, style{width: 1, dash: "2 2"})
	}
	s.label(left+w/2, top+16, "middle", d.Name)
	s.label(left+w/2, top+292, "middle", d.Note)
}

// curve draws the rolling radius difference.
func curve(s *sheet, d Shapes, left, top, w, h float64) {
	if len(d.RRD) < 2 {
		return
	}
	x0, x1 := d.RRD[0][0], d.RRD[len(d.RRD)-1][0]
	y0, y1 := 0.0, d.Needed*1.1
	for _, p := range d.RRD {
		y0, y1 = math.Min(y0, p[1]), math.Max(y1, p[1])
	}
	if !(x1 > x0) || !(y1 > y0) {
		return
	}
	unit, mm := axisUnit(d.Metric)
	at := s.axes(left, top, w, h, x0, x1, y0, y1, mm)
	s.label(left+w/2, top+h+32, "middle", "lateral shift toward the near rail, "+unit)
	s.label(left, top-8, "start", "radius difference between the wheels, "+unit)
	s.label(left, top-26, "start", d.steers())
	pts := each.Of(d.RRD, func(p [2]float64) [2]float64 { return at(p[0], p[1]) })
	s.path(pts, false, style{width: 2})
	n := at(x0, d.Needed)
	s.line(n[0], n[1], left+w, n[1], style{width: 1.2, dash: "8 4"})
	if d.Needed > 0 {
		s.label(left+8, n[1]-5, "start", "needed: "+d.length(d.Needed))
	}
	if d.Play > x0 && d.Play <= x1*1.0001 {
		p := at(math.Min(d.Play, x1), y0)
		s.line(p[0], top, p[0], top+h, style{width: 1.2, dash: "2 3"})
		s.label(p[0]-4, top+16, "end", "play: the flange bears at "+d.length(d.Play))
		if r, ok := d.reached(); ok {
			q := at(math.Min(d.Play, x1), r)
			s.circle(q[0], q[1], 5, style{width: 1.6})
			s.label(q[0]-10, math.Max(q[1]+18, top+36), "end", "reached: "+d.length(r))
		}
	}
}

// length writes a length in the unit of the axes.
func (d Shapes) length(mm float64) string {
	if d.Metric {
		return fmt.Sprintf("%.2f mm", mm)
	}
	return fmt.Sprintf("%.3f in", mm/measure.MMPerInch)
}

// reached is the difference in mm where the flange bears.
func (d Shapes) reached() (float64, bool) {
	for i := 1; i < len(d.RRD); i++ {
		a, b := d.RRD[i-1], d.RRD[i]
		if d.Play > a[0] && d.Play <= b[0]+1e-9 && b[0] > a[0] {
			return a[1] + (d.Play-a[0])/(b[0]-a[0])*(b[1]-a[1]), true
		}
	}
	return 0, false
}

// steers is the question that the drawing answers, with its answer.
func (d Shapes) steers() string {
	r, ok := d.reached()
	if !(d.Needed > 0) {
		return "How far does the axle steer? No curve was asked about."
	}
	s := fmt.Sprintf("Does it steer a curve of %g degrees? ", d.Degree)
	switch {
	case !ok:
		return s + "Not known: where the flange bears is not on this drawing. Needed: " + d.length(d.Needed) + "."
	case r >= d.Needed:
		return s + "Yes: with a play of " + d.length(d.Play) + " it reaches " + d.length(r) + " and needs " +
			d.length(d.Needed) + "."
	}
	return s + "No: with a play of " + d.length(d.Play) + " it reaches " + d.length(r) + " of the " +
		d.length(d.Needed) + " that it needs, and the flange does the rest."
}

// axes draws a box with ticks of its values over a unit, and gives where a value lies in it.
func (s *sheet) axes(left, top, w, h, x0, x1, y0, y1, unit float64) (at func(x, y float64) [2]float64) {
	at = func(x, y float64) [2]float64 { return [2]float64{left + (x-x0)/(x1-x0)*w, top + h - (y-y0)/(y1-y0)*h} }
	s.path([][2]float64{{left, top}, {left + w, top}, {left + w, top + h}, {left, top + h}}, true, style{width: 1})
	for _, v := range ticks(x0/unit, x1/unit) {
		p := at(v*unit, y0)
		s.line(p[0], p[1], p[0], p[1]-6, style{width: 1})
		s.label(p[0], p[1]+15, "middle", fmt.Sprintf("%g", v))
	}
	for _, v := range ticks(y0/unit, y1/unit) {
		p := at(x0, v*unit)
		s.line(p[0], p[1], p[0]+6, p[1], style{width: 1})
		s.label(p[0]-6, p[1]+4, "end", fmt.Sprintf("%g", v))
	}
	return at
}

// ticks are round values between lo and hi, about six of them.
func ticks(lo, hi float64) []float64 {
	step := math.Pow(10, math.Floor(math.Log10((hi-lo)/4)))
	for _, f := range []float64{1, 2, 5, 10} {
		if (hi-lo)/(step*f) <= 8 {
			step *= f
			break
		}
	}
	var out []float64
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+1e-9*(hi-lo); i++ {
		v := math.Round(i*step*1e9) / 1e9
		if v == 0 {
			v = 0 // no negative zero
		}
		out = append(out, v)
	}
	return out
}
