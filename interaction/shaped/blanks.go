package shaped

import (
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// What was not read is tried at figures that stand here: for what is computed, and for what is looked for that settles
// a pair.

// BlankPlace are the figures (mm or degrees) besides the designed one that a reading of a place is tried at, the least
// first; none if it is tried at no figure of its own.
func (c *Computer) BlankPlace(f *track.Feature, q track.Quantity) []float64 {
	rules, named := c.Rules.Value, c.Figures.Value
	switch q {
	case track.FlangewayWidth:
		return []float64{named("unread_width_least"), named("unread_width_most")}
	case track.PointWornDown:
		return []float64{0, named("unread_worn_down")}
	case track.PointWornBack:
		return []float64{named("point_worn_back"), named("unread_worn_back")}
	case track.PointGap:
		return []float64{named("unread_gap")}
	case track.PointThickness:
		return []float64{named("unread_thickness")}
	case track.StockRailWear:
		return []float64{named("unread_stock_rail_wear")}
	case track.PointDrop:
		return []float64{named("unread_drop")}
	case track.FaceAngle:
		return []float64{rules("flange_angle"), rules("least_contact_angle") - 10}
	case track.HeadWear, track.GaugeFaceWear:
		return []float64{0, rules("unread_rail_wear")}
	case track.LoadedGauge:
		if g := f.Read(track.Gauge); g.Measured() {
			return []float64{g.Lo, g.Hi + measure.MMPerInch/4, g.Hi + unreadSpread}
		}
	}
	return nil
}

// blankMost is the last of these.
func (c *Computer) blankMost(f *track.Feature, q track.Quantity) float64 {
	list := c.BlankPlace(f, q)
	return list[len(list)-1]
}

// BlankWheel is the figure (mm) besides those of the designs that a reading of a wheel is tried at; false if there is
// none.
func (c *Computer) BlankWheel(q wheel.Quantity) (float64, bool) {
	name, ok := map[wheel.Quantity]string{wheel.TreadHollow: "unread_hollow", wheel.FlangeThickness: "unread_thickness",
		wheel.VerticalFlange: "unread_vertical", wheel.RimWidth: "unread_rim_width",
		wheel.Diameter: "wheel_diameter"}[q]
	if !ok {
		return 0, false
	}
	return c.Rules.Value(name), true
}

// blankOf is that of a quantity that has one.
func (c *Computer) blankOf(q wheel.Quantity) float64 {
	v, _ := c.BlankWheel(q)
	return v
}

// BlankNumbers are those that a frog is tried with whose number was not given, the usual one first.
func (c *Computer) BlankNumbers() []float64 {
	named := c.Figures.Value
	return []float64{named("unread_number"), named("unread_number_least"), named("unread_number_most")}
}

// BlankWeights are the weights in lb at which a car is tried whose own was not given, loaded first.
func (c *Computer) BlankWeights() []float64 {
	return []float64{c.Rules.Value("car_weight"), c.Rules.Value("empty_weight")}
}

// blankBacks are between which an axle's back-to-back is tried (mm) that was not read: the setting unread_back_to_back
// below and above what the designs of its wheels have. A wheel whose design is not in the sheet may be of any reference
// design: one that its flange speaks for is a guess.
func (c *Computer) blankBacks(least, most float64, wheels ...*wheel.Wheel) (lo, hi float64) {
	for _, w := range wheels {
		if w != nil && w.Design != "" {
			continue
		}
		for _, d := range c.data.Designs {
			if d.Reference {
				least, most = min(least, d.BackToBack), max(most, d.BackToBack)
			}
		}
	}
	off := c.Rules.Value("unread_back_to_back")
	return least - off, most + off
}
