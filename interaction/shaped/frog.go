package shaped

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// frogForm is a frog's sections with tops of one form, and what was found of wheels in them.
// Frogs that differ in depth, gauge or guard rail alone share it.
type frogForm struct {
	model  *trackshape.FrogModel
	cuts   kept[float64, *passage.Cuts] // by the distance of stations, mm
	sights kept[wayKey, *frogSight]
	rubs   kept[rubKey, rub]
}

// frogState is one state of a frog's readings, by the form of its tops.
type frogState struct {
	forms []*frogForm // flat tops, then sloped ones
	// conform has tops that rise as a new tread does: what the allowed hollow climbs there.
	conform *frogForm
	base    bool // all that was read as written, by one of the routes
	blank   bool // a figure in it stands for what was not read
	// long is a point of which nobody read the loss, nor its length, worn as far back as can be
	// written. What was never seen leaves no pair open by itself: it makes a clear one close.
	long bool
	// wing is the first state with the same wings: a wheel stands there as here, as long as they carry it.
	wing int
}

// frogJob is a frog that wheels are taken through: its readings as written, at their worse
// ends, and what was not read over what it can be.
type frogJob struct {
	c      *Computer
	f      *track.Feature
	states []frogState
	open   bool // a reading in them is a range or one-sided: its ends are as written
	broken error
	unread unread
	notes  []string
}

type sightKey struct {
	tread *passage.Wheel
	play  float64 // mm; -1: not known
}

// wayKey tells passages of a tread apart: by the position that is farthest from the point, mm.
type wayKey struct {
	tread *passage.Wheel
	far   float64
}

// frogSight is the result of a tread in a frog, by the position across, the flange toward the point first.
type frogSight struct {
	floor, rise []float64 // mm: how the tread stands to the plane of the depth; what the wing lifts it
	tip         float64   // mm: height on the wing beside the point, flange toward the point
}

type rubKey struct {
	face   *passage.Wheel
	height float64
}

type rub struct {
	relief float64
	ok     bool
}

const (
	// openDepth is a floor in mm that no flange reaches: a tread's way does not hang on it.
	openDepth = 100.0
	// offFace is how far in mm the flange stands off the gauge line where it is nearest to
	// the point: pressed fully on, its root would ride on the corner of wing and point.
	offFace = 3.0
	// coneSlope is the slope of a new tread.
	coneSlope = 1.0 / 20
	// frogStep is the distance of stations in mm for each of the frog's number, and tipStep
	// the step of heights in mm beside its point.
	frogStep = 4.0
	tipStep  = 0.25
	// widthStep is the step in mm to which the ends of a width are rounded outward.
	widthStep = measure.MMPerInch / 16
)

// unread lists the readings of a place that were not taken and were tried over all that they can be.
type unread struct {
	quantities interaction.Mask
	words      []string // columns that are no readings
}

func (u *unread) any() bool { return u.quantities != 0 || len(u.words) > 0 }

// columns names them.
func (u *unread) columns() []string {
	return append(interaction.ReadingNames(u.quantities), u.words...)
}

