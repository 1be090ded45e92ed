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

// unmeasured reports the marks of a blank cell.
func unmeasured(text string) bool { return text == "" || text == "-" || text == "n/m" }

// cell is the cell of a row under a column; sound is false, and the reason reported,
// where a workbook holds something there that was not typed so.
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
	if unmeasured(id) {
		f.Fail(r, column, "the "+column+" is missing", "a name")
		return ""
	}
	if !isWord(id) && strings.ContainsFunc(id, unicode.IsControl) {
		f.Fail(r, column, fmt.Sprintf("%+q holds a control character", measure.Short(id)), "printable text")
		return ""
	}
	return id
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

// Word is a cell that holds one of the allowed words, or "" where it is blank.
func (f *Fields) Word(r Row, column string, allowed ...string) string {
	w := f.Text(r, column)
	if unmeasured(w) {
		return ""
	}
	if slices.Contains(allowed, w) {
		return w
	}
	expected := "one of " + strings.Join(allowed, ", ")
	if near := measure.Nearest(w, allowed); near != "" {
		expected = fmt.Sprintf("did you mean %q? one of %s", near, strings.Join(allowed, ", "))
	}
	f.Fail(r, column, fmt.Sprintf("%q is not known here", measure.Short(w)), expected)
	return ""
}

// Number is a plain number from low to high; ok is false where the cell is blank
// or wrong.
func (f *Fields) Number(r Row, column string, low, high float64, whole bool) (v float64, ok bool) {
	text := f.Text(r, column)
	if unmeasured(text) {
		return 0, false
	}
	v, ok = measure.Decimal(text)
	if ok && v >= low && v <= high && !(whole && v != math.Trunc(v)) {
		return v, true
	}
	kind := "a number"
	if whole {
		kind = "a whole number"
	}
	f.Fail(r, column, fmt.Sprintf("%q is not such a number", measure.Short(text)),
		fmt.Sprintf("%s from %s to %s", kind, strconv.FormatFloat(low, 'f', -1, 64), strconv.FormatFloat(high, 'f', -1, 64)))
	return 0, false
}

// Date is the date in a cell, or no date where it is blank. This is where a cell of
// a workbook that is typed as a date is at home.
func (f *Fields) Date(r Row, column string) measure.Date {
	text := ""
	if c := r.Cell(column); c.Odd != nil && c.Odd.Day {
		text = c.Text
	} else {
		text = f.Text(r, column)
	}
	if unmeasured(text) {
		return 0
	}
	d, err := measure.ParseDate(text)
	var fault *measure.Fault
	if errors.As(err, &fault) { // not through Fail, which is silent of a cell typed as a date
		f.Problems.Add(f.Place(r, column), column, fault.What, fault.Expected)
	}
	return d
}
