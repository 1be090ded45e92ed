package shape

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"flangeway/configs"
	"flangeway/internal/each"
	"flangeway/internal/measure"
)

// ErrSwitch is wrapped by every error of a switch point that cannot be modelled.
var ErrSwitch = errors.New("no such switch section")

// SwitchPlan has the dimensions of a switch point's sections, mm and degrees.
type SwitchPlan struct {
	Detail   string
	Stations []configs.PointStation // of the new point
	Recess   float64                // by how much the new tip is hidden

	Gap          float64 // between point and stock rail at the tip
	TipThickness float64 // as read; < 0: the detail's
	Drop         float64 // top of the point below the stock rail at the tip, as read; NaN: the detail's
	ChipDepth    float64 // below the top of the stock rail; 0: none
	ChipLength   float64 // from the tip
	FaceAngle    float64 // shallowest angle of a worn face from horizontal, degrees; 0: not worn
	StockWear    float64 // of the stock rail's gauge side
	Undercut     float64 // depth of the recess as read; < 0: the detail's
	HeelRise     float64 // of the point over the stock rail at the heel; NaN: the detail's

	HeadWidth   float64
	StockCorner float64
	StockCrown  float64
	LeastCorner float64 // of the point's upper edges
}

// SwitchPlanConstants are the names of the built-in figures that enter a plan besides the detail and the readings.
func SwitchPlanConstants() []string {
	return []string{"heel_head_width", "stock_corner", "bolted_crown", "point_corner_at_tip", "climb_angle"}
}

// NewSwitchPlan is an unworn, closed point of a detail.
func NewSwitchPlan(p *configs.Passage, detail string) (SwitchPlan, error) {
	d, ok := p.Detail(detail)
	if !ok {
		known := each.Of(p.Details, func(d configs.SwitchDetail) string { return d.Name })
		return SwitchPlan{}, fmt.Errorf("%w: detail %q (known: %s)", ErrSwitch, detail, strings.Join(known, ", "))
	}
	return SwitchPlan{Detail: d.Name,
		Stations: d.Stations, Recess: d.Recess, TipThickness: -1, Undercut: -1, Drop: math.NaN(), HeelRise: math.NaN(),
		ChipLength: p.Value("chip_length"), HeadWidth: p.Value("heel_head_width"), StockCorner: p.Value("stock_corner"),
		StockCrown: p.Value("bolted_crown"), LeastCorner: p.Value("point_corner_at_tip")}, nil
}

// SwitchModel gives the cross-section of a closed switch point on its stock rail at any station. Stations x are mm from
// the tip, positive to the heel; y is across from the present gauge side of the stock rail, positive to its field side.
type SwitchModel struct {
	Plan     SwitchPlan
	Ahead    float64 // first station, < 0
	Heel     float64 // last station
	Full     float64 // from here on the point has its whole rise
	Level    float64 // where the new point is as high as the stock rail
	stations []configs.PointStation
	hidden   float64
}

// SwitchSection is a switch cut across at one station.
type SwitchSection struct {
	X     float64
	Stock Head
	Point Head // ahead of the tip it has no width
}

// aheadOfTip is how far ahead of the tip a passage begins, mm.
const aheadOfTip = 305.0

// NewSwitchModel checks a plan. It errs for readings outside what a switch can have.
func NewSwitchModel(p SwitchPlan) (*SwitchModel, error) {
	for _, d := range []struct {
		what      string
		v, lo, hi float64
	}{
		{"recess", p.Recess, 0, 30}, {"gap", p.Gap, 0, 102}, {"thickness of the tip", p.TipThickness, -1, 51},
		{"undercut", p.Undercut, -1, 26},
		{"chip depth", p.ChipDepth, 0, 102}, {"chip length", p.ChipLength, 0, 1530}, {"face angle", p.FaceAngle, 0, 90},
		{"stock rail wear", p.StockWear, 0, 51},
		{"head width", p.HeadWidth, 30, 120}, {"stock rail corner", p.StockCorner, 1, 20},
		{"crown", p.StockCrown, 100, 1e5}, {"corner of the point", p.LeastCorner, 0, 5},
	} {
		if !(d.v >= d.lo && d.v <= d.hi) {
			return nil, fmt.Errorf("%w: %s %.2f (%.2f to %.2f)", ErrSwitch, d.what, d.v, d.lo, d.hi)
		}
	}
	if math.Abs(p.Drop) > 77 || math.Abs(p.HeelRise) > 51 || math.IsInf(p.Drop+p.HeelRise, 0) {
		return nil, fmt.Errorf("%w: point %.2f mm down, heel %.2f mm up", ErrSwitch, p.Drop, p.HeelRise)
	}
	n := len(p.Stations)
	if n < 2 || p.Stations[0].At != 0 {
		return nil, fmt.Errorf("%w: a detail of %d stations that begins elsewhere than at the tip", ErrSwitch, n)
	}
	m := &SwitchModel{Plan: p, Ahead: -aheadOfTip, Heel: p.Stations[n-1].At}
	m.stations = append(m.stations, p.Stations...)
	for i, s := range m.stations {
		if i > 0 && !(s.At > m.stations[i-1].At && s.At < 30_000 && s.Thick >= m.stations[i-1].Thick &&
			s.Thick < 400) || math.Abs(s.Down) > 77 {
			return nil, fmt.Errorf("%w: station %v of the detail", ErrSwitch, s)
		}
	}
	if p.TipThickness >= 0 {
		m.stations[0].Thick = math.Min(p.TipThickness, m.stations[1].Thick)
	}
	m.Level = m.Heel
	for i := 1; i < n; i++ {
		if a, b := p.Stations[i-1], p.Stations[i]; a.Down > 0 && b.Down <= 0 {
			m.Level = a.At + (b.At-a.At)*a.Down/(a.Down-b.Down)
			break
		}
	}
	if rise := -p.Stations[n-1].Down; !math.IsNaN(p.HeelRise) { // the part over the stock rail is raised as read
		for i := range m.stations {
			if s := &m.stations[i]; s.Down < 0 && rise > 0 {
				s.Down *= p.HeelRise / rise
			}
		}
	}
	m.Full = m.Heel
	for i := n - 2; i > 0 && m.stations[i].Down == m.stations[n-1].Down; i-- {
		m.Full = m.stations[i].At
	}
	m.hidden = p.Recess
	if p.Undercut >= 0 {
		if p.Detail == "plain" {
			m.hidden += p.Undercut
		} else {
			m.hidden = p.Undercut
		}
	}
	return m, nil
}

