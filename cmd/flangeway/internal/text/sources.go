package text

import (
	"fmt"

	"flangeway/interaction"
)

// Sources prints the published values beside what the program computes.
func Sources(values []interaction.Published, markdown bool) (string, error) {
	p := &page{markdown: markdown}
	p.heading(1, "Published values, computed again")
	agree := 0
	for _, v := range values {
		if v.Agrees {
			agree++
		}
	}
	p.para(fmt.Sprintf("%d values, %d agree. A tolerance of 0 means that the computed value, rounded as the published one is, is the same.", len(values), agree))
	p.blank()
	for from := 0; from < len(values); {
		to := from
		var rows [][]string
		for to < len(values) && values[to].Source == values[from].Source && values[to].Kind == values[from].Kind {
			v := values[to]
			diff := fmt.Sprintf("%.4g", v.Difference)
			if v.Computes == "judge" {
				diff = "same"
			}
			if !v.Agrees {
				diff = "DIFFERS " + diff
			}
			rows = append(rows, []string{v.What, v.Published, v.Computed, v.Unit, diff, fmt.Sprint(v.Tolerance)})
			to++
		}
		v := values[from]
		p.heading(2, fmt.Sprintf("%s: %s (%s; %s)", v.Source, v.Section, v.Kind, v.Sure))
		p.table([]string{"value", "published", "computed", "unit", "difference", "tolerance"}, rows, 1, 2, 4, 5)
		p.blank()
		from = to
	}
	return p.b.String(), p.err
}
