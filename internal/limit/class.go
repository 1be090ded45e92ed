package limit

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// NoClass is the class of a place that meets not even the limits of excepted
// track.
const NoClass = "none"

// ClassMet is the highest track class whose regulations the readings of a subject
// meet with their whole interval, on the readings there are: 5 to 1, else excepted,
// else [NoClass]; "" where no reading is covered by a rule of a class. Speed is not
// counted, since it is what a class allows. nextNeeds says what stops the next
// class, and what of it was not measured.
func (b *Book) ClassMet(s Subject) (class string, nextNeeds []string) {
	met := NoClass
	covered := false
	for _, c := range []string{"excepted", "1", "2", "3", "4", "5"} {
		fails, open, any := b.fails(s, c)
		covered = covered || any
		if len(fails) > 0 {
			if c == "excepted" { // a place can fail it and meet no class either
				return NoClass, fails
			}
			nextNeeds = append(fails, open...)
			break
		}
		met = c
	}
	if !covered {
		return "", nil
	}
	return met, nextNeeds
}

// fails lists the rules of a class that the subject does not surely meet, and the
// readings of it that are missing; any says that a reading was judged.
func (b *Book) fails(s Subject, class string) (fails, open []string, any bool) {
	s.Class = class
	for _, i := range b.classed[s.Kind] {
		r := &b.Rules[i]
		if r.Kind != "regulation" || !applies(r, s) || slowOnly(r) {
			continue
		}
		j := judge(r, s)
		name := class
		if class != "excepted" {
			name = "class " + class
		}
		switch j.Verdict {
		case Beyond:
			fails = append(fails, fmt.Sprintf("%s %s, %s condemns %s", j.Quantity, inches(j.Reading), name, j.Condition))
		case Straddles:
			fails = append(fails, fmt.Sprintf("%s %s straddles the limit, %s condemns %s", j.Quantity, inches(j.Reading), name, j.Condition))
		case NotMeasured:
			text := j.Quantity + " not measured"
			if !slices.Contains(open, text) {
				open = append(open, text)
			}
		}
		any = any || j.Verdict != NotMeasured
	}
	return fails, open, any
}

// slowOnly reports the rules that say how fast, not which class.
func slowOnly(r *configs.Rule) bool {
	return r.Action == "10 mph" || r.Condemns[0].Quantity == "speed_mph" || r.Condemns[0].Quantity == "unbalance"
}

// inches writes a reading for a sentence.
func inches(r measure.Reading) string {
	if r.OneSided() {
		return strings.TrimSpace(r.Written)
	}
	return measure.Inch(r.As)
}
