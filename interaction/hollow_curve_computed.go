package interaction

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// noHollow is below which hollow in mm as written a wheel is not to blame for how its
// truck runs, while another one of it is.
const noHollow = 0.5

// truckJob is a truck that is tried on every curve.
type truckJob struct {
	car    *wheel.Car
	number int // 1 or 2 from the B end
	wheels [4]*wheel.Wheel
	index  [4]int // in the engine; -1: not in the sheet
	shapes [numEnds][4]*wheel.Shape
	backs  [2]float64
	sizes  [4]float64 // diameters, mm
	gross  float64    // N
	base   float64    // wheelbase, mm
	warp   float64    // N·mm/rad; 0: rigid
	notes  []string   // what was set aside or assumed
	broken string     // why it cannot be computed
	hollow bool       // some wheel is
	unread []string   // wheels whose hollow was not read: then nothing is clear
}

// curveJob is a curve that trucks are tried on.
type curveJob struct {
	f      *track.Feature
	rails  [2]*track.RailHead // high, low
	gauge  [numEnds]float64   // mm
	height float64            // gauge height, mm
	cant   float64            // rad
	curve  curving.Curve
	dry    curving.Friction
	damp   curving.Friction
	read   float64 // loaded gauge, mm; 0: not read
	notes  []string
	broken string
}

// computeCurves fills the computed verdicts of hollow-curve.
func (e *Engine) computeCurves() {
	check := slices.IndexFunc(e.Checks, func(c *Check) bool { return c.ID == "hollow-curve" })
	var at []*placeTable
	var curves []*curveJob
	c := e.computer
	for _, ps := range e.everywhere() {
		for j := range ps.tables {
			if t := &ps.tables[j]; t.check == check && t.part.missing == 0 {
				at = append(at, t)
				curves = append(curves, c.curve(ps.f))
			}
		}
	}
	if len(at) == 0 {
		return
	}
	c.listTrucks()
	for k, t := range at {
		t.computed = make([]*Computed, len(e.wheels))
		c.onCurve(curves[k], t)
		c.forget(curves[k+1:])
	}
}

// forget drops the flanks on rails that no later curve has.
func (c *computer) forget(later []*curveJob) {
	if c.again {
		return
	}
	used := map[*track.RailHead]bool{}
	for _, j := range later {
		used[j.rails[0]], used[j.rails[1]] = true, true
	}
	c.flanks.forget(func(k flankKey) bool { return !used[k.rail] })
}

// curve prepares a curve. What it does not tell is assumed, and said.
func (c *computer) curve(f *track.Feature) *curveJob {
	j := &curveJob{f: f}
	g := f.Read(track.Gauge)
	if !g.Measured() || g.OneSided() {
		j.broken = "the gauge was not read"
		return j
	}
	j.gauge = [numEnds]float64{g.As, g.Hi, g.Lo}
	name := f.Rail
	if name == "" {
		name = "136RE"
		j.notes = append(j.notes, "rail section not given, 136RE taken")
	}
	head, face, angle := f.Read(track.HeadWear), f.Read(track.GaugeFaceWear), f.Read(track.GaugeFaceAngle)
	if !head.Measured() || !face.Measured() {
		j.notes = append(j.notes, "rail wear that was not read taken as none")
	}
	var err error
	for i, w := range []float64{face.As, 0} {
		if j.rails[i], err = c.rail(railKey{name, head.As, w, angle.As}); err != nil {
			j.broken = err.Error()
			return j
		}
	}
	j.height = j.rails[0].GaugeHeight
	switch f.Cant {
	case "1:20":
		j.cant = track.CantOf(20)
	case "none":
	default:
		j.cant = track.CantOf(40)
	}
	feet, err := measure.RadiusFt(f.Read(track.Degree).As)
	if err != nil {
		j.curve.Radius = math.Inf(1)
	} else {
		j.curve.Radius = feet * 12 * measure.MMPerInch
	}
	if l := f.Read(track.LoadedGauge); l.Measured() && !l.OneSided() {
		j.read = l.As
	}
	el := f.Read(track.Elevation)
	if f.SpeedKnown && el.Measured() {
		j.curve.Elevation, j.curve.Speed = el.As, f.Speed*measure.MetresPerSecondPerMPH
	} else {
		j.notes = append(j.notes, "speed or elevation not known, balance taken")
	}
	j.dry, j.damp = c.friction(f, "dry_friction"), c.friction(f, "damp_friction")
	return j
}

