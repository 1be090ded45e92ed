package wheel

import (
	"math"

	"flangeway/internal/measure"
)

// What is odd but possible, and worth a second look before the table is believed.
const (
	lowFlange = 7.0 / 8 * measure.MMPerInch // a flange does not wear lower; new is about 1 in
	// UnlikeHeights is the difference in mm above which the heights of two wheels of an axle are odd, because both run
	// the same miles.
	UnlikeHeights = 1.0 / 4 * measure.MMPerInch
	// unlikeDiameters is the difference in mm from which their diameters are: as much tread worn more.
	unlikeDiameters = 2 * UnlikeHeights
	// unmatedHeights is the difference in mm from which two heights are not those of one axle: between a new flange and
	// one as high as is left in service lie 1/2 in.
	unmatedHeights = 3 * UnlikeHeights
	plainlyHollow  = 2.0 // mm; a mate should then have been looked at
	// longSpacing is over what neighbouring axles of a truck of three stand, mm: wheels of 42 in, whose outer ones are
	// some 13 to 14 ft apart.
	longSpacing = 115 * measure.MMPerInch
)

// oddCar warns of a wheelbase over all three axles in place of their spacing.
func (r *reader) oddCar(c *Car) {
	trucks, ok := c.Trucks()
	if b := c.TruckWheelbase; ok && len(trucks[0]) > 2 && b.Measured() && b.Lo > longSpacing {
		r.warn(b.Place, "truck_wheelbase %s of %s, a car of six axles: was it read over all three axles of a truck in "+
			"place of the spacing of two neighbours?", b.Written, c.ID)
	}
}

// oddWheel warns of readings that a wheel seldom has.
func (r *reader) oddWheel(w *Wheel) {
	if h := w.Read(FlangeHeight); Low(h) {
		r.warn(h.Place, "flange_height %s of %s %s is low for a flange: was it read at the tape line?",
			h.Written, w.Car.ID, w.Position)
	}
	mate := w.Mate()
	if w.Position.Side == 'L' && mate != nil {
		a, b := w.Read(FlangeHeight), mate.Read(FlangeHeight)
		if a.Measured() && b.Measured() && !a.OneSided() && !b.OneSided() &&
			math.Abs(a.As-b.As) >= UnlikeHeights-measure.Near {
			r.warn(b.Place, "flange_height of axle %d of %s differs by 1/4 in or more: %s at %s, %s at %s",
				w.Position.Axle, w.Car.ID, a.Written, w.Position, b.Written, mate.Position)
		}
	}
	if w.Position.Side == 'L' && mate != nil {
		a, b := w.Read(Diameter), mate.Read(Diameter)
		if w.Axle().Unmated(Diameter) {
			r.warn(b.Place, "diameter of axle %d of %s differs by 1/2 in or more: %s at %s, %s at %s; wheels of one "+
				"axle are matched", w.Position.Axle, w.Car.ID, a.Written, w.Position, b.Written, mate.Position)
		}
	}
	if q := w.Read(TreadHollow); Hollow(q) && (mate == nil || !mate.Read(TreadHollow).Measured()) {
		r.warn(q.Place, "wheel %s %s is hollow (%s) and its mate's tread_hollow was not read: a hollow wheel often "+
			"has a mate with a worn flange", w.Car.ID, w.Position, q.Written)
	}
}

// Unmated reports two diameters, or two flange heights, that the wheels of one axle cannot have: at least one of them
// was misread. A bound counts with its end that is nearest to the mate.
func (a *Axle) Unmated(q Quantity) bool {
	if a.L == nil || a.R == nil {
		return false
	}
	from := map[Quantity]float64{Diameter: unlikeDiameters, FlangeHeight: unmatedHeights}[q]
	l, r := a.L.Read(q), a.R.Read(q)
	if from == 0 || !l.Measured() || !r.Measured() {
		return false
	}
	apart := math.Abs(l.As - r.As)
	if l.OneSided() || r.OneSided() {
		apart = max(l.Lo-r.Hi, r.Lo-l.Hi)
	}
	return apart >= from-measure.Near
}

// Low reports a flange height that no worn flange has.
func Low(h measure.Reading) bool {
	return h.Measured() && !h.OneSided() && h.As < lowFlange-measure.Near
}

// Hollow reports a tread that is surely hollow.
func Hollow(q measure.Reading) bool { return q.Measured() && q.Lo >= plainlyHollow-measure.Near }

// Doubted reports a reading under a warning: one that cannot be, or that the wheel's trace contradicts.
func (w *Wheel) Doubted(q Quantity) bool {
	return q == FlangeHeight && Low(w.Read(q)) || w.against&^w.others>>q&1 != 0
}
