package draw

import "math"

// wideGauge: the axle hard against the left rail, what bears left on the right one.
func wideGauge(f *figure) {
	gauge, t, back, rim := f.mm("loaded_gauge"), f.mm("flange_thickness"), f.mm("back_to_back"), f.mm("mate rim_width")
	w, m := f.p.Wheel, f.p.Mate
	w.Thickness, m.Rim = t, rim
	l := f.view(0, 120, -66, 34)
	l.steel(head(0, -1, headSize, 0, headDeep))
	l.wheel(w.outline(t, -1))
	f.gap(192)
	edge := t + back + rim
	r := f.view(gauge, 430, gauge-150, gauge+60)
	r.steel(head(gauge, 1, headSize, 0, headDeep))
	r.wheel(m.outline(t+back, 1))
	f.across(l.px(0), l.py(25), r.px(gauge), r.py(25), f.row(3), f.say("gauge under load", "loaded_gauge"))
	f.across(l.px(0), l.py(gaugedAt), l.px(t), l.py(20), f.row(0), f.say("flange", "flange_thickness"))
	f.across(math.Max(204, r.px(t+back)), r.py(10), r.px(edge), r.py(-8), f.row(1), f.say("rim", "mate rim_width"))
	f.across(l.px(t), l.py(20), math.Max(204, r.px(t+back)), r.py(20), f.row(2), f.say("back-to-back", "back_to_back"))
	// What bears, over the wheel's rim: the edge against the rail's gauge side, and what must bear at least.
	f.across(r.px(gauge), r.py(20), r.px(edge), r.py(-4), f.row(0), f.say("bearing left", "bearing")+", least "+
		f.p.Read["least_bearing"].Text)
	least := r.px(gauge + f.mm("least_bearing"))
	f.line(least, f.row(0)-6, least, f.row(0)+6, style{width: 1, dash: "2 2"})
}

// tightGauge: both flanges between both rails.
func tightGauge(f *figure) {
	gauge, t, tm, back := f.mm("gauge"), f.mm("flange_thickness"), f.mm("mate flange_thickness"), f.mm("back_to_back")
	w, m := f.p.Wheel, f.p.Mate
	w.Thickness, m.Thickness = t, tm
	l := f.view(0, 140, -66, 50)
	l.steel(head(0, -1, headSize, 0, headDeep))
	l.wheel(w.outline(t, -1))
	f.gap(262)
	r := f.view(gauge, 390, gauge-60, gauge+68)
	r.steel(head(gauge, 1, headSize, 0, headDeep))
	o := m.outline(t+back, 1)
	r.wheel(o)
	r.struck(o, right(gauge), below(gaugedAt))
	f.across(l.px(0), l.py(25), r.px(gauge), r.py(25), f.row(2), f.say("gauge", "gauge"))
	f.across(l.px(0), l.py(gaugedAt), l.px(t), l.py(20), f.row(0), f.say("flange", "flange_thickness"))
	f.across(r.px(t+back), r.py(20), r.px(t+back+tm), r.py(gaugedAt), f.row(0),
		f.say("flange", "mate flange_thickness"))
	f.across(l.px(t), l.py(20), r.px(t+back), r.py(20), f.row(1), f.say("back-to-back", "back_to_back"))
}

// openPoint: the axle hard against the closed side, the flange back at the open point.
func openPoint(f *figure) {
	gauge, t, back, open := f.mm("gauge"), f.mm("flange_thickness"), f.mm("back_to_back"), f.mm("open_clearance")
	w := f.p.Wheel
	w.Thickness = t
	l := f.view(0, 120, -60, 34)
	l.steel(head(0, -1, headSize, 0, headDeep))
	l.wheel(w.outline(t, -1))
	f.gap(196)
	r := f.view(gauge, 430, gauge-118, gauge+50)
	r.stockRail(head(gauge, 1, headSize, 0, headDeep))
	r.steel(head(gauge-open, -1, 22, 4, headDeep))
	o := f.p.Mate.outline(t+back, 1)
	r.wheel(o)
	r.struck(o, left(gauge-open), right(gauge-open-22), below(gaugedAt))
	f.write(r.px(gauge-open-22), r.py(0)-4, "start", "open point")
	f.across(l.px(0), l.py(25), r.px(gauge), r.py(25), f.row(2), f.say("gauge", "gauge"))
	f.across(l.px(0), l.py(gaugedAt), l.px(t), l.py(20), f.row(0), f.say("flange", "flange_thickness"))
	f.across(r.px(gauge-open), r.py(25), r.px(gauge), r.py(25), f.row(0), f.say("open", "open_clearance"))
	f.across(l.px(t), l.py(20), r.px(t+back), r.py(20), f.row(1), f.say("back-to-back", "back_to_back"))
}
