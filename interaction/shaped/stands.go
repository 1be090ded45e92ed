package shaped

import (
	"cmp"
	"math"
	"slices"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
)

// stand is one way of taking the readings of a truck and of a curve.
type stand struct {
	fit    *fit
	site   *site
	top    float64          // the greatest level of hollow that counts, mm
	unread interaction.Mask // readings that it takes a value for
	light  bool             // the weight was not read: as an empty car
}

// stands are those that every truck is tried at: the readings as written, at both ends, and at the worn end with values
// for what was not read, and on rails as they were new: a truck can have room to spare on worn ones alone.
func stands(t *truckJob, j *curveJob) []stand {
	list := make([]stand, numEnds)
	for end := range numEnds {
		list[end] = stand{fit: &t.fits[end], site: &j.sites[end], top: math.Max(t.level[end], 0)}
	}
	list[wornEnd].unread = t.fits[wornEnd].unread
	for i := range j.others {
		list = append(list, stand{&t.fits[wornEnd], &j.others[i], t.level[wornEnd], j.others[i].unread, false})
	}
	if j.unworn != nil {
		list = append(list, stand{&t.fits[wornEnd], j.unworn, t.level[wornEnd], t.fits[wornEnd].unread, false})
	}
	for i := numEnds; i < len(t.fits); i++ {
		list = append(list, stand{&t.fits[i], &j.sites[t.fits[i].end], t.level[wornEnd], t.fits[i].unread,
			t.fits[i].light})
	}
	return list
}

// standsWithin are those besides of a truck that is clear at all of these: every state of the truck on every one of the
// curve, because a truck that was not read as a whole, on a curve that was not, may be in any of them at once.
func standsWithin(t *truckJob, j *curveJob, done []stand) []stand {
	var list []stand
	add := func(s stand) {
		same := func(o stand) bool { return o.fit == s.fit && o.site == s.site }
		if !slices.ContainsFunc(done, same) {
			list = append(list, s)
		}
	}
	for i := range t.fits {
		f := &t.fits[i]
		for end := range numEnds {
			if end == f.end || i >= numEnds {
				add(stand{f, &j.sites[end], t.level[wornEnd], f.unread, f.light})
			}
		}
		for k := range j.others {
			add(stand{f, &j.others[k], t.level[wornEnd], j.others[k].unread | f.unread, f.light})
		}
		for k := range j.inside {
			add(stand{f, &j.inside[k], t.level[wornEnd], j.inside[k].unread | f.unread, f.light})
		}
	}
	for i := range t.inner {
		f := &t.inner[i]
		for end := range numEnds {
			add(stand{f, &j.sites[end], t.level[wornEnd], f.unread, false})
		}
		for _, others := range [][]site{j.others, j.inside} {
			for k := range others {
				// A face worn little asks most of a flange; of the others there are too many, but for a hollow between
				// its ends.
				if f.hollow || t.exact && (others[k].upset || others[k].unread != 0) ||
					others[k].high.face == leastWear {
					add(stand{f, &others[k], t.level[wornEnd], others[k].unread | f.unread, false})
				}
			}
		}
	}
	return list
}

// insideStep is the distance in mm at which a gauge is tried between the ends of its reading.
const insideStep = measure.MMPerInch / 8

// coarseGauge is the distance in mm at which a gauge without a figure is tried with each face and cant that a rail can
// have.
const coarseGauge = measure.MMPerInch / 2

// leastWear is wear of a gauge face in mm with which every face that is worn more is tried too.
const leastWear = measure.MMPerInch / 16

// faceStep is the distance in degrees at which the angle of a worn face is tried up to the usual one.
const faceStep = 2.5

