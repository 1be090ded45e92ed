package export

import (
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/bulk"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	wheelbulk "flangeway/wheel/bulk"
)

// Overview is everything that check --summary prints.
type Overview struct {
	Program      string
	Survey       *survey.Survey
	Book         *limit.Book
	Overview     *bulk.Overview
	Warnings     []measure.Warning
	MoreWarnings int
	Cautions     []string
}

// CapWarnings keeps the first of the warnings, as many as of a stream, and counts the others.
func (o *Overview) CapWarnings() {
	if n := len(o.Warnings); n > wheelbulk.MaxWarnings {
		o.MoreWarnings += n - wheelbulk.MaxWarnings
		o.Warnings = o.Warnings[:wheelbulk.MaxWarnings]
	}
}

// OverviewHead is the columns of a summary.
func OverviewHead() []string {
	return []string{"location", "check", "conflict", "undecided", "clear", "not_measured", "both_legal", "worst_car",
		"worst_position", "worst_margin_mm"}
}

// OverviewCSV writes one row for each location and check.
func OverviewCSV(w io.Writer, in Overview) error {
	if _, err := io.WriteString(w, strings.Join(OverviewHead(), ",")+"\n"); err != nil {
		return err
	}
	return in.Overview.Render(func(b []byte, r *bulk.Row) []byte {
		b = appendName(b, r.Location)
		b = append(append(b, ','), r.Check.ID...)
		for _, n := range overviewCounts(r) {
			b = strconv.AppendInt(append(b, ','), int64(n), 10)
		}
		b = appendName(append(b, ','), r.Car)
		b = append(append(b, ','), r.Position.String()...)
		b = append(b, ',')
		if r.HasMargin {
			b = strconv.AppendFloat(b, Rounded(r.MarginMM), 'f', -1, 64)
		}
		return append(b, '\n')
	}, func(b []byte) error {
		_, err := w.Write(b)
		return err
	})
}

func overviewCounts(r *bulk.Row) [5]int {
	return [5]int{r.Count(interaction.Conflict), r.Count(interaction.Undecided), r.Count(interaction.Clear),
		r.Count(interaction.NotMeasured), r.BothLegal}
}

// appendName appends a name as a cell: in quotes if it needs them, as encoding/csv has it.
func appendName(b []byte, name string) []byte {
	name = safe(name)
	if !strings.ContainsAny(name, ",\"\r\n") && !strings.HasPrefix(name, " ") && name != `\.` {
		return append(b, name...)
	}
	b = append(b, '"')
	b = append(b, strings.ReplaceAll(name, `"`, `""`)...)
	return append(b, '"')
}

// OverviewRow is one row of the JSON of a summary. An absent key means unknown.
type OverviewRow struct {
	Location      string   `json:"location"`
	Check         string   `json:"check"`
	Conflict      int      `json:"conflict"`
	Undecided     int      `json:"undecided"`
	Clear         int      `json:"clear"`
	NotMeasured   int      `json:"not_measured"`
	BothLegal     int      `json:"both_legal"`
	WorstCar      string   `json:"worst_car"`
	WorstPosition string   `json:"worst_position"`
	WorstMarginMM *float64 `json:"worst_margin_mm,omitempty"`
}

// overviewReport is the JSON of a summary but for its rows.
type overviewReport struct {
	Schema       int           `json:"schema"`
	Program      string        `json:"program"`
	Plain        bool          `json:"plain"`
	LimitsSHA256 string        `json:"limits_sha256"`
	Survey       SurveyHead    `json:"survey"`
	Rows         []OverviewRow `json:"rows"`
	Warnings     []Warning     `json:"warnings"`
	MoreWarnings int           `json:"more_warnings,omitempty"`
	Cautions     []string      `json:"cautions"`
}

// OverviewJSON writes a summary. The rows are streamed.
func OverviewJSON(w io.Writer, in Overview) error {
	sv, o := in.Survey, in.Overview
	r := overviewReport{Schema: 1, Program: in.Program, Plain: true, LimitsSHA256: in.Book.SHA256(),
		Survey: SurveyHead{Railroad: sv.Railroad, Date: sv.Date.String(), Cars: o.Cars, Wheels: o.Wheels,
			Locations: o.Locations},
		Rows: []OverviewRow{}, Warnings: []Warning{}, MoreWarnings: in.MoreWarnings, Cautions: in.Cautions}
	for _, x := range in.Warnings {
		r.Warnings = append(r.Warnings, Warning{x.Place.File, x.Place.Line, x.Text})
	}
	whole, err := encode(r)
	if err != nil {
		return err
	}
	const hole = "\n \"rows\": ["
	head, tail, ok := strings.Cut(string(whole), hole)
	if !ok {
		return errSplit
	}
	b := append([]byte(head), hole...)
	some := false
	err = o.Each(func(x *bulk.Row) error {
		row := OverviewRow{Location: x.Location, Check: x.Check.ID, WorstCar: x.Car, WorstPosition: x.Position.String()}
		n := overviewCounts(x)
		row.Conflict, row.Undecided, row.Clear, row.NotMeasured, row.BothLegal = n[0], n[1], n[2], n[3], n[4]
		if x.HasMargin {
			v := Rounded(x.MarginMM)
			row.WorstMarginMM = &v
		}
		line, err := json.Marshal(row)
		if err != nil {
			return err
		}
		if some {
			b = append(b, ',')
		}
		some = true
		b = append(append(b, "\n  "...), line...)
		if len(b) > 1<<16 {
			_, err = w.Write(b)
			b = b[:0]
		}
		return err
	})
	if err != nil {
		return err
	}
	if some {
		b = append(b, "\n "...)
	}
	_, err = w.Write(append(b, tail...))
	return err
}
