package export

import (
	"encoding/csv"
	"io"
	"strconv"

	"flangeway/cmd/flangeway/internal/cases"
)

// Cases is the JSON of sources --cases.
type Cases struct {
	Schema   int        `json:"schema"`
	Program  string     `json:"program"`
	Cases    []CaseSaid `json:"cases"`
	Cautions []string   `json:"cautions"`
}

// CaseSaid is one case with what the program says of it.
type CaseSaid struct {
	Case      string     `json:"case"`
	Folder    string     `json:"folder"`
	Title     string     `json:"title"`
	Source    string     `json:"source"`
	Read      string     `json:"read"`
	NotRead   string     `json:"not_read"`
	Concluded string     `json:"concluded"`
	Survey    string     `json:"survey"`
	Lines     []CaseLine `json:"lines"`
	Runs      []CaseRun  `json:"runs,omitempty"`
	Open      []CaseOpen `json:"open"`
}

// CaseLine is one thing that the program should say.
type CaseLine struct {
	Should string `json:"should_say"`
	Says   string `json:"says"`
	Agrees bool   `json:"agrees"`
	Awaits string `json:"awaits,omitempty"`
}

// CaseOpen is a question that cannot be answered, and the reading that is missing.
type CaseOpen struct {
	What    string `json:"what"`
	Reading string `json:"reading"`
}

// CaseRun is one truck in a curve.
type CaseRun struct {
	Curve       string   `json:"curve"`
	Speed       string   `json:"speed"`
	Flags       string   `json:"flags"`
	Unbalance   float64  `json:"unbalance_in"`
	HighLV      float64  `json:"lead_high_lv"`
	LowLV       float64  `json:"lead_low_lv"`
	Climb       *float64 `json:"climb_margin,omitempty"`
	Rollover    *float64 `json:"rollover_margin,omitempty"`
	SpreadingKN float64  `json:"spreading_kN"`
}

// NewCases turns judged cases into their JSON form.
func NewCases(program string, results []cases.Result, cautions []string) *Cases {
	out := &Cases{Schema: 1, Program: program, Cases: []CaseSaid{}, Cautions: cautions}
	for _, r := range results {
		x := CaseSaid{Case: r.ID, Folder: r.Name, Title: r.Title, Source: r.Source, Read: r.Read, NotRead: r.NotRead,
			Concluded: r.Concluded, Survey: r.Tried, Open: []CaseOpen{}}
		for _, l := range r.Lines {
			x.Lines = append(x.Lines, CaseLine{l.Says, l.Said, l.OK, l.Awaits})
		}
		for _, o := range r.Open {
			x.Open = append(x.Open, CaseOpen(o))
		}
		for _, c := range r.Ran {
			x.Runs = append(x.Runs, CaseRun{c.Of, c.At, c.Flags, c.Unbalance, c.Lead.High.LV, c.Lead.Low.LV,
				c.ClimbMargin, c.RolloverMargin, c.SpreadingKN})
		}
		out.Cases = append(out.Cases, x)
	}
	return out
}

// CasesCSV writes one row for each thing that the program should say, and one for each that it cannot answer.
func CasesCSV(w io.Writer, c *Cases) error {
	rows := [][]string{{"case", "folder", "source", "should_say", "says", "agrees", "awaits", "missing",
		"read", "not_read"}}
	for _, x := range c.Cases {
		for _, l := range x.Lines {
			rows = append(rows, []string{x.Case, x.Folder, x.Source, l.Should, l.Says, strconv.FormatBool(l.Agrees),
				l.Awaits, "", x.Read, x.NotRead})
		}
		for _, o := range x.Open {
			rows = append(rows, []string{x.Case, x.Folder, x.Source, o.What, "cannot be answered", "", "", o.Reading,
				x.Read, x.NotRead})
		}
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, c.Cautions))
}
