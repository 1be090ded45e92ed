package shape

import (
	"math"

	"flangeway/internal/measure"
)

// TapeFromFace is how far from the gauge line the tape line of a new wheel with its flange on the gauge line stands,
// mm: 1-11/16 in. Sloped tops have their level there.
const TapeFromFace = (1 + 11.0/16) * measure.MMPerInch

// Head is a bearing surface cut across, mm: y across from the gauge line of the route that is run, positive to the
// field; levels z below the tread plane, positive down. Its sides are upright.
type Head struct {
	Y0, Y1 float64 // its sides
	Top    float64 // z of the top, at TapeFromFace if it is sloped, at the middle if it is crowned
	Corner float64 // radius of both upper edges
	Bevel  float64 // radius of the edge at Y0 if it differs; it may be wider than the head
	Crown  float64 // radius of the top; 0: straight
	Middle float64 // y of the crown's summit
	Slope  float64 // rise toward the field per width
}

// Edge is the radius of the upper edge at Y0.
func (h *Head) Edge() float64 {
	if h.Bevel > 0 {
		return h.Bevel
	}
	return h.Corner
}

// round is how far a round of radius r has fallen at d from its foot.
func round(r, d float64) float64 {
	switch {
	case d >= r:
		return 0
	case d <= 0:
		return r
	}
	return r - math.Sqrt(d*(2*r-d))
}

// Depth is z of the surface at y, which must lie between the sides.
func (h *Head) Depth(y float64) float64 { return h.Plane(y) + h.Fall(y) }

// Fall is by how much the rounded edges lie below Plane at y.
func (h *Head) Fall(y float64) float64 {
	fall := round(h.Edge(), y-h.Y0)
	if far := round(h.Corner, h.Y1-y); far > fall {
		fall = far
	}
	return fall
}

// Plane is Depth without the rounded edges.
func (h *Head) Plane(y float64) float64 {
	z := h.Top
	if h.Slope != 0 {
		z -= h.Slope * (y - TapeFromFace)
	}
	if h.Crown > 0 {
		// R - sqrt(R^2-d^2) as a series: within 1e-5 mm over a head on a crown of 10 in.
		d := y - h.Middle
		t := d / h.Crown * (d / h.Crown)
		z += h.Crown * t / 2 * (1 + t/4*(1+t/2))
	}
	return z
}

// Roof is a level that Plane nowhere lies above.
func (h *Head) Roof() float64 {
	rise := math.Max(h.Slope*(h.Y0-TapeFromFace), h.Slope*(h.Y1-TapeFromFace))
	if at := h.Middle + h.Slope*h.Crown; h.Crown > 0 && at > h.Y0 && at < h.Y1 { // the summit of a sloped crown
		rise = math.Min(rise, h.Slope*(h.Middle-TapeFromFace)+h.Slope*h.Slope*h.Crown/2)
	}
	return h.Top - rise
}

// Line is the head's upper contour as points y, z, with sides down to the level below.
func (h *Head) Line(below float64) [][2]float64 {
	pts := [][2]float64{{h.Y0, below}}
	const n = 12
	left := math.Min(h.Edge(), h.Y1-h.Y0)
	right := math.Min(h.Corner, h.Y1-h.Y0-left)
	for i := range n + 1 { // over the edge at Y0
		d := left * (1 - math.Cos(math.Pi/2*float64(i)/n))
		pts = append(pts, [2]float64{h.Y0 + d, h.Depth(h.Y0 + d)})
	}
	for i := 1; i < 8; i++ {
		y := h.Y0 + left + (h.Y1-h.Y0-left-right)*float64(i)/8
		pts = append(pts, [2]float64{y, h.Depth(y)})
	}
	for i := n; i >= 0; i-- {
		d := right * (1 - math.Cos(math.Pi/2*float64(i)/n))
		pts = append(pts, [2]float64{h.Y1 - d, h.Depth(h.Y1 - d)})
	}
	return append(pts, [2]float64{h.Y1, below})
}

// FrogSection is a frog cut across at one station. What is not there has no width.
type FrogSection struct {
	X       float64
	Wing    Head    // carries the wheel ahead of the point
	FarWing Head    // on the other side of the flange
	Point   Head    // of the route that is run, its whole head behind the point
	Heel    Head    // the other head, where the point has parted into two
	Wear    float64 // of the tread here
	Floor   float64
	Floored bool // there is a floor here
}

// There reports whether the head exists.
func (h *Head) There() bool { return h.Y1 > h.Y0 }

// Spread is the distance of the gauge lines in mm at station x (mm behind the theoretical point): x/N.
func (m *FrogModel) Spread(x float64) float64 { return x / m.Plan.Number }

// wear is the loss of tread at x.
func (m *FrogModel) wear(x float64) float64 {
	if m.Plan.TreadWear == 0 {
		return 0
	}
	out := math.Max(m.wearIn-x, x-m.wearTo)
	switch {
	case out <= 0:
		return m.Plan.TreadWear
	case out >= m.Plan.WearRunOut:
		return 0
	}
	return m.Plan.TreadWear * (1 + math.Cos(math.Pi*out/m.Plan.WearRunOut)) / 2
}

