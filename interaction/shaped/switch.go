package shaped

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/track/shape"
)

// pointState is one state of a switch's readings.
type pointState struct {
	model *shape.SwitchModel
	gauge measure.Reading
	// extra is the wear that the stock rail may have beyond what point-pick lets go free, if its wear was not read, mm.
	extra float64
	blank bool // a figure in it stands for what was not read
	inner bool // a figure in it lies between the ends of a reading
	// whole is the point without its chip: over a chip a flange climbs and picks nothing.
	whole *shape.SwitchModel
	*pointKept
}

// pointKept holds the results of wheels over a point. Switches with the same sections share it.
type pointKept struct {
	lowered kept[lowKey, *shape.SwitchModel]
	climbs  kept[climbKey, climbed]
	heels   kept[*passage.Wheel, *passage.SwitchSolution]
	rooms   kept[roomKey, room]
}

// lowKey tells apart the points of a state that were lowered: without its chip, and by how much in mm.
type lowKey struct {
	whole bool
	by    float64
}

type climbKey struct {
	w     *passage.Wheel
	below float64 // mm
}

// climbed is the least contact angle (degrees) and where the flange meets the point first and least (mm from the tip).
type climbed struct {
	angle, first, at float64
	meets            bool
}

// pointJob is a switch point that wheels are taken over: its readings as written, at
// their worse ends and at their better ones, and what was not read at what makes it worse.
type pointJob struct {
	c      *Computer
	f      *track.Feature
	states []pointState
	open   bool // a reading in them is a range or one-sided: its ends are as written
	broken error
	unread unread
	notes  []string
	fresh  *footing // a new wheel
}

type roomKey struct {
	w   *passage.Wheel
	yaw float64 // rad
}

type room struct {
	mm   float64
	over bool
}

const (
	// climbStep and heelStep are the distances of stations in mm along the low part of the point and along its heel.
	climbStep = 40.0
	heelStep  = 80.0
	// yawStep is the step of an axle's yaw in rad.
	yawStep = 0.001
)

// The states of a switch's readings besides [written], [wornEnd] and [newEnd].
const notRead = numEnds

// point prepares a switch, with a new wheel whose room beside the tip is compared.
func (c *Computer) point(f *track.Feature, fresh *footing) *pointJob {
	j := &pointJob{c: c, f: f, fresh: fresh}
	for _, q := range []track.Quantity{track.PointGap, track.PointThickness, track.StockRailWear,
		track.PointDrop} {
		if !f.Read(q).Measured() {
			j.unread.quantities |= interaction.TrackMask(q)
		}
	}
	for end := written; end <= notRead; end++ {
		if end == notRead && !j.unread.any() {
			continue
		}
		s, err := c.pointState(f, end, false)
		if err != nil {
			j.broken = err
			return j
		}
		j.states = append(j.states, s)
	}
	for _, q := range f.Measured() {
		r := f.Read(q)
		j.open = j.open || r.OneSided() || r.Form == measure.Range
	}
	// What was not read is tried with what is a range or one-sided at its ends too.
	ends := []*track.Feature{f}
	if j.open && j.unread.any() {
		ends = append(ends, atEnds(f, true), atEnds(f, false))
		for _, g := range ends[1:] {
			s, err := c.pointState(g, notRead, false)
			if err != nil {
				j.broken = err
				return j
			}
			j.states = append(j.states, s)
		}
	}
	// A flange meets a low tip elsewhere: one that was not read is tried low with each of these.
	for end := written; end <= notRead && !f.Read(track.PointDrop).Measured(); end++ {
		s, err := c.pointState(f, end, true)
		if err != nil {
			j.broken = err
			return j
		}
		s.blank = true
		j.states = append(j.states, s)
	}
	for _, v := range c.thicknessesBetween(f.Read(track.PointThickness)) {
		thick, of, at := f.Read(track.PointThickness), []*track.Feature{f}, []int{wornEnd, newEnd}
		if !thick.Measured() {
			of, at = ends, []int{notRead}
		}
		for _, g := range of {
			for _, end := range at {
				s, err := c.pointState(g.With(track.PointThickness, measure.Exact(v, thick.Written)), end, false)
				if err != nil {
					j.broken = err
					return j
				}
				s.inner = true
				j.states = append(j.states, s)
			}
		}
	}
	// A point that stands off, or a worn stock rail, shows the flange another part of a chip, and a low tip another
	// part of itself.
	for _, q := range []track.Quantity{track.PointGap, track.StockRailWear, track.PointDrop} {
		r := f.Read(q)
		if !r.Measured() || pointed(r) {
			continue
		}
		for _, end := range []int{written, wornEnd, newEnd} {
			for _, v := range []float64{r.Lo, middle(r), r.Hi} {
				s, err := c.pointState(f.With(q, measure.Exact(v, r.Written)), end, false)
				if err != nil {
					j.broken = err
					return j
				}
				s.inner = true
				j.states = append(j.states, s)
			}
		}
	}
	if j.unread.any() {
		j.notes = append(j.notes, strings.Join(j.unread.columns(), ", ")+
			" of the switch not read: what it can be was tried")
	}
	j.notes = append(j.notes, "point detail "+shape.DetailOf(f)+", from memory")
	return j
}

