package ask

import (
	"fmt"

	"flangeway/configs"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/wheel"
	"flangeway/wheel/shape"
)

// Lathe asks for a turning of both wheels of an axle, near and far, with the book that the rim is held to afterwards.
type Lathe struct {
	Turning [2]shape.Lathe
	book    *limit.Book // nil: the limit was typed
	subject limit.Subject
}

// Held says whether a rim that a turning leaves is within the book. If it is not, or if it is not known which rule
// holds, Action says what to do or why; of a rim that holds it says what a warning before the limit asks for.
type Held struct {
	Holds, Known bool
	Action       string
}

// Held judges a rim of so many mm, of which holds says whether it is within the tightest limit. Beyond a regulation, or
// a limit that was typed, the wheel must be changed; beyond another rule its own words stand, with its set.
func (l Lathe) Held(left float64, holds bool) Held {
	switch {
	case holds:
		return Held{Holds: true, Known: true, Action: l.warned(left)}
	case l.book == nil:
		return Held{Known: true, Action: changeWheel}
	}
	own, open := "", ""
	for _, j := range l.judge(left) {
		switch {
		case j.Rule.Warns():
		case j.Verdict == limit.Beyond && j.Rule.Kind == "regulation":
			return Held{Known: true, Action: changeWheel}
		case j.Verdict == limit.Beyond && own == "":
			own = fmt.Sprintf("%s (%s)", j.Rule.Action, j.Rule.Set)
		case j.Verdict == limit.Unsure && open == "":
			open = j.Note
		}
	}
	if own != "" {
		return Held{Known: true, Action: own}
	}
	return Held{Action: open}
}

// warned is the thickness that the first warning before a limit asks of a rim of so many mm; "" for nothing.
func (l Lathe) warned(left float64) string {
	if l.book == nil {
		return ""
	}
	for _, j := range l.judge(left) {
		if j.Rule.Warns() && j.Verdict == limit.Beyond {
			return fmt.Sprintf("%s (%s)", j.Rule.Action, j.Rule.Set)
		}
	}
	return ""
}

// judge gives what the book says of a rim of so many mm.
func (l Lathe) judge(mm float64) (out []limit.Judgement) {
	subject := l.subject
	subject.Read = func(quantity string) measure.Reading {
		if quantity == wheel.RimThickness.String() {
			return measure.Exact(mm, measure.Inch(mm)+" in")
		}
		return measure.Reading{}
	}
	for _, j := range l.book.Judge(subject) {
		if j.Quantity == wheel.RimThickness.String() && len(j.Rule.Condemns) == 1 {
			out = append(out, j)
		}
	}
	return out
}

const changeWheel = "change the wheel"

// Lathe asks what the lathe is asked for and what rim the wheels have. The book of the survey's railroad judges the rim
// that is left, of the car's kind; without a survey it is the federal one of a freight car.
func (s *Start) Lathe(a Axle) (Lathe, error) {
	var l Lathe
	near, far := rimOf(a.Near.Of), rimOf(a.Far.Of)
	read := nothing
	if a.Near.Of != nil {
		read = Both(near, far, a.Near.Of.Place)
	}
	rims, v, err := s.Pair("rim thickness", s.Columns["rim_thickness"], Flag("rim-thickness"), read)
	if err != nil {
		return l, err
	}
	for i := range l.Turning {
		t := &l.Turning[i]
		if r := rims[i]; r.Measured() {
			t.Rim.Thickness = r.Lo // what is surely there
			if r.Form == measure.Below {
				t.Rim.Thickness = 0
				s.Warn("rim thickness of the %s wheel is %s, a go/no-go reading that does not say how thin it is "+
					"(--rim-thickness gives one value).", []string{a.Near.Label, a.Far.Label}[i], r.Written)
			}
		}
		for _, g := range []struct {
			flag, column string
			to           *float64
		}{{"cut", "rim_thickness", &t.Cut}, {"turned-flange", "flange_thickness", &t.Thickness}} {
			text := s.Flags[g.flag]
			if text == "" || text == "n/m" || text == "-" {
				continue
			}
			if *g.to, err = Length(g.flag, text, s.Columns[g.column]); err != nil {
				return l, err
			}
		}
	}
	if !v.Given() {
		return l, nil
	}
	return l, s.rimLimit(&l, a.Near.Of)
}

// rimOf is the rim that was read of a wheel; a nil wheel has none.
func rimOf(w *wheel.Wheel) measure.Reading {
	if w == nil {
		return measure.Reading{}
	}
	return w.Read(wheel.RimThickness)
}

// rimLimit asks to what the rims may be turned: the tightest rule of the book that condemns one.
func (s *Start) rimLimit(l *Lathe, of *wheel.Wheel) error {
	l.subject = limit.Subject{Kind: "wheel"}
	if of != nil {
		l.subject = of.Subject()
	}
	if l.subject.CarKind == "" {
		l.subject.CarKind = "freight"
		if of != nil && s.Flags["rim-limit"] == "" {
			s.Warn("The kind of car %s is not given: its rims are held to the limits of a freight car.", of.Car.ID)
		}
	}
	var err error
	if l.book, err = s.book(); err != nil {
		return err
	}
	var tightest *limit.Judgement
	for _, j := range l.judge(l.Turning[0].Rim.Thickness) {
		if !j.Rule.Warns() && (tightest == nil || tighter(j.Rule.Condemns[0], tightest.Rule.Condemns[0])) {
			tightest = &j
		}
	}
	kind, whose, law := l.subject.CarKind, "federal limit", nothing
	if s.Survey != nil {
		whose = "limit in the railroad's book"
	}
	if tightest != nil {
		law = func(*Start) (Value, bool) { return rimRule(tightest.Rule, kind), true }
	}
	at := s.Ask("rim limit", Flag("rim-limit"), law, Default("none", "no "+whose+" for "+kind))
	switch {
	case at.From == "flag":
		mm, err := Length("rim-limit", at.Text, s.Columns["rim_thickness"])
		if err != nil {
			return err
		}
		l.book = nil
		l.held(mm, true) // the least that is allowed
	case tightest != nil:
		c := tightest.Rule.Condemns[0]
		l.held(c.Value, c.Op == "<")
	}
	return nil
}

// tighter reports whether one least thickness asks for more than another.
func tighter(a, b configs.Condition) bool {
	return a.Value > b.Value || a.Value == b.Value && a.Op == "<=" && b.Op == "<"
}

// held sets to what the rims may be turned, mm, and whether that itself is allowed.
func (l *Lathe) held(mm float64, holds bool) {
	for i := range l.Turning {
		l.Turning[i].Rim.Limit, l.Turning[i].Rim.LimitHolds = mm, holds
	}
}

func rimRule(r configs.Rule, kind string) Value {
	from := fmt.Sprintf("%s (%s)", r.Source, kind)
	if sure := configs.HowKnown(r.Sure); sure != "" {
		from += ", " + sure
	}
	if r.Kind != "regulation" {
		from = r.Set + ": " + from
	}
	return Value{Text: r.Condemns[0].Written, From: from}
}

// book is the railroad's book of limits, or the federal one.
func (s *Start) book() (*limit.Book, error) {
	if s.Survey != nil {
		return s.Survey.Book()
	}
	book, found := limit.Overlay(s.Data.Sets["federal"])
	var problems measure.Problems
	problems.Append(found...)
	return book, problems.Err()
}
