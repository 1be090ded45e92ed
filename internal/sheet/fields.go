package sheet

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"flangeway/internal/measure"
)

// Fields reads the cells of one sheet as words, numbers, dates and readings;
// whatever is wrong is added to Problems with its place.
type Fields struct {
	Table    *Table
	Columns  map[string]measure.Spec
	Problems *measure.Problems
	Frame
	otherDates map[string]*otherDates // by column
}

// Frame holds the folder's rules for the cells of a sheet.
type Frame struct {
	// Latest is the last day that a row can be of; the zero Date is any.
	Latest measure.Date
	// Beside says what is wrong with a file that a sheet names, "" for nothing; nil takes any name.
	Beside func(name string) string
	// Traced lays gauges on a traced file that a row of a sheet names, of a part of some make; what is what is wrong
	// with it, "" for nothing. nil takes no trace.
	Traced func(sheet, file, make string) (t Trace, what string)
}

// Trace holds the readings of a traced file under the columns of a row, and how good it is.
type Trace struct {
	Readings map[string]measure.Reading
	Quality  string
}

// Traced is the reading of the traced file that the row names under a column; ok is false without one, or if it cannot
// be used, which is a problem at the cell.
func (f *Fields) Traced(r Row, column, sheet, file, make string) (t Trace, ok bool) {
	if file == "" || f.Frame.Traced == nil {
		return t, false
	}
	t, what := f.Frame.Traced(sheet, file, make)
	if what != "" {
		f.Fail(r, column, fmt.Sprintf("%q: %s", measure.Short(file), what),
			"a traced profile that shows the whole shape")
		return t, false
	}
	return t, true
}

// Laid joins what was read with what a trace tells: the trace's reading where none was taken, else the one that was
// taken, and whether the two contradict each other.
func Laid(read, trace measure.Reading, at measure.Place) (r measure.Reading, taken, contradicts bool) {
	switch {
	case !trace.Measured():
		return read, false, false
	case !read.Measured():
		trace.Place = at
		return trace, true, false
	}
	return read, false, trace.Hi < read.Lo-measure.Near || trace.Lo > read.Hi+measure.Near
}

// Place is where the cell of a row under a column stands.
func (f *Fields) Place(r Row, column string) measure.Place {
	c := r.Cell(column)
	return f.Table.Place(c.Line, c.Col)
}

// Fail adds a problem at a cell. Of an odd cell it is silent: that it is odd is said
// already, and what follows from it helps nobody.
func (f *Fields) Fail(r Row, column, what, expected string) {
	if r.Cell(column).Odd != nil {
		return
	}
	f.Problems.Add(f.Place(r, column), column, what, expected)
}

func (f *Fields) failWith(r Row, column string, err error) {
	var fault *measure.Fault
	if errors.As(err, &fault) {
		f.Fail(r, column, fault.What, fault.Expected)
		return
	}
	f.Fail(r, column, err.Error(), "")
}

// cell is the cell of a row under a column; sound is false, and the reason reported,
// if a workbook holds something there that was not typed so.
func (f *Fields) cell(r Row, column string) (c Cell, sound bool) {
	c = r.Cell(column)
	if c.Odd != nil {
		f.Problems.Add(f.Table.Place(c.Line, c.Col), column, c.Odd.Fault.What, c.Odd.Fault.Expected)
		return Cell{Line: c.Line, Col: c.Col}, false
	}
	return c, true
}

// Text is a cell with its blanks trimmed.
func (f *Fields) Text(r Row, column string) string {
	c, _ := f.cell(r, column)
	return strings.TrimSpace(c.Text)
}

// ID is a name: trimmed, with runs of blanks joined to one.
func (f *Fields) ID(r Row, column string) string {
	c, _ := f.cell(r, column)
	if isWord(c.Text) {
		return c.Text
	}
	return strings.Join(strings.Fields(c.Text), " ")
}

// isWord reports a text of printable ASCII without blanks.
func isWord(s string) bool {
	for i := range len(s) {
		if s[i] <= ' ' || s[i] >= 0x7f {
			return false
		}
	}
	return true
}

