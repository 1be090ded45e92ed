package limit

import (
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// Verdict is the judgement of one reading against one rule.
type Verdict string

// The judgements.
const (
	Within      Verdict = "within"
	Beyond      Verdict = "beyond"
	Straddles   Verdict = "straddles" // within as written, but the reading's interval crosses the limit
	NotMeasured Verdict = "not measured"
)

// Word is a word of legality.
type Word string

// The words.
const (
	Yes     Word = "yes"
	No      Word = "no"
	Unknown Word = "unknown"
)

// near is the difference that comparisons treat as none, mm or degrees.
const near = 1e-9

// Subject is what a book judges: a wheel, an axle, a truck or a feature of the
// track. An unknown Class or CarKind is "": rules that need one do not apply.
type Subject struct {
	Kind     string // wheel, axle, truck, frog, switch, curve, joint or spot
	Class    string // excepted or 1 to 5
	CarKind  string // freight, locomotive, passenger or steam
	FrogType string
	// Read gives the reading of a quantity: mm, degrees or mph.
	Read func(quantity string) measure.Reading
}

// Judgement is one reading against one rule. Of a rule with two conditions, it is
// the reading that keeps the rule from being met, or the first.
type Judgement struct {
	Rule      *configs.Rule
	Quantity  string
	Condition string // "under 1-3/8 in"
	Reading   measure.Reading
	Verdict   Verdict
	Note      string
}

// applies reports whether a rule is about the subject.
func applies(r *configs.Rule, s Subject) bool {
	in := func(list []string, word string) bool {
		if len(list) == 0 {
			return true
		}
		for _, x := range list {
			if x == word {
				return true
			}
		}
		return false
	}
	if !in(r.Classes, s.Class) || !in(r.Kinds, s.CarKind) || !in(r.Types, s.FrogType) {
		return false
	}
	return len(r.NotTypes) == 0 || !in(r.NotTypes, s.FrogType)
}

// Judge judges every reading of a subject against the rules that apply to it.
func (b *Book) Judge(s Subject) []Judgement {
	var out []Judgement
	for _, i := range b.byKind[s.Kind] {
		if r := &b.Rules[i]; applies(r, s) {
			out = append(out, judge(r, s))
		}
	}
	return out
}

func judge(r *configs.Rule, s Subject) Judgement {
	j := Judgement{Rule: r}
	var verdicts []Verdict
	for i, c := range r.Condemns {
		reading := s.Read(c.Quantity)
		v := against(c, reading)
		verdicts = append(verdicts, v)
		if i == 0 || v == Within && j.Verdict != Within {
			j.Quantity, j.Condition, j.Reading, j.Verdict = c.Quantity, condition(c), reading, v
		}
	}
	j.Verdict = all(verdicts)
	if len(r.Condemns) > 1 {
		var words []string
		for _, c := range r.Condemns {
			words = append(words, c.Quantity+" "+condition(c))
		}
		j.Condition = strings.Join(words, " and ")
	}
	if r.Action == "10 mph" && alreadySlow(s) {
		j.Note = "limited to 10 mph already"
	}
	return j
}

// all joins the judgements of conditions that must all be met.
func all(verdicts []Verdict) Verdict {
	count := map[Verdict]int{}
	for _, v := range verdicts {
		count[v]++
	}
	switch {
	case count[Within] > 0:
		return Within
	case count[NotMeasured] > 0:
		return NotMeasured
	case count[Straddles] > 0:
		return Straddles
	}
	return Beyond
}

// against judges a reading against one condition: as written, with straddles where
// the interval crosses the condemning value. A go/no-go reading has no value as
// written: it is beyond only as a whole, within only as a whole.
func against(c configs.Condition, r measure.Reading) Verdict {
	if !r.Measured() {
		return NotMeasured
	}
	as, lo, hi := condemned(c, r.As), condemned(c, r.Lo), condemned(c, r.Hi)
	if r.OneSided() {
		switch {
		case lo && hi:
			return Beyond
		case !lo && !hi:
			return Within
		}
		return Straddles
	}
	switch {
	case as:
		return Beyond
	case lo || hi:
		return Straddles
	}
	return Within
}

func condemned(c configs.Condition, v float64) bool {
	switch c.Op {
	case "<":
		return v < c.Value-near
	case "<=":
		return v <= c.Value+near
	case ">":
		return v > c.Value+near
	}
	return v >= c.Value-near
}

func condition(c configs.Condition) string {
	switch c.Op {
	case "<":
		return "under " + c.Written
	case "<=":
		return c.Written + " or less"
	case ">":
		return "over " + c.Written
	}
	return c.Written + " or more"
}

// slowMPH is the speed to which the rules with a 10 mph action restrict.
const slowMPH = 10

func alreadySlow(s Subject) bool {
	r := s.Read("speed_mph")
	return r.Measured() && r.Hi <= slowMPH+near
}

// Legality is the two words of one reading of a subject: over the rules of kind
// regulation that use it, and over all others. Any rule that it is beyond gives
// no; a straddle, no rule or no reading gives unknown. A rule whose action is
// 10 mph does not make a place illegal that is limited to 10 mph already.
func (b *Book) Legality(s Subject, quantity string) (regulation, practice Word) {
	regulation, practice = Unknown, Unknown
	var law, other []Word
	for _, i := range b.byKind[s.Kind] {
		r := &b.Rules[i]
		uses := false
		for _, c := range r.Condemns {
			uses = uses || c.Quantity == quantity
		}
		if !uses || !applies(r, s) {
			continue
		}
		word := Unknown
		switch j := judge(r, s); {
		case j.Verdict == Within, j.Verdict == Beyond && j.Note != "":
			word = Yes
		case j.Verdict == Beyond:
			word = No
		}
		if r.Kind == "regulation" {
			law = append(law, word)
		} else {
			other = append(other, word)
		}
	}
	if len(law) > 0 {
		regulation = Worst(law...)
	}
	if len(other) > 0 {
		practice = Worst(other...)
	}
	return regulation, practice
}

// Worst joins words: any no gives no, else any unknown gives unknown.
func Worst(words ...Word) Word {
	out := Yes
	for _, w := range words {
		switch w {
		case No:
			return No
		case Unknown:
			out = Unknown
		}
	}
	return out
}
