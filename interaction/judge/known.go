package judge

import (
	"slices"

	"flangeway/interaction"
	"flangeway/interaction/shaped"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// value is something that a reading, or a word of a sheet, can be.
type value struct {
	mm   float64 // or degrees, or a bare number
	word string
}

// values are what a reading can be: the ends of its interval and its middle, or of one that was
// not read what a new wheel or unworn track has, and the figures that are tried for it.
func (t taking) values(x *supposed) []value {
	if t.mate {
		return nil
	}
	if q, ok := wheel.QuantityOf(t.column); ok && t.w != nil {
		if r := t.w.Read(q); r.Measured() {
			return ends(r)
		}
		return figures(x.unreadWheel(t.w, q))
	}
	if q, ok := track.QuantityOf(t.column); ok && t.f != nil {
		if r := t.f.Read(q); r.Measured() {
			return ends(r)
		}
		return figures(x.unreadPlace(q))
	}
	rules := x.e.Rules.Value
	switch t.column {
	case "number":
		return figures(x.e.computer.BlankNumbers())
	case "speed_mph":
		return figures([]float64{0, track.ClassSpeed(x.f.Class)})
	case "rail":
		return []value{{word: shaped.AssumedSection}, {word: shaped.LightestSection}}
	case "rail_cant":
		return []value{{word: "1:40"}, {word: "1:20"}, {word: "none"}}
	case "type":
		return []value{{word: "rbm"}, {word: "bolted"}}
	case "kind":
		return []value{{word: "freight"}, {word: "locomotive"}}
	case "gross_lb":
		return figures(x.e.computer.BlankWeights())
	case "truck_wheelbase":
		if trucks, ok := x.w.Car.Trucks(); ok && len(trucks[0]) > 2 {
			return figures([]float64{rules("truck_wheelbase_three")})
		}
		return figures([]float64{rules("truck_wheelbase")})
	}
	return nil
}

// ends are the ends of a reading and its middle.
func ends(r measure.Reading) []value {
	if r.Width() <= measure.Near {
		return nil // nothing is open
	}
	return figures([]float64{(r.Lo + r.Hi) / 2, r.Lo, r.Hi})
}

func figures(list []float64) (out []value) {
	for _, v := range list {
		if !slices.Contains(out, value{mm: v}) && v == v {
			out = append(out, value{mm: v})
		}
	}
	return out
}

// unreadWheel are figures for a reading of a wheel that was not taken.
func (x *supposed) unreadWheel(w *wheel.Wheel, q wheel.Quantity) []float64 {
	var out []float64
	for _, fresh := range interaction.ReferenceWheels(x.e.Survey.Data) {
		if w.Design == "" || w.Design == fresh.Design {
			if r := fresh.Read(q); r.Measured() {
				out = append(out, r.As)
			}
		}
	}
	if v, ok := x.e.computer.BlankWheel(q); ok {
		out = append(out, v)
	}
	if m := w.Mate(); q == wheel.Diameter && m != nil && m.Read(q).Measured() {
		out = append(out, m.Read(q).As)
	}
	return out
}

// unreadPlace are figures for a reading of a place that was not taken.
func (x *supposed) unreadPlace(q track.Quantity) []float64 {
	var out []float64
	if d := interaction.DesignedFeature(x.e.Survey.Data, x.f.Kind); d != nil && d.Read(q).Measured() {
		out = append(out, d.Read(q).As)
	}
	return append(out, x.e.computer.BlankPlace(x.f, q)...)
}

// place is a place with the value for one of its columns.
func (v value) place(f *track.Feature, column string) *track.Feature {
	g := *f
	switch column {
	case "number":
		g.Number = v.mm
	case "speed_mph":
		g.Speed, g.SpeedKnown = v.mm, true
	case "type":
		g.Type = v.word
	case "rail":
		g.Rail = v.word
	case "rail_cant":
		g.Cant = v.word
	default:
		q, _ := track.QuantityOf(column)
		return f.With(q, measure.Exact(v.mm, ""))
	}
	return &g
}

// wheel gives a wheel, or its car, the value for a column.
func (v value) wheel(w *wheel.Wheel, c *wheel.Car, column string) {
	switch column {
	case "kind":
		c.Kind = v.word
	case "gross_lb":
		c.GrossLb = v.mm
	case "truck_wheelbase":
		c.TruckWheelbase = measure.Exact(v.mm, "")
	default:
		q, _ := wheel.QuantityOf(column)
		w.Set(q, measure.Exact(v.mm, ""))
	}
}
