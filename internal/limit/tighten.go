package limit

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
)

// loosens says in words how a rule lets pass what the regulation of the same id condemns; "" if it does not. A rule is
// at least as tight when it applies wherever the regulation applies and every reading that the regulation condemns is
// condemned by it too. So one condition of two may be dropped (more is condemned), but none may be added.
func loosens(old, r configs.Rule) string {
	switch {
	case old.Reminder:
		return ""
	case r.Reminder:
		return "it no longer condemns anything"
	case old.Subject != r.Subject:
		return "it judges another subject, " + r.Subject + " in place of " + old.Subject
	case !covers(r.Classes, old.Classes):
		return "it holds in fewer track classes"
	case !covers(r.Kinds, old.Kinds):
		return "it holds for fewer kinds of car"
	case !covers(r.Services, old.Services):
		return "it holds in fewer services"
	case !covers(r.Flanges, old.Flanges):
		return "it holds for fewer flanges"
	case !covers(r.Trains, old.Trains):
		return "it holds for fewer trains"
	case !coversTypes(r, old):
		return "it holds for fewer types of frog"
	case slowOrder(&r) && !slowOrder(&old):
		return "its action is only a speed"
	}
	for _, c := range r.Condemns {
		if !slices.ContainsFunc(old.Condemns, func(o configs.Condition) bool { return implies(o, c) }) {
			return "it condemns less"
		}
	}
	return ""
}

// covers reports whether a list of a rule, in which none means any, holds all that the other holds.
func covers(list, other []string) bool {
	if len(list) == 0 {
		return true
	}
	if len(other) == 0 {
		return false
	}
	return !slices.ContainsFunc(other, func(x string) bool { return !slices.Contains(list, x) })
}

func coversTypes(r, old configs.Rule) bool {
	return !slices.ContainsFunc(append(configs.FrogTypes(), ""), func(t string) bool {
		return ofType(&old, t) && !ofType(&r, t)
	})
}

// implies reports whether every reading that meets one condition meets the other.
func implies(from, to configs.Condition) bool {
	if from.Quantity != to.Quantity || from.Op == "" || to.Op == "" || from.Op[0] != to.Op[0] {
		return false
	}
	d := to.Value - from.Value // how much further the other reaches, for < and <=
	if from.Op[0] == '>' {
		d = -d
	}
	if to.Op == from.Op || len(to.Op) > len(from.Op) { // the same, or the end of its own as well
		return d >= -near
	}
	return d > near
}

// text is the condition of a rule and where it holds, for messages.
func text(r configs.Rule) string {
	s := conditionText(r)
	if r.Reminder {
		s = "a reminder"
	}
	var when []string
	for _, w := range []struct {
		key  string
		list []string
	}{{"class", r.Classes}, {"kind", r.Kinds}, {"service", r.Services}, {"flange", r.Flanges}, {"trains", r.Trains},
		{"type", r.Types}, {"not type", r.NotTypes}} {
		if len(w.list) > 0 {
			when = append(when, w.key+" "+strings.Join(w.list, ", "))
		}
	}
	if len(when) > 0 {
		s += " (" + strings.Join(when, "; ") + ")"
	}
	return s
}

// conditionText words the condition that condemns, as "guard_check < 54-3/8 in".
func conditionText(r configs.Rule) string {
	parts := make([]string, len(r.Condemns))
	for i, c := range r.Condemns {
		parts[i] = fmt.Sprintf("%s %s %s", c.Quantity, c.Op, c.Written)
	}
	return strings.Join(parts, " and ")
}