func (c *computer) friction(f *track.Feature, setting string) curving.Friction {
	mu, greased := c.e.Rules.value(setting), c.e.Rules.value("greased_friction")
	out := curving.Same(mu)
	if f.Lubricated == "high" || f.Lubricated == "both" {
		out.HighFace = math.Min(mu, greased)
	}
	if f.Lubricated == "low" || f.Lubricated == "both" {
		out.LowFace = math.Min(mu, greased)
	}
	return out
}

// listTrucks finds the two-axle trucks of four-axle cars and rebuilds their wheels.
func (c *computer) listTrucks() {
	index := map[*wheel.Wheel]int{}
	for i := range c.e.wheels {
		index[c.e.wheels[i].w] = i
	}
	for _, car := range c.e.Survey.Fleet.Cars {
		if c.e.opt.Car != "" && c.e.opt.Car != car.ID {
			continue
		}
		trucks, ok := car.Trucks()
		if !ok || len(trucks[0]) != 2 {
			continue
		}
		for n, axles := range trucks {
			t := &truckJob{car: car, number: n + 1}
			any := false
			for i, number := range axles {
				var l, r *wheel.Wheel
				if a := car.Axle(number); a != nil {
					l, r = a.L, a.R
				}
				t.wheels[2*i], t.wheels[2*i+1] = l, r
			}
			for i, w := range t.wheels {
				t.index[i] = -1
				if w != nil {
					t.index[i], any = index[w], true
					q := w.Read(wheel.TreadHollow)
					t.hollow = t.hollow || q.Measured() && q.As >= noHollow
				}
			}
			if any {
				c.trucks = append(c.trucks, t)
			}
		}
	}
	each(len(c.trucks), func(i int) { c.prepare(c.trucks[i]) })
}

// prepare gives a truck its shapes, lengths and weight.
func (c *computer) prepare(t *truckJob) {
	rules := c.e.Rules
	t.gross, t.base = t.car.GrossLb*measure.NewtonsPerPound, 0
	if b := t.car.TruckWheelbase; b.Measured() {
		t.base = b.As
	}
	if t.gross == 0 || t.base == 0 {
		if t.car.Kind != "freight" && t.car.Kind != "" {
			t.broken = "weight and truck wheelbase of a " + t.car.Kind + " car are needed in cars.csv"
			return
		}
		if t.gross == 0 {
			t.gross = rules.value("car_weight") * measure.NewtonsPerPound
		}
		if t.base == 0 {
			t.base = rules.value("truck_wheelbase")
		}
	}
	if t.car.Kind == "freight" || t.car.Kind == "" {
		t.warp = rules.value("warp_stiffness") * 1e9
	}
	for i, w := range t.wheels {
		if err := c.shape(t, i, w); err != nil {
			t.broken = err.Error()
			return
		}
		t.sizes[i] = rules.value("wheel_diameter")
		if w != nil {
			if d := w.Read(wheel.Diameter); d.Measured() {
				t.sizes[i] = d.As
			}
		}
	}
	for a := range 2 {
		t.backs[a] = t.shapes[written][2*a].BackToBack
		for _, w := range t.wheels[2*a : 2*a+2] {
			if w != nil && w.Read(wheel.BackToBack).Measured() {
				t.backs[a] = w.Read(wheel.BackToBack).As
			}
		}
		if t.backs[a] == 0 {
			t.broken = "back-to-back is not known"
		}
	}
	for a := range 2 {
		if d := math.Abs(t.sizes[2*a] - t.sizes[2*a+1]); d > 25 {
			t.broken = fmt.Sprintf("diameters on one axle differ by %.0f mm", d)
		}
	}
}