// NeedID is ID of a cell that must not be blank.
func (f *Fields) NeedID(r Row, column string) string {
	id := f.ID(r, column)
	if measure.Unmeasured(id) {
		f.Fail(r, column, "the "+column+" is missing", "a name")
		return ""
	}
	if !isWord(id) && strings.ContainsFunc(id, unicode.IsControl) {
		f.Fail(r, column, fmt.Sprintf("%+q holds a control character", measure.Short(id)), "printable text")
		return ""
	}
	return id
}

// Name is ID of a cell that may be blank.
func (f *Fields) Name(r Row, column string) string {
	id := f.ID(r, column)
	if measure.Unmeasured(id) {
		return ""
	}
	return id
}

// File is the name of a file that lies beside the sheet; "" if the cell is blank.
func (f *Fields) File(r Row, column string) string {
	name := f.Text(r, column)
	if measure.Unmeasured(name) {
		return ""
	}
	if f.Beside != nil {
		if what := f.Beside(name); what != "" {
			f.Fail(r, column, fmt.Sprintf("%q: %s", measure.Short(name), what), "a file in the folder of the sheet")
			return ""
		}
	}
	return name
}

// Reading is the reading in a cell.
func (f *Fields) Reading(r Row, column string) measure.Reading {
	c, sound := f.cell(r, column)
	if !sound || c.Text == "" {
		return measure.Reading{}
	}
	got, err := f.Columns[column].Parse(c.Text)
	if err != nil {
		f.failWith(r, column, err)
		return measure.Reading{}
	}
	got.Place = f.Table.Place(c.Line, c.Col)
	return got
}

// Degree is the degree of curve in a cell.
func (f *Fields) Degree(r Row, column string) measure.Reading {
	c, sound := f.cell(r, column)
	if !sound {
		return measure.Reading{}
	}
	got, err := measure.ParseDegree(c.Text)
	if err != nil {
		f.failWith(r, column, err)
		return measure.Reading{}
	}
	got.Place = f.Place(r, column)
	return got
}

// Word is a cell that holds one of the allowed words, or "" if it is blank.
func (f *Fields) Word(r Row, column string, allowed ...string) string {
	return f.WordMeant(r, column, func(string) string { return "" }, allowed...)
}

// WordMeant is Word if meant gives the allowed word for others that people write, "" for none: it is named, not taken.
func (f *Fields) WordMeant(r Row, column string, meant func(string) string, allowed ...string) string {
	w := f.Text(r, column)
	if measure.Unmeasured(w) {
		return ""
	}
	if known, ok := measure.Canonical(w, allowed); ok {
		return known
	}
	expected := "one of " + strings.Join(allowed, ", ")
	if word := meant(w); word != "" {
		expected = fmt.Sprintf("write %q for it; one of %s", word, strings.Join(allowed, ", "))
	} else if near := measure.Nearest(w, allowed); near != "" {
		expected = fmt.Sprintf("did you mean %q? one of %s", near, strings.Join(allowed, ", "))
	}
	f.Fail(r, column, fmt.Sprintf("%q is not known here", measure.Short(w)), expected)
	return ""
}

// Marks are the traces seen at a wheel or a place.
type Marks struct {
	Looked bool     // else nobody looked
	Seen   []string // in the order of the words that there are
}

// Has reports whether a mark was seen.
func (m Marks) Has(word string) bool { return slices.Contains(m.Seen, word) }

// Marks are the words of a cell, separated by blanks; none is looked at and nothing seen.
func (f *Fields) Marks(r Row, column string, allowed ...string) (m Marks) {
	text := f.Text(r, column)
	if measure.Unmeasured(text) {
		return m
	}
	m.Looked = true
	if measure.LookedAt(text) {
		return m
	}
	expected := "any of " + strings.Join(allowed, ", ") + ", separated by blanks, or none"
	seen := map[string]bool{}
	for _, w := range strings.Fields(text) {
		known, ok := measure.Canonical(w, allowed)
		if !ok {
			hint := expected
			if near := measure.Nearest(w, allowed); near != "" {
				hint = fmt.Sprintf("did you mean %q? %s", near, expected)
			}
			f.Fail(r, column, fmt.Sprintf("%q is not a mark known here", measure.Short(w)), hint)
			return Marks{}
		}
		seen[known] = true
	}
	for _, w := range allowed {
		if seen[w] {
			m.Seen = append(m.Seen, w)
		}
	}
	return m
}

