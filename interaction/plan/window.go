package plan

import (
	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Window is from where to where a reading may end after a work, as one would write it: every promise of the plan holds
// wherever in their windows all readings end. Down and Up say that it is open: any lesser, any greater reading is as
// good, as far as one is taken for a reading at all.
type Window struct {
	Least, Most string
	Down, Up    bool
}

// String words the window: 54-7/16 to 54-9/16, at least 3-3/8.
func (w Window) String() string {
	switch {
	case w.Up:
		return "at least " + w.Least
	case w.Down:
		return "at most " + w.Most
	case w.Least == w.Most:
		return w.Least
	}
	return w.Least + " to " + w.Most
}

// stretch is where a reading may end, mm.
type stretch struct{ least, most float64 }

// windowOf is the window of a stretch of a column, open where it reaches to a bound; ok is false if the column holds no
// length, or is at nothing.
func windowOf(spec measure.Spec, r measure.Reading, s stretch) (w Window, ok bool) {
	if spec.Unit == measure.Degrees || r.Form == measure.None {
		return w, false
	}
	w = Window{Least: measure.Inch(max(s.least, spec.Lo)), Most: measure.Inch(min(s.most, spec.Hi))}
	w.Down, w.Up = s.least <= spec.Lo+measure.Near, s.most >= spec.Hi-measure.Near
	return w, true
}

// spanOf is the stretch of a reading that a work leaves: within its tolerance, and of a notch all that shows it.
func spanOf(spec measure.Spec, r measure.Reading, t tolerance) stretch {
	switch r.Form {
	case measure.Below:
		return stretch{spec.Lo, r.As}
	case measure.Above:
		return stretch{r.As, spec.Hi}
	}
	return stretch{r.As - t.down, r.As + t.up}
}

// end is a reading at an end of its stretch, as one would write it there.
func end(spec measure.Spec, r measure.Reading, as float64) measure.Reading {
	as = min(max(as, spec.Lo), spec.Hi)
	if at, err := spec.Parse(measure.Inch(as)); err == nil {
		return at
	}
	w := r
	w.Lo, w.Hi, w.As = max(spec.Lo, as-(r.As-r.Lo)), min(spec.Hi, as+(r.Hi-r.As)), as
	return w
}

// finer is how much less a reading errs at the ends of its tolerance than in the middle, mm: they may be written in a
// finer fraction.
func finer(spec measure.Spec, r measure.Reading, t tolerance) float64 {
	off := max(t.down, t.up)
	if !kept(spec, r) || off == 0 {
		return 0
	}
	at, err := spec.Parse(measure.Inch(r.As - off))
	if err != nil {
		return 0
	}
	return max(0, r.Hi-r.As-(at.Hi-at.As))
}

// finerWheel is that of all readings of a wheel that a work leaves.
func (m *model) finerWheel(w axleWork, v *wheel.Wheel) (sum float64) {
	for q := range w.sets {
		sum += finer(m.sv.Columns[q.String()], v.Read(q), w.tolerance(m.sv, q))
	}
	return sum
}

// worst is the verdict of the readings of a pair that end worst within their tolerances, told by its margin as planned
// and the least with all of them: with the tolerance x says whether they may conflict, and this whether some surely do.
func worst(x interaction.Verdict, lo, hi, least, finer float64) interaction.Verdict {
	if x != interaction.Undecided || lo-least <= measure.Near {
		return x
	}
	return min(x, interaction.VerdictOf(least, least+(hi-lo)-finer))
}

// ends are a place after a draft with all readings at their least and at their most.
func (d *draft) ends(m *model) (out []*track.Feature) {
	for _, way := range []float64{-1, 1} {
		f, moved := d.narrow, false
		for q := range track.NumQuantities {
			if _, ok := d.to[q]; !ok {
				continue
			}
			spec, r, t := m.sv.Columns[q.String()], d.narrow.Read(q), d.tolerance(m.sv, q)
			if kept(spec, r) && t > 0 {
				f, moved = f.With(q, end(spec, r, r.As+way*t)), true
			}
		}
		if moved {
			out = append(out, f)
		}
	}
	return out
}

// wheelEnds are an axle after a work with all readings at their least and at their most; narrow is it as planned.
func (m *model) wheelEnds(narrow *wheel.Axle, w axleWork) (out [2]*wheel.Axle) {
	for i := range out {
		out[i] = narrow.Clone()
	}
	for q := range w.sets {
		t := w.tolerance(m.sv, q)
		m.move(out[0], q, -t.down)
		m.move(out[1], q, t.up)
	}
	return out
}

// move writes a reading of both wheels of an axle so many mm off, where a work keeps it within a tolerance.
func (m *model) move(a *wheel.Axle, q wheel.Quantity, by float64) {
	spec := m.sv.Columns[q.String()]
	for _, v := range a.Wheels() {
		if r := v.Read(q); kept(spec, r) {
			v.Set(q, end(spec, r, r.As+by))
		}
	}
}

// withinLaw is a work on an axle with its tolerances cut where a reading would be beyond a regulation, if it is within
// all of them where the order asks for it: what is made at a limit may end on the one side of it alone.
func (m *model) withinLaw(a *wheel.Axle, w axleWork) axleWork {
	narrow, _, err := m.shop.planned(a, w)
	if m.opt.IgnoreLimits || err != nil || len(m.law.axle(narrow)) > 0 {
		return w
	}
	w.room = map[wheel.Quantity]tolerance{}
	for q := range w.sets {
		lawful := func(by float64) bool {
			x := narrow.Clone()
			m.move(x, q, by)
			return len(m.law.axle(x)) == 0
		}
		t := w.tolerance(m.sv, q)
		if !lawful(-t.down) {
			t.down = 0
		}
		if !lawful(t.up) {
			t.up = 0
		}
		w.room[q] = t
	}
	return w
}

// windows puts its windows on every action that leaves readings.
func (p *Plan) windows() {
	m := p.model
	at := map[string]map[string]stretch{}
	for pi := range m.places {
		if o := p.option(pi); len(o.acts) > 0 && o.rows != nil {
			at[m.places[pi].f.Name()] = p.spans(pi)
		}
	}
	for i := range p.Actions {
		a := &p.Actions[i]
		if a.Effect != Sets || a.restricts {
			continue
		}
		a.Window = map[string]Window{}
		for column, text := range a.Sets {
			spec, known := m.sv.Columns[column]
			if !known {
				continue
			}
			r, err := spec.Parse(text)
			if err != nil {
				continue // a mark or a word
			}
			s, ok := at[a.Where][column]
			if !ok {
				t, own := a.room[column]
				if !own {
					t = either(m.sv.Tolerance(a.Work, column))
				}
				s = spanOf(spec, r, t)
			}
			if w, ok := windowOf(spec, r, s); ok {
				a.Window[column] = w
			}
		}
	}
}

// spans are the windows of the readings that the works of a place leave: what the work can be kept within, and beyond
// it whatever is as good by the plain rules, if nothing that is computed rests on the reading.
func (p *Plan) spans(pi int) map[string]stretch {
	m, o := p.model, p.option(pi)
	out := map[string]stretch{}
	type of struct {
		q    track.Quantity
		spec measure.Spec
	}
	var open []of
	for q := range track.NumQuantities {
		t, set := o.kept[q]
		if !set {
			continue
		}
		spec, r := m.sv.Columns[q.String()], o.f.Read(q)
		out[q.String()] = spanOf(spec, r, either(t))
		if kept(spec, r) && t > 0 {
			open = append(open, of{q, spec})
		}
	}
	wide := func(f *track.Feature) *track.Feature {
		for _, x := range open {
			s := out[x.q.String()]
			f = f.With(x.q, within(x.spec, o.f.Read(x.q), s.least, s.most))
		}
		return f
	}
	base := wide(o.f)
	ends := func() (shares []*interaction.PlaceShare) {
		for _, most := range []bool{false, true} {
			f := o.f
			for _, x := range open {
				s := out[x.q.String()]
				as := s.least
				if most {
					as = s.most
				}
				f = f.With(x.q, end(x.spec, o.f.Read(x.q), as))
			}
			shares = append(shares, m.trial.Place(f))
		}
		return shares
	}
	was := p.leftAt(pi, m.trial.Place(base), ends())
	for _, x := range open {
		kept := out[x.q.String()]
		for _, up := range []bool{true, false} {
			before := out[x.q.String()]
			s := before
			if up {
				s.most = x.spec.Hi
			} else {
				s.least = x.spec.Lo
			}
			out[x.q.String()] = s
			if f := wide(o.f); !m.same(&m.places[pi], base, f) || p.leftAt(pi, m.trial.Place(f), ends()) > was ||
				!m.lawfulSpans(o.f, out) {
				out[x.q.String()] = before
			}
		}
		if s := out[x.q.String()]; s.least <= x.spec.Lo && s.most >= x.spec.Hi {
			out[x.q.String()] = kept // no promise rests on it: what a gang keeps is asked for all the same
		}
	}
	return out
}

// same reports whether all that is computed at a place is the same of two of its states.
func (m *model) same(p *placeModel, a, b *track.Feature) bool {
	x, y := m.trial.Place(a), m.trial.Place(b)
	for _, check := range p.checks {
		if m.engine.Computes(check) && (m.engine.Section(check, a) != m.engine.Section(check, b) ||
			x.Interval(check) != y.Interval(check)) {
			return false
		}
	}
	return true
}

// lawfulSpans reports whether nothing is beyond a regulation, and nothing contradicts, at any corner of the windows.
func (m *model) lawfulSpans(f *track.Feature, spans map[string]stretch) bool {
	had := len(open(m.law.place(f)))
	var qs []track.Quantity
	for q := range track.NumQuantities {
		if s, ok := spans[q.String()]; ok && s.least < s.most && kept(m.sv.Columns[q.String()], f.Read(q)) {
			qs = append(qs, q)
		}
	}
	for corner := range 1 << len(qs) {
		g := f
		for i, q := range qs {
			s := spans[q.String()]
			as := s.least
			if corner>>i&1 == 1 {
				as = s.most
			}
			g = g.With(q, end(m.sv.Columns[q.String()], f.Read(q), as))
		}
		if len(open(m.law.place(g))) > had || g.Contradiction() != "" && f.Contradiction() == "" {
			return false
		}
	}
	return true
}

// leftAt counts what a state of a place leaves bad or worse of the cars that go there, by the plain rules; ends are
// those with all readings at their least and their most.
func (p *Plan) leftAt(pi int, share *interaction.PlaceShare, ends []*interaction.PlaceShare) (n int) {
	m, o := p.model, p.option(pi)
	place := &m.places[pi]
	for ci := range m.cars {
		c := &m.cars[ci]
		if !c.meets[pi] || p.holds[[2]int{ci, pi}] || p.out(ci) {
			continue
		}
		for k, ai := range c.axles {
			a := &m.axles[ai]
			ws := &a.opts[p.level(ci, k)]
			for side, w := range a.index {
				if w < 0 {
					continue
				}
				for q, check := range place.checks {
					if m.engine.Computes(check) || !m.trial.Has(check, m.shares[w], share) {
						continue
					}
					r := *o.rows[q]
					r.shares[1], r.ends = share, ends
					v, x := m.plain(&r, &ws.wheels[side])
					if bad, worse := m.marks(&r, w, p.level(ci, k) > 0, v, x); bad || worse {
						n++
					}
				}
			}
		}
	}
	return n
}

// atEnds is the worst verdict of a pair, whose margin is no sum, with all readings that works leave at an end of their
// tolerances.
func (m *model) atEnds(r *rowModel, w *wheelOption, x interaction.Verdict) interaction.Verdict {
	wheels, places := []*interaction.WheelShare{w.narrow}, []*interaction.PlaceShare{r.shares[0]}
	if w.ends[0] != nil {
		wheels = w.ends[:]
	}
	if len(r.ends) > 0 {
		places = r.ends
	}
	for _, a := range wheels {
		for _, b := range places {
			x = min(x, m.trial.Verdict(r.check, a, b))
		}
	}
	return x
}

// final is the readings that a work order asks for, with their windows.
func (p *Plan) final(a Action) []string {
	var out []string
	for _, c := range a.Columns() {
		if c == "marks" || c == "condition" || c == "profile" {
			continue // what is gone with the work, and no reading
		}
		text := a.Sets[c]
		switch w, ok := a.Window[c]; {
		case ok:
			text = w.String() + " in"
		case c == "speed_mph":
			text += " mph"
		case c == track.FaceAngle.String():
			text += " degrees"
		}
		out = append(out, c+" "+text)
	}
	return out
}
