package text

import (
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/configs"
	"flangeway/interaction"
)

// Explain prints what a check compares, where its figures come from, the settings
// that enter it and how far to believe it.
func Explain(c *interaction.Check) (string, error) {
	p := &page{}
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
	p.item("at", at)
	p.item("believe", c.Believe)
	for _, s := range c.Sources {
		p.item("source", s)
	}
	p.blank()
	p.para("The margin is an interval, since every reading is one: below zero as a whole it is a conflict, zero or above as a whole it is clear, else it is undecided. A missing reading makes the pair not measured.")
	data, err := configs.Load()
	if err != nil {
		return "", err
	}
	remind(p, data, c.Reminders)
	p.blank()
	p.heading(3, "Settings (railroad.yaml, settings, changes them)")
	for _, s := range data.Settings {
		if s.Name == c.Reserve || slices.Contains(c.Settings, s.Name) {
			p.item(s.Name, s.Text()+": "+s.Meaning+" ("+s.Kind+": "+s.Source+")")
		}
	}
	for _, x := range []struct {
		title string
		names []string
	}{{"Settings that enter what is computed besides", c.Computing}, {"Settings that bound the repair", c.Repairing}} {
		if len(x.names) == 0 {
			continue
		}
		p.blank()
		p.heading(3, x.title)
		for _, s := range data.Settings {
			if slices.Contains(x.names, s.Name) {
				p.item(s.Name, s.Text()+": "+s.Meaning+" ("+s.Kind+": "+s.Source+")")
			}
		}
	}
	if len(c.Figures) > 0 {
		figures, err := data.LoadPassage()
		if err != nil {
			return "", err
		}
		p.blank()
		p.heading(3, "Built-in figures that enter what is computed besides")
		for _, s := range figures.Constants {
			if slices.Contains(c.Figures, s.Name) {
				p.item(s.Name, s.Text()+": "+s.Meaning+" ("+s.Kind+": "+s.Source+")")
			}
		}
	}
	p.blank()
	p.heading(3, "Cautions")
	for _, s := range caution.Table(nil) {
		p.para("* " + s)
	}
	return p.b.String(), p.err
}

// remind lists the rules that bear on a check and that no reading judges.
func remind(p *page, data *configs.Data, ids []string) {
	if len(ids) == 0 {
		return
	}
	p.blank()
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
