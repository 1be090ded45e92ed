package limit

import (
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// Subject is the subject of a book's judgement: one wheel, axle, truck or place, with its readings. An empty Class,
// CarKind, Service or Flange is an unknown one. An empty FrogType is an ordinary frog.
type Subject struct {
	Kind    string // wheel, axle, truck, frog, switch, curve, joint or spot
	Class   string // track class: excepted, 1 to 5
	CarKind string // freight, locomotive, passenger or steam
	Service string // of a locomotive: road or yard
	Flange  string // of a wheel: narrow or wide, as its design names it
	// LikelyFlange is the likely kind of the flange if no design is named. The regulations go by the design alone.
	LikelyFlange string
	FrogType     string
	// Trains says whose speed a place is judged by: freight or passenger; freight if empty.
	Trains string
	// Read gives a reading by its column name, or one derived from several (unbalance, diameter_difference, …); the
	// zero Reading if there is none. Speed is in mph under speed_mph.
	Read func(quantity string) measure.Reading
}

func (s Subject) read(quantity string) measure.Reading {
	if s.Read == nil {
		return measure.Reading{}
	}
	return s.Read(quantity)
}

// Judgement is one rule's judgement of a subject.
type Judgement struct {
	Rule      configs.Rule
	Condition string // what condemns, in words
	// Quantity and Reading are those that decide: of a rule with two conditions the one that is missing if it is not
	// measured, the one that is within if it is within, else the first.
	Quantity string
	Reading  measure.Reading
	Verdict  Verdict
	// Open says that nobody knows whether the rule holds: the track class, the service or the flange that it asks for
	// is not known.
	Open bool
	// Fill names the columns that tell whether the rule holds, if that is not known and matters. Of a rule that is not
	// measured it names the readings that keep it from condemning by not being taken, while every other one is beyond.
	Fill []string
	Note string // what to know besides, "" for nothing
	// Kept says that a reading beyond the rule is run as the rule asks already: no faster than its speed.
	Kept bool
}

// Condition is the verdict of a subject's reading under one condition of a rule.
func (s Subject) Condition(c configs.Condition) Verdict { return judge(c, s.read(c.Quantity)) }

// Judge gives the judgement of every rule that applies to the subject, in the order of the book, those on readings that
// are not measured too. Reminders judge nothing and are left out, and so are the books of a kind of car if the kind is
// unknown.
//
// A reading that is beyond a rule of which nobody knows whether it holds there (the track class, the service of a
// locomotive or the flange is not known) is beyond if every case condemns it, else Unsure.
func (b *Book) Judge(s Subject) []Judgement {
	var out []Judgement
	for _, r := range b.on(s.Kind, "") {
		s := s.against(r.Kind)
		if !concerns(r, s) || !s.holds(r) || len(r.Kinds) > 0 && s.CarKind == "" {
			continue
		}
		j := judgeRule(*r, s)
		if open := s.open(r); len(open) > 0 {
			j.Open = true
			sure := j.Verdict == Beyond && b.standing(s, j.Quantity, r.Kind == regulation).Word == No
			if j.Verdict == Beyond && !sure {
				j.Verdict = Unsure
			}
			if j.Verdict == Unsure || j.Verdict == Straddles {
				j.Note = strings.Join(append(nonEmpty(j.Note), open...), "; ")
			}
			if j.Verdict == Unsure {
				j.Fill = s.blank(r)
			}
		}
		if j.Verdict == NotMeasured {
			j.Fill = b.unreadBeside(r, s)
		}
		if unread := unreadWhere(r, s); len(unread) > 0 {
			j.Verdict, j.Fill = Unsure, unread
			j.Quantity = r.Condemns[0].Quantity
			j.Reading = s.read(j.Quantity)
			j.Note = strings.Join(append(nonEmpty(j.Note), "not read, and it decides whether the rule holds: "+
				strings.Join(unread, ", ")), "; ")
		}
		out = append(out, j)
	}
	return out
}

// Broken are the judgements of the regulations that a subject is beyond, those that are kept by a speed too.
func (b *Book) Broken(s Subject) (out []Judgement) {
	if !slices.ContainsFunc(b.on(s.Kind, ""), func(r *configs.Rule) bool {
		return r.Kind == regulation && concerns(r, s) && s.holds(r) && ruleVerdict(r, s) == Beyond
	}) {
		return nil // a subject within all of them is soon told
	}
	for _, j := range b.Judge(s) {
		if j.Rule.Kind == regulation && j.Verdict == Beyond {
			out = append(out, j)
		}
	}
	return out
}

func nonEmpty(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// unreadWhere names the readings that decide whether a rule holds and that nobody took, if all else that was read is as
// the rule condemns it. None is named if nothing was read of where the rule holds.
func unreadWhere(r *configs.Rule, s Subject) (unread []string) {
	if elsewhere(r, s) {
		return nil
	}
	for _, c := range r.Condemns {
		switch v := judge(c, s.read(c.Quantity)); {
		case c.Where && v == NotMeasured:
			unread = append(unread, c.Quantity)
		case v == Within || v == NotMeasured:
			return nil
		}
	}
	return unread
}

// unreadBeside names the readings of a rule with several conditions that nobody took, if every other one is beyond: a
// point worn deep of which it was not read how far back. What only says where the rule holds is named if no other rule
// tells whether the reading is legal.
func (b *Book) unreadBeside(r *configs.Rule, s Subject) (unread []string) {
	beyond, where := false, false
	for _, c := range r.Condemns {
		switch v := judge(c, s.read(c.Quantity)); {
		case v == NotMeasured:
			unread = append(unread, c.Quantity)
			where = where || c.Where
		case v == Beyond:
			beyond = true
		default:
			return nil
		}
	}
	if !beyond || where && b.standing(s, r.Condemns[0].Quantity, r.Kind == regulation).Word != Unknown {
		return nil
	}
	return unread
}

// KindMatters reports whether a reading of a car whose kind is not known is beyond a regulation of some kind that it
// may be of.
func (b *Book) KindMatters(s Subject) bool {
	if s.CarKind != "" {
		return false
	}
	for _, kind := range configs.CarKinds() {
		s.CarKind = kind
		for _, j := range b.Judge(s) {
			if j.Verdict == Beyond && j.Rule.Kind == regulation && len(j.Rule.Kinds) > 0 {
				return true
			}
		}
	}
	return false
}

// ruleVerdict is the verdict of a rule alone.
func ruleVerdict(r *configs.Rule, s Subject) Verdict {
	var few [2]Verdict
	return all(verdictsOf(r, s, few[:0]))
}

// verdictsOf appends the verdicts of a rule's conditions to a list.
func verdictsOf(r *configs.Rule, s Subject, list []Verdict) []Verdict {
	for _, c := range r.Condemns {
		list = append(list, judge(c, s.read(c.Quantity)))
	}
	return list
}

func judgeRule(r configs.Rule, s Subject) Judgement {
	j := Judgement{Rule: r, Condition: conditionText(r)}
	verdicts := verdictsOf(&r, s, nil)
	j.Verdict = all(verdicts)
	at := max(slices.Index(verdicts, j.Verdict), 0)
	if len(r.Condemns) > 0 && r.Condemns[at].Where && j.Verdict != NotMeasured {
		at = 0 // the reading that the rule judges
	}
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
	if r.Tell != "" && j.Verdict != NotMeasured {
		notes = append(notes, r.Tell)
	}
	if limited(&r, s) && (j.Verdict == Beyond || j.Verdict == Straddles) {
		j.Kept = true
		notes = append(notes, "limited to 10 mph already")
	}
	j.Note = strings.Join(notes, "; ")
	return j
}

// slowOrder reports whether a rule's action is a speed of 10 mph and nothing else.
func slowOrder(r *configs.Rule) bool { return r.Action == "10 mph" }

// limited reports whether the rule asks for no more than the speed that the place has anyhow.
func limited(r *configs.Rule, s Subject) bool {
	if !slowOrder(r) {
		return false
	}
	v := s.read("speed_mph")
	return v.Measured() && v.As <= 10+near
}
