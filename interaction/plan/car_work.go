package plan

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"sync"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// shop makes the works of the car side.
type shop struct {
	rules       *interaction.Rules
	sv          *survey.Survey
	book        *limit.Book // the railroad's own
	interchange *limit.Book // of the built-in set
	shapes      map[string]*wheelshape.Shape
	shapesErr   error
	loaded      *configs.Shapes
	cuts        sync.Map // cutKey → cutFound
}

func newShop(sv *survey.Survey, rules *interaction.Rules) (*shop, error) {
	s := &shop{sv: sv, rules: rules, shapes: map[string]*wheelshape.Shape{}}
	var err error
	if s.book, err = sv.Book(); err != nil {
		return nil, err
	}
	s.interchange, _ = limit.Overlay(sv.Data.Sets["interchange"])
	return s, nil
}

// Two designs of wheel are told apart by the flange: one thicker than a new narrow flange is a wide one. A design that
// the sheet names goes first.
const (
	narrowDesign = "narrow flange 1:20"
	wideDesign   = "wide flange 1:20"
)

// leaves is the figure at which a work leaves a reading of a wheel, mm.
func (s *shop) leaves(work string, q wheel.Quantity) float64 {
	cost, _ := s.sv.Costs.Of(work)
	r, _ := s.sv.Columns[q.String()].Parse(cost.Leaves[q.String()]) // the loader has read it
	return r.As
}

// atLeast is a rim that a work leaves, or a thicker one.
func (s *shop) atLeast(work string) string {
	return ">=" + measure.Inch(s.leaves(work, wheel.RimThickness))
}

// design is the design to which an axle is turned or changed; given tells whether the sheet names it.
func (s *shop) design(a *wheel.Axle) (d configs.Design, given, ok bool) {
	for _, w := range a.Wheels() {
		if w.Design != "" {
			d, ok = s.sv.Data.Design(w.Design)
			return d, true, ok
		}
	}
	name := narrowDesign
	narrow, _ := s.sv.Data.Design(narrowDesign)
	for _, w := range a.Wheels() {
		if t, ok := value(w.Read(wheel.FlangeThickness)); ok && t > narrow.FlangeThickness+measure.Sixteenth {
			name = wideDesign
		}
	}
	d, ok = s.sv.Data.Design(name)
	return d, false, ok
}

// axleWork is one way to work on an axle.
type axleWork struct {
	name  string
	thick float64 // of a turning: the flange thickness, mm
	sets  map[wheel.Quantity]string
	// room is how far its readings may end from what it sets, where that is not the tolerance of the work to both
	// sides.
	room map[wheel.Quantity]tolerance
}

// tolerance is how far a reading may end from what the work sets.
func (w *axleWork) tolerance(sv *survey.Survey, q wheel.Quantity) tolerance {
	if t, ok := w.room[q]; ok {
		return t
	}
	return either(sv.Tolerance(w.name, q.String()))
}

// works are the ways in which an axle can be worked on, without what the lathe needs. Cars of others are turned or
// changed only if the interchange set condemns.
func (s *shop) works(a *wheel.Axle) []axleWork {
	if a.Car.Owner != "own" && !s.condemned(a) {
		return nil
	}
	d, _, ok := s.design(a)
	if !ok {
		return nil
	}
	var out []axleWork
	for _, t := range s.thicknesses(a, d) { // none without a lathe
		out = append(out, axleWork{name: "wheelset_turn", thick: t, sets: map[wheel.Quantity]string{
			wheel.FlangeHeight: measure.Inch(d.FlangeHeight), wheel.FlangeThickness: measure.Inch(t),
			wheel.VerticalFlange: "<=1/2", wheel.TreadHollow: "none"}})
	}
	if w, ok := s.pressed(a, d); ok {
		out = append(out, w)
	}
	set := map[wheel.Quantity]string{wheel.FlangeHeight: measure.Inch(d.FlangeHeight),
		wheel.FlangeThickness: measure.Inch(d.FlangeThickness),
		wheel.VerticalFlange:  "<=1/2", wheel.TreadHollow: "none", wheel.BackToBack: measure.Inch(d.BackToBack),
		wheel.RimWidth: measure.Inch(d.RimWidth), wheel.RimThickness: s.atLeast("wheelset_change")}
	if a.Listed().Read(wheel.BackToBackMax).Measured() {
		set[wheel.BackToBackMax] = measure.Inch(d.BackToBack)
	}
	out = append(out, axleWork{name: "wheelset_change", sets: set})
	if a.Car.Kind == "freight" {
		used := maps.Clone(set)
		used[wheel.RimThickness] = s.atLeast("wheelset_swap")
		used[wheel.FlangeThickness] = measure.Inch(min(s.leaves("wheelset_swap", wheel.FlangeThickness),
			d.FlangeThickness))
		out = append(out, axleWork{name: "wheelset_swap", sets: used})
	}
	return out
}

