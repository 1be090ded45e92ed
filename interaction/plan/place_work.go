package plan

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
)

// draft is a place with some of its readings changed by work.
type draft struct {
	to   map[track.Quantity]string // final readings as written
	acts []Action
	// which readings each action answers for
	cols [][]track.Quantity
	// restriction is how the place is run besides; nil as it is.
	restriction *restriction
	again       bool // readings that contradict each other are read again first
	trailing    bool // a switch is run trailing only
	// narrow and wide are the place after it, but for how it is run; nil if it was not tried yet.
	narrow, wide *track.Feature
}

// workshop makes the repairs of one place.
type workshop struct {
	rules  *interaction.Rules
	sv     *survey.Survey
	f      *track.Feature
	design map[string]measure.Reading // the kind as designed
}

// as is a reading's value. One that contradicts others has none: no dimension of a repair is taken from it.
func (s *workshop) as(q track.Quantity) (float64, bool) {
	v, ok := value(s.f.Read(q))
	return v, ok && !s.f.Contradicted(q)
}

func (s *workshop) read(q track.Quantity) bool        { return s.f.Read(q).Measured() }
func (s *workshop) designed(q track.Quantity) float64 { return s.design[q.String()].As }

// guardSteps is how far a guard rail is moved at most, sixteenths of an inch.
const guardSteps = 8

// choices says what kinds of work are tried at a place.
type choices struct {
	depth, width, guard, gauge, adjust, points, tip, risers, joint, guardTip bool
	// A place tamped: for a wheel that is unloaded there, and with a new elevation in any case.
	surface, unload, elevate bool
	// What regulations alone ask for: a frog's point built up, a guard rail set anew.
	point, anew bool
	trail       bool // a switch that is run trailing only
}

// drafts are the ways in which a place can be worked on, the first as it is. Work that cannot be planned from the
// readings at hand (a go/no-go reading that would move by an unknown amount) is left out.
func (s *workshop) drafts(c choices) []draft {
	switch s.f.Kind {
	case track.Frog:
		return append(s.frog(c), s.frogAnew(c)...)
	case track.Switch:
		return s.trailed(s.surfaced(s.turnout(c), c), c)
	case track.Joint:
		return s.joint(c)
	}
	out := []draft{{}}
	if c.gauge {
		out = append(out, s.gauged()...)
	}
	return s.surfaced(out, c)
}

func (d draft) with(a Action, to map[track.Quantity]string) draft {
	n := draft{to: map[track.Quantity]string{}, acts: append(append([]Action(nil), d.acts...), a),
		cols: append([][]track.Quantity(nil), d.cols...)}
	for q, v := range d.to {
		n.to[q] = v
	}
	var cols []track.Quantity
	for q := range track.NumQuantities {
		if v, ok := to[q]; ok {
			n.to[q] = v
			cols = append(cols, q)
		}
	}
	n.cols = append(n.cols, cols)
	return n
}

// frog combines depth, flangeway width, gauge and guard rail. Guard check and guard face belong together: the guard
// rail moves both, regauging carries it along, and a wider flangeway takes its width off the face.
func (s *workshop) frog(c choices) []draft {
	type step struct {
		name  string
		width bool
	}
	depths := []step{{}}
	if c.depth || c.width {
		depths = append(depths, step{"frog_renew", true})
	}
	if c.depth && s.read(track.FlangewayDepth) {
		depths = append(depths, step{"frog_grind", false}, step{"frog_weld", false})
	}
	var out []draft
	for _, depth := range depths {
		widths := []bool{depth.width}
		if !depth.width && c.width && s.read(track.FlangewayWidth) {
			widths = append(widths, true)
		}
		for _, open := range widths {
			for gauge := range 2 {
				if gauge == 1 && !c.gauge {
					continue
				}
				from, to := 0, 0
				if c.guard {
					from, to = -guardSteps, guardSteps
				}
				for n := from; n <= to; n++ {
					if d, ok := s.frogDraft(depth.name, open, gauge == 1, n); ok {
						out = append(out, d)
					}
				}
			}
		}
	}
	return out
}

