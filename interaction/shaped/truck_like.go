package shaped

import (
	"slices"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Trucks that differ by the names of their cars and wheels alone come to the same on a curve, and on curves that differ
// by names alone: in a survey whose readings are round figures there are many. Each is computed once, see
// [Computer.anyKindOn].

// cameTo holds the results on a curve, for all that differ from it by names alone.
type cameTo struct {
	trucks kept[likeKey, ran]
	usual  kept[bool, []string] // see [Computer.ordinary]
}

// shareLike lets curves that differ by names alone share what is computed on them.
func shareLike(curves []*curveJob) {
	for i, j := range curves {
		k := slices.IndexFunc(curves[:i], func(o *curveJob) bool { return sameCurve(j.f, o.f) })
		if j.came = new(cameTo); k >= 0 {
			j.came = curves[k].came
		}
	}
}

// sameCurve reports whether trucks run alike on two curves.
func sameCurve(a, b *track.Feature) bool {
	if a.Kind != b.Kind || a.Class != b.Class || a.Speed != b.Speed || a.SpeedKnown != b.SpeedKnown ||
		a.Type != b.Type ||
		a.Holding != b.Holding || a.Rail != b.Rail || a.Cant != b.Cant || a.Lubricated != b.Lubricated ||
		a.GuardRail != b.GuardRail || a.Profile != b.Profile || a.WarpOverFt != b.WarpOverFt {
		return false
	}
	for q := range track.NumQuantities {
		if !sameReading(a.Read(q), b.Read(q)) {
			return false
		}
	}
	return true
}

// likeKey tells trucks apart on a curve.
type likeKey struct {
	of   *truckJob
	bare bool // without its hollow
}

// likeness is the truck that stands for this one.
func (t *truckJob) likeness() likeKey {
	if t.like == nil {
		return likeKey{t, false}
	}
	return likeKey{t.like, t.bare}
}

// findLike gives each truck the first one that it differs from by names alone.
func findLike(trucks []*truckJob) {
	first := map[fit][]*truckJob{}
	for _, t := range trucks {
		t.like = t
		if t.broken != "" {
			continue
		}
		k := t.fits[written]
		if i := slices.IndexFunc(first[k], t.differsByName); i >= 0 {
			t.like = first[k][i]
			continue
		}
		first[k] = append(first[k], t)
	}
}

// differsByName reports whether all that enters how two trucks run is the same: the readings of their wheels and cars,
// and what was made of them.
func (t *truckJob) differsByName(o *truckJob) bool {
	if t.number != o.number || t.axles != o.axles || t.designs != o.designs || t.over != o.over || t.level != o.level ||
		t.lost != o.lost || t.turned != o.turned || t.gross != o.gross || t.base != o.base || t.square != o.square ||
		t.untwisted != o.untwisted || t.trimmed != o.trimmed || t.broken != o.broken || t.hollow != o.hollow ||
		t.exact != o.exact || t.bare != o.bare || !t.unsure.same(o.unsure) || !sameCar(t.car, o.car) ||
		!slices.Equal(t.fits, o.fits) || !slices.Equal(t.inner, o.inner) {
		return false
	}
	for i, w := range t.all() {
		if !sameWheel(w, o.wheels[i]) {
			return false
		}
	}
	if t.asRead == nil || o.asRead == nil {
		return t.asRead == o.asRead
	}
	return t.asRead.differsByName(o.asRead)
}

func (u unsure) same(o unsure) bool {
	return u.readings == o.readings && slices.Equal(u.columns, o.columns) && u.cells == o.cells && u.short == o.short &&
		u.far == o.far
}

// sameCar reports whether two cars load their trucks alike.
func sameCar(a, b *wheel.Car) bool {
	return (a.ID == "") == (b.ID == "") && a.Kind == b.Kind && a.Service == b.Service && a.GrossLb == b.GrossLb &&
		a.Axles == b.Axles && len(a.AxleList) == len(b.AxleList) && a.Body == b.Body &&
		a.WarpStiffness == b.WarpStiffness && sameReading(a.TruckWheelbase, b.TruckWheelbase) &&
		sameReading(a.TruckCenters, b.TruckCenters) && sameReading(a.LoadImbalance, b.LoadImbalance)
}

// sameWheel reports whether two wheels were read alike.
func sameWheel(a, b *wheel.Wheel) bool {
	if a == nil || b == nil {
		return a == b
	}
	if a.Design != b.Design || a.Flange != b.Flange {
		return false
	}
	for q := range wheel.NumQuantities {
		if !sameReading(a.Read(q), b.Read(q)) || a.Doubted(q) != b.Doubted(q) {
			return false
		}
	}
	return true
}

// sameReading reports whether two readings say the same, however they are written.
func sameReading(a, b measure.Reading) bool {
	return a.Form == b.Form && a.As == b.As && a.Lo == b.Lo && a.Hi == b.Hi
}
