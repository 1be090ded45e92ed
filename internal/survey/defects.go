package survey

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// DefectsFile is the sheet of readings beyond a federal limit, written by the program: when each was opened, what is to
// be done by when, what protects it, and which reading of which day closed it. No verdict rests on it, so it is read
// by those commands alone that go on with it.
const DefectsFile = "defects.csv"

// Logged is a row of defects.csv.
type Logged struct {
	Where, Location string // frog/F4, wheel/CAR POSITION, axle/CAR NUMBER or truck/CAR NUMBER; a car has no location
	Rule, Quantity  string
	Found           string // the reading that opened it, as written
	Opened          measure.Date
	Remedy          string
	Due             measure.Date // zero: no day
	Protected       string
	Closed          measure.Date // zero: open
	ClosedBy        string       // the reading that closed it
	Note            string
	Place           measure.Place
	ClosedAt        measure.Place // where Closed stands
}

// Open reports whether nothing closed it yet.
func (l *Logged) Open() bool { return !l.Closed.Known() }

// loggedRow is a row while it is read: its days are compared when all of them are known.
type loggedRow struct {
	Logged
	at   map[string]measure.Place // where its days stand, and what closed it
	lost bool                     // a day cannot be read, which is told already
}

func (r *loggedRow) day(e sheet.Entry) measure.Date {
	d := e.Date()
	r.stands(e)
	r.lost = r.lost || !d.Known() && !measure.Unmeasured(e.Text())
	return d
}

// stands notes where a cell is.
func (r *loggedRow) stands(e sheet.Entry) {
	if r.at == nil {
		r.at = map[string]measure.Place{}
	}
	r.at[e.Column] = e.Place(e.Row, e.Column)
}

// loggedColumns are the columns of defects.csv in the order of the headings.
var loggedColumns = [...]routeColumn[loggedRow]{
	{sheet.Column{Name: "where", Meaning: "frog/F4 or another place, wheel/CAR POSITION, axle/CAR NUMBER"},
		func(e sheet.Entry, r *loggedRow) {
			r.Where, r.Place = plainName(need(e).name), e.Place(e.Row, e.Column)
			kind, id, ok := strings.Cut(r.Where, "/")
			if r.Where != "" && (!ok || id == "" || !strings.Contains(loggedKinds, " "+kind+" ")) {
				e.Fail(fmt.Sprintf("%q is no place, wheel or axle", measure.Short(r.Where)),
					"such as frog/F4, wheel/UP 1 L2")
			}
		}},
	{sheet.Column{Name: "location", Meaning: "the location of a place"},
		func(e sheet.Entry, r *loggedRow) { r.Location = plainName(e.Name()) }},
	{sheet.Column{Name: "rule", Meaning: "the rule that the reading is beyond, as flangeway limits names it"},
		func(e sheet.Entry, r *loggedRow) { r.Rule = plainName(need(e).name) }},
	{sheet.Column{Name: "quantity", Meaning: "the reading's column"},
		func(e sheet.Entry, r *loggedRow) { r.Quantity = e.Name() }},
	{sheet.Column{Name: "found", Meaning: "the reading that opened it"},
		func(e sheet.Entry, r *loggedRow) { r.Found = plainName(e.Name()) }},
	{sheet.Column{Name: "opened", Meaning: "the day of that reading"},
		func(e sheet.Entry, r *loggedRow) { r.Opened = r.day(e) }},
	{sheet.Column{Name: "remedy", Meaning: "what is to be done; may be written over by hand"},
		func(e sheet.Entry, r *loggedRow) { r.Remedy = plainName(e.Name()) }},
	{sheet.Column{Name: "due", Meaning: "by which day; may be written over by hand"},
		func(e sheet.Entry, r *loggedRow) { r.Due = r.day(e) }},
	{sheet.Column{Name: "protected", Meaning: "how it is protected until then, such as slow order 12; by hand"},
		func(e sheet.Entry, r *loggedRow) { r.Protected = plainName(e.Name()) }},
	{sheet.Column{Name: "closed", Meaning: "the day of the reading that closed it; the program fills it in"},
		func(e sheet.Entry, r *loggedRow) { r.Closed, r.ClosedAt = r.day(e), e.Place(e.Row, e.Column) }},
	{sheet.Column{Name: "closed_by", Meaning: "that reading; the program fills it in"},
		func(e sheet.Entry, r *loggedRow) { r.stands(e); r.ClosedBy = plainName(e.Name()) }},
	{sheet.Column{Name: "note", Meaning: "anything; by hand"},
		func(e sheet.Entry, r *loggedRow) { r.Note = plainName(e.Name()) }},
}

