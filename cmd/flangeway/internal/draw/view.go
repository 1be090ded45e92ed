package draw

import "math"

// view puts a part of the object on the sheet: the object's point (x, 0) at (left, top).
type view struct {
	f         *figure
	x         float64 // mm
	left, top float64 // units
	lo, hi    float64 // mm: what lies outside is left out
}

func (f *figure) view(x, left, lo, hi float64) view {
	return view{f: f, x: x, left: left, top: f.top, lo: lo, hi: hi}
}

func (v view) px(x float64) float64 { return v.left + (x-v.x)*v.f.scale }
func (v view) py(y float64) float64 { return v.top + y*v.f.scale }

func (v view) fill(p [][2]float64, st style) {
	p = clip(p, right(v.lo), left(v.hi), below((objectTop+8-v.top)/v.f.scale), above((objectLow-v.top)/v.f.scale))
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

// level draws a level line from x0 to x1 (mm) at y (mm), if that is on the sheet.
func (v view) level(x0, x1, y float64, dash string) {
	if at := v.py(y); at < objectTop || at > objectLow {
		return
	}
	v.f.line(v.px(x0), v.py(y), v.px(x1), v.py(y), style{width: 1, dash: dash})
}

// upright draws a line from y0 to y1 (mm) at x (mm).
func (v view) upright(x, y0, y1 float64, dash string) {
	v.f.line(v.px(x), v.py(y0), v.px(x), v.py(y1), style{width: 1, dash: dash})
}

// write names a part, about where no line runs and no other text stands.
func (f *figure) write(x, y float64, anchor, text string) {
	for i, s := range wrapped(text, 48, 2) {
		f.label(x, y+line*float64(i), anchor, s)
	}
}

// note adds what stands under the object.
func (f *figure) note(text string) { f.notes = append(f.notes, text) }

// row is where the n-th level dimension under a rail stands, first 0.
func (f *figure) row(n int) float64 { return f.top + headDeep*f.scale + 17*(float64(n)+1.2) }

// key is the letter at a dimension. What it stands for is written under the object, because beside a short dimension
// among others there is no room for it.
func (f *figure) key(text string) []string {
	letter := string(rune('A' + len(f.keys)))
	f.keys = append(f.keys, letter+" "+text)
	return []string{letter}
}

// tick is the slanted mark at the end of a dimension.
func (f *figure) tick(x, y float64) { f.line(x-4, y+4, x+4, y-4, style{width: 1.5}) }

// across draws a level dimension between two places of the sheet with its letter over it, beside it or under it. From
// y0 and y1 thin lines lead to it.
func (f *figure) across(x0, y0, x1, y1, y float64, text string) {
	for _, e := range [][2]float64{{x0, y0}, {x1, y1}} {
		f.line(e[0], e[1], e[0], y+math.Copysign(5, y-e[1]), style{width: 0.6})
	}
	f.line(x0, y, x1, y, style{width: 1})
	f.tick(x0, y)
	f.tick(x1, y)
	l := label{x: (x0 + x1) / 2, y: y - 5, anchor: "middle", lines: f.key(text), size: letter}
	b := l.box(l.x, 0)
	half := (b[2] - b[0]) / 2
	lo, hi := math.Min(x0, x1), math.Max(x0, x1)
	for off := 0.0; off <= math.Max((hi-lo)/2, half); off += 4 {
		l.near = append(l.near, [2]float64{l.x - off, y - 5}, [2]float64{l.x + off, y - 5})
	}
	for _, off := range []float64{7, 13, 19} {
		l.near = append(l.near, [2]float64{hi + off + half, y + 6}, [2]float64{lo - off - half, y + 6})
	}
	for off := 0.0; off <= (hi-lo)/2; off += 4 {
		l.near = append(l.near, [2]float64{l.x - off, y + 18}, [2]float64{l.x + off, y + 18})
	}
	f.labels = append(f.labels, l)
}

// down draws an upright dimension at x with its letter beside it, anchor start to the right and end to the left. From
// x0 and x1 thin lines lead to it.
func (f *figure) down(x0, y0, x1, y1, x float64, anchor string, text string) {
	for _, e := range [][2]float64{{x0, y0}, {x1, y1}} {
		f.line(e[0], e[1], x+math.Copysign(5, x-e[0]), e[1], style{width: 0.6})
	}
	f.line(x, y0, x, y1, style{width: 1})
	f.tick(x, y0)
	f.tick(x, y1)
	l := label{x: x + 9, anchor: anchor, lines: f.key(text), size: letter}
	if anchor == "end" {
		l.x = x - 9
	}
	l.y = (y0+y1)/2 + 6
	for off := 0.0; off <= 60; off += 3 {
		l.near = append(l.near, [2]float64{l.x, l.y - off}, [2]float64{l.x, l.y + off})
	}
	f.labels = append(f.labels, l)
}

// gap draws the mark of a length left out, over the whole height of the object.
func (f *figure) gap(x float64) {
	from, to := f.top-rimDrawn*f.scale-4, f.top+headDeep*f.scale+4
	for _, dx := range []float64{-4, 4} {
		var p [][2]float64
		for i := range 9 {
			off := 3.0
			if i%2 == 0 {
				off = -3
			}
			p = append(p, [2]float64{x + dx + off, from + float64(i)*(to-from)/8})
		}
		f.path(p, false, style{width: 1})
	}
}

// say names a reading: its words, then as it was written.
func (f *figure) say(name, read string) string { return name + " " + f.p.Read[read].Text }
