package draw

import (
	"fmt"
	"math"
)

// TruckWheel is a wheel of a truck in a curve, forces in kN.
type TruckWheel struct {
	Name string
	L, V float64 // sideways toward the field side of its own rail, upright
	Note string
}

// Bar is a value against its limit.
type Bar struct {
	Name         string
	Value, Limit float64
	Beyond       string // what happens beyond the limit
}

// TruckAxle is an axle of it.
type TruckAxle struct {
	Name          string
	Attack, Shift float64 // mrad, mm
	High, Low     TruckWheel
}

// TruckCurve holds the figures of the drawing of the curve command.
type TruckCurve struct {
	Title, Desc string
	Axles       []TruckAxle // from the lead axle on
	Bars        []Bar
}

// angled is how many times as large the angles of attack are drawn.
const angled = 10.0

// Truck draws a truck in a curve: its plan between the rails and its margins. Letter paper, landscape.
func Truck(d TruckCurve) []byte {
	const width, height = 11.0, 8.5
	s := newSheet(width, height, d.Title, d.Desc)
	s.heading(d.Title)
	s.label(40, 54, "start", fmt.Sprintf("running to the right; the high rail is above; angles drawn %g times as "+
		"large; arrows are the sideways forces on the rails", angled))
	const left, top, w, h = 120.0, 155.0, 816.0, 270.0
	high, low := top, top+h
	for _, r := range []struct {
		y    float64
		name string
	}{{high, "high rail"}, {low, "low rail"}} {
		s.line(60, r.y-4, 1016, r.y-4, style{width: 1.2})
		s.line(60, r.y+4, 1016, r.y+4, style{width: 1.2})
		s.label(60, r.y-12, "start", r.name)
	}
	most := 1.0
	for _, x := range d.Axles {
		most = math.Max(most, math.Max(math.Abs(x.High.L), math.Abs(x.Low.L)))
	}
	for i, axle := range d.Axles {
		// Two axles stand at 0.78 and 0.22 of the width, three a little farther out.
		reach := 0.14 * float64(len(d.Axles))
		cx, cy := left+w*(0.5+reach*(1-2*float64(i)/float64(len(d.Axles)-1))), top+h/2
		a := axle.Attack / 1000 * angled
		sn, cs := math.Sincos(a)
		// The axle across the track, turned by the angle of attack toward the high rail.
		put := func(along, across float64) [2]float64 {
			return [2]float64{cx + along*cs + across*sn, cy - along*sn + across*cs}
		}
		s.path([][2]float64{put(-5, -h/2+10), put(5, -h/2+10), put(5, h/2-10), put(-5, h/2-10)}, true,
			style{width: 1.2, fill: "#fff"})
		for side := range 2 {
			x := [2]TruckWheel{axle.High, axle.Low}[side]
			y := -h/2 + 2
			if side == 1 {
				y = h/2 - 2
			}
			s.path([][2]float64{put(-34, y-7), put(34, y-7), put(34, y+7), put(-34, y+7)}, true,
				style{width: 1.8, fill: "#ddd"})
			out := 46 * x.L / most
			dir := -1.0
			if side == 1 {
				dir = 1
			}
			from := put(0, y+dir*9)
			if math.Abs(out) > 2 {
				arrow(s, from[0], from[1], from[0], from[1]+dir*out)
			}
			label := fmt.Sprintf("%s  L %.1f kN, V %.1f kN, %s", x.Name, x.L, x.V, x.Note)
			// Labels of a middle axle stand in a line of their own.
			off := 0.0
			if i > 0 && i < len(d.Axles)-1 {
				off = 14
			}
			if side == 0 {
				s.label(cx, top-62-off, "middle", label)
			} else {
				s.label(cx, low+76+off, "middle", label)
			}
		}
		s.label(cx+16, cy-6, "start", axle.Name+" axle")
		s.label(cx+16, cy+10, "start", fmt.Sprintf("attack %.2f mrad", axle.Attack))
		s.label(cx+16, cy+26, "start", fmt.Sprintf("shift %.2f mm", axle.Shift))
	}
	y := 560.0
	for _, b := range d.Bars {
		bar(s, b, 60, y, 920)
		y += 70
	}
	return s.done()
}

func arrow(s *sheet, x0, y0, x1, y1 float64) {
	s.line(x0, y0, x1, y1, style{width: 2})
	a := math.Atan2(y1-y0, x1-x0)
	for _, t := range []float64{2.6, -2.6} {
		s.line(x1, y1, x1+9*math.Cos(a+t), y1+9*math.Sin(a+t), style{width: 2})
	}
}

// bar draws a value against its limit.
func bar(s *sheet, b Bar, left, y, w float64) {
	s.label(left, y-6, "start", fmt.Sprintf("%s: %.3f of %.3f", b.Name, b.Value, b.Limit))
	full := math.Max(math.Abs(b.Value), b.Limit) * 1.15
	if !(full > 0) {
		return
	}
	s.path([][2]float64{{left, y}, {left + w, y}, {left + w, y + 18}, {left, y + 18}}, true, style{width: 0.8})
	v := math.Max(b.Value, 0) / full * w
	s.path([][2]float64{{left, y}, {left + v, y}, {left + v, y + 18}, {left, y + 18}}, true,
		style{width: 1, fill: "#bbb"})
	at := left + b.Limit/full*w
	s.line(at, y-4, at, y+22, style{width: 2.2, dash: "5 3"})
	s.label(at-5, y+34, "end", b.Beyond+" from here")
}
