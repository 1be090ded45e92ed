package interaction

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"

	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
)

// pointState is one state of a switch's readings.
type pointState struct {
	model  *track.SwitchModel
	shift  map[float64]*track.SwitchModel // the point so much lower, mm
	gauge  float64                        // mm; 0: not read
	climbs map[climbKey]climbed
}

type climbKey struct {
	w     *passage.Wheel
	below float64 // mm
}

// climbed is the least contact angle (degrees) and where the flange meets the point first
// and least (mm from the tip).
type climbed struct {
	angle, first, at float64
	meets            bool
	err              error
}

// pointJob is a switch point that wheels are taken over: its readings as written, at
// their worse ends and at their better ones.
type pointJob struct {
	c      *computer
	f      *track.Feature
	broken error
	notes  []string
	fresh  *footing // a new wheel
	*pointKept
}

// pointKept is what was found of the wheels over a point. It belongs to the point's sections
// and gauge: switches that differ in other readings alone share it, one at a time.
type pointKept struct {
	sync.Mutex
	states []pointState
	heels  map[*passage.Wheel]*passage.SwitchSolution
	rooms  map[roomKey]room
}

type roomKey struct {
	state int
	w     *passage.Wheel
	yaw   float64 // rad
}

type room struct {
	mm   float64
	over bool
}

const (
	// climbStep and heelStep are the distances of stations in mm along the low part of the
	// point and along its heel.
	climbStep = 40.0
	heelStep  = 80.0
	// yawStep is the step of an axle's yaw in rad.
	yawStep = 0.001
)

// point prepares a switch, with a new wheel whose room beside the tip is compared.
func (c *computer) point(f *track.Feature, fresh *footing) *pointJob {
	j := &pointJob{c: c, f: f, fresh: fresh, pointKept: &pointKept{heels: map[*passage.Wheel]*passage.SwitchSolution{}, rooms: map[roomKey]room{}}}
	key := ""
	length := f.Read(track.ChipLength)
	for end := range numEnds {
		value := func(q track.Quantity, r measure.Reading) float64 {
			switch {
			case end == written:
				return figureOf(q, r)
			case (end == wornEnd) == (q == track.FaceAngle || q == track.Undercut):
				return r.Lo
			}
			return r.Hi
		}
		plan, err := track.SwitchPlanOf(f, c.figures, value)
		if err != nil {
			j.broken = err
			return j
		}
		if length.Measured() && length.Hi < shortChip-near { // too short to count
			plan.ChipDepth = 0
		}
		if r := f.Read(track.HeelRise); r.Measured() { // counted with its own ends
			plan.HeelRise = figureOf(track.HeelRise, r)
		}
		model, err := track.NewSwitchModel(plan)
		if err != nil {
			j.broken = err
			return j
		}
		s := pointState{model: model, shift: map[float64]*track.SwitchModel{0: model}, climbs: map[climbKey]climbed{}}
		if g := f.Read(track.Gauge); g.Measured() {
			s.gauge = value(track.Gauge, g)
		}
		j.states = append(j.states, s)
		key += fmt.Sprint(plan, s.gauge)
	}
	j.pointKept, _ = c.points.get(key, func() (*pointKept, error) { return j.pointKept, nil })
	if !f.Read(track.PointThickness).Measured() {
		j.notes = append(j.notes, "point_thickness was not read, the detail's taken")
	}
	j.notes = append(j.notes, "point detail "+track.DetailOf(f)+", from memory")
	return j
}

func (j *pointJob) noted(s string) string { return strings.Join(append([]string{s}, j.notes...), "; ") }

func (j *pointJob) margin(check string, f *footing, m margin, p *part) (span, func(span) string, error) {
	if j.broken != nil {
		return span{}, nil, j.broken
	}
	switch check {
	case "outer-tread":
		return j.heel(f, m)
	case "point-climb":
		return j.climb(f, m)
	}
	return j.pick(f, p)
}

// lowered is the point of a state lower by a distance (mm).
func (s *pointState) lowered(by float64) (*track.SwitchModel, error) {
	by = math.Round(by/0.01) * 0.01
	if m := s.shift[by]; m != nil {
		return m, nil
	}
	plan := s.model.Plan
	plan.Stations = append(plan.Stations[:0:0], plan.Stations...)
	for i := range plan.Stations {
		plan.Stations[i].Down += by
	}
	plan.Drop += by
	if plan.ChipDepth > 0 {
		plan.ChipDepth += by
	}
	plan.HeelRise = math.NaN() // as the stations have it
	m, err := track.NewSwitchModel(plan)
	if err == nil {
		s.shift[by] = m
	}
	return m, err
}

// climbOf is the least contact angle of a flange on the point of a state, once.
func (j *pointJob) climbOf(state int, t tip) climbed {
	s := &j.states[state]
	k := climbKey(t)
	if a, ok := s.climbs[k]; ok {
		return a
	}
	var out climbed
	model, err := s.lowered(t.below)
	if err == nil {
		var over *passage.SwitchSolution
		over, err = passage.SwitchPart(model, t.w, passage.SwitchAxle{}, 0, climbStep, 0, model.Level)
		if err == nil {
			out = climbed{angle: t.w.Angle * 180 / math.Pi}
			if over.Meets {
				out = climbed{over.Least * 180 / math.Pi, over.First, over.LeastX, true, nil}
			}
			for _, st := range over.Stations {
				if st.Over && st.Exposed > 0 { // its tip passes above the point
					out.angle, out.at, out.meets = 0, st.X, true
					break
				}
			}
		}
	}
	out.err = err
	s.climbs[k] = out
	return out
}