// at gives depth and thickness of the detail at x.
func (m *SwitchModel) at(x float64) (down, thick float64) {
	s := m.stations
	for i := 1; i < len(s); i++ {
		if x <= s[i].At || i == len(s)-1 {
			t := math.Min((x-s[i-1].At)/(s[i].At-s[i-1].At), 1)
			return s[i-1].Down + t*(s[i].Down-s[i-1].Down), s[i-1].Thick + t*(s[i].Thick-s[i-1].Thick)
		}
	}
	return 0, 0
}

// top is [SwitchModel.Top] without the chip.
func (m *SwitchModel) top(x float64) float64 {
	down, _ := m.at(x)
	if d := m.Plan.Drop; !math.IsNaN(d) && x < m.Level {
		down += (d - m.Plan.Stations[0].Down) * (1 - x/m.Level)
	}
	return down
}

// Top is how far in mm the point's top lies below the top of the stock rail at x >= 0: the detail, the loss of height
// at the tip running out to where the detail is level, and the chip.
func (m *SwitchModel) Top(x float64) float64 {
	down := m.top(x)
	if m.Plan.ChipDepth > 0 && x <= m.Plan.ChipLength {
		down = math.Max(down, m.Plan.ChipDepth)
	}
	return down
}

// ShortChip is the length in mm under which a chip is none: 2 in (project's own rule).
const ShortChip = 2 * measure.MMPerInch

// ChipEnd is the step behind a chip: its station in mm. ok is false if there is none:
// no chip, one under [ShortChip], or one no deeper than the point is there anyhow.
func (m *SwitchModel) ChipEnd() (x float64, ok bool) {
	x = math.Min(m.Plan.ChipLength, m.Heel)
	if m.Plan.ChipDepth <= 0 || x < ShortChip-measure.Near {
		return 0, false
	}
	return x, m.Plan.ChipDepth > m.top(x)
}

// Exposed is how far in mm the point's gauge side stands out beyond the present gauge side of the stock rail at x >= 0:
// thickness, gap and what the stock rail has worn, less what hides the tip. Gap and what hides the tip run out to where
// the detail is level.
func (m *SwitchModel) Exposed(x float64) float64 {
	_, thick := m.at(x)
	out := 1.0
	if m.Level > 0 {
		out = math.Max(0, 1-x/m.Level)
	}
	return thick + m.Plan.StockWear + (m.Plan.Gap-m.hidden)*out
}

// Section cuts the switch at x.
func (m *SwitchModel) Section(x float64) SwitchSection {
	p := m.Plan
	s := SwitchSection{X: x}
	s.Stock = Head{Y0: 0, Y1: p.HeadWidth, Corner: p.StockCorner, Crown: p.StockCrown, Middle: p.HeadWidth / 2}
	if x < 0 {
		return s
	}
	_, thick := m.at(x)
	width := math.Min(math.Max(thick, 0.1), p.HeadWidth)
	face := -m.Exposed(x)
	corner := math.Min(math.Min(math.Max(thick/4, p.LeastCorner), p.StockCorner), width/2)
	if p.ChipDepth > 0 && x <= p.ChipLength && m.Top(x) == p.ChipDepth { // a chip's edge is sharp
		corner = math.Min(p.LeastCorner, width/2)
	}
	s.Point = Head{Y0: face, Y1: face + width, Top: m.Top(x), Corner: corner, Crown: p.StockCrown,
		Middle: face + width/2}
	// The gauge side of the tip is bevelled to where the stock rail's own corner ends; the bevel runs out where the
	// point is thick enough for a corner like the stock rail's.
	if full := 2 * p.StockCorner; thick < full {
		end := p.StockCorner + s.Stock.Plane(0)
		if bevel := (end - s.Point.Top) * (1 - thick/full); bevel > corner {
			s.Point.Bevel = bevel
		}
	}
	return s
}

// Stations are the places in mm where the point's form changes.
func (m *SwitchModel) Stations() []float64 {
	out := []float64{m.Ahead, 0, m.Level}
	for _, s := range m.stations {
		out = append(out, s.At)
	}
	if m.Plan.ChipDepth > 0 {
		out = append(out, m.Plan.ChipLength, m.Plan.ChipLength+0.01)
	}
	return out
}

// Outlines are the section's parts as chains of points y, z down to the level below (mm): stock rail and point.
func (s SwitchSection) Outlines(below float64) [][][2]float64 {
	out := [][][2]float64{s.Stock.Line(below)}
	if s.Point.There() {
		out = append(out, s.Point.Line(below))
	}
	return out
}
