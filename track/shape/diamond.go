package shape

import (
	"fmt"
	"math"

	"flangeway/configs"
)

// ErrDiamond is wrapped by every error of a crossing diamond that cannot be modelled.
var ErrDiamond = fmt.Errorf("%w: crossing diamond", ErrFrog)

// DiamondPlan has the dimensions of one rail of a crossing diamond, mm: it meets both rails of the other track, and the
// flangeway of each cuts it.
type DiamondPlan struct {
	AngleDeg       float64 // between the two tracks
	Gauge          float64 // of the other track
	FlangewayWidth float64 // at right angles
	FlangewayDepth float64 // as read now
	FloorRamp      float64 // length per height of the ramps at the floor's ends, 1:n; 0: blunt
	FloorBefore    float64 // the floor begins this far ahead of the first cut, and ends behind the last
	Bearing        bool    // the floor is made to carry the flange
	// FieldFirst is the rail on which a wheel comes to the far side of a cut with its field side first, else with its
	// flange side: a diamond that is no square has one of each for each way it is run.
	FieldFirst bool
	WornDown   float64 // loss of height at the corners that are come to
	WornBack   float64 // length over which that runs out
	HeadWidth  float64
	Corner     float64 // radius of the rail's upper edges
	Edge       float64 // likewise where it is cut
	Before     float64 // how far ahead of the first cut the passage begins
}

// DiamondPlanConstants are the names of the built-in figures that enter besides angle and readings.
func DiamondPlanConstants(bearing bool) []string {
	names := []string{"heel_head_width", "wing_corner", "point_corner_at_tip", "toe_before_throat",
		"floor_before_throat", "point_worn_back"}
	if bearing {
		names = append(names, "bearing_depth", "bearing_ramp")
	}
	return names
}

// NewDiamondPlan is an unworn diamond of an angle in degrees with the built-in figures.
func NewDiamondPlan(p *configs.Passage, angle, gauge float64, bearing bool) DiamondPlan {
	d := DiamondPlan{AngleDeg: angle, Gauge: gauge, Bearing: bearing, FlangewayWidth: p.Value("frog_flangeway_width"),
		FlangewayDepth: p.Value("frog_flangeway_depth"), WornBack: p.Value("point_worn_back"),
		HeadWidth: p.Value("heel_head_width"), Corner: p.Value("wing_corner"), Edge: p.Value("point_corner_at_tip"),
		Before: p.Value("toe_before_throat"), FloorBefore: p.Value("floor_before_throat")}
	if bearing {
		d.FlangewayDepth, d.FloorRamp = p.Value("bearing_depth"), p.Value("bearing_ramp")
	}
	return d
}

// DiamondModel gives the cross-section of a rail of a diamond at any station: x is mm along the rail from where its
// gauge line meets that of the first rail of the other track.
type DiamondModel struct {
	Plan      DiamondPlan
	Toe, Heel float64 // first and last station
	Gap       float64 // of a cut along the rail, mm
	Apart     float64 // from the first side of the first cut to the last side of the second
	skew      float64 // by how much a cut lies farther on for each mm to the field
}

// Angles that are taken, degrees: flatter ones are frogs with wings of their own.
const (
	LeastDiamond = 8.0
	MostDiamond  = 90.0
)

