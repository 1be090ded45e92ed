package passage

import (
	"math"

	"flangeway/track/shape"
)

// mark is the height over the tread in mm from which on the flange's field side is nowhere steeper than an angle (rad):
// the 60 degree mark of a flange for 60 degrees. It is 0 for a flange that is flatter all along.
func (w *Wheel) mark(angle float64) float64 {
	h := 0.0
	for i, a := range w.steep {
		if a >= angle {
			h = float64(i) * faceStep
		}
	}
	return h
}

// PointRelief is how far in mm the flange face may pass the gauge line of a frog before the point stands at a part of
// the flange that is flatter than an angle (rad), the wheel carried by the wing at a height (mm, as [FrogPath].AtTip)
// beside it: up to there the flange rubs along the point, beyond it can climb. It is the least of the blunt point, of
// where its wear has run out and of the middle between. ok is false if the flange tip stands above the point at all of
// them.
func (w *Wheel) PointRelief(f *shape.FrogModel, height, angle float64) (relief float64, ok bool) {
	if math.IsInf(height, 0) {
		return 0, false
	}
	xs := []float64{f.Tip}
	if f.Plan.PointWornDown > 0 {
		back := math.Min(f.Plan.PointWornBack, f.Heel-f.Tip)
		xs = append(xs, f.Tip+back/2, f.Tip+back)
	}
	relief, from := math.Inf(1), w.mark(angle)
	for _, x := range xs {
		if sd := w.besideFrom(f.Section(x).Point, w.Shape.Tape-w.Thickness, height, 0, from); !sd.over {
			relief, ok = math.Min(relief, sd.room), true
		}
	}
	return relief, ok
}

// TipRoom is how far in mm the flange clears the side of a switch point's tip, the wheel pressed to the stock rail and
// yawed by an angle (rad) toward the point, as in [SwitchSolution]; over tells that its tip passes above the point's.
func (w *Wheel) TipRoom(m *shape.SwitchModel, yaw float64) (room float64, over bool) {
	sec := m.Section(0)
	tight := w.on(sec.Stock).tight
	r, ok := w.rest(sec.Stock, tight-off)
	if !ok || !sec.Point.There() {
		return 0, true
	}
	sd := w.beside(sec.Point, tight, r.height, yaw)
	return sd.room, sd.over
}
