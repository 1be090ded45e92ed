package paper

import (
	"fmt"
	"strings"

	"flangeway/interaction/plan"
)

// bulletins print one bulletin for each track, in place of a hold for each place of it.
func (c *planPage) bulletins(list []plan.Bulletin) {
	for _, b := range list {
		c.heading(1, fmt.Sprintf("Bulletin, track %s: %s", c.name(b.Line.Name), c.title()))
		c.para(c.SheetName())
		c.para(fmt.Sprintf("Not on this track, or no farther than is said: %s.", plural(len(b.Cars), "car", "cars")))
		c.gap()
		for _, x := range b.Cars {
			s := "not over " + c.name(strings.Join(x.At, ", ")) + " (" + strings.Join(x.IDs, ", ") + ")"
			if len(x.Beyond) > 0 {
				s += "; so not over what lies behind: " + c.name(strings.Join(x.Beyond, ", "))
			}
			c.line(c.name(x.Car))
			c.add(Indented{s})
		}
		c.gap()
		c.para("In force from ____________ to ____________  issued by ______________________")
		c.gap()
	}
}

// onBulletins are the ids of the holds that stand on a bulletin.
func onBulletins(list []plan.Bulletin) map[string]bool {
	out := map[string]bool{}
	for _, b := range list {
		for _, x := range b.Cars {
			for _, id := range x.IDs {
				out[id] = true
			}
		}
	}
	return out
}
