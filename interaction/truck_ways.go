package interaction

import (
	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/track"
)

// way is how a truck runs: which side of the car is on the high rail and which end of
// the truck leads.
type way struct{ rightHigh, reversed bool }

// ways are all of them: the hand of a curve and the end that leads are not in a sheet.
func ways() []way { return []way{{}, {rightHigh: true}, {reversed: true}, {true, true}} }

func (w way) String() string {
	side, end := "L", "B"
	if w.rightHigh {
		side = "R"
	}
	if w.reversed {
		end = "A"
	}
	return side + " wheels on the high rail, " + end + " end leading"
}

// point is one way of taking a truck's and a curve's readings.
type point struct {
	fit   *fit
	site  *site
	level float64 // mm
	damp  bool
}

// run is a truck on a curve in one way at a point.
func (c *computer) run(t *truckJob, j *curveJob, w way, at point) (TruckRun, error) {
	f := at.fit
	rules := c.e.Rules
	r := TruckRun{Gross: f.gross, Wheelbase: t.base, CentreHeight: rules.value("gravity_height"), TurningMoment: rules.value("turning_moment") * 1e6, WarpStiffness: t.warp,
		Curve: at.site.curve, Friction: j.dry, Allowance: rules.value(AllowanceSetting(j.f.Holding)), LoadedGauge: at.site.loaded, LeastBearing: rules.value("least_bearing")}
	if at.damp {
		r.Friction = j.damp
	}
	axle := func(n, k int) (contact.Axle, error) {
		high, low := 2*n, 2*n+1
		if w.rightHigh {
			high, low = low, high
		}
		near, _, err := c.wornShape(t.designs[high], t.shapeReadings(f, high, at.level))
		if err != nil {
			return contact.Axle{}, err
		}
		far, _, err := c.wornShape(t.designs[low], t.shapeReadings(f, low, at.level))
		r.Flange[k], r.Rim[k] = f.flange[high], f.rim[low]
		return contact.Axle{Near: near, Far: far, NearDiameter: f.sizes[0][high], FarDiameter: f.sizes[1][low], BackToBack: f.backs[n],
			NearRail: at.site.rails[0], FarRail: at.site.rails[1], Gauge: at.site.gauge, GaugeHeight: j.height, Cant: j.cant}, err
	}
	lead, trail := 0, 1
	if w.reversed {
		lead, trail = 1, 0
	}
	var err error
	if r.Lead, err = axle(lead, 0); err != nil {
		return r, err
	}
	if r.Trail, err = axle(trail, 1); err != nil {
		return r, err
	}
	if (t.number == 1) == w.reversed { // the truck at the rear of the car
		r.TurningMoment = -r.TurningMoment
	}
	return r, nil
}

// solve runs a truck; what runs alike is solved once.
func (c *computer) solve(r TruckRun) (TruckAnswer, error) {
	s, err := c.runs.get(r.running(), func() (curving.Solution, error) {
		lead, trail, err := c.axles(r)
		if err != nil {
			return curving.Solution{}, err
		}
		return curving.Solve(r.truck(lead, trail), r.Curve, r.Friction)
	})
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

// follow runs a truck from where another run, with nearly its readings, was. Of trucks that
// are judged again it is kept.
func (c *computer) follow(r, other TruckRun, from TruckAnswer) (TruckAnswer, error) {
	run := func() (curving.Solution, error) {
		lead, trail, err := c.axles(r)
		if err != nil {
			return curving.Solution{}, err
		}
		return curving.Follow(r.truck(lead, trail), r.Curve, r.Friction, from.States)
	}
	var s curving.Solution
	var err error
	if c.again {
		s, err = c.followed.get([2]TruckRun{r.running(), other.running()}, run)
	} else {
		s, err = run()
	}
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

func (c *computer) axles(r TruckRun) (lead, trail *curving.Table, err error) {
	if lead, err = c.table(r.Lead, r.Gross/8); err != nil {
		return nil, nil, err
	}
	trail, err = c.table(r.Trail, r.Gross/8)
	return lead, trail, err
}

// inWay gathers the margins of a truck in one way: at the readings as written, at both ends,
// and with values for what was not read.
//
// At each of these every level of hollow counts that is not above what was read, so that
// more hollow on all wheels of a truck never gives a better verdict: how a truck runs is not
// in order by its hollow.
func (c *computer) inWay(t *truckJob, j *curveJob, w way) ([]tried, string) {
	list := []tried{{m: noMargins(), decides: true}, {m: noMargins(), decides: true}, {m: noMargins(), decides: true}}
	ends := [numEnds]*site{&j.sites[written], &j.sites[wornEnd], &j.sites[newEnd]}
	list[wornEnd].unread = t.fits[wornEnd].unread
	var others []tried
	// A gauge that was not read under load, tried up to unreadSpread over the class's greatest.
	wide := tried{m: noMargins(), decides: true, unread: trackMask(track.LoadedGauge) | t.fits[wornEnd].unread}
	for level := 0.0; level <= t.level[wornEnd]+near; level += hollowStep {
		base := point{&t.fits[written], ends[written], level, false}
		r, err := c.run(t, j, w, base)
		var first TruckAnswer
		if err == nil {
			first, err = c.solve(r)
		}
		if why := openCause(first, err); why != "" {
			return nil, why
		}
		if level <= t.level[written]+near {
			list[written].m = list[written].m.worse(r.marginsOf(first))
		}
		of := r
		try := func(at point) (margins, string) {
			r, err := c.run(t, j, w, at)
			var a TruckAnswer
			if err == nil {
				a, err = c.follow(r, of, first)
			}
			if at.site == ends[wornEnd] && !j.loaded && openCause(a, err) == "" {
				spread := r
				spread.LoadedGauge = greatestGauge(j.f.Class) + unreadSpread
				wide.m = wide.m.worse(spread.marginsOf(a))
			}
			return r.marginsOf(a), openCause(a, err)
		}
		for _, end := range []int{wornEnd, newEnd} {
			if level > t.level[end]+near && level > near {
				continue
			}
			m, why := try(point{&t.fits[end], ends[end], level, false})
			if why != "" {
				return nil, why
			}
			list[end].m = list[end].m.worse(m)
		}
		n := 0
		other := func(at point, unread mask, light bool) string {
			m, why := try(at)
			if why != "" {
				return why
			}
			if n == len(others) {
				others = append(others, tried{m: noMargins(), decides: true, unread: unread, light: light})
			}
			others[n].m = others[n].m.worse(m)
			n++
			return ""
		}
		for i := range j.others {
			if why := other(point{&t.fits[wornEnd], &j.others[i], level, false}, j.others[i].unread, false); why != "" {
				return nil, why
			}
		}
		for i := numEnds; i < len(t.fits); i++ {
			if why := other(point{&t.fits[i], ends[wornEnd], level, false}, t.fits[i].unread, t.fits[i].light); why != "" {
				return nil, why
			}
		}
	}
	if !j.loaded {
		others = append(others, wide)
	}
	return append(list, others...), ""
}
