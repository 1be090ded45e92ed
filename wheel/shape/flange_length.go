package shape

import "math"

// climbedTo is the angle to which the flange has fallen where a climbing wheel is on its tip: 26.6 degrees, TCRP
// Report 71 volume 5, glossary.
const climbedTo = 26.6 * rad

// FlangeLength is the arc in mm of the flange from where its steepest angle begins, on the side of the throat, over the
// tip's rounding to where that has fallen to 26.6 degrees: the length of TCRP Report 71 volume 5, glossary, which the
// climb distance is reckoned with. Steepest is within a tenth of a degree.
func (s *Shape) FlangeLength() (mm float64, err error) {
	angle, _, err := s.FlangeAngle()
	if err != nil {
		return 0, err
	}
	tip, err := s.flange()
	if err != nil {
		return 0, err
	}
	o := s.Outline
	begin, end := -1, -1 // where the tip has fallen to climbedTo, where the steepest angle begins
	for i := tip; i < len(o) && o[i].Y <= 0; i++ {
		if begin < 0 && -o[i].Angle >= climbedTo {
			begin = i
		}
		if -o[i].Angle >= angle-rad/10 {
			end = i
		}
	}
	if begin < 0 || end < begin {
		return 0, nil
	}
	for i := begin; i < end; i++ {
		mm += math.Hypot(o[i+1].Y-o[i].Y, o[i+1].Z-o[i].Z)
	}
	// The part of the first stretch that is steeper.
	if a, b := -o[max(begin, 1)-1].Angle, -o[begin].Angle; begin > tip && b > a {
		p, q := o[begin-1], o[begin]
		mm += math.Hypot(q.Y-p.Y, q.Z-p.Z) * (b - climbedTo) / (b - a)
	}
	return mm, nil
}
