package shaped

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/internal/parallel"
	"flangeway/track"
	"flangeway/wheel"
)

// span is a computed figure as written and over everything else that was tried, mm or degrees.
type span struct{ as, lo, hi float64 }

// none is a span that nothing was taken into.
func none() span { return span{math.NaN(), math.Inf(1), math.Inf(-1)} }

// take widens the span; the first value is the one as written.
func (s *span) take(v float64) {
	if math.IsNaN(s.as) {
		s.as = v
	}
	s.lo, s.hi = math.Min(s.lo, v), math.Max(s.hi, v)
}

// add joins two spans of figures that add.
func (s span) add(t span) span { return span{s.as + t.as, s.lo + t.lo, s.hi + t.hi} }

// passages fills the computed verdicts of frogs and switches.
func (c *Computer) passages(places []*Place) {
	var list []Place
	for _, ps := range places {
		p := Place{F: ps.F, Designed: ps.Designed}
		for _, t := range ps.Tables {
			if c.Checks[t.Check].Passage != "" && t.Part.Missing == 0 {
				t.Computed = make([]*Computed, len(c.Wheels))
				p.Tables = append(p.Tables, t)
			}
		}
		if len(p.Tables) > 0 {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		return
	}
	fleet := make([]*footing, len(c.Wheels))
	parallel.Each(len(fleet), func(i int) { fleet[i] = c.footOf(c.Wheels[i].W) })
	names := interaction.ReferenceNames(c.data)
	var reference []*footing
	for _, w := range interaction.ReferenceWheels(c.data) {
		reference = append(reference, c.foot(w))
	}
	step := c.steps("passing wheels through frogs and over switches", len(list))
	parallel.Each(len(list), func(i int) {
		defer step()
		p, skips := list[i], new(skips)
		var over passable
		switch p.F.Kind {
		case track.Frog:
			over = c.frog(p.F)
		default:
			over = c.point(p.F, reference[0])
		}
		for _, t := range p.Tables {
			check := c.Checks[t.Check]
			t.Ordinary = nil
			for i, f := range reference {
				if c.again || p.Designed { // it is known, or nobody asks
					break
				}
				w := check.WheelPart(c.Rules, f.w, false).Part
				m := check.Margin(c.Rules, &w, &t.Part)
				verdict := m.Verdict
				if k := c.passing(over, check, f, m, &w, &t.Part, skips); k != nil && !k.Skipped {
					verdict = k.Verdict
				}
				if verdict == interaction.Conflict {
					t.Ordinary = append(t.Ordinary, names[i])
				}
			}
			parallel.Each(len(fleet), func(wi int) {
				w := &c.Wheels[wi].Parts[t.Check]
				t.Computed[wi] = c.passing(over, check, fleet[wi], check.Margin(c.Rules, w, &t.Part), w, &t.Part, skips)
			})
		}
	})
}

// passable is a place that wheels pass: what is computed of a wheel there at a check. The margin is that of the plain
// rule, p the place's part of it. why says that nothing can be. It may be asked by several goroutines.
type passable interface {
	margin(by interaction.Passing, f *footing, m interaction.Margin, p *interaction.Part) (l outcome, why error)
}

// outcome is the computed result of a wheel at a place.
type outcome struct {
	forms []formMargin // by what is assumed of the place
	names []string     // of the forms
	tell  func(all span) string
	// unread lists the readings of the place that were not taken and were tried over all that they can be.
	unread unread
	// caution says what was not read and, as the plain rule has it, is not counted: what is
	// clear without it is close. next is the reading that takes the caution away.
	caution string
	next    interaction.Mask
	again   interaction.Mask // readings that no shape can be made of, or that nothing stands on
	// lacks says what was not read and can be worse than all that is tried: no pair is clear.
	lacks string
	guard guarded // of a switch
	// lean says what was not read and was tried without leaving a pair open: one that is clear by
	// little for it is close.
	lean string
}

// formMargin is a margin with one form of what is assumed, mm or degrees, at the worst position across.
type formMargin struct {
	as   float64 // with the readings as written
	open float64 // the same over what was not read
	lo   float64 // the least over the readings' intervals too
	top  float64 // the greatest over all of these
	hi   float64 // and at any position across
	far  float64 // lo, and over what is tried without leaving a pair open (outcome.lean)
}

func newForms(n int) []formMargin {
	out := make([]formMargin, n)
	for i := range out {
		out[i] = formMargin{math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1), math.Inf(1)}
	}
	return out
}