// frogDraft is one combination; n is how far the guard rail is moved from the frog point's side, sixteenths of an inch.
// ok is false if a reading that would change has no value, or if the combination is no work.
func (s *workshop) frogDraft(depth string, open, gauge bool, n int) (d draft, ok bool) {
	x := frogColumns{width: map[track.Quantity]string{}, gauge: map[track.Quantity]string{},
		guard: map[track.Quantity]string{}}
	var wider, shift float64
	if open {
		if wider, ok = s.openFlangeway(depth, x.width); !ok {
			return draft{}, false
		}
	}
	if gauge {
		if shift, ok = s.regaugeTo(x.gauge); !ok {
			return draft{}, false
		}
	}
	if !s.moveGuard(n, shift, wider, x.guard) {
		return draft{}, false
	}
	switch depth {
	case "frog_grind", "frog_weld":
		a, cols, ok := s.deepen(depth)
		if !ok {
			return draft{}, false
		}
		d = d.with(a, cols)
	case "frog_renew":
		a := work(s.sv.Costs, depth)
		cols := map[track.Quantity]string{track.FlangewayDepth: nearest(s.designed(track.FlangewayDepth)),
			track.TreadWear: "none", track.PointWornDown: "none", track.PointWornBack: "none"}
		maps.Copy(cols, x.width)
		x.withGuard(cols, track.GuardFace)
		a.What = withFinal(fmt.Sprintf("renew the frog: flangeway depth %s in, width %s in", cols[track.FlangewayDepth],
			cols[track.FlangewayWidth]), cols)
		d = d.with(a, cols)
	}
	if open && depth != "frog_renew" {
		a := work(s.sv.Costs, "flangeway_open")
		x.withGuard(x.width, track.GuardFace)
		a.What = withFinal("grind the lip off: flangeway width "+x.width[track.FlangewayWidth]+" in", x.width)
		d = d.with(a, x.width)
	}
	if gauge {
		a := work(s.sv.Costs, "regauge")
		x.withGuard(x.gauge, track.GuardCheck, track.GuardFace)
		a.What = withFinal("regauge to "+x.gauge[track.Gauge]+" in, guard rail with it", x.gauge)
		a.Note = append(a.Note, "check guard check and guard face together")
		d = d.with(a, x.gauge)
	}
	if n != 0 {
		a := work(s.sv.Costs, "guard_move")
		cols := map[track.Quantity]string{}
		x.withGuard(cols, track.GuardCheck, track.GuardFace, track.GuardFlangeway)
		a.What = withFinal("move the guard rail", cols)
		a.Note = append(a.Note, "check guard check and guard face together")
		d = d.with(a, cols)
	}
	return d, true
}

// frogColumns are readings of a frog after the work: those of opening the flangeway, of regauging, and those at the
// guard rail that all works together move.
type frogColumns struct{ width, gauge, guard map[track.Quantity]string }

// withGuard adds the named readings at the guard rail if they change: every action names the final value of each
// reading that it changes.
func (x frogColumns) withGuard(to map[track.Quantity]string, qs ...track.Quantity) {
	for _, q := range qs {
		if v, ok := x.guard[q]; ok {
			to[q] = v
		}
	}
}

// withFinal adds the final guard check and guard face to the words of a work.
func withFinal(what string, cols map[track.Quantity]string) string {
	for _, q := range []track.Quantity{track.GuardCheck, track.GuardFace} {
		if v, ok := cols[q]; ok {
			what += fmt.Sprintf(", %s %s in", strings.ReplaceAll(q.String(), "_", " "), v)
		}
	}
	return what
}

// openFlangeway opens the flangeway to its design width: by how much in mm, 0 if it was not read.
func (s *workshop) openFlangeway(depth string, to map[track.Quantity]string) (wider float64, ok bool) {
	target := s.designed(track.FlangewayWidth)
	if was, ok := s.as(track.FlangewayWidth); ok {
		if depth == "" && target <= was+measure.Near {
			return 0, false
		}
		wider = target - was
	} else if s.read(track.GuardFace) {
		return 0, false // the face would change by an unknown amount
	}
	to[track.FlangewayWidth] = nearest(target)
	return wider, true
}

// regaugeTo brings the gauge to its design value: by how much in mm it grows.
func (s *workshop) regaugeTo(to map[track.Quantity]string) (shift float64, ok bool) {
	g, ok := s.as(track.Gauge)
	if !ok {
		return 0, false
	}
	target := s.designed(track.Gauge)
	to[track.Gauge] = nearest(target)
	if s.read(track.LoadedGauge) {
		to[track.LoadedGauge] = measure.UpToSixteenth(target + s.spread())
	}
	return target - g, true
}

// moveGuard finds the readings at the guard rail, moved by n sixteenths, after a change of gauge by shift and a
// flangeway opened by wider, both mm.
func (s *workshop) moveGuard(n int, shift, wider float64, to map[track.Quantity]string) bool {
	step := float64(n) * measure.Sixteenth
	if n != 0 {
		if !s.read(track.GuardCheck) && !s.read(track.GuardFace) && !s.read(track.GuardFlangeway) {
			return false
		}
		if v, ok := s.as(track.GuardFlangeway); ok &&
			!(v-step >= s.rules.LeastFlangeway() && v-step <= 3*measure.MMPerInch) {
			return false
		}
	}
	if s.f.Type == "self-guarded" {
		return true
	}
	moved := func(q track.Quantity, by float64) bool {
		if !s.read(q) || by == 0 {
			return true
		}
		v, ok := s.as(q)
		if ok {
			to[q] = nearest(v + by)
		}
		return ok
	}
	return moved(track.GuardCheck, shift+step) && moved(track.GuardFace, shift+step-wider) &&
		moved(track.GuardFlangeway, -step)
}

