package interaction

import (
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
	return track.New(kind, "as designed", "as designed", readings)
}

// ReferenceWheels are the new wheels, each with a mate of its own design, against
// which every place is tried.
func ReferenceWheels(data *configs.Data) []*wheel.Wheel {
	var out []*wheel.Wheel
	for _, d := range data.Designs {
		if !d.Reference {
			continue
		}
		exact := func(v float64) measure.Reading { return measure.Exact(v, measure.Inch(v)) }
		out = append(out, wheel.NewPair(d.Name, map[wheel.Quantity]measure.Reading{
			wheel.FlangeHeight: exact(d.FlangeHeight), wheel.FlangeThickness: exact(d.FlangeThickness), wheel.RimWidth: exact(d.RimWidth),
			wheel.BackToBack: exact(d.BackToBack), wheel.VerticalFlange: exact(0), wheel.TreadHollow: exact(0),
		}))
	}
	return out
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
			if !ws.unworn[k] || !judged[c] {
				continue
			}
			f := WheelFault{Wheel: ws.w, Check: c, Readings: e.wheelPart(c, ws.w, true).entered}
			for _, kind := range c.Kinds {
				d := DesignedFeature(e.Survey.Data, kind)
				if d == nil || !c.Applies(d) {
					continue
				}
				p := e.placePart(c, d, false).part
				if m := c.margin(e.Rules, &ws.parts[k], &p); m.verdict == Conflict {
					f.FixWheel = c.fixWheel(fix{w: ws.w, f: d, rules: e.Rules, m: m, by: c.reserve(e.Rules) - low(m)})
					break
				}
			}
			out = append(out, f)
		}
	}
	return out
}
