package paper

import (
	"slices"

	"flangeway/configs"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
	"flangeway/internal/survey"
)

// limitListed reports whether a page lists a judgement: what is beyond, what straddles a regulation, and what could be
// beyond one. A warning of practice that is only near is not worth a line: a flange that a notch of 1-1/2 passed is
// near every figure below.
func limitListed(l judge.LimitFinding) bool {
	return l.Verdict == limit.Beyond || l.Kind == "regulation" && (l.Verdict == limit.Straddles ||
		l.Verdict == limit.Unsure)
}

// limitWords names what a limit judges and what it condemns; the excess over a curve speed, which no column holds, goes
// by the speed.
func limitWords(l judge.LimitFinding) (quantity, condemns string) {
	if l.Quantity == "over_curve_speed" && l.Limit == "over_curve_speed > 0 mph" {
		return "speed_mph", "speed_mph over the curve speed"
	}
	return l.Quantity, tradeUnless(hollowSetting(l.Quantity), l.Limit)
}

// limitWord is the verdict on a reading in words that tell a regulation from practice.
func limitWord(l judge.LimitFinding) string {
	if l.Kind == "regulation" || l.Verdict != limit.Beyond {
		return string(l.Verdict)
	}
	return "warned"
}

// byWeight orders the findings of limits: beyond before straddling, the regulation before the other books.
func byWeight(list []judge.LimitFinding) []judge.LimitFinding {
	out := slices.Clone(list)
	rank := func(l judge.LimitFinding) int {
		n := 0
		if l.Verdict != limit.Beyond {
			n += 2
		}
		if l.Kind != "regulation" {
			n++
		}
		return n
	}
	slices.SortStableFunc(out, func(a, b judge.LimitFinding) int { return rank(a) - rank(b) })
	return out
}

// ruleName is a rule's name, and how sure its figure is if it was not read in the rule's text.
func ruleName(l judge.LimitFinding) string {
	if sure := configs.HowKnown(l.Sure); sure != "" {
		return l.Rule + ", figure " + sure
	}
	return l.Rule
}

// whoseSpeed says whose speed was judged on a side, within and beyond alike; nothing if none was, or if no car is known
// that runs at another.
func whoseSpeed(result *judge.Result, sv *survey.Survey, side string) []string {
	judged := 0
	for _, l := range result.Limits {
		if l.Side == side && l.Quantity == "speed_mph" && l.Kind == "regulation" && l.Verdict != limit.NotMeasured {
			judged++
		}
	}
	switch {
	case judged == 0:
		return nil
	case sv.Trains() == "passenger":
		return []string{"Speeds were judged as those of passenger trains (49 CFR 213.9(a)), since every car is a " +
			"passenger car; on excepted track no occupied passenger train may run (213.4(e)(2))."}
	}
	for _, car := range sv.Fleet.Cars {
		if car.Kind == "passenger" {
			return []string{"Speeds were judged as those of freight trains; passenger trains may run 15, 30, 60, 80 " +
				"and 90 mph in classes 1 to 5 (49 CFR 213.9(a)), and on excepted track none that is occupied may run " +
				"(213.4(e)(2))."}
		}
	}
	return nil
}

// asksFor is the demand of a rule, and how its figure is to be taken.
func asksFor(l judge.LimitFinding) string {
	if l.Note != "" {
		return l.Action + " (" + l.Note + ")"
	}
	return l.Action
}
