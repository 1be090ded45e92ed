package interaction

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// frogJob is a frog that wheels are taken through.
type frogJob struct {
	c      *computer
	f      *track.Feature
	models []*track.FrogModel // flat tops, then sloped ones
	// conform has tops that rise as a new tread does: what the allowed hollow climbs there,
	// mm, stands in allows.
	conform *track.FrogModel
	broken  error
	notes   []string
	*frogKept
}

// frogKept is what was found of the wheels in a frog. It belongs to its sections: frogs that
// differ in their depth, gauge or guard rail alone share it, one at a time.
type frogKept struct {
	sync.Mutex
	sights map[sightKey]*frogSight
	rubs   map[rubKey]rub
	allows map[sightKey]float64
}

// frogKey tells sections of frogs apart.
type frogKey struct {
	plan  track.FrogPlan
	least float64 // wing_slope_least, wing_slope_most
	most  float64
}

func newFrogKept() *frogKept {
	return &frogKept{sights: map[sightKey]*frogSight{}, rubs: map[rubKey]rub{}, allows: map[sightKey]float64{}}
}

type sightKey struct {
	tread *passage.Wheel
	play  float64 // mm; -1: not known
}

// frogSight is what a tread comes to in a frog, by the form of the tops and the position
// across, the flange toward the point first.
type frogSight struct {
	floor, rise [][]float64 // mm: how the tread stands to the plane of the depth; what the wing lifts it
	tip         []float64   // mm: height on the wing beside the point, flange toward the point
	key         sightKey
	err         error
}

type rubKey struct {
	model  int // the form of the tops
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
)

// frog prepares a frog.
func (c *computer) frog(f *track.Feature) *frogJob {
	j := &frogJob{c: c, f: f, frogKept: newFrogKept()}
	if !track.FrogModelled(f.Type) {
		j.broken = fmt.Errorf("frogs of the type %s have no sections (modelled: %s)", f.Type, strings.Join(track.ModelledFrogs(), ", "))
		return j
	}
	plan, missing := track.FrogPlanOf(f, c.figures, figureOf)
	missing = slices.DeleteFunc(missing, func(name string) bool { return name == track.FlangewayDepth.String() }) // a tread's way does not hang on it
	if len(missing) > 0 {
		j.broken = fmt.Errorf("%s of the frog not read", strings.Join(missing, ", "))
		return j
	}
	if f.Type == "" {
		j.notes = append(j.notes, "frog type not given, taken as rbm")
	}
	plan.FlangewayDepth = openDepth
	least, most := c.e.Rules.value("wing_slope_least"), c.e.Rules.value("wing_slope_most")
	j.frogKept, _ = c.frogs.get(frogKey{plan, least, most}, func() (*frogKept, error) { return newFrogKept(), nil })
	slopes := []float64{least}
	if most != least {
		slopes = append(slopes, most)
		j.notes = append(j.notes, fmt.Sprintf("the form of its tops is in no sheet: a rise of %g and of %g toward the field were tried", least, most))
	} else {
		j.notes = append(j.notes, fmt.Sprintf("the form of its tops is in no sheet: a rise of %g toward the field was taken", least))
	}
	for _, s := range append(slopes, coneSlope) {
		plan.WingSlope = s
		m, err := track.NewFrogModel(plan)
		if err != nil {
			j.broken = err
			return j
		}
		j.models = append(j.models, m)
	}
	j.models, j.conform = j.models[:len(slopes)], j.models[len(slopes)]
	return j
}

// axle stands for every axle with a play: the flange toward the point is held just off
// the gauge line, or the rim by a raised guard.
func (j *frogJob) axle(k sightKey) passage.Axle {
	const back = 53.375 * measure.MMPerInch
	t := k.tread.Thickness
	a := passage.Axle{BackToBack: back, GuardCheck: back + t + offFace}
	if j.f.Type == "self-guarded" {
		a.GuardCheck = 0
	}
	if k.play >= 0 {
		a.MateThickness, a.Gauge = t, back+2*t+offFace+k.play
	}
	return a
}