// within lists what a curve's readings hold besides their ends. A worn rail is tried as it was
// new as well, because wear may steer a hollow truck better, and more of it is no better here;
// a gauge, and the wear of a gauge face, every insideStep; and a worn face at each of its angles.
func (c *Computer) within(j *curveJob) error {
	name := j.f.Rail
	if name == "" {
		name = AssumedSection
	}
	fresh, err := c.rail(railKey{section: name})
	if err != nil {
		return err
	}
	outer := slices.Concat(j.sites[:], j.others)
	add := func(s site) {
		if !slices.Contains(j.inside, s) && !slices.Contains(outer, s) {
			j.inside = append(j.inside, s)
		}
	}
	for _, s := range outer {
		if s.rails[0] != fresh || s.rails[1] != fresh {
			s.rails = [2]*trackshape.RailHead{fresh, fresh}
			add(s)
		}
	}
	unworn := j.sites[wornEnd]
	unworn.rails = [2]*trackshape.RailHead{fresh, fresh}
	tight, wide := j.sites[newEnd].gauge, j.sites[wornEnd].gauge
	// The gauges that the rest is tried in besides its own: a flange meets a worn face, or a rail that stands
	// otherwise, in a close gauge, and not in a wide one.
	gauges := func(of site) []float64 {
		out := []float64{of.gauge}
		if pointed(j.f.Read(track.Gauge)) {
			return out
		}
		out = append(out, tight)
		for g := math.Ceil(tight/coarseGauge) * coarseGauge; g < wide; g += coarseGauge {
			out = append(out, g)
		}
		return out
	}
	bases := append([]site{j.sites[written]}, j.others...)
	if e := j.f.Read(track.Elevation); e.Measured() && !pointed(e) { // a middle elevation stands for neither end
		bases = append(bases, j.sites[wornEnd], j.sites[newEnd])
	}
	if j.f.Cant == "" {
		for _, of := range bases {
			for _, cant := range []float64{trackshape.CantOf(20), 0} {
				s := of
				s.cant, s.upset = cant, true
				for _, s.gauge = range gauges(of) {
					add(s)
				}
				if s.rails[0] != fresh || s.rails[1] != fresh {
					s.rails = [2]*trackshape.RailHead{fresh, fresh}
					for _, s.gauge = range gauges(of) {
						add(s)
					}
				}
			}
		}
	}
	for g := math.Ceil(tight/insideStep) * insideStep; g < wide; g += insideStep {
		if math.Min(g-tight, wide-g) < insideStep/2+measure.Near || math.Abs(g-j.sites[written].gauge) < measure.Near {
			continue
		}
		for _, s := range outer {
			s.gauge = g
			add(s)
		}
	}
	for _, s := range bases {
		in := gauges(s)
		for _, k := range c.facesOf(j, s.high) {
			if s.rails[0], err = c.rail(k); err != nil {
				return err
			}
			s.high = k
			for _, s.gauge = range in {
				add(s)
			}
		}
	}
	if i := slices.Index(j.inside, unworn); i >= 0 {
		j.unworn = &j.inside[i]
	}
	return nil
}

// facesOf are the high rails that one may be too if wear or angle of its gauge face has no figure.
func (c *Computer) facesOf(j *curveJob, k railKey) (out []railKey) {
	wear := c.wearOf(j.f.Read(track.GaugeFaceWear))
	wears := []float64{k.face}
	if !pointed(wear) {
		least, most := wear.Lo, wear.Hi
		if !wear.Measured() {
			least, most = 0, c.blankMost(j.f, track.GaugeFaceWear)
		}
		for v := math.Ceil(least/insideStep) * insideStep; v < most-measure.Near; v += insideStep {
			if v > least+measure.Near {
				wears = append(wears, v)
			}
		}
		if most > leastWear-measure.Near { // it may be so much, or more, which is no better
			wears = append(wears, leastWear)
		}
	} else if k.face > leastWear { // more of it is no better
		for _, a := range []float64{k.angle, c.faceAngle(j.f).Lo} {
			out = append(out, railKey{k.section, k.head, leastWear, a})
		}
	}
	angles := []float64{k.angle}
	if angle := c.faceAngle(j.f); !pointed(angle) {
		angles = append(angles, angle.Lo, angle.Hi)
		for v := math.Ceil(angle.Lo/faceStep) * faceStep; v < math.Min(angle.Hi,
			trackshape.WornFaceAngle); v += faceStep {
			angles = append(angles, v)
		}
	}
	for _, v := range wears {
		for _, a := range angles {
			if n := (railKey{k.section, k.head, v, a}); v > 0 && n != k {
				out = append(out, n)
			}
		}
	}
	return out
}

