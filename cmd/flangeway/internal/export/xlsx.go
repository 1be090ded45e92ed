package export

import (
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"flangeway/interaction/judge"
	"flangeway/internal/sheet"
)

// maxBookRows is how many rows a sheet of a workbook can have.
const maxBookRows = 1 << 20

// ErrRows says that a workbook has no room for all pairs.
var ErrRows = fmt.Errorf("a sheet of a workbook holds %d rows, and there are more findings", maxBookRows)

// XLSX writes the result of a check as a workbook: summary, risk, findings, limits, track, readings to take next,
// defaults and warnings, a sheet each. Text is text, also if it begins as a formula does; the same result gives the
// same bytes.
func XLSX(w io.Writer, in Input) error {
	if in.AllPairs && in.Result.Summary.Pairs >= maxBookRows { // the headings take a row
		return ErrRows
	}
	f := excelize.NewFile()
	defer f.Close()
	b := &book{f: f}
	r := newReport(in)
	b.summary(in, r)
	b.risks(in)
	b.findings(in)
	limits := b.sheet("limits", "rule", "set", "subject", "where", "location", "quantity", "reading", "limit",
		"verdict", "action", "note", "source", "sure", "edition", "kind")
	for _, l := range r.Limits {
		limits.row(l.Rule, l.Set, l.Subject, l.Where, l.Location, l.Quantity, l.Reading, l.Limit, l.Verdict, l.Action,
			l.Note, l.Source, l.Sure, l.Edition, l.Kind)
	}
	limits.done()
	track := b.sheet("track", "location", "feature", "class_met", "class_at_most", "not_read", "at_limit",
		"next_class_needs", "curve_speed_mph")
	for _, t := range r.Track {
		var speed any
		if t.CurveSpeed != nil {
			speed = *t.CurveSpeed
		}
		track.row(t.Location, t.Feature, t.ClassMet, t.ClassMost, strings.Join(t.NotRead, "; "), flag(t.AtLimit),
			strings.Join(t.NextNeeds, "; "), speed)
	}
	track.done()
	next := b.sheet("unsettled", "reading", "where", "pairs")
	for _, u := range r.Unsettled {
		next.row(u.Reading, u.Where, u.Pairs)
	}
	next.done()
	defaults := b.sheet("defaults_used", "setting", "value", "source", "kind")
	for _, d := range r.Defaults {
		defaults.row(d.Setting, d.Value, d.Source, d.Kind)
	}
	defaults.done()
	warnings := b.sheet("warnings", "file", "line", "text")
	for _, x := range r.Warnings {
		var line any
		if x.Line > 0 {
			line = x.Line
		}
		warnings.row(x.File, line, x.Text)
	}
	warnings.done()
	if in.Before != nil {
		changes := b.sheet("changes", "location", "feature", "check", "what", "was", "now")
		for _, c := range r.Changes {
			changes.row(c.Location, c.Feature, c.Check, c.What, c.Was, c.Now)
		}
		changes.done()
	}
	if b.err != nil {
		return b.err
	}
	bytes, err := sheet.BookBytes(f)
	if err != nil {
		return err
	}
	_, err = w.Write(bytes)
	return err
}

// book is a workbook in the making; the first error stays.
type book struct {
	f    *excelize.File
	made int
	err  error
}

// bookSheet is a sheet in the making, row by row.
type bookSheet struct {
	b    *book
	w    *excelize.StreamWriter
	next int
}

// sheet begins a sheet with its headings, which stay in view.
func (b *book) sheet(name string, heads ...string) *bookSheet {
	s := &bookSheet{b: b, next: 1}
	if b.err != nil {
		return s
	}
	if b.made == 0 {
		b.err = b.f.SetSheetName("Sheet1", name)
	} else {
		_, b.err = b.f.NewSheet(name)
	}
	b.made++
	if b.err == nil {
		s.w, b.err = b.f.NewStreamWriter(name)
	}
	for i, h := range heads {
		if b.err == nil {
			b.err = s.w.SetColWidth(i+1, i+1, columnWidth(h))
		}
	}
	if len(heads) == 0 {
		return s
	}
	if b.err == nil {
		b.err = s.w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
	}
	row := make([]any, len(heads))
	for i, h := range heads {
		row[i] = h
	}
	s.row(row...)
	return s
}

// columnWidth gives columns of sentences more room.
func columnWidth(head string) float64 {
	switch head {
	case "settle_by", "fix_wheel", "fix_track", "readings", "notes", "sources", "source", "note", "text", "action",
		"next_class_needs", "was", "now", "reason", "":
		return 40
	case "location", "where", "feature", "car", "rule":
		return 20
	}
	return float64(max(len(head)+2, 10))
}

