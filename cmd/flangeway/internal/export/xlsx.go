package export

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/internal/limit"
	"flangeway/internal/sheet"
)

// maxBookRows is how many rows a sheet of a workbook can have.
const maxBookRows = 1 << 20

// ErrRows says that a workbook has no room for all pairs.
var ErrRows = fmt.Errorf("a sheet of a workbook holds %d rows, and there are more findings", maxBookRows)

// XLSX writes the result of a check as a workbook: summary with the places, findings with the worst first, readings
// beyond or at a limit, track, readings to take next, the plan and its orders if there is one, defaults and warnings,
// a sheet each. Sheets print in landscape on the width of a page with their heads on each; what is long prints as far
// as it decides. Text is text, also if it begins as a formula does; the same result gives the same bytes.
//
// name stands at the foot of each printed page; words writes a text as people say it, columns not by their names.
func XLSX(w io.Writer, in Input, name string, words func(string) string) error {
	if in.AllPairs && in.Result.Summary.Pairs >= maxBookRows { // the headings take a row
		return ErrRows
	}
	f := excelize.NewFile()
	defer f.Close()
	b, err := newBook(f)
	if err != nil {
		return err
	}
	b.name, b.words = name, words
	r := newReport(in)
	b.summary(in, r)
	b.findings(in)
	b.limits(r)
	b.track(r)
	next := b.sheet("unsettled", onePage, "reading", "where", "pairs")
	next.most = printedNext
	for _, u := range r.Unsettled {
		next.row(u.Reading, u.Where, u.Pairs)
	}
	next.done()
	if in.Plan != nil {
		b.plan(in.Plan)
		b.orders(in.Orders, in.Sheet)
	}
	defaults := b.sheet("defaults_used", onePage, "setting", "value", "source", "kind")
	for _, d := range r.Defaults {
		defaults.row(d.Setting, d.Value, d.Source, d.Kind)
	}
	defaults.done()
	warnings := b.sheet("warnings", onePage, "file", "line", "text")
	for _, x := range r.Warnings {
		var line any
		if x.Line > 0 {
			line = x.Line
		}
		warnings.row(x.File, line, x.Text)
	}
	warnings.done()
	if in.Before != nil {
		changes := b.sheet("changes", 0, "location", "feature", "check", "what", "was", "now")
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

// How a sheet is fitted when it is printed: on so many pages, 0 as many as it takes.
const (
	onePage  = 1
	twoPages = 2
)

// What of a long sheet is printed; the whole of it stands on the screen.
const (
	printedNext     = 45
	printedFindings = 90
	printedLimits   = 60
)

// book is a workbook in the making; the first error stays.
type book struct {
	f          *excelize.File
	head, text int // styles
	// whole and part are those of numbers, whole with its thousands apart, left that of a whole one behind its name.
	whole, part, left int
	made              int
	name              string
	words             func(string) string
	err               error
}

func newBook(f *excelize.File) (*book, error) {
	b := &book{f: f}
	var err error
	b.head, err = f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true},
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "center"},
		Border:    []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}})
	if err != nil {
		return nil, err
	}
	const thousandsApart, hundredths = 3, 4 // of the formats that every spreadsheet knows
	for _, x := range []struct {
		style  *int
		format int
		at     excelize.Alignment
	}{{&b.text, 0, excelize.Alignment{WrapText: true, Vertical: "top"}},
		{&b.whole, thousandsApart, excelize.Alignment{Horizontal: "right", Indent: 1, Vertical: "top"}},
		{&b.part, hundredths, excelize.Alignment{Horizontal: "right", Indent: 1, Vertical: "top"}},
		{&b.left, thousandsApart, excelize.Alignment{Horizontal: "left", Vertical: "top"}}} {
		if *x.style, err = f.NewStyle(&excelize.Style{NumFmt: x.format, Alignment: &x.at}); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// bookSheet is a sheet in the making, row by row.
type bookSheet struct {
	b       *book
	w       *excelize.StreamWriter
	name    string
	heads   int
	next    int
	most    int // rows that are printed; 0 all
	columns int // that are printed; 0 all
	widths  []float64
}

// sheet begins a sheet with its headings, which stay in view and head every printed page.
func (b *book) sheet(name string, pages int, heads ...string) *bookSheet {
	s := &bookSheet{b: b, name: name, heads: len(heads), next: 1}
	if b.err != nil {
		return s
	}
	if b.made == 0 {
		b.err = b.f.SetSheetName("Sheet1", name)
	} else {
		_, b.err = b.f.NewSheet(name)
	}
	b.made++
	b.laidOut(name, pages)
	if b.err == nil {
		s.w, b.err = b.f.NewStreamWriter(name)
	}
	for i, h := range heads {
		s.widths = append(s.widths, columnWidth(h))
		if b.err == nil {
			b.err = s.w.SetColWidth(i+1, i+1, s.widths[i])
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
		row[i] = excelize.Cell{StyleID: b.head, Value: strings.ReplaceAll(h, "_", " ")}
	}
	s.row(row...)
	return s
}

// laidOut sets how a sheet prints: letter, landscape, as wide as the page, with its name and the page at the foot.
func (b *book) laidOut(name string, pages int) {
	const letter = 1
	fit, wide, size, landscape := true, 1, letter, "landscape"
	side, top := 0.4, 0.5
	for _, set := range []func() error{
		func() error { return b.f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}) },
		func() error {
			return b.f.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &size, Orientation: &landscape,
				FitToWidth: &wide, FitToHeight: &pages})
		},
		func() error {
			return b.f.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &top,
				Bottom: &top, Header: &side, Footer: &side})
		},
		func() error {
			return b.f.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: "&L&A: " + footText(b.name) +
				"&Rpage &P of &N"})
		},
	} {
		if b.err == nil {
			b.err = set()
		}
	}
}