// atEnds is a switch with its readings that have no figure at the ends that are worse for a flange, or at the better
// ones. Its gauge stays: it enters by the play that it leaves.
func atEnds(f *track.Feature, worse bool) *track.Feature {
	for _, q := range f.Measured() {
		r := f.Read(q)
		if q == track.Gauge || pointed(r) {
			continue
		}
		v := r.Lo
		if worse != (q == track.FaceAngle || q == track.Undercut) {
			v = r.Hi
		}
		f = f.With(q, measure.Exact(v, r.Written))
	}
	return f
}

// thicknessesBetween are those in mm at which a tip is tried between the ends of a range or a bound, or up to
// unread_tip_most if it was not read: a thin one hides behind the stock rail, and a thick one keeps the flange off it.
func (c *Computer) thicknessesBetween(r measure.Reading) (out []float64) {
	switch {
	case !r.Measured():
		r.Hi = c.Figures.Value("unread_tip_most") + 2*measure.Near
	case pointed(r):
		return nil
	}
	const step = measure.MMPerInch / 16
	for v := math.Ceil(r.Lo/step) * step; v < r.Hi-measure.Near; v += step {
		if v > r.Lo+measure.Near {
			out = append(out, v)
		}
	}
	return out
}

// pointState is a switch at its readings as written, at their worse or better ends, or at
// the worse ends with what was not read at its worst; low has its tip at unread_drop.
func (c *Computer) pointState(f *track.Feature, end int, low bool) (pointState, error) {
	s := pointState{gauge: f.Read(track.Gauge), blank: end == notRead}
	worse := end == wornEnd
	value := func(q track.Quantity, r measure.Reading) float64 {
		switch {
		case end == written, s.blank:
			return figureOf(q, r)
		case worse == (q == track.FaceAngle || q == track.Undercut):
			return r.Lo
		}
		return r.Hi
	}
	plan, err := shape.SwitchPlanOf(f, c.Figures, value)
	if err != nil {
		return s, err
	}
	if s.blank {
		for q, at := range map[track.Quantity]*float64{track.PointGap: &plan.Gap,
			track.PointThickness: &plan.TipThickness, track.StockRailWear: &plan.StockWear} {
			if !f.Read(q).Measured() {
				*at = c.blankMost(f, q)
			}
		}
		if !f.Read(track.StockRailWear).Measured() {
			s.extra = math.Max(0, plan.StockWear-interaction.StockWearFree-math.Max(0, f.Read(track.Undercut).Lo))
		}
	}
	if low {
		plan.Drop = c.blankMost(f, track.PointDrop)
	}
	switch length := f.Read(track.ChipLength); {
	case length.Measured() && length.Hi < interaction.ShortChip-measure.Near: // the plain rule leaves it out
		plan.ChipDepth = 0
	case plan.ChipLength < interaction.ShortChip: // it may be as long
		plan.ChipLength = interaction.ShortChip
	}
	if r := f.Read(track.HeelRise); r.Measured() { // counted with its own ends
		plan.HeelRise = figureOf(track.HeelRise, r)
	}
	if s.model, err = shape.NewSwitchModel(plan); err != nil {
		return s, err
	}
	whole := plan
	whole.ChipDepth = 0
	if s.whole, err = shape.NewSwitchModel(whole); err != nil {
		return s, err
	}
	s.pointKept, err = c.points.get(fmt.Sprint(plan), func() (*pointKept, error) { return &pointKept{}, nil })
	return s, err
}

