package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/shaped"
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

// Defect is a reading beyond a regulation with what answers it.
type Defect struct {
	Where, Location string // frog/F4, wheel/CAR POSITION, axle/CAR NUMBER or truck/CAR NUMBER; a car has no location
	Rule, Limit     string
	Quantity        string
	Reading         string       // as written
	Opened          measure.Date // of the row; the zero Date if it has none
	Action          string       // of the rule
	Source, Sure    string
	// Answered says that the plan answers it, by the actions with these ids.
	Answered bool
	IDs      []string
	Due      measure.Date // by when; the zero Date if nothing tells the day
	Protect  string       // what holds until then
}

// law is what a book of limits demands.
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
func open(list []limit.Judgement) (out []limit.Judgement) {
	for _, j := range list {
		if !j.Kept {
			out = append(out, j)
		}
	}
	return out
}

// axle are the regulations that an axle or one of its wheels is beyond.
func (l *law) axle(a *wheel.Axle) (out []limit.Judgement) {
	out = l.book.Broken(a.Subject())
	for _, w := range []*wheel.Wheel{a.L, a.R} {
		if w != nil {
			out = append(out, l.book.Broken(w.Subject())...)
		}
	}
	return out
}

// after is a day so many days on; the zero Date if the day is not known.
func (l *law) after(days int) measure.Date {
	if !l.day.Known() {
		return l.day
	}
	return l.day + measure.Date(days)
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
		return strings.TrimSuffix("as excepted track, the conditions of 213.4 kept (no occupied passenger train), "+speed, ", ")
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
		if s := x.Source; s != "" && !slices.Contains(sources, s) {
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
		speed := shaped.ClassSpeed(class)
		if c, ok := f.CurveSpeed(); ok && class != "excepted" {
			speed = min(speed, float64(c))
		}
		for _, v := range []float64{speed, min(speed, most)} {
			r.class, r.speed = class, v
			if f.SpeedKnown && f.Speed <= v {
				r.speed = 0
			}
			if holds(r) {
				return r, true
			}
		}
	}
	return r, false
}

// runClasses are the classes, the highest first.
var runClasses = []string{"5", "4", "3", "2", "1", "excepted"}

// restricted is the action of running a place so.
func restricted(costs survey.Costs, f *track.Feature, r restriction, l *law) Action {
	a := work(costs, "slow_order")
	a.Side, a.Where, a.Location = Track, f.Name(), f.Location
	a.What = "run it " + r.words() + ", " + l.from() + " until it is repaired (" + r.source + ")"
	a.Sets, a.restricts = r.sets(), true
	return a
}