// take widens the margin: with readings as written or elsewhere in their intervals, and with
// figures for what was not read (blank).
func (f *formMargin) take(v float64, written, blank bool) {
	if written {
		f.open = math.Min(f.open, v)
		if !blank {
			f.as = math.Min(f.as, v)
		}
	}
	f.lo, f.top = math.Min(f.lo, v), math.Max(f.top, v)
	f.reach(v)
}

// reach widens the margin at its upper end alone.
func (f *formMargin) reach(v float64) { f.hi = math.Max(f.hi, v) }

// add adds the readings' own margin, firm the least of it by what was written.
func (f *formMargin) add(firm, lo, hi float64) {
	f.as += firm
	f.open += firm
	f.lo += lo
	f.far += lo
	f.top += hi
	f.hi += hi
}

// all is the span over the forms, the first as written.
func (l *outcome) all() span {
	s := none()
	s.take(l.forms[0].as)
	for _, f := range l.forms {
		s.lo, s.hi = math.Min(s.lo, f.lo), math.Max(s.hi, f.hi)
	}
	return s
}

// far is the least margin over the forms, of what is tried without leaving a pair open too.
func (l *outcome) far() float64 {
	far := math.Inf(1)
	for _, f := range l.forms {
		far = math.Min(far, f.far)
	}
	return far
}

// best is the form that leaves the most room with the readings as written.
func (l *outcome) best() (int, formMargin) {
	at := 0
	for i, f := range l.forms {
		if f.open > l.forms[at].open+measure.Near {
			at = i
		}
	}
	return at, l.forms[at]
}

// errOverPoint says that there is nothing of a point beside a flange.
var errOverPoint = errors.New("the flange tip passes above the point")

// How the readings are named of which a figure is told if they are not those written.
const (
	oneEnd  = "at one end of the readings"
	between = "between the ends of the readings"
)

// readAs words of which readings a figure is: as written, or otherwise if one is one-sided.
func readAs(m interaction.Margin, otherwise string) string {
	if m.NoAs {
		return otherwise
	}
	return "as written"
}

// errUnmodelled says that a place is of a make that is not in the model.
var errUnmodelled = errors.New("not in the model")

// skips are the answers of a place that could not be computed, one for each reason.
type skips struct{ kept[string, *Computed] }

func (s *skips) of(why string) *Computed {
	k, _ := s.get(why, func() (*Computed, error) { return &Computed{Skipped: true, Why: why}, nil })
	return k
}

// uncomputed is the answer if no shapes can be made of what was read, or they cannot pass:
// nothing is clear. settle are the readings of the plain rule, of which one may not be right.
func uncomputed(why error, settle interaction.Mask) *Computed {
	return &Computed{Verdict: interaction.Undecided, capped: true, Why: why.Error(), settle: settle}
}

