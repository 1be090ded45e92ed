package limit

import (
	"slices"

	"flangeway/configs"
)

// Word says whether a reading is legal.
type Word string

// The words. None is said of what no rule covers, and of what was not read; unknown if it cannot be told which rule
// holds.
const (
	Yes     Word = "yes"
	No      Word = "no"
	Unknown Word = "unknown"
	None    Word = "none"
)

// Stops reports a word that keeps a side from being legal: a rule is broken, or it is not known which one holds.
func (w Word) Stops() bool { return w == No || w == Unknown }

// Standing is how one reading, or the readings of one side, stand against the rules of one kind.
type Standing struct {
	Word Word
	// AtLimit says that a reading straddles a limit: within as written, which counts as met, but its interval crosses.
	AtLimit bool
}

// Join is the standing of two readings together: no if one is no, else unknown if one is, else yes if at least one rule
// was met, else none.
func Join(a, b Standing) Standing {
	out := Standing{None, a.AtLimit || b.AtLimit}
	for _, w := range []Word{No, Unknown, Yes} {
		if a.Word == w || b.Word == w {
			out.Word = w
			break
		}
	}
	return out
}

// Legality says how one reading of a subject stands against the regulations, and against all other rules (practice). A
// rule that asks for 10 mph is kept if the place has no more than 10 mph already.
func (b *Book) Legality(s Subject, quantity string) (law, practice Standing) {
	return b.standing(s, quantity, true), b.standing(s, quantity, false)
}

// standing is that of one reading against the regulations or against the other rules. It is tried in every case that is
// possible: condemned in all of them it is no, in some unknown.
func (b *Book) standing(s Subject, quantity string, law bool) Standing {
	if !s.read(quantity).Measured() {
		return Standing{Word: None}
	}
	if !law {
		s = s.against("")
	}
	var few [16]*configs.Rule
	rules, kindless := few[:0], false
	for _, r := range b.on(s.Kind, quantity) {
		switch {
		case (r.Kind == regulation) != law || !concerns(r, s) || !s.holds(r):
		case len(r.Kinds) > 0 && s.CarKind == "":
			kindless = true // one of a kind of car that it may be
		default:
			rules = append(rules, r)
		}
	}
	if !slices.ContainsFunc(rules, s.mayHold) {
		one := together(rules, s)
		if one.Word != No && kindless {
			return Standing{Word: Unknown}
		}
		return one
	}
	var out Standing
	beyond, cases := 0, s.cases(rules)
	for _, x := range cases {
		one := together(rules, x)
		if one.Word == No {
			beyond++
		}
		if out.Word == "" {
			out = one
		} else {
			out = Join(out, one)
		}
	}
	switch {
	case beyond == len(cases):
		return Standing{Word: No}
	case beyond > 0 || kindless:
		return Standing{Word: Unknown}
	}
	return out
}

// together is the standing against those of the rules that hold for a subject.
func together(rules []*configs.Rule, s Subject) Standing {
	out, somewhere := Standing{Word: None}, false
	for _, r := range rules {
		if s.holds(r) {
			one := ruleStanding(r, s)
			somewhere = somewhere || one.Word == Unknown && elsewhere(r, s)
			if one.Word != Unknown || !elsewhere(r, s) {
				out = Join(out, one)
			}
		}
	}
	if out.Word == None && somewhere {
		out.Word = Unknown
	}
	return out
}

func ruleStanding(r *configs.Rule, s Subject) Standing {
	if limited(r, s) {
		return Standing{Word: Yes}
	}
	switch ruleVerdict(r, s) {
	case Within:
		return Standing{Word: Yes}
	case Straddles:
		return Standing{Word: Yes, AtLimit: true}
	case Beyond:
		return Standing{Word: No}
	}
	return Standing{Word: Unknown} // another reading that the rule needs is missing
}

// elsewhere reports that nothing was read of where a rule holds: nobody says that it holds at the place. Rules that
// hold everywhere then judge the reading alone; if there is none, it is unknown.
func elsewhere(r *configs.Rule, s Subject) bool {
	some := false
	for _, c := range r.Condemns {
		if c.Where && s.read(c.Quantity).Measured() {
			return false
		}
		some = some || c.Where
	}
	return some
}