// pass takes a tread through the frog with tops of one form.
func (j *frogJob) pass(m *track.FrogModel, k sightKey) (*passage.FrogSolution, error) {
	return passage.Frog(m, k.tread, j.axle(k), passage.FrogOptions{Step: frogStep * m.Plan.Number, Heights: true})
}

// sight takes a tread through the frog, once.
func (j *frogJob) sight(k sightKey) *frogSight {
	if s := j.sights[k]; s != nil {
		return s
	}
	s := &frogSight{key: k}
	j.sights[k] = s
	for _, m := range j.models {
		solved, err := j.pass(m, k)
		if err != nil {
			s.err = err
			return s
		}
		var floor, rise []float64
		for _, p := range solved.Paths {
			floor = append(floor, p.FloorMargin-(openDepth-k.tread.Height))
			rise = append(rise, p.WingRise)
		}
		s.floor, s.rise, s.tip = append(s.floor, floor), append(s.rise, rise), append(s.tip, solved.Paths[0].AtTip)
	}
	return s
}

// looks are what the treads of a wheel come to, as written first.
func (j *frogJob) looks(f *footing) ([]*frogSight, error) {
	play := -1.0
	if g := j.f.Read(track.Gauge); g.Measured() && !g.OneSided() {
		if v, ok := f.play(g.As); ok {
			play = math.Ceil(v/playStep-near) * playStep
		}
	}
	var out []*frogSight
	for _, t := range f.treads {
		s := j.sight(sightKey{t, play})
		if s.err != nil {
			return nil, s.err
		}
		out = append(out, s)
	}
	return out, nil
}

func (j *frogJob) margin(check string, f *footing, m margin, _ *part) (span, func(span) string, error) {
	if j.broken != nil {
		return span{}, nil, j.broken
	}
	looks, err := j.looks(f)
	if err != nil {
		return span{}, nil, err
	}
	switch check {
	case "frog-floor":
		return j.floor(f, looks, m)
	case "frog-wing":
		return j.wing(f, looks, m)
	}
	return j.point(f, looks, m)
}

// floor is the clearance of the flange tip: the plain margin and how the tread stands to
// the plane that the depth is read from.
func (j *frogJob) floor(f *footing, looks []*frogSight, m margin) (span, func(span) string, error) {
	stands := none()
	for _, s := range looks {
		for _, list := range s.floor {
			for _, v := range list {
				stands.take(v)
			}
		}
	}
	tell := func(s span) string {
		out := "the tread stands " + lowerBy(stands.lo) + " to " + lowerBy(stands.hi) + " than the plane that the depth is read from, over three positions within the play"
		h := f.w.Read(wheel.FlangeHeight)
		height, bears, at := h.As, -s.as, "as written"
		switch {
		case j.c.e.openEnd(CheckByID("frog-floor"), f.w, j.f):
			height, bears, at = h.Lo, -s.hi, "at the least"
		case m.noAs:
			height, bears, at = h.Hi, -s.lo, "at the worst end of the readings"
		}
		if bears > 0 {
			if blow := j.c.strike(f, j.f, height, bears); blow != "" {
				out += "; " + at + " " + blow
			}
		}
		return j.noted(out)
	}
	return m.span().add(stands), tell, nil
}

func (j *frogJob) noted(s string) string { return strings.Join(append([]string{s}, j.notes...), "; ") }

// lowerBy words a height in mm.
func lowerBy(v float64) string {
	if v > 0 {
		return fmt.Sprintf("%.1f mm higher", v)
	}
	return fmt.Sprintf("%.1f mm lower", -v)
}

