package interaction

import (
	"math"
)

// Computed is what shapes and forces say of a pair, beside the plain rule.
type Computed struct {
	Verdict   Verdict
	Margin    float64 // with the readings as written; NaN where one is one-sided
	Low, High float64 // over the ends of the readings' intervals and the range of friction
	Unit      string  // "L/V", "mm" or "deg"
	Mechanism string
	Why       string

	metric  bool // lengths are read in mm, as those of a hollow are
	skipped bool // it could not be computed: the plain rule stands, and Why says so
	truck   *truckJob
	curve   *curveJob
	way     way
	settle  mask          // readings that would decide, where it is undecided
	told    func() string // writes Why, when a finding is made of it
}

// mechanism is one way in which a truck in a curve can come to harm.
type mechanism struct {
	name, unit string
	scale      float64 // that makes margins of different units comparable
}

// The mechanisms of a truck in a curve, in the order in which ties are named.
const (
	climb = iota
	rollover
	bearing
	numMechanisms
)

// mechanisms names them; an inch of bearing counts as much as the whole of an L/V of 1.
var mechanisms = [numMechanisms]mechanism{
	climb:    {"flange climb", "L/V", 1},
	rollover: {"rail rollover", "L/V", 1},
	bearing:  {"bearing under gauge spread", "mm", 1 / 25.0},
}

// margins are a truck's margins by mechanism; NaN where a mechanism does not apply.
type margins [numMechanisms]float64

func marginsOf(a TruckAnswer) margins {
	nan := math.NaN()
	m := margins{nan, nan, a.Bearing}
	if a.Climbing != "" {
		m[climb] = a.ClimbMargin
	}
	if a.Rollover.Defined {
		m[rollover] = a.Rollover.Margin
	}
	return m
}

// curveSettings are the settings that enter a truck's run through a curve.
func curveSettings() []string {
	return []string{"model_allowance", "dry_friction", "damp_friction", "greased_friction", "fastening_hold", "gravity_height", "car_weight", "truck_wheelbase", "wheel_diameter",
		"turning_moment", "warp_stiffness", "least_bearing", "loaded_gauge_allowance"}
}

// bounds are between which margins a mechanism is undecided: at or above clear it is
// clear, below conflict it is one.
type bounds struct{ clear, conflict float64 }

// judge gives the verdict of one margin.
func (b bounds) judge(v float64) Verdict {
	switch {
	case v >= b.clear-near:
		return Clear
	case v < b.conflict-near:
		return Conflict
	}
	return Undecided
}

// allowances are the bounds of all mechanisms. A rail that stands by itself is clear;
// one that only fastenings can hold is undecided; beyond what they are taken to hold it
// is a conflict.
func (r *Rules) allowances() [numMechanisms]bounds {
	a := r.value("model_allowance")
	return [numMechanisms]bounds{
		climb:    {a, -a},
		rollover: {a, -r.value("fastening_hold") - a},
		bearing:  {r.value("reserve"), -r.value("reserve")},
	}
}

// rangeNote says why a verdict is not that of its range of margins: what lies on one side
// of zero as a whole and is undecided, and what is a conflict while damp rails would be
// none. "" where nothing is to be said.
func (k *Computed) rangeNote(r *Rules) string {
	allowance := "passage_allowance"
	switch {
	case k.Mechanism == "":
		return ""
	case k.Mechanism == mechanisms[rollover].name, k.Mechanism == mechanisms[climb].name:
		allowance = "model_allowance"
	case k.Mechanism == mechanisms[bearing].name:
		allowance = "reserve"
	case k.Unit == "deg":
		allowance = "passage_allowance_deg"
	}
	switch {
	case k.Verdict == Undecided && k.High < 0:
		if k.Mechanism == mechanisms[rollover].name {
			allowance = "fastening_hold and " + allowance
		}
		return "undecided although the whole range is under zero: in part by less than " + allowance
	case k.Verdict == Undecided && k.Low > 0 && k.Low < r.value(allowance):
		return "undecided although the whole range is over zero: in part by less than " + allowance
	case k.Verdict == Conflict && k.High > 0 && k.truck != nil:
		return "the end of the range over zero is that on damp rails, which does not decide"
	}
	return ""
}

// gather joins the margins of several solutions: clear only where all are clear,
// conflict only where all that decide are one by the same mechanism, else undecided.
// The first is with the readings as written and gives the margin; those from decide on
// only widen low and high.
//
// The bearing counts for a hollow truck only: what gauge does to the others is the
// wide-gauge check's.
func (r *Rules) gather(list []margins, decide int, hollow bool) Computed {
	limits := r.allowances()
	worst, at := Clear, -1
	var lo, hi margins
	for m := range numMechanisms {
		if m == bearing && !hollow {
			continue
		}
		lo[m], hi[m] = math.Inf(1), math.Inf(-1)
		v, seen := Clear, 0
		all := true
		for i, x := range list {
			if math.IsNaN(x[m]) {
				continue
			}
			lo[m], hi[m] = math.Min(lo[m], x[m]), math.Max(hi[m], x[m])
			if i >= decide {
				continue
			}
			j := limits[m].judge(x[m])
			if seen == 0 {
				v = j
			}
			all = all && j == v
			seen++
		}
		if seen == 0 {
			continue
		}
		if !all {
			v = Undecided
		}
		if at < 0 || v < worst || v == worst && scaled(list[0], m) < scaled(list[0], at) {
			worst, at = v, m
		}
	}
	if at < 0 {
		return Computed{Verdict: Undecided, Why: "the wheels have no flange"}
	}
	return Computed{Verdict: worst, Margin: list[0][at], Low: lo[at], High: hi[at], Unit: mechanisms[at].unit, Mechanism: mechanisms[at].name}
}

func scaled(x margins, m int) float64 { return x[m] * mechanisms[m].scale }

// openCause is why a solution cannot be used; "" where it can.
func openCause(a TruckAnswer, err error) string {
	switch {
	case err != nil:
		return err.Error()
	case !a.Converged:
		return a.Reason
	}
	return ""
}