// pressed puts the wheels of an axle where those of its design stand, if the railroad can have that done and the
// back-to-back is known to be off by no more than the work reaches; the wheels stay as they are.
func (s *shop) pressed(a *wheel.Axle, d configs.Design) (w axleWork, ok bool) {
	if !s.sv.Costs.Presses() {
		return w, false
	}
	cost, _ := s.sv.Costs.Of("axle_press")
	w = axleWork{name: "axle_press", sets: map[wheel.Quantity]string{}}
	off := 0.0
	for _, q := range []wheel.Quantity{wheel.BackToBack, wheel.BackToBackMax} {
		r := a.Listed().Read(q)
		if !r.Measured() {
			continue
		}
		v, known := value(r)
		if !known || a.Listed().Doubted(q) || math.Abs(v-d.BackToBack) > cost.ReachMM+measure.Near {
			return w, false
		}
		off = max(off, math.Abs(v-d.BackToBack))
		w.sets[q] = measure.Inch(d.BackToBack)
	}
	return w, off > measure.Near
}

// thicknesses are the flange thicknesses, mm, to which an axle can be turned: that of its design, and a thin flange as
// far as so much is turned off. A flange that was not read may be as thick as the design's, one known from below alone
// as thick as any.
func (s *shop) thicknesses(a *wheel.Axle, d configs.Design) []float64 {
	if !s.sv.Costs.Turns() || !s.mayTurn(a) {
		return nil
	}
	least := s.leaves("wheelset_turn", wheel.FlangeThickness)
	for _, v := range []*wheel.Wheel{a.L, a.R} {
		from := d.FlangeThickness
		if v != nil && v.Read(wheel.FlangeThickness).Measured() {
			t := v.Read(wheel.FlangeThickness)
			if from = t.Hi; !t.OneSided() {
				from = t.As
			}
		}
		least = max(least, s.rules.TurnedLeast(from))
	}
	least = math.Ceil(least/measure.Sixteenth-1e-6) * measure.Sixteenth
	var out []float64
	if d.FlangeThickness >= least-measure.Near {
		out = append(out, d.FlangeThickness)
	}
	if d.FlangeThickness > least+measure.Near {
		out = append(out, least)
	}
	return out
}

// condemned reports whether the interchange set condemns a wheel of the axle.
func (s *shop) condemned(a *wheel.Axle) bool {
	subjects := []limit.Subject{a.Subject()}
	for _, w := range a.Wheels() {
		subjects = append(subjects, w.Subject())
	}
	for _, x := range subjects {
		for _, j := range s.interchange.Judge(x) {
			if j.Verdict == limit.Beyond {
				return true
			}
		}
	}
	return false
}

// planned is a copy of the axle with the readings after the work, as they are read and with the tolerance.
func (s *shop) planned(a *wheel.Axle, w axleWork) (narrow, wide *wheel.Axle, err error) {
	narrow, wide = a.Clone(), a.Clone()
	for q := range wheel.NumQuantities {
		text, ok := w.sets[q]
		if !ok {
			continue
		}
		n, x, err := reading(s.sv.Columns[q.String()], text, w.tolerance(s.sv, q))
		if err != nil {
			return nil, nil, err
		}
		for _, side := range []struct {
			a *wheel.Axle
			r measure.Reading
		}{{narrow, n}, {wide, x}} {
			for _, v := range side.a.Wheels() {
				v.Set(q, side.r)
			}
		}
	}
	return narrow, wide, nil
}

var errNoShape = errors.New("the design has no shape")

// shape is a wheel shape by the name of its design.
func (s *shop) shape(name string) (*wheelshape.Shape, error) {
	if sh, ok := s.shapes[name]; ok {
		if sh == nil {
			return nil, errNoShape
		}
		return sh, nil
	}
	if s.loaded == nil && s.shapesErr == nil {
		s.loaded, _, s.shapesErr = s.sv.Shapes()
	}
	if s.shapesErr != nil {
		return nil, s.shapesErr
	}
	sh, err := wheelshape.Named(s.loaded, name)
	s.shapes[name] = sh // nil if there is none
	return sh, err
}

// lathe is a turning of an axle: the cut and the readings after it.
type lathe struct {
	cut    float64         // off the radius of both wheels, mm
	rims   map[byte]string // rim thickness left, by side
	warned map[byte]string // what a warning before a limit asks for of that rim, "" for nothing, by side
	plain  bool            // by the plain rule: the readings fit no one worn shape
}

// faceSlope is how much comes off the radius for each mm of flange thickness to be gained on a flange face of 75
// degrees.
var faceSlope = math.Tan(75 * math.Pi / 180)