// passing judges what is computed of a wheel at a check, w and p the two sides' parts of the plain margin m; nil if the
// pair is not measured. Nothing is clear that the plain rule does not clear: that rule has what the readings may err.
// What is assumed of the shapes leaves a pair open only if all of it fails with the readings as written, else it makes
// a clear pair close.
func (c *Computer) passing(over passable, check *interaction.Check, f *footing, m interaction.Margin, w,
	p *interaction.Part, skips *skips) *Computed {
	switch {
	case m.Verdict == interaction.NotMeasured:
		return nil
	case errors.Is(f.broken, errUnmodelled):
		return skips.of(f.broken.Error())
	case f.broken != nil:
		return uncomputed(f.broken, interaction.Open(w, p))
	case m.NoLo:
		return skips.of("a reading is missing that the shape needs")
	}
	l, why := over.margin(check.Passes, f, m, p)
	switch {
	// shapes say that something is wrong there
	case errors.Is(why, passage.ErrUnsupported), errors.Is(why, errOverPoint):
		k := &Computed{Verdict: min(m.Verdict, interaction.Undecided), Why: why.Error(), settle: m.Settle}
		switch {
		case errors.Is(why, errBlank):
			k.settle, k.Columns = k.settle|l.unread.quantities, l.unread.words
		case k.settle == 0:
			k.settle = l.again
		}
		return k
	case errors.Is(why, errUnmodelled):
		return skips.of(why.Error())
	case why != nil:
		return uncomputed(why, interaction.Open(w, p)|l.again)
	}
	all := l.all()
	at, best := l.best()
	k := &Computed{Margin: all.as, Low: all.lo, High: all.hi, Unit: "mm", Mechanism: check.Passage,
		metric: check.Metric}
	allowance := c.Rules.Value("passage_allowance")
	if check.Degrees {
		k.Unit, allowance = "deg", c.Rules.Value("passage_allowance_deg")
	}
	if m.NoAs {
		k.Margin = math.NaN()
	}
	// a tip that nobody read makes no conflict
	shaped := all.hi < -allowance-measure.Near && check.Looks != interaction.AtTip
	held := false
	switch {
	case l.lacks != "" && m.Verdict == interaction.Clear && best.open >= -measure.Near:
		k.Verdict, k.settle = interaction.Undecided, l.next
	// what the readings alone make a conflict need not be one by more
	case shaped, all.hi < -measure.Near && m.Verdict == interaction.Conflict:
		k.Verdict = interaction.Conflict
	case m.Verdict == interaction.Clear && all.lo >= allowance-measure.Near:
		k.Verdict = interaction.Clear
		caution := l.caution
		if caution == "" && l.far() < allowance-measure.Near {
			caution = l.lean
		}
		if caution != "" {
			k.Close, k.settle, k.assumes = true, l.next, func() string { return caution }
		}
	case m.Verdict == interaction.Clear && best.open >= -measure.Near:
		k.Verdict, k.Close, k.settle = interaction.Clear, true, l.next
		k.assumes = func() string {
			doubt := l.doubt(k, all, at, allowance)
			for _, more := range []string{l.caution, l.lean} {
				if more != "" {
					doubt += "; " + more
				}
			}
			return doubt
		}
	default:
		// the sections are assumed: they do not clear what the readings alone leave open
		k.Verdict, held = interaction.Undecided, all.lo >= allowance-measure.Near
		k.settle = m.Settle
		switch open := shapeMask[check.Looks] & f.unread; {
		case m.Verdict == interaction.Clear && best.as >= -measure.Near: // what was not read fails
			k.settle, k.Columns = k.settle|l.unread.quantities, l.unread.words
		// no reading more exact decides
		case best.top < -measure.Near || m.Verdict == interaction.Conflict && best.open >= -measure.Near:
		case open != 0:
			k.settle |= open
		case k.settle == 0:
			k.settle = interaction.Open(w, p)
		}
	}
	k.told = func() string {
		parts := []string{l.tell(all)}
		if l.lacks != "" {
			parts = append(parts, l.lacks)
		}
		switch {
		case held:
			parts = append(parts, "what is computed is clear, and the plain rule gives "+m.Verdict.String()+
				": the sections are assumed, so this is not counted as clear")
		case k.Verdict == interaction.Undecided && m.Verdict == interaction.Conflict && all.hi >= -measure.Near:
			parts = append(parts, fmt.Sprintf("the plain rule gives conflict, and what is computed does not fail "+
				"throughout (%.1f to %.1f %s)", all.lo, all.hi, k.Unit))
		}
		return strings.Join(append(parts, f.notesOf(check.Looks)...), "; ")
	}
	k.guardedBy(l.guard, m.Verdict)
	return k
}

