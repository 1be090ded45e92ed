package limit

import (
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// excepted is the track class of 49 CFR 213.4.
const excepted = "excepted"

// classes are the track classes, the highest first.
func classes() []string { return []string{"5", "4", "3", "2", "1", excepted} }

// ClassMet is the track class that the readings of a place meet.
type ClassMet struct {
	// Class is the highest class whose regulations every reading meets as written: excepted if only the limits of 213.4
	// are met, none if not even these are, and "" if no rule of a class looks at such a place.
	Class string
	// NotRead names the readings that the class needs at such a place and that nobody took: the class is then Class at
	// most.
	NotRead []string
	// AtLimit says that a reading straddles a limit of the class.
	AtLimit bool
	// NextNeeds says what stops the next higher class, as "guard_check 54-1/4, class 3 needs 54-3/8 or more"; empty at
	// class 5.
	NextNeeds []string
	// Short says that a reading is beyond a rule of the class that the place is run at.
	Short bool
}

// needed are the readings without which a class is not met at a kind of place: those that a rule of 49 CFR 213.53,
// 213.57, 213.133, 213.137 or 213.143 asks for there.
func needed(s Subject) []string {
	switch s.Kind {
	case "frog":
		need := []string{"gauge", "flangeway_depth", "flangeway_width"}
		if s.FrogType != "self-guarded" {
			need = append(need, "guard_check", "guard_face")
		}
		return need
	case "switch", "spot":
		return []string{"gauge"}
	case "curve":
		return []string{"gauge", "degree", "elevation"}
	}
	return nil
}

// ClassMet tells the class of a place. Speeds and unbalance are left out, because the class sets the speed; a rule that
// asks for 10 mph stops the classes above 1, whose speeds are higher. A go/no-go reading that straddles a limit of the
// class counts as not read. Of a rule with two conditions the one that was not read is named if the other is beyond: a
// point worn deep meets a class at most while nobody read how far back it is worn.
func (b *Book) ClassMet(s Subject) ClassMet {
	m := ClassMet{Class: "none"}
	ruled := false
	var next []Judgement
	nextClass := ""
	steps := map[string]bool{} // go/no-go readings that leave the class open
	var beside []string        // readings that nobody took, and that alone keep a rule of the class from condemning
	for _, k := range classes() {
		var stops []Judgement
		for _, j := range b.ofClass(s, k) {
			ruled = true
			switch {
			case j.Verdict == Beyond:
				stops = append(stops, j)
			case j.Verdict == Straddles && j.Reading.OneSided():
				steps[j.Quantity] = true
			case j.Verdict == Straddles:
				m.AtLimit = true
			case j.Verdict == NotMeasured:
				beside = append(beside, append(unreadWhere(&j.Rule, s), b.unreadBeside(&j.Rule, s)...)...)
			}
		}
		if len(stops) == 0 {
			m.Class = k
			break
		}
		next, nextClass, m.AtLimit, beside = stops, k, false, nil
		clear(steps)
	}
	if !ruled {
		return ClassMet{}
	}
	for _, q := range needed(s) {
		if !s.read(q).Measured() || steps[q] {
			m.NotRead = append(m.NotRead, q)
		}
	}
	for _, q := range beside {
		if !slices.Contains(m.NotRead, q) {
			m.NotRead = append(m.NotRead, q)
		}
	}
	for _, j := range next {
		m.NextNeeds = append(m.NextNeeds, need(j.Rule, s, nextClass))
	}
	m.Short = s.Class != "" && slices.ContainsFunc(b.ofClass(s, s.Class),
		func(j Judgement) bool { return j.Verdict == Beyond && !limited(&j.Rule, s) })
	return m
}

// ofClass are the judgements of the regulations of a class on a place.
func (b *Book) ofClass(s Subject, class string) []Judgement {
	s.Class = class
	var out []Judgement
	for _, r := range b.on(s.Kind, "") {
		if r.Kind != regulation || len(r.Classes) == 0 || !concerns(r, s) || !s.holds(r) || slowOrder(r) &&
			(class == "1" || class == excepted) {
			continue
		}
		still := *r
		still.Condemns = slices.DeleteFunc(slices.Clone(r.Condemns), func(c configs.Condition) bool {
			return c.Quantity == "speed_mph" || c.Quantity == "over_curve_speed" || c.Quantity == "unbalance"
		})
		if len(still.Condemns) > 0 {
			out = append(out, judgeRule(still, s))
		}
	}
	return out
}

// need words what a class asks for against what was read.
func need(r configs.Rule, s Subject, class string) string {
	var have, want []string
	for _, c := range r.Condemns {
		have = append(have, c.Quantity+" "+written(c.Quantity, s.read(c.Quantity)))
		w := allowed(c)
		if len(r.Condemns) > 1 {
			w = c.Quantity + " " + w
		}
		want = append(want, w)
	}
	who := "class " + class
	if class == excepted {
		who = "excepted track"
	}
	return strings.Join(have, " and ") + ", " + who + " needs " + strings.Join(want, " or ")
}

// allowed words what a condition lets pass.
func allowed(c configs.Condition) string {
	v, inches := strings.CutSuffix(c.Written, " in")
	if !inches {
		v = c.Written
	}
	switch c.Op {
	case "<":
		return v + " or more"
	case "<=":
		return "more than " + v
	case ">":
		return v + " or less"
	}
	return "less than " + v
}

// written prints a reading: one value in its unit, all others as they were typed. Lengths are in inches and bear no
// mark; hollow is in mm.
func written(quantity string, r measure.Reading) string {
	unit, _ := configs.QuantityUnit(quantity)
	spec := measure.Spec{Column: quantity}
	switch unit {
	case "mm":
		spec.Unit = measure.Millimetres
	case "in":
		if r.Form == measure.Point || r.Form == measure.None {
			if s := measure.Inch(r.As); !strings.Contains(s, ".") {
				return s
			}
		}
	default:
		return r.Written
	}
	return spec.Print(r.Written)
}
