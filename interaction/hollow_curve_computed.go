package interaction

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// noHollow is up to which hollow in mm a wheel is not to blame for how its truck runs, while
// another one of it is.
const noHollow = 0.5

// isHollow says that a wheel may be hollow. Of a reading with an own value that counts, of
// a go/no-go reading its high end.
func isHollow(q measure.Reading) bool {
	return q.Measured() && (q.Hi > noHollow+near || !q.OneSided() && q.As >= noHollow)
}

// truckJob is a truck that is tried on every curve.
type truckJob struct {
	car     *wheel.Car
	number  int // 1 or 2 from the B end
	wheels  [4]*wheel.Wheel
	index   [4]int // in the engine; -1: not in the sheet
	fits    []fit
	designs [4]*wheelshape.Shape
	// over is by how much in mm each wheel is hollower than the least hollow one of the
	// truck, which has level, by state.
	over   [numEnds][4]float64
	level  [numEnds]float64
	gross  float64  // N
	base   float64  // wheelbase, mm
	warp   float64  // N·mm/rad; 0: rigid
	notes  []string // what was set aside or assumed
	broken string   // why it cannot be computed
	// lacks are readings for want of which, or for whose values, it cannot be: then nothing is
	// clear. Without any it is of a make that is not in the model.
	lacks  []string
	hollow bool     // some wheel is
	unread []string // wheels whose hollow was not read: then nothing is clear
}

// fit is a truck's wheels but for their hollow, at one end of its readings.
type fit struct {
	end       int
	thickness [4]measure.Reading // of the shapes
	flange    [4]float64         // as read, mm; 0: that of the shapes
	rim       [4]float64         // mm; 0: that of the shapes
	backs     [2]float64         // mm
	sizes     [2][4]float64      // diameters where the wheel runs on the high rail, and on the low one, mm
	unread    mask               // readings that it takes a value for
	gross     float64            // N
	light     bool               // the weight was not read: as an empty car
}

// site is a curve at one end of its readings, or with a value for what was not read.
type site struct {
	rails  [2]*trackshape.RailHead // high, low
	gauge  float64                 // mm
	loaded float64                 // gauge under load as read, mm; 0: not read
	curve  curving.Curve
	unread mask
}

// curveJob is a curve that trucks are tried on.
type curveJob struct {
	f      *track.Feature
	sites  [numEnds]site
	others []site  // for what was not read
	height float64 // gauge height, mm
	cant   float64 // rad
	dry    curving.Friction
	damp   curving.Friction
	loaded bool // the gauge was read under load
	// open are readings without which no hollow truck is clear.
	open   mask
	notes  []string
	broken string
	lacks  []string                // readings of which no rail can be made, where it is broken for these
	fresh  kept[freshKey, margins] // of new wheels
}

// freshKey tells trucks apart that run alike on new wheels.
type freshKey struct{ gross, base, warp float64 }

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
	used := map[*trackshape.RailHead]bool{}
	for _, j := range later {
		for _, s := range append(j.sites[:], j.others...) {
			used[s.rails[0]], used[s.rails[1]] = true, true
		}
	}
	c.flanks.forget(func(k flankKey) bool { return !used[k.rail] })
	c.made.Forget(func(r *trackshape.RailHead) bool { return !used[r] })
}

// curve prepares a curve. What it does not tell is tried over what it can be, or assumed,
// and said.
func (c *computer) curve(f *track.Feature) *curveJob {
	j := &curveJob{f: f}
	for end := range numEnds {
		s := &j.sites[end]
		s.curve.Radius = math.Inf(1)
		if feet, err := measure.RadiusFt(f.Read(track.Degree).As); err == nil {
			s.curve.Radius = feet * 12 * measure.MMPerInch
		}
	}
	j.gauges(f.Read(track.Gauge))
	if err := c.railsOf(j); err != nil {
		j.broken = err.Error()
		for _, q := range []track.Quantity{track.HeadWear, track.GaugeFaceWear, track.GaugeFaceAngle} {
			if f.Read(q).Measured() {
				j.lacks = append(j.lacks, q.String())
			}
		}
		return j
	}
	j.height = j.sites[written].rails[0].GaugeHeight
	switch f.Cant {
	case "1:20":
		j.cant = trackshape.CantOf(20)
	case "none":
	default:
		j.cant = trackshape.CantOf(40)
	}
	if l := f.Read(track.LoadedGauge); l.Measured() {
		j.loaded = true
		for end, v := range [numEnds]float64{written: figureOf(track.LoadedGauge, l), wornEnd: l.Hi, newEnd: l.Lo} {
			j.sites[end].loaded = v
		}
	}
	j.speeds()
	for i := range j.others {
		j.others[i].loaded = j.sites[wornEnd].loaded
	}
	j.dry, j.damp = c.friction(f, "dry_friction"), c.friction(f, "damp_friction")
	return j
}