// passengers reports whether a passenger car, or a steam locomotive, goes to a place: the trains of a railroad that
// runs one are taken for passenger trains.
func (m *model) passengers(p *placeModel) bool {
	for ci := range m.cars {
		if c := &m.cars[ci]; c.meets[p.index] && (c.car.Kind == "passenger" || c.car.Kind == "steam") {
			return true
		}
	}
	return false
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
		if len(left) == 0 {
			if len(d.acts) > 0 {
				out = append(out, d)
			}
			return
		}
		if len(open(p.beyond)) == 0 {
			return // a work that breaks a rule is none
		}
		if r, ok := m.law.restrict(f, passengers); ok {
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
	for _, j := range left {
		q, ok := track.QuantityOf(j.Quantity)
		if !ok || !p.f.Contradicted(q) || j.Rule.Remedy.Days == 0 {
			return false
		}
	}
	return true
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
		n, w, err := reading(m.sv.Columns[q.String()], text, m.tolerance)
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
			a.What = strings.Replace(a.What, "until it is repaired", "until it is read again", 1)
		}
		out = append(out, a)
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

// breaks reports whether a work on an axle leaves a reading of it beyond a regulation.
func (m *model) breaks(o *axleOption) bool { return len(m.law.axle(o.axles[0])) > 0 }

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
	if c.Owner != "own" {
		name = "foreign_hold"
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

// lawOf finds what is beyond a regulation as it is.
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
	for pi := range m.places {
		if m.places[pi].opts[0].broken {
			return true
		}
	}
	return !m.opt.IgnoreLimits && slices.ContainsFunc(m.cars, func(c carModel) bool { return len(c.beyond) > 0 })
}

// federalAxle reports whether a reading of an axle asks for work by a regulation.
func (m *model) federalAxle(a *axleModel) bool {
	return !m.opt.IgnoreLimits && len(m.law.axle(a.axle)) > 0
}

// out reports whether the plan leaves a car out of service.
func (p *Plan) out(ci int) bool { return p.assembled.cars[ci][p.choice.car[ci]].out }

// leaveOut holds the cars that are out of service off every place.
func (p *Plan) leaveOut() {
	for ci := range p.model.cars {
		for pi := range p.model.places {
			if p.out(ci) && p.model.cars[ci].meets[pi] {
				p.holds[[2]int{ci, pi}] = true
			}
		}
	}
}

// outAction leaves a car out of service, with the pairs that come back if it goes.
func (p *Plan) outAction(ci int) Action {
	m := p.model
	c := &m.cars[ci]
	a := outOfService(m.sv, c.car, c.beyond)
	a.order, a.Federal = ci, true
	for pi := range m.places {
		if p.option(pi).rows != nil {
			a.pairs = append(a.pairs, p.held(ci, pi)...)
		}
	}
	m.dated(&a, c.beyond, protection{})
	return a
}

// readFederal marks a reading again of a place that answers a reading beyond a regulation.
func (m *model) readFederal(a *Action) {
	for pi := range m.places {
		if p := &m.places[pi]; a.Where == p.f.Name() && !m.opt.IgnoreLimits && len(open(p.beyond)) > 0 &&
			m.readsAgain(p, open(p.beyond)) {
			list := []Action{*a}
			m.marksFederal(p, list)
			*a = list[0]
		}
	}
}

// marksFederal marks the actions of a place's option that answer a reading beyond a regulation.
func (m *model) marksFederal(p *placeModel, acts []Action) {
	asked := map[string]bool{}
	for _, j := range p.beyond {
		for _, c := range j.Rule.Condemns {
			asked[c.Quantity] = asked[c.Quantity] || !c.Where
		}
	}
	for i := range acts {
		a := &acts[i]
		a.Federal = len(p.beyond) > 0 && (a.Effect == Closes || a.restricts || a.Effect == Reads)
		for column := range a.Sets {
			a.Federal = a.Federal || asked[column]
		}
		if a.Federal && !m.opt.IgnoreLimits {
			m.dated(a, p.beyond, m.protectPlace(p))
		}
	}
}

// protection is what holds until a reading is brought within, and by when that has to be.
type protection struct {
	words string
	due   measure.Date
}

// protectPlace is what the rules let a railroad do about a place until it is repaired.
func (m *model) protectPlace(p *placeModel) protection {
	left := open(p.beyond)
	if len(left) == 0 {
		return protection{fmt.Sprintf("keep %g mph until then", p.f.Speed), m.law.day}
	}
	if r, ok := m.law.restrict(p.f, m.passengers(p)); ok {
		return protection{"until then run it " + r.words() + ", " + m.law.from() + " (" + r.source + ")", m.law.day}
	}
	days := math.MaxInt
	for _, j := range left {
		days = min(days, j.Rule.Remedy.Days)
	}
	if days > 0 {
		due := m.law.after(days)
		until := fmt.Sprintf("for at most %d days", days)
		if due.Known() {
			until += ", to " + due.String()
		}
		return protection{"until then class 1 speed at most, under a person of 213.7(a) who finds it safe, " + until +
			" (" + left[0].Rule.Remedy.Source + "); else out of service", due}
	}
	return protection{"until then out of service, " + m.law.from(), m.law.day}
}

// dated puts the day and what holds until then on an action, and what it answers.
func (m *model) dated(a *Action, list []limit.Judgement, p protection) {
	a.Due = p.due
	if a.Effect == Sets && !a.restricts || a.Effect == Reads {
		a.Protect = p.words
	} else {
		a.Due = m.law.day
	}
	for _, j := range list {
		a.Answers = append(a.Answers, answered(m, j))
	}
}

// answered words a reading with the rule that it is beyond.
func answered(m *model, j limit.Judgement) string {
	return fmt.Sprintf("%s %s (%s, %s)", j.Quantity, asWritten(m, j), j.Condition, j.Rule.Source)
}

// keeping are the actions of a place that is run already as a rule asks: that it stays so.
func (m *model) keeping(p *placeModel, o *placeOption) (out []Action) {
	if m.opt.IgnoreLimits || o.rows == nil || len(p.beyond) == 0 {
		return nil
	}
	for _, a := range o.acts {
		if a.restricts {
			return nil
		}
	}
	var kept []limit.Judgement
	for _, j := range m.law.place(o.f) {
		if j.Kept {
			kept = append(kept, j)
		}
	}
	if len(kept) == 0 {
		return nil
	}
	r := restriction{speed: p.f.Speed, source: kept[0].Rule.Remedy.Source}
	a := restricted(m.sv.Costs, p.f, r, m.law)
	a.Cents, a.Millis, a.Federal = 0, 0, true
	a.What = "keep it " + r.words() + " until it is repaired (" + kept[0].Rule.Source + ")"
	m.dated(&a, kept, protection{due: m.law.day})
	return []Action{a}
}

// marksAxle marks the actions of a work on an axle that answer a reading of it, each those of its wheel and of the
// axle.
func (m *model) marksAxle(a *axleModel, acts []Action) {
	of := m.law.book.Broken(a.axle.Subject())
	i := 0
	for _, w := range []*wheel.Wheel{a.axle.L, a.axle.R} {
		if w == nil || i >= len(acts) {
			continue
		}
		list := append(slices.Clone(of), m.law.book.Broken(w.Subject())...)
		if x := &acts[i]; len(list) > 0 {
			x.Federal = true
			if !m.opt.IgnoreLimits {
				m.dated(x, list, protection{"until then the car does not go" + movedBy(list), m.law.day})
			}
		}
		i++
	}
}

// defects lists the readings beyond a regulation, with what the plan does about each.
func (p *Plan) defects() (out []Defect) {
	m := p.model
	ids := func(answers func(a *Action) bool) (list []string, first *Action) {
		for i := range p.Actions {
			if a := &p.Actions[i]; a.Federal && answers(a) {
				list = append(list, a.ID)
				if first == nil || first.Protect == "" {
					first = a
				}
			}
		}
		return list, first
	}
	add := func(d Defect, j limit.Judgement, still []limit.Judgement, answers func(a *Action) bool) {
		d.Rule, d.Limit, d.Quantity, d.Reading = j.Rule.ID, j.Condition, j.Quantity, asWritten(m, j)
		d.Action, d.Source, d.Sure = j.Rule.Action, j.Rule.Source, j.Rule.Sure
		d.Answered = !slices.ContainsFunc(still, func(x limit.Judgement) bool { return x.Rule.ID == j.Rule.ID })
		var a *Action
		if d.IDs, a = ids(answers); a != nil {
			d.Due, d.Protect = a.Due, a.Protect
		}
		out = append(out, d)
	}
	for pi := range m.places {
		x := &m.places[pi]
		if len(x.beyond) == 0 {
			continue
		}
		var still []limit.Judgement
		if o := p.option(pi); o.rows != nil && !o.again {
			still = open(m.law.place(o.f))
		}
		for _, j := range x.beyond {
			add(Defect{Where: x.f.Name(), Location: x.f.Location, Opened: x.f.Date}, j, still,
				func(a *Action) bool { return a.Where == x.f.Name() })
		}
	}
	for ci := range m.cars {
		c := &m.cars[ci]
		if len(c.beyond) == 0 {
			continue
		}
		still := map[string][]limit.Judgement{}
		if !p.out(ci) {
			for k, ai := range c.axles {
				for _, y := range m.axles[ai].opts[p.level(ci, k)].axles[:1] {
					m.atAxle(y, func(at string, list []limit.Judgement) { still[at] = list })
				}
			}
		}
		for i, j := range c.beyond {
			at := c.beyondAt[i]
			opened := c.opened(at)
			left := still[at]
			if strings.HasPrefix(at, "truck/") && !p.out(ci) {
				left = []limit.Judgement{j}
			}
			add(Defect{Where: at, Opened: opened}, j, left, func(a *Action) bool {
				return a.Where == at || a.Where == "car/"+c.car.ID && a.At == "" ||
					strings.HasPrefix(at, "axle/") && c.axleOf(at, a.Where)
			})
		}
	}
	return out
}

// atAxle calls f with the regulations that an axle, and each of its wheels, is beyond.
func (m *model) atAxle(a *wheel.Axle, f func(at string, list []limit.Judgement)) {
	f(fmt.Sprintf("axle/%s %d", a.Car.ID, a.Number), m.law.book.Broken(a.Subject()))
	for _, w := range []*wheel.Wheel{a.L, a.R} {
		if w != nil {
			f("wheel/"+w.Car.ID+" "+w.Position.String(), m.law.book.Broken(w.Subject()))
		}
	}
}

// opened is the date of the row that a reading of the car stands in: of an axle or a truck that of the first wheel.
func (c *carModel) opened(at string) measure.Date {
	for _, a := range c.car.AxleList {
		for _, w := range []*wheel.Wheel{a.L, a.R} {
			if w == nil {
				continue
			}
			if at == "wheel/"+c.car.ID+" "+w.Position.String() || at == fmt.Sprintf("axle/%s %d", c.car.ID, a.Number) ||
				strings.HasPrefix(at, "truck/") {
				return w.Date
			}
		}
	}
	return 0
}

// axleOf reports whether a wheel is one of an axle, both by name.
func (c *carModel) axleOf(axle, wheelName string) bool {
	for _, a := range c.car.AxleList {
		for _, w := range []*wheel.Wheel{a.L, a.R} {
			if w != nil && axle == fmt.Sprintf("axle/%s %d", c.car.ID, a.Number) &&
				wheelName == "wheel/"+c.car.ID+" "+w.Position.String() {
				return true
			}
		}
	}
	return false
}

// Unanswered counts the readings beyond a regulation that the plan leaves.
func (p *Plan) Unanswered() int {
	n := 0
	for _, d := range p.Federal {
		if !d.Answered {
			n++
		}
	}
	return n
}

// asWritten writes the reading of a judgement as its sheet has it.
func asWritten(m *model, j limit.Judgement) string {
	return judge.PrintReading(m.sv.Columns, j.Quantity, j.Reading)
}

// words writes a column's name as people say it.
func words(column string) string { return strings.ReplaceAll(column, "_", " ") }
