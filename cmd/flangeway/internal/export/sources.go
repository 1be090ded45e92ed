package export

import (
	"encoding/csv"
	"io"
	"strconv"

	"flangeway/interaction/published"
)

// Sources is the JSON of sources.
type Sources struct {
	Schema  int    `json:"schema"`
	Program string `json:"program"`
	// Counts are by standing, and are not added.
	Counts   map[string]SourceCount `json:"counts"`
	Tables   []SourceTable          `json:"tables"`
	Limits   []SourceLimit          `json:"limits"`
	Cautions []string               `json:"cautions"`
}

// SourceCount counts the values of one standing.
type SourceCount struct {
	Tables  int `json:"tables"`
	Values  int `json:"values"`
	Agree   int `json:"agree"`
	Known   int `json:"known_to_differ"`
	Differs int `json:"differ"`
}

// SourceTable is values of one document or formula.
type SourceTable struct {
	ID        string        `json:"id"`
	Title     string        `json:"title"`
	Standing  string        `json:"standing"`
	Source    string        `json:"source"`
	Section   string        `json:"section"`
	Seen      string        `json:"seen,omitempty"`
	Unit      string        `json:"unit,omitempty"`
	Tolerance string        `json:"tolerance"`
	Why       string        `json:"tolerance_because"`
	Values    []SourceValue `json:"values"`
}

// SourceValue is one value with what the program computes.
type SourceValue struct {
	ID         string  `json:"id"`
	What       string  `json:"what"`
	Published  string  `json:"published"`
	Computed   string  `json:"computed"`
	Difference float64 `json:"difference"`
	Agrees     bool    `json:"agrees"`
	Because    string  `json:"differs_because,omitempty"`
}

// SourceLimit is one federal limit with three readings tried.
type SourceLimit struct {
	Rule     string         `json:"rule"`
	Subject  string         `json:"subject"`
	Class    string         `json:"class,omitempty"`
	Kind     string         `json:"car_kind,omitempty"`
	Type     string         `json:"type,omitempty"`
	Quantity string         `json:"quantity"`
	Condemns string         `json:"condemns"`
	Figure   string         `json:"figure_in"`
	Source   string         `json:"source"`
	Seen     string         `json:"seen"`
	Agrees   bool           `json:"agrees"`
	Tries    [3]SourceTried `json:"tries"`
}

// SourceTried is one reading of a limit.
type SourceTried struct {
	Reading string `json:"reading_in"`
	Rule    string `json:"rule"`
	Book    string `json:"book"`
}

// NewSources turns the values and limits into their JSON form.
func NewSources(program string, tables []published.Table, limits []published.LimitTest, cautions []string) *Sources {
	out := &Sources{Schema: 1, Program: program, Counts: map[string]SourceCount{}, Tables: []SourceTable{},
		Limits: []SourceLimit{}, Cautions: cautions}
	for _, s := range published.Standings() {
		c := published.CountOf(tables, s)
		out.Counts[string(s)] = SourceCount{c.Tables, c.Values, c.Agree, c.Known, c.Differ}
	}
	for _, t := range tables {
		x := SourceTable{ID: t.ID, Title: t.Title, Standing: string(t.Standing), Source: t.Document, Section: t.Section,
			Seen: t.Seen, Unit: t.Unit, Tolerance: t.Tolerance, Why: t.Why}
		for _, v := range t.Values {
			x.Values = append(x.Values,
				SourceValue{v.ID, v.What, v.Published, v.Computed, Rounded(v.Difference), v.Agrees, v.Because})
		}
		out.Tables = append(out.Tables, x)
	}
	for _, t := range limits {
		x := SourceLimit{Rule: t.Rule, Subject: t.Subject, Class: t.Class, Kind: t.CarKind, Type: t.Type,
			Quantity: t.Quantity, Condemns: t.Condemns, Figure: t.Figure,
			Source: t.Document, Seen: t.Seen, Agrees: t.Agrees()}
		for i, try := range t.Tries {
			x.Tries[i] = SourceTried{try.Reading, string(try.Wants), string(try.Gives)}
		}
		out.Limits = append(out.Limits, x)
	}
	return out
}

// limitTest is the standing of a row that tries a limit, in CSV.
const limitTest = "limit test"

// SourcesCSV writes one row for each value, then one for each reading that a limit is tried at.
func SourcesCSV(w io.Writer, s *Sources) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"standing", "table", "id", "what", "published", "computed", "unit", "difference", "tolerance",
		"agrees", "differs_because", "source", "section", "seen"}}
	for _, t := range s.Tables {
		for _, v := range t.Values {
			rows = append(rows, []string{t.Standing, t.ID, v.ID, v.What, v.Published, v.Computed, t.Unit,
				strconv.FormatFloat(v.Difference, 'f', -1, 64), t.Tolerance,
				strconv.FormatBool(v.Agrees), v.Because, t.Source, t.Section, t.Seen})
		}
	}
	for _, l := range s.Limits {
		for _, try := range l.Tries {
			subject := l.Subject
			for _, w := range []string{l.Class, l.Kind, l.Type} {
				if w != "" {
					subject += " " + w
				}
			}
			rows = append(rows, []string{limitTest, "", l.Rule,
				subject + ": " + l.Quantity + " " + try.Reading + " in, " + l.Condemns + " " + l.Figure + " condemns",
				try.Rule, try.Book, "", "", "", strconv.FormatBool(try.Rule == try.Book), "", l.Source, l.Rule, l.Seen})
		}
	}
	return out.WriteAll(cautioned(rows, s.Cautions))
}