// Gauges in mm that a curve's is tried between where it was not read, or by a bound alone:
// the least of 49 CFR 213.53(b), and the greatest, by class; that of excepted track (213.4)
// where the class is not known.
const leastGauge = 56 * measure.MMPerInch

func greatestGauge(class string) float64 {
	switch class {
	case "1":
		return 58 * measure.MMPerInch
	case "2", "3":
		return 57.75 * measure.MMPerInch
	case "4", "5":
		return 57.5 * measure.MMPerInch
	}
	return 58.25 * measure.MMPerInch
}

// unreadSpread is how far in mm over that a gauge is tried under load that was not read so
// (assumed). It counts for the tread that bears alone.
const unreadSpread = measure.MMPerInch

func (j *curveJob) gauges(g measure.Reading) {
	as, wide, tight := g.As, g.Hi, g.Lo
	most := greatestGauge(j.f.Class)
	switch {
	case !g.Measured():
		tight, wide = leastGauge, most
		as = (tight + wide) / 2
		j.open |= trackMask(track.Gauge)
		j.notes = append(j.notes, fmt.Sprintf("gauge not read: tried from %s to %s in, and no hollow truck is clear", measure.NearestInch(tight, 16), measure.NearestInch(wide, 16)))
	case g.Form == measure.Above:
		wide = math.Max(most, g.Lo)
		as = (g.Lo + wide) / 2
		j.open |= trackMask(track.Gauge)
		j.notes = append(j.notes, fmt.Sprintf("gauge read as %s: tried to %s in, and no hollow truck is clear", g.Written, measure.NearestInch(wide, 16)))
	case g.Form == measure.Below:
		tight = math.Max(g.Lo, math.Min(leastGauge, g.Hi))
		as = (tight + g.Hi) / 2
	}
	for end, v := range [numEnds]float64{written: as, wornEnd: wide, newEnd: tight} {
		j.sites[end].gauge = v
	}
}

// railsOf lays the rails. A section or wear that was not read is tried as the lightest
// section, and worn as far as unreadWear.
func (c *computer) railsOf(j *curveJob) error {
	const section, lightest = "136RE", "90RA-A"
	const unreadWear = 0.375 * measure.MMPerInch
	f := j.f
	head, face, angle := f.Read(track.HeadWear), f.Read(track.GaugeFaceWear), f.Read(track.GaugeFaceAngle)
	lay := func(s *site, name string, head, face float64) error {
		for i, w := range []float64{face, 0} {
			var err error
			if s.rails[i], err = c.rail(railKey{name, head, w, angle.As}); err != nil {
				return err
			}
		}
		return nil
	}
	name := f.Rail
	if name == "" {
		name = section
	}
	// An end that lies by less than a sixteenth from what was written has no rail of its own.
	at := func(r measure.Reading, end int) float64 {
		as := figureOf(0, r)
		v := [numEnds]float64{written: as, wornEnd: r.Hi, newEnd: r.Lo}[end]
		if math.Abs(v-as) < measure.MMPerInch/16+near {
			return as
		}
		return v
	}
	for end := range numEnds {
		if err := lay(&j.sites[end], name, at(head, end), at(face, end)); err != nil {
			return err
		}
	}
	var unread mask
	h, w := at(head, wornEnd), at(face, wornEnd)
	if !head.Measured() {
		unread, h = unread|trackMask(track.HeadWear), unreadWear
	}
	if !face.Measured() {
		unread, w = unread|trackMask(track.GaugeFaceWear), unreadWear
	}
	if unread == 0 && f.Rail != "" {
		return nil
	}
	other := j.sites[wornEnd]
	other.unread = unread
	if f.Rail == "" {
		name = lightest
		j.notes = append(j.notes, "rail section not given, tried as "+section+" and as "+lightest)
	}
	if unread != 0 {
		j.notes = append(j.notes, "rail wear that was not read tried as none and as "+measure.Inch(unreadWear)+" in")
	}
	if err := lay(&other, name, h, w); err != nil {
		return err
	}
	j.others = append(j.others, other)
	return nil
}

