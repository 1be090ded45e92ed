package ask

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// newWheel is the design of a wheel of which nothing is known.
const newWheel = "narrow flange 1:20"

// Wheel is a wheel of which a shape is asked.
type Wheel struct {
	Label    string // near, L2
	Shape    *wheelshape.Shape
	Design   *wheelshape.Shape // when new
	Worn     *wheelshape.Worn  // rebuilt from Readings; nil: as new, or traced
	Readings wheelshape.WornReadings
	Of       *wheel.Wheel // in the survey; nil: none
}

// name is the wheel in a sentence: "the near wheel", "wheel L2".
func (w *Wheel) name() string {
	if _, ok := wheel.ParsePosition(w.Label); ok {
		return "wheel " + w.Label
	}
	return "the " + w.Label + " wheel"
}

// The readings that a worn shape is rebuilt from, in the order of [wheelshape.WornReadings].
const (
	height = iota
	thickness
	vertical
	hollow
)

// wornFlags are their flags, WornColumns their columns.
func wornFlags() [4]string {
	return [4]string{"flange-height", "flange-thickness", "vertical-flange", "hollow"}
}

// wornNames are how they are listed.
func wornNames() [4]string {
	return [4]string{"flange height", "flange thickness", "vertical flange", "hollow"}
}

func (s *Start) wornSpecs() (out [4]measure.Spec) {
	for i, c := range []wheel.Quantity{wheel.FlangeHeight, wheel.FlangeThickness, wheel.VerticalFlange,
		wheel.TreadHollow} {
		out[i] = s.Columns[c.String()]
	}
	return out
}

// fields are the readings in their order.
func fields(r *wheelshape.WornReadings) [4]*measure.Reading {
	return [4]*measure.Reading{&r.Height, &r.Thickness, &r.Vertical, &r.Hollow}
}

// wornOf are the readings of a wheel of the survey without where each stands, so that equal readings are equal. A nil
// wheel has none.
func wornOf(w *wheel.Wheel) (r wheelshape.WornReadings) {
	if w == nil {
		return r
	}
	r = wheelshape.ReadingsOf(w)
	for _, x := range fields(&r) {
		*x = bare(*x)
	}
	return r
}

// bare is a reading without where it stands.
func bare(r measure.Reading) measure.Reading {
	if !r.Measured() {
		return measure.Reading{}
	}
	r.Place = measure.Place{}
	return r
}

// Axle is both wheels of an axle, mm.
type Axle struct {
	Near, Far  Wheel
	BackToBack float64
	BackRead   measure.Reading // that BackToBack is the value of
	Diameter   [2]float64
}

// Axle asks for an axle whose near wheel is that of the survey or none (nil), on a rail (which tells metric from inch
// designs). Widest takes the greatest back-to-back that was read.
func (s *Start) Axle(of *wheel.Wheel, rail *trackshape.RailHead, widest bool) (Axle, error) {
	a := Axle{Near: Wheel{Label: "near", Of: of}, Far: Wheel{Label: "far"}}
	if of != nil {
		a.Far.Of = of.Mate()
	}
	if err := s.designs(&a, rail); err != nil {
		return a, err
	}
	if err := s.worn(&a); err != nil {
		return a, err
	}
	backs := a.Near.Design.BackToBack
	metric := backs == 1360 || backs == 0 && european(rail)
	fallback := "53-3/8"
	switch {
	case metric:
		fallback = "1360mm"
	case backs > 0:
		fallback = measure.Inch(backs)
	}
	read, across := Of(of, wheel.BackToBack), nothing
	if of != nil {
		if widest && of.Read(wheel.BackToBackMax).Measured() {
			read = Of(of, wheel.BackToBackMax)
		}
		across = diameters(of)
	}
	var err error
	back := s.Ask("back-to-back", Flag("back-to-back"), read, Default(fallback, newBacks))
	if a.BackRead, a.BackToBack, err = back.measured(s.Columns["back_to_back"]); err != nil {
		return a, err
	}
	a.Diameter, err = s.Lengths("diameter", s.Columns["diameter"], Flag("diameter"), across, s.newDiameter(metric))
	return a, err
}