// inWay gathers the margins of a truck in one way at a list of stands.
//
// At each of these every level of hollow counts that is not above what was read, so that more hollow on all wheels of a
// truck never gives a better verdict: how a truck runs is not in order by its hollow.
func (c *Computer) inWay(t *truckJob, j *curveJob, w way, at []stand) ([]tried, string) {
	of := c.unsureOf(t, j)
	list := make([]tried, len(at))
	for i, s := range at {
		list[i] = tried{m: noMargins(), decides: true, unread: s.unread, light: s.light, upset: s.site.upset,
			fresh: math.NaN()}
	}
	// A gauge that was not read under load, tried as wide as one may be.
	wide := tried{m: noMargins(), decides: true, fresh: math.NaN(),
		unread: interaction.TrackMask(track.LoadedGauge) | t.fits[wornEnd].unread}
	// All of the load on its wheels: which side is the lighter one is not known, so by that alone nothing is a
	// conflict.
	even := tried{m: noMargins(), decides: true, fresh: math.NaN()}
	uneven := false
	for level := 0.0; level <= t.level[wornEnd]+measure.Near; level += hollowStep {
		of, err := c.run(t, j, w, point{&t.fits[written], &j.sites[written], level, dry})
		var first TruckAnswer
		if err == nil {
			first, err = c.solve(of)
		}
		if why := openCause(first, err); why != "" {
			return nil, why
		}
		if of.Lost > 0 {
			all := of
			all.Lost, uneven = 0, true
			even.m = even.m.worse(all.marginsOf(first))
		}
		for i, s := range at {
			if level > s.top+measure.Near {
				continue
			}
			r, a := of, first
			if s.fit != &t.fits[written] || s.site != &j.sites[written] {
				if r, err = c.run(t, j, w, point{s.fit, s.site, level, dry}); err == nil {
					a, err = c.follow(r, first)
				}
				if why := openCause(a, err); why != "" {
					return nil, why
				}
			}
			list[i].m = list[i].m.worse(r.marginsOf(a))
			if !j.loaded && s.site == &j.sites[wornEnd] {
				spread := r
				spread.LoadedGauge = greatestGauge(j.f.Class) + unreadSpread
				wide.m[bearing], wide.m[standing] = spread.bearingOf(a, wide.m)
			}
		}
	}
	for i, s := range at {
		// else nothing is compared with new wheels
		if s.site == &j.sites[written] || list[i].m[rollover] < ample+2*of.short {
			list[i].fresh = c.freshOn(j, t, s.site, s.fit.gross)[rollover]
		}
	}
	if !j.loaded {
		list = append(list, wide)
	}
	if uneven {
		list = append(list, even)
	}
	return list, ""
}

// bearingOf is the lesser bearing of margins and of a truck that runs so.
func (r TruckRun) bearingOf(a TruckAnswer, m margins) (bears, stands float64) {
	m = m.worse(r.marginsOf(a))
	return m[bearing], m[standing]
}

// A truck that is clear as written and at the ends is not tried in between where all margins are at least ample (L/V,
// or of a wheel's load), and twice what they may be less between what was tried; against rollover or where it has no
// more than alike less than new wheels: of drawn trucks few changed by so much there.
const (
	ample = 0.15
	alike = 0.02
)

func amply(list []tried, of unsure, rolls bool) bool {
	if of.far { // its ends are too far apart to tell
		return false
	}
	enough := ample + 2*of.short
	for _, x := range list {
		if x.m[climb] < enough || x.m[side] < enough || x.m[unloading] < enough || rolls &&
			x.m[rollover] < enough && x.fresh-x.m[rollover] > alike {
			return false
		}
	}
	return true
}