// speeds sets speed and elevation. Where they were not read, the balance of both is tried,
// and each end of what can be: standing and the class's greatest speed, no elevation and
// that which the greatest speed needs less the unbalance that 49 CFR 213.57 allows.
func (j *curveJob) speeds() {
	f := j.f
	el := f.Read(track.Elevation)
	set := func(s *site, elevation, mph float64) {
		s.curve.Elevation, s.curve.Speed = elevation, mph*measure.MetresPerSecondPerMPH
	}
	most, known := f.Speed, f.SpeedKnown
	if !known {
		most = classSpeed(f.Class)
		if d := f.Read(track.Degree).As; d > 0 {
			e := 0.0
			if el.Measured() {
				e = el.Hi / measure.MMPerInch
			}
			if v, err := track.CurveSpeedMPH(e, track.UnbalanceIn, d); err == nil {
				most = math.Min(most, v)
			}
		}
	}
	switch {
	case known && el.Measured():
		for end, e := range [numEnds]float64{written: figureOf(track.Elevation, el), wornEnd: el.Hi, newEnd: el.Lo} {
			set(&j.sites[end], e, most)
		}
		return
	case el.Measured():
		j.notes = append(j.notes, fmt.Sprintf("speed not known: balance, standing and %.0f mph tried", most))
	case known:
		j.notes = append(j.notes, "elevation not read: balance, none and 3 in over balance tried")
	default:
		j.notes = append(j.notes, fmt.Sprintf("speed and elevation not known: balance, %.0f mph without elevation and 3 in over balance tried", most))
	}
	const over = track.UnbalanceIn * measure.MMPerInch
	slow, fast := j.sites[wornEnd], j.sites[wornEnd]
	switch {
	case el.Measured():
		set(&slow, el.Hi, 0)
		set(&fast, el.Lo, most)
	default:
		slow.unread, fast.unread = trackMask(track.Elevation), trackMask(track.Elevation)
		set(&slow, over, 0)
		set(&fast, 0, most)
	}
	j.others = append(j.others, slow, fast)
}

// classSpeed is the greatest freight speed of a class in mph (49 CFR 213.9(a), 213.4); that
// of class 2 where it is not known, more than a curve of a yard is run at.
func classSpeed(class string) float64 {
	switch class {
	case "1", "excepted":
		return 10
	case "3":
		return 40
	case "4":
		return 60
	case "5":
		return 80
	}
	return 25
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
					t.hollow = t.hollow || isHollow(w.Read(wheel.TreadHollow))
				}
			}
			if any {
				c.trucks = append(c.trucks, t)
			}
		}
	}
	each(len(c.trucks), func(i int) { c.prepare(c.trucks[i]) })
}