func (s *bookSheet) row(values ...any) {
	if s.b.err != nil {
		return
	}
	if s.next > maxBookRows {
		s.b.err = ErrRows
		return
	}
	s.b.err = s.w.SetRow(fmt.Sprintf("A%d", s.next), values)
	s.next++
}

func (s *bookSheet) done() {
	if s.b.err == nil {
		s.b.err = s.w.Flush()
	}
}

func (b *book) summary(in Input, r *Report) {
	s := b.sheet("summary")
	if b.err == nil {
		b.err = s.w.SetColWidth(1, 1, 36)
	}
	for _, x := range []struct {
		name  string
		value any
	}{
		{"program", r.Program}, {"limits_sha256", r.LimitsSHA256}, {"railroad", r.Survey.Railroad},
		{"date", r.Survey.Date},
		{"cars", r.Survey.Cars}, {"wheels", r.Survey.Wheels}, {"locations", r.Survey.Locations},
		{"pairs", r.Summary.Pairs}, {"conflict", r.Summary.Conflict}, {"undecided", r.Summary.Undecided},
		{"clear", r.Summary.Clear},
		{"not measured", r.Summary.NotMeasured}, {"conflicts of a pair that no federal limit stops", r.Summary.BothLegal},
		{"conflicts caused by the place", r.Summary.ByCause.Place}, {"conflicts caused by the wheel",
			r.Summary.ByCause.Wheel},
		{"conflicts of the pair alone", r.Summary.ByCause.Pair}, {"problems", r.Summary.Problems},
		{"conflicts by the plain rule that are none as computed", in.Result.Summary.Lifted},
	} {
		s.row(x.name, x.value)
	}
	for _, c := range r.Cautions {
		s.row("caution", c)
	}
	s.done()
}

// risks are the locations, the worst first.
func (b *book) risks(in Input) {
	s := b.sheet("risk", "rank", "location", "not_known", "reason")
	for _, r := range in.Risks {
		s.row(r.Rank, r.Location, r.NotKnown, r.Reason)
	}
	s.done()
}

// findings are those of the CSV and what it has no column for. No name is made safe here: a text cell is never taken
// for a formula.
func (b *book) findings(in Input) {
	s := b.sheet("findings", append(csvHead(), "readings", "settle_by", "fix_wheel", "fix_track", "notes",
		"sources")...)
	row := func(f *judge.Finding) error {
		j := newFinding(in, f)
		s.row(f.Feature.Location, j.Check, j.Feature, j.Car, j.Position, j.Verdict, j.Cause, flag(j.Close),
			flag(j.Stale),
			cellOf(j.MarginMM), cellOf(j.MarginLoMM), cellOf(j.MarginHiMM), cellOf(j.MarginDeg), cellOf(j.MarginLoDeg),
			cellOf(j.MarginHiDeg), cellOf(j.MarginPercent), cellOf(j.MarginLoPercent), cellOf(j.MarginHiPercent),
			j.WheelWithinLimits, j.TrackWithinLimits, flag(j.AtLimit), j.WheelWithinPractice, j.TrackWithinPractice,
			j.WheelsSharing, j.PlainVerdict,
			readings(f), strings.Join(j.SettleBy, "; "), strings.Join(j.FixWheel, "; "), strings.Join(j.FixTrack, "; "),
			strings.Join(j.Notes, "; "), strings.Join(j.Sources, "; "))
		return b.err
	}
	if in.AllPairs {
		if b.err == nil {
			b.err = in.Result.Engine().EachPair(in.Result.Tallies, row)
		}
	} else {
		for _, l := range in.Places {
			for _, f := range l.Findings {
				_ = row(f) // kept in b.err
			}
		}
	}
	s.done()
}

// readings are those that a finding rests on, as written, with their places.
func readings(f *judge.Finding) string {
	var out []string
	for _, r := range f.Readings {
		text := r.Quantity + " " + r.Reading.Written
		if r.Of != "" {
			text = r.Of + "'s " + text
		}
		switch {
		case !r.Reading.Measured():
			text += "not read"
		case r.Default:
			text += " (" + r.From + ")"
		case r.Reading.Place.File != "":
			text += " (" + r.Reading.Place.Short() + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, "; ")
}

// cellOf is a number, or an empty cell.
func cellOf(v *float64) any {
	if v == nil {
		return nil
	}
	return *v
}