// newBacks says where the back-to-back of new wheels is from: no design of configs has one that was read in a document.
const newBacks = "default of the design (from memory)"

// diameters are those of a wheel and its mate, of which the mate's may be missing.
func diameters(w *wheel.Wheel) Source {
	near := w.Read(wheel.Diameter)
	if m := w.Mate(); m != nil && near.Measured() && m.Read(wheel.Diameter).Measured() {
		return Both(near, m.Read(wheel.Diameter), w.Place)
	}
	return Read(near, w.Place)
}

// newDiameter is the diameter of a wheel of which none was read: the setting, or that of a metric design if the
// railroad has set none.
func (s *Start) newDiameter(metric bool) Source {
	if metric && !s.Setting("wheel_diameter").Given {
		return Default("920mm", "default of the design")
	}
	return Setting("wheel_diameter")
}

// designs asks which designs the wheels are of, or which traces.
func (s *Start) designs(a *Axle, rail *trackshape.RailHead) error {
	read := nothing
	if of := a.Near.Of; of != nil {
		var names [2]string
		from := row(of.Place)
		for i, w := range []*wheel.Wheel{of, a.Far.Of} {
			if w == nil {
				w = of
			}
			design, assumed, err := wheelshape.Of(w, s.Data, s.Shapes)
			if err != nil {
				return &cli.InputError{Err: err}
			}
			if names[i] = design.Name; assumed {
				from = row(of.Place) + ", design by the flange thickness"
			}
		}
		read = func(*Start) (Value, bool) { return Value{Text: names[0] + "," + names[1], From: from}, true }
	}
	near, far, err := s.Ask("wheel", Flag("wheel"), read, Default(newWheel, "default")).Two()
	if err != nil {
		return err
	}
	for i, name := range []string{near, far} {
		w := []*Wheel{&a.Near, &a.Far}[i]
		if i == 1 && far == near {
			w.Shape, w.Design = a.Near.Shape, a.Near.Design
			break
		}
		if err := s.Open(w, name, rail); err != nil {
			return err
		}
	}
	return nil
}

// Open gives a wheel a design by name, a plain cone or a traced file.
func (s *Start) Open(w *Wheel, name string, rail *trackshape.RailHead) error {
	_, known := s.Shapes.Wheel(name)
	var data []byte
	var isTrace bool
	var err error
	if !known && !strings.HasPrefix(name, "cone:") {
		if data, isTrace, err = traced(name); err != nil {
			return err
		}
	}
	if !isTrace {
		w.Design, err = wheelshape.Named(s.Shapes, name)
		w.Shape = w.Design
		return badName(err)
	}
	of := s.Flags["design"]
	if of == "" {
		if of = newWheel; european(rail) {
			of = "S1002"
		}
		s.Note("design of "+name, of, "default")
	}
	design, err := wheelshape.Named(s.Shapes, of)
	if err != nil {
		return badName(err)
	}
	shape, q, err := wheelshape.FromTrace(name, data, design)
	if err != nil {
		return badName(err)
	}
	shape.BackToBack = design.BackToBack
	s.quality(name, q)
	w.Shape, w.Design = shape, shape
	if shape.Of != nil {
		w.Design = shape.Of
	}
	return nil
}

