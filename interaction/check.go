package interaction

import (
	"slices"

	"flangeway/interaction/load"
	"flangeway/internal/each"
	"flangeway/track"
	"flangeway/wheel"
)

// Check is one way in which a wheel and a place can conflict.
type Check struct {
	ID      string
	Meets   string   // what meets what, in a line
	Happens string   // what a conflict does, for a report: "strikes the frog floor"
	Formula string   // the margin, as explained to a user
	Hurts   []string // frog, wheel, derailment, rail, switch, bar, guard rail; the worst first
	Degrees bool     // margins are degrees, not mm
	Metric  bool     // people read this margin in mm (hollow), not in inches
	Reserve string   // the setting below which a clear margin is close
	Axle    bool     // the whole axle is judged: listed once an axle
	Car     bool     // the whole car is judged: listed once a car, at its first wheel
	Percent bool     // margins are percent of the static wheel load, not mm
	// ComputedOnly says that there is no plain rule: under --plain it has no pairs.
	ComputedOnly bool
	// Even says that its chance is the part of the margin below zero, every margin within it being as likely (assumed),
	// because it is no plain sum of readings.
	Even    bool
	Believe string // how far the rule is to be believed
	Sources []string
	// Reminders are rules of the federal set that bear on the pair and that no reading of the sheets judges, by id.
	Reminders []string
	// Look names the spot to look at if no reading of the sheets decides.
	Look string
	// Severity is how bad a conflict can be.
	Severity Severity
	// Works mend it. The plan tries them at a place.
	Works Work
	// Drawing shows a pair of it, and Derived adds what it shows of the sums of readings; nil for nothing.
	Drawing Drawing
	Derived func(Drawn)
	// Sampled says that its chance is found by drawing values of the readings, because its margin is no plain sum of
	// them.
	Sampled bool
	// Settings are the names of the settings that may enter the margin, Computing of those that enter what is computed
	// besides, and Figures of the built-in figures of passages that do (configs, passage.yaml).
	Settings, Computing, Figures []string
	// Repairing are the settings that bound a repair.
	Repairing []string
	Kinds     []track.Kind
	// AnyOf are readings of which a feature must have one, else the check has nothing to say there; none: it always
	// has.
	AnyOf []track.Quantity
	// NotTypes are the frog types to which the check does not apply.
	NotTypes []string
	// NoTrailing leaves switches out that are only run trailing.
	NoTrailing bool
	// Marks are what was seen that bears on it, at most 32.
	Marks []MarkRule

	place func(*PlaceSum)
	wheel func(*wheelSum)
	// Passes is how shapes judge it, Passage names what they find of a wheel that passes, and Looks at which part of
	// the wheel they look then.
	Passes  Passing
	Passage string
	Looks   Look
	// oneEnd says that of some places only the lower end of the share is known.
	oneEnd bool
	// Join makes the margin if the parts do not simply add up.
	Join func(r *Rules, w, p *Part) Margin
	// FixTrack and FixWheel word the repair on either side; [Fix.By] is what must be gained in mm or degrees, with the
	// reserve.
	FixTrack func(f Fix) []string
	FixWheel func(f Fix) []string
	// Notes adds what stands beside a finding.
	Notes func(f Fix) []string
	// Wants names the columns that would decide a pair besides its readings, Assumes what a clear one rests on that no
	// reading tells; "" for nothing. Unloading are the shares of its load that a wheel loses. Each may be nil.
	Wants     func(f Fix) []string
	Assumes   func(f Fix) string
	Unloading func(f Fix) *load.Shares
}

// Severity is how bad a conflict can be, 1 the worst, in the words of MIL-STD-882E (11 May 2012), Table I. The
// severities of the checks are the project's own choice.
type Severity int

// The severities that a conflict can have.
const (
	Catastrophic Severity = 1 + iota
	Critical
	Marginal
)

// String is the word of the standard.
func (s Severity) String() string {
	return [...]string{"none", "Catastrophic", "Critical", "Marginal"}[s]
}

// Fix holds a pair for the wording of its repair.
type Fix struct {
	Wheel   *wheel.Wheel
	Feature *track.Feature
	Rules   *Rules
	By      float64 // to gain: the shortfall of the whole interval plus the reserve
	Margin  Margin
}

