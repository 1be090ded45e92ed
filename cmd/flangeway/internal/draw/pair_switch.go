package draw

import (
	"fmt"
	"math"
	"strings"
)

// pointClimb: the flange tip on the top of the point.
func pointClimb(f *figure) {
	h, top := f.mm("flange_height"), f.mm("point_top")
	// The settings have wider bounds than an outline can have.
	tip := math.Min(math.Max(f.mm("flange_tip_radius"), 3), 60)
	face := math.Min(math.Max(f.mm("flange_angle"), 40), 88) * math.Pi / 180
	w := f.p.Wheel
	w.Height = h
	v := f.view(0, 170, -16, 92)
	o := w.shaped(0, 1, tip, face)
	// The flange's side of the point stands where the outline reaches its top.
	at := w.Thickness + 4
	for i := 15; i+1 < 31 && i+1 < len(o); i++ {
		if a, b := o[i], o[i+1]; a[1] >= top && b[1] <= top && a[1] > b[1] {
			at = a[0] + (a[1]-top)/(a[1]-b[1])*(b[0]-a[0])
			break
		}
	}
	if top >= h {
		at = w.Thickness * 0.6 // the tip passes over
	}
	stock := math.Max(w.Thickness+14, at+8)
	bottom := math.Max(h, top) + 8
	v.stockRail(head(stock, 1, headSize, 0, bottom))
	v.steel(box(at, top, stock, bottom))
	v.wheel(o)
	f.write(v.px(stock+16), math.Min(v.py(bottom), objectLow)-8, "start", "stock rail")
	f.down(v.px(-2), v.py(0), v.px(8), v.py(h), v.px(-12), "end", f.say("flange height", "flange_height"))
	f.down(v.px(stock+18), v.py(0), v.px(at+2), v.py(top), v.px(stock+26), "start", f.say("point top", "point_top"))
	angle := f.mm("contact_angle") * math.Pi / 180
	if angle > 0 {
		dx, dy := math.Cos(angle)*20, math.Sin(angle)*20
		f.line(v.px(at-dx), v.py(top+dy), v.px(at+dx), v.py(top-dy), style{width: 1.6, dash: "7 3"})
	}
	f.circle(v.px(at), v.py(top), 5, style{width: 1.4})
	line := fmt.Sprintf("contact %s, least %s", f.p.Read["contact_angle"].Text, f.p.Read["least_contact_angle"].Text)
	if l, ok := f.p.Read["face_angle"]; ok {
		line += ", face " + l.Text
	}
	f.note(line)
}

// pointPick: the flange beside the gap between point and stock rail.
func pointPick(f *figure) {
	gap, allowed := math.Max(0, f.mm("point_gap")), f.mm("allowed")
	const blade = 3.0 // thickness of the point's end as drawn, mm
	v := f.view(0, 300, -66, 58)
	v.stockRail(head(0, 1, 56, 0, headDeep))
	v.steel(box(-gap-blade, 9, -gap, headDeep))
	w := f.p.Wheel
	o := w.outline(-gap-blade-3-w.Thickness, 1)
	v.wheel(clip(o, below(-24), left(20)))
	f.write(v.px(18), v.py(0)-8, "start", "stock rail")
	f.write(v.px(-gap-blade)+4, v.py(0)-8, "end", "point")
	f.across(v.px(-gap), v.py(22), v.px(0), v.py(22), f.row(0), f.say("point gap", "point_gap")+", allowed "+
		f.p.Read["allowed"].Text)
	if allowed > 0 {
		f.line(v.px(-allowed), v.py(18), v.px(0), v.py(18), style{width: 3})
		f.write(v.px(0)+10, v.py(18)+5, "start", "allowed")
	}
	if l, ok := f.p.Read["stock_rail_wear"]; ok {
		v.upright(-math.Max(0, l.MM), 2, 30, "5 3")
		line := "wear " + l.Text
		if u, ok := f.p.Read["undercut"]; ok {
			line += ", undercut " + u.Text
		}
		f.note(line + ", unworn dashed")
	}
	var of []string
	if l, ok := f.p.Read["flange_thickness"]; ok {
		of = append(of, "flange "+l.Text)
	}
	if l, ok := f.p.Read["vertical_flange"]; ok {
		of = append(of, "vertical to "+l.Text)
	}
	f.note(strings.Join(of, ", "))
}