// plainCut is the cut by the plain rule, mm: the flange is regained at the slope of its face, and nothing else asks for
// a cut. The lathe may need more.
func plainCut(a *wheel.Axle, thick float64) float64 {
	cut := 0.0
	for _, v := range a.Wheels() {
		if t, ok := value(v.Read(wheel.FlangeThickness)); ok {
			cut = max(cut, (thick-t)*faceSlope)
		}
	}
	return math.Ceil(cut/measure.Sixteenth-1e-6) * measure.Sixteenth
}

// mayTurn reports whether an axle can be offered for turning: its rims are read and hold as they are. What the lathe
// takes is asked for when the plan wants it.
func (s *shop) mayTurn(a *wheel.Axle) bool {
	for _, v := range a.Wheels() {
		rim, ok := value(v.Read(wheel.RimThickness))
		for q := range wheel.NumQuantities {
			ok = ok && !v.Doubted(q) // nothing is turned by a reading under a warning
		}
		if !ok || !v.Read(wheel.FlangeHeight).Measured() && !v.Read(wheel.FlangeThickness).Measured() {
			return false
		}
		if _, holds := s.rimHolds(v, rim); !holds {
			return false
		}
	}
	return true
}

// rimHolds reports whether a rim is within every limit of the railroad's book; warned is what a warning before one
// asks for, "" for nothing.
func (s *shop) rimHolds(v *wheel.Wheel, rim float64) (warned string, holds bool) {
	if rim < 0 {
		return "", false
	}
	left, _, err := reading(s.sv.Columns[wheel.RimThickness.String()], measure.DownToSixteenth(rim),
		either(s.sv.Tolerance("wheelset_turn", wheel.RimThickness.String())))
	if err != nil {
		return "", false
	}
	x := v.Axle().Clone().Like(v)
	x.Set(wheel.RimThickness, left)
	for _, j := range s.book.Judge(x.Subject()) {
		switch {
		case j.Quantity != wheel.RimThickness.String() || j.Verdict != limit.Beyond && j.Verdict != limit.Straddles &&
			j.Verdict != limit.Unsure:
		case !j.Rule.Warns():
			return "", false
		case warned == "":
			warned = fmt.Sprintf("%s (%s)", j.Rule.Action, j.Rule.Set)
		}
	}
	return warned, true
}

// turn asks the lathe. ok is false if a rim would be too thin; then the wheelset can only be changed.
func (s *shop) turn(a *wheel.Axle, w axleWork) (l lathe, ok bool) {
	d, _, ok := s.design(a)
	if !ok {
		return l, false
	}
	wheels := a.Wheels()
	for _, v := range wheels {
		cut, err := s.cut(d.Name, v, min(w.thick, d.FlangeThickness))
		if err != nil {
			cut, l.plain = plainCut(a, w.thick), true
		}
		l.cut = max(l.cut, cut)
	}
	l.rims, l.warned = map[byte]string{}, map[byte]string{}
	for _, v := range wheels {
		rim, _ := value(v.Read(wheel.RimThickness))
		warned, holds := s.rimHolds(v, rim-l.cut)
		if !holds {
			return l, false
		}
		l.warned[v.Position.Side] = warned
		l.rims[v.Position.Side] = measure.DownToSixteenth(rim - l.cut)
	}
	return l, true
}

// cutKey is all that the cut of one wheel depends on.
type cutKey struct {
	design                                       string
	thick, height, thickness, vertical, hollow   float64
	hasHeight, hasThickness, hasVertical, hasHol bool
}

type cutFound struct {
	cut float64
	err error
}

// cut is the depth that the lathe takes off one wheel's radius, mm. If the flange height says how much tread is worn
// the hollow is left out: it lies outside the tape line, where the worn wheel only has more metal, and changes no cut.
func (s *shop) cut(design string, v *wheel.Wheel, thick float64) (float64, error) {
	shape, err := s.shape(design)
	if err != nil {
		return 0, err
	}
	r := wheelshape.WornReadings{Height: v.Read(wheel.FlangeHeight), Thickness: v.Read(wheel.FlangeThickness),
		Vertical: v.Read(wheel.VerticalFlange), Hollow: v.Read(wheel.TreadHollow)}
	key := cutKey{design: design, thick: thick}
	key.height, key.hasHeight = value(r.Height)
	key.thickness, key.hasThickness = value(r.Thickness)
	key.vertical, key.hasVertical = value(r.Vertical)
	if key.hasHeight {
		r.Hollow = measure.Reading{}
	}
	key.hollow, key.hasHol = value(r.Hollow)
	if x, ok := s.cuts.Load(key); ok {
		f := x.(cutFound)
		return f.cut, f.err
	}
	found := cutFound{}
	worn, err := wheelshape.AsWritten(shape, r)
	if err == nil {
		var t *wheelshape.Turning
		if t, err = wheelshape.Turn(worn, shape, thick, wheelshape.Rim{}); err == nil {
			found.cut = t.Cut
		}
	}
	found.err = err
	s.cuts.Store(key, found)
	return found.cut, found.err
}

