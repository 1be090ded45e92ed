package export

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/measure"
)

// Ranked is a feature of the roadmaster's list, 1 what ends most for the money.
type Ranked struct {
	Rank        int       `json:"rank"`
	Of          int       `json:"of"`
	Location    string    `json:"location"`
	Feature     string    `json:"feature"`
	Date        string    `json:"date,omitempty"` // of its readings
	Verdict     string    `json:"verdict,omitempty"`
	Check       string    `json:"check,omitempty"` // that leads
	Conflict    int       `json:"conflict"`        // pairs of the feature by verdict
	Undecided   int       `json:"undecided"`
	NotMeasured int       `json:"not_measured"`
	Clear       int       `json:"clear"`
	Readings    []Reading `json:"readings"`
	Passes      float64   `json:"passes"` // expected conflicting passes a year
	Works       []string  `json:"works"`  // ids of the plan's actions there
	CarWorks    []string  `json:"car_works"`
	Cost        float64   `json:"cost"` // of works
	Ends        int       `json:"ends"` // pairs
	EndsPasses  float64   `json:"ends_passes"`
	PerThousand *float64  `json:"ends_passes_per_thousand,omitempty"`
	// Weighed is PerThousand as passes weigh, by which the list is in order.
	Weighed *float64 `json:"ends_weighed_per_thousand,omitempty"`
	Federal []Defect `json:"federal"` // readings beyond a federal limit
}

// Defect is a reading beyond a federal limit with what answers it.
type Defect struct {
	Rule     string   `json:"rule"`
	Quantity string   `json:"quantity"`
	Reading  string   `json:"reading"`
	Limit    string   `json:"limit"`
	Action   string   `json:"action"` // of the rule
	Source   string   `json:"source"`
	Opened   string   `json:"opened,omitempty"` // date of the reading
	Answered bool     `json:"answered"`
	By       []string `json:"answered_by"` // ids of actions
	Due      string   `json:"due,omitempty"`
	Protect  string   `json:"protect,omitempty"` // what holds until then
}

func newDefect(d plan.Defect) Defect {
	return Defect{Rule: d.Rule, Quantity: d.Quantity, Reading: d.Reading, Limit: d.Limit, Action: d.Action,
		Source: d.Source, Opened: d.Opened.String(), Answered: d.Answered, By: list(d.IDs), Due: d.Due.String(),
		Protect: d.Protect}
}

// NewRanked turns a list into its JSON form; columns are how the survey reads.
func NewRanked(list []plan.Ranked, columns map[string]measure.Spec) (out []Ranked) {
	for i := range list {
		out = append(out, newRanked(&list[i], columns))
	}
	return out
}

func newRanked(x *plan.Ranked, columns map[string]measure.Spec) Ranked {
	f := x.Feature
	out := Ranked{Rank: x.Rank, Of: x.Of, Location: f.Location, Feature: f.Name(), Date: f.Date.String(),
		Conflict: x.Counts[interaction.Conflict], Undecided: x.Counts[interaction.Undecided],
		NotMeasured: x.Counts[interaction.NotMeasured], Clear: x.Counts[interaction.Clear],
		Readings: []Reading{}, Passes: Rounded(x.Passes), Works: []string{}, CarWorks: list(x.CarWorks),
		Cost: money(x.Cents), Ends: x.Ends, EndsPasses: Rounded(x.EndsPasses), Federal: []Defect{}}
	if v, ok := x.Verdict(); ok {
		out.Verdict = v.String()
	}
	if len(x.Hits) > 0 {
		out.Check = x.Hits[0].Check.ID
	}
	for _, q := range f.Measured() {
		r := f.Read(q)
		if !r.Measured() {
			continue
		}
		out.Readings = append(out.Readings, newReading(interaction.Entered{Side: "track", Quantity: q.String(),
			Reading: r, Angular: columns[q.String()].Unit == measure.Degrees}))
	}
	for _, a := range x.Works {
		out.Works = append(out.Works, a.ID)
	}
	if passes, weighed, ok := x.PerThousand(); ok {
		passes, weighed = Rounded(passes), Rounded(weighed)
		out.PerThousand, out.Weighed = &passes, &weighed
	}
	for _, d := range x.Federal {
		out.Federal = append(out.Federal, newDefect(d))
	}
	return out
}

// RankedCSV writes one row per feature; what is more than one stands in one cell, with semicolons between.
func RankedCSV(w io.Writer, list []plan.Ranked, columns map[string]measure.Spec, cautions []string) error {
	rows := [][]string{{"rank", "location", "feature", "date", "verdict", "check", "conflict", "undecided",
		"not_measured", "clear", "readings", "passes", "works", "what", "car_works", "cost", "ends", "ends_passes",
		"ends_passes_per_thousand", "ends_weighed_per_thousand", "federal"}}
	for i := range list {
		x := newRanked(&list[i], columns)
		var readings, what, federal []string
		for _, r := range x.Readings {
			readings = append(readings, r.Quantity+" "+r.AsWritten)
		}
		for _, a := range list[i].Works {
			what = append(what, a.What)
		}
		for _, l := range x.Federal {
			federal = append(federal, l.Quantity+" "+l.Reading+": "+l.Action+" ("+l.Source+")")
		}
		rows = append(rows, []string{strconv.Itoa(x.Rank), safe(x.Location), safe(x.Feature), x.Date, x.Verdict,
			x.Check,
			strconv.Itoa(x.Conflict), strconv.Itoa(x.Undecided), strconv.Itoa(x.NotMeasured), strconv.Itoa(x.Clear),
			strings.Join(readings, "; "), number(&x.Passes), strings.Join(x.Works, "; "), strings.Join(what, "; "),
			strings.Join(x.CarWorks, "; "), configs.Money(list[i].Cents), strconv.Itoa(x.Ends), number(&x.EndsPasses),
			number(x.PerThousand), number(x.Weighed), strings.Join(federal, "; ")})
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, cautions))
}
