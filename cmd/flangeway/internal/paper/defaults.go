package paper

import (
	"fmt"

	"flangeway/interaction/plan"
)

// assumedTitle heads the settings that entered without being the railroad's own.
const assumedTitle = "Assumed where the railroad set nothing"

// defaultsTable is the table of settings that entered without being the railroad's own.
func defaultsTable(id, caption string) Table {
	return Table{ID: id, Caption: caption, Columns: []Column{{Name: "setting", Head: true},
		{Name: "value", Long: true}, {Name: "kind"}, {Name: "source", Long: true}}}
}

// defaultFact is how a line of that table reads as a fact: value (kind): source.
const defaultFact = "%s (%s): %s"

// defaults lists the settings that entered.
func (c *checkPage) defaults() *Section {
	t := defaultsTable("assumed-table", "Assumed figures; settings in railroad.yaml changes all but those built in")
	for _, d := range c.in.Defaults {
		kind := d.Kind
		if d.Fixed {
			kind += ", built in"
		}
		t.Rows = append(t.Rows, cells(d.Name, c.name(tradeUnless(hollowSetting(d.Name), apartValue(d.Text()))), kind,
			c.words(d.Source)))
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := &Section{ID: "assumed", Title: assumedTitle, About: " (railroad.yaml, settings, changes all but " +
		"those built in)"}
	if c.Form == HTML {
		s.add(t)
	} else {
		s.facts(t.Rows, defaultFact)
	}
	return s
}

// planDefaults is the table of the settings that entered a plan.
func (f Form) planDefaults(p *plan.Plan) Table {
	t := defaultsTable("plan-assumed", "Assumed figures of the plan; railroad.yaml changes them")
	for _, d := range p.Defaults {
		t.Rows = append(t.Rows, cells(d.Setting, f.words(f.margin(apartValue(d.Value))), d.Kind, f.words(d.Source)))
	}
	return t
}

// facts adds the rows of a table as facts under their first cell; form is how the others read.
func (b *Blocks) facts(rows []Row, form string) {
	for _, r := range rows {
		var rest []any
		for _, c := range r[1:] {
			rest = append(rest, c.plain())
		}
		b.item(r[0].Text, fmt.Sprintf(form, rest...))
	}
}