// shape rebuilds a wheel of a truck at the ends of its readings. A wheel that is not in
// the sheet, or whose hollow was not read, stands as new there and is named.
func (c *computer) shape(t *truckJob, i int, w *wheel.Wheel) error {
	if w == nil {
		s, err := c.design(c.data.Designs[0].Name)
		if err != nil {
			return err
		}
		for end := range numEnds {
			t.shapes[end][i] = s
		}
		if t.car.ID != "" {
			t.unread = append(t.unread, "a wheel that is not in the sheet")
		}
		return nil
	}
	design, _, err := c.designOf(w)
	if err != nil {
		return err
	}
	if !w.Read(wheel.TreadHollow).Measured() {
		t.unread = append(t.unread, w.Position.String())
	}
	r := w.WornReadings()
	for end := range numEnds {
		s, aside, err := c.wornShape(design, atEnd(r, end))
		if err != nil {
			return fmt.Errorf("%s: %w", w.Position, err)
		}
		t.shapes[end][i] = s
		if end == written && len(aside) > 0 {
			t.notes = append(t.notes, fmt.Sprintf("%s of %s contradicts the other readings and was set aside", named(aside), w.Position))
		}
	}
	return nil
}

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

// run is a truck on a curve in one way and state.
func (c *computer) run(t *truckJob, j *curveJob, w way, end int) TruckRun {
	state := end
	if end == wetRails {
		state = written
	}
	axle := func(n int) contact.Axle {
		high, low := 2*n, 2*n+1
		if w.rightHigh {
			high, low = low, high
		}
		return contact.Axle{Near: t.shapes[state][high], Far: t.shapes[state][low], NearDiameter: t.sizes[high], FarDiameter: t.sizes[low], BackToBack: t.backs[n],
			NearRail: j.rails[0], FarRail: j.rails[1], Gauge: j.gauge[state], GaugeHeight: j.height, Cant: j.cant}
	}
	lead, trail := 0, 1
	if w.reversed {
		lead, trail = 1, 0
	}
	flange := func(n int) float64 { // of the high wheel, as read
		high := 2 * n
		if w.rightHigh {
			high++
		}
		if t.wheels[high] == nil {
			return 0
		}
		x := t.wheels[high].Read(wheel.FlangeThickness)
		switch {
		case !x.Measured(), state == written && x.OneSided():
			return 0
		case state == written:
			return x.As
		case state == wornEnd:
			return x.Lo
		}
		return x.Hi
	}
	rules := c.e.Rules
	r := TruckRun{Lead: axle(lead), Trail: axle(trail), Gross: t.gross, Wheelbase: t.base, CentreHeight: rules.value("gravity_height"),
		TurningMoment: rules.value("turning_moment") * 1e6, WarpStiffness: t.warp, Curve: j.curve, Friction: j.dry,
		Allowance: rules.value(AllowanceSetting(j.f.Holding)), LoadedGauge: j.read, LeastBearing: rules.value("least_bearing"), Flange: [2]float64{flange(lead), flange(trail)}}
	if (t.number == 1) == w.reversed { // the truck at the rear of the car
		r.TurningMoment = -r.TurningMoment
	}
	if end == wetRails {
		r.Friction = j.damp
	}
	return r
}

// solve runs a truck; one that is judged again is solved once.
func (c *computer) solve(r TruckRun) (TruckAnswer, error) {
	if c.again {
		return c.runs.get(r, func() (TruckAnswer, error) { return c.runTruck(r) })
	}
	return c.runTruck(r)
}

func (c *computer) runTruck(r TruckRun) (TruckAnswer, error) {
	lead, err := c.table(r.Lead, r.Gross/8)
	if err != nil {
		return TruckAnswer{}, err
	}
	trail, err := c.table(r.Trail, r.Gross/8)
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.On(lead, trail)
}

// looked is how many of a truck's ways are looked at with the ends of the readings: the
// worst ones as written.
const looked = 2

