package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// A reading beyond a regulation is answered before any conflict is: by work that brings it within, by what the rule
// itself lets a railroad do (a speed, a lower class that the place meets), by taking the place or the car out of
// service. A choice that leaves one unanswered is no choice, so the network holds none: the plan is the cheapest of
// those that answer all. No work is chosen that takes a reading beyond a regulation.

// law holds the demands of a book of limits.
type law struct {
	book   *limit.Book
	trains string
	day    measure.Date // of the survey
}

// place are the regulations that a feature is beyond.
func (l *law) place(f *track.Feature) []limit.Judgement {
	s := f.Subject()
	s.Trains = l.trains
	return l.book.Broken(s)
}

// open are those that no speed keeps.
func open(list []limit.Judgement) []limit.Judgement {
	return slices.DeleteFunc(slices.Clone(list), func(j limit.Judgement) bool { return j.Kept })
}

// axle are the regulations that an axle or one of its wheels is beyond.
func (l *law) axle(a *wheel.Axle) (out []limit.Judgement) {
	out = l.book.Broken(a.Subject())
	for _, w := range a.Wheels() {
		out = append(out, l.book.Broken(w.Subject())...)
	}
	return out
}

// opened is the day of the first of the dated rows of a feature, up to its newest, that are all beyond a rule; that of
// the survey if the row has none.
func (l *law) opened(f *track.Feature, rule string) measure.Date {
	day := f.Date
	for i := len(f.Earlier) - 1; i >= 0 && day.Known(); i-- {
		if !slices.ContainsFunc(l.place(f.Earlier[i]), func(j limit.Judgement) bool { return j.Rule.ID == rule }) {
			break
		}
		day = f.Earlier[i].Date
	}
	if !day.Known() {
		return l.day
	}
	return day
}

// after is so many days after a day; the zero Date if that is not known.
func after(day measure.Date, days int) measure.Date {
	if !day.Known() {
		return day
	}
	return day + measure.Date(days)
}

// from words a day as the begin of what holds.
func (l *law) from() string {
	if !l.day.Known() {
		return "at once"
	}
	return "from " + l.day.String()
}

// restriction is a speed or a class at which a place may be run with readings that are beyond the rules of its class.
type restriction struct {
	speed  float64 // mph; 0 keeps the speed
	class  string  // "" keeps the class
	source string
}

// on is the feature as it is run then.
func (r restriction) on(f *track.Feature) *track.Feature {
	g := *f
	if r.speed > 0 {
		g.Speed, g.SpeedKnown, g.SpeedGiven = r.speed, true, true
	}
	if r.class != "" {
		g.Class, g.ClassGiven = r.class, true
	}
	return &g
}

// words say how the place is run.
func (r restriction) words() string {
	speed := ""
	if r.speed > 0 {
		speed = fmt.Sprintf("at most %g mph", r.speed)
	}
	switch r.class {
	case "":
		return speed
	case "excepted":
		return strings.TrimSuffix("as excepted track, the conditions of 213.4 kept (no occupied passenger train), "+
			speed, ", ")
	}
	return strings.TrimSuffix("as class "+r.class+", "+speed, ", ")
}

// sets is what it changes in the sheet.
func (r restriction) sets() map[string]string {
	out := map[string]string{}
	if r.speed > 0 {
		out["speed_mph"] = fmt.Sprintf("%g", r.speed)
	}
	if r.class != "" {
		out["track_class"] = r.class
	}
	return out
}

