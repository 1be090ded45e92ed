package draw

import "math"

// frogWing: the hollow wheel on the frog's wing, which the false flange climbs.
func frogWing(f *figure) { f.hollow(150, "wing", true) }

// hollowCurve: the hollow wheel on the low rail.
func hollowCurve(f *figure) { f.hollow(0, "low rail", false) }

// hollow draws the hollow wheel on a rail, or on a wing that reaches under the false flange, with the straight edge
// that the hollow is read under.
func (f *figure) hollow(to float64, name string, wing bool) {
	q, w := f.mm("tread_hollow"), f.p.Wheel
	w.Hollow = math.Max(0, q)
	v := f.view(0, 20, -4, math.Min(w.Rim+4, 150))
	from := w.Thickness + 16
	width := headSize
	if wing {
		width = to - from
	}
	v.steel(head(from, 1, width, 0, headDeep))
	o := w.outline(0, 1)
	v.wheel(o)
	if wing {
		v.struck(o, right(tapeLine+5), below(0.2))
	}
	end := math.Min(w.Rim-6, 140)
	allowed := f.mm("allowed")
	v.level(from-4, end+14, w.Hollow, "6 3")
	v.level(tapeLine-10, end+14, allowed, "1.5 2.5")
	f.write(v.px(from+14), v.py(headDeep)-8, "start", name)
	f.down(v.px(tapeLine), v.py(0), v.px(end), v.py(w.Hollow), v.px(end+18), "start",
		f.say("tread hollow", "tread_hollow"))
	f.note("dashed: straight edge from the field side")
	f.note("dotted: allowed " + f.p.Read["allowed"].Text)
}

// outerTread: the false flange over the stock rail at the heel.
func outerTread(f *figure) {
	q, rise, over, w := f.mm("tread_hollow"), f.mm("heel_rise"), f.mm("ride_over"), f.p.Wheel
	w.Hollow = math.Max(0, q)
	v := f.view(0, 20, -4, 176)
	from := w.Thickness + 14
	v.steel(head(from, 1, 44, 0, headDeep))
	stock := math.Max(from+50, w.falseFlange()-8)
	v.steel(head(stock, 1, 60, rise, headDeep))
	o := w.outline(0, 1)
	v.wheel(o)
	v.struck(o, right(stock), below(rise))
	v.level(stock-6, v.hi-4, rise+over, "2 3")
	f.write(v.px(from+8), v.py(headDeep)-8, "start", "point")
	f.write(v.px(stock+8), v.py(headDeep)-8, "start", "stock rail")
	f.down(v.px(stock), v.py(0), v.px(stock+58), v.py(rise), v.px(w.Rim)+14, "start", f.say("heel rise", "heel_rise"))
	f.note(f.say("hollow", "tread_hollow"))
	f.note("dotted: what a false flange rides over, " + f.p.Read["ride_over"].Text)
}

// jointBar: the flange over the bar of a worn joint.
func jointBar(f *figure) {
	h, bar, w := f.mm("flange_height"), f.p.Read["bar_depth"], f.p.Wheel
	w.Height = h
	top := bar.MM
	v := f.view(0, 122, -30, 130)
	gauge := w.Thickness + 6
	block := [][2]float64{{gauge - 26, top}, {gauge + 4, top}, {gauge + 4, top + 24}, {gauge - 12, top + 24},
		{gauge - 26, top + 12}}
	v.steel(head(gauge, 1, headSize, 0, math.Max(top, h)+14))
	v.steel(block)
	o := w.outline(0, 1)
	v.wheel(o)
	v.struck(o, right(gauge-26), below(top))
	v.level(gauge-26, gauge+4, top, "")
	if bar.Hi-bar.Lo > 5 { // between two depths of the section: both are shown
		v.level(-14, gauge+4, bar.Lo, "5 3")
		v.level(-14, gauge+4, bar.Hi, "5 3")
	}
	f.down(v.px(-2), v.py(0), v.px(6), v.py(h), v.px(-18), "end", f.say("flange height", "flange_height"))
	f.down(v.px(gauge+headSize-10), v.py(0), v.px(gauge+4), v.py(top), v.px(gauge+headSize)+8, "end",
		f.say("bar depth", "bar_depth"))
	f.write(v.px(gauge-30), math.Min(v.py(top+18), objectLow-14), "end", "joint bar")
}
