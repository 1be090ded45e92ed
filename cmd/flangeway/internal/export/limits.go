package export

import (
	"encoding/csv"
	"io"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/limit"
)

// Book is the JSON of limits.
type Book struct {
	Schema       int      `json:"schema"`
	Program      string   `json:"program"`
	LimitsSHA256 string   `json:"limits_sha256"`
	Rules        []Rule   `json:"rules"`
	Cautions     []string `json:"cautions"`
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
	Service  []string    `json:"service,omitempty"`
	Flange   []string    `json:"flange,omitempty"`
	Trains   []string    `json:"trains,omitempty"`
	Action   string      `json:"action"`
	Source   string      `json:"source"`
	Origin   string      `json:"kind"`
	Sure     string      `json:"sure,omitempty"`
	Edition  string      `json:"edition,omitempty"`
	Tell     string      `json:"tell,omitempty"`
	Note     string      `json:"note,omitempty"`
}

// Condition is one condemning comparison, as the rule writes it.
type Condition struct {
	Quantity string `json:"quantity"`
	Op       string `json:"op"`
	Value    string `json:"value"`
}

// NewBook turns an effective book into its JSON form.
func NewBook(program string, book *limit.Book, cautions []string) *Book {
	b := &Book{Schema: 1, Program: program, LimitsSHA256: book.SHA256(), Rules: []Rule{}, Cautions: cautions}
	for _, r := range book.Rules {
		out := Rule{ID: r.ID, Set: r.Set, Subject: r.Subject, Condemns: []Condition{}, Reminder: r.Reminder,
			Class: r.Classes, Kind: r.Kinds, Type: r.Types,
			NotType: r.NotTypes, Service: r.Services, Flange: r.Flanges, Trains: r.Trains, Action: r.Action,
			Source: r.Source, Origin: r.Kind, Sure: r.Sure, Edition: r.AsOf(), Tell: r.Tell, Note: r.Note}
		for _, c := range r.Condemns {
			out.Condemns = append(out.Condemns, Condition{c.Quantity, c.Op, c.Written})
		}
		b.Rules = append(b.Rules, out)
	}
	return b
}

// LimitsCSV writes one row for each rule; what condemns stands in one cell.
func LimitsCSV(w io.Writer, b *Book) error {
	rows := [][]string{{"id", "set", "subject", "condemns", "class", "car_kind", "service", "flange", "trains", "type",
		"not_type", "action", "source", "kind", "sure", "edition", "tell", "note"}}
	for _, r := range b.Rules {
		condemns := each.Of(r.Condemns, func(c Condition) string { return c.Quantity + " " + c.Op + " " + c.Value })
		if r.Reminder {
			condemns = []string{"no reading of the sheets judges it"}
		}
		rows = append(rows, []string{safe(r.ID), safe(r.Set), r.Subject, strings.Join(condemns, " and "),
			strings.Join(r.Class, " "), strings.Join(r.Kind, " "), strings.Join(r.Service, " "),
			strings.Join(r.Flange, " "),
			strings.Join(r.Trains, " "), strings.Join(r.Type, " "),
			strings.Join(r.NotType, " "), safe(r.Action), safe(r.Source), r.Origin, safe(r.Sure), safe(r.Edition),
			safe(r.Tell), safe(r.Note)})
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, b.Cautions))
}
