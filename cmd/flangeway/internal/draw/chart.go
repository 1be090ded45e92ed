package draw

import (
	"fmt"
	"math"

	"flangeway/internal/each"
)

// Line is a curve of a chart.
type Line struct {
	Name   string
	Dash   string // "" solid
	Points [][2]float64
}

// Mark is a value of x that is marked, such as a wheel of the fleet.
type Mark struct {
	Name string
	At   float64
}

// Panel is one chart: lines over x, a line at zero, marks on the axis.
type Panel struct {
	Title, X, Unit, Y string
	Zero              string // what the line at zero is
	Lines             []Line
	Marks             []Mark // the first are named
}

const (
	panelHigh  = 330.0 // at most
	namedMarks = 3
)

// Charts draws panels under one another on a letter page, upright if there are more than two. Panels of one quantity
// have one scale, so that they can be compared.
func Charts(title string, panels []Panel) []byte {
	width, height := 11.0, 8.5
	if len(panels) > 2 {
		width, height = height, width
	}
	desc := "Margins over what is swept; below zero the limit is passed."
	for _, p := range panels {
		for _, l := range p.Lines {
			if n := len(l.Points); n > 0 {
				desc += fmt.Sprintf(" %s %s: from %.2f at %g to %.2f at %g.", p.Title, l.Name, l.Points[0][1],
					l.Points[0][0], l.Points[n-1][1], l.Points[n-1][0])
			}
		}
	}
	s := newSheet(width, height, title, desc)
	titles := wrapped(title, int(width*11), 2)
	for i, t := range titles {
		s.labels = append(s.labels, label{x: 40, y: 34 + 18*float64(i), lines: []string{t}, size: 15,
			attributes: ` font-weight="bold" font-size="15"`})
	}
	top := 62 + 18*float64(len(titles)-1)
	high := math.Min(panelHigh, (height*perInch-top-20)/float64(max(1, len(panels))))
	span := spans(panels)
	for i, p := range panels {
		panel(s, p, span[p.Y], 90, top+high*float64(i)+18, width*perInch-140, high-70)
	}
	return s.done()
}

// spans are the least and the greatest of each quantity over all panels, zero among them.
func spans(panels []Panel) map[string][2]float64 {
	out := map[string][2]float64{}
	for _, p := range panels {
		y := out[p.Y]
		for _, l := range p.Lines {
			for _, v := range l.Points {
				y[0], y[1] = math.Min(y[0], v[1]), math.Max(y[1], v[1])
			}
		}
		out[p.Y] = y
	}
	return out
}

func panel(s *sheet, p Panel, span [2]float64, left, top, w, h float64) {
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), span[0], span[1]
	for _, l := range p.Lines {
		for _, v := range l.Points {
			x0, x1 = math.Min(x0, v[0]), math.Max(x1, v[0])
		}
	}
	s.label(left, top-8, "start", p.Title+"  ("+p.Y+")")
	if !(x1 > x0) || !(y1 > y0) {
		s.label(left, top+20, "start", "no answer over this range")
		return
	}
	y0, y1 = y0-0.12*(y1-y0), y1+0.35*(y1-y0) // room for marks and their names
	at := s.axes(left, top, w, h, x0, x1, y0, y1, 1)
	unit := ""
	if p.Unit != "" {
		unit = ", " + p.Unit
	}
	s.label(left+w/2, top+h+32, "middle", p.X+unit)
	z := at(x0, 0)
	s.line(z[0], z[1], left+w, z[1], style{width: 1, dash: "2 3"})
	s.label(left+14, z[1]-5, "start", p.Zero)
	for i, l := range p.Lines {
		pts := each.Of(l.Points, func(v [2]float64) [2]float64 { return at(v[0], v[1]) })
		s.path(pts, false, style{width: 2, dash: l.Dash})
		if n := len(pts); n > 0 {
			k := n * (i + 1) / (len(p.Lines) + 1)
			s.label(pts[k][0]+4, pts[k][1]-7, "start", l.Name)
		}
	}
	for i, m := range p.Marks {
		if m.At < x0 || m.At > x1 {
			continue
		}
		q := at(m.At, y0)
		s.path([][2]float64{{q[0] - 3, q[1] - 16}, {q[0] + 3, q[1] - 16}, {q[0], q[1] - 8}}, true,
			style{width: 0.8, fill: "#fff"})
		if i < namedMarks {
			y := top + 16 + 14*float64(i)
			s.line(q[0], y+4, q[0], q[1]-16, style{width: 0.6, dash: "1 3"})
			s.label(math.Min(q[0]+3, left+w-4), y, "end", m.Name)
		}
	}
}
