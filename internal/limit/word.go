package limit

import (
	"slices"

	"flangeway/configs"
)

// Word says whether a reading is legal: yes, no or unknown.
type Word string

// The three words.
const (
	Yes     Word = "yes"
	No      Word = "no"
	Unknown Word = "unknown"
)

// Worst joins words: any no is no, else any unknown is unknown, else yes.
func Worst(words ...Word) Word {
	switch {
	case slices.Contains(words, No):
		return No
	case slices.Contains(words, Unknown):
		return Unknown
	}
	return Yes
}

// Legality says whether one reading of a subject is within the regulations, and
// within all other rules (practice): no where a rule on it is beyond; unknown where
// one straddles, where no rule covers it and where it, or what the rule needs
// besides, is not measured; else yes. A rule that asks for 10 mph is kept where the
// place has no more than 10 mph already.
func (b *Book) Legality(s Subject, quantity string) (law, practice Word) {
	if !s.read(quantity).Measured() {
		return Unknown, Unknown
	}
	var lawWords, practiceWords []Word
	for _, r := range b.Rules {
		if !applies(r, s, s.Class) || !uses(r, quantity) {
			continue
		}
		w := ruleWord(r, s)
		if r.Kind == regulation {
			lawWords = append(lawWords, w)
		} else {
			practiceWords = append(practiceWords, w)
		}
	}
	return covered(lawWords), covered(practiceWords)
}

// covered is the worst of the words of the rules; unknown where there is no rule.
func covered(words []Word) Word {
	if len(words) == 0 {
		return Unknown
	}
	return Worst(words...)
}

func uses(r configs.Rule, quantity string) bool {
	return slices.ContainsFunc(r.Condemns, func(c configs.Condition) bool { return c.Quantity == quantity })
}

func ruleWord(r configs.Rule, s Subject) Word {
	if limited(r, s) {
		return Yes
	}
	switch judgeRule(r, s).Verdict {
	case Within:
		return Yes
	case Beyond:
		return No
	}
	return Unknown
}