// worn asks for the readings of both wheels and rebuilds those that have any.
func (s *Start) worn(a *Axle) error {
	near, far := wornOf(a.Near.Of), wornOf(a.Far.Of)
	for g, flag := range wornFlags() {
		read := nothing
		if of := a.Near.Of; of != nil {
			read = Both(*fields(&near)[g], *fields(&far)[g], of.Place)
		}
		r, _, err := s.Pair(wornNames()[g], s.wornSpecs()[g], Flag(flag), read)
		if err != nil {
			return err
		}
		*fields(&a.Near.Readings)[g], *fields(&a.Far.Readings)[g] = r[0], r[1]
	}
	if a.Near.Shape == a.Far.Shape && a.Near.Readings == a.Far.Readings {
		if err := s.Rebuild(&a.Near); err != nil {
			return err
		}
		a.Far.Shape, a.Far.Worn = a.Near.Shape, a.Near.Worn
		return nil
	}
	for _, w := range []*Wheel{&a.Near, &a.Far} {
		if err := s.Rebuild(w); err != nil {
			return err
		}
	}
	return nil
}

// Rebuild makes the worn shape of a wheel that has readings. Readings given by hand must go together; those of a survey
// stand as they were written, so what contradicts the others is set aside and said.
func (s *Start) Rebuild(w *Wheel) error {
	if w.Readings == (wheelshape.WornReadings{}) {
		return nil
	}
	var worn *wheelshape.Worn
	var err error
	if s.Survey == nil {
		worn, err = wheelshape.Rebuild(w.Shape, w.Readings)
	} else {
		var aside []wheel.Quantity
		var why error
		if worn, aside, why, err = wheelshape.RebuildFrom(w.Shape, w.Readings); len(aside) > 0 {
			names := each.Of(aside, wheel.Quantity.String)
			s.Warn("%s wheel: %s set aside: %v", w.Label, strings.Join(names, ", "), why)
		}
	}
	if err != nil {
		return &cli.InputError{Err: fmt.Errorf("%s cannot be rebuilt: %w", w.name(), err)}
	}
	w.Shape, w.Worn = worn.Middle, worn
	return nil
}

// Of is a reading of a wheel; a nil wheel has none.
func Of(w *wheel.Wheel, q wheel.Quantity) Source {
	if w == nil {
		return nothing
	}
	return Read(w.Read(q), w.Place)
}

// OneShape settles what of a wheel's readings has no one value, for a command that takes one shape of each wheel. A
// go/no-go reading stands for the end that was given if wear can only be less, and is said; if wear can be more nothing
// says how much, and it is refused. What a wheel of the survey has no reading of is kept for [Start.SayReadings].
func (s *Start) OneShape(w *Wheel) error { return s.oneOf(w, height, thickness, vertical, hollow) }

// BothEnds says which of a wheel's readings have no value of their own, for a command that tries the ends of all.
func (s *Start) BothEnds(w *Wheel) {
	for g, r := range fields(&w.Readings) {
		if !r.OneSided() {
			continue
		}
		made := *r
		if w.Worn != nil && !math.IsNaN(w.Worn.MadeOf()[g]) { // its step may not go with the others
			made.As = w.Worn.MadeOf()[g]
		}
		s.notch(w, g, made, "the tables are for %s, the range over the readings for %s to %s")
	}
}

// OneRunning is [Start.OneShape] of a wheel in a curve, where a leaning face climbs before an upright one: a flange
// that was not vertical up to the notch is taken as designed, one that was is taken as vertical up to the notch and no
// farther.
func (s *Start) OneRunning(w *Wheel) error {
	switch v := w.Readings.Vertical; v.Form {
	case measure.Below:
		s.notch(w, vertical, v, "as designed is taken, which climbs first; the reading leaves %[2]s to %[3]s "+
			"(--vertical-flange gives one value)")
		w.Readings.Vertical = measure.Reading{}
		return s.oneOf(w, height, thickness, hollow)
	case measure.Above:
		s.notch(w, vertical, v, "%s is taken, which climbs first; the reading leaves %s to %s (--vertical-flange "+
			"gives one value)")
		return s.oneOf(w, height, thickness, hollow)
	}
	return s.OneShape(w)
}