// truckOn is the result of a truck on a curve: the worst of its ways, and of ways alike that with the least margin as
// written. So the ways are looked at in the order of these margins, and one that could neither be worse than what was
// found nor stand for it is not run through its stands.
func (c *Computer) truckOn(t *truckJob, j *curveJob) (Computed, way) {
	r := &running{c: c, t: t, j: j, of: c.unsureOf(t, j)}
	done := stands(t, j)
	order, ok := r.inOrder()
	if !ok {
		return r.out, r.at
	}
	for n, i := range order {
		if n > 0 && r.out.Verdict == interaction.Undecided && !r.conflicts(i) {
			continue
		}
		if !r.tryAt(i, done) {
			return r.out, r.at
		}
		r.judge(i)
	}
	for _, i := range order {
		if r.out.Verdict == interaction.Clear && r.rolls[i] == nil && !amply(r.lists[i], r.of, true) {
			r.roll(i)
			r.judge(i)
		}
	}
	var more []stand
	if r.out.Verdict == interaction.Clear { // else nobody asks for them
		more = standsWithin(t, j, done)
	}
	for i := range r.lists {
		if r.out.Verdict != interaction.Clear || len(more) == 0 || amply(r.lists[i], r.of, false) {
			continue
		}
		if !r.tryAt(i, more) {
			return r.out, r.at
		}
		r.judge(i)
	}
	return c.damp(t, j, r.out, r.at), r.at
}

// running is a truck that runs through a curve, with the margins of each of its ways.
type running struct {
	c       *Computer
	t       *truckJob
	j       *curveJob
	of      unsure
	written [4]margins // with the readings as written
	lists   [4][]tried // over what the readings err; nil for a way that does not count
	rolls   [4][]tried // with the readings as written, by which rollover is judged; nil while it is clear without
	first   []stand    // of these, see standsAsWritten; nil until they are asked for
	within  []stand
	told    bool     // some way was judged
	out     Computed // of the worst way
	at      way
	least   float64 // its margin as written
}

// inOrder runs a truck in all its ways as written, at every level of its hollow, and puts them in the order of their
// margins; false if it cannot be told how it runs in one.
func (r *running) inOrder() (order []int, ok bool) {
	for i, w := range ways() {
		r.written[i] = noMargins()
		for level := 0.0; level <= math.Max(r.t.level[written], 0)+measure.Near; level += hollowStep {
			of, err := r.c.run(r.t, r.j, w, point{&r.t.fits[written], &r.j.sites[written], level, dry})
			var a TruckAnswer
			if err == nil {
				a, err = r.c.solve(of)
			}
			if why := openCause(a, err); why != "" {
				r.out, r.at = Computed{Verdict: interaction.Undecided, Why: why}, w
				return nil, false
			}
			r.written[i] = r.written[i].worse(of.marginsOf(a))
		}
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(r.written[a].least(), r.written[b].least())
	})
	return order, true
}

// conflicts reports whether a truck may be a conflict in one way: only if it is one as written (see gather).
func (r *running) conflicts(i int) bool {
	for m := range numMechanisms {
		switch {
		case m == bearing && !r.t.hollow, m == rollover: // no conflict rests on these
		case math.IsNaN(r.written[i][m]):
			return true
		default:
			if v, _ := mechanismVerdict(r.c.Rules, m, r.written[i], 0, r.j.ground); v == interaction.Conflict {
				return true
			}
		}
	}
	return false
}

// tryAt tries a truck in one way at more stands; false if it cannot be told how it runs there.
func (r *running) tryAt(i int, more []stand) bool {
	list, why := r.c.inWay(r.t, r.j, ways()[i], more)
	if why != "" {
		r.out, r.at = Computed{Verdict: interaction.Undecided, Why: why}, ways()[i]
		return false
	}
	r.lists[i] = append(r.lists[i], list...)
	return true
}

