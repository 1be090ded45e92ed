package interaction

import (
	"flangeway/configs"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Trial judges single pairs by the plain rules: what would be, if a wheel or a place had other readings. It is safe for
// use by several goroutines.
type Trial struct {
	Rules  *Rules
	Checks []*Check
	// Marked says that marks tell against clear pairs, as they do where shapes and forces are asked too.
	Marked bool
}

// NewTrial prepares trials with the settings of a survey.
func NewTrial(settings survey.Settings, data *configs.Data) *Trial {
	return &Trial{Rules: NewRules(settings, data), Checks: Checks()}
}

// WheelShare is a wheel's share of the margin of every check, in the order of Trial.Checks.
type WheelShare struct {
	parts []Part
	skips []bool // an axle check that is listed at the mate
}

// PlaceShare is a feature's share at every check that applies to it.
type PlaceShare struct {
	parts   []Part
	applies []bool
}

// Wheel prepares a wheel.
func (t *Trial) Wheel(w *wheel.Wheel) *WheelShare {
	s := &WheelShare{parts: make([]Part, len(t.Checks)), skips: make([]bool, len(t.Checks))}
	for k, c := range t.Checks {
		if !c.ListedAt(w) {
			s.skips[k] = true
			continue
		}
		s.parts[k] = c.WheelPart(t.Rules, w, false).Part
	}
	return s
}

// Place prepares a feature.
func (t *Trial) Place(f *track.Feature) *PlaceShare {
	s := &PlaceShare{parts: make([]Part, len(t.Checks)), applies: make([]bool, len(t.Checks))}
	for k, c := range t.Checks {
		if !c.Applies(f) {
			continue
		}
		s.applies[k] = true
		s.parts[k] = c.PlacePart(t.Rules, f, false).Part
	}
	return s
}

// Has reports whether there is a pair of the wheel and the feature at check k.
func (t *Trial) Has(k int, w *WheelShare, p *PlaceShare) bool { return p.applies[k] && !w.skips[k] }

// Applies reports whether check k has anything to say at the feature.
func (p *PlaceShare) Applies(k int) bool { return p.applies[k] }

// Interval is the feature's share at check k, mm, and of a switch the shallowest face in degrees, and its marks:
// features with the same interval are judged alike against every wheel.
func (p *PlaceShare) Interval(k int) [8]float64 {
	x := &p.parts[k]
	miss := float64(x.Missing)
	if x.low || x.NoHi {
		miss = -1 - miss
	}
	out := [8]float64{x.Lo, x.Hi, miss, x.face.lo, x.face.hi, float64(x.Vague)}
	if x.seen.up != 0 {
		out[6], out[7] = float64(x.seen.up), float64(x.seen.other)
	}
	return out
}

// Verdict is the verdict of a pair that [Trial.Has].
func (t *Trial) Verdict(k int, w *WheelShare, p *PlaceShare) Verdict {
	a, b := &w.parts[k], &p.parts[k]
	if !t.Sums(k) {
		m := t.Checks[k].Margin(t.Rules, a, b)
		return t.Seen(k, w, p, m.Verdict, Low(m))
	}
	if a.Missing|b.Missing != 0 {
		return NotMeasured
	}
	return t.Seen(k, w, p, VerdictOf(a.Lo+b.Lo, a.Hi+b.Hi), a.Lo+b.Lo)
}

// Seen is the verdict of a pair at check k with the marks laid over it, its margin being lo or more.
func (t *Trial) Seen(k int, w *WheelShare, p *PlaceShare, v Verdict, lo float64) Verdict {
	a, b := &w.parts[k], &p.parts[k]
	if !t.Marked || v != Clear || a.seen.up|b.seen.up == 0 || t.Checks[k].Against(t.Rules, a, b, lo) == 0 {
		return v
	}
	return Undecided
}

// Marked reports whether a mark of the feature tells against clear pairs at check k, as its own readings leave it.
func (p *PlaceShare) Marked(c *Check, k int) bool {
	s, stands := &p.parts[k].seen, false
	c.EachMark(s.up, func(r *MarkRule) { stands = stands || r.Asks&s.other == 0 })
	return stands
}

// Sums reports whether the margin of check k is the plain sum of the two shares.
func (t *Trial) Sums(k int) bool { return t.Checks[k].Join == nil && !t.Checks[k].oneEnd }

// Bounds is the wheel's share at check k in mm; ok is false if a reading is missing.
func (w *WheelShare) Bounds(k int) (lo, hi float64, ok bool) {
	p := &w.parts[k]
	return p.Lo, p.Hi, p.Missing == 0
}

// Bounds is the place's share at check k in mm; ok is false if a reading is missing.
func (p *PlaceShare) Bounds(k int) (lo, hi float64, ok bool) {
	x := &p.parts[k]
	return x.Lo, x.Hi, x.Missing == 0
}

// Margin is the margin of a pair with the readings as written, mm or degrees; ok is false if one is missing or has no
// value of its own.
func (t *Trial) Margin(k int, w *WheelShare, p *PlaceShare) (as float64, ok bool) {
	return t.MarginOf(k, &w.parts[k], &p.parts[k])
}

// MarginOf is [Trial.Margin] of the shares of check k alone.
func (t *Trial) MarginOf(k int, w, p *Part) (as float64, ok bool) {
	m := t.Checks[k].Margin(t.Rules, w, p)
	return m.As, m.Verdict != NotMeasured && !m.NoAs
}

// Spread is how wide the margin of a pair is by what its readings leave open, mm or degrees; 0 if one end is not known.
func (t *Trial) Spread(k int, w *WheelShare, p *PlaceShare) float64 {
	m := t.Checks[k].Margin(t.Rules, &w.parts[k], &p.parts[k])
	if m.Verdict == NotMeasured || m.NoLo || m.NoHi {
		return 0
	}
	return m.Hi - m.Lo
}
