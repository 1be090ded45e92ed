package shaped

import (
	"math"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Computed is the verdict of a pair by shapes and forces, beside the plain rule.
type Computed struct {
	Verdict   interaction.Verdict
	Margin    float64 // with the readings as written; NaN if one is one-sided
	Low, High float64 // over the ends of the readings' intervals and the range of friction
	Unit      string  // "L/V", "mm" or "deg"
	Mechanism string
	Why       string
	// Close says that the pair is clear for some of what was assumed and not for all of it,
	// or by less than the computation errs; Assumed says what was assumed.
	Close   bool
	Assumed string

	metric  bool // lengths are read in mm, as those of a hollow are
	Skipped bool // it could not be computed: the plain rule stands, and Why says so
	// it could not be computed for what was read or not: nothing is clear, and a conflict by the plain rule stands
	capped       bool
	truck        *truckJob
	curve        *curveJob
	way          way
	settle       interaction.Mask // readings that would decide, if it is undecided
	margins      margins          // of a truck in a curve, as written
	fresh        float64          // of a truck in a curve: the rollover margin of new wheels there
	ByAssumption bool             // clear, but not without what is assumed
	told         func() string    // writes Why, when a finding is made of it
	assumes      func() string    // writes Assumed then
	unknown      bool             // undecided for want of readings alone
	byMiddle     bool             // no conflict, because how far a middle axle moves is assumed
	Columns      []string         // what is no reading and would decide, if it is undecided
	// Again are readings of the truck that cannot be beside each other: until they are read again nothing is clear.
	Again []Again
}

// Over lays what is computed over the margin of the plain rule: the verdict that stands and
// the readings that would decide.
func (k *Computed) Over(plain interaction.Margin) (interaction.Verdict, interaction.Mask) {
	switch {
	case k.capped:
		return min(plain.Verdict, k.Verdict), plain.Settle | k.settle
	case k.Verdict == interaction.Clear && k.told != nil: // what was left out, by the plain rule's leave
		return k.Verdict, k.settle
	case k.Verdict != interaction.Undecided: // what would narrow the plain rule's margin decides nothing here
		return k.Verdict, 0
	case k.told != nil || k.truck != nil || plain.Settle == 0:
		return k.Verdict, k.settle
	}
	return k.Verdict, plain.Settle
}

// Again is a reading of a wheel that is to be taken again.
type Again struct {
	Wheel    *wheel.Wheel
	Quantity wheel.Quantity
}

// OfPassage says that it is computed of a wheel that passes a place, and not of a truck.
func (k *Computed) OfPassage() bool { return k.told != nil }

// Tell gives it with what a finding says of it written out.
func (k *Computed) Tell() *Computed {
	if k.told == nil {
		return k
	}
	told := *k
	told.Why = k.told()
	if k.assumes != nil {
		told.Assumed = k.assumes()
	}
	return &told
}

// mechanism is one way in which a truck in a curve can come to harm.
type mechanism struct {
	name, unit string
	scale      float64 // that makes margins of different units comparable
}

// The mechanisms of a truck in a curve, in the order in which ties are named. standing is
// no mechanism of its own: it is bearing without the assumed give of the track.
const (
	climb = iota
	side
	unloading
	bearing
	rollover
	numMechanisms
	standing   = numMechanisms
	numMargins = standing + 1
)

// The limits that are published for a truck side and for a wheel: 49 CFR 238, appendix C.
const (
	truckSideLimit = 0.6 // L/V
	leastWheelLoad = 0.1 // of the static load
)

// mechanisms names them; an inch of bearing counts as much as the whole of an L/V of 1.
var mechanisms = [numMechanisms]mechanism{
	climb:     {"flange climb", "L/V", 1},
	side:      {"truck side L/V", "L/V", 1},
	unloading: {"wheel unloading", "of its load", 1},
	bearing:   {"bearing under gauge spread", "mm", 1 / 25.0},
	rollover:  {"rail rollover", "L/V", 1},
}

// margins are a truck's margins by mechanism; NaN if a mechanism does not apply.
type margins [numMargins]float64

func noMargins() (m margins) {
	for i := range m {
		m[i] = math.NaN()
	}
	return m
}

// worse is the lesser of both by mechanism.
func (m margins) worse(n margins) margins {
	for i, v := range n {
		if !(m[i] <= v) && !math.IsNaN(v) {
			m[i] = v
		}
	}
	return m
}

// least is the least of the margins that published limits give, made comparable.
func (m margins) least() float64 {
	v := math.Inf(1)
	for k := range rollover {
		if !math.IsNaN(m[k]) {
			v = math.Min(v, scaled(m, k))
		}
	}
	return v
}

// bounds are between which margins a mechanism is undecided: at or above clear it is clear, below conflict it is one.
type bounds struct{ clear, conflict float64 }

// judge gives the verdict of one margin.
func (b bounds) judge(v float64) interaction.Verdict {
	switch {
	case v >= b.clear-measure.Near:
		return interaction.Clear
	case v < b.conflict-measure.Near:
		return interaction.Conflict
	}
	return interaction.Undecided
}

// allowances are the bounds of all mechanisms. No conflict rests on a rail that is held by
// nothing, because fastenings hold all of them.
func allowances(r *interaction.Rules) [numMechanisms]bounds {
	a := r.Value("model_allowance")
	return [numMechanisms]bounds{
		climb:     {a, -a},
		side:      {a, -a},
		unloading: {2 * measure.Near, 0}, // more than the least
		bearing:   {r.Value("reserve"), -r.Value("reserve")},
		rollover:  {0, math.Inf(-1)},
	}
}

// ground holds the facts of a curve that enter how a truck's margins are judged.
type ground struct {
	loaded bool // the gauge was read under load
	held   bool // fastenings were found good
}

// unsure lists the cells of a truck and its curve without a figure: readings that were not taken, or are a range or
// one-sided, and columns that are no readings. Between the values that are tried for them margins may be less by short.
type unsure struct {
	readings interaction.Mask
	columns  []string
	cells    int // how many cells of the sheets these are
	short    float64
	far      bool // the ends of one of them are too far apart to tell from these what lies between
}

// enough reports whether a margin that is clear is so by what it may be less between what was tried.
func (u unsure) enough(r *interaction.Rules, m int, x margins, fresh float64, on ground) bool {
	if m == bearing || !u.any() {
		return true
	}
	x[m] -= u.short
	v, _ := mechanismVerdict(r, m, x, fresh, on)
	return v == interaction.Clear
}

// mechanismVerdict is the verdict of one mechanism with given margins, and whether it is clear only by what is assumed.
// fresh is the rollover margin of new wheels at the same stand.
//
// What gauge is taken to open under load is no reading: by it alone nothing is a conflict, nor is it undecided if the
// loaded gauge was read. Of a rail against rollover the truck is held against new wheels at the same stand: undecided
// if a rail held by nothing would turn under it, and under them would not or would by less, by more than
// model_allowance. Good fastenings are taken to hold model_allowance (assumed). In a sharper curve both have less room,
// and the truck comes under zero the sooner, so that no sharper curve is better.
func mechanismVerdict(r *interaction.Rules, m int, x margins, fresh float64, on ground) (v interaction.Verdict,
	assumed bool) {
	b := allowances(r)[m]
	v = b.judge(x[m])
	switch m {
	case bearing:
		switch read := b.judge(x[standing]); {
		case v == interaction.Clear:
		case read != interaction.Clear:
			return read, false
		case on.loaded:
			return interaction.Clear, true
		default:
			return interaction.Undecided, false
		}
	case rollover:
		a, lost := r.Value("model_allowance"), fresh-x[m]
		turns := 0.0
		if on.held {
			turns = -a
		}
		if x[m] < turns-measure.Near && lost > a+measure.Near {
			return interaction.Undecided, false
		}
		return interaction.Clear, x[m] < a-measure.Near || lost > r.Value("fastening_hold")+measure.Near
	}
	return v, false
}

// RangeNote says why a verdict is not that of its range of margins: what lies on one side
// of zero as a whole and is undecided, and what is a conflict while damp rails would be
// none. plain is the verdict of the plain rule. "" if nothing is to be said.
func (k *Computed) RangeNote(r *interaction.Rules, plain interaction.Verdict) string {
	const over = "undecided although the whole range is over zero: "
	allowance := "passage_allowance"
	switch {
	case k.Mechanism == "":
		return ""
	case k.Verdict == interaction.Undecided && k.Low > 0 && k.unknown:
		return over + "for want of the readings that settle it nothing is clear"
	case k.byMiddle:
		return "undecided although every running that was tried on dry rails is under zero: how far the middle axle " +
			"of three moves in its frame is assumed (middle_axle_clearance), and by that nothing is a conflict"
	case k.Mechanism == mechanisms[rollover].name, k.Mechanism == mechanisms[unloading].name:
		return ""
	case k.Mechanism == mechanisms[side].name, k.Mechanism == mechanisms[climb].name:
		allowance = "model_allowance"
	case k.Mechanism == mechanisms[bearing].name:
		allowance = "reserve"
	case k.Unit == "deg":
		allowance = "passage_allowance_deg"
	}
	switch {
	case k.Verdict == interaction.Undecided && k.High < 0:
		return "undecided although the whole range is under zero: in part by less than " + allowance
	case k.Verdict == interaction.Undecided && k.Low > 0 && k.Low < r.Value(allowance):
		return over + "in part by less than " + allowance
	case k.Verdict == interaction.Undecided && k.Low > 0 && plain != interaction.Clear && k.truck == nil:
		return over + "the plain rule gives " + plain.String() + ", and assumed sections clear nothing that it does not"
	case k.Verdict == interaction.Conflict && k.High > 0 && k.truck != nil:
		return "the end of the range over zero is that on damp rails, which does not decide"
	}
	return ""
}

// tried is a truck's margins at one point of what its readings leave open.
type tried struct {
	m       margins
	decides bool             // else it only widens the range
	fresh   float64          // the rollover margin of new wheels there
	unread  interaction.Mask // readings that were not taken, if the point stands for one value of theirs
	light   bool             // it stands for an empty car, its weight not read
	upset   bool             // it stands for rails of another cant, theirs not read
}

// gather joins the margins of several points: clear only if all are clear, conflict only if all that decide are one by
// the same mechanism, else undecided. The first is with the readings as written and gives the margin, unless one with a
// value for what was not read is worse and not clear: the less is known, the less room is shown.
//
// Rollover is judged at rolls, the points with the readings as written, if there are any.
//
// The bearing counts for a hollow truck only: what gauge does to the others is the wide-gauge check's.
func gather(r *interaction.Rules, list, rolls []tried, on ground, hollow bool, of unsure) Computed {
	worst, at, close := interaction.Clear, -1, false
	var lo, hi [numMechanisms]float64
	var settle [numMechanisms]interaction.Mask
	var shown margins                    // as written, or worse with what was not read
	var light, upset [numMechanisms]bool // gross_lb or rail_cant would settle it
	var short [numMechanisms]bool        // clear at all that was tried, and may not be in between
	for m := range numMechanisms {
		if m == bearing && !hollow {
			continue
		}
		lo[m], hi[m] = math.Inf(1), math.Inf(-1)
		v, seen, all, written := interaction.Clear, 0, true, interaction.Clear
		shown[m] = list[0].m[m]
		judged := list
		if m == rollover && len(rolls) > 0 {
			for _, x := range list { // what the readings err makes it close
				if math.IsNaN(x.m[m]) {
					continue
				}
				lo[m], hi[m] = math.Min(lo[m], x.m[m]), math.Max(hi[m], x.m[m])
				j, assumed := mechanismVerdict(r, m, x.m, x.fresh, on)
				close = close || assumed || j != interaction.Clear
			}
			judged = rolls
		}
		for _, x := range judged {
			if math.IsNaN(x.m[m]) {
				continue
			}
			lo[m], hi[m] = math.Min(lo[m], x.m[m]), math.Max(hi[m], x.m[m])
			if !x.decides {
				continue
			}
			j, assumed := mechanismVerdict(r, m, x.m, x.fresh, on)
			close = close || assumed
			if seen == 0 {
				v, written = j, j
			}
			if want := x.unread; j != interaction.Clear {
				if m != bearing {
					want &^= interaction.WheelMask(wheel.RimWidth) | interaction.TrackMask(track.LoadedGauge)
				}
				settle[m] |= want
				if (want != 0 || x.light || x.upset) && !(shown[m] <= x.m[m]) {
					shown[m] = x.m[m]
				}
				light[m], upset[m] = light[m] || x.light, upset[m] || x.upset
			}
			all = all && j == v
			seen++
			short[m] = short[m] || !of.enough(r, m, x.m, x.fresh, on)
		}
		if seen == 0 {
			continue
		}
		if !all {
			v = interaction.Undecided
			if settle[m] == 0 && !light[m] && !upset[m] || written != interaction.Clear {
				settle[m] |= interaction.WheelMask(wheel.TreadHollow)
			}
		}
		if all && v == interaction.Undecided { // no end of any reading decides
			settle[m], light[m], upset[m] = 0, false, false
		}
		if short[m] = short[m] && all && v == interaction.Clear; short[m] {
			v, settle[m] = interaction.Undecided, of.readings
		}
		if m == bearing && v == interaction.Undecided {
			settle[m] = settle[m]&^interaction.WheelMask(wheel.TreadHollow) | interaction.TrackMask(track.LoadedGauge)
		}
		// A rail that fastenings hold up is no harm: rollover does not stand for what is clear.
		if at < 0 || v < worst || v == worst && (m != rollover || v != interaction.Clear) &&
			scaled(shown, m) < scaled(shown, at) {
			worst, at = v, m
		}
	}
	if at < 0 {
		return Computed{Verdict: interaction.Undecided, Why: "the wheels have no flange"}
	}
	var columns []string
	switch {
	case short[at]:
		columns = of.columns
	case light[at]:
		columns = []string{"gross_lb"}
	}
	if upset[at] && !short[at] {
		columns = append(columns, "rail_cant")
	}
	return Computed{unknown: short[at], Columns: columns, Verdict: worst, Margin: shown[at], Low: lo[at], High: hi[at],
		Unit: mechanisms[at].unit, Mechanism: mechanisms[at].name,
		settle: settle[at], fresh: list[0].fresh, ByAssumption: worst == interaction.Clear && close}
}

func scaled(x margins, m int) float64 { return x[m] * mechanisms[m].scale }

// notComputable is the answer if a pair cannot be computed: for want of readings nothing is
// clear; without any it is not in the model, and the plain rule stands.
func notComputable(why string, lacks []string) *Computed {
	if len(lacks) == 0 {
		return &Computed{Skipped: true, Why: why}
	}
	return &Computed{Verdict: interaction.Undecided, capped: true, Why: why, Columns: lacks}
}

// openCause is why a solution cannot be used; "" if it can.
func openCause(a TruckAnswer, err error) string {
	switch {
	case err != nil:
		return err.Error()
	case !a.Converged:
		return a.Reason
	}
	return ""
}
