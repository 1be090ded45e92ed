package passage

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"flangeway/track/shape"
)

// Carrier is the part that a wheel rests on.
type Carrier string

// The carriers of a frog and a switch.
const (
	Wing  Carrier = "wing"
	Point Carrier = "point"
	Both  Carrier = "both"
	Floor Carrier = "floor"
	Stock Carrier = "stock"
)

// Station is the wheel at one place of a frog.
type Station struct {
	X       float64 // mm from the theoretical point, positive to the heel
	Z       float64 // height of the tread at the tape line over the tread plane, mm, positive up
	RestsOn Carrier
	Y       float64 // where it rests, across from the gauge line, mm
	// Tip is the clearance in mm of the flange tip over the floor, the wheel on its tread; below 0 the flange bears on
	// the floor by that much. Floored tells that there is a floor.
	Tip     float64
	Floored bool
}

// Dip is a place where the wheel's path turns upward at once: it comes from one supporting place to another.
type Dip struct {
	X        float64
	From, To Carrier
	Angle    float64 // whole, rad
}

// Strike is a floor that carries the flange, or the blunt end of the point that is met.
type Strike struct {
	What     string  // floor or point
	How      string  // step, ramp, slope or end
	From, To float64 // stations between which it carries, mm
	Angle    float64 // at which it is met, rad
	Rise     float64 // by which it lifts the wheel at most, mm
	// Met is the overlap in mm at which it is met: at the floor's edge if that is a step
	// or a ramp, else the whole rise.
	Met float64
	// Off is the angle in rad by which the path turns upward where the wheel comes back to
	// its tread; 0 for the blunt point.
	Off float64
	// Left is the overlap in mm at which it is left, like Met.
	Left float64
}

// Course is how a wheel rises and falls on its way.
type Course struct {
	// Transfer is the last station at which the load passes to the point or back; Transfers tells that there is one.
	Transfer  float64
	Transfers bool
	Lift      float64 // greatest rise over the height at the first station met, mm
	LiftX     float64
	Drop      float64 // greatest fall from a height reached before, mm
	DropX     float64
	Dips      []Dip
	Dip       Dip // the one of the greatest angle; Angle 0: none
}

// FrogPath is a wheel's path through a frog at one position across, in order of x.
type FrogPath struct {
	Place    Place
	Stations []Station
	Course
	Strikes []Strike
	// FloorMargin is the least tip clearance in mm, at FloorX.
	FloorMargin, FloorX float64
	// PointMargin is the least distance in mm across between the flange and the side of the blunt point, the wheel on
	// the wing: below 0 the flange meets the point end-on. PointMet tells that it is known.
	PointMargin float64
	PointMet    bool
	// WingRise is the greatest rise in mm over the height at the toe while the wing
	// carries, not counting what the tread is worn: what a false flange climbs. AtTip is
	// the height at which the wing carries the wheel beside the blunt point.
	WingRise, AtTip float64
}

// FrogSolution is a wheel through a frog at every position that was tried.
type FrogSolution struct {
	Paths []*FrogPath // nearest to the point first
	// Shown is the path held by the guard; if nothing holds the wheel, the one of the greatest dip.
	Shown *FrogPath
	// FloorMargin is the least tip clearance in mm over all of them.
	FloorMargin float64
}

// FrogOptions are how finely and which way a frog is passed.
type FrogOptions struct {
	Step     float64 // mm; 0: 1.25 mm for each of the frog's number
	Trailing bool    // from heel to toe
	// OnlyHeld leaves the other positions out if the guard rail or a raised guard holds the wheel: a third of the work.
	OnlyHeld bool
	// Heights leaves dips and strikes out: heights, clearances and rises alone.
	Heights bool
}

// stepPerNumber is the distance of stations in mm per frog number if none is given: it keeps their number.
const stepPerNumber = 1.25

// maxStations bounds the work of one passage; fewer than minStations would pass over what happens.
const (
	minStations = 60
	maxStations = 100_000
)

// Frog takes a wheel through a frog: at each station the height at which its shape
// rests on the shapes of wing, point or floor, the roundness of the wheel along the track
// included. It errs for positions that no axle can have and for steps that are too fine.
func Frog(f *shape.FrogModel, w *Wheel, a Axle, o FrogOptions) (*FrogSolution, error) {
	c, err := Cut(f, o.Step)
	if err != nil {
		return nil, err
	}
	return c.Pass(w, a, o)
}