// NewDiamondModel checks a plan.
func NewDiamondModel(p DiamondPlan) (*DiamondModel, error) {
	for _, d := range []struct {
		what      string
		v, lo, hi float64
	}{
		{"angle in degrees", p.AngleDeg, LeastDiamond, MostDiamond}, {"gauge in mm", p.Gauge, 600, 2000},
		{"flangeway width in mm", p.FlangewayWidth, 10, 130}, {"flangeway depth in mm", p.FlangewayDepth, 0, 110},
		{"floor ramp 1:n", p.FloorRamp, 0, 1000}, {"floor ahead of the cut in mm", p.FloorBefore, 0, 2000},
		{"corner worn down in mm", p.WornDown, 0, 153}, {"corner worn back in mm", p.WornBack, 0, 1220},
		{"head width in mm", p.HeadWidth, 40, 100}, {"corner radius in mm", p.Corner, 0, 19},
		{"edge radius in mm", p.Edge, 0, p.Corner},
		{"length ahead of the cut in mm", p.Before, 50, 5000},
	} {
		if !(d.v >= d.lo && d.v <= d.hi) {
			return nil, fmt.Errorf("%w: %s %.2f (%.2f to %.2f)", ErrDiamond, d.what, d.v, d.lo, d.hi)
		}
	}
	if p.WornBack == 0 {
		p.WornDown = 0
	}
	a := p.AngleDeg * math.Pi / 180
	m := &DiamondModel{Plan: p, Gap: p.FlangewayWidth / math.Sin(a), Apart: p.Gauge / math.Sin(a),
		skew: 1 / math.Tan(a)}
	if p.AngleDeg == MostDiamond {
		m.skew = 0
	}
	if m.Apart < 3*m.Gap {
		return nil, fmt.Errorf("%w: cuts of %.0f mm, %.0f mm apart", ErrDiamond, m.Gap, m.Apart)
	}
	if p.FieldFirst {
		m.skew = -m.skew
	}
	over := math.Abs(m.skew) * p.HeadWidth
	from, to := m.FloorEnds()
	m.Toe, m.Heel = math.Min(-over-p.Before, from-p.FloorBefore), math.Max(m.Apart+over+p.Before, to+p.FloorBefore)
	return m, nil
}

// FloorEnds are the first and last station of the floor, its ramps included.
func (m *DiamondModel) FloorEnds() (from, to float64) {
	by := m.Plan.FloorBefore
	if m.Plan.Bearing { // the floor is as long at its height, and its ramps come to it
		by += m.Plan.FloorRamp * RampFall
	}
	return -by, m.Apart + by
}

// FloorAt is z of the floor at x; ok is false beyond its ends.
func (m *DiamondModel) FloorAt(x float64) (z float64, ok bool) {
	from, to := m.FloorEnds()
	return floorAt(x, from, to, m.Plan.FlangewayDepth, m.Plan.FloorRamp)
}

// Breaks are the stations at which a part of the rail begins or ends, at either side of its head.
func (m *DiamondModel) Breaks() []float64 {
	over := m.skew * m.Plan.HeadWidth
	out := make([]float64, 0, 10)
	for _, x := range []float64{0, m.Gap, m.Apart - m.Gap, m.Apart} {
		out = append(out, x, x+over)
		if m.Plan.WornDown > 0 {
			out = append(out, x+m.Plan.WornBack)
		}
	}
	return out
}

// Section cuts the rail at x: the wing is what of the rail lies outside the other track, the point what lies between
// its flangeways.
func (m *DiamondModel) Section(x float64) FrogSection {
	s := FrogSection{X: x}
	s.Point = m.part(x, m.Gap, m.Apart-m.Gap)
	if s.Wing = m.part(x, math.Inf(-1), 0); !s.Wing.There() {
		s.Wing = m.part(x, m.Apart, math.Inf(1))
	}
	s.FarWing = Head{Y0: -m.Plan.FlangewayWidth - m.Plan.HeadWidth, Y1: -m.Plan.FlangewayWidth, Corner: m.Plan.Corner}
	s.Floor, s.Floored = m.FloorAt(x)
	return s
}

// part is the head at x of what lies between two stations of the gauge line. What is left of the rail's rounded edges
// beside a cut is left out: it lies lower.
func (m *DiamondModel) part(x, from, to float64) Head {
	p := m.Plan
	h := Head{Y1: p.HeadWidth, Corner: p.Corner, Bevel: p.Corner}
	begins := from // where the part is come to
	lo, hi := 0.0, p.HeadWidth
	switch c := m.skew; {
	case c == 0:
		const within = 2e-6 // stations that lie so near are one
		if x < from-within || x > to+within {
			return Head{}
		}
	case c > 0:
		lo, hi = (x-to)/c, (x-from)/c
	default:
		lo, hi = (from-x)/-c, (to-x)/-c
		begins += c * p.HeadWidth
	}
	if lo > 0 {
		h.Y0, h.Bevel = math.Max(lo, p.Corner), p.Edge
	}
	if hi < p.HeadWidth {
		h.Y1, h.Corner = math.Min(hi, p.HeadWidth-p.Corner), p.Edge
	}
	width := h.Y1 - h.Y0
	if !(width > 0) {
		return Head{}
	}
	h.Corner = math.Min(h.Corner, width/2)
	if along := x - begins; p.WornDown > 0 && along < p.WornBack {
		h.Top = p.WornDown * (p.WornBack - along) / p.WornBack
	}
	return h
}
