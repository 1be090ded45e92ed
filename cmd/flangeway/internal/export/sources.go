package export

import (
	"encoding/csv"
	"io"
	"strconv"

	"flangeway/interaction"
)

// SourceValue is one published value with what the program computes.
type SourceValue struct {
	ID         string  `json:"id"`
	What       string  `json:"what"`
	Published  string  `json:"published"`
	Computed   string  `json:"computed"`
	Unit       string  `json:"unit,omitempty"`
	Difference float64 `json:"difference"`
	Tolerance  float64 `json:"tolerance"`
	Agrees     bool    `json:"agrees"`
	Source     string  `json:"source"`
	Section    string  `json:"section"`
	Kind       string  `json:"kind"`
	Sure       string  `json:"sure"`
}

// SourcesJSON writes the published values as JSON.
func SourcesJSON(w io.Writer, program string, values []interaction.Published) error {
	out := struct {
		Schema  int           `json:"schema"`
		Program string        `json:"program"`
		Values  []SourceValue `json:"values"`
	}{Schema: 1, Program: program, Values: []SourceValue{}}
	for _, v := range values {
		out.Values = append(out.Values, SourceValue{v.ID, v.What, v.Published, v.Computed, v.Unit, Rounded(v.Difference), v.Tolerance, v.Agrees, v.Source, v.Section, v.Kind, v.Sure})
	}
	return writeJSON(w, out)
}

// SourcesCSV writes the published values as CSV.
func SourcesCSV(w io.Writer, values []interaction.Published) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"id", "what", "published", "computed", "unit", "difference", "tolerance", "agrees", "source", "section", "kind", "sure"}}
	for _, v := range values {
		rows = append(rows, []string{v.ID, v.What, v.Published, v.Computed, v.Unit, strconv.FormatFloat(Rounded(v.Difference), 'f', -1, 64),
			strconv.FormatFloat(v.Tolerance, 'f', -1, 64), strconv.FormatBool(v.Agrees), v.Source, v.Section, v.Kind, v.Sure})
	}
	return out.WriteAll(rows)
}
