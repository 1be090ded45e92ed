package shaped

import (
	"flangeway/interaction"
	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/interaction/load"
)

// way is how a truck runs: which side of the car is on the high rail and which end of the truck leads.
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
	rails surface
}

// surface is how the rails and treads are between which friction acts.
type surface int

const (
	dry   surface = iota
	damp          // for the range alone, which no verdict rests on
	rough         // as the treads are freshly turned
)

// lost are the parts of its static load that a wheel is without by twist and a load to one side, by end.
func (c *Computer) lost(t *truckJob, j *curveJob, gross float64) [numEnds]float64 {
	out, _ := j.gone.get(goneKey{t.car, gross, t.untwisted, t.trimmed}, func() ([numEnds]float64, error) {
		return c.lostOf(t, j, gross), nil
	})
	return out
}

func (c *Computer) lostOf(t *truckJob, j *curveJob, gross float64) (out [numEnds]float64) {
	as, most, least := c.Rules.Lost(t.car, j.f, gross)
	for end, s := range [numEnds]load.Shares{written: as, wornEnd: most, newEnd: least} {
		if t.untwisted {
			s.Twist = 0
		}
		if t.trimmed {
			s.Imbalance = 0
		}
		out[end] = s.Twist + s.Imbalance
	}
	return out
}

// run is a truck on a curve in one way at a point.
func (c *Computer) run(t *truckJob, j *curveJob, w way, at point) (TruckRun, error) {
	f := at.fit
	rules := c.Rules
	r := TruckRun{Gross: f.gross, Wheelbase: t.base * float64(t.axles-1), CentreHeight: rules.GravityHeight(t.car.Kind,
		f.gross),
		TurningMoment: rules.TurningMoment(f.gross),
		Curve:         at.site.curve, Friction: j.friction[at.rails],
		Allowance:   rules.Value(interaction.AllowanceSetting(j.f.Holding)),
		LoadedGauge: at.site.loaded, LeastBearing: rules.Value("least_bearing")}
	r.Lost = c.lost(t, j, f.gross)[f.end]
	if !t.square {
		r.WarpStiffness = rules.WarpStiffness(t.car.WarpStiffness == "worn", f.gross)
	}
	r.Guarded = j.f.GuardRail == "yes"
	if t.axles == mostAxles {
		r.Clearance = rules.Value("middle_axle_clearance")
	}
	// axle n of the truck, which runs as its k-th
	axle := func(n, k int) (contact.Axle, error) {
		high, low := 2*n, 2*n+1
		if w.rightHigh {
			high, low = low, high
		}
		near, _, err := c.wornShape(f.designs[high], t.shapeReadings(f, high, at.level))
		if err != nil {
			return contact.Axle{}, err
		}
		far, _, err := c.wornShape(f.designs[low], t.shapeReadings(f, low, at.level))
		r.Flange[k], r.Rim[k] = f.flange[high], f.rim[low]
		if r.Flange[k] == 0 {
			r.Flange[k] = c.flangeThickness(near)
		}
		return contact.Axle{Near: near, Far: far, NearDiameter: f.sizes[0][high], FarDiameter: f.sizes[1][low],
			BackToBack: f.backs[n],
			NearRail:   at.site.rails[0], FarRail: at.site.rails[1], Gauge: at.site.gauge, GaugeHeight: j.height,
			Cant: at.site.cant}, err
	}
	as := [mostAxles]*contact.Axle{&r.Lead, &r.Trail}
	if t.axles == mostAxles {
		as = [mostAxles]*contact.Axle{&r.Lead, &r.Middle, &r.Trail}
	}
	for k, to := range as[:t.axles] {
		n := k
		if w.reversed {
			n = t.axles - 1 - k
		}
		var err error
		if *to, err = axle(n, k); err != nil {
			return r, err
		}
	}
	if (t.number == 1) == w.reversed { // the truck at the rear of the car
		r.TurningMoment = -r.TurningMoment
	}
	return r, nil
}

// solve runs a truck; what runs alike is solved once.
func (c *Computer) solve(r TruckRun) (TruckAnswer, error) {
	s, err := c.runs.get(r.running(), func() (curving.Solution, error) { return c.steady(r, nil) })
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

// follow runs a truck from where another run, with nearly its readings, was; what runs alike
// is followed once, on a curve or of trucks that are judged again.
func (c *Computer) follow(r TruckRun, from TruckAnswer) (TruckAnswer, error) {
	key := followedKey{r: r.running()}
	if len(from.States) > 0 {
		key.from = &from.States[0]
	}
	s, err := c.followed.get(key, func() (curving.Solution, error) {
		return c.steady(r, from.States)
	})
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

// followedKey tells apart what runs from where others were: the first state of the run that is followed, of which
// each is solved once.
type followedKey struct {
	r    TruckRun
	from *curving.State
}

// nudge is by how much in mm the gauge is taken wider, or closer, if no steady running is found: less than any
// reading of it is sure of. A run can balance on an edge of its contacts.
const nudge = 0.05

// steady runs a truck, from the states of another run if there are any.
func (c *Computer) steady(r TruckRun, from []curving.State) (s curving.Solution, err error) {
	room, _ := c.rooms.Get().(*curving.Room)
	if room == nil {
		room = new(curving.Room)
	}
	defer c.rooms.Put(room)
	for _, by := range []float64{0, nudge, -nudge} {
		n := r
		for _, a := range n.axles() {
			a.Gauge += by
		}
		tables, err := c.tables(room, n)
		if err != nil {
			return curving.Solution{}, err
		}
		var x curving.Solution
		if from == nil {
			x, err = room.Solve(n.truck(tables), n.Curve, n.Friction)
		} else {
			x, err = room.Follow(n.truck(tables), n.Curve, n.Friction, from)
		}
		if err != nil || x.Converged {
			return x, err
		}
		if by == 0 {
			s = x
		}
	}
	return s, nil
}

// tables are the axles of a truck on the rails, from the lead axle on.
func (c *Computer) tables(room *curving.Room, r TruckRun) ([]*curving.Table, error) {
	var out []*curving.Table
	for _, a := range r.axles() {
		t, err := c.table(room, *a, r.wheelLoad())
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}
