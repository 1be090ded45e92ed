package draw

import "math"

// outOfLevel: both rails at one truck of a car, the right one out of level, and dashed if it may lie at the other
// truck.
func outOfLevel(f *figure) {
	const between = 59.5 * inch // contacts apart
	f.top = 200                 // a rail out of level rises over its mate
	tilt, differs := bounded(f.mm("tilt"), 8*inch), bounded(f.mm("difference"), 6*inch)
	l := f.view(0, 130, -66, 50)
	l.steel(head(0, -1, headSize, 0, headDeep))
	f.gap(200)
	r := f.view(between, 330, between-60, between+90)
	r.steel(head(between, 1, headSize, -tilt, headDeep-tilt))
	r.level(between-50, between+80, 0, "6 3")
	for _, way := range []float64{1, -1} {
		r.level(between-20, between+60, -tilt+way*differs, "1.5 2.5")
	}
	f.write(l.px(-60), l.py(-8), "start", "left rail")
	f.write(r.px(between)+40, r.py(headDeep-tilt)+14, "middle", "right rail")
	f.note("dashed: level; out of level by " + f.p.Read["tilt"].Text)
	f.note("dotted: at the other truck, warp " + f.p.Read["difference"].Text)
	keeps := f.say("lightest wheel keeps", "kept")
	if car, ok := f.p.Read["gross_lb"]; ok {
		keeps = "car of " + car.Text + ", " + keeps
	}
	f.note(keeps)
}

// bounded keeps a length within what the sheet of paper has room for.
func bounded(mm, most float64) float64 { return math.Max(-most, math.Min(most, mm)) }
