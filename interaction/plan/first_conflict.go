package plan

import (
	"cmp"
	"math"
	"slices"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// encounter is a pair at a check, and the year in which it is no clear one any more.
type encounter struct {
	v     *wheel.Wheel
	p     *track.Feature
	check int
	x     float64
}

// placeAt is a place at a year, all that wears there at its line or that many standard errors more worn.
func (f *forecaster) placeAt(p *track.Feature, x, errors float64) *track.Feature {
	if len(f.places[p]) == 0 {
		return p
	}
	at := map[track.Quantity]measure.Reading{}
	for q, w := range f.places[p] {
		at[q] = measure.Exact(w.value(f.sv.Columns[w.Column], x, errors), w.now.Written)
	}
	return p.WithAll(at)
}

// wheelAt is a wheel at a year, with its mate.
func (f *forecaster) wheelAt(v *wheel.Wheel, x, errors float64) *wheel.Wheel {
	a := v.Axle()
	if a == nil || len(f.wheels[a.L]) == 0 && len(f.wheels[a.R]) == 0 {
		return v
	}
	b := a.Clone()
	for _, pair := range [][2]*wheel.Wheel{{a.L, b.L}, {a.R, b.R}} {
		for q, w := range f.wheels[pair[0]] {
			pair[1].Set(q, measure.Exact(w.value(f.sv.Columns[w.Column], x, errors), w.now.Written))
		}
	}
	return b.Like(v)
}

// dated is a wheel or a place at a year, with its shares of those checks that were asked for.
type dated struct {
	v     *wheel.Wheel
	p     *track.Feature
	parts []*interaction.Part
}

// share is that of check k.
func (f *forecaster) share(d *dated, k int) *interaction.Part {
	if d.parts == nil {
		d.parts = make([]*interaction.Part, len(f.trial.Checks))
	}
	if d.parts[k] == nil {
		if d.v != nil {
			d.parts[k] = &f.trial.Checks[k].WheelPart(f.trial.Rules, d.v, false).Part
		} else {
			d.parts[k] = &f.trial.Checks[k].PlacePart(f.trial.Rules, d.p, false).Part
		}
	}
	return d.parts[k]
}

// margin is that of a pair at check k, with its readings as written.
func (f *forecaster) margin(k int, v, p *dated) (as float64, ok bool) {
	return f.trial.MarginOf(k, f.share(v, k), f.share(p, k))
}

// when is a year of a wheel or a place, by the lines of what wears or that many standard errors more worn.
type when[T comparable] struct {
	of        T
	x, errors float64
}

// years are the wheels or places of years at which searches begin, because most readings have those alike, and the
// latest of any other one.
type years[T comparable] struct {
	begun  map[when[T]]*dated
	latest when[T]
	dated  *dated
}

// in is the one of a year, made if it is not kept.
func (y *years[T]) in(key when[T], begins bool, at func() *dated) *dated {
	if d := y.begun[key]; d != nil {
		return d
	}
	if y.dated == nil || y.latest != key {
		y.latest, y.dated = key, at()
	}
	if begins {
		if y.begun == nil {
			y.begun = map[when[T]]*dated{}
		}
		y.begun[key] = y.dated
	}
	return y.dated
}

// pairAt is a pair at a year.
func (f *forecaster) pairAt(v *wheel.Wheel, p *track.Feature, x, errors float64, begins bool) (*dated, *dated) {
	wheels := func() *dated { return &dated{v: f.wheelAt(v, x, errors)} }
	places := func() *dated { return &dated{p: f.placeAt(p, x, errors)} }
	return f.wheelsAt.in(when[*wheel.Wheel]{v, x, errors}, begins, wheels),
		f.placesAt.in(when[*track.Feature]{p, x, errors}, begins, places)
}

// asRead is a pair with its readings as they are.
func (f *forecaster) asRead(v *wheel.Wheel, p *track.Feature) (*dated, *dated) {
	if f.wheelsNow[v] == nil {
		f.wheelsNow[v] = &dated{v: v}
	}
	if f.placesNow[p] == nil {
		f.placesNow[p] = &dated{p: p}
	}
	return f.wheelsNow[v], f.placesNow[p]
}

// sooner looks whether a pair that is no conflict as read is one by the year of the first one found so far.
func (f *forecaster) sooner(e *encounter, check int, v *wheel.Wheel, p *track.Feature, last, errors float64) bool {
	margin := func(x float64) float64 {
		m, ok := f.margin(check, &dated{v: f.wheelAt(v, x, errors)}, &dated{p: f.placeAt(p, x, errors)})
		if !ok {
			return math.Inf(1)
		}
		return m
	}
	hi := e.x
	if e.p != nil {
		hi -= 1 / daysPerYear // no pair of the same day takes the place of the one found
	}
	if margin(hi) >= 0 {
		return false
	}
	lo := last
	for hi-lo > 1/daysPerYear {
		if mid := (lo + hi) / 2; margin(mid) < 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	*e = encounter{v, p, check, hi}
	return true
}

// bothErrors is of which lines the first conflict is looked for: of the likely ones, and if these reach none in time,
// of those worn as much more as a window allows.
func bothErrors(w *worn) []float64 { return []float64{0, quantile(w.trend.degrees)} }

// search looks for the first further conflict of a wheel with a place among some checks.
func (f *forecaster) search(e *encounter, v *wheel.Wheel, p *track.Feature, checks []int, last, errors float64) {
	var wheel, place *dated
	wheelNow, placeNow := f.asRead(v, p)
	for _, k := range checks {
		c := f.trial.Checks[k]
		if !c.ListedAt(v) || !c.Applies(p) {
			continue
		}
		if m, ok := f.margin(k, wheelNow, placeNow); !ok || m < 0 {
			continue
		}
		if wheel == nil {
			wheel, place = f.pairAt(v, p, e.x, errors, e.p == nil)
		}
		if m, ok := f.margin(k, wheel, place); ok && m < 0 && f.sooner(e, k, v, p, last, errors) {
			wheel = nil
		}
	}
}

// placeConflict dates the first further conflict in which the wear of a place's reading has a share.
func (f *forecaster) placeConflict(w *worn, p *track.Feature, q track.Quantity) {
	last := w.trend.last()
	for _, errors := range bothErrors(w) {
		e := encounter{x: last + horizonYears}
		moves := f.placeMoves(p, q, last, errors)
		for _, v := range f.sv.Fleet.Wheels {
			if f.exposure.Meets(v.Car, p) {
				f.search(&e, v, p, moves, last, errors)
			}
		}
		if e.p != nil && f.meet(w, e, "with "+e.v.Name()) {
			return
		}
	}
}

// placeMoves lists the checks in which a reading of a place has a share.
func (f *forecaster) placeMoves(p *track.Feature, q track.Quantity, last, errors float64) (out []int) {
	g := f.placeAt(p, last, errors)
	w := f.places[p][q]
	later := measure.Exact(w.value(f.sv.Columns[w.Column], last+horizonYears, errors), w.now.Written)
	a, b := f.trial.Place(g), f.trial.Place(g.With(q, later))
	for k := range f.trial.Checks {
		if a.Applies(k) && a.Interval(k) != b.Interval(k) {
			out = append(out, k)
		}
	}
	return out
}

// wheelConflict dates the first further conflict in which the wear of a wheel's reading has a share, of the wheel or,
// at checks of the axle, of its mate.
func (f *forecaster) wheelConflict(w *worn, v *wheel.Wheel, q wheel.Quantity) {
	last := w.trend.last()
	for _, errors := range bothErrors(w) {
		e := encounter{x: last + horizonYears}
		for _, u := range []*wheel.Wheel{v, v.Mate()} {
			if u == nil {
				continue
			}
			moves := f.wheelMoves(u, v, q, last, errors)
			for _, p := range f.sv.Track.Features {
				if len(moves) > 0 && f.exposure.Meets(v.Car, p) {
					f.search(&e, u, p, moves, last, errors)
				}
			}
		}
		if e.p != nil && f.meet(w, e, "at "+e.p.Name()) {
			return
		}
	}
}

// wheelMoves lists the checks of wheel u in which a reading of wheel v of its axle has a share.
func (f *forecaster) wheelMoves(u, v *wheel.Wheel, q wheel.Quantity, last, errors float64) (out []int) {
	w := f.wheels[v][q]
	a := f.wheelAt(u, last, errors)
	b := a.Axle().Clone()
	b.Like(v).Set(q, measure.Exact(w.value(f.sv.Columns[w.Column], last+horizonYears, errors), w.now.Written))
	x, y := f.trial.Wheel(a), f.trial.Wheel(b.Like(u))
	for k := range f.trial.Checks {
		lo, hi, ok := x.Bounds(k)
		l, h, o := y.Bounds(k)
		if lo != l || hi != h || ok != o {
			out = append(out, k)
		}
	}
	return out
}

// wearStep is how much wear is tried to either side to find the slope of a margin, mm or degrees: it reaches over the
// steps that some checks have.
const wearStep = 0.5

// meet dates an encounter: the margin there is taken as straight in all that wears on both sides, each with its line
// and the error of that, and what was read once on either side with its ±, as uniform. The degrees of freedom are the
// fewest of these lines, because what their readers err beyond the ± they may err alike. It is false if there is none,
// or if the margin is not told by what wears.
func (f *forecaster) meet(w *worn, e encounter, with string) bool {
	p, v := f.placeAt(e.p, e.x, 0), f.wheelAt(e.v, e.x, 0)
	place, share := f.trial.Place(p), f.trial.Wheel(v)
	type term struct {
		slope float64 // of the margin in the direction of wear
		w     *worn
	}
	var terms []term
	add := func(x *worn, margin func(measure.Reading) (float64, bool)) {
		y := x.trend.at(e.x)
		a, ok := margin(measure.Exact(x.sign*(y-wearStep), x.now.Written))
		b, too := margin(measure.Exact(x.sign*(y+wearStep), x.now.Written))
		if ok && too && math.Abs(a-b) > measure.Near {
			terms = append(terms, term{(b - a) / (2 * wearStep), x})
		}
	}
	for q, x := range f.places[e.p] {
		add(x, func(r measure.Reading) (float64, bool) {
			return f.trial.Margin(e.check, share, f.trial.Place(p.With(q, r)))
		})
	}
	if a := e.v.Axle(); a != nil {
		for _, u := range a.Wheels() {
			for q, x := range f.wheels[u] {
				add(x, func(r measure.Reading) (float64, bool) {
					b := v.Axle().Clone()
					b.Like(u).Set(q, r)
					return f.trial.Margin(e.check, f.trial.Wheel(b.Like(e.v)), place)
				})
			}
		}
	}
	slices.SortFunc(terms, func(a, b term) int {
		return cmp.Or(cmp.Compare(a.w.Where, b.w.Where), cmp.Compare(a.w.Column, b.w.Column))
	})
	m, ok := f.trial.Margin(e.check, share, place)
	if !ok || !slices.ContainsFunc(terms, func(t term) bool { return t.w == w }) {
		return false
	}
	unread := f.trial.Spread(e.check, share, place)
	variance := func(x float64) float64 {
		v := unread * unread / 12
		for _, t := range terms {
			v += t.slope * t.slope * t.w.trend.variance(x)
		}
		return v
	}
	degrees := math.Inf(1)
	for _, t := range terms {
		degrees = min(degrees, t.w.trend.degrees)
	}
	a := approach{value: func(x float64) float64 {
		y := m
		for _, t := range terms {
			y += t.slope * (t.w.trend.at(x) - t.w.trend.at(e.x))
		}
		return y
	}, variance: variance, degrees: degrees}
	what := "first further conflict: " + f.trial.Checks[e.check].ID + " " + with
	for _, t := range terms {
		if t.w != w {
			what += ", where " + t.w.Column + " of " + t.w.Where + " wears too"
		}
	}
	_, likely, _ := a.window(w.trend.xs[0], w.trend.last(), w.trend.last()+horizonYears)
	if math.IsInf(likely, 1) {
		likely = e.x
	}
	w.event(what, lengthOf(w.Column, w.value(f.sv.Columns[w.Column], likely, 0)), a)
	return true
}