// gathered joins what was tried in one way. What the forces of three axles come to rests on middle_axle_clearance,
// which no sheet has: by them nothing is a conflict, unless the railroad gave that figure itself.
func (r *running) gathered(i int, rolls []tried) Computed {
	k := gather(r.c.Rules, r.lists[i], rolls, r.j.ground, r.t.hollow, r.of)
	if r.t.axles == mostAxles && k.Verdict == interaction.Conflict && (k.Mechanism == mechanisms[climb].name ||
		k.Mechanism == mechanisms[side].name) && !r.c.Rules.Given("middle_axle_clearance") {
		k.Verdict, k.settle, k.Columns, k.byMiddle = interaction.Undecided, 0, nil, true
	}
	return k
}

// roll tries a truck in one way with its readings as written.
func (r *running) roll(i int) {
	r.rolls[i] = r.rolled(i, func(rolls []tried) bool {
		return r.gathered(i, rolls).Verdict == interaction.Clear
	})
}

// judge takes a way for that of the truck if it is the worst.
func (r *running) judge(i int) {
	k := r.gathered(i, r.rolls[i])
	if k.Verdict != interaction.Clear && k.Mechanism == mechanisms[rollover].name && r.rolls[i] == nil {
		r.roll(i)
		k = r.gathered(i, r.rolls[i])
	}
	if m := r.written[i].least(); !r.told || k.Verdict < r.out.Verdict || k.Verdict == r.out.Verdict && m < r.least {
		r.told, r.out, r.at, r.least = true, k, ways()[i], m
		r.out.margins = r.written[i]
	}
}

// damp adds what a truck comes to on damp rails, for the range alone, and what is open for want of readings.
func (c *Computer) damp(t *truckJob, j *curveJob, out Computed, at way) Computed {
	if r, err := c.run(t, j, at, point{&t.fits[written], &j.sites[written], t.level[written], damp}); err == nil {
		if a, err := c.solve(r); openCause(a, err) == "" && out.Mechanism != "" {
			m := r.marginsOf(a)
			for k := range numMechanisms {
				if mechanisms[k].name == out.Mechanism && !math.IsNaN(m[k]) {
					out.Low, out.High = math.Min(out.Low, m[k]), math.Max(out.High, m[k])
				}
			}
		}
	}
	if j.open != 0 && (t.hollow || t.bare || t.unsure.any()) {
		if out.Verdict == interaction.Undecided && (out.settle != 0 || len(out.Columns) > 0) {
			out.settle |= j.open
		}
		out.notClear(j.open)
	}
	return out
}

// notClear makes undecided of what would be clear, for want of readings.
func (k *Computed) notClear(want interaction.Mask) {
	if k.Verdict == interaction.Clear {
		k.Verdict, k.settle, k.ByAssumption, k.unknown = interaction.Undecided, want, false, true
	}
}

// freshOn are the margins of new wheels in place of a truck's at a site, in their worst way.
func (c *Computer) freshOn(j *curveJob, t *truckJob, at *site, gross float64) margins {
	lost := c.lost(t, j, gross)[written]
	key := freshKey{*at, t.axles, gross, t.base, lost, t.square, t.car.Kind, t.car.WarpStiffness}
	m, _ := j.fresh.get(key, func() (margins, error) {
		n := &truckJob{car: &wheel.Car{Kind: t.car.Kind, WarpStiffness: t.car.WarpStiffness, Body: t.car.Body,
			TruckCenters: t.car.TruckCenters, LoadImbalance: t.car.LoadImbalance}, number: 1, axles: t.axles,
			untwisted: t.untwisted,
			trimmed:   t.trimmed}
		c.prepare(n)
		n.gross, n.base, n.square, n.broken = gross, t.base, t.square, ""
		if n.fits == nil {
			if err := c.hollows(n); err != nil {
				return noMargins(), nil
			}
			c.fit(n)
		}
		for i := range n.fits {
			n.fits[i].gross = gross
		}
		m := noMargins()
		for _, w := range ways() {
			r, err := c.run(n, j, w, point{&n.fits[written], at, 0, dry})
			if err != nil {
				continue
			}
			if a, err := c.solve(r); openCause(a, err) == "" {
				m = m.worse(r.marginsOf(a))
			}
		}
		return m, nil
	})
	return m
}