// Cut cuts a frog every step (mm; 0: 1.25 mm for each of its number) for the wheels that pass it.
func Cut(f *shape.FrogModel, step float64) (*Cuts, error) {
	if f == nil {
		return nil, fmt.Errorf("%w: a frog or a wheel is missing", ErrInput)
	}
	if step == 0 {
		step = stepPerNumber * f.Plan.Number
	}
	if n := (f.Heel - f.Toe) / step; !(step > 0) || !(n >= minStations && n <= maxStations) {
		return nil, fmt.Errorf("%w: step %g mm (%d to %d stations)", ErrInput, step, minStations, maxStations)
	}
	return sections(f, step), nil
}

// Pass is [Frog] through a frog that has been cut, whatever the step of the options.
func (c *Cuts) Pass(w *Wheel, a Axle, o FrogOptions) (*FrogSolution, error) {
	places, err := a.Places(c.frog, w)
	if err != nil {
		return nil, err
	}
	if o.OnlyHeld && places[0].Held {
		places = places[:1]
	}
	return c.through(w, places, o)
}

// through takes a wheel through at each of the positions.
func (c *Cuts) through(w *Wheel, places []Place, o FrogOptions) (*FrogSolution, error) {
	s := &FrogSolution{FloorMargin: math.Inf(1)}
	for _, p := range places {
		path, err := c.run(w, p, o)
		if err != nil {
			return nil, err
		}
		s.Paths = append(s.Paths, path)
		s.FloorMargin = math.Min(s.FloorMargin, path.FloorMargin)
		if s.Shown == nil || !s.Shown.Place.Held && path.Dip.Angle > s.Shown.Dip.Angle {
			s.Shown = path
		}
	}
	return s, nil
}

// model is a frog or a rail of a diamond as it is cut.
type model interface {
	Section(x float64) shape.FrogSection
	FloorAt(x float64) (z float64, ok bool)
	FloorEnds() (from, to float64)
}

// Cuts are a frog's sections at the stations. They are not changed by use.
type Cuts struct {
	frog     *shape.FrogModel // nil for a diamond
	model    model
	ramp     float64 // length per height of the floor's ramps, 0: blunt
	carries  bool    // the floor is made to carry the flange
	sections []shape.FrogSection
	x        []float64
}

// sections cuts the frog every step and where something begins or ends.
func sections(f *shape.FrogModel, step float64) *Cuts {
	n := int(math.Ceil((f.Heel - f.Toe) / step))
	xs := make([]float64, 0, n+7)
	for i := range n + 1 {
		xs = append(xs, f.Toe+(f.Heel-f.Toe)*float64(i)/float64(n))
	}
	xs = append(xs, f.Throat, f.Tip, f.Level, f.FloorFrom, f.FloorTo)
	if back := f.Tip + f.Plan.PointWornBack; f.Plan.PointWornDown > 0 && back < f.Heel {
		xs = append(xs, back)
	}
	c := &Cuts{frog: f, model: f, ramp: f.Plan.FloorRamp, carries: f.Plan.Type == shape.BearingFrog}
	c.cut(xs, f.Toe, f.Heel)
	return c
}

// cut makes the sections at stations that lie between two of them.
func (c *Cuts) cut(xs []float64, from, to float64) {
	sort.Float64s(xs)
	c.sections, c.x = make([]shape.FrogSection, 0, len(xs)), make([]float64, 0, len(xs))
	for _, x := range xs {
		if n := len(c.x); x < from || x > to || n > 0 && x-c.x[n-1] < 1e-6 {
			continue
		}
		c.sections = append(c.sections, c.model.Section(x))
		c.x = append(c.x, x)
	}
}

