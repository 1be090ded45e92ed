package paper

import (
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/configs"
	"flangeway/interaction"
)

// Explain prints what a check compares, where its figures come from, the settings that enter it and how far to believe
// it; figures are the built-in ones of passages.
func Explain(c *interaction.Check, data *configs.Data, figures []configs.Constant) *Document {
	p := &Document{}
	p.heading(1, c.ID+": "+c.Meets)
	p.item("when", "in a conflict the "+c.Happens)
	p.item("hurts", strings.Join(c.Hurts, ", "))
	p.item("margin", c.Formula)
	var kinds []string
	for _, k := range c.Kinds {
		kinds = append(kinds, k.String())
	}
	at := strings.Join(kinds, ", ")
	if len(c.NotTypes) > 0 {
		at += "; not at " + strings.Join(c.NotTypes, ", ") + " frogs"
	}
	if c.NoTrailing {
		at += "; not where moves are only trailing"
	}
	if c.Axle {
		at += "; judged once for the whole axle"
	}
	if c.Car {
		at += "; judged once for the whole car"
	}
	if len(c.AnyOf) > 0 {
		var names []string
		for _, q := range c.AnyOf {
			names = append(names, q.String())
		}
		at += "; where " + strings.Join(names, " or ") + " was read"
	}
	if c.ComputedOnly {
		at += "; not under --plain"
	}
	p.item("at", at)
	p.item("believe", c.Believe)
	for _, s := range c.Sources {
		p.item("source", s)
	}
	p.gap()
	p.para("The margin is an interval, since every reading is one: below zero as a whole it is a conflict, zero or " +
		"above as a whole it is clear, else it is undecided. A missing reading makes the pair not measured.")
	p.para("What happened counts in the rank of places: incidents in railroad.yaml, such as incidents: {years: 5, " +
		"at: {mill spur: 2}}, is your own log of derailments and broken parts; the expected harm of all places is " +
		"multiplied by what it tells against what was expected. It moves no verdict.")
	remind(p, data, c.Reminders)
	marks(p, c)
	p.gap()
	p.heading(3, "Settings (railroad.yaml, settings, changes them)")
	settings(p, data.Settings, append(slices.Clone(c.Settings), c.Reserve))
	fixed := make([]configs.Setting, len(figures))
	for i, k := range figures {
		fixed[i] = k.Setting()
	}
	for _, x := range []struct {
		title string
		list  []configs.Setting
		names []string
	}{{"Settings that enter what is computed besides", data.Settings, c.Computing}, {"Settings that bound the repair",
		data.Settings, c.Repairing}, {"Built-in figures that enter what is computed besides", fixed, c.Figures}} {
		if len(x.names) > 0 {
			p.gap()
			p.heading(3, x.title)
			settings(p, x.list, x.names)
		}
	}
	p.gap()
	p.heading(3, "Cautions")
	p.add(Bullets(caution.Table(nil)))
	return p
}

// marks lists what was seen that bears on a check.
func marks(p *Document, c *interaction.Check) {
	if len(c.Marks) == 0 {
		return
	}
	p.gap()
	p.heading(3, "What was seen (not under --plain)")
	p.para("A mark or a condition tells against a clear pair: it is undecided until one of the readings is taken " +
		"again. It makes no verdict better. Which trace stands for what is the project's own rule.")
	for i := range c.Marks {
		m := &c.Marks[i]
		text := m.Says + "; asks for " + strings.Join(interaction.ReadingNames(m.Asks), " or ")
		if m.Close {
			text += "; of a close pair alone"
		}
		p.item(m.Word+" at a "+m.Where(), text)
	}
	for i := range c.Marks {
		if m := &c.Marks[i]; m.None != "" {
			p.item("none at a "+m.Where(), m.None+": beside a conflict of marking_passes a year that is a "+
				"contradiction, and the conflict stands")
		}
	}
}

// settings lists the settings of these names with value, meaning and source.
func settings(p *Document, list []configs.Setting, names []string) {
	for _, s := range list {
		if slices.Contains(names, s.Name) {
			p.item(s.Name, apartValue(s.Text())+": "+s.Meaning+" ("+s.Kind+": "+s.Source+")")
		}
	}
}

// remind lists the rules that bear on a check and that no reading judges.
func remind(p *Document, data *configs.Data, ids []string) {
	if len(ids) == 0 {
		return
	}
	p.gap()
	p.heading(3, "Rules that bear on it and that no reading of the sheets judges")
	for _, r := range data.Sets[configs.Federal].Rules {
		if !slices.Contains(ids, r.ID) {
			continue
		}
		s := r.Action
		if r.Note != "" {
			s += "; " + r.Note
		}
		s += " (" + r.Source
		if known := configs.HowKnown(r.Sure); known != "" {
			s += ", " + known
		}
		p.item(r.ID, s+")")
	}
}