func (j *pointJob) noted(s string) string { return strings.Join(append([]string{s}, j.notes...), "; ") }

func (j *pointJob) margin(by interaction.Passing, f *footing, m interaction.Margin, p *interaction.Part) (outcome,
	error) {
	if j.broken != nil {
		return outcome{}, j.broken
	}
	var out outcome
	var err error
	switch by {
	case interaction.OverStockRail:
		out, err = j.heel(f, m)
	case interaction.OnPoint:
		out, err = j.climb(f, m)
	default:
		out, err = j.pick(f, p)
	}
	out.names = []string{"the point detail " + shape.DetailOf(j.f)}
	out.unread.quantities |= j.unread.quantities
	return out, err
}

// low is a point of a state, with its chip or without, lower by a distance (mm).
func (s *pointState) low(model *shape.SwitchModel, by float64) (*shape.SwitchModel, error) {
	by = math.Round(by/0.01) * 0.01
	if by == 0 {
		return model, nil
	}
	return s.lowered.get(lowKey{model == s.whole, by}, func() (*shape.SwitchModel, error) {
		plan := model.Plan
		plan.Stations = append(plan.Stations[:0:0], plan.Stations...)
		for i := range plan.Stations {
			plan.Stations[i].Down += by
		}
		plan.Drop += by
		if plan.ChipDepth > 0 {
			plan.ChipDepth += by
		}
		plan.HeelRise = math.NaN() // as the stations have it
		return shape.NewSwitchModel(plan)
	})
}

// climb is the least contact angle of a flange on the point of a state, once. Over a chip it is no more than over the
// point before it broke: a flange that meets less of a point is guided no better.
func (s *pointState) climb(t tip) (climbed, error) {
	return s.climbs.get(climbKey(t), func() (climbed, error) {
		out, err := s.climbOver(s.model, t)
		if err != nil || s.model.Plan.ChipDepth == 0 {
			return out, err
		}
		if whole, err := s.climbOver(s.whole, t); err == nil && whole.meets && whole.angle < out.angle {
			return whole, nil
		}
		return out, nil
	})
}

// climbOver is the least contact angle of a flange on a point of a state, with its chip or without.
func (s *pointState) climbOver(of *shape.SwitchModel, t tip) (out climbed, err error) {
	model, err := s.low(of, t.below)
	if err != nil {
		return out, err
	}
	over, err := passage.SwitchPart(model, t.w, passage.SwitchAxle{}, 0, climbStep, 0, model.Level)
	if err != nil {
		return out, err
	}
	out = climbed{angle: t.w.Angle * 180 / math.Pi}
	if over.Meets {
		out = climbed{over.Least * 180 / math.Pi, over.First, over.LeastX, true}
	}
	for _, st := range over.Stations {
		if st.Over && st.Exposed > 0 { // its tip passes above the point
			out.angle, out.at, out.meets = 0, st.X, true
			break
		}
	}
	return out, nil
}

