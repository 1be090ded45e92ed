package interaction

import (
	"slices"

	"flangeway/configs"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// DesignedFeature is a feature of the kind as designed and unworn, or nil if configs has none.
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

// ReferenceWheels are the wheels against which every place is tried, each with a mate of its own: the new ones, then
// the ordinary worn ones.
func ReferenceWheels(data *configs.Data) []*wheel.Wheel {
	return append(newWheels(data), each.Of(data.Worn, func(w configs.Worn) *wheel.Wheel {
		return pairOf(w.Design, w.FlangeHeight, w.FlangeThickness, w.VerticalFlange, w.TreadHollow)
	})...)
}

// ReferenceNames are the names of the reference wheels, in their order.
func ReferenceNames(data *configs.Data) []string {
	return append(each.Of(newDesigns(data), func(d configs.Design) string { return "new " + d.Name }),
		each.Of(data.Worn, func(w configs.Worn) string { return w.Name })...)
}

// newDesigns are those whose new wheels are reference wheels.
func newDesigns(data *configs.Data) []configs.Design {
	return slices.DeleteFunc(slices.Clone(data.Designs), func(d configs.Design) bool { return !d.Reference })
}

// newWheels are the new ones of them.
func newWheels(data *configs.Data) []*wheel.Wheel {
	return each.Of(newDesigns(data),
		func(d configs.Design) *wheel.Wheel { return pairOf(d, d.FlangeHeight, d.FlangeThickness, 0, 0) })
}

// pairOf is an axle of two wheels of a design, mm.
func pairOf(d configs.Design, height, thickness, vertical, hollow float64) *wheel.Wheel {
	exact := func(v float64) measure.Reading { return measure.Exact(v, measure.Inch(v)) }
	return wheel.NewPair(d.Name, map[wheel.Quantity]measure.Reading{
		wheel.FlangeHeight: exact(height), wheel.FlangeThickness: exact(thickness),
		wheel.VerticalFlange: exact(vertical), wheel.TreadHollow: exact(hollow),
		wheel.RimWidth: exact(d.RimWidth), wheel.BackToBack: exact(d.BackToBack),
	})
}

// DesignedParts is the place's part of every check at its features as designed, by check.
func DesignedParts(r *Rules, checks []*Check) [][]*Part {
	out := make([][]*Part, len(checks))
	for k, c := range checks {
		for kind := range track.NumKinds {
			if f := DesignedFeature(r.data, kind); f != nil && c.Applies(f) {
				out[k] = append(out[k], &c.PlacePart(r, f, false).Part)
			}
		}
	}
	return out
}

// ReferenceParts is the wheel's part of every check for the reference wheels, by check.
func ReferenceParts(r *Rules, checks []*Check) [][]*Part {
	out := make([][]*Part, len(checks))
	for _, w := range ReferenceWheels(r.data) {
		for k, c := range checks {
			out[k] = append(out[k], &c.WheelPart(r, w, false).Part)
		}
	}
	return out
}
