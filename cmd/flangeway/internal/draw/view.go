package draw

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// view puts a part of the object on the sheet: the object's point (x, 0) at (left, top).
type view struct {
	f         *figure
	x         float64 // mm
	left, top float64 // units
	lo, hi    float64 // mm: what lies outside is left out
}

// pairTop is where the tread level stands on the sheet, units.
const pairTop = 152.0

func (f *figure) view(x, left, lo, hi float64) view {
	return view{f: f, x: x, left: left, top: pairTop, lo: lo, hi: hi}
}

func (v view) px(x float64) float64 { return v.left + (x-v.x)*v.f.scale }
func (v view) py(y float64) float64 { return v.top + y*v.f.scale }

func (v view) fill(p [][2]float64, st style) {
	p = clip(p, right(v.lo), left(v.hi), below((58-v.top)/v.f.scale), above((308-v.top)/v.f.scale))
	var out [][2]float64
	for _, q := range p {
		out = append(out, [2]float64{v.px(q[0]), v.py(q[1])})
	}
	v.f.path(out, true, st)
}

func (v view) steel(p [][2]float64) { v.fill(p, style{width: 1, fill: "#ddd"}) }

func (v view) wheel(p [][2]float64) {
	v.f.wheels = append(v.f.wheels, p)
	v.fill(p, style{width: 1.8, fill: "#fff"})
}

// stockRail is steel that a wheel passes over or beside, never through.
func (v view) stockRail(p [][2]float64) {
	v.f.stock = p
	v.steel(p)
}

// struck blackens the part of an outline that lies in the half planes, if it is wider than a hair.
func (v view) struck(p [][2]float64, planes ...half) {
	p = clip(p, planes...)
	if len(p) > 2 {
		v.fill(p, style{width: 0.5, fill: "#000"})
	}
}

// level draws a level line from x0 to x1 (mm) at y (mm).
func (v view) level(x0, x1, y float64, dash string) {
	v.f.line(v.px(x0), v.py(y), v.px(x1), v.py(y), style{width: 1, dash: dash})
}

// upright draws a line from y0 to y1 (mm) at x (mm).
func (v view) upright(x, y0, y1 float64, dash string) {
	v.f.line(v.px(x), v.py(y0), v.px(x), v.py(y1), style{width: 1, dash: dash})
}

// write writes text with a white edge, over everything that is drawn, so that no line crosses it. A text that would
// stand on another moves up or down to where there is room.
func (f *figure) write(x, y float64, anchor string, lines ...string) {
	var all []string
	for _, s := range lines {
		all = append(all, wrapped(s, 48, 2)...)
	}
	if len(all) == 0 {
		return
	}
	wide := 0.0
	for _, s := range all {
		wide = math.Max(wide, float64(utf8.RuneCountInString(s))*letter*letterWide)
	}
	left := x
	switch anchor {
	case "middle":
		left -= wide / 2
	case "end":
		left -= wide
	}
	left = math.Max(4, math.Min(pairWidth-wide-4, left))
	y = f.free(left, y, wide, float64(len(all)-1)*line)
	at := map[string]float64{"start": left, "middle": left + wide/2, "end": left + wide}[anchor]
	for i, s := range all {
		fmt.Fprintf(&f.labels, "<text x=\"%s\" y=\"%s\" text-anchor=\"%s\">%s</text>\n", xy(at), xy(y+line*float64(i)),
			anchor, escape(s))
	}
}

// free is the first line of a text of so many units' width and height below it, at y or as near as no other text
// stands.
func (f *figure) free(left, y, wide, high float64) float64 {
	box := func(y float64) [4]float64 {
		return [4]float64{left, y - 0.8*letter, left + wide, y + high + 0.25*letter}
	}
	for off := range 80 {
		for _, way := range []float64{-1, 1} {
			b := box(y + way*3*float64(off))
			if b[1] < objectTop || b[3] > objectHigh+4 || slices.ContainsFunc(f.placed, func(p [4]float64) bool {
				return b[0] < p[2] && p[0] < b[2] && b[1] < p[3] && p[1] < b[3]
			}) {
				continue
			}
			f.placed = append(f.placed, b)
			return y + way*3*float64(off)
		}
	}
	f.placed = append(f.placed, box(y))
	return y
}

// tick is the slanted mark at the end of a dimension.
func (f *figure) tick(x, y float64) { f.line(x-4, y+4, x+4, y-4, style{width: 1.5}) }

// across draws a level dimension between two places of the sheet, its text over it. From y0 and y1 thin lines lead to
// it.
func (f *figure) across(x0, y0, x1, y1, y float64, text string) {
	for _, e := range [][2]float64{{x0, y0}, {x1, y1}} {
		f.line(e[0], e[1], e[0], y+math.Copysign(5, y-e[1]), style{width: 0.6})
	}
	f.line(x0, y, x1, y, style{width: 1})
	f.tick(x0, y)
	f.tick(x1, y)
	f.write((x0+x1)/2, y-5, "middle", text)
}

// down draws an upright dimension at x with its text beside it, anchor start to the right and end to the left. From x0
// and x1 thin lines lead to it.
func (f *figure) down(x0, y0, x1, y1, x float64, anchor string, text string) {
	for _, e := range [][2]float64{{x0, y0}, {x1, y1}} {
		f.line(e[0], e[1], x+math.Copysign(5, x-e[0]), e[1], style{width: 0.6})
	}
	f.line(x, y0, x, y1, style{width: 1})
	f.tick(x, y0)
	f.tick(x, y1)
	lines := strings.Split(text, "\n")
	at := x + 9
	if anchor == "end" {
		at = x - 9
	}
	y := (y0+y1)/2 + 6 - line/2*float64(len(lines)-1)
	if len(lines) > 1 {
		y = math.Max(y, y0+18) // clear of the tread's line
	}
	f.write(at, y, anchor, lines...)
}

// gap draws the mark of a length left out, over the whole height of the object.
func (f *figure) gap(x float64) {
	for _, dx := range []float64{-4, 4} {
		var p [][2]float64
		for i := range 9 {
			off := 3.0
			if i%2 == 0 {
				off = -3
			}
			p = append(p, [2]float64{x + dx + off, 64 + float64(i)*18})
		}
		f.path(p, false, style{width: 1})
	}
}

// say names a reading: its words, then as it was written.
func (f *figure) say(name, read string) string { return name + " " + f.p.Read[read].Text }
