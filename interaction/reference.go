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
