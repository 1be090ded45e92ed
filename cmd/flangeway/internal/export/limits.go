package export

import (
	"io"

	"flangeway/internal/limit"
)

// Book is the JSON of limits.
type Book struct {
	Schema       int    `json:"schema"`
	Program      string `json:"program"`
	LimitsSHA256 string `json:"limits_sha256"`
	Rules        []Rule `json:"rules"`
}

// Rule is one rule of a book.
type Rule struct {
	ID       string      `json:"id"`
	Set      string      `json:"set"`
	Subject  string      `json:"subject"`
	Condemns []Condition `json:"condemns"`
	Reminder bool        `json:"reminder,omitempty"`
	Class    []string    `json:"class,omitempty"`
	Kind     []string    `json:"car_kind,omitempty"`
	Type     []string    `json:"type,omitempty"`
	NotType  []string    `json:"not_type,omitempty"`
	Action   string      `json:"action"`
	Source   string      `json:"source"`
	Origin   string      `json:"kind"`
	Sure     string      `json:"sure,omitempty"`
	Note     string      `json:"note,omitempty"`
}

// Condition is one condemning comparison, as the rule writes it.
type Condition struct {
	Quantity string `json:"quantity"`
	Op       string `json:"op"`
	Value    string `json:"value"`
}

// LimitsJSON writes an effective book.
func LimitsJSON(w io.Writer, program string, book *limit.Book) error {
	b := Book{Schema: 1, Program: program, LimitsSHA256: book.SHA256(), Rules: []Rule{}}
	for _, r := range book.Rules {
		out := Rule{ID: r.ID, Set: r.Set, Subject: r.Subject, Condemns: []Condition{}, Reminder: r.Reminder, Class: r.Classes, Kind: r.Kinds, Type: r.Types,
			NotType: r.NotTypes, Action: r.Action, Source: r.Source, Origin: r.Kind, Sure: r.Sure, Note: r.Note}
		for _, c := range r.Condemns {
			out.Condemns = append(out.Condemns, Condition{c.Quantity, c.Op, c.Written})
		}
		b.Rules = append(b.Rules, out)
	}
	return writeJSON(w, b)
}
