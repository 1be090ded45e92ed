package configs

import (
	"fmt"
	"slices"

	"flangeway/internal/measure"
)

// Remedy is the choice that the action of a rule leaves a railroad about a reading that is beyond it, besides the
// repair.
type Remedy struct {
	// SpeedMPH is the greatest speed at which the rule lets trains run; 0 names none.
	SpeedMPH float64
	// CurveSpeed says that it is the curve speed of the place.
	CurveSpeed bool
	// LowerClass says that the place may be run as the next lower class that it meets.
	LowerClass bool
	// Days is for how many days a place that meets no class may be run at class 1 speed, under a qualified person; 0 is
	// not at all.
	Days int
	// Moved names what lets a car move for repair; "" of a place.
	Moved  string
	Source string
	Sure   string // how sure the source is
}

// remedies are those of a set, by the action and the kinds of car of the rules that they belong to.
type remedies struct{ list []*remedyRecord }

type remedyRecord struct {
	Remedy
	action string
	kinds  []string
	place  measure.Place
	used   bool
}

// parseRemedies reads the list of remedies of a set. What an action means for whoever plans stands once, because many
// rules have the same one.
func parseRemedies(m *Mapping) (out remedies) {
	for _, c := range m.List("remedies") {
		r := &remedyRecord{action: c.Need("action"), place: c.PlaceOf("action")}
		r.Source, r.Sure = c.Need("source"), c.Need("sure")
		r.kinds = words(c, "kind", CarKinds()...)
		switch text := c.Text("speed"); text {
		case "":
		case "curve speed":
			r.CurveSpeed = true
		default:
			if v, ok := c.Amount("speed", 0, "mph, or curve speed"); ok {
				r.SpeedMPH = float64(v)
			}
		}
		switch text := c.Text("lower_class"); text {
		case "", "no":
		case "yes":
			r.LowerClass = true
		default:
			c.Fail("lower_class", fmt.Sprintf("%q is neither yes nor no", measure.Short(text)), "yes or no")
		}
		if v, ok := c.Amount("days", 0, "days"); ok {
			r.Days = int(v)
		}
		r.Moved = c.Text("moved")
		c.Done()
		out.list = append(out.list, r)
	}
	return out
}

func (l remedies) of(r *Rule) Remedy {
	for _, x := range l.list {
		if x.action == r.Action && (len(x.kinds) == 0 || slices.Equal(x.kinds, r.Kinds)) {
			x.used = true
			return x.Remedy
		}
	}
	return Remedy{}
}

// unused refuses a remedy of an action that no rule has.
func (l remedies) unused(problems *measure.Problems) {
	for _, x := range l.list {
		if !x.used {
			problems.Add(x.place, "action", fmt.Sprintf("no rule here has the action %q", measure.Short(x.action)),
				"the words of an action, as a rule has them")
		}
	}
}