// notch keeps what is said of a go/no-go reading of a wheel, for [Start.SayReadings].
func (s *Start) notch(w *Wheel, g int, r measure.Reading, taken string) {
	says := fmt.Sprintf(taken, inUnit(g, r.As), inUnit(g, r.Lo), inUnit(g, r.Hi))
	what := wornNames()[g] + " " + r.Written
	for i := range s.notches {
		if n := &s.notches[i]; n.what == what && n.says == says {
			n.labels = append(n.labels, w.Label)
			return
		}
	}
	s.notches = append(s.notches, notch{what, says, []string{w.Label}})
}

// notch is a go/no-go reading with the wheels that have it.
type notch struct {
	what, says string
	labels     []string
}

// OneFlange is [Start.OneShape] of a mate, of which the flange's thickness alone counts.
func (s *Start) OneFlange(w *Wheel) error { return s.oneOf(w, thickness) }

func (s *Start) oneOf(w *Wheel, of ...int) error {
	for g, r := range fields(&w.Readings) {
		if !slices.Contains(of, g) {
			continue
		}
		name, flag := wornNames()[g], wornFlags()[g]
		switch {
		case !r.Measured():
			if w.Of != nil {
				s.unread[g] = append(s.unread[g], w.Label)
			}
		case !r.OneSided():
		case (r.Form == measure.Above) != (g == thickness):
			return cli.Inputf("%s of %s is %s, a go/no-go reading that does not say how worn it is (--%s gives one "+
				"value)", name, w.name(), r.Written, flag)
		default:
			s.notch(w, g, *r, "%s is taken, the reading leaves %s to %s (--"+flag+" gives one value)")
		}
	}
	return nil
}

// inUnit is a length as its column is read.
func inUnit(g int, mm float64) string {
	if g == hollow {
		return fmt.Sprintf("%g mm", math.Round(mm*100)/100)
	}
	return measure.Inch(mm) + " in"
}

// SayReadings says which readings of the wheels are go/no-go, and which the survey's wheels have not, which stand as
// new. The settings are those of what check tries there in place of a reading.
func (s *Start) SayReadings(settings ...string) {
	for _, n := range s.notches {
		s.Warn("%s (%s) is a go/no-go reading: %s.", n.what, strings.Join(n.labels, ", "), n.says)
	}
	var list, tried []string
	for g, labels := range s.unread {
		if len(labels) == 0 {
			continue
		}
		list = append(list, fmt.Sprintf("%s (%s)", wornNames()[g], strings.Join(labels, ", ")))
		if name := [4]string{thickness: "unread_thickness", vertical: "unread_vertical",
			hollow: "unread_hollow"}[g]; slices.Contains(settings, name) {
			tried = append(tried, s.Setting(name).Text()+" ("+name+")")
		}
	}
	if len(list) == 0 {
		return
	}
	also := ""
	if len(tried) > 0 {
		also = "; check tries " + strings.Join(tried, " and ") + " too"
	}
	s.Warn("Not read, taken as new: %s%s.", strings.Join(list, "; "), also)
}

// Rim gives the shapes of a wheel the width of its rim, mm: as read, else its design's, else, if a wheel of the survey
// has no design, the setting.
func (s *Start) Rim(w *Wheel) error {
	if w.Of == nil {
		return nil
	}
	var v Value
	switch r := w.Of.Read(wheel.RimWidth); {
	case r.Measured():
		v = s.Ask("rim width "+w.Label, Read(r, w.Of.Place))
	case w.Of.Design == "" && s.Flags["wheel"] == "":
		v = s.askOnce("rim width "+w.Label, Setting("rim_width"))
	default:
		return nil
	}
	r := v.Readings[0]
	if r.Form == measure.Below {
		return cli.Inputf("rim width of %s is %s, a go/no-go reading that does not say how narrow it is (%s)", w.name(),
			r.Written, v.From)
	}
	if math.Abs(r.As-w.Shape.Rim) > measure.Near {
		shape := *w.Shape
		shape.Rim = r.As
		w.Shape = &shape
	}
	return nil
}
