package text

import (
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
)

// Sources prints the published values beside what the program computes.
func Sources(values []interaction.Published, markdown bool) (string, error) {
	p := &page{markdown: markdown}
	p.heading(1, "Published values, computed again")
	agree, derived := 0, 0
	for _, v := range values {
		if v.Agrees {
			agree++
		}
		if v.Kind == "derived" {
			derived++
		}
	}
	p.para(fmt.Sprintf("%d values, %d agree. %d of them are quoted from the document named, which was read or is quoted from memory, as said beside it; the other %d are marked derived and stand in none: they were worked out apart from this program, by the formula named. A tolerance of 0 means that the computed value, rounded as the published one is, is the same.", len(values), agree, len(values)-derived, derived))
	p.blank()
	type group struct{ source, section, kind string }
	var order []group
	rows := map[group][][]string{}
	sure := map[group]string{}
	for _, v := range values {
		g := group{v.Source, v.Section, v.Kind}
		if _, ok := rows[g]; !ok {
			order = append(order, g)
			sure[g] = v.Sure
		} else if sure[g] != v.Sure {
			sure[g] = "how sure each is: --format csv"
		}
		diff := "same"
		if v.Computes != "judge" {
			diff = strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", math.Abs(v.Difference)), "0"), ".")
		}
		if !v.Agrees {
			diff = "DIFFERS " + diff
		}
		rows[g] = append(rows[g], []string{v.What, v.Published, v.Computed, v.Unit, diff, fmt.Sprint(v.Tolerance)})
	}
	for _, g := range order {
		p.heading(2, fmt.Sprintf("%s: %s (%s; %s)", g.source, g.section, g.kind, sure[g]))
		p.table([]string{"value", "published", "computed", "unit", "difference", "tolerance"}, rows[g], 1, 2, 4, 5)
		p.blank()
	}
	return p.b.String(), p.err
}