// Number is a plain number from low to high; ok is false if the cell is blank or wrong.
func (f *Fields) Number(r Row, column string, low, high float64, whole bool) (v float64, ok bool) {
	text := f.Text(r, column)
	if measure.Unmeasured(text) {
		return 0, false
	}
	v, ok = measure.Count(text)
	if ok && v >= low && v <= high && !(whole && v != math.Trunc(v)) {
		return v, true
	}
	kind := "a number"
	if whole {
		kind = "a whole number"
	}
	if meant := measure.CountMeant(text); meant != "" {
		kind = "write " + meant + " for it; " + kind
	}
	f.Fail(r, column, fmt.Sprintf("%q is not such a number", measure.Short(text)), fmt.Sprintf("%s from %s to %s", kind,
		strconv.FormatFloat(low, 'f', -1, 64), strconv.FormatFloat(high, 'f', -1, 64)))
	return 0, false
}

// Date is the date in a cell, or no date if it is blank. This is where a cell of
// a workbook that is typed as a date is at home.
func (f *Fields) Date(r Row, column string) measure.Date {
	text := ""
	if c := r.Cell(column); c.Odd != nil && c.Odd.Day {
		text = c.Text
	} else {
		text = f.Text(r, column)
	}
	if measure.Unmeasured(text) {
		return 0
	}
	d, err := measure.ParseDate(text)
	var fault *measure.Fault
	switch { // not through Fail, which is silent of a cell typed as a date
	case errors.As(err, &fault):
		if other, ok := measure.ParseOtherDate(text); ok {
			f.otherDate(f.Place(r, column), column, other)
			return other.Likely()
		}
		f.Problems.Add(f.Place(r, column), column, fault.What, fault.Expected)
	case f.Latest.Known() && d > f.Latest:
		f.Problems.Add(f.Place(r, column), column, fmt.Sprintf("%s lies after %s", d, f.Latest),
			"a day up to the date of the survey in railroad.yaml, else up to today")
	}
	return d
}

// otherDates is a column of dates in another order than the year first: one defect, however many rows have it.
type otherDates struct {
	problem             *measure.Problem
	first               measure.OtherDate
	rows                int
	monthFirst, dayOnce bool // a date can only be read so
}

func (f *Fields) otherDate(place measure.Place, column string, d measure.OtherDate) {
	x := f.otherDates[column]
	if x == nil {
		if f.otherDates == nil {
			f.otherDates = map[string]*otherDates{}
		}
		x = &otherDates{problem: f.Problems.Add(place, column, "", ""), first: d}
		f.otherDates[column] = x
	}
	x.rows++
	x.monthFirst = x.monthFirst || d.Second > 12
	x.dayOnce = x.dayOnce || d.First > 12 || d.Dots
	if place.Compare(x.problem.Place) < 0 {
		x.problem.Place, x.first = place, d
	}
	rows := "1 row holds a date"
	if x.rows > 1 {
		rows = fmt.Sprintf("%d rows hold dates", x.rows)
	}
	form := "YYYY-MM-DD; save the column in that form, or format it as text and type it so"
	switch {
	case x.monthFirst && x.dayOnce:
		x.problem.What = fmt.Sprintf("%s in two orders, month or day first, such as %q", rows, x.first.Text)
		x.problem.Expected = form
	case x.dayOnce:
		x.problem.What = fmt.Sprintf("%s with the day first, such as %q", rows, x.first.Text)
		x.problem.Expected = x.first.DayFirst() + " for it: " + form
	default:
		x.problem.What = fmt.Sprintf("%s in US order, such as %q", rows, x.first.Text)
		x.problem.Expected = x.first.MonthFirst() + " for it: " + form
	}
}