// climb is the least contact angle over all stations less the least allowed, degrees.
func (j *pointJob) climb(f *footing, m margin) (span, func(span) string, error) {
	if f.noTips != "" {
		return span{}, nil, errors.New(f.noTips)
	}
	least := j.c.e.Rules.value("least_contact_angle")
	out := none()
	var shown climbed
	// tips: as written, least, greatest; states: as written, worse, better
	for i, t := range f.tips {
		a := j.climbOf(i, t)
		if a.err != nil {
			return span{}, nil, a.err
		}
		if i == 0 {
			shown = a
		}
		out.take(a.angle - least)
	}
	// A flange that passes beside a chip meets the step behind it. The model has no step,
	// so a chip is nowhere better than the plain rule has it.
	if j.states[written].model.Plan.ChipDepth > 0 {
		out = span{math.Min(out.as, m.hi), math.Min(out.lo, m.hi), math.Min(out.hi, m.hi)}
	}
	tell := func(span) string {
		if !shown.meets {
			return j.noted(readAs(m, between) + " the flange meets the point nowhere below its face")
		}
		return j.noted(fmt.Sprintf("%s the flange first meets the point %.1f in behind the tip, and at its least angle, %.1f degrees, %.1f in behind it", readAs(m, between), shown.first/measure.MMPerInch, shown.angle, shown.at/measure.MMPerInch))
	}
	return out, tell, nil
}

// roomOf is the room beside the tip of a state, once.
func (j *pointJob) roomOf(state int, w *passage.Wheel, yaw float64) room {
	k := roomKey{state, w, math.Round(yaw/yawStep) * yawStep}
	r, ok := j.rooms[k]
	if !ok {
		r.mm, r.over = w.TipRoom(j.states[state].model, k.yaw)
		j.rooms[k] = r
	}
	return r
}

// pick is the rule's allowance of a full flange less the gap, and less what the flange
// needs more room beside the tip than a new one has there, yawed each by its own play.
func (j *pointJob) pick(f *footing, p *part) (span, func(span) string, error) {
	lost, best := none(), math.Inf(-1)
	yawed := false
	for state := range j.states {
		gauge := j.states[state].gauge
		yaw, own := 0.0, 0.0
		play, ok := f.play(gauge)
		fresh, known := j.fresh.play(gauge)
		if ok && known {
			yaw, own, yawed = play/f.base, fresh/f.base, true
		}
		than := j.roomOf(state, j.fresh.faces[0], own)
		for _, face := range f.faces {
			r := j.roomOf(state, face, yaw)
			if r.over || than.over {
				return span{}, nil, fmt.Errorf("%w of the switch", errOverPoint)
			}
			lost.take(math.Min(0, r.mm-than.mm))
			best = math.Max(best, r.mm)
		}
	}
	tell := func(span) string {
		s := fmt.Sprintf("beside the tip this flange has %.1f mm (%.1f..%.1f) less room than a new one", -lost.as+0, -lost.hi+0, -lost.lo+0)
		if !yawed {
			s += ", not counting yaw: gauge, back-to-back or a flange was not read"
		}
		return j.noted(s)
	}
	out := lost.add(span{p.as, p.lo, p.hi}).shift(gapAllowed)
	out.hi = math.Max(out.hi, best) // where a flange has room by itself it picks nothing
	return out, tell, nil
}

// heel is how far the point holds the outer tread clear of the stock rail, and what a
// false flange rides over without harm.
func (j *pointJob) heel(f *footing, m margin) (span, func(span) string, error) {
	out := none()
	var at float64
	for i, t := range f.treads {
		s := j.heels[t]
		if s == nil {
			var err error
			model := j.states[written].model
			if s, err = passage.SwitchPart(model, t, passage.SwitchAxle{}, 0, heelStep, model.Full-t.Radius/2, model.Heel); err != nil {
				return span{}, nil, err
			}
			j.heels[t] = s
		}
		if !s.FalseKnown {
			return span{}, nil, errors.New("the outer tread is not over the stock rail where the point has its rise")
		}
		if i == 0 {
			at = s.FalseFlangeX
		}
		out.take(s.FalseFlange)
	}
	rise := j.f.Read(track.HeelRise)
	read := figureOf(track.HeelRise, rise)
	clear := out.as
	s := span{out.as, out.lo + rise.Lo - read, out.hi + rise.Hi - read}.shift(j.c.e.Rules.value("ride_over"))
	tell := func(span) string {
		return j.noted(fmt.Sprintf("%s the point holds the outer tread %s than the stock rail would, %.1f in behind the tip; ride_over is %g mm", readAs(m, oneEnd), lowerBy(clear), at/measure.MMPerInch, j.c.e.Rules.value("ride_over")))
	}
	return s, tell, nil
}