// climb is the least contact angle over all stations less the least allowed, degrees.
func (j *pointJob) climb(f *footing, m interaction.Margin) (outcome, error) {
	if f.noTips != "" {
		return outcome{}, errors.New(f.noTips)
	}
	plain := j.c.Rules.Value("least_contact_angle")
	least, err := passage.FacingAngle(plain, j.c.Rules.Value("dry_friction"))
	if err != nil {
		return outcome{}, err
	}
	forms := newForms(1)
	shown, err := j.states[written].climb(f.tip)
	if err != nil {
		return outcome{}, err
	}
	for n := range j.states {
		state := &j.states[n]
		tips, asRead := f.lowTips, n == wornEnd && j.open || state.inner
		switch {
		case n == newEnd && m.Verdict == interaction.Clear && forms[0].open >= -measure.Near: // it stays clear
			continue
		case n == newEnd:
			tips = []tip{f.highTip}
		case (n == written || state.blank) && !f.openTip:
			tips, asRead = []tip{f.tip}, true
		case n == written || state.blank:
			asRead = true
		}
		for _, t := range tips {
			a, err := state.climb(t)
			if err != nil {
				return outcome{}, err
			}
			forms[0].take(a.angle-least, asRead, state.blank)
		}
	}
	// A worn flange is taken to keep its face up to the tip, which nobody read: beside a chip
	// that is nowhere better than the plain rule has it.
	if j.states[written].model.Plan.ChipDepth > 0 {
		f := &forms[0]
		hi := m.Hi - (least - plain)
		f.as, f.open, f.lo, f.top, f.hi = math.Min(f.as, hi), math.Min(f.open, hi), math.Min(f.lo, hi),
			math.Min(f.top, hi), math.Min(f.hi, hi)
	}
	var caution string
	var next interaction.Mask
	if !j.f.Read(track.FaceAngle).Measured() {
		caution = fmt.Sprintf("face_angle was not read: by tip height only; a face under %g degrees would climb", least)
		next = interaction.TrackMask(track.FaceAngle)
	}
	tell := func(span) string {
		if !shown.meets {
			return j.noted(readAs(m, between) + " the flange meets the point nowhere below its face")
		}
		return j.noted(fmt.Sprintf("%s the flange first meets the point %.1f in behind the tip, and at its least "+
			"angle, %.1f degrees, %.1f in behind it", readAs(m, between), shown.first/measure.MMPerInch, shown.angle,
			shown.at/measure.MMPerInch))
	}
	return outcome{forms: forms, tell: tell, caution: caution, next: next}, nil
}

// room is the room beside the tip of a state, once.
func (s *pointState) room(w *passage.Wheel, yaw float64) room {
	k := roomKey{w, toStep(yaw, yawStep)}
	r, _ := s.rooms.get(k, func() (r room, _ error) {
		r.mm, r.over = w.TipRoom(s.whole, k.yaw)
		return r, nil
	})
	return r
}

// stance is an axle's yaw toward a point, and that of a new wheel beside it, rad.
type stance struct {
	yaw, own float64
	written  bool // with the readings as written
	blank    bool // for what was not read
}

// stances are how an axle can be yawed by its play in a state: by the most of it, and as written by the play as
// written; by every step between none and the most if gauge, back-to-back or a flange is a range or one-sided; if one
// was not read at none, and at the most that it can be.
func (j *pointJob) stances(f *footing, n int) (out []stance) {
	gauge := j.states[n].gauge
	add := func(play, fresh float64, written, blank bool) {
		out = append(out, stance{play / f.base, math.Max(0, math.Min(fresh, play)) / f.base, written, blank})
	}
	fresh, known := j.fresh.play(gauge)
	if !known {
		fresh = 0
	}
	most, yawed := f.play(gauge)
	switch {
	case !yawed:
		most = greatestGauge(j.f.Class)
		if gauge.Measured() {
			most = gauge.Hi
		}
		most = math.Max(j.c.Figures.Value("unread_play"), most-f.leastLoose)
		add(0, fresh, n == written, false)
		add(most, fresh, n == written, true)
	case f.looseFree || !pointed(gauge):
		for play := math.Max(0, gauge.Lo-f.loose.hi); ; play += yawStep * f.base {
			play = math.Min(play, most)
			own := fresh
			if !pointed(gauge) { // the narrowest in which the axle has this play
				own = math.Max(gauge.Lo, play+f.loose.lo) - j.fresh.loose.lo
			}
			add(play, own, n == written, false)
			if play == most {
				break
			}
		}
	case n == written:
		add(math.Max(0, middle(gauge)-f.loose.as), fresh, true, false)
	default:
		add(most, fresh, false, false)
	}
	return out
}