// prepare gives a truck its designs, lengths and weight.
func (c *computer) prepare(t *truckJob) {
	rules := c.e.Rules
	t.gross, t.base = t.car.GrossLb*measure.NewtonsPerPound, 0
	if b := t.car.TruckWheelbase; b.Measured() {
		t.base = b.As
	}
	if t.gross == 0 || t.base == 0 {
		if t.car.Kind != "freight" && t.car.Kind != "" {
			t.broken = "weight and truck wheelbase of a " + t.car.Kind + " car are needed in cars.csv"
			t.lacks = []string{"gross_lb", "truck_wheelbase"}
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
	if err := c.hollows(t); err != nil {
		t.broken = err.Error()
		if errors.Is(err, wheel.ErrNoDesign) {
			t.lacks = []string{wheel.FlangeThickness.String()}
		}
		return
	}
	c.fit(t)
}

// hollows finds the designs of a truck's wheels and how hollow they are. A wheel that is
// not in the sheet, or whose hollow was not read, stands as not hollow there and is named.
func (c *computer) hollows(t *truckJob) error {
	var q [4]measure.Reading
	least := [numEnds]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	for i, w := range t.wheels {
		var err error
		if w != nil {
			t.designs[i], _, err = c.designOf(w)
			if q[i] = w.Read(wheel.TreadHollow); !q[i].Measured() {
				t.unread = append(t.unread, w.Position.String())
			}
		} else {
			t.designs[i], err = c.design(c.data.Designs[0].Name)
			if t.car.ID != "" {
				t.unread = append(t.unread, "a wheel that is not in the sheet")
			}
		}
		if err != nil {
			return err
		}
		for end, v := range [numEnds]float64{written: figureOf(0, q[i]), wornEnd: q[i].Hi, newEnd: q[i].Lo} {
			least[end] = math.Min(least[end], v)
		}
	}
	for i := range q {
		for end, v := range [numEnds]float64{written: figureOf(0, q[i]), wornEnd: q[i].Hi, newEnd: q[i].Lo} {
			t.over[end][i] = math.Round((v-least[end])/hollowStep-near) * hollowStep
		}
	}
	t.level[written] = math.Round(least[written]/hollowStep) * hollowStep
	t.level[wornEnd] = math.Ceil((least[wornEnd]-levelSlack)/hollowStep-near) * hollowStep
	t.level[newEnd] = math.Floor((least[newEnd]+levelSlack)/hollowStep+near) * hollowStep
	t.level[wornEnd] = math.Max(t.level[wornEnd], t.level[written])
	t.level[newEnd] = math.Min(t.level[newEnd], t.level[written])
	return nil
}

// levelSlack is how far in mm the end of a hollow may lie beyond a step without the next
// one being tried.
const levelSlack = 0.1

// emptyWeight is the weight in N at which a car is tried whose weight was not read, besides
// car_weight: that of an empty car of 100 or 110 tons (common practice, no source).
const emptyWeight = 60000 * measure.NewtonsPerPound

// fit lays out the ends of the readings of flanges, rims, axles and diameters.
func (c *computer) fit(t *truckJob) {
	rules := c.e.Rules
	t.fits = make([]fit, numEnds)
	thin := fit{end: wornEnd}
	at := func(r measure.Reading, end int) float64 {
		switch end {
		case wornEnd:
			return r.Lo
		case newEnd:
			return r.Hi
		}
		return figureOf(0, r)
	}
	for end := range numEnds {
		f := &t.fits[end]
		f.end, f.gross = end, t.gross
		for i, w := range t.wheels {
			if w == nil {
				continue
			}
			if x := w.Read(wheel.FlangeThickness); x.Measured() {
				f.flange[i] = at(x, end)
				f.thickness[i] = nearest(f.flange[i], thicknessStep)
				if end != written {
					f.thickness[i] = atEnd(wheelshape.WornReadings{Thickness: x}, end).Thickness
				}
			}
			if f.rim[i] = c.rimOf(w, end); end == wornEnd && w.Design == "" && !w.Read(wheel.RimWidth).Measured() {
				f.unread |= wheelMask(wheel.RimWidth)
			}
		}
		for a := range 2 {
			f.backs[a] = t.back(a, end)
			if f.backs[a] == 0 {
				t.broken, t.lacks = "back-to-back is not known", []string{wheel.BackToBack.String()}
			}
			t.sizesOf(f, a, rules.value("wheel_diameter"))
			for side := range f.sizes {
				if d := math.Abs(f.sizes[side][2*a] - f.sizes[1-side][2*a+1]); d > mostUnequal {
					t.broken = fmt.Sprintf("the diameters of an axle may differ by %.0f mm", d)
					t.lacks = []string{wheel.Diameter.String()}
				}
			}
		}
	}
	for i, w := range t.wheels {
		if w == nil {
			continue
		}
		if !w.Read(wheel.FlangeThickness).Measured() {
			if thin.unread&wheelMask(wheel.FlangeThickness) == 0 {
				thin = t.fits[wornEnd]
				thin.unread |= wheelMask(wheel.FlangeThickness)
			}
			thin.flange[i] = rules.value("unread_thickness")
			thin.thickness[i] = nearest(thin.flange[i], thicknessStep)
			t.notes = append(t.notes, "flange_thickness of "+w.Position.String()+" not read: tried as new and as unread_thickness")
		}
	}
	if thin.unread != 0 {
		t.fits = append(t.fits, thin)
	}
	if t.car.GrossLb == 0 && t.car.ID != "" {
		light := t.fits[wornEnd]
		light.gross, light.light = emptyWeight, true
		t.fits = append(t.fits, light)
		t.notes = append(t.notes, "gross_lb not read: tried as car_weight and as an empty car")
	}
	for a := range 2 {
		if r := t.backRead(a); t.car.ID != "" && !r.Measured() {
			t.notes = append(t.notes, fmt.Sprintf("back_to_back of axle %d of the truck not read: that of the designs taken", a+1))
		}
	}
	// As written, once more, for what cannot be as it was read.
	for i, w := range t.wheels {
		if w == nil {
			continue
		}
		if _, aside, err := c.wornShape(t.designs[i], t.shapeReadings(&t.fits[written], i, t.level[written])); err == nil && len(aside) > 0 {
			t.notes = append(t.notes, fmt.Sprintf("%s of %s contradicts the other readings and was set aside", named(aside), w.Position))
		}
	}
}

// shapeReadings are what a wheel is rebuilt from, where the least hollow one of its truck has
// a level in mm.
func (t *truckJob) shapeReadings(f *fit, i int, level float64) wheelshape.WornReadings {
	r := wheelshape.WornReadings{Thickness: f.thickness[i]}
	if h := level + t.over[f.end][i]; h > near {
		r.Hollow = measure.Exact(h, "")
	}
	return r
}

// narrowRim is how narrow in mm a rim is tried that was not read and whose design is not
// given (assumed): half an inch less than the usual one.
const narrowRim = 5 * measure.MMPerInch

// rimOf is the width of a wheel's rim in mm: as read, else its design's, else the setting
// and, at the worn end, narrowRim.
func (c *computer) rimOf(w *wheel.Wheel, end int) float64 {
	if r := w.Read(wheel.RimWidth); r.Measured() {
		return [numEnds]float64{written: figureOf(0, r), wornEnd: r.Lo, newEnd: r.Hi}[end]
	}
	usual := c.e.Rules.value("rim_width")
	switch {
	case w.Design != "":
		return 0
	case end == wornEnd:
		return math.Min(usual, narrowRim)
	}
	return usual
}

// backRead is what was read of the back-to-back of an axle of the truck.
func (t *truckJob) backRead(a int) (r measure.Reading) {
	for _, w := range t.wheels[2*a : 2*a+2] {
		if w != nil && w.Read(wheel.BackToBack).Measured() {
			return w.Read(wheel.BackToBack)
		}
	}
	return r
}

// back is the back-to-back of an axle: as read, else from the least to the greatest that
// the designs of its wheels have.
func (t *truckJob) back(a, end int) float64 {
	r := t.backRead(a)
	if !r.Measured() {
		x, y := t.designs[2*a].BackToBack, t.designs[2*a+1].BackToBack
		if x == 0 || y == 0 {
			return math.Max(x, y)
		}
		r = measure.Reading{Form: measure.Range, As: (x + y) / 2, Lo: math.Min(x, y), Hi: math.Max(x, y)}
	}
	return [numEnds]float64{written: figureOf(0, r), wornEnd: r.Lo, newEnd: r.Hi}[end]
}

// What the diameters of an axle's wheels may differ by, mm.
const (
	// matesDiffer is tried where one of them was not read or by a bound alone: two tape sizes,
	// a quarter inch of circumference, to which an axle is matched when it is mounted (the
	// figure of 49 CFR 229.73(a) for locomotives, from memory; of cars assumed).
	matesDiffer = measure.MMPerInch / 4 / math.Pi
	// sizeRead is what a diameter that was not read may lie off besides, since one that was
	// is known no better.
	sizeRead = measure.MMPerInch / 32
	// mostUnequal is up to which a truck is computed.
	mostUnequal = 25.0
)

// sizesOf sets the diameters of an axle. At the worn end the wheel on the high rail is the
// smaller by what the readings leave open, and steers the axle less; at the other end the
// greater.
func (t *truckJob) sizesOf(f *fit, a int, usual float64) {
	r := t.sizesRead(a, usual)
	for i := range r {
		as := figureOf(0, r[i])
		high, low := as, as
		switch f.end {
		case wornEnd:
			high, low = r[i].Lo, r[i].Hi
		case newEnd:
			high, low = r[i].Hi, r[i].Lo
		}
		f.sizes[0][2*a+i], f.sizes[1][2*a+i] = high, low
	}
}

// sizesRead are the diameters of an axle. One that was not read, or by a bound alone, is
// taken within matesDiffer of the other; where none has a figure, both of one that their
// bounds leave.
func (t *truckJob) sizesRead(a int, usual float64) (r [2]measure.Reading) {
	between := func(as, lo, hi float64) measure.Reading {
		return measure.Reading{Form: measure.Range, As: as, Lo: lo, Hi: hi}
	}
	var open [2]bool
	for i := range r {
		if w := t.wheels[2*a+i]; w != nil {
			r[i] = w.Read(wheel.Diameter)
		}
		open[i] = !r[i].Measured() || r[i].OneSided()
	}
	if t.car.ID == "" { // a usual truck, as it is built
		as := between(usual, usual, usual)
		return [2]measure.Reading{as, as}
	}
	// cut keeps of what was tried what a bound leaves, at least the bound itself.
	cut := func(x, bound measure.Reading) measure.Reading {
		if !bound.Measured() {
			return x
		}
		x.Lo, x.Hi = clamp(x.Lo, bound.Lo, bound.Hi), clamp(x.Hi, bound.Lo, bound.Hi)
		x.As = clamp(x.As, x.Lo, x.Hi)
		return x
	}
	switch {
	case open[0] && open[1]:
		as := between(usual, usual, usual)
		as = cut(cut(as, r[0]), r[1])
		half := matesDiffer/2 + sizeRead
		for i := range r {
			r[i] = cut(between(as.As, as.As-half, as.As+half), r[i])
		}
	case open[0]:
		m := r[1]
		r[0] = cut(between(m.As, m.Lo-matesDiffer, m.Hi+matesDiffer), r[0])
	case open[1]:
		m := r[0]
		r[1] = cut(between(m.As, m.Lo-matesDiffer, m.Hi+matesDiffer), r[1])
	}
	return r
}

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(v, hi)) }

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

