package export

import (
	"encoding/csv"
	"io"

	"flangeway/interaction/plan"
)

// Since is the fate of defects and conflicts from one survey to the next.
type Since struct {
	Program, Railroad  string
	OldDay, NewDay     string // "" if a survey is not dated
	OldSum, NewSum     string
	OldPairs, NewPairs int // in conflict
	List               []plan.Followed
	Cautions           []string
}

// SinceReport is its JSON.
type SinceReport struct {
	Schema   int          `json:"schema"`
	Program  string       `json:"program"`
	Railroad string       `json:"railroad,omitempty"`
	Old      SinceSurvey  `json:"old"`
	New      SinceSurvey  `json:"new"`
	Summary  SinceSummary `json:"summary"`
	Items    []SinceItem  `json:"items"`
	Cautions []string     `json:"cautions"`
}

// SinceSurvey is one of the two surveys.
type SinceSurvey struct {
	Date         string `json:"date,omitempty"`
	SurveySHA256 string `json:"survey_sha256"`
	Conflicts    int    `json:"conflicts"`
}

// SinceSummary counts the items; what is overdue is among the others too.
type SinceSummary struct {
	New     int `json:"new"`
	Worse   int `json:"worse"`
	Closed  int `json:"closed"`
	Open    int `json:"open"`
	Overdue int `json:"overdue"`
}

// SinceItem is a defect or a conflict.
type SinceItem struct {
	Standing  string `json:"standing"` // new, worse, open, closed
	Overdue   bool   `json:"overdue,omitempty"`
	Kind      string `json:"kind"` // limit, conflict
	Location  string `json:"location,omitempty"`
	Where     string `json:"where"`
	Rule      string `json:"rule"` // or the check
	Was       string `json:"was,omitempty"`
	Now       string `json:"now,omitempty"`
	Opened    string `json:"opened,omitempty"`
	Due       string `json:"due,omitempty"`
	Protected string `json:"protected,omitempty"`
	Closed    string `json:"closed,omitempty"`
	ClosedBy  string `json:"closed_by,omitempty"`
	Why       string `json:"why,omitempty"` // what keeps it open
}

// Summary counts what became of the items.
func (s *Since) Summary() (n SinceSummary) {
	for i := range s.List {
		x := &s.List[i]
		switch x.Standing {
		case plan.New:
			n.New++
		case plan.Worse:
			n.Worse++
		case plan.Closed:
			n.Closed++
		default:
			n.Open++
		}
		if x.Overdue {
			n.Overdue++
		}
	}
	return n
}

// SinceJSON writes what became of defects and conflicts.
func SinceJSON(w io.Writer, s *Since) error {
	out := SinceReport{Schema: 1, Program: s.Program, Railroad: s.Railroad,
		Old: SinceSurvey{s.OldDay, s.OldSum, s.OldPairs}, New: SinceSurvey{s.NewDay, s.NewSum, s.NewPairs},
		Summary: s.Summary(), Items: []SinceItem{}, Cautions: s.Cautions}
	for _, x := range s.List {
		out.Items = append(out.Items, SinceItem{string(x.Standing), x.Overdue, x.Kind, x.Location, x.Where, x.Rule,
			x.Was, x.Now, day(x.Opened), day(x.Due), x.Protected, day(x.Closed), x.ClosedBy, x.Why})
	}
	return JSON(w, out)
}

// SinceCSV writes a row an item.
func SinceCSV(w io.Writer, s *Since) error {
	rows := [][]string{{"standing", "overdue", "kind", "location", "where", "rule", "was", "now", "opened", "due",
		"protected", "closed", "closed_by", "why"}}
	for _, x := range s.List {
		rows = append(rows,
			[]string{string(x.Standing), flag(x.Overdue), x.Kind, safe(x.Location), safe(x.Where), safe(x.Rule), x.Was,
				x.Now, day(x.Opened), day(x.Due), safe(x.Protected), day(x.Closed), safe(x.ClosedBy), safe(x.Why)})
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, s.Cautions))
}
