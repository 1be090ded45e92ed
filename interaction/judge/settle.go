package judge

import (
	"slices"
	"strings"
	"sync"

	"flangeway/interaction"
	"flangeway/interaction/shaped"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// A pair whose verdict is computed from shapes or forces is settled by a reading if, with that
// reading known and the others as they are, it is clear or a conflict for some value that the
// reading can have. This is found by judging it so.

// taking is one reading to take: of a wheel, of a place, or what a sheet of cars says of the wheel's car.
type taking struct {
	w      *wheel.Wheel   // nil: of the place
	mate   bool           // of its mate, which is not in the sheet
	f      *track.Feature // nil: of the wheel
	column string
}

// settler is readings that decide a pair together; most are one.
type settler []taking

// pairAt is a pair by the numbers of its place, table and wheel.
type pairAt struct{ place, table, wheel int }

// alike is what pairs of a place and check have in common that are settled by the same readings, each
// of its own wheel: the worst of them is judged for all.
type alike struct {
	place, table int
	settle       interaction.Mask
	columns      string
	mechanism    string
	plain        interaction.Verdict
	// Of a wheel that is judged by itself: its readings that are not one figure, and its side; of a
	// truck how many wheels it has.
	forms interaction.Mask
	own   int
}

// settled is what was found to settle computed pairs.
type settled struct {
	sync.Mutex
	worst map[alike]int // the wheel of the worst of them
	by    map[alike][]settler
}

// alikeOf says with which others a computed pair is settled by the same readings.
func (e *Engine) alikeOf(at pairAt, m judged) alike {
	w := e.wheels[at.wheel].W
	x := e.supposed(at)
	if e.Computes(x.check) && e.trucks(x.check) {
		// A truck takes a tenth of a second to judge again, and in a fleet of varied wheels no two are
		// alike: the worst one of a curve answers for all of them that have as many wheels.
		return alike{place: at.place, table: at.table, own: len(x.wheels())}
	}
	k := alike{place: at.place, table: at.table, settle: m.Settle, columns: strings.Join(e.columns(at, m), ","),
		plain: m.plain}
	if m.computed != nil {
		k.mechanism = m.computed.Mechanism
	}
	k.own = max(0, slices.Index(x.wheels(), w))
	for _, q := range []wheel.Quantity{wheel.TreadHollow, wheel.FlangeThickness, wheel.FlangeHeight,
		wheel.VerticalFlange} {
		if r := w.Read(q); r.Form != measure.Point {
			k.forms |= interaction.WheelMask(q)
		}
	}
	return k
}

// note keeps an undecided pair if it is the worst of those that are alike.
func (s *settled) note(e *Engine, at pairAt, m judged) {
	k := e.alikeOf(at, m)
	if s.worst == nil {
		s.worst, s.by = map[alike]int{}, map[alike][]settler{}
	}
	if old, ok := s.worst[k]; !ok || interaction.Worse(m.Margin,
		e.pair(old, &e.places[at.place].tables[at.table]).Margin) {
		s.worst[k] = at.wheel
	}
}

// judgedAgain reports whether a pair is judged again to find what settles it: an undecided one
// that shapes or forces have judged.
func (e *Engine) judgedAgain(m judged) bool {
	return m.Verdict == interaction.Undecided && m.computed != nil && m.against == 0 && len(m.computed.Again) == 0
}

// columns are the columns, besides the readings, that the verdict of an undecided pair names.
func (e *Engine) columns(at pairAt, m judged) []string {
	ps := &e.places[at.place]
	if c := e.Checks[ps.tables[at.table].Check]; c.Wants != nil {
		return c.Wants(interaction.Fix{Wheel: e.wheels[at.wheel].W, Feature: ps.f, Rules: e.Rules, Margin: m.Margin})
	}
	return m.computed.Columns
}

// settlers are the readings that would decide a pair that is undecided or not measured.
func (e *Engine) settlers(at pairAt, m judged) []settler {
	if m.Verdict == interaction.Undecided && m.computed != nil && len(m.computed.Again) > 0 {
		return readAgain(m.computed.Again)
	}
	if e.judgedAgain(m) {
		return e.computedSettlers(at, m)
	}
	var list settler
	m.Settle.Each(func(bit uint) { list = append(list, e.takingOf(bit, e.wheels[at.wheel].W, e.places[at.place].f)) })
	if m.Together {
		return []settler{list}
	}
	return each.Of(list, func(t taking) settler { return settler{t} })
}

// readAgain are readings to take again, those of one quantity together: whichever of them was misread.
func readAgain(list []shaped.Again) (out []settler) {
	for q := range wheel.NumQuantities {
		var s settler
		for _, a := range list {
			if a.Quantity == q {
				s = append(s, taking{w: a.Wheel, column: q.String()})
			}
		}
		if s != nil {
			out = append(out, s)
		}
	}
	return out
}

// settleBy names what settles a pair, and the readings under a warning that are to be read again first.
func (e *Engine) settleBy(at pairAt, m judged, doubts interaction.Mask) (out []string) {
	w, ps := e.wheels[at.wheel].W, &e.places[at.place]
	for _, s := range e.settlers(at, m) {
		out = append(out, s.names(w))
	}
	if c := e.Checks[ps.tables[at.table].Check]; c.Wants != nil {
		out = append(out, e.columns(at, m)...)
	}
	if m.Verdict != interaction.Conflict && m.Verdict != interaction.Undecided {
		return out
	}
	for _, name := range interaction.ReadingNames(doubts) {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// computedSettlers are those of an undecided pair that was computed: as of the worst pair that is alike.
func (e *Engine) computedSettlers(at pairAt, m judged) []settler {
	k := e.alikeOf(at, m)
	e.settled.Lock()
	worst, ok := e.settled.worst[k]
	found, done := e.settled.by[k]
	e.settled.Unlock()
	if !ok {
		worst = at.wheel
	}
	of := e.supposed(pairAt{at.place, at.table, worst})
	if !done {
		m := e.pair(worst, &e.places[at.place].tables[at.table])
		found = of.tried(m, e.columns(pairAt{at.place, at.table, worst}, m))
		if ok {
			e.settled.Lock()
			e.settled.by[k] = found
			e.settled.Unlock()
		}
	}
	if worst == at.wheel {
		return found
	}
	from, to := of.wheels(), e.supposed(at).wheels()
	out := make([]settler, len(found))
	for i, s := range found {
		out[i] = slices.Clone(s)
		for j, t := range s {
			if n := slices.Index(from, t.w); t.w != nil && n >= 0 && to[n] != nil {
				out[i][j].w = to[n]
			}
		}
	}
	return out
}

// takingOf is the reading that a bit of a mask stands for.
func (e *Engine) takingOf(bit uint, w *wheel.Wheel, f *track.Feature) taking {
	if bit >= interaction.TrackBit {
		return taking{f: f, column: track.Quantity(bit - interaction.TrackBit).String()}
	}
	q, mate := interaction.WheelReading(bit)
	if m := w.Mate(); mate && m != nil {
		w, mate = m, false
	}
	return taking{w: w, mate: mate, column: q.String()}
}

// name words a reading as one of a pair's.
func (t taking) name(of *wheel.Wheel) string {
	_, ofWheel := wheel.QuantityOf(t.column) // else of its car
	switch {
	case t.mate:
		return t.column + " of the mate"
	case !ofWheel || t.w == nil || t.w == of || t.column == wheel.BackToBack.String() && t.w.Axle() == of.Axle():
		return t.column
	case t.w == of.Mate():
		return t.column + " of the mate"
	}
	return t.column + " of " + t.w.Position.String()
}

// names words them, one column of several wheels once.
func (s settler) names(of *wheel.Wheel) string {
	var columns, out []string
	for _, t := range s {
		if !slices.Contains(columns, t.column) {
			columns = append(columns, t.column)
		}
	}
	for _, c := range columns {
		var whose []string
		one := ""
		for _, t := range s {
			switch {
			case t.column != c:
			case t.mate || t.w == nil:
				one, whose = t.name(of), append(whose, "the mate")
			default:
				one, whose = t.name(of), append(whose, t.w.Position.String())
			}
		}
		if len(whose) > 1 {
			one = c + " of " + strings.Join(whose, ", ")
		}
		out = append(out, one)
	}
	return strings.Join(out, " and ")
}

// tried finds what settles a computed pair: the columns that decide it by themselves, first of those that its verdict
// names, else those that do together; none if all of them known decide nothing. Of a truck, which takes long, only
// those are tried that its verdict names. Of a column as few readings are named as decide.
func (x *supposed) tried(m judged, besides []string) []settler {
	var named settler
	m.Settle.Each(func(bit uint) { named = append(named, x.e.takingOf(bit, x.w, x.f)) })
	for _, c := range besides {
		named = append(named, columnOf(c, x.w, x.f))
	}
	first := x.columns(named)
	if out := x.alone(first); len(out) > 0 {
		return out
	}
	columns := first
	if !x.e.trucks(x.check) {
		columns = append(columns, x.others(first)...)
	}
	if !x.decides(slices.Concat(columns...)) {
		if x.e.Checks[x.check].Look == "" && len(named) > 0 { // and there is nothing to look at
			return []settler{named}
		}
		return nil
	}
	if out := x.alone(columns[len(first):]); len(out) > 0 {
		return out
	}
	for i := len(columns) - 1; i >= 0; i-- { // the first are the likeliest
		if fewer := slices.Delete(slices.Clone(columns), i, i+1); x.decides(slices.Concat(fewer...)) {
			columns = fewer
		}
	}
	return []settler{x.least(slices.Concat(columns...))}
}

// alone are the columns that decide the pair by themselves.
func (x *supposed) alone(columns []settler) (out []settler) {
	for _, s := range columns {
		if !x.decides(s) {
			continue
		}
		single := slices.IndexFunc(s, func(t taking) bool { return len(s) > 1 && x.decides(settler{t}) })
		switch {
		case single >= 0:
			out = append(out, settler{s[single]})
		default:
			out = append(out, x.least(s))
		}
	}
	return out
}

// least leaves readings out of a set that decides, as long as it does.
func (x *supposed) least(s settler) settler {
	for i := len(s) - 1; i >= 0 && len(s) > 1; i-- {
		if fewer := slices.Delete(slices.Clone(s), i, i+1); x.decides(fewer) {
			s = fewer
		}
	}
	return s
}

// columns are readings with those of the same column at the other wheels that are judged with the wheel.
func (x *supposed) columns(list settler) (out []settler) {
	for _, t := range list {
		if has(out, t) {
			continue
		}
		s := settler{t}
		if len(t.values(x)) == 0 {
			s = nil
		}
		if q, ok := wheel.QuantityOf(t.column); ok && t.w != nil {
			for _, w := range x.wheels() {
				o := taking{w: w, column: t.column}
				if w != nil && o != t && len(o.values(x)) > 0 && !(q == wheel.BackToBack && w != w.Axle().Listed()) {
					s = append(s, o)
				}
			}
		}
		if len(s) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// others are the columns besides that may enter the pair and in which something is open.
func (x *supposed) others(but []settler) []settler {
	var list settler
	for _, q := range []wheel.Quantity{wheel.TreadHollow, wheel.FlangeThickness, wheel.FlangeHeight,
		wheel.VerticalFlange, wheel.Diameter, wheel.BackToBack, wheel.RimWidth} {
		list = append(list, taking{w: x.w, column: q.String()})
	}
	for _, q := range x.f.Measured() {
		list = append(list, taking{f: x.f, column: q.String()})
	}
	return slices.DeleteFunc(x.columns(list), func(s settler) bool { return has(but, s[0]) })
}

// has reports whether one of the lists is of a reading's column.
func has(lists []settler, t taking) bool {
	return slices.ContainsFunc(lists, func(s settler) bool {
		return s[0].column == t.column && (s[0].f != nil) == (t.f != nil)
	})
}

// columnOf is the reading that a word of a computed verdict names.
func columnOf(name string, w *wheel.Wheel, f *track.Feature) taking {
	column, of, other := strings.Cut(name, " of ")
	if other {
		for _, a := range w.Car.AxleList {
			for _, x := range a.Wheels() {
				if x.Position.String() == of {
					return taking{w: x, column: column}
				}
			}
		}
	}
	switch column {
	case "number", "type", "speed_mph", "rail", "rail_cant":
		return taking{f: f, column: column}
	}
	if _, ok := track.QuantityOf(column); ok {
		return taking{f: f, column: column}
	}
	return taking{w: w, column: column}
}

// supposed judges a pair as if readings were known.
type supposed struct {
	e     *Engine
	w     *wheel.Wheel
	f     *track.Feature
	check int
}

func (e *Engine) supposed(at pairAt) *supposed {
	ps := &e.places[at.place]
	return &supposed{e: e, w: e.wheels[at.wheel].W, f: ps.f, check: ps.tables[at.table].Check}
}

// axles are those that are judged with the wheel: its own, or those of its truck.
func (x *supposed) axles() []*wheel.Axle {
	for _, numbers := range x.e.Trucks(x.check, x.w.Car) {
		if !slices.Contains(numbers, x.w.Position.Axle) {
			continue
		}
		var out []*wheel.Axle
		for _, n := range numbers {
			if a := x.w.Car.Axle(n); a != nil {
				out = append(out, a)
			}
		}
		return out
	}
	if a := x.w.Axle(); a != nil {
		return []*wheel.Axle{a}
	}
	return nil
}

// wheels are those of these axles, in order; nil for one that is not in the sheet.
func (x *supposed) wheels() []*wheel.Wheel {
	var out []*wheel.Wheel
	for _, a := range x.axles() {
		out = append(out, a.L, a.R)
	}
	return out
}

// decides reports whether the pair is clear or a conflict for something that the readings of a set
// can be, the others as they are: their middles are tried together, then their lower and their upper ends.
func (x *supposed) decides(set settler) bool {
	if len(set) == 0 {
		return false
	}
	values := make([][]value, len(set))
	most := 0
	for i, t := range set {
		if values[i] = t.values(x); len(values[i]) == 0 {
			return false
		}
		most = max(most, len(values[i]))
	}
	at := make([]int, len(set))
	for k := range most {
		for i := range at {
			at[i] = min(k, len(values[i])-1)
		}
		if v := x.judge(set, values, at); v == interaction.Clear || v == interaction.Conflict {
			return true
		}
	}
	return false
}

// judge is the verdict of the pair with the readings of a set at given ones of their values.
func (x *supposed) judge(set settler, values [][]value, at []int) interaction.Verdict {
	fleet := &wheel.Fleet{}
	car := *x.w.Car
	car.AxleList = nil
	clones := map[*wheel.Wheel]*wheel.Wheel{}
	axles := x.axles()
	if len(axles) == 0 {
		return interaction.Undecided
	}
	for _, a := range axles {
		b := a.Clone()
		b.Car = &car
		car.AxleList = append(car.AxleList, b)
		for _, pair := range [2][2]*wheel.Wheel{{a.L, b.L}, {a.R, b.R}} {
			if pair[0] != nil {
				pair[1].Car = &car
				clones[pair[0]] = pair[1]
				fleet.Wheels = append(fleet.Wheels, pair[1])
			}
		}
	}
	if car.Axles == 0 {
		car.Axles = len(x.w.Car.AxleList)
	}
	fleet.Cars = []*wheel.Car{&car}
	f := x.f
	for i, t := range set {
		switch v := values[i][at[i]]; {
		case t.f != nil:
			f = v.place(f, t.column)
		default:
			v.wheel(clones[t.w], &car, t.column)
		}
	}
	row := x.e.Again(fleet).Rows([]*track.Feature{f}, func(check int) bool { return check == x.check })[0][x.check]
	return row[slices.Index(fleet.Wheels, clones[x.w])]
}