// deepen grinds the frog's floor or builds its tread up, each as far as it reaches; ok is false if the depth is enough
// as it is, if grinding would do as much as a weld, or if nobody knows whether a weld reaches so far.
func (s *workshop) deepen(how string) (a Action, cols map[track.Quantity]string, ok bool) {
	was, read := s.as(track.FlangewayDepth)
	target := s.designed(track.FlangewayDepth)
	a = work(s.sv.Costs, how)
	cols = map[track.Quantity]string{}
	if how == "frog_grind" {
		to := was + s.rules.Reach(how)
		if !read || to >= target-measure.Near {
			return a, nil, false
		}
		cols[track.FlangewayDepth] = measure.DownToSixteenth(to)
		a.What = "grind the frog floor to a flangeway depth of " + cols[track.FlangewayDepth] + " in"
		a.Note = append(a.Note, "see first that the floor is thick enough")
		return a, cols, true
	}
	if read && was >= target-measure.Near {
		return a, nil, false
	}
	reach := s.rules.Reach(how)
	if least := s.f.Read(track.FlangewayDepth); !read && least.Lo < target-reach-measure.Near {
		return a, nil, false
	}
	cols[track.FlangewayDepth] = nearest(target)
	if read && was < target-reach-measure.Near {
		cols[track.FlangewayDepth] = measure.DownToSixteenth(was + reach)
	}
	if s.read(track.TreadWear) {
		cols[track.TreadWear] = "none"
	}
	a.What = "build up the frog to a flangeway depth of " + cols[track.FlangewayDepth] + " in"
	a.Note = append(a.Note, "read the flangeway depth at throat, point and 6 in behind; the least counts")
	return a, cols, true
}

// joint changes the bars, or the rail with them. What lies under the head's middle is all the room that a bar can
// leave.
func (s *workshop) joint(c choices) []draft {
	out := []draft{{}}
	section, ok := s.sv.Data.Section(s.f.Rail)
	if !c.joint || !ok {
		return out
	}
	bar, barOK := s.as(track.BarDepth)
	if wear, ok := s.as(track.HeadWear); ok && section.HeadDepth-wear > 0 {
		to := measure.DownToSixteenth(section.HeadDepth - wear)
		if !barOK || section.HeadDepth-wear > bar+measure.Sixteenth {
			a := work(s.sv.Costs, "bars_change")
			a.What = "change the bars for ones whose top lies " + to + " in below the rail top"
			out = append(out, draft{}.with(a, map[track.Quantity]string{track.BarDepth: to}))
		}
	}
	a := work(s.sv.Costs, "rail_change")
	to := measure.DownToSixteenth(section.HeadDepth)
	a.What = "change out the worn rail at the joint (" + section.Name + "): bar top " + to + " in below the rail top"
	return append(out, draft{}.with(a, map[track.Quantity]string{track.BarDepth: to, track.HeadWear: "none"}))
}

// tolerance is how far, mm, a reading may end from the order: that of the work which brings it to its final value.
func (d draft) tolerance(sv *survey.Survey, q track.Quantity) float64 {
	out, turn := 0.0, -1
	for i := range d.acts {
		if !slices.Contains(d.cols[i], q) {
			continue
		}
		t := sv.Tolerance(d.acts[i].Work, q.String())
		switch n := d.acts[i].turn(); {
		case n > turn:
			out, turn = t, n
		case n == turn:
			out = max(out, t)
		}
	}
	return out
}

// closing takes a place out of service.
func closing(sv *survey.Survey, f *track.Feature) Action {
	a := work(sv.Costs, "place_close")
	a.Side, a.Where, a.Location, a.Effect = Track, f.Name(), f.Location, Closes
	a.What = "take the place out of service, or close it to all cars"
	return a
}

// finish puts its final readings and the place into each action, and what was seen there that is gone with the work.
func (d draft) finish(f *track.Feature) []Action {
	out := make([]Action, len(d.acts))
	for i, a := range d.acts {
		a.Side, a.Where, a.Location, a.Effect = Track, f.Name(), f.Location, Sets
		a.Sets = map[string]string{}
		var others interaction.Mask
		for _, q := range d.cols[i] {
			a.Sets[q.String()] = d.to[q]
			others |= interaction.TrackMask(q)
		}
		maps.Copy(a.Sets, interaction.GoneAtPlace(f, others))
		out[i] = a
	}
	return out
}