// Applies reports whether the check has anything to say at a feature.
func (c *Check) Applies(f *track.Feature) bool {
	return slices.Contains(c.Kinds, f.Kind) && !(c.NoTrailing && f.Direction == "trailing") &&
		!slices.Contains(c.NotTypes, f.Type) && (len(c.AnyOf) == 0 ||
		slices.ContainsFunc(c.AnyOf, func(q track.Quantity) bool { return f.Read(q).Measured() }))
}

// Guarded reports whether a point guard, which its plain rule does not know, holds flanges off at a feature.
func (c *Check) Guarded(f *track.Feature) bool {
	return c.Passes == besideTip && f.Read(track.PointGuard).Measured()
}

// ListedAt reports whether the check has its pairs at a wheel: one of the whole axle has them at one of its wheels, one
// of the whole car at its first.
func (c *Check) ListedAt(w *wheel.Wheel) bool {
	if c.Car {
		return len(w.Car.AxleList) == 0 || w.Car.AxleList[0].Listed().Position == w.Position
	}
	return !c.Axle || w.Axle() == nil || w.Axle().Listed() == w
}

// WheelPart makes the wheel's part of the margin; recording keeps the readings that entered.
func (c *Check) WheelPart(r *Rules, w *wheel.Wheel, recording bool) *wheelSum {
	s := &wheelSum{sum: sum{rules: r, recording: recording}, w: w}
	c.wheel(s)
	c.seeWheel(&s.Part, w)
	return s
}

// WheelTerms makes the wheel's part and lists the readings that enter it.
func (c *Check) WheelTerms(r *Rules, w *wheel.Wheel) (p *Part, terms []term) {
	s := &wheelSum{sum: sum{rules: r, traced: &terms}, w: w}
	c.wheel(s)
	return &s.Part, terms
}

// PlacePart makes the place's part of the margin; recording keeps the readings that entered.
func (c *Check) PlacePart(r *Rules, f *track.Feature, recording bool) *PlaceSum {
	s := &PlaceSum{}
	c.PutPlacePart(s, r, f, recording)
	return s
}

// PutPlacePart is [Check.PlacePart] in room that is used again: half a million parts leave nothing to collect.
func (c *Check) PutPlacePart(s *PlaceSum, r *Rules, f *track.Feature, recording bool) {
	*s = PlaceSum{sum: sum{rules: r, recording: recording}, F: f}
	c.place(s)
	c.seePlace(&s.Part, f)
}

// Margin is the margin of one pair.
func (c *Check) Margin(r *Rules, w, p *Part) Margin {
	if c.Join != nil {
		return c.Join(r, w, p)
	}
	return total(w, p)
}

// CloseBelow is the margin below which a clear pair is close, mm, degrees or percent.
func (c *Check) CloseBelow(r *Rules) float64 { return r.Value(c.Reserve) }

// Harm ranks what a conflict of a check hurts; the lower the worse, -1 for a word that is none.
func Harm(c *Check) int {
	return slices.Index([]string{"derailment", "switch", "frog", "rail", "guard rail", "bar", "wheel"}, c.Hurts[0])
}

// Checks are all pair checks, in the order in which they are listed.
func Checks() []*Check {
	list := []*Check{
		frogFloor(), frogPoint(), guardBind(), flangewayWidth(), guardFlangeway(), frogWing(), jointBar(),
		wideGauge(), tightGauge(), openPoint(), outerTread(), pointClimb(), pointPick(), hollowCurve(),
		wheelUnloading(), // behind those that have a plain rule: see PlainChecks
	}
	for _, c := range list {
		if c.Reserve == "" {
			c.Reserve = "reserve"
		}
		c.Marks = marksOf(c.ID)
	}
	return list
}

// PlainChecks are those with a rule of arithmetic on the readings alone, in the order of [Checks], where they come
// first.
func PlainChecks() []*Check {
	return slices.DeleteFunc(Checks(), func(c *Check) bool { return c.ComputedOnly })
}

// CheckByID finds a check, or nil.
func CheckByID(id string) *Check {
	c, _ := each.First(Checks(), func(c *Check) bool { return c.ID == id })
	return c
}

// CheckIDs lists the checks.
func CheckIDs() []string {
	return each.Of(Checks(), func(c *Check) string { return c.ID })
}