// restrict finds what the rules let a railroad do about the readings of a feature instead of a repair: the speed that
// they name, else the highest class that the place meets. ok is false if nothing does.
func (l *law) restrict(f *track.Feature, passengers bool) (r restriction, ok bool) {
	list := open(l.place(f))
	if len(list) == 0 {
		return r, false
	}
	most := math.Inf(1)
	all, lower := true, true
	var sources []string
	for _, j := range list {
		x := j.Rule.Remedy
		v := x.SpeedMPH
		if x.CurveSpeed {
			if c, ok := f.CurveSpeed(); ok {
				v = float64(c)
			}
		}
		if v > 0 {
			most = min(most, v)
		}
		all, lower = all && v > 0, lower && (v > 0 || x.LowerClass)
		s := x.Source
		if v > 0 {
			s = j.Rule.Source // the rule itself names the speed
		}
		if s != "" && !slices.Contains(sources, s) {
			sources = append(sources, s)
		}
	}
	holds := func(r restriction) bool { return len(open(l.place(r.on(f)))) == 0 }
	r.source = strings.Join(sources, "; ")
	if all {
		if r.speed = most; holds(r) {
			return r, true
		}
	}
	from := slices.Index(runClasses, f.Class)
	if from < 0 || !lower {
		return r, false
	}
	for _, class := range runClasses[from+1:] {
		if class == "excepted" && passengers {
			continue
		}
		speed := l.classSpeed(f.Kind.String(), class)
		if c, ok := f.CurveSpeed(); ok && class != "excepted" {
			speed = min(speed, float64(c))
		}
		for _, v := range []float64{speed, min(speed, most)} {
			if r.class, r.speed = class, v; math.IsInf(v, 1) || f.SpeedKnown && f.Speed <= v {
				r.speed = 0
			}
			if holds(r) {
				return r, true
			}
		}
	}
	return r, false
}

// classSpeed is the greatest speed of a class that the book names at a kind of place, mph.
func (l *law) classSpeed(kind, class string) float64 {
	speed := math.Inf(1)
	for i := range l.book.Rules {
		r := &l.book.Rules[i]
		if v := r.Remedy.SpeedMPH; v > 0 && r.Subject == kind && len(r.Condemns) > 0 &&
			r.Condemns[0].Quantity == "speed_mph" && slices.Contains(r.Classes, class) &&
			(len(r.Trains) == 0 || slices.Contains(r.Trains, l.trains)) {
			speed = min(speed, v)
		}
	}
	return speed
}

// runClasses are the classes, the highest first.
var runClasses = []string{"5", "4", "3", "2", "1", "excepted"}

// restricted is the action of running a place so.
func restricted(costs survey.Costs, f *track.Feature, r restriction, l *law) Action {
	name := "slow_order"
	if r.class != "" {
		name = "class_lower"
	}
	a := work(costs, name)
	a.Side, a.Where, a.Location = Track, f.Name(), f.Location
	a.What = "run it " + r.words() + ", " + l.from() + untilRepaired(l.place(f)) + " (" + r.source + ")"
	a.Sets, a.restricts = r.sets(), true
	return a
}

const untilRepair = " until it is repaired"

// untilRepaired is the end of a restriction, if there is anything to repair: a speed above that of the class is not.
func untilRepaired(list []limit.Judgement) string {
	if slices.ContainsFunc(list, func(j limit.Judgement) bool { return j.Quantity != "speed_mph" }) {
		return untilRepair
	}
	return ""
}

// passengers reports whether a passenger car, or a steam locomotive, goes to a place: the trains of a railroad that
// runs one are taken for passenger trains.
func (m *model) passengers(p *placeModel) bool {
	return slices.ContainsFunc(m.cars, func(c carModel) bool {
		return c.meets[p.index] && (c.car.Kind == "passenger" || c.car.Kind == "steam")
	})
}

// asksOf adds the works that bring the readings of a place within the regulations.
func (c *choices) asksOf(list []limit.Judgement) {
	for _, j := range list {
		for _, cond := range j.Rule.Condemns {
			if cond.Where {
				continue
			}
			switch q, _ := track.QuantityOf(cond.Quantity); q {
			case track.Gauge, track.LoadedGauge:
				c.gauge = true
			case track.FlangewayDepth, track.TreadWear:
				c.depth = true
			case track.PointWornDown, track.PointWornBack:
				c.depth, c.point = true, true
			case track.FlangewayWidth:
				c.width = true
			case track.GuardCheck, track.GuardFace, track.GuardFlangeway:
				c.guard, c.anew = true, true
			case track.Crosslevel, track.Warp, track.WarpShort:
				c.surface = true
			case track.CrosslevelLeast, track.Elevation:
				c.surface, c.elevate = true, true
			}
			switch cond.Quantity {
			case "flangeway_width", "gauge":
				c.anew = true
			case "over_curve_speed":
				c.surface, c.elevate = true, true
			}
		}
	}
}