// run takes the wheel along the sections at one position across.
func (c *Cuts) run(w *Wheel, p Place, o FrogOptions) (*FrogPath, error) {
	n := len(c.sections)
	none := seat{height: math.Inf(-1)}
	wing, point, floor := make([]seat, n), make([]seat, n), make([]seat, n)
	onWing, onPoint, onHeel := w.rester(p.Tape), w.rester(p.Tape), w.rester(p.Tape)
	for i, s := range c.sections {
		wing[i], point[i], floor[i] = none, none, none
		if r, ok := onWing(s.Wing); ok {
			wing[i] = r
		}
		if r, ok := onPoint(s.Point); ok {
			point[i] = r
		}
		if r, ok := onHeel(s.Heel); ok && r.height > point[i].height {
			point[i] = r
		}
		if s.Floored {
			floor[i] = seat{w.Height - s.Floor, w.tipY + p.Tape}
		}
	}
	byWing := rolled(c.x, wing, w.Radius)
	byPoint := rolled(c.x, point, w.Radius)
	lowest, top := math.Inf(1), math.Inf(-1) // of what the tread rests on, and the floor's
	for i := range c.x {
		rests := math.Max(wing[i].height, point[i].height)
		if c.frog == nil { // a wheel bridges the cuts of a diamond
			rests = math.Max(byWing.h[i], byPoint.h[i])
		}
		if math.IsInf(rests, 0) {
			return nil, fmt.Errorf("%w %.0f mm from the theoretical point, its tape line %.1f mm from the gauge line "+
				"(held by %s)", ErrUnsupported, c.x[i], p.Tape, p.Why)
		}
		lowest, top = math.Min(lowest, rests), math.Max(top, floor[i].height)
	}
	var byFloor *bearing
	if !o.Heights || top > lowest-graze { // else no flange comes to it
		byFloor = rolled(c.x, floor, w.Radius+w.Height)
	}
	path := &FrogPath{Place: p, FloorMargin: math.Inf(1)}
	path.lay(c.sections, w, byWing, byPoint, byFloor)
	path.transfers(c, byWing, byPoint)
	if !o.Heights {
		path.kinks(c, w, byWing, byPoint)
		path.strikes(c, w, byWing, byPoint, byFloor, o.Trailing)
	}
	if c.carries {
		path.carried()
	}
	if c.frog != nil {
		path.beside(c.frog, c.sections, w, byWing)
	}
	path.levels(o.Trailing)
	return path, nil
}

// lay fills the stations; floor is nil if it nowhere carries the flange.
func (p *FrogPath) lay(s []shape.FrogSection, w *Wheel, wing, point, floor *bearing) {
	p.Stations = make([]Station, 0, len(s)+1)
	for i := range s {
		st := Station{X: s[i].X, Floored: s[i].Floored}
		tread := math.Max(wing.h[i], point.h[i])
		st.Z, st.Y, st.RestsOn = wing.h[i], wing.y[i], Wing
		if point.h[i] > wing.h[i] {
			st.Z, st.Y, st.RestsOn = point.h[i], point.y[i], Point
		}
		if st.Floored {
			st.Tip = s[i].Floor + tread - w.Height
			if st.Tip < p.FloorMargin {
				p.FloorMargin, p.FloorX = st.Tip, st.X
			}
		}
		if st.RestsOn == Wing {
			p.WingRise = math.Max(p.WingRise, (st.Z+s[i].Wear)-(math.Max(wing.h[0], point.h[0])+s[0].Wear))
		}
		if floor != nil && floor.h[i] > tread {
			st.Z, st.Y, st.RestsOn = floor.h[i], floor.y[i], Floor
		}
		p.Stations = append(p.Stations, st)
	}
}

// jump is by how much in mm across the place of contact must move from one station to the
// next to count as another place.
const jump = 3.0

// transfers finds where the load passes between wing and point and by how much the path turns there.
func (p *FrogPath) transfers(c *Cuts, wing, point *bearing) {
	s := c.sections
	var at []Station // put in afterwards
	for i := 0; i+1 < len(s); i++ {
		d0, d1 := wing.h[i]-point.h[i], wing.h[i+1]-point.h[i+1]
		if d0 >= 0 == (d1 >= 0) || math.IsInf(d0, 0) || math.IsInf(d1, 0) {
			continue
		}
		x, a, b := crossing(wing, point, s[i].X, s[i+1].X)
		from, to := Wing, Point
		if d0 < 0 {
			from, to = Point, Wing
		}
		p.dip(Dip{x, from, to, math.Abs(a.slope - b.slope)})
		p.Transfer, p.Transfers = x, true
		if fl := p.Stations[i]; fl.RestsOn != Floor && p.Stations[i+1].RestsOn != Floor {
			st := Station{X: x, Z: a.height, RestsOn: Both, Y: wing.y[i], Floored: s[i].Floored && s[i+1].Floored}
			if st.Floored { // the path is lowest where two supports carry alike
				st.Tip = fl.Tip + a.height - fl.Z + (x-s[i].X)/(s[i+1].X-s[i].X)*(s[i+1].Floor-s[i].Floor)
				if st.Tip < p.FloorMargin {
					p.FloorMargin, p.FloorX = st.Tip, st.X
				}
			}
			at = append(at, st)
		}
	}
	p.Stations = append(p.Stations, at...)
	slices.SortStableFunc(p.Stations, func(a, b Station) int { return cmp.Compare(a.X, b.X) })
}