// frog prepares a frog.
func (c *Computer) frog(f *track.Feature) *frogJob {
	j := &frogJob{c: c, f: f}
	if !trackshape.FrogModelled(f.Type) {
		j.broken = fmt.Errorf("%w: frogs of the type %s have no sections (modelled: %s)", errUnmodelled, f.Type,
			strings.Join(trackshape.ModelledFrogs(), ", "))
		return j
	}
	number, typ := f.Number, f.Type
	numbers, types := []float64{number}, []string{typ}
	if number == 0 {
		j.unread.words = append(j.unread.words, "number")
		numbers = c.BlankNumbers()
		number = numbers[0]
	}
	if typ == "" { // solid ones are as rbm ones but for where their wear runs out
		j.unread.words = append(j.unread.words, "type")
		types = []string{"", "bolted"}
	}
	// The ends that make a passage worse: a wide flangeway, a point worn down far back.
	worse, better := map[track.Quantity]float64{}, map[track.Quantity]float64{}
	blankWorse, blankBetter := map[track.Quantity]float64{}, map[track.Quantity]float64{}
	for _, q := range []track.Quantity{track.FlangewayWidth, track.PointWornDown, track.PointWornBack} {
		r := f.Read(q)
		switch down := f.Read(track.PointWornDown); {
		case r.Measured():
			worse[q], better[q] = r.Hi, r.Lo
			if q == track.FlangewayWidth && r.Width() > 0 {
				worse[q], better[q] = upward(r.Hi, widthStep).As, downward(r.Lo, widthStep).As
			}
			j.open = j.open || r.OneSided() || r.Form == measure.Range
			continue
		case q == track.PointWornBack && !(down.Measured() && down.Hi > 0):
			// The length of what is not worn does not matter, and of what nobody read the rule's own length is tried.
		default:
			blankWorse[q], blankBetter[q] = c.blankMost(f, q), c.BlankPlace(f, q)[0]
			j.unread.quantities |= interaction.TrackMask(q)
		}
	}
	if typ == trackshape.BearingFrog && !f.Read(track.FlangewayDepth).Measured() {
		j.unread.quantities |= interaction.TrackMask(track.FlangewayDepth)
	}
	add := func(blank bool, number float64, typ string, ends map[track.Quantity]float64) bool {
		made := *f // a detail is that of its number and type
		made.Number, made.Type = number, typ
		plan, _ := trackshape.FrogPlanOf(&made, c.Figures, figureOf) // what is missing is the detail's
		plan.Number, plan.Type, plan.FlangewayDepth = number, typ, openDepth
		for q, v := range ends {
			switch q {
			case track.FlangewayWidth:
				plan.FlangewayWidth = v
			case track.PointWornDown:
				plan.PointWornDown = v
			default:
				plan.PointWornBack = v
			}
		}
		base := len(j.states) == 0
		routes := []bool{plan.Closed}
		if plan.Closed { // the route whose wing the spring holds, and the other one
			routes = append(routes, false)
		}
		for _, plan.Closed = range routes {
			s, err := c.frogState(plan)
			if err != nil {
				j.broken = err
				return false
			}
			s.base = base
			s.blank = !base && (number != numbers[0] || typ != types[0] || blank)
			s.wing = slices.IndexFunc(j.states, func(o frogState) bool {
				p := o.forms[0].model.Plan
				return p.Number == plan.Number && p.Type == plan.Type && p.Closed == plan.Closed &&
					p.FlangewayWidth == plan.FlangewayWidth
			})
			if s.wing < 0 {
				s.wing = len(j.states)
			}
			if !slices.ContainsFunc(j.states, func(o frogState) bool { return o.forms[0] == s.forms[0] }) {
				j.states = append(j.states, s)
			}
		}
		return true
	}
	// What a figure errs by is less than the allowance; only the ends of ranges are tried.
	if !add(false, number, typ, nil) || j.open && !(add(false, number, typ, worse) && add(false, number, typ, better)) {
		return j
	}
	if j.unread.any() {
		// what was not read may be at its worst where a range is
		with := func(ends, blank map[track.Quantity]float64) map[track.Quantity]float64 {
			both := maps.Clone(blank)
			maps.Copy(both, ends)
			return both
		}
		for _, n := range numbers {
			for _, t := range types {
				if !add(true, n, t, blankWorse) || j.open && !add(true, n, t, with(worse, blankWorse)) {
					return j
				}
			}
		}
		for _, t := range types { // another type may be worse with what was read as it is
			if !add(true, number, t, nil) || !add(true, number, t, blankBetter) ||
				j.open && !add(true, number, t, with(better, blankBetter)) {
				return j
			}
		}
		if _, read := worse[track.PointWornBack]; !read &&
			j.unread.quantities&interaction.TrackMask(track.PointWornDown) != 0 {
			n := len(j.states)
			blankWorse[track.PointWornBack] = c.blankMost(f, track.PointWornBack)
			if !add(true, number, typ, blankWorse) {
				return j
			}
			for i := n; i < len(j.states); i++ {
				j.states[i].long, j.states[i].blank = true, false
			}
		}
		j.notes = append(j.notes, strings.Join(j.unread.columns(), ", ")+
			" of the frog not read: what it can be was tried")
	}
	return j
}