const loggedKinds = " frog switch curve joint spot wheel axle truck "

// plainName is a name without the apostrophe that keeps a spreadsheet from calculating it.
func plainName(s string) string {
	if len(s) > 1 && s[0] == '\'' && strings.ContainsRune("=+-@", rune(s[1])) {
		return s[1:]
	}
	return s
}

// ReadDefects reads defects.csv. The error is a [measure.ProblemsError] with every defect of it: a row that says it is
// closed and not by which reading is one, because a place goes back to service by readings.
func ReadDefects(file string, data []byte, latest measure.Date) ([]Logged, error) {
	var problems measure.Problems
	rows, _ := rowsOf(sheet.CSV(file, data), loggedColumns[:], "where", "", &problems)
	first := map[[2]string]measure.Place{}
	for i := range rows {
		r := &rows[i]
		fail := func(field, what, expected string) {
			at, ok := r.at[field]
			if !ok {
				at = r.Place
			}
			problems.Add(at, field, what, expected)
		}
		switch {
		case r.lost:
		case !r.Opened.Known():
			fail("opened", "the day is missing", "the day of the reading that opened it, such as 2026-10-31")
		case latest.Known() && r.Opened > latest:
			fail("opened", fmt.Sprintf("%s lies after %s", r.Opened, latest), "a day up to the date of the survey")
		case r.Due.Known() && r.Due < r.Opened:
			fail("due", fmt.Sprintf("%s lies before it was opened, %s", r.Due, r.Opened), "a day from then on")
		case r.Closed.Known() && r.Closed <= r.Opened:
			fail("closed", fmt.Sprintf("%s is no day after it was opened, %s", r.Closed, r.Opened),
				"the day of a later reading")
		case latest.Known() && r.Closed > latest:
			fail("closed", fmt.Sprintf("%s lies after %s", r.Closed, latest), "a day up to the date of the survey")
		case r.Closed.Known() && r.ClosedBy == "":
			fail("closed", "closed by no reading: a place goes back to service by readings, not by a tick",
				"blank until the reading stands in its sheet")
		case !r.Closed.Known() && r.ClosedBy != "":
			fail("closed_by", "a reading without its day", "the day under closed, or both blank")
		}
		key := [2]string{r.Where, r.Rule}
		if at, twice := first[key]; twice && r.Open() && r.Where != "" {
			fail("where", fmt.Sprintf("%s is open for rule %s twice", measure.Short(r.Where), measure.Short(r.Rule)),
				"one open row; the first stands in "+at.LineText())
		}
		if r.Open() {
			first[key] = r.Place
		}
	}
	if err := problems.Err(); err != nil {
		return nil, err
	}
	out := make([]Logged, len(rows))
	for i, r := range rows {
		out[i] = r.Logged
	}
	return out, nil
}

// WriteDefects is defects.csv.
func WriteDefects(list []Logged) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	var heads []string
	for _, c := range loggedColumns {
		heads = append(heads, c.Name)
	}
	rows := [][]string{heads}
	day := func(d measure.Date) string {
		if d.Known() {
			return d.String()
		}
		return ""
	}
	for _, r := range list {
		row := []string{r.Where, r.Location, r.Rule, r.Quantity, r.Found, day(r.Opened), r.Remedy, day(r.Due),
			r.Protected, day(r.Closed), r.ClosedBy, r.Note}
		for i, s := range row {
			if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
				row[i] = "'" + s // a spreadsheet would calculate it
			}
		}
		rows = append(rows, row)
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