// lawful is what may be done at a place that is as the law wants it, or becomes so: of the drafts those that leave no
// reading beyond a regulation, and if the place has one as it is, the others with the restriction that the rules allow.
func (m *model) lawful(p *placeModel, list []draft) (out []draft) {
	passengers := m.passengers(p)
	add := func(d draft) {
		f, _, err := d.features(m, p.f)
		if err != nil { // said where the draft is tried
			out = append(out, d)
			return
		}
		left := open(m.law.place(f))
		ends := d.ends(m)
		lawful := func(r restriction) bool {
			return !slices.ContainsFunc(ends,
				func(e *track.Feature) bool { return len(open(m.law.place(r.on(e)))) > 0 })
		}
		if len(left) == 0 {
			if (len(d.acts) > 0 || d.trailing) && lawful(restriction{}) {
				out = append(out, d)
			}
			return
		}
		if len(open(p.beyond)) == 0 {
			return // a work that breaks a rule is none
		}
		if r, ok := m.law.restrict(f, passengers); ok && lawful(r) {
			d.restriction = &r
			out = append(out, d)
		}
		if len(d.acts) == 0 && m.readsAgain(p, left) {
			d.restriction, d.again = nil, true
			if r, ok := m.law.restrict(f, passengers); ok {
				d.restriction = &r
			}
			out = append(out, d)
		}
	}
	if len(open(p.beyond)) > 0 {
		add(draft{})
	}
	for _, d := range list {
		add(d)
	}
	return out
}

// readsAgain reports whether every reading that is beyond a rule contradicts others, so that nobody knows which of them
// is wrong, and the rules leave time to read it again.
func (m *model) readsAgain(p *placeModel, left []limit.Judgement) bool {
	return !slices.ContainsFunc(left, func(j limit.Judgement) bool {
		q, ok := track.QuantityOf(j.Quantity)
		return !ok || !p.f.Contradicted(q) || j.Rule.Remedy.Days == 0
	})
}

// features are a place after a draft: as the planned readings are read, and with the tolerance.
func (d *draft) features(m *model, f *track.Feature) (narrow, wide *track.Feature, err error) {
	if d.narrow == nil {
		if err := d.tries(m, f); err != nil {
			return nil, nil, err
		}
	}
	narrow, wide = d.narrow, d.wide
	if r := d.restriction; r != nil {
		narrow, wide = r.on(narrow), r.on(wide)
	}
	if d.trailing {
		narrow, wide = runTrailing(narrow), runTrailing(wide)
	}
	return narrow, wide, nil
}

// tries finds the place after a draft, but for how it is run.
func (d *draft) tries(m *model, f *track.Feature) error {
	narrow, wide := f, f
	for q := range track.NumQuantities {
		text, ok := d.to[q]
		if !ok {
			continue
		}
		n, w, err := reading(m.sv.Columns[q.String()], text, either(d.tolerance(m.sv, q)))
		if err != nil {
			return fmt.Errorf("%s: %w", f.Name(), err)
		}
		narrow, wide = narrow.With(q, n), wide.With(q, w)
	}
	d.narrow, d.wide = narrow, wide
	return nil
}

