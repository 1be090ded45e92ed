package shape

import (
	"fmt"
	"math"
)

// PointAngle is the angle in rad between a straight switch point and its stock rail:
// (heel spread - thickness of the tip)/length, all in mm (US Army TI 850-02, eq. 6-12).
// Lengths are 1.5 to 15 m (usual points: 11 to 39 ft), spreads up to 400 mm.
func PointAngle(heelSpread, tip, length float64) (float64, error) {
	if !(length >= 1500 && length <= 15_000) || !(heelSpread <= 400) || !(tip >= 0 && tip < heelSpread) {
		return 0, fmt.Errorf("%w: a point %.0f mm long, %.1f mm thick at its tip, %.1f mm out at its heel", ErrSwitch,
			length, tip, heelSpread)
	}
	return (heelSpread - tip) / length, nil
}

// Angle is [PointAngle] of the plan: its detail's heel and length, and its tip.
func (m *SwitchModel) Angle() (float64, error) {
	heel := m.stations[len(m.stations)-1]
	return PointAngle(heel.Thick, m.stations[0].Thick, heel.At)
}

// Stretch moves the stations of a plan so that its point is of another length (mm): those of a short point are as thick
// and as high nearer to the tip.
func (p *SwitchPlan) Stretch(length float64) error {
	n := len(p.Stations)
	if n < 2 || !(p.Stations[n-1].At > 0) || math.IsNaN(length) {
		return fmt.Errorf("%w: nothing to stretch to %.0f mm", ErrSwitch, length)
	}
	by := length / p.Stations[n-1].At
	p.Stations = append(p.Stations[:0:0], p.Stations...)
	for i := range p.Stations {
		p.Stations[i].At *= by
	}
	return nil
}
