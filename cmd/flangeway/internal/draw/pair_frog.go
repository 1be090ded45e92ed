package draw

import "math"

// usualFlangeway is drawn if no reading says how wide a flangeway is: 1-7/8 inches.
const usualFlangeway = 1.875 * inch

// flangeway is a reading of a flangeway's width in mm, the usual one if it was not read.
func (f *figure) flangeway(name string) float64 {
	if l, ok := f.p.Read[name]; ok {
		return l.MM
	}
	return usualFlangeway
}

func (f *figure) mm(name string) float64 { return f.p.Read[name].MM }

// trough is a flangeway cut across: steel from x0 to x1 with a gap between the sides a and b whose floor lies at depth.
func trough(x0, a, b, x1, depth, bottom float64) [][2]float64 {
	wing, point := head(a, -1, a-x0, 0, depth), head(b, 1, x1-b, 0, depth)
	out := [][2]float64{{x0, bottom}}
	for i := len(wing) - 1; i >= 0; i-- {
		q := wing[i]
		if i == len(wing)-1 {
			q[1] = bottom // down the outer side
		}
		out = append(out, q)
	}
	for i, q := range point {
		if i == len(point)-1 {
			q[1] = bottom
		}
		out = append(out, q)
	}
	return out
}

// frogFloor: the flange in the frog's flangeway, down to its floor.
func frogFloor(f *figure) {
	depth, w := f.mm("flangeway_depth"), f.p.Wheel
	w.Height = f.mm("flange_height")
	room := math.Max(2, (f.flangeway("flangeway_width")-w.Thickness)/2)
	v := f.view(0, 190, -24-room, 116)
	a, b := -room, w.Thickness+room
	v.steel(trough(v.lo, a, b, 84, depth, math.Max(depth, w.Height)+10))
	o := w.outline(0, 1)
	v.wheel(o)
	v.struck(o, below(depth))
	f.down(v.px(v.lo), v.py(0), v.px(6), v.py(w.Height), v.px(v.lo)-22, "end", f.say("flange height", "flange_height"))
	f.down(v.px(b+12), v.py(0), v.px(b), v.py(depth), v.px(84)+18, "start", f.say("flangeway depth", "flangeway_depth"))
	f.write(v.px(v.lo+3), v.py(0)-6, "start", "wing")
	f.write(v.px(84), v.py(0)-6, "end", "frog point")
}

// flangewayWidth: the flange between wing and point.
func flangewayWidth(f *figure) { f.between("flangeway_width", "wing", "frog point") }

// guardFlangeway: the flange between guard rail and running rail.
func guardFlangeway(f *figure) { f.between("guard_flangeway", "guard rail", "running rail") }

func (f *figure) between(width, back, face string) {
	gap, w := f.mm(width), f.p.Wheel
	w.Thickness = f.mm("flange_thickness")
	v := f.view(0, 200, -40, 82)
	v.steel(head(0, -1, 38, 0, headDeep))
	v.steel(head(gap, 1, 70, 0, headDeep))
	o := w.outline(0, 1)
	v.wheel(o)
	v.struck(o, right(gap), below(gaugedAt))
	v.level(0, w.Thickness+30, gaugedAt, "4 3")
	f.write(v.px(-38), v.py(0)-6, "start", back)
	f.write(v.px(gap+66), v.py(0)-6, "end", face)
	f.across(v.px(0), v.py(20), v.px(gap), v.py(20), f.row(0), f.say("flangeway", width))
	f.across(v.px(0), v.py(gaugedAt), v.px(w.Thickness), v.py(gaugedAt), v.py(gaugedAt)+40,
		f.say("flange", "flange_thickness"))
}

// guardSide draws the mate at the guard rail: its back against the guard's face at 0.
func (f *figure) guardSide(v view) {
	v.steel(head(-f.flangeway("guard_flangeway"), -1, headSize, 0, headDeep))
	v.steel(head(0, 1, 42, 0, headDeep))
	v.wheel(f.p.Mate.outline(0, -1))
	f.write(v.px(4), v.py(0)-6, "start", "guard")
}

// frogPoint: the mate's back against the guard rail, the flange at the frog's point.
func frogPoint(f *figure) {
	check, back, w := f.mm("guard_check"), f.mm("back_to_back"), f.p.Wheel
	w.Thickness = f.mm("flange_thickness")
	l := f.view(0, 150, -70, 45)
	f.guardSide(l)
	f.gap(246)
	r := f.view(check, 380, check-66, check+74)
	r.steel(head(check-f.flangeway("flangeway_width"), -1, 40, 0, headDeep))
	r.steel(head(check, 1, 70, 0, headDeep))
	o := w.outline(back, 1)
	r.wheel(o)
	r.struck(o, right(check), below(gaugedAt))
	f.write(r.px(check+66), r.py(0)-6, "end", "frog point")
	f.across(l.px(0), l.py(20), r.px(check), r.py(20), f.row(2), f.say("guard check", "guard_check"))
	f.across(l.px(0), l.py(20), r.px(back), r.py(20), f.row(1), f.say("back-to-back", "back_to_back"))
	f.across(r.px(back), r.py(20), r.px(back+w.Thickness), r.py(gaugedAt), f.row(0),
		f.say("flange", "flange_thickness"))
}

// guardBind: the wheel backs over guard face and wing.
func guardBind(f *figure) {
	face, back := f.mm("guard_face"), f.mm("back_to_back")
	l := f.view(0, 150, -70, 45)
	f.guardSide(l)
	f.gap(252)
	r := f.view(face, 370, face-50, face+80)
	r.steel(head(face, -1, 42, 0, headDeep))
	r.steel(head(face+f.flangeway("flangeway_width"), 1, 40, 0, headDeep))
	o := f.p.Wheel.outline(back, 1)
	r.wheel(o)
	r.struck(o, left(face), below(gaugedAt))
	f.write(r.px(face-40), r.py(0)-6, "start", "wing")
	f.across(l.px(0), l.py(20), r.px(face), r.py(20), f.row(1), f.say("guard face", "guard_face"))
	f.across(l.px(0), l.py(20), r.px(back), r.py(20), f.row(0), f.say("back-to-back", "back_to_back"))
}