// footText is a text at the foot of a sheet, where & begins a code and no more than 255 letters are taken.
func footText(s string) string {
	if r := []rune(s); len(r) > 100 {
		s = string(r[:100])
	}
	return strings.ReplaceAll(s, "&", "&&")
}

// columnWidth gives columns of sentences more room.
func columnWidth(head string) float64 {
	switch head {
	case "what_to_do", "readings", "reason", "text", "source":
		return 58
	case "work", "final_readings":
		return 52
	case "what_hits", "because":
		return 30
	case "settle_by", "fix_wheel", "fix_track", "notes", "sources", "note", "action",
		"next_class_needs", "was", "now", "value", "":
		return 40
	case "location", "where", "rule", "limit", "not_read", "read_after", "done_by", "quantity":
		return 20
	case "setting":
		return 26
	case "feature", "car", "margin":
		return 13
	case "id":
		return 16
	case "crew":
		return 14
	}
	return float64(max(len(head)+2, 8))
}

func (s *bookSheet) row(values ...any) {
	if s.b.err != nil {
		return
	}
	if s.next > maxBookRows {
		s.b.err = ErrRows
		return
	}
	lines := 1
	for i, v := range values {
		if text, ok := v.(string); ok && (s.columns == 0 || i < s.columns) { // what follows is as in the CSV
			text = s.b.words(text)
			if v = text; i < len(s.widths) {
				lines = max(lines, linesOf(text, s.widths[i]))
			}
		}
		style := s.b.text
		switch v.(type) {
		case nil, excelize.Cell:
			continue
		case int, int64:
			if style = s.b.whole; s.heads == 0 {
				style = s.b.left
			}
		case float64:
			style = s.b.part
		}
		values[i] = excelize.Cell{StyleID: style, Value: v}
	}
	s.b.err = s.w.SetRow(fmt.Sprintf("A%d", s.next), values,
		excelize.RowOpts{Height: lineHeight * float64(min(lines, mostLines))})
	s.next++
}

// A row is as high as its cells need that are printed, in points; no spreadsheet finds that by itself.
const (
	lineHeight = 15
	mostLines  = 27 // a row is at most 409 points high
)

// linesOf is how many lines a text takes in a column, its words unbroken.
func linesOf(text string, width float64) int {
	lines, at := 1, 0.0
	for _, word := range strings.Fields(text) {
		n := float64(utf8.RuneCountInString(word) + 1)
		if at+n > width && at > 0 {
			lines, at = lines+1, 0
		}
		for at += n; at > width+1; at -= width {
			lines++
		}
	}
	return lines
}

