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

// ClassMet is the highest track class that the readings of a place allow: no
// regulation of that class is beyond or straddling. It is excepted where only the
// limits of 213.4 are met, none where not even these are, and "" where no rule of a
// class covers a reading that there is. Readings that are missing stop no class.
// Speed and unbalance are left out, since the class sets the speed; a rule that
// asks for 10 mph stops the classes above 1, whose speeds are higher.
//
// nextNeeds says what stops the next higher class, as "guard_check 54-1/4, class 3
// needs 54-3/8 or more". It is empty at class 5.
func (b *Book) ClassMet(s Subject) (class string, nextNeeds []string) {
	class = "none"
	known, next := false, ""
	needs := map[string][]string{}
	for _, k := range classes() {
		stops, covered := b.stops(s, k)
		known = known || covered
		if len(stops) == 0 && class == "none" {
			class = k
		}
		if class == "none" {
			next = k
		}
		needs[k] = stops
	}
	if !known {
		return "", nil
	}
	return class, needs[next]
}

// stops says what keeps a place out of a class; covered tells whether any rule of
// the class met a reading at all.
func (b *Book) stops(s Subject, class string) (stops []string, covered bool) {
	for _, r := range b.Rules {
		if r.Kind != regulation || len(r.Classes) == 0 || !applies(r, s, class) {
			continue
		}
		if slowOrder(r) && (class == "1" || class == excepted) {
			continue
		}
		r.Condemns = slices.DeleteFunc(slices.Clone(r.Condemns), func(c configs.Condition) bool {
			return c.Quantity == "speed_mph" || c.Quantity == "unbalance"
		})
		if len(r.Condemns) == 0 {
			continue
		}
		v := judgeRule(r, s).Verdict
		covered = covered || v != NotMeasured
		if v == Beyond || v == Straddles {
			stops = append(stops, need(r, s, class, v))
		}
	}
	return stops, covered
}

// need words what a class asks for against what was read.
func need(r configs.Rule, s Subject, class string, v Verdict) string {
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
	text := strings.Join(have, " and ") + ", " + who + " needs " + strings.Join(want, " or ")
	if v == Straddles {
		text += "; within as written, but the reading is too coarse to tell"
	}
	return text
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

// written prints a reading: one value in its unit, all others as they were typed.
// Lengths are in inches and bear no mark; hollow is in mm.
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
