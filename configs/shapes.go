package configs

import (
	"fmt"
	"math"
	"strconv"

	"flangeway/internal/each"
	"flangeway/internal/measure"
)

// ShapeSection is one section of a wheel shape that is given exactly, mm.
type ShapeSection struct {
	Part      string
	From, To  float64   // y
	C         []float64 // of a polynomial in y; nil for an arc
	CY, CZ, R float64   // of an arc
	Upper     bool      // the arc's side of greater z
}

// FreightWheel is a wheel shape given by its quoted dimensions, mm and degrees: a taper of 1 in Taper, tangent arcs
// (TreadRadius over TreadTurn, then ThroatRadius) up to a straight face at FlangeAngle, a blend of TipBlend up to where
// the face stands at TipTo, the tip's own radius, and a round to the back.
type FreightWheel struct {
	FlangeHeight, FlangeThickness                     float64
	Taper, FlangeAngle                                float64
	TreadRadius, TreadTurn, ThroatRadius, FieldRadius float64
	TipRadius, TipTo, TipBlend                        float64
}

// WheelShape has the dimensions of a new wheel's shape, mm.
type WheelShape struct {
	Name               string
	TapeFromBack       float64
	RimWidth           float64
	BackToBack         float64 // of an axle with two of them
	ThicknessAt        float64 // height above the tread at which flange thickness is read
	Sections           []ShapeSection
	Freight            *FreightWheel
	Source, Kind, Sure string
}

// RailShape has the dimensions of a new rail head's shape, mm: tangent arcs from the middle (crown, shoulder, corner)
// to a side that leans 1 in SideSlope.
type RailShape struct {
	Name              string
	GaugeHeight       float64 // depth below the top at which gauge is read
	Height, Base, Web float64
	HeadDepth         float64
	HalfWidth         float64 // of the head at the gauge line; 60E1: where the corner ends
	SideSlope         float64
	Crown, CrownHalf  float64 // radius; half width it covers, 0: half of HalfWidth or all that the corner leaves
	// radius, 0: none; half width to which it reaches, 0: where the corner begins by tangency
	Shoulder, ShoulderEnd float64
	Corner                float64
	Source, Kind, Sure    string
}

// Shapes are the built-in wheel and rail shapes.
type Shapes struct {
	Wheels []WheelShape
	Rails  []RailShape
}

// LoadShapes reads shapes.yaml; a rail shape may take its dimensions from a section of rails.yaml. An error means
// defective built-in data.
func (d *Data) LoadShapes() (*Shapes, error) {
	s := &Shapes{}
	err := readBuiltIn("shapes.yaml", func(m *Mapping) {
		for _, c := range m.List("wheels") {
			s.Wheels = append(s.Wheels, wheelShape(c))
			c.Done()
		}
		for _, c := range m.List("rails") {
			s.Rails = append(s.Rails, d.railShape(c))
			c.Done()
		}
		m.Done()
	})
	if err != nil {
		return nil, err
	}
	return s, nil
}

// number is a plain number of the file, in whatever unit the key says.
func (m *Mapping) number(key string) float64 {
	text := m.Need(key)
	if text == "" {
		return 0
	}
	return m.toNumber(key, text)
}

func (m *Mapping) toNumber(key, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		m.Fail(key, fmt.Sprintf("%q is not a number", text), "a number")
		return 0
	}
	return v
}

func wheelShape(c *Mapping) WheelShape {
	w := WheelShape{Name: c.Need("name"), TapeFromBack: c.needLength("tape_from_back", measure.Inches),
		RimWidth: c.needLength("rim_width", measure.Inches), BackToBack: c.needLength("back_to_back", measure.Inches),
		ThicknessAt: c.needLength("thickness_at", measure.Inches),
		Source:      c.Need("source"), Kind: kindOf(c), Sure: c.Need("sure")}
	switch form := c.Need("form"); form {
	case "sections":
		for _, p := range c.List("sections") {
			w.Sections = append(w.Sections, shapeSection(p))
			p.Done()
		}
	case "freight":
		length := func(key string) float64 { return c.needLength(key, measure.Inches) }
		w.Freight = &FreightWheel{FlangeHeight: length("flange_height"), FlangeThickness: length("flange_thickness"),
			Taper: c.number("taper"), FlangeAngle: c.number("flange_angle"),
			TreadRadius: length("tread_radius"), TreadTurn: c.number("tread_turn"),
			ThroatRadius: length("throat_radius"), FieldRadius: length("field_radius"),
			TipRadius: length("tip_radius"), TipTo: c.number("tip_to"), TipBlend: length("tip_blend")}
	default:
		c.Fail("form", fmt.Sprintf("%q is not a form", form), "sections or freight")
	}
	return w
}

func shapeSection(p *Mapping) ShapeSection {
	s := ShapeSection{Part: p.Need("part"), From: p.number("from"), To: p.number("to")}
	switch form := p.Need("form"); form {
	case "poly":
		for _, item := range p.Texts("c") {
			s.C = append(s.C, p.toNumber("c", item.Text))
		}
		if len(s.C) == 0 {
			p.Fail("c", "no coefficients", "c: [c0, c1, ...]")
		}
	case "arc":
		s.CY, s.CZ, s.R = p.number("cy"), p.number("cz"), p.number("r")
		s.Upper = p.Need("side") == "upper"
	default:
		p.Fail("form", fmt.Sprintf("%q is not a form", form), "poly or arc")
	}
	return s
}

func (d *Data) railShape(c *Mapping) RailShape {
	optional := func(key string) float64 {
		if !c.Has(key) {
			return 0
		}
		return c.needLength(key, measure.Inches)
	}
	r := RailShape{Name: c.Need("name"), GaugeHeight: c.needLength("gauge_height", measure.Inches),
		SideSlope: c.number("side_slope"), Crown: c.needLength("crown_radius", measure.Inches),
		CrownHalf: optional("crown_half"), Shoulder: optional("shoulder_radius"),
		ShoulderEnd: optional("shoulder_half"), Corner: c.needLength("corner_radius", measure.Inches),
		Source: c.Need("source"), Kind: kindOf(c), Sure: c.Need("sure")}
	if name := c.Text("section"); name != "" {
		s, ok := d.Section(name)
		if !ok {
			c.Fail("section", fmt.Sprintf("there is no rail section %q", name), "a name in rails.yaml")
		}
		r.Height, r.Base, r.Web, r.HeadDepth, r.HalfWidth = s.Height, s.Base, s.Web, s.HeadDepth, s.HeadWidth/2
		return r
	}
	r.Height, r.Base, r.Web = c.needLength("height", measure.Inches), c.needLength("base", measure.Inches),
		c.needLength("web", measure.Inches)
	r.HeadDepth, r.HalfWidth = c.needLength("head_depth", measure.Inches), c.needLength("half_width", measure.Inches)
	return r
}

// Wheel finds a wheel shape by name.
func (s *Shapes) Wheel(name string) (WheelShape, bool) {
	return each.First(s.Wheels, func(w WheelShape) bool { return w.Name == name })
}

// Rail finds a rail shape by name.
func (s *Shapes) Rail(name string) (RailShape, bool) {
	return each.First(s.Rails, func(r RailShape) bool { return r.Name == name })
}

// WheelNames lists the wheel shapes in order.
func (s *Shapes) WheelNames() []string {
	return each.Of(s.Wheels, func(w WheelShape) string { return w.Name })
}

// RailNames lists the rail shapes in order.
func (s *Shapes) RailNames() []string {
	return each.Of(s.Rails, func(r RailShape) string { return r.Name })
}