// frogState makes the sections of a plan, each form once.
func (c *Computer) frogState(plan trackshape.FrogPlan) (frogState, error) {
	form := func(slope float64) (*frogForm, error) {
		plan.WingSlope = slope
		return c.frogs.get(plan, func() (*frogForm, error) {
			m, err := trackshape.NewFrogModel(plan)
			return &frogForm{model: m}, err
		})
	}
	s := frogState{}
	for _, slope := range c.slopes() {
		f, err := form(slope)
		if err != nil {
			return s, err
		}
		s.forms = append(s.forms, f)
	}
	var err error
	s.conform, err = form(coneSlope)
	return s, err
}

// slopes are the rises of the tops that are tried, because no sheet has them.
func (c *Computer) slopes() []float64 {
	least, most := c.Rules.Value("wing_slope_least"), c.Rules.Value("wing_slope_most")
	if most == least {
		return []float64{least}
	}
	return []float64{least, most}
}

// formNames are the forms of the tops in words.
func (j *frogJob) formNames() []string {
	var out []string
	for _, s := range j.c.slopes() {
		out = append(out, fmt.Sprintf("tops with a rise of %g toward the field", s))
	}
	return out
}

// axle stands for every axle with a play: the flange toward the point is held just off
// the gauge line, or the rim by a raised guard.
func (f *frogForm) axle(k sightKey) passage.Axle {
	const back = 53.375 * measure.MMPerInch
	t := k.tread.Thickness
	a := passage.Axle{BackToBack: back, GuardCheck: back + t + offFace}
	if f.model.Plan.Type == "self-guarded" {
		a.GuardCheck = 0
	}
	if k.play >= 0 {
		a.MateThickness, a.Gauge = t, back+2*t+offFace+k.play
	}
	return a
}

// sight takes a tread through the frog, once for each way that it may move across.
func (f *frogForm) sight(k sightKey) (*frogSight, error) {
	a := f.axle(k)
	places, err := a.Places(f.model, k.tread)
	if err != nil {
		return nil, err
	}
	return f.sights.get(wayKey{k.tread, places[len(places)-1].Tape}, func() (*frogSight, error) {
		step := frogStep * f.model.Plan.Number
		cuts, err := f.cuts.get(step, func() (*passage.Cuts, error) { return passage.Cut(f.model, step) })
		if err != nil {
			return nil, err
		}
		solved, err := cuts.Pass(k.tread, a, passage.FrogOptions{Heights: true})
		if err != nil {
			return nil, err
		}
		s := &frogSight{tip: solved.Paths[0].AtTip}
		for _, p := range solved.Paths {
			s.floor = append(s.floor, p.FloorMargin-(openDepth-k.tread.Height))
			s.rise = append(s.rise, p.WingRise)
		}
		return s, nil
	})
}

// play is the most that an axle can move in the gauge, mm, to the next step; -1: not known.
func (j *frogJob) play(f *footing) float64 {
	if v, ok := f.play(j.f.Read(track.Gauge)); ok {
		return math.Ceil(v/playStep-measure.Near) * playStep
	}
	return -1
}

func (j *frogJob) margin(by interaction.Passing, f *footing, m interaction.Margin, _ *interaction.Part) (outcome,
	error) {
	again := interaction.TrackMask(track.FlangewayWidth)
	if j.broken != nil {
		return outcome{again: again}, j.broken
	}
	var out outcome
	var err error
	switch by {
	case interaction.OverFloor:
		out, err = j.floor(f, m)
	case interaction.OnWing:
		out, err = j.wing(f, m)
	default:
		out, err = j.point(f, m)
	}
	out.names, out.unread, out.again = j.formNames(), j.unread, again
	if by != interaction.OnWing && slices.ContainsFunc(j.states, func(s frogState) bool { return s.long }) {
		out.lean = fmt.Sprintf("point_worn_down was not read: a loss of %s in was tried over %s in back",
			measure.Inch(j.c.Figures.Value("unread_worn_down")), measure.Inch(j.c.Figures.Value("unread_worn_back")))
		out.next = interaction.TrackMask(track.PointWornDown)
	}
	return out, err
}

