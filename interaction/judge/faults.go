package judge

import (
	"slices"

	"flangeway/interaction"
	"flangeway/interaction/shaped"
	"flangeway/track"
	"flangeway/wheel"
)

// prepareUnworn prepares the features as designed, at which every wheel is tried.
func (e *Engine) prepareUnworn() {
	for kind := range track.NumKinds {
		f := interaction.DesignedFeature(e.Survey.Data, kind)
		if f == nil {
			continue
		}
		ps := placeSide{f: f}
		for k, c := range e.Checks {
			if e.judges(c) && c.Applies(f) {
				ps.tables = append(ps.tables, placeTable{Table: shaped.Table{Check: k,
					Part: c.PlacePart(e.Rules, f, false).Part}})
			}
		}
		e.unworn = append(e.unworn, ps)
	}
}

// findFaults finds the wheels that conflict even at a feature as designed, but for those that are made already.
func (e *Engine) findFaults(made map[*wheel.Wheel]wheelSide) {
	for wi := range e.wheels {
		ws := &e.wheels[wi]
		if _, ok := made[ws.W]; ok {
			continue
		}
		clear(ws.faulty)
		for i := range e.unworn {
			for j := range e.unworn[i].tables {
				t := &e.unworn[i].tables[j]
				if e.Checks[t.Check].ListedAt(ws.W) && e.pair(wi, t).Verdict == interaction.Conflict {
					ws.faulty[t.Check] = true
				}
			}
		}
	}
}

// WheelFault is a wheel that conflicts even on track as designed and unworn.
type WheelFault struct {
	Wheel    *wheel.Wheel
	Check    *interaction.Check
	Readings []interaction.Entered
	FixWheel []string
}

// WheelFaults lists them by car, position and check: one line a wheel and check, wherever the wheel runs.
func (r *Result) WheelFaults() []WheelFault {
	e := r.engine
	judged := map[*interaction.Check]bool{}
	for i := range r.Tallies {
		judged[r.Tallies[i].Check] = true
	}
	var out []WheelFault
	for wi := range e.wheels {
		ws := &e.wheels[wi]
		if !ws.chosen {
			continue
		}
		for k, c := range e.Checks {
			if !ws.faulty[k] || !judged[c] {
				continue
			}
			f := WheelFault{Wheel: ws.W, Check: c, Readings: c.WheelPart(e.Rules, ws.W, true).Entered}
			for i := range e.unworn {
				ps := &e.unworn[i]
				j := slices.IndexFunc(ps.tables, func(t placeTable) bool { return t.Check == k })
				if j < 0 {
					continue
				}
				if m := e.pair(wi, &ps.tables[j]); m.Verdict == interaction.Conflict {
					f.FixWheel = c.FixWheel(interaction.Fix{Wheel: ws.W, Feature: ps.f, Rules: e.Rules,
						Margin: m.Margin, By: c.CloseBelow(e.Rules) - interaction.Low(m.Margin)})
					break
				}
			}
			out = append(out, f)
		}
	}
	return out
}