// truckOn is what a truck comes to on a curve.
func (c *computer) truckOn(t *truckJob, j *curveJob, fresh margins) (Computed, way) {
	undecided := func(why string) Computed { return Computed{Verdict: Undecided, Why: why} }
	out, at := Computed{Verdict: Clear}, way{}
	var lists [4][]tried
	least := math.Inf(1)
	for i, w := range ways() {
		list, why := c.inWay(t, j, w)
		if why != "" {
			return undecided(why), w
		}
		lists[i] = list
		k := c.e.Rules.gather(list, fresh[rollover], j.loaded, t.hollow)
		if m := list[written].m.least(); i == 0 || k.Verdict < out.Verdict || k.Verdict == out.Verdict && m < least {
			out, at, least = k, w, m
			out.margins = list[written].m
		}
	}
	// On damp rails, for the range alone.
	if r, err := c.run(t, j, at, point{&t.fits[written], &j.sites[written], t.level[written], true}); err == nil {
		if a, err := c.solve(r); openCause(a, err) == "" && out.Mechanism != "" {
			m := r.marginsOf(a)
			for k := range numMechanisms {
				if mechanisms[k].name == out.Mechanism && !math.IsNaN(m[k]) {
					out.Low, out.High = math.Min(out.Low, m[k]), math.Max(out.High, m[k])
				}
			}
		}
	}
	if t.hollow && j.open != 0 {
		if out.Verdict == Undecided {
			out.settle |= j.open
		}
		out.notClear(j.open)
	}
	return out, at
}