// riser is the height of the wing's risers at x: full from the throat to the level point, running out as a cosine over
// half the way from throat to level point.
func (m *FrogModel) riser(x float64) float64 {
	if m.Plan.WingRiser == 0 {
		return 0
	}
	run := (m.Level - m.Throat) / 2
	out := math.Max(m.Throat-x, x-m.Level)
	switch {
	case out <= 0:
		return m.Plan.WingRiser
	case out >= run:
		return 0
	}
	return m.Plan.WingRiser * (1 + math.Cos(math.Pi*out/run)) / 2
}

// PointTop is z of the point's top at x, behind the blunt point: design drop, wear of the whole tread and the point's
// own wear.
func (m *FrogModel) PointTop(x float64) float64 {
	p := m.Plan
	z := m.wear(x)
	if x < m.Level && m.Level > m.Tip {
		z += p.PointDrop * (m.Level - x) / (m.Level - m.Tip)
	}
	if p.PointWornDown > 0 && x < m.Tip+p.PointWornBack {
		z += p.PointWornDown * (m.Tip + p.PointWornBack - x) / p.PointWornBack
	}
	return z
}

// FloorAt is z of the flangeway's floor at x; ok is false beyond its ends.
func (m *FrogModel) FloorAt(x float64) (z float64, ok bool) {
	return floorAt(x, m.FloorFrom, m.FloorTo, m.Plan.FlangewayDepth+m.Plan.TreadWear, m.Plan.FloorRamp)
}

// FloorEnds are the first and last station of the floor, its ramps included.
func (m *FrogModel) FloorEnds() (from, to float64) { return m.FloorFrom, m.FloorTo }

// floorAt is z at x of a floor between two stations that goes down to open depth on ramps of 1:n at its ends; blunt
// ones if n is 0.
func floorAt(x, from, to, depth, n float64) (z float64, ok bool) {
	if x < from || x > to {
		return 0, false
	}
	z = depth
	if n > 0 {
		if fall := RampFall - math.Min(x-from, to-x)/n; fall > 0 {
			z += fall
		}
	}
	return z, true
}

// RampFall is how far in mm a ramp at the floor's end goes down: 3/4 in.
const RampFall = 0.75 * measure.MMPerInch

// WingFace is y of the wing's gauge side at x: 0 up to the throat, then parting with the other route's gauge line,
// against which a spring holds it if there is one.
func (m *FrogModel) WingFace(x float64) float64 {
	gap := m.gap
	if m.Plan.Closed {
		gap = 0
	}
	return math.Max(0, gap+x/m.Plan.Number)
}

// Section cuts the frog at x, between toe and heel.
func (m *FrogModel) Section(x float64) FrogSection {
	p := m.Plan
	s := FrogSection{X: x, Wear: m.wear(x)}
	face := m.WingFace(x)
	s.Wing = Head{Y0: face, Y1: face + p.WingWidth, Top: s.Wear - m.riser(x), Corner: p.WingCorner, Crown: p.WingCrown,
		Middle: face + p.WingWidth/2, Slope: p.WingSlope}
	other := math.Min(-m.gap, x/p.Number) // ahead of the throat it is the other route's rail
	s.FarWing = s.Wing
	s.FarWing.Y0, s.FarWing.Y1, s.FarWing.Middle, s.FarWing.Slope = other-p.WingWidth, other, other-p.WingWidth/2, 0
	if w := m.Spread(x); x >= m.Tip-1e-9 {
		top := m.PointTop(x)
		// The point of a bolted frog is a rail planed away on its far side: its crown's summit stays where the whole
		// head has it.
		half := p.HeelHeadWidth / 2
		s.Point = Head{Y0: 0, Y1: w, Top: top, Corner: math.Min(p.PointCorner, w/2), Slope: p.WingSlope,
			Crown: p.WingCrown, Middle: half}
		if w > 2*p.HeelHeadWidth {
			s.Point.Y1 = p.HeelHeadWidth
			s.Heel = Head{Y0: w - p.HeelHeadWidth, Y1: w, Top: top, Corner: p.PointCorner, Crown: p.WingCrown,
				Middle: w - half}
		}
	}
	s.Floor, s.Floored = m.FloorAt(x)
	return s
}

// Outlines are the section's parts as closed chains of points y, z down to the level below (mm): wings, point, heel,
// and the floor of both flangeways.
func (s FrogSection) Outlines(below float64) [][][2]float64 {
	var out [][][2]float64
	for _, h := range []Head{s.FarWing, s.Wing, s.Point, s.Heel} {
		if h.There() {
			out = append(out, h.Line(below))
		}
	}
	if s.Floored {
		right := s.Wing.Y0
		out = append(out, [][2]float64{{s.FarWing.Y1, below}, {s.FarWing.Y1, s.Floor}, {right, s.Floor},
			{right, below}})
	}
	return out
}
