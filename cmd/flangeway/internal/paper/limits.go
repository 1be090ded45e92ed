package paper

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/limit"
)

// Limits prints an effective book of limits.
func Limits(book *limit.Book, cautions []string, form Form) *Document {
	p := &Document{Form: form}
	p.heading(1, "The effective book of limits")
	p.para(worded("%d rules; hash %s. A reading is judged as written: within, beyond, or straddles where the "+
		"reading error crosses the limit.", len(book.Rules), book.SHA256()))
	p.gap()
	set := ""
	var editions []string
	for _, r := range book.Rules {
		if r.Set != set {
			set = r.Set
			p.heading(2, "From "+set)
		}
		if !slices.Contains(editions, r.AsOf()) {
			editions = append(editions, r.AsOf())
		}
		p.item(r.ID, ruleText(r, slices.Index(editions, r.AsOf())+1))
	}
	p.gap()
	if len(editions) > 0 {
		p.heading(2, "As of: the editions in which the rules were read")
		for i, e := range editions {
			p.item(fmt.Sprintf("[%d]", i+1), e)
		}
		p.gap()
	}
	p.heading(2, "Cautions")
	p.add(Bullets(cautions))
	return p
}

// ruleText is a rule in a sentence; asOf is the number of its edition in the list of them.
func ruleText(r configs.Rule, asOf int) string {
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
	}{{"class", r.Classes}, {"kind", r.Kinds}, {"service", r.Services}, {"flange", r.Flanges}, {"trains",
		r.Trains}, {"type", r.Types}, {"not type", r.NotTypes}} {
		if len(w.list) > 0 {
			s += "; " + w.label + " " + strings.Join(w.list, ", ")
		}
	}
	s += ". " + sentence(r.Action) + ". " + sentence(r.Source) + " (" + r.Kind
	if r.Sure != "" {
		s += "; " + r.Sure
	}
	s += worded("; as of [%d])", asOf)
	for _, more := range []string{r.Tell, r.Note} {
		if more != "" {
			s += ". " + sentence(more)
		}
	}
	return s
}

// sentence is a text with a capital if it begins with a plain word; a rule's number and a column's name stay as they
// are.
func sentence(s string) string {
	word, _, _ := strings.Cut(s, " ")
	if s == "" || strings.ContainsAny(word, "_-0123456789") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
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
