package shape

import (
	"fmt"
	"math"

	"flangeway/internal/measure"
)

// upright is how far in degrees a flange face may lean and still count as vertical.
const upright = 1.0

// flange returns the index of the flange tip: the vertex of greatest z on the back's side of the tape line.
func (s *Shape) flange() (int, error) {
	if err := s.Outline.Check(); err != nil {
		return 0, fmt.Errorf("%w: %w", ErrShape, err)
	}
	tip := -1
	for i, v := range s.Outline {
		if v.Y < 0 && (tip < 0 || v.Z > s.Outline[tip].Z) {
			tip = i
		}
	}
	if s.NoFlange || tip < 0 || s.Outline[tip].Z < 5 {
		return 0, fmt.Errorf("%w: %s has no flange", ErrShape, s.Name)
	}
	return tip, nil
}

// tread is z of the tread at the tape line.
func (s *Shape) tread() (float64, error) {
	o := s.Outline
	for i := len(o) - 1; i > 0; i-- { // from the field, the first crossing
		if o[i].Y >= 0 && o[i-1].Y <= 0 && o[i].Y > o[i-1].Y {
			t := -o[i-1].Y / (o[i].Y - o[i-1].Y)
			return hermite(t, o[i].Y-o[i-1].Y, o[i-1].Z, o[i].Z, math.Tan(o[i-1].Angle), math.Tan(o[i].Angle)), nil
		}
	}
	return 0, fmt.Errorf("%w: %s does not reach the tape line", ErrShape, s.Name)
}

// hermite is the cubic over a step h from (value a, slope sa) to (b, sb) at t in 0..1.
func hermite(t, h, a, b, sa, sb float64) float64 {
	d := b - a
	sa, sb = sa*h, sb*h
	return a + t*(sa+t*(3*d-2*sa-sb+t*(sa+sb-2*d)))
}

// FlangeHeight is the height in mm of the flange tip over the tread at the tape line.
func (s *Shape) FlangeHeight() (float64, error) {
	tip, err := s.flange()
	if err != nil {
		return 0, err
	}
	z, err := s.tread()
	if err != nil {
		return 0, err
	}
	return s.Outline[tip].Z - z, nil
}

// FlangeThicknessAt is the thickness in mm of the flange, from its back, at a height (mm) over the tread at the tape
// line. The gauge's finger comes from the field, so of several places at that height the one farthest out counts.
func (s *Shape) FlangeThicknessAt(height float64) (float64, error) {
	tip, err := s.flange()
	if err != nil {
		return 0, err
	}
	tread, err := s.tread()
	if err != nil {
		return 0, err
	}
	z := tread + height
	o := s.Outline
	best, ok := 0.0, false
	for i := tip; i+1 < len(o) && o[i].Y <= 0; i++ {
		a, b := o[i], o[i+1]
		if !(a.Z >= z && b.Z <= z && a.Z > b.Z) {
			continue
		}
		y := hermite((z-a.Z)/(b.Z-a.Z), b.Z-a.Z, a.Y, b.Y, cotangent(a.Angle), cotangent(b.Angle))
		if math.Abs(cotangent(a.Angle)) > 20 || math.Abs(cotangent(b.Angle)) > 20 || math.IsNaN(y) {
			y = a.Y + (b.Y-a.Y)*(z-a.Z)/(b.Z-a.Z)
		}
		if !ok || y > best {
			best, ok = y, true
		}
	}
	if !ok {
		return 0, fmt.Errorf("%w: %s: no flange face %.1f mm over the tread", ErrShape, s.Name, height)
	}
	return best + s.Tape, nil
}

func cotangent(a float64) float64 { return math.Cos(a) / math.Sin(a) }

// FlangeThickness is FlangeThicknessAt the height at which the design's gauge reads.
func (s *Shape) FlangeThickness() (float64, error) { return s.FlangeThicknessAt(s.ThicknessAt) }

// VerticalFlange is the height in mm over the tread at the tape line up to which the flange face is vertical: the
// highest place, between tip and throat, where it leans less than one degree; 0 if it is vertical nowhere.
func (s *Shape) VerticalFlange() (float64, error) {
	tip, err := s.flange()
	if err != nil {
		return 0, err
	}
	tread, err := s.tread()
	if err != nil {
		return 0, err
	}
	o := s.Outline
	for i := tip; i+1 < len(o) && o[i].Y <= 0 && o[i].Z > tread+2; i++ {
		if o[i].Angle <= -(90-upright)*rad {
			z := o[i].Z
			if i > tip && o[i-1].Angle > -(90-upright)*rad && o[i-1].Angle != o[i].Angle {
				t := (-(90-upright)*rad - o[i-1].Angle) / (o[i].Angle - o[i-1].Angle)
				z = o[i-1].Z + t*(o[i].Z-o[i-1].Z)
			}
			return z - tread, nil
		}
	}
	return 0, nil
}

// FlangeAngle is the steepest angle in rad of the flange face between tip and throat, and the length in mm of the face
// over which it is within one degree of that.
func (s *Shape) FlangeAngle() (angle, length float64, err error) {
	tip, err := s.flange()
	if err != nil {
		return 0, 0, err
	}
	o := s.Outline
	for i := tip; i < len(o) && o[i].Y <= 0; i++ {
		angle = math.Max(angle, -o[i].Angle)
	}
	for i := tip; i+1 < len(o) && o[i].Y <= 0; i++ {
		if -o[i].Angle >= angle-rad && -o[i+1].Angle >= angle-rad {
			length += math.Hypot(o[i+1].Y-o[i].Y, o[i+1].Z-o[i].Z)
		}
	}
	return angle, length, nil
}

// hollowFrom is where on the wheel, from the tape line toward the flange (mm), the straight edge ends: on the throat it
// would rest on the flange.
const hollowFrom = -20.0

// TreadHollow is the greatest depth in mm of the tread under a straight edge held parallel to the axle and resting on
// the tread's field side. A place counts as hollow if some place of the tread nearer to the field stands lower (greater
// radius); metal beyond the rim's field face does not carry the edge.
func (s *Shape) TreadHollow() (float64, error) {
	if err := s.Outline.Check(); err != nil {
		return 0, fmt.Errorf("%w: %w", ErrShape, err)
	}
	o := s.Outline
	edge := s.Rim - s.Tape
	top, hollow := math.Inf(-1), 0.0
	for i := len(o) - 1; i >= 0 && o[i].Y >= hollowFrom; i-- {
		if o[i].Y > edge+same {
			continue
		}
		top = math.Max(top, o[i].Z)
		hollow = math.Max(hollow, top-o[i].Z)
	}
	if math.IsInf(top, -1) {
		return 0, fmt.Errorf("%w: %s has no tread", ErrShape, s.Name)
	}
	return hollow, nil
}

// RimThickness is the thickness in mm of the rim at the tape line over the lowest place of the back that the shape
// reaches; ok is false if that is less than half an inch below the tread, so that the shape does not show the rim's
// inner edge.
func (s *Shape) RimThickness() (mm float64, ok bool) {
	z, err := s.tread()
	if err != nil {
		return 0, false
	}
	low := z
	for _, v := range s.Outline {
		if v.Y < -s.Tape+3 {
			low = math.Min(low, v.Z)
		}
	}
	return z - low, z-low > measure.MMPerInch/2
}