// notClear makes undecided of what would be clear, for want of readings.
func (k *Computed) notClear(want mask) {
	if k.Verdict == Clear {
		k.Verdict, k.settle, k.close, k.unknown = Undecided, want, false, true
	}
}

// freshOn is what new wheels come to in place of a truck's, as written and in their worst
// way.
func (c *computer) freshOn(j *curveJob, t *truckJob) margins {
	m, _ := j.fresh.get(freshKey{t.gross, t.base, t.warp}, func() (margins, error) {
		n := &truckJob{car: &wheel.Car{Kind: t.car.Kind}, number: 1}
		c.prepare(n)
		n.gross, n.base, n.warp, n.broken = t.gross, t.base, t.warp, ""
		if n.fits == nil {
			if err := c.hollows(n); err != nil {
				return noMargins(), nil
			}
			c.fit(n)
		}
		for i := range n.fits {
			n.fits[i].gross = t.gross
		}
		m := noMargins()
		for _, w := range ways() {
			r, err := c.run(n, j, w, point{&n.fits[written], &j.sites[written], 0, false})
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

// unhollowed is a truck without its hollow.
func (t *truckJob) unhollowed() *truckJob {
	n := *t
	n.over, n.level, n.hollow = [numEnds][4]float64{}, [numEnds]float64{}, false
	return &n
}

// onCurve computes every truck on a curve and gives each wheel its share.
func (c *computer) onCurve(j *curveJob, t *placeTable) {
	if j.broken != "" {
		for i := range t.computed {
			t.computed[i] = notComputable(j.broken, j.lacks)
		}
		return
	}
	t.anyWheel = t.anyWheel || c.newWheels(j)
	each(len(c.trucks), func(i int) { c.truckTo(c.trucks[i], j, t.computed) })
}

// truckTo computes a truck on a curve and lays each wheel's share down.
func (c *computer) truckTo(truck *truckJob, j *curveJob, computed []*Computed) {
	if truck.broken != "" {
		for n, x := range truck.wheels {
			if x != nil {
				computed[truck.index[n]] = notComputable(truck.broken, truck.lacks)
			}
		}
		return
	}
	fresh := c.freshOn(j, truck)
	k, w := c.truckOn(truck, j, fresh)
	k.truck, k.curve, k.way = truck, j, w
	said := ""
	if len(truck.unread) > 0 && k.Mechanism != "" {
		said = "; hollow not read at " + strings.Join(truck.unread, ", ") + " and taken as none, so nothing is clear"
	}
	k.Why = c.why(truck, j, k, w, fresh) + said
	var sound *Computed // the truck without its hollow, where that is asked for
	for n, x := range truck.wheels {
		if x == nil {
			continue
		}
		own := k
		if q := x.Read(wheel.TreadHollow); truck.hollow && q.Measured() && !isHollow(q) && k.Verdict != Clear {
			if sound == nil {
				bare := truck.unhollowed()
				b, w := c.truckOn(bare, j, fresh)
				b.truck, b.curve, b.way = bare, j, w
				sound = &b
			}
			own = *sound
			own.Why = "this wheel is not hollow, so it answers for its truck without hollow; another wheel of its truck: " + k.Verdict.String()
			if own.Mechanism != "" {
				own.Why += " (" + k.Mechanism + ")"
			}
		}
		if own.Mechanism != "" {
			own.wantHollow(truck, x)
		}
		computed[truck.index[n]] = &own
	}
}

// wantHollow makes undecided of what would be clear for a wheel of a truck of which the hollow
// of some wheel was not read, and names these.
func (k *Computed) wantHollow(t *truckJob, of *wheel.Wheel) {
	if k.Verdict != Clear || len(t.unread) == 0 {
		return
	}
	k.notClear(0)
	for _, name := range t.unread {
		if name == of.Position.String() {
			k.settle = wheelMask(wheel.TreadHollow)
			continue
		}
		k.columns = append(k.columns, wheel.TreadHollow.String()+" of "+name)
	}
}

// newWheels reports whether a usual truck on new wheels conflicts in a curve.
func (c *computer) newWheels(j *curveJob) bool {
	t := &truckJob{car: &wheel.Car{Kind: "freight"}, number: 1}
	c.prepare(t)
	k, _ := c.truckOn(t, j, c.freshOn(j, t))
	return k.Verdict == Conflict
}

// why says how a computed verdict came about, how the truck stands against the published
// limits and against new wheels, and what is not in it.
func (c *computer) why(t *truckJob, j *curveJob, k Computed, w way, fresh margins) string {
	parts := []string{k.Why}
	if k.Mechanism != "" {
		parts = []string{fmt.Sprintf("%s of the truck at the %s end, %s, dry rail", k.Mechanism, [3]string{"", "B", "A"}[t.number], w),
			"as written against published limits (Nadal; truck side 0.6 and a wheel's least load of 10 percent, 49 CFR 238 appendix C): " + limitsText(k.margins),
			"new wheels here: " + limitsText(fresh)}
		if a, b := k.margins[rollover], fresh[rollover]; !math.IsNaN(a) && !math.IsNaN(b) {
			parts = append(parts, fmt.Sprintf("a rail held by nothing: %+.2f, with new wheels %+.2f L/V", round2(a), round2(b)))
		}
		if k.close {
			parts = append(parts, "clear by what is assumed alone: that fastenings hold the rail up, or that gauge opens no farther under load than it was read")
		}
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

func round2(v float64) float64 { return math.Round(v*100)/100 + 0 }

// limitsText writes the margins that published limits give.
func limitsText(m margins) string {
	var out []string
	for _, k := range []int{climb, side, unloading} {
		if !math.IsNaN(m[k]) {
			out = append(out, fmt.Sprintf("%s %+.2f", mechanisms[k].name, round2(m[k])))
		}
	}
	return strings.Join(out, ", ")
}