// dip notes a dip.
func (c *Course) dip(d Dip) {
	c.Dips = append(c.Dips, d)
	if d.Angle > c.Dip.Angle {
		c.Dip = d
	}
}

// kinks finds where the place of contact on one carrier moves at once, and by how much the path turns upward there.
func (p *FrogPath) kinks(c *Cuts, w *Wheel, wing, point *bearing) {
	s := c.sections
	for i := 1; i+2 < len(s); i++ {
		if (wing.h[i] >= point.h[i]) != (wing.h[i+1] >= point.h[i+1]) {
			continue // a transfer
		}
		for _, k := range []struct {
			b *bearing
			c Carrier
		}{{wing, Wing}, {point, Point}} {
			if k.b.h[i] < math.Max(wing.h[i], point.h[i]) || math.IsInf(k.b.raw[i-1].height, 0) ||
				math.IsInf(k.b.raw[i+2].height, 0) {
				continue
			}
			if math.Abs(k.b.raw[i+1].y-k.b.raw[i].y) < jump {
				continue
			}
			if x, angle, ok := c.kink(w, p.Place.Tape, k.c, s[i].X, s[i+1].X); ok {
				p.dip(Dip{x, k.c, k.c, angle})
			}
		}
	}
	sort.SliceStable(p.Dips, func(i, j int) bool { return p.Dips[i].X < p.Dips[j].X })
}

// kink finds between x0 and x1 where the contact on one carrier moves at once, and by how
// much the path turns upward there; ok is false if it moves steadily or turns down.
func (c *Cuts) kink(w *Wheel, tape float64, on Carrier, x0, x1 float64) (x, angle float64, ok bool) {
	at := func(x float64) seat {
		s := c.model.Section(x)
		heads := []shape.Head{s.Point, s.Heel}
		if on == Wing {
			heads = []shape.Head{s.Wing}
		}
		best := seat{height: math.Inf(-1)}
		for _, h := range heads {
			if r, ok := w.rest(h, tape); ok && h.There() && r.height > best.height {
				best = r
			}
		}
		return best
	}
	a, b := at(x0), at(x1)
	for x1-x0 > 0.05 {
		if math.Abs(b.y-a.y) < jump {
			return 0, 0, false
		}
		x = (x0 + x1) / 2
		if m := at(x); math.Abs(m.y-a.y) > math.Abs(b.y-m.y) {
			x1, b = x, m
		} else {
			x0, a = x, m
		}
	}
	const by = 1.0
	angle = (at(x1+by).height-b.height)/by - (a.height-at(x0-by).height)/by
	return (x0 + x1) / 2, angle, math.Abs(b.y-a.y) >= jump && angle > 0 && !math.IsInf(angle, 0)
}

