package configs

import (
	"fmt"

	"flangeway/internal/each"
	"flangeway/internal/measure"
)

// Constant is one figure that the passage rests on besides the readings. Value is in mm if Unit is in or mm, else in
// the unit itself (deg, kg, kN, ratio).
type Constant struct {
	Name, Unit, Written   string
	Value                 float64
	Meaning, Source, Kind string
}

// Text is the constant as printed.
func (c Constant) Text() string {
	if c.Unit == "ratio" {
		return c.Written
	}
	return c.Written + " " + c.Unit
}

// Setting is the constant as a setting that no railroad changes.
func (c Constant) Setting() Setting {
	return Setting{Name: c.Name, Unit: c.Unit, Value: c.Value, Written: c.Written, Meaning: c.Meaning, Source: c.Source,
		Kind: c.Kind, Fixed: true}
}

// TrackSupport is the track under one wheel: equivalent mass in kg, damping in N s/m, stiffness in N/m.
type TrackSupport struct {
	Name                     string
	Mass, Damping, Stiffness float64
	Source, Kind             string
}

// PointStation is a switch point at one distance from its tip, mm: how far its top lies below the top of the stock rail
// (negative: above) and how thick it is.
type PointStation struct{ At, Down, Thick float64 }

// SwitchDetail is a switch point by station with the depth in mm by which its new tip is hidden.
type SwitchDetail struct {
	Name         string
	Recess       float64
	Stations     []PointStation
	Source, Kind string
}

// Passage is everything of passage.yaml.
type Passage struct {
	Constants []Constant
	Supports  []TrackSupport
	Details   []SwitchDetail
}

// LoadPassage reads passage.yaml. An error means defective built-in data.
func (d *Data) LoadPassage() (*Passage, error) {
	p := &Passage{}
	err := readBuiltIn("passage.yaml", func(m *Mapping) {
		for _, c := range m.List("settings") {
			k := Constant{Name: c.Need("name"), Unit: c.Need("unit"), Written: c.Need("value"),
				Meaning: c.Need("meaning"), Source: c.Need("source"), Kind: kindOf(c)}
			switch k.Unit {
			case "in":
				k.Value = c.needLength("value", measure.Inches)
			case "mm":
				k.Value = c.needLength("value", measure.Millimetres)
			case "deg", "kg", "kN", "ratio":
				k.Value = c.number("value")
			default:
				c.Fail("unit", fmt.Sprintf("%q is not a unit", k.Unit), "in, mm, deg, kg, kN or ratio")
			}
			p.Constants = append(p.Constants, k)
			c.Done()
		}
		for _, c := range m.List("supports") {
			p.Supports = append(p.Supports, TrackSupport{Name: c.Need("name"), Mass: c.number("mass_kg"),
				Damping:   c.number("damping_Ns_m"),
				Stiffness: c.number("stiffness_N_m"), Source: c.Need("source"), Kind: kindOf(c)})
			c.Done()
		}
		for _, c := range m.List("details") {
			s := SwitchDetail{Name: c.Need("name"), Recess: c.needLength("recess", measure.Inches),
				Source: c.Need("source"), Kind: kindOf(c)}
			for _, at := range c.List("stations") {
				s.Stations = append(s.Stations, PointStation{at.needLength("at", measure.Inches),
					at.needLength("down", measure.Inches), at.needLength("thick", measure.Inches)})
				at.Done()
			}
			p.Details = append(p.Details, s)
			c.Done()
		}
		m.Done()
	})
	if err != nil {
		return nil, err
	}
	return p, nil
}

// Constant finds a constant by name.
func (p *Passage) Constant(name string) (Constant, bool) {
	return each.First(p.Constants, func(c Constant) bool { return c.Name == name })
}

// Value is the value of a constant: mm, or the unit itself. A name that does not exist gives 0; a test reads every name
// that the program asks for.
func (p *Passage) Value(name string) float64 {
	c, _ := p.Constant(name)
	return c.Value
}

// Support finds a track support by name.
func (p *Passage) Support(name string) (TrackSupport, bool) {
	return each.First(p.Supports, func(s TrackSupport) bool { return s.Name == name })
}

// Detail finds a switch detail by name.
func (p *Passage) Detail(name string) (SwitchDetail, bool) {
	return each.First(p.Details, func(s SwitchDetail) bool { return s.Name == name })
}
