package text

import (
	"fmt"
	"strings"

	"flangeway/configs"
	"flangeway/internal/limit"
)

// Limits prints an effective book of limits.
func Limits(book *limit.Book, cautions []string, markdown bool) (string, error) {
	p := &page{markdown: markdown}
	p.heading(1, "The effective book of limits")
	p.para(fmt.Sprintf("%d rules; hash %s. A reading is judged as written: within, beyond, or straddles where the reading error crosses the limit.", len(book.Rules), book.SHA256()))
	p.blank()
	set := ""
	for _, r := range book.Rules {
		if r.Set != set {
			set = r.Set
			p.endList()
			p.heading(2, "From "+set)
		}
		p.item(r.ID, ruleText(r))
	}
	p.endList()
	p.blank()
	p.heading(2, "Cautions")
	for _, s := range cautions {
		p.para("* " + s)
	}
	return p.b.String(), p.err
}

func ruleText(r configs.Rule) string {
	var parts []string
	for _, c := range r.Condemns {
		parts = append(parts, fmt.Sprintf("%s %s %s", c.Quantity, opWords(c.Op), c.Written))
	}
	s := r.Subject + ": "
	if r.Reminder {
		s += "no reading of the sheets judges it"
	} else {
		s += "condemns " + strings.Join(parts, " and ")
	}
	for _, w := range []struct {
		label string
		list  []string
	}{{"class", r.Classes}, {"kind", r.Kinds}, {"service", r.Services}, {"flange", r.Flanges}, {"type", r.Types}, {"not type", r.NotTypes}} {
		if len(w.list) > 0 {
			s += "; " + w.label + " " + strings.Join(w.list, ", ")
		}
	}
	s += ". " + r.Action + ". " + r.Source + " (" + r.Kind
	if r.Sure != "" {
		s += "; " + r.Sure
	}
	if r.Edition != "" {
		s += "; as of: " + r.Edition
	}
	s += ")"
	if r.Note != "" {
		s += ". " + r.Note
	}
	return s
}

func opWords(op string) string {
	switch op {
	case "<":
		return "under"
	case "<=":
		return "at or under"
	case ">":
		return "over"
	}
	return "at or over"
}