// truckOn is what a truck comes to on a curve.
func (c *computer) truckOn(t *truckJob, j *curveJob) (Computed, way) {
	undecided := func(why string) Computed { return Computed{Verdict: Undecided, Why: why} }
	type tried struct {
		way way
		m   margins
	}
	var list []tried
	for _, w := range ways() {
		a, err := c.solve(c.run(t, j, w, written))
		if why := openCause(a, err); why != "" {
			return undecided(why), w
		}
		list = append(list, tried{w, marginsOf(a)})
	}
	least := func(m margins) float64 {
		v := math.Inf(1)
		for k := range numMechanisms {
			if !math.IsNaN(m[k]) {
				v = math.Min(v, scaled(m, k))
			}
		}
		return v
	}
	slices.SortStableFunc(list, func(a, b tried) int { return cmp.Compare(least(a.m), least(b.m)) })
	out, at := Computed{Verdict: Clear}, way{}
	for i, x := range list[:looked] {
		all := []margins{x.m}
		for _, end := range []int{wornEnd, newEnd, wetRails} {
			a, err := c.solve(c.run(t, j, x.way, end))
			if why := openCause(a, err); why != "" {
				if end == wetRails {
					continue
				}
				return undecided(why), x.way
			}
			all = append(all, marginsOf(a))
		}
		if k := c.e.Rules.gather(all, numEnds, t.hollow); i == 0 || k.Verdict < out.Verdict {
			out, at = k, x.way
		}
	}
	return out, at
}

// onCurve computes every truck on a curve and gives each wheel its share.
func (c *computer) onCurve(j *curveJob, t *placeTable) {
	if j.broken != "" {
		for i := range t.computed {
			t.computed[i] = &Computed{skipped: true, Why: j.broken}
		}
		return
	}
	base := c.baseline(j)
	t.anyWheel = t.anyWheel || base.Verdict == Conflict
	each(len(c.trucks), func(i int) {
		truck := c.trucks[i]
		if truck.broken != "" {
			for n, x := range truck.wheels {
				if x != nil {
					t.computed[truck.index[n]] = &Computed{skipped: true, Why: truck.broken}
				}
			}
			return
		}
		k, w := c.truckOn(truck, j)
		k.Why = c.why(truck, j, k, w)
		if len(truck.unread) > 0 && k.Mechanism != "" {
			k.Why += "; hollow not read at " + strings.Join(truck.unread, ", ") + " and taken as none, so nothing is clear"
			if k.Verdict == Clear {
				k.Verdict = Undecided
			}
		}
		k.truck, k.curve, k.way, k.settle = truck, j, w, wheelMask(wheel.TreadHollow)
		for n, x := range truck.wheels {
			if x == nil {
				continue
			}
			own := k
			if q := x.Read(wheel.TreadHollow); truck.hollow && q.Measured() && q.As < noHollow && k.Verdict != Clear {
				own = base
				own.Why = "this wheel is not hollow, so it answers for a truck on new wheels here; another wheel of its truck: " + k.Verdict.String()
				if own.Mechanism != "" {
					own.Why += " (" + k.Mechanism + ")"
				}
			}
			t.computed[truck.index[n]] = &own
		}
	})
}

// baseline is a truck on new reference wheels.
func (c *computer) baseline(j *curveJob) Computed {
	t := &truckJob{car: &wheel.Car{Kind: "freight"}, number: 1, index: [4]int{-1, -1, -1, -1}}
	c.prepare(t)
	k, w := c.truckOn(t, j)
	k.truck, k.curve, k.way = t, j, w
	k.Why = "a truck on new wheels: " + c.why(t, j, k, w)
	return k
}

// why says how a computed verdict came about and what is not in it.
func (c *computer) why(t *truckJob, j *curveJob, k Computed, w way) string {
	parts := []string{k.Why}
	if k.Mechanism != "" {
		parts = []string{fmt.Sprintf("%s of the truck at the %s end, %s, dry rail", k.Mechanism, [3]string{"", "B", "A"}[t.number], w)}
	}
	notes := slices.Concat(j.notes, t.notes)
	slices.Sort(notes)
	parts = append(parts, slices.Compact(notes)...)
	warp := "twist and load imbalance are not in the model"
	if r := j.f.Read(track.Warp); r.Measured() {
		warp += " (warp read here: " + r.Written + ")"
	}
	return strings.Join(append(parts, warp), "; ")
}
