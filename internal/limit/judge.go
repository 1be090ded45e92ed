package limit

import (
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// Subject is what a book judges: one wheel, axle, truck or place, with its
// readings. An empty Class or CarKind is an unknown one. An empty FrogType is an
// ordinary frog.
type Subject struct {
	Kind     string // wheel, axle, truck, frog, switch, curve, joint or spot
	Class    string // track class: excepted, 1 to 5
	CarKind  string // freight, locomotive, passenger or steam
	FrogType string
	// Read gives a reading by its column name, or one derived from several
	// (unbalance, diameter_difference, …); the zero Reading where there is none.
	// Speed is in mph under speed_mph.
	Read func(quantity string) measure.Reading
}

func (s Subject) read(quantity string) measure.Reading {
	if s.Read == nil {
		return measure.Reading{}
	}
	return s.Read(quantity)
}

// Judgement is what one rule says of a subject.
type Judgement struct {
	Rule      configs.Rule
	Condition string // what condemns, in words
	// Quantity and Reading are those that decide: of a rule with two conditions the
	// one that is missing where it is not measured, the one that is within where it
	// is within, else the first.
	Quantity string
	Reading  measure.Reading
	Verdict  Verdict
	Note     string // what to know besides, "" for nothing
}

// ofType reports whether a rule holds for a type of frog.
func ofType(r configs.Rule, frogType string) bool {
	return (len(r.Types) == 0 || slices.Contains(r.Types, frogType)) && !slices.Contains(r.NotTypes, frogType)
}

// applies reports whether a rule judges the subject when its track class is the
// given one. A rule that asks for a class or a kind of car does not judge what has
// none that is known.
func applies(r configs.Rule, s Subject, class string) bool {
	return !r.Reminder && r.Subject == s.Kind && ofType(r, s.FrogType) &&
		(len(r.Classes) == 0 || slices.Contains(r.Classes, class)) &&
		(len(r.Kinds) == 0 || slices.Contains(r.Kinds, s.CarKind))
}

// Judge gives the judgement of every rule that applies to the subject, in the order
// of the book, those on readings that are not measured too. Reminders judge nothing
// and are left out.
func (b *Book) Judge(s Subject) []Judgement {
	var out []Judgement
	for _, r := range b.Rules {
		if applies(r, s, s.Class) {
			out = append(out, judgeRule(r, s))
		}
	}
	return out
}

func judgeRule(r configs.Rule, s Subject) Judgement {
	j := Judgement{Rule: r, Condition: conditionText(r)}
	verdicts := make([]Verdict, len(r.Condemns))
	for i, c := range r.Condemns {
		verdicts[i] = judge(c, s.read(c.Quantity))
	}
	j.Verdict = all(verdicts)
	at := max(slices.Index(verdicts, j.Verdict), 0)
	if len(r.Condemns) > 0 {
		j.Quantity = r.Condemns[at].Quantity
		j.Reading = s.read(j.Quantity)
	}
	var notes []string
	for i, c := range r.Condemns {
		if other := s.read(c.Quantity); i != at && other.Measured() {
			notes = append(notes, c.Quantity+" "+written(c.Quantity, other))
		}
	}
	if limited(r, s) && (j.Verdict == Beyond || j.Verdict == Straddles) {
		notes = append(notes, "limited to 10 mph already")
	}
	j.Note = strings.Join(notes, "; ")
	return j
}

// slowOrder reports whether a rule's action is a speed of 10 mph and nothing else.
func slowOrder(r configs.Rule) bool { return r.Action == "10 mph" }

// limited reports whether the rule asks for no more than the speed that the place
// has anyhow.
func limited(r configs.Rule, s Subject) bool {
	if !slowOrder(r) {
		return false
	}
	v := s.read("speed_mph")
	return v.Measured() && v.As <= 10+near
}