// pick is the rule's allowance of a full flange less the gap, and less what the flange
// needs more room beside the tip than a new one has there, yawed each by its own play.
func (j *pointJob) pick(f *footing, p *interaction.Part) (outcome, error) {
	forms, best := newForms(1), math.Inf(-1)
	lost, beside := newForms(1), newForms(1)
	// If its play was not read it is tried at none and at the most that it can be.
	var out outcome
	_, yawed := f.play(j.states[written].gauge)
	if !yawed {
		if !j.f.Read(track.Gauge).Measured() {
			out.unread.quantities |= interaction.TrackMask(track.Gauge)
		}
		if !f.looseKnown {
			out.unread.quantities |= f.spreadUnread()
		}
	}
	try := func(faces []*passage.Wheel, within bool) error {
		for n := range j.states {
			state := &j.states[n]
			for _, at := range j.stances(f, n) {
				asRead := at.written || state.blank || state.inner || (n == wornEnd || n == newEnd) && j.open
				if within && !asRead {
					continue
				}
				blank := state.blank || at.blank
				than := state.room(j.fresh.faces[0], at.own)
				for k, face := range faces {
					r := state.room(face, at.yaw)
					if r.over || than.over {
						return blankOr(blank, fmt.Errorf("%w of the switch", errOverPoint))
					}
					v, read := math.Min(0, r.mm-than.mm), asRead && (k == 0 || f.openFace)
					lost[0].take(v, read, blank)
					forms[0].take(v-state.extra, read, blank)
					beside[0].take(r.mm, read, blank)
					best = math.Max(best, r.mm)
				}
			}
		}
		return nil
	}
	if err := try(f.faces, false); err != nil {
		return out, err
	}
	if open := forms[0].open + p.Firm + interaction.GapAllowed; f.openFace && open >= -measure.Near && open < faceBend {
		within, err := j.c.facesWithin(f)
		if err == nil {
			err = try(within, true)
		}
		if err != nil {
			return out, err
		}
	}
	out.forms, out.tell = forms, func(span) string {
		s := fmt.Sprintf("beside the tip this flange has %.1f mm (%.1f..%.1f) less room than a new one", -lost[0].as+0,
			-lost[0].hi+0, -lost[0].lo+0)
		if !yawed {
			s += ", its yaw at none and at unread_play: gauge, back-to-back or a flange was not read"
		}
		return j.noted(s)
	}
	if !j.f.Read(track.PointDrop).Measured() {
		out.lacks = fmt.Sprintf("point_drop was not read: tried to %s in; a flange meets a lower tip otherwise",
			measure.Inch(j.c.Figures.Value("unread_drop")))
		out.next = interaction.TrackMask(track.PointDrop)
	}
	open := forms[0].open
	forms[0].add(p.Firm+interaction.GapAllowed, p.Lo+interaction.GapAllowed, p.Hi+interaction.GapAllowed)
	// as the plain rule has it of one that was read
	out.unread.quantities |= j.unread.quantities
	if out.unread.quantities&interaction.TrackMask(track.StockRailWear) != 0 {
		forms[0].open = math.Min(forms[0].open, open+p.Lo+interaction.GapAllowed)
	}
	forms[0].reach(best) // if a flange has room by itself it picks nothing
	if f.openFace {
		beside[0].lo -= faceBend
	}
	out.guard = j.guard(f, span{beside[0].open, beside[0].lo, beside[0].hi})
	return out, nil
}

// heel is how far the point holds the outer tread clear of the stock rail, and what a
// false flange rides over without harm.
func (j *pointJob) heel(f *footing, m interaction.Margin) (outcome, error) {
	forms := newForms(1)
	state := &j.states[written]
	var at float64
	for i, t := range f.treads {
		s, err := state.heels.get(t, func() (*passage.SwitchSolution, error) {
			return passage.SwitchPart(state.model, t, passage.SwitchAxle{}, 0, heelStep, state.model.Full-t.Radius/2,
				state.model.Heel)
		})
		if err != nil {
			return outcome{}, err
		}
		if !s.FalseKnown {
			return outcome{}, errors.New("the outer tread is not over the stock rail where the point has its rise")
		}
		if i == 0 {
			at = s.FalseFlangeX
		}
		forms[0].take(s.FalseFlange, i < f.asRead, false)
	}
	rise := j.f.Read(track.HeelRise)
	over := j.c.Rules.Value("ride_over") - middle(rise)
	clear := forms[0].as
	forms[0].add(over+interaction.LeastWritten(rise), over+rise.Lo, over+rise.Hi)
	tell := func(span) string {
		return j.noted(fmt.Sprintf("%s the point holds the outer tread %s than the stock rail would, %.1f in behind "+
			"the tip; ride_over is %g mm", readAs(m, oneEnd), lowerBy(clear), at/measure.MMPerInch,
			j.c.Rules.Value("ride_over")))
	}
	return outcome{forms: forms, tell: tell}, nil
}