// wing is how much less the false flange climbs than one of the allowed hollow does on
// tops that conform to a new tread, each at the position across where it climbs most.
func (j *frogJob) wing(f *footing, looks []*frogSight, m margin) (span, func(span) string, error) {
	limit, err := j.allowed(f, looks)
	if err != nil {
		return span{}, nil, err
	}
	out := none()
	for _, s := range looks {
		for _, list := range s.rise {
			out.take(limit - slices.Max(list))
		}
	}
	tell := func(s span) string {
		text := fmt.Sprintf("%s, on tops with a rise of %g, the wing lifts the wheel by up to %.1f mm (a hollow of %g mm on conforming tops: %.1f)", readAs(m, oneEnd), j.models[0].Plan.WingSlope, limit-s.as, j.c.e.Rules.value("wing_hollow"), limit)
		k := looks[0].key
		shown, err := passage.Frog(j.models[0], k.tread, j.axle(k), passage.FrogOptions{OnlyHeld: true})
		if err != nil {
			return j.noted(text)
		}
		path := shown.Shown
		text += fmt.Sprintf("; with the flange toward the point it falls by %.1f mm and its path turns by %.1f mrad", path.Drop, path.Dip.Angle*1000)
		l, known := j.c.load(f, j.f)
		if p2, err := passage.P2(l.Static, path.Dip.Angle, l.Speed, l.Unsprung, l.Support); known && err == nil {
			text += fmt.Sprintf(", P2 %.0f kN at %.0f mph over %.0f", p2/1000, l.Speed/measure.MetresPerSecondPerMPH, l.Static/1000)
		}
		return j.noted(text)
	}
	return out, tell, nil
}

// allowed is what the allowed hollow climbs on conforming tops, mm, found once.
func (j *frogJob) allowed(f *footing, looks []*frogSight) (mm float64, err error) {
	r := atEnd(f.w.WornReadings(), written)
	r.Hollow = measure.Exact(j.c.e.Rules.value("wing_hollow"), "")
	list, _, err := j.c.shaped(nil, f.design, r)
	if err != nil {
		return 0, err
	}
	k := sightKey{list[0], looks[0].key.play}
	if mm, ok := j.allows[k]; ok {
		return mm, nil
	}
	s, err := j.pass(j.conform, k)
	if err != nil {
		return 0, err
	}
	for _, p := range s.Paths {
		mm = math.Max(mm, p.WingRise)
	}
	j.allows[k] = mm
	return mm, nil
}

// point is the room beside the blunt point: the plain margin with what the flange's own
// shape, and at most a new one's, may pass the gauge line in place of point_relief.
func (j *frogJob) point(f *footing, looks []*frogSight, m margin) (span, func(span) string, error) {
	relief := none()
	fresh, _, err := j.c.shaped(nil, f.design, wheel.WornReadings{})
	if err != nil {
		return span{}, nil, err
	}
	for _, face := range f.faces {
		for _, s := range looks {
			for i, h := range s.tip {
				r, most := j.rub(i, face, h), j.rub(i, fresh[0], h)
				if !r.ok || !most.ok {
					return span{}, nil, fmt.Errorf("%w of the frog, which is worn", errOverPoint)
				}
				relief.take(math.Min(r.relief, most.relief)) // a high flange rubs harder, not better
			}
		}
	}
	fixed := j.c.e.Rules.value("point_relief")
	tell := func(span) string {
		return j.noted(fmt.Sprintf("the flange may pass the gauge line by %.1f mm (%.1f..%.1f) until the blunt point stands at less than %g degrees on it; point_relief has %.1f",
			relief.as, relief.lo, relief.hi, j.c.e.Rules.value("least_contact_angle"), fixed))
	}
	return m.span().add(relief).shift(-fixed), tell, nil
}

// rub is the relief of a face at a height of the wheel, once.
func (j *frogJob) rub(i int, face *passage.Wheel, height float64) rub {
	k := rubKey{i, face, math.Round(height/tipStep) * tipStep}
	r, ok := j.rubs[k]
	if !ok {
		r.relief, r.ok = face.PointRelief(j.models[i], k.height, j.c.e.Rules.value("least_contact_angle")*math.Pi/180)
		j.rubs[k] = r
	}
	return r
}
