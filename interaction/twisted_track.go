package interaction

import (
	"math"
	"slices"

	"flangeway/configs"
	"flangeway/interaction/load"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// carLoad has the figures of a car that enter the loads of its wheels.
type carLoad struct {
	car       load.Car
	axles     int
	framed    bool // of a kind whose truck frames do not pitch freely
	bodyRead  bool
	soft      float64 // a soft body, N·mm/rad
	centers   span    // mm
	imbalance span    // percent
	height    float64
	lacks     []string // for want of which nothing is known
}

// twisted is what of a place does.
type twisted struct {
	warp             span    // mm, over
	over             float64 // mm
	noWarp           float64 // if the place has no column for it: what its class allows, mm
	tilt             span    // by how much the elevation is over or under what the speed balances, mm
	warpBit, tiltBit Mask
	speed            []string // columns that would narrow the tilt
}

const foot = 12 * measure.MMPerInch

// carUnderLoad makes the car's part.
func carUnderLoad(s *wheelSum) {
	r, of := s.rules, s.w.Car
	c := &carLoad{height: r.Value("gravity_height"), axles: axlesOf(of), bodyRead: of.Body != "",
		framed: of.Kind != "freight" && of.Kind != ""}
	s.car, c.soft = c, r.bodyStiffness("soft")
	c.car = r.loadCar(of.GrossLb*measure.NewtonsPerPound, of.Body)
	if of.GrossLb == 0 {
		c.lacks = append(c.lacks, "gross_lb")
	}
	if c.axles != 4 && c.axles != 6 {
		c.lacks = append(c.lacks, "axles (only cars of four or six are in the model)")
	}
	if len(c.lacks) == 0 {
		if _, err := c.car.Twist(0); err != nil {
			c.lacks = append(c.lacks, "settings center_plate_radius and side_bearing_spacing that fit each other")
		}
	}
	set := r.Value("truck_centers")
	c.centers = spanOf(of.TruckCenters, span{least: set, as: set, most: set,
		tried: math.Max(set, r.Value("unread_truck_centers"))})
	c.imbalance = spanOf(of.LoadImbalance, span{tried: r.Value("unread_load_imbalance")})
	s.enterCar(of, c)
}

// loadCar is a car of a weight in N and a body as the settings have its springs and bearings.
func (r *Rules) loadCar(gross float64, body string) load.Car {
	return load.Car{Weight: gross, Body: r.bodyStiffness(body),
		Nest:        r.Value("nest_stiffness") * 1000 * measure.NewtonsPerPound / measure.MMPerInch,
		NestSpacing: r.Value("nest_spacing"), PlateRadius: r.Value("center_plate_radius"),
		Bearings: r.Value("side_bearing_spacing"), Clearance: r.Value("side_bearing_clearance")}
}

// Unloading is a car on twisted or tilted track, each figure one value: lengths mm, the weight N.
type Unloading struct {
	Gross, CentreHeight, TruckCenters float64
	Body                              string  // "": as the settings have it
	Warp, WarpOver                    float64 // as an even ramp
	Over                              float64 // elevation over balance, negative under it
	Imbalance                         float64 // percent
}

// Shares are what of its static load the lightest wheel loses.
func (r *Rules) Shares(u Unloading) (s load.Shares, err error) {
	_, ramp, _, err := load.Within(u.Warp, u.WarpOver, u.TruckCenters)
	if err != nil {
		return s, err
	}
	if s.Twist, err = r.loadCar(u.Gross, u.Body).Twist(ramp); err != nil {
		return s, err
	}
	if s.Elevation, err = load.Elevation(u.Over, u.CentreHeight); err != nil {
		return s, err
	}
	s.Imbalance, err = load.Imbalance(u.Imbalance)
	return s, err
}

// Lost are the shares of its static load that the lightest wheel of a car of a weight in N loses at a place:
// with the readings as written, and with the most and the least of them. What was not read takes nothing.
func (r *Rules) Lost(car *wheel.Car, f *track.Feature, gross float64) (as, most, least load.Shares) {
	w, p := &wheelSum{sum: sum{rules: r}, w: &wheel.Wheel{Car: car}}, &PlaceSum{sum: sum{rules: r}, F: f}
	carUnderLoad(w)
	twistedTrack(p)
	w.car.car.Weight = gross
	return w.car.shares(p.twisted, asRead), w.car.shares(p.twisted, atMost), w.car.shares(p.twisted, atLeast)
}

// enterCar keeps what of a car entered.
func (s *wheelSum) enterCar(of *wheel.Car, c *carLoad) {
	if !s.recording {
		return
	}
	weight := measure.Reading{}
	if of.GrossLb > 0 {
		weight = measure.Exact(of.GrossLb, figure(of.GrossLb)+" lb")
		weight.Place = of.Place
	}
	s.Entered = append(s.Entered, Entered{Side: "wheel", Quantity: "gross_lb", Reading: weight, Figure: true})
	for _, x := range []struct {
		quantity string
		read     measure.Reading
		plain    bool
		unread   string
	}{{"truck_centers", of.TruckCenters, false, "unread_truck_centers"},
		{"load_imbalance", of.LoadImbalance, true, "unread_load_imbalance"}} {
		if x.read.Measured() {
			s.Entered = append(s.Entered, Entered{Side: "wheel", Quantity: x.quantity, Reading: x.read,
				Figure: x.plain})
			continue
		}
		s.note(x.unread)
	}
	if !c.centers.read {
		s.note("truck_centers")
	}
	body := of.Body
	if body == "" {
		s.note("body")
		body = s.rules.word("body")
	}
	if body != "stiff" {
		s.note("body_" + body)
	}
	for _, name := range []string{"nest_stiffness", "nest_spacing", "center_plate_radius", "side_bearing_spacing",
		"side_bearing_clearance", "gravity_height"} {
		s.note(name)
	}
}

// axlesOf is the number of a car's axles; if its sheet gives none, four or six by the last one that has wheels.
func axlesOf(c *wheel.Car) int {
	if c.Axles != 0 || len(c.AxleList) == 0 {
		return c.Axles
	}
	if last := c.AxleList[len(c.AxleList)-1].Number; last > 4 {
		return last + last%2
	}
	return 4
}

// bodyStiffness is that of a body in twist, N·mm/rad; of a car whose sheet gives none as the settings have it.
func (r *Rules) bodyStiffness(body string) float64 {
	if body == "" {
		body = r.word("body")
	}
	switch body {
	case "stiff":
		return math.Inf(1)
	case "soft":
		return r.Value("body_soft") * 1e9
	}
	return r.Value("body_ordinary") * 1e9
}

// word is a setting that is a word.
func (r *Rules) word(name string) string {
	s, _ := r.settings.Setting(name)
	return s.Written
}

// spanOf is a reading as one of those of a load, else what stands in its place.
func spanOf(r measure.Reading, unread span) span {
	if !r.Measured() {
		return unread
	}
	return span{least: r.Lo, as: r.As, most: r.Hi, tried: r.Hi, read: true, blurred: r.OneSided()}
}

// twist is the share that a difference of crosslevel takes at one end; a body that was not read may be a soft one, and
// is stiff at the worst.
func (c *carLoad) twist(difference float64, end int) float64 {
	car := c.car
	switch {
	case c.bodyRead:
	case end == atWorst:
		car.Body = math.Inf(1)
	case end == atLeast:
		car.Body = math.Min(car.Body, c.soft)
	}
	v, err := car.Twist(difference)
	if err != nil { // more twist than the formula holds for: all that twist can take
		return car.Bearings / load.ContactSpacing
	}
	return v
}

// tilt is the share that an elevation over or under balance takes.
func (c *carLoad) tilt(over float64) float64 {
	v, err := load.Elevation(over, c.height)
	if err != nil { // more than the formula holds for
		return 1
	}
	return v
}

// between is the difference of crosslevel between the truck centres at one end, mm.
func (t *twisted) between(c *carLoad, end int) float64 { return t.betweenAt(c.centers.at(end), end) }

func (t *twisted) betweenAt(centers float64, end int) float64 {
	least, ramp, most, err := load.Within(t.warp.at(end), t.over, centers)
	switch {
	case err != nil:
		return 0
	case end == asRead:
		return ramp
	case end == atLeast:
		return least
	}
	return most
}

// twistedTrack makes the place's part.
func twistedTrack(s *PlaceSum) {
	f, r := s.F, s.rules
	t := &twisted{over: f.WarpOverFt * foot}
	s.twisted = t
	allowed := r.federalMost("spot", track.Warp.String(), f.Class)
	if f.Kind == track.Switch {
		t.noWarp, t.over = allowed, track.WarpFt*foot
	} else {
		t.warpBit = TrackMask(track.Warp)
		short := f.Read(track.WarpShort).Hi // 0 if it was not read
		t.warp = spanOf(f.Read(track.Warp), span{tried: math.Max(allowed, short)})
		// Two points within 10 ft lie within the distance of warp too: one of two readings that contradict that is
		// wrong, and nobody knows which.
		if t.warp.read && short > t.warp.most {
			t.warp.most, t.warp.tried = short, math.Max(t.warp.tried, short)
		}
		if !t.warp.read {
			t.over = track.WarpFt * foot
		}
	}
	entered := []track.Quantity{track.Warp, track.Crosslevel}
	if f.Kind == track.Curve {
		entered = []track.Quantity{track.Warp, track.Elevation, track.CrosslevelLeast, track.Degree}
		t.tiltBit = TrackMask(track.Elevation)
		t.onCurve(f, r)
	} else {
		t.tiltBit = TrackMask(track.Crosslevel)
		t.onTangent(f, r)
	}
	for _, q := range entered {
		if f.Read(q).Measured() {
			s.enter(TrackBit+uint(q), s.of(q))
		}
	}
	s.Lo, s.Hi = t.warp.most, t.tilt.most // tells features apart that are judged otherwise
}

// onTangent is the tilt of a spot or switch: its crosslevel, whichever rail is high.
func (t *twisted) onTangent(f *track.Feature, r *Rules) {
	t.tilt = spanOf(f.Read(track.Crosslevel), span{tried: r.federalMost("spot", track.Crosslevel.String(), f.Class)})
	if !t.tilt.read {
		return
	}
	lo, hi := t.tilt.least, t.tilt.most
	t.tilt.as, t.tilt.most = math.Abs(t.tilt.as), math.Max(math.Abs(lo), math.Abs(hi))
	t.tilt.least = math.Max(0, math.Max(lo, -hi))
	t.tilt.tried = t.tilt.most
}

// onCurve is the tilt of a curve, over every speed from standing to its own. A speed that is not known is tried up to
// the unbalance that 49 CFR 213.57 allows.
func (t *twisted) onCurve(f *track.Feature, r *Rules) {
	d := f.Read(track.Degree)
	balance := func(degree float64) float64 { return track.BalancedElevation(degree, f.Speed) }
	known := f.SpeedKnown && d.Measured()
	under := 0.0 // that the unbalance may be if the speed is not known
	if !known {
		under = track.UnbalanceIn * measure.MMPerInch
		if !f.SpeedKnown {
			t.speed = append(t.speed, "speed_mph")
		}
	}
	// at is the tilt at the worse of both speeds, of an elevation e and a degree.
	at := func(e, degree float64) float64 {
		if !known {
			return math.Abs(e)
		}
		return math.Max(math.Abs(e), math.Abs(e-balance(degree)))
	}
	one := func(e measure.Reading) span {
		s := span{as: at(e.As, d.As), read: true, blurred: e.OneSided() || d.Measured() && d.OneSided()}
		for _, x := range []float64{e.Lo, e.Hi} {
			for _, g := range []float64{d.Lo, d.Hi} {
				s.most = math.Max(s.most, at(x, g))
			}
		}
		level := 0.0
		if known {
			level = balance(d.Lo) / 2
		}
		s.least = at(math.Max(e.Lo, math.Min(level, e.Hi)), d.Lo)
		s.tried = math.Max(s.most, under)
		return s
	}
	most := math.Max(r.federalMost("curve", track.Elevation.String(), f.Class),
		-r.federalLeast("curve", track.Elevation.String(), f.Class))
	if known {
		most = math.Max(most, balance(d.Hi)-r.federalLeast("curve", track.Elevation.String(), f.Class))
	}
	t.tilt = span{tried: most}
	if e := f.Read(track.Elevation); e.Measured() {
		t.tilt = one(e)
	}
	if e := f.Read(track.CrosslevelLeast); e.Measured() {
		low := one(e)
		t.tilt.least, t.tilt.as = math.Max(t.tilt.least, low.least), math.Max(t.tilt.as, low.as)
		t.tilt.most, t.tilt.tried = math.Max(t.tilt.most, low.most), math.Max(t.tilt.tried, low.tried)
		t.tilt.blurred = t.tilt.blurred || low.blurred
	}
}

// federalMost is the most of a quantity that the federal rules allow on a class of track, mm: of class 1 if it is not
// known, or excepted, which has none. federalLeast is the least.
func (r *Rules) federalMost(subject, quantity, class string) float64 {
	return r.federal(subject, quantity, class, ">")
}

func (r *Rules) federalLeast(subject, quantity, class string) float64 {
	return r.federal(subject, quantity, class, "<")
}

func (r *Rules) federal(subject, quantity, class, op string) float64 {
	if class == "" || class == "excepted" {
		class = "1"
	}
	for _, rule := range r.data.Sets[configs.Federal].Rules {
		if rule.Subject == subject && len(rule.Condemns) == 1 && rule.Condemns[0].Quantity == quantity &&
			rule.Condemns[0].Op == op && slices.Contains(rule.Classes, class) {
			return rule.Condemns[0].Value
		}
	}
	return 0
}

// drawnTwist adds how the rails lie out of level, and what the lightest wheel keeps of its load.
func drawnTwist(d Drawn) {
	for name, from := range map[string][]string{"tilt": {track.Elevation.String(), track.Crosslevel.String()},
		"difference": {track.Warp.String()}} {
		d.Read[name] = Dimension{Text: "not read"}
		for _, column := range from {
			if x, ok := d.Read[column]; ok {
				d.Read[name] = x
			}
		}
	}
	if d.Lo == nil || d.Hi == nil {
		return
	}
	keeps := func(margin float64) float64 { return math.Max(0, margin+100*load.Least) }
	x := Dimension{MM: keeps(*d.Lo), Lo: keeps(*d.Lo), Hi: keeps(*d.Hi)}
	x.Text = tenths(x.Lo) + " to " + tenths(x.Hi) + " percent"
	d.Read["kept"] = x
}