// strikes finds where the floor carries the flange, and whether the blunt point is met end-on.
func (p *FrogPath) strikes(c *Cuts, w *Wheel, wing, point, floor *bearing, trailing bool) {
	s := c.sections
	floorFrom, floorTo := c.model.FloorEnds()
	over := func(i int) float64 { return floor.h[i] - math.Max(wing.h[i], point.h[i]) }
	for i := 0; i < len(s); i++ {
		if !(over(i) > 0) {
			continue
		}
		first, rise := i, 0.0
		for ; i < len(s) && over(i) > 0; i++ {
			rise = math.Max(rise, over(i))
		}
		if rise < graze {
			continue
		}
		last := i - 1
		k := Strike{What: "floor", How: "slope", From: s[first].X, To: s[last].X, Rise: rise}
		edge, end, other, next := first, floorFrom, floorTo, -1
		if trailing {
			edge, end, other, next = last, floorTo, floorFrom, 1
		}
		// The angle between floor and tread at the end e of the run, n stations farther on.
		turn := func(e, n int) float64 {
			j := e + n
			if j < 0 || j >= len(s) {
				return 0
			}
			tread := wing
			if point.h[e] > wing.h[e] {
				tread = point
			}
			_, a, b := crossing(tread, floor, math.Min(s[e].X, s[j].X), math.Max(s[e].X, s[j].X))
			return math.Abs(a.slope - b.slope)
		}
		// The flange meets the edge of the floor if that stands higher than the flange tip there,
		// or the ramp before it; else the tread goes down to the floor.
		k.Angle, k.Met, k.Off, k.Left = turn(edge, next), rise, turn(first+last-edge, -next), rise
		ramp := c.ramp * shape.RampFall // its length
		within := func(x float64) bool { return x >= s[first].X-1e-6 && x <= s[last].X+1e-6 }
		top, down := end-float64(next)*ramp, other+float64(next)*ramp // where the ramps are at their height
		if met := overlap(c.model, w, wing, point, top); met > 0 && within(top) {
			k.How, k.Met = "step", met
			k.Angle = math.Max(k.Angle, math.Acos(1-met/(w.Radius+w.Height)))
		}
		if left := overlap(c.model, w, wing, point, down); left > 0 && within(down) {
			k.Left = left
		}
		if n := c.ramp; n > 0 && (end-s[edge].X)*float64(next) <= ramp+1e-6 &&
			(k.How == "slope" || 1/n < k.Angle) {
			k.How, k.Angle, k.Met = "ramp", 1/n, rise
		}
		p.Strikes = append(p.Strikes, k)
	}
	// The blunt end of the point stands higher than the wheel on the wing.
	for i := 0; c.frog != nil && !trailing && i < len(s); i++ {
		if math.Abs(s[i].X-c.frog.Tip) > 1e-6 || i == 0 || !(point.h[i-1] > wing.h[i-1]) || !(point.h[i] > wing.h[i]) {
			continue
		}
		rise := point.h[i] - wing.h[i]
		if rise < graze {
			continue
		}
		p.Strikes = append(p.Strikes, Strike{What: "point", How: "end", From: p.Transfer, To: s[i].X, Rise: rise,
			Met: rise, Angle: math.Acos(1 - rise/w.Radius)})
	}
}

// overlap is by how much in mm the floor at x stands higher than the flange tip of a wheel on its tread.
func overlap(f model, w *Wheel, wing, point *bearing, x float64) float64 {
	z, ok := f.FloorAt(x)
	if !ok {
		return math.Inf(-1)
	}
	return w.Height - z - math.Max(wing.at(x).height, point.at(x).height)
}

// graze is the rise in mm under which a strike is a mere touch.
const graze = 0.05

// beside finds how near the flange comes to the side of the blunt point, the wheel on the wing.
func (p *FrogPath) beside(f *shape.FrogModel, s []shape.FrogSection, w *Wheel, wing *bearing) {
	for i := range s {
		if math.Abs(s[i].X-f.Tip) < 1e-6 && s[i].Point.There() && !math.IsInf(wing.h[i], 0) {
			p.AtTip = wing.h[i]
			// Flatter parts of the throat rest on the point's round; the point does not meet them.
			side := w.besideFrom(s[i].Point, p.Place.Tape+p.Place.Beyond, wing.h[i], 0, w.zone)
			if p.PointMet = !side.over; p.PointMet {
				p.PointMargin = side.room
			}
			return
		}
	}
}

// levels finds lift and drop in the order of travel.
func (p *FrogPath) levels(trailing bool) {
	st := p.Stations
	at := func(i int) Station {
		if trailing {
			return st[len(st)-1-i]
		}
		return st[i]
	}
	start := at(0).Z
	high := start
	for i := range st {
		s := at(i)
		if s.Z-start > p.Lift+1e-9 { // not what rounding leaves
			p.Lift, p.LiftX = s.Z-start, s.X
		}
		high = math.Max(high, s.Z)
		if high-s.Z > p.Drop {
			p.Drop, p.DropX = high-s.Z, s.X
		}
	}
}

// At is the height of the wheel (mm) and what it rests on at x, between stations in proportion.
func (p *FrogPath) At(x float64) (z float64, on Carrier) {
	st := p.Stations
	i := sort.Search(len(st), func(i int) bool { return st[i].X >= x })
	switch {
	case i == len(st):
		return st[i-1].Z, st[i-1].RestsOn
	case i == 0 || st[i].X == x:
		return st[i].Z, st[i].RestsOn
	}
	a, b := st[i-1], st[i]
	return a.Z + (x-a.X)/(b.X-a.X)*(b.Z-a.Z), b.RestsOn
}