// over calls see with what a wheel's treads come to in states of the frog, for each form: the
// state and tread as written first. wings says that only the wings matter.
func (j *frogJob) over(f *footing, states []frogState, wings bool, see func(form *formMargin, at *frogForm,
	state *frogState, s *frogSight, written bool) error) ([]formMargin, error) {
	play := j.play(f)
	forms := newForms(len(states[0].forms))
	for n := range states {
		state := &states[n]
		asRead := state.base || state.blank || j.open
		for i, at := range state.forms {
			form, beside := &forms[i], newForms(1)
			if state.long {
				form = &beside[0]
			}
			for k, t := range f.treads {
				read := k < f.asRead
				if state.blank && !read {
					continue
				}
				stands := at
				if wings {
					stands = states[state.wing].forms[i]
				}
				s, err := stands.sight(sightKey{t, play})
				if err == nil {
					err = see(form, at, state, s, asRead && read)
				}
				if err != nil {
					return nil, blankOr(state.blank || state.long, err)
				}
			}
			forms[i].far = math.Min(forms[i].far, form.lo)
		}
	}
	return forms, nil
}

// floor is the clearance of the flange tip: the plain margin and how the tread stands to
// the plane that the depth is read from.
func (j *frogJob) floor(f *footing, m interaction.Margin) (outcome, error) {
	forms, err := j.over(f, j.states, false, func(form *formMargin, _ *frogForm, state *frogState, s *frogSight,
		written bool) error {
		form.take(slices.Min(s.floor), written, state.blank)
		form.reach(slices.Max(s.floor))
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	low, high := forms[0].lo, forms[0].hi
	for i := range forms {
		low, high = math.Min(low, forms[i].lo), math.Max(high, forms[i].hi)
		forms[i].add(m.Firm, m.Lo, m.Hi)
	}
	tell := func(all span) string {
		out := "the tread stands " + lowerBy(low) + " to " + lowerBy(high) +
			" than the plane that the depth is read from, over three positions within the play"
		h := f.w.Read(wheel.FlangeHeight)
		height, bears, at := h.As, -all.as, "as written"
		switch {
		case j.c.check(interaction.OverFloor).OpenEnd(j.c.Rules, f.w, j.f):
			height, bears, at = h.Lo, -all.hi, "at the least"
		case m.NoAs:
			height, bears, at = h.Hi, -all.lo, "at the worst end of the readings"
		}
		if bears > 0 {
			if blow := j.c.strike(f, j.f, height, bears); blow != "" {
				out += "; " + at + " " + blow
			}
		}
		return j.noted(out)
	}
	return outcome{forms: forms, tell: tell}, nil
}

func (j *frogJob) noted(s string) string {
	slopes := j.c.slopes()
	form := fmt.Sprintf("the form of its tops is in no sheet: a rise of %g toward the field was taken", slopes[0])
	if len(slopes) > 1 {
		form = fmt.Sprintf("the form of its tops is in no sheet: a rise of %g and of %g toward the field were tried",
			slopes[0], slopes[1])
	}
	return strings.Join(append([]string{s, form}, j.notes...), "; ")
}

// lowerBy words a height in mm.
func lowerBy(v float64) string {
	if v > 0 {
		return fmt.Sprintf("%.1f mm higher", v)
	}
	return fmt.Sprintf("%.1f mm lower", -v)
}

// wing is how much less the false flange climbs than one of the allowed hollow does on
// tops that conform to a new tread, each at the position across where it climbs most. At a
// spring frog it is the least over the route whose wing the spring holds and the other. A floor
// that is made to carry the flange takes nothing off a climb: where it is worn the tread carries.
func (j *frogJob) wing(f *footing, m interaction.Margin) (outcome, error) {
	hollow := j.c.Rules.Value("wing_hollow")
	if j.f.Type == trackshape.SpringFrog {
		hollow = j.c.Rules.Value("spring_wing_hollow")
	}
	r := atEnd(wheelshape.ReadingsOf(f.w), written)
	r.Hollow = measure.Exact(hollow, "")
	list, _, err := j.c.shaped(nil, f.design, r)
	if err != nil {
		return outcome{}, err
	}
	play := j.play(f)
	limit, climbs := math.Inf(1), make([]float64, len(j.c.slopes())) // as written, by form
	// The figures of the place change both climbs alike.
	bases := j.bases()
	forms, err := j.over(f, bases, false, func(form *formMargin, at *frogForm, state *frogState, s *frogSight,
		written bool) error {
		most, err := state.conform.sight(sightKey{list[0], play}) // what the allowed hollow climbs
		if err != nil {
			return err
		}
		allowed, climb := slices.Max(most.rise), slices.Max(s.rise)
		if written {
			i := slices.Index(state.forms, at)
			limit, climbs[i] = math.Min(limit, allowed), math.Max(climbs[i], climb)
		}
		form.take(allowed-climb, written, false)
		form.reach(allowed - climb)
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	if j.f.Type == "" { // it may be a spring frog, whose wing carries less
		q, carried := f.w.Read(wheel.TreadHollow), j.c.Rules.Value("spring_wing_hollow")
		for i := range forms {
			forms[i].take(carried-q.Hi, true, true)
		}
	}
	tell := func(span) string {
		var lifts []string
		for i, s := range j.c.slopes() {
			lifts = append(lifts, fmt.Sprintf("on tops with a rise of %g by up to %.1f mm", s, climbs[i]))
		}
		text := fmt.Sprintf("%s the wing lifts the wheel %s (a hollow of %g mm on conforming tops: %.1f mm)",
			readAs(m, oneEnd), strings.Join(lifts, ", "), hollow, limit)
		if len(bases) > 1 {
			text += ", the worse of the route whose wing the spring holds and the other"
		}
		if j.f.Type == trackshape.BearingFrog {
			text += "; " + j.bears(f)
		}
		form := bases[len(bases)-1].forms[0] // with the wider gap, if there are two
		k := sightKey{f.treads[0], play}
		shown, err := passage.Frog(form.model, k.tread, form.axle(k), passage.FrogOptions{OnlyHeld: true})
		if err != nil {
			return j.noted(text)
		}
		path := shown.Shown
		text += fmt.Sprintf("; with the flange toward the point it falls by %.1f mm and its path turns by %.1f mrad",
			path.Drop, path.Dip.Angle*1000)
		l, known := j.c.load(f, j.f)
		if p2, err := passage.P2(l.Static, path.Dip.Angle, l.Speed, l.Unsprung, l.Support); known && err == nil {
			text += fmt.Sprintf(", P2 %.0f kN at %.0f mph over %.0f kN", p2/1000, l.Speed/measure.MetresPerSecondPerMPH,
				l.Static/1000)
		}
		return j.noted(text)
	}
	return outcome{forms: forms, tell: tell}, nil
}

// bases are the states with the readings as written: one for each route.
func (j *frogJob) bases() []frogState {
	n := 1
	for n < len(j.states) && j.states[n].base {
		n++
	}
	return j.states[:n]
}

// depth is the flangeway depth of a flange-bearing frog, mm: as written and at the least that it can be. Its floor
// wears deeper, so that a new one is the shallowest of those that nobody read.
func (j *frogJob) depth() (as, least float64) {
	if r := j.f.Read(track.FlangewayDepth); r.Measured() {
		return middle(r), r.Lo
	}
	fresh := j.c.Figures.Value("bearing_depth")
	return fresh, fresh
}

// bears says what the floor of a flange-bearing frog does with a flange: how it carries it, with what pressure, and how
// deep its groove is.
func (j *frogJob) bears(f *footing) string {
	depth, _ := j.depth()
	h, fresh := f.w.Read(wheel.FlangeHeight), j.c.Figures.Value("bearing_depth")
	switch {
	case !h.Measured() || !j.f.Read(track.FlangewayDepth).Measured():
		return "whether the flange bears on the floor is not known"
	case middle(h) <= depth:
		return fmt.Sprintf("the flange does not reach the floor by %.1f mm: the tread carries the wheel over the "+
			"gap, for which a flange-bearing frog is not made", depth-middle(h))
	}
	l, _ := j.c.load(f, j.f)
	out := fmt.Sprintf("the flange bears on the floor, up its ramps, and lifts the tread by %.1f mm, its tip under "+
		"%.0f kN", middle(h)-depth, l.Static/1000)
	if e, err := f.treads[0].TipPressure(l.Static, 0); err == nil {
		out += fmt.Sprintf(" with up to %.0f MPa on a flat floor (elastic, Hertz), less in a groove that fits it", e.P0)
	}
	if groove := depth - fresh; groove > 0 {
		out += fmt.Sprintf("; the floor is %.1f mm deeper than a new one is taken to be (%s in, assumed)", groove,
			measure.Inch(fresh))
	}
	return out
}

// point is the room beside the blunt point: the plain margin with what the flange's own
// shape, and at most a new one's, may pass the gauge line in place of point_relief.
func (j *frogJob) point(f *footing, m interaction.Margin) (outcome, error) {
	fresh, _, err := j.c.shaped(nil, f.design, wheelshape.WornReadings{})
	if err != nil {
		return outcome{}, err
	}
	least := j.c.Rules.Value("least_contact_angle")
	forms, err := j.over(f, j.states, true, func(form *formMargin, at *frogForm, state *frogState, s *frogSight,
		written bool) error {
		for n, height := range j.heights(f, s.tip) {
			most := at.rub(fresh[0], height, least)
			for k, face := range f.faces {
				r := at.rub(face, height, least)
				if !r.ok || !most.ok {
					return fmt.Errorf("%w of the frog, which is worn", errOverPoint)
				}
				v := math.Min(r.relief, most.relief) // a high flange rubs harder, not better
				form.take(v, written && (n < asHigh && k == 0 || f.openFace), state.blank)
				form.reach(v)
			}
		}
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	as, low, high := forms[0].as, forms[0].lo, forms[0].hi
	fixed := j.c.Rules.Value("point_relief")
	for i := range forms {
		low, high = math.Min(low, forms[i].lo), math.Max(high, forms[i].hi)
		forms[i].add(m.Firm-fixed, m.Lo-fixed, m.Hi-fixed)
	}
	tell := func(span) string {
		return j.noted(fmt.Sprintf("the flange may pass the gauge line by %.1f mm (%.1f..%.1f) until the blunt point "+
			"stands at less than %g degrees on it; point_relief has %.1f", as, low, high, least, fixed))
	}
	return outcome{forms: forms, tell: tell}, nil
}

// asHigh is how many of the heights of a wheel are with the readings as written.
const asHigh = 2

// heights are those of a wheel beside the point of a frog, mm: as the wing carries it, and if the floor is made to
// carry its flange as that does, with the readings as written and at the most that it can.
func (j *frogJob) heights(f *footing, wing float64) []float64 {
	if j.f.Type != trackshape.BearingFrog {
		return []float64{wing}
	}
	as, least := j.depth()
	h := f.w.Read(wheel.FlangeHeight)
	if !h.Measured() {
		h.As, h.Hi = middle(h), j.c.Figures.Value("unread_height")
	}
	return []float64{wing, math.Max(wing, middle(h)-as), math.Max(wing, h.Hi-least)}
}

// rub is the relief of a face at a height of the wheel, once.
func (f *frogForm) rub(face *passage.Wheel, height, least float64) rub {
	k := rubKey{face, toStep(height, tipStep)}
	r, _ := f.rubs.get(k, func() (r rub, _ error) {
		r.relief, r.ok = face.PointRelief(f.model, k.height, least*math.Pi/180)
		return r, nil
	})
	return r
}

// errBlank wraps what goes wrong if a figure stands for what was not read.
var errBlank = errors.New("with what it can be")

// blankOr wraps an error of a state with figures that nobody read.
func blankOr(blank bool, err error) error {
	if blank && err != nil {
		return fmt.Errorf("%w, where nothing was read: %w", errBlank, err)
	}
	return err
}
