package interaction

import (
	"slices"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// DesignedFeature is a feature of the kind as designed and unworn, or nil where
// configs has none.
func DesignedFeature(data *configs.Data, kind track.Kind) *track.Feature {
	d, ok := data.Designed[kind.String()]
	if !ok {
		return nil
	}
	readings := map[track.Quantity]measure.Reading{}
	for name, r := range d.Values {
		if q, ok := track.QuantityOf(name); ok {
			readings[q] = r
		}
	}
	f := track.New(kind, "as designed", "as designed", readings)
	f.Number, f.Type = d.Number, d.Type
	return f
}

// ReferenceWheels are the wheels against which every place is tried, each with a mate of
// its own: the new ones, then the ordinary worn ones.
func ReferenceWheels(data *configs.Data) []*wheel.Wheel {
	out := newWheels(data)
	for _, w := range data.Worn {
		out = append(out, pairOf(w.Design, w.FlangeHeight, w.FlangeThickness, w.VerticalFlange, w.TreadHollow))
	}
	return out
}

// newWheels are the new ones of them.
func newWheels(data *configs.Data) []*wheel.Wheel {
	var out []*wheel.Wheel
	for _, d := range data.Designs {
		if d.Reference {
			out = append(out, pairOf(d, d.FlangeHeight, d.FlangeThickness, 0, 0))
		}
	}
	return out
}

// pairOf is an axle of two wheels of a design, mm.
func pairOf(d configs.Design, height, thickness, vertical, hollow float64) *wheel.Wheel {
	exact := func(v float64) measure.Reading { return measure.Exact(v, measure.Inch(v)) }
	return wheel.NewPair(d.Name, map[wheel.Quantity]measure.Reading{
		wheel.FlangeHeight: exact(height), wheel.FlangeThickness: exact(thickness), wheel.VerticalFlange: exact(vertical), wheel.TreadHollow: exact(hollow),
		wheel.RimWidth: exact(d.RimWidth), wheel.BackToBack: exact(d.BackToBack),
	})
}

// prepareUnworn prepares the features as designed, at which every wheel is tried.
func (e *Engine) prepareUnworn() {
	for kind := track.Kind(0); kind < track.NumKinds; kind++ {
		f := DesignedFeature(e.Survey.Data, kind)
		if f == nil {
			continue
		}
		ps := placeSide{f: f}
		for k, c := range e.Checks {
			if e.judges(c) && c.Applies(f) {
				ps.tables = append(ps.tables, placeTable{check: k, part: e.placePart(c, f, false).part})
			}
		}
		e.unworn = append(e.unworn, ps)
	}
}

// findFaults finds the wheels that conflict even at a feature as designed.
func (e *Engine) findFaults() {
	for wi := range e.wheels {
		clear(e.wheels[wi].faulty)
	}
	for i := range e.unworn {
		for j := range e.unworn[i].tables {
			t := &e.unworn[i].tables[j]
			for wi := range e.wheels {
				ws := &e.wheels[wi]
				if e.listed(ws.w, e.Checks[t.check]) && e.pair(wi, t).verdict == Conflict {
					ws.faulty[t.check] = true
				}
			}
		}
	}
}

// WheelFault is a wheel that conflicts even on track as designed and unworn.
type WheelFault struct {
	Wheel    *wheel.Wheel
	Check    *Check
	Readings []Entered
	FixWheel []string
}

// WheelFaults lists them by car, position and check: one line a wheel and check,
// wherever the wheel runs.
func (r *Result) WheelFaults() []WheelFault {
	e := r.engine
	judged := map[*Check]bool{}
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
			f := WheelFault{Wheel: ws.w, Check: c, Readings: e.wheelPart(c, ws.w, true).entered}
			for i := range e.unworn {
				ps := &e.unworn[i]
				j := slices.IndexFunc(ps.tables, func(t placeTable) bool { return t.check == k })
				if j < 0 {
					continue
				}
				if m := e.pair(wi, &ps.tables[j]); m.verdict == Conflict {
					f.FixWheel = c.fixWheel(fix{w: ws.w, f: ps.f, rules: e.Rules, m: m, by: c.reserve(e.Rules) - low(m)})
					break
				}
			}
			out = append(out, f)
		}
	}
	return out
}