// done ends a sheet: it can be filtered, its heads stand on every printed page, and what is printed is bounded.
func (s *bookSheet) done() {
	rows := s.next - 1
	if s.b.err == nil && s.heads > 0 && rows > 1 {
		last, err := excelize.CoordinatesToCellName(s.heads, rows)
		if err == nil {
			err = s.b.f.AutoFilter(s.name, "A1:"+last, nil)
		}
		s.b.err = err
	}
	if s.b.err == nil {
		s.b.err = s.w.Flush()
	}
	if s.heads == 0 {
		return
	}
	s.named("_xlnm.Print_Titles", "$1:$1")
	columns := s.heads
	if s.columns > 0 {
		columns = s.columns
	}
	if s.most > 0 {
		rows = min(rows, s.most+1)
	}
	if last, err := excelize.ColumnNumberToName(columns); err == nil && (s.columns > 0 || s.most > 0) {
		s.named("_xlnm.Print_Area", fmt.Sprintf("$A$1:$%s$%d", last, max(rows, 2)))
	}
}

func (s *bookSheet) named(name, cells string) {
	if s.b.err == nil {
		s.b.err = s.b.f.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: "'" + s.name + "'!" + cells,
			Scope: s.name})
	}
}

func (b *book) summary(in Input, r *Report) {
	s := b.sheet("summary", onePage)
	if b.err == nil {
		b.err = s.w.SetColWidth(1, 1, 36)
	}
	if b.err == nil {
		b.err = s.w.SetColWidth(2, 2, 90)
	}
	s.widths = []float64{36, 90}
	for _, x := range []struct {
		name  string
		value any
	}{
		{"program", r.Program}, {"survey, SHA-256", r.SurveySHA256}, {"limits, SHA-256", r.LimitsSHA256},
		{"railroad", r.Survey.Railroad},
		{"date", r.Survey.Date},
		{"cars", r.Survey.Cars}, {"wheels", r.Survey.Wheels}, {"locations", r.Survey.Locations},
		{"pairs", r.Summary.Pairs}, {"conflict", r.Summary.Conflict}, {"undecided", r.Summary.Undecided},
		{"clear", r.Summary.Clear},
		{"not measured", r.Summary.NotMeasured},
		{"conflicts of a pair that no federal limit stops", r.Summary.BothLegal},
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
	for _, x := range in.Risks { // the worst first
		s.row(fmt.Sprintf("%d of %d: %s", x.Rank, x.Of, x.Location), x.Reason)
	}
	s.done()
}

// findingHead begins with what a reader decides by, as far as it is printed; what follows is the rest of the CSV.
func findingHead() []string {
	return []string{"verdict", "location", "feature", "what_hits", "car", "position", "margin", "margin_mm",
		"readings", "what_to_do"}
}

// restHead are the columns of the CSV that do not stand before.
func restHead() (out []string) {
	for _, h := range csvHead() {
		if !slices.Contains(findingHead(), h) {
			out = append(out, h)
		}
	}
	return out
}

// findings are those of the CSV and what it has no column for, the worst first but in a list of all pairs. No name is
// made safe here: a text cell is never taken for a formula.
func (b *book) findings(in Input) {
	s := b.sheet("findings", 0, append(append(findingHead(), restHead()...), "settle_by", "fix_wheel", "fix_track",
		"notes", "sources")...)
	s.columns, s.most = len(findingHead()), printedFindings
	hits, open := 0, 0 // conflicts, and undecided pairs
	row := func(f *judge.Finding) error {
		j := newFinding(f)
		switch f.Verdict {
		case interaction.Conflict:
			hits++
		case interaction.Undecided:
			open++
		}
		cells := map[string]any{"location": f.Feature.Location, "check": j.Check, "feature": j.Feature,
			"car": j.Car, "position": j.Position, "verdict": j.Verdict, "cause": j.Cause, "close": flag(j.Close),
			"stale": flag(j.Stale), "margin_mm": cellOf(j.MarginMM), "margin_lo_mm": cellOf(j.MarginLoMM),
			"margin_hi_mm": cellOf(j.MarginHiMM), "margin_deg": cellOf(j.MarginDeg),
			"margin_lo_deg": cellOf(j.MarginLoDeg), "margin_hi_deg": cellOf(j.MarginHiDeg),
			"margin_percent": cellOf(j.MarginPercent), "margin_lo_percent": cellOf(j.MarginLoPercent),
			"margin_hi_percent": cellOf(j.MarginHiPercent), "wheel_within_limits": j.WheelWithinLimits,
			"track_within_limits": j.TrackWithinLimits, "at_limit": flag(j.AtLimit),
			"wheel_within_practice": j.WheelWithinPractice, "track_within_practice": j.TrackWithinPractice,
			"wheels_sharing": j.WheelsSharing, "plain_verdict": j.PlainVerdict, "what_hits": "",
			"margin": marginInches(f), "readings": readings(f), "what_to_do": toDo(j)}
		if f.Verdict <= interaction.Undecided {
			cells["what_hits"] = f.Check.Happens
		}
		values := each.Of(append(findingHead(), restHead()...), func(h string) any { return cells[h] })
		s.row(append(values, strings.Join(j.SettleBy, "; "), strings.Join(j.FixWheel, "; "),
			strings.Join(j.FixTrack, "; "), strings.Join(j.Notes, "; "), strings.Join(j.Sources, "; "))...)
		return b.err
	}
	if in.AllPairs {
		if b.err == nil {
			b.err = in.Result.Engine().EachPair(in.Result.Tallies, row)
		}
	} else {
		for _, f := range worstFirst(in) {
			_ = row(f) // kept in b.err
		}
		if s.most = min(hits, printedFindings); hits == 0 {
			s.most = max(1, min(open, printedFindings))
		}
	}
	s.done()
}

// worstFirst are the findings by verdict, then by the rank of their places.
func worstFirst(in Input) (out []*judge.Finding) {
	rank := map[string]int{}
	for _, r := range in.Risks {
		rank[r.Location] = r.Rank
	}
	for _, l := range in.Places {
		out = append(out, l.Findings...)
	}
	slices.SortStableFunc(out, func(a, b *judge.Finding) int {
		return cmp.Or(cmp.Compare(a.Verdict, b.Verdict),
			cmp.Compare(rank[a.Feature.Location], rank[b.Feature.Location]))
	})
	return out
}

// marginInches is the margin in inches, or in its own unit if it is none of length.
func marginInches(f *judge.Finding) string {
	m := f.Margin
	write := interaction.Inches
	switch {
	case m.Degrees:
		write = func(v float64) string { return fmt.Sprintf("%+.1f deg", v) }
	case m.Percent:
		write = func(v float64) string { return fmt.Sprintf("%+.1f percent", v) }
	case m.Metric:
		write = func(v float64) string { return fmt.Sprintf("%+.2f mm", v) }
	}
	switch {
	case m.As != nil:
		return write(*m.As)
	case m.Lo != nil && m.Hi != nil:
		return write(*m.Lo) + " to " + write(*m.Hi)
	case m.Lo != nil:
		return "at least " + write(*m.Lo)
	case m.Hi != nil:
		return "at most " + write(*m.Hi)
	}
	return ""
}

// toDo lists the works that mend a finding on either side, or the readings that settle it.
func toDo(j Finding) string {
	var out []string
	for _, x := range []struct {
		name string
		list []string
	}{{"track", j.FixTrack}, {"wheel", j.FixWheel}, {"settle", j.SettleBy}} {
		if len(x.list) > 0 && (x.name != "settle" || len(out) == 0) {
			out = append(out, x.name+": "+x.list[0])
		}
	}
	return strings.Join(out, "; ")
}

// limits are the readings beyond a limit or at one, those of regulations first.
func (b *book) limits(r *Report) {
	s := b.sheet("limits", 0, "verdict", "where", "location", "quantity", "reading", "limit", "action", "rule",
		"source", "kind", "set", "subject", "note", "sure", "edition")
	s.columns, s.most = 8, printedLimits
	var list []Limit
	rules := 0 // readings beyond a regulation
	for _, l := range r.Limits {
		if l.Verdict == string(limit.Beyond) || l.Verdict == string(limit.Straddles) {
			list = append(list, l)
			if l.Kind == "regulation" && l.Verdict == string(limit.Beyond) {
				rules++
			}
		}
	}
	if rules > 0 { // a warning of practice stands on the screen
		s.most = min(rules, printedLimits)
	}
	slices.SortStableFunc(list, func(a, b Limit) int {
		rank := func(l Limit) int {
			n := 0
			if l.Verdict != string(limit.Beyond) {
				n = 2
			}
			if l.Kind != "regulation" {
				n++
			}
			return n
		}
		return cmp.Compare(rank(a), rank(b))
	})
	for _, l := range list {
		s.row(l.Verdict, l.Where, l.Location, l.Quantity, l.Reading, l.Limit, l.Action, l.Rule, l.Source, l.Kind, l.Set,
			l.Subject, l.Note, l.Sure, l.Edition)
	}
	s.done()
}

func (b *book) track(r *Report) {
	s := b.sheet("track", onePage, "location", "feature", "class_met", "class_at_most", "not_read", "at_limit",
		"next_class_needs", "curve_speed_mph")
	for _, t := range r.Track {
		var speed any
		if t.CurveSpeed != nil {
			speed = *t.CurveSpeed
		}
		s.row(t.Location, t.Feature, t.ClassMet, t.ClassMost, strings.Join(t.NotRead, "; "), flag(t.AtLimit),
			strings.Join(t.NextNeeds, "; "), speed)
	}
	s.done()
}

// plan is every action of the plan, in its order; cars that are kept off a place are one row, where the first stands.
func (b *book) plan(p *plan.Plan) {
	s := b.sheet("plan", onePage, "id", "side", "location", "where", "work", "cost", "crew_days", "ends", "because")
	held := map[string][]plan.Action{}
	for _, a := range p.Actions {
		if a.Effect == plan.Holds && a.At != "" {
			held[a.At] = append(held[a.At], a)
		}
	}
	for _, a := range p.Actions {
		if a.Effect != plan.Holds || a.At == "" {
			s.row(a.ID, a.Side, a.Location, a.Where, a.What, money(a.Cents), float64(a.Millis)/1000, a.Removes,
				strings.Join(p.Because(a), "; "))
			continue
		}
		list := held[a.At]
		if len(list) == 0 || list[0].ID != a.ID {
			continue
		}
		var ids, cars, because []string
		cents, ends := int64(0), 0
		for _, x := range list {
			ids, cars = append(ids, x.ID), append(cars, strings.TrimPrefix(x.Where, "car/"))
			cents, ends = cents+x.Cents, ends+x.Removes
			because = append(because, p.Because(x)...)
		}
		slices.Sort(because)
		s.row(strings.Join(ids, ", "), a.Side, a.Location, a.At, "keep off: "+strings.Join(cars, "; "), money(cents),
			0.0, ends, strings.Join(slices.Compact(because), "; "))
	}
	s.row("", "", "", "", "all of it, in "+p.Currency, money(p.Cents), float64(p.Millis)/1000)
	s.done()
}

// orders are the works by crew in travel order, cars that are kept off a place as one, with room to write in.
func (b *book) orders(crews []plan.Order, lines []plan.CarLine) {
	s := b.sheet("orders", twoPages, "crew", "location", "where", "id", "work", "final_readings", "read_after",
		"done_by", "date")
	for _, o := range crews {
		var held *plan.Item
		var ids, cars []string
		flush := func() {
			if held != nil {
				s.row(o.Crew, held.Location, held.At, strings.Join(ids, ", "), "keep off: "+strings.Join(cars, "; "))
			}
			held, ids, cars = nil, nil, nil
		}
		for _, i := range o.Items {
			if i.Effect != plan.Holds || i.At == "" {
				flush()
				s.row(o.Crew, i.Location, i.Where, i.ID, i.What, strings.Join(i.Final, "; "))
				continue
			}
			if held != nil && held.At != i.At {
				flush()
			}
			held, ids, cars = &i, append(ids, i.ID), append(cars, strings.TrimPrefix(i.Where, "car/"))
		}
		flush()
	}
	for i := 0; i < len(lines); i++ {
		l := lines[i]
		if l.Position == "" {
			continue
		}
		id, where, work := l.ID, l.Car+" "+l.Position, l.Do
		if i+1 < len(lines) && lines[i+1].Car == l.Car &&
			lines[i+1].Position[min(1, len(lines[i+1].Position)):] == l.Position[1:] {
			i++ // the mate: a wheelset is one row
			_, own, _ := strings.Cut(l.Do, ": ")
			_, how, _ := strings.Cut(lines[i].Do, ": ")
			id, where = id+", "+lines[i].ID, where+", "+lines[i].Position
			if own != how {
				work = l.Position + ": " + work + "; " + lines[i].Position + ": " + how
			}
		}
		s.row("cars", "", where, id, work)
	}
	s.done()
}

// readings are those that a finding rests on, as written, with their places.
func readings(f *judge.Finding) string {
	var out []string
	for _, r := range f.Readings {
		text := r.Quantity + " " + r.Reading.Written
		if r.Reading.Measured() && !r.Angular && !r.Figure && !strings.Contains(r.Reading.Written, "mm") &&
			r.Quantity != "tread_hollow" {
			text += fmt.Sprintf(" = %.1f mm", r.Reading.As)
		}
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
