package paper

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/bulk"
)

// Overview prints a summary by location and check.
func Overview(in export.Overview) (*Document, error) {
	p := &Document{}
	sv, o := in.Survey, in.Overview
	rows, err := o.List()
	if err != nil {
		return nil, err
	}
	p.heading(1, "Wheels and track together, counted: "+surveyName(sv))
	p.para(fmt.Sprintf("%s, %s, %s; limits: %s. The arithmetic on the readings only (as --plain); no pair is listed.",
		plural(o.Cars, "car", "cars"), plural(o.Wheels, "wheel", "wheels"),
		plural(o.Locations, "location", "locations"), strings.Join(sv.Sets, ", ")))
	p.para(worded("%d conflict, %d undecided, %d clear, %d not measured. The worst wheel's margin is "+
		"in mm, with the readings as written.", o.Count(interaction.Conflict), o.Count(interaction.Undecided),
		o.Count(interaction.Clear), o.Count(interaction.NotMeasured)))
	p.gap()
	if len(rows) == 0 {
		p.para(noPair)
	}
	overviewTable(p, rows)
	p.gap()
	p.add(Bullets(in.Cautions))
	p.line(in.Program)
	return p, nil
}

// overviewTable prints the rows under their columns, names as wide as the widest.
func overviewTable(p *Document, rows []bulk.Row) {
	head := export.OverviewHead()
	wide := [10]int{}
	for i, h := range head {
		wide[i] = len(h)
	}
	cells := func(r *bulk.Row) [10]string {
		margin := ""
		if r.HasMargin {
			margin = fmt.Sprintf("%.2f", export.Rounded(r.MarginMM))
		}
		n := func(v interaction.Verdict) string { return fmt.Sprint(r.Count(v)) }
		return [10]string{r.Location, r.Check.ID, n(interaction.Conflict),
			n(interaction.Undecided), n(interaction.Clear), n(interaction.NotMeasured), fmt.Sprint(r.BothLegal), r.Car,
			r.Position.String(), margin}
	}
	for i := range rows {
		for k, c := range cells(&rows[i]) {
			wide[k] = max(wide[k], len([]rune(c)))
		}
	}
	row := func(c [10]string) {
		var b strings.Builder
		for k, s := range c {
			pad := strings.Repeat(" ", max(0, wide[k]-len([]rune(s))))
			if k >= 2 && k <= 6 || k == 9 {
				s = pad + s
			} else {
				s += pad
			}
			if k > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(s)
		}
		p.line(b.String())
	}
	if len(rows) > 0 {
		row([10]string(head))
	}
	for i := range rows {
		row(cells(&rows[i]))
	}
}