// actions words a work on an axle: one action a wheel, because each wheel has a row of its own. The price stands at the
// wheel where the axle is listed.
func (s *shop) actions(a *wheel.Axle, w axleWork, l lathe) []Action {
	var out []Action
	d, given, _ := s.design(a)
	for _, v := range a.Wheels() {
		x := work(s.sv.Costs, w.name)
		x.Side, x.Effect = Car, Sets
		x.Where = "wheel/" + v.Name()
		x.Sets, x.room = map[string]string{}, map[string]tolerance{}
		var others interaction.Mask
		for q, text := range w.sets {
			others |= interaction.WheelMask(q)
			if w.name != "axle_press" && (q == wheel.BackToBack || q == wheel.BackToBackMax) && v != a.Listed() &&
				!v.Own(q).Measured() {
				continue // the axle's, on the other row
			}
			x.Sets[q.String()] = text
			x.room[q.String()] = w.tolerance(s.sv, q)
		}
		maps.Copy(x.Sets, interaction.GoneAtWheel(v, others))
		mate := ""
		if m := v.Mate(); m != nil {
			mate = ", with " + m.Position.String()
		}
		x.Wheel = &WheelWork{Height: w.sets[wheel.FlangeHeight], Thickness: w.sets[wheel.FlangeThickness],
			BackToBack: w.sets[wheel.BackToBack]}
		switch w.name {
		case "axle_press":
			x.Wheel.Do = "press the wheels"
			x.What = fmt.Sprintf("%s%s to a back-to-back of %s in", x.Wheel.Do, mate, x.Wheel.BackToBack)
		case "wheelset_turn":
			x.Wheel.Cut, x.Wheel.Rim = measure.Inch(l.cut), l.rims[v.Position.Side]
			x.Sets[wheel.RimThickness.String()] = x.Wheel.Rim
			x.What = fmt.Sprintf("turn the wheelset%s: %s in off the radius, flange %s in high and %s in thick, rim "+
				"left %s in", mate,
				x.Wheel.Cut, x.Wheel.Height, x.Wheel.Thickness, x.Wheel.Rim)
			if dia, ok := value(v.Read(wheel.Diameter)); ok && dia-2*l.cut > 0 {
				x.Sets[wheel.Diameter.String()] = measure.DownToSixteenth(dia - 2*l.cut)
			}
			if warned := l.warned[v.Position.Side]; warned != "" {
				x.Note = append(x.Note, "the rim that is left: "+warned)
			}
			if l.plain {
				x.Note = append(x.Note, "cut by the plain rule: the readings fit no one worn shape of the design")
			}
		default:
			x.Wheel.Do = "change the wheelset"
			if w.name == "wheelset_swap" {
				x.Wheel.Do = "put in a turned second-hand wheelset"
			}
			x.What = fmt.Sprintf("%s%s: back-to-back %s in, flange %s in high and %s in thick", x.Wheel.Do, mate,
				x.Wheel.BackToBack, x.Wheel.Height, x.Wheel.Thickness)
		}
		if !given {
			x.Note = append(x.Note, "design taken as "+d.Name)
		}
		if sure := configs.HowKnown(d.Sure); sure != "" {
			x.Note = append(x.Note, "dimensions of the design: "+sure)
		}
		if mate == "" {
			x.Note = append(x.Note, "the mate stands in no sheet: it is worked on too")
		}
		if v != a.Listed() {
			x.Cents, x.Millis = 0, 0
			x.PaidWith = a.Listed().Position.String()
			x.Note = append(x.Note, "paid with "+x.PaidWith)
		}
		out = append(out, x)
	}
	return out
}

// engineKind reports whether a car is an engine, which its jobs cannot do without.
func engineKind(c *wheel.Car) bool { return c.Kind == "locomotive" || c.Kind == "steam" }

// holding keeps a car off one place.
func holding(sv *survey.Survey, c *wheel.Car, feature, location string) Action {
	name := "car_hold"
	switch {
	case c.Owner != "own":
		name = "foreign_hold"
	case engineKind(c):
		name = "engine_hold"
	}
	a := work(sv.Costs, name)
	a.Side, a.Effect, a.Where, a.At, a.Location = Car, Holds, "car/"+c.ID, feature, location
	a.What = "hold the car off " + feature
	if c.Owner != "own" {
		a.What += ", or return it and report it"
	}
	return a
}