// answers are the actions of a draft that no reading is the end of: running the place so, and reading it again.
func (d draft) answers(m *model, f *track.Feature) (out []Action) {
	if d.again {
		a := m.readPlaceAgain(f)
		for _, have := range m.rereads {
			if have.Where == a.Where {
				a.Cents, a.Millis, a.paid = 0, 0, true // it is read again anyway
			}
		}
		out = append(out, a)
	}
	if d.restriction != nil {
		a := restricted(m.sv.Costs, f, *d.restriction, m.law)
		if d.again { // of a few days
			a.Cents, a.Millis = 0, 0
			a.What = strings.Replace(a.What, untilRepair, " until it is read again", 1)
		}
		out = append(out, a)
	}
	if d.trailing {
		out = append(out, trailingAction(m.sv, f))
	}
	return out
}

// readPlaceAgain takes the readings again that contradict each other.
func (m *model) readPlaceAgain(f *track.Feature) Action {
	r := &reread{action: work(m.sv.Costs, "read_again"), columns: map[string]measure.Reading{}}
	r.action.Side, r.action.Effect, r.action.Where, r.action.Location = Track, Reads, f.Name(), f.Location
	for _, q := range f.Measured() {
		if v := f.Read(q); v.Measured() && f.Contradicted(q) {
			r.columns[q.String()] = v
		}
	}
	return r.finish(m)
}

// carBeyond are the regulations that a car is beyond, by where.
func (l *law) carBeyond(c *wheel.Car) (where []string, list []limit.Judgement) {
	interaction.CarSubjects(c, func(s limit.Subject, _, at, _ string) {
		for _, j := range l.book.Broken(s) {
			where, list = append(where, at), append(list, j)
		}
	})
	return where, list
}

// outOfService leaves a car out of service: no place meets it.
func outOfService(sv *survey.Survey, c *wheel.Car, list []limit.Judgement) Action {
	name := "car_out"
	switch {
	case c.Owner != "own":
		name = "foreign_hold"
	case engineKind(c):
		name = "engine_out"
	}
	a := work(sv.Costs, name)
	a.Side, a.Effect, a.Where = Car, Holds, "car/"+c.ID
	a.What = "the car does not go until it is repaired" + movedBy(list)
	if c.Owner != "own" {
		a.What += "; report it to its owner"
	}
	return a
}

// movedBy names what lets a car move for repair.
func movedBy(list []limit.Judgement) string {
	var by []string
	for _, j := range list {
		if s := j.Rule.Remedy.Moved; s != "" && !slices.Contains(by, s) {
			by = append(by, s)
		}
	}
	if len(by) == 0 {
		return ""
	}
	return ", but to be moved for repair under " + strings.Join(by, ", ")
}

// withOut adds to the works on a car that it is left out of service, if a reading of it is beyond a regulation.
func (m *model) withOut(c *carModel, list []carOption, nothing func(x *carOption)) []carOption {
	if len(c.beyond) == 0 || m.opt.IgnoreLimits {
		return list
	}
	if c.truckBeyond {
		list = nil // no work on one axle answers it
	}
	a := outOfService(m.sv, c.car, c.beyond)
	x := carOption{levels: make([]int, len(c.axles)), cents: a.Cents, millis: a.Millis, out: true}
	nothing(&x)
	return append(list, x)
}

// lawOf finds the readings that are beyond a regulation as they are.
func (m *model) lawOf() {
	m.law = &law{book: m.engine.Book, trains: m.sv.Trains(), day: m.engine.Today()}
	for i := range m.places {
		m.places[i].beyond = m.law.place(m.places[i].f)
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		c.beyondAt, c.beyond = m.law.carBeyond(c.car)
		for i := range c.beyondAt {
			c.truckBeyond = c.truckBeyond || strings.HasPrefix(c.beyondAt[i], "truck/")
		}
	}
}

// answersLaw reports whether a choice has to answer a reading that is beyond a regulation.
func (m *model) answersLaw() bool {
	return slices.ContainsFunc(m.places, func(p placeModel) bool { return p.opts[0].broken }) ||
		!m.opt.IgnoreLimits && slices.ContainsFunc(m.cars, func(c carModel) bool { return len(c.beyond) > 0 })
}