// roomOf words a margin: what it is clear by or too tight by.
func roomOf(v float64, unit string) string {
	switch r := math.Round(v*10) / 10; {
	case r > 0:
		return fmt.Sprintf("clear by %.1f %s", r, unit)
	case r < 0:
		return fmt.Sprintf("too tight by %.1f %s", -r, unit)
	}
	return "just clear"
}

// doubt says what was assumed of a pair that is clear and close: by which margin it is clear
// and with what it would not be.
func (l *outcome) doubt(k *Computed, all span, at int, allowance float64) string {
	best := l.forms[at]
	var fails []string
	for i, f := range l.forms {
		if i != at && f.open < -measure.Near {
			fails = append(fails, roomOf(f.open, k.Unit)+" with "+l.names[i])
		}
	}
	if len(fails) > 0 {
		return fmt.Sprintf("%s with %s, %s: no sheet says which it is", roomOf(best.open, k.Unit), l.names[at],
			strings.Join(fails, ", "))
	}
	return fmt.Sprintf("%s with the readings as written, %s over what they may err; the assumed sections may be "+
		"wrong by %g %s", roomOf(best.open, k.Unit), roomOf(all.lo, k.Unit), allowance, k.Unit)
}

// shapeMask are the readings of a wheel's shape that a check rests on besides those of the plain rule.
var shapeMask = [...]interaction.Mask{interaction.AtTread: 0,
	interaction.AtFace: interaction.WheelMask(wheel.VerticalFlange) | interaction.WheelMask(wheel.FlangeHeight),
	interaction.AtTip:  0}

// strike says what a flange that bears on a floor by a depth (mm) comes to at a speed.
func (c *Computer) strike(f *footing, feature *track.Feature, height, depth float64) string {
	l, speed := c.load(f, feature)
	angle, err := passage.StepAngle(c.Rules.Value("wheel_diameter")/2+height, depth)
	if err != nil {
		return ""
	}
	out := fmt.Sprintf("the flange bears by %.1f mm", depth)
	if speed {
		if force, err := passage.StrikeForce(angle, depth, l.Speed, l.Unsprung, l.Support); err == nil {
			out += fmt.Sprintf(", which at %.0f mph on a blunt end of the floor adds %.0f kN to %.0f kN",
				l.Speed/measure.MetresPerSecondPerMPH, force/1000, l.Static/1000)
		}
	}
	if v, ok, err := passage.SpeedAt(l.Bound, l.Static, angle, l.Unsprung, l.Support); err == nil && ok &&
		l.Support.Stiffness*depth/1000 >= l.Bound-l.Static {
		out += fmt.Sprintf("; %.0f kN (a bound from memory) are reached at %.0f mph", l.Bound/1000,
			v/measure.MetresPerSecondPerMPH)
	}
	return out
}

// load is the load of a wheel at a feature; known tells that its speed is.
func (c *Computer) load(f *footing, feature *track.Feature) (l passage.Load, known bool) {
	gross := f.w.Car.GrossLb
	if gross == 0 {
		gross = c.BlankWeights()[0]
	}
	wheels := 8.0
	if n := f.w.Car.Axles; n > 0 {
		wheels = 2 * float64(n)
	}
	l = passage.Load{Static: gross * measure.NewtonsPerPound / wheels, Unsprung: c.Figures.Value("unsprung_mass"),
		Bound: c.Figures.Value("force_bound") * 1000}
	if s, ok := c.Figures.Support("main"); ok {
		l.Support = passage.Support{Mass: s.Mass, Damping: s.Damping, Stiffness: s.Stiffness}
	}
	if feature.SpeedKnown {
		l.Speed = feature.Speed * measure.MetresPerSecondPerMPH
	}
	return l, feature.SpeedKnown
}
