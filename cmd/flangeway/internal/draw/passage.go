package draw

import (
	"math"

	"flangeway/internal/each"
	"flangeway/internal/measure"
)

// PassageMark is a station that is named in the drawing, mm.
type PassageMark struct {
	X    float64
	Text string
}

// Passages holds the lines of the drawing of the passage command: heights along the track (x, height up, mm), and a
// section across (y to the field, z down, mm).
type Passages struct {
	Title, Desc, Note            string
	Path, Tip, Floor             [][2]float64
	PathName, TipName, FloorName string
	Marks                        []PassageMark
	Section                      [][][2]float64
	Wheel                        [][2]float64
	WheelTop                     float64 // z at which the rim is cut off
	SectionNote                  string
	Plane                        string // what heights are taken from
	Metric                       bool   // axes and scale in mm, else in inches
}

// Passage draws the wheel's path along the frog or switch, heights stretched, and the section at the worst station to
// scale. Letter paper, landscape.
func Passage(d Passages) []byte {
	s := newSheet(11, 8.5, d.Title, d.Desc)
	s.heading(d.Title)
	s.label(40, 54, "start", d.Note)
	along(s, d, 90, 86, 920, 300)
	across(s, d, 40, 440, 976, 346)
	return s.done()
}

func along(s *sheet, d Passages, left, top, w, h float64) {
	if len(d.Path) < 2 {
		return
	}
	x0, x1 := d.Path[0][0], d.Path[len(d.Path)-1][0]
	z0, z1 := math.Inf(1), math.Inf(-1)
	for _, line := range [][][2]float64{d.Path, d.Tip, d.Floor} {
		for _, p := range line {
			z0, z1 = math.Min(z0, p[1]), math.Max(z1, p[1])
		}
	}
	z0, z1 = z0-6, z1+3
	if !(x1 > x0) || !(z1 > z0) {
		return
	}
	unit, mm := axisUnit(d.Metric)
	at := s.axes(left, top, w, h, x0, x1, z0, z1, mm)
	s.label(left+w/2, top+h+30, "middle", "along the track, "+unit+", toward the heel")
	s.label(left, top-8, "start", "height over the "+d.Plane+", "+unit+"; heights are stretched")
	draw := func(line [][2]float64, name string, st style, below float64) {
		pts := each.Of(line, func(p [2]float64) [2]float64 { return at(p[0], p[1]) })
		if len(pts) == 0 {
			return
		}
		s.path(pts, false, st)
		// The name stands near the right end, on the side with room.
		end := pts[len(pts)-1]
		s.label(math.Min(end[0], left+w)-8, end[1]+below, "end", name)
	}
	draw(d.Path, d.PathName, style{width: 2.2}, -7)
	draw(d.Tip, d.TipName, style{width: 1.6, dash: "7 3"}, -7)
	draw(d.Floor, d.FloorName, style{width: 1.2, dash: "2 3"}, 15)
	for i, m := range d.Marks {
		if m.X < x0 || m.X > x1 {
			continue
		}
		p := at(m.X, z0)
		s.line(p[0], top, p[0], top+h, style{width: 0.8, dash: "1 4"})
		s.beside(p[0], top+0.4*h+float64(i)*15, top+16, top+h-8, m.Text)
	}
}

// across draws the section at three quarters of full size, or smaller if it is wide.
func across(s *sheet, d Passages, left, top, w, h float64) {
	if len(d.Wheel) == 0 {
		return
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	low := d.WheelTop
	for _, p := range d.Wheel {
		lo, hi = math.Min(lo, p[0]), math.Max(hi, p[0])
	}
	for _, part := range d.Section {
		for _, p := range part {
			lo, hi, low = math.Min(lo, p[0]), math.Max(hi, p[0]), math.Max(low, p[1])
		}
	}
	scale := 0.75 * perInch / measure.MMPerInch
	scale = math.Min(scale, math.Min((w-60)/(hi-lo), (h-50)/(low-d.WheelTop)))
	mid := (lo + hi) / 2
	at := func(p [2]float64) [2]float64 {
		return [2]float64{left + w/2 + (p[0]-mid)*scale, top + 30 + (p[1]-d.WheelTop)*scale}
	}
	s.label(left+w/2, top+14, "middle", d.SectionNote)
	for _, part := range d.Section {
		pts := each.Of(part, at)
		s.path(pts, true, style{width: 1.2, fill: "#ddd"})
	}
	wheel := each.Of(d.Wheel, at)
	n := len(d.Wheel)
	wheel = append(wheel, at([2]float64{d.Wheel[n-1][0], d.WheelTop}), at([2]float64{d.Wheel[0][0], d.WheelTop}))
	s.path(wheel, true, style{width: 1.8})
	s.scaleBar(left+w-2*scale*measure.MMPerInch-6, top+h-12, scale, d.Metric)
}
