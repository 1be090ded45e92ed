package sheet

import (
	"errors"
	"fmt"
	"math"
	"regexp"
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
	return measure.Place{File: f.Table.File, Line: c.Line, Col: c.Col}
}

// Fail adds a problem at a cell.
func (f *Fields) Fail(r Row, column, what, expected string) {
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

// Text is a cell with its blanks trimmed.
func (f *Fields) Text(r Row, column string) string { return strings.TrimSpace(r.Cell(column).Text) }

// ID is a name: trimmed, with runs of blanks joined to one.
func (f *Fields) ID(r Row, column string) string {
	return strings.Join(strings.Fields(r.Cell(column).Text), " ")
}

// NeedID is ID of a cell that must not be blank.
func (f *Fields) NeedID(r Row, column string) string {
	id := f.ID(r, column)
	if unmeasured(id) {
		f.Fail(r, column, "the "+column+" is missing", "a name")
		return ""
	}
	if strings.ContainsFunc(id, unicode.IsControl) {
		f.Fail(r, column, fmt.Sprintf("%+q holds a control character", cut(id)), "printable text")
		return ""
	}
	return id
}

// Reading is the reading in a cell.
func (f *Fields) Reading(r Row, column string) measure.Reading {
	c := r.Cell(column)
	if c.Text == "" {
		return measure.Reading{}
	}
	got, err := f.Columns[column].Parse(c.Text)
	if err != nil {
		f.failWith(r, column, err)
		return measure.Reading{}
	}
	got.Place = measure.Place{File: f.Table.File, Line: c.Line, Col: c.Col}
	return got
}

// Degree is the degree of curve in a cell.
func (f *Fields) Degree(r Row, column string) measure.Reading {
	got, err := measure.ParseDegree(r.Cell(column).Text)
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
	if contains(allowed, w) {
		return w
	}
	expected := "one of " + strings.Join(allowed, ", ")
	if near := measure.Nearest(w, allowed); near != "" {
		expected = fmt.Sprintf("did you mean %q? one of %s", near, strings.Join(allowed, ", "))
	}
	f.Fail(r, column, fmt.Sprintf("%q is not known here", cut(w)), expected)
	return ""
}

var reNumber = regexp.MustCompile(`^[0-9]+(\.[0-9]+)?$`)

// Number is a plain number from low to high; ok is false where the cell is blank
// or wrong.
func (f *Fields) Number(r Row, column string, low, high float64, whole bool) (v float64, ok bool) {
	text := f.Text(r, column)
	if unmeasured(text) {
		return 0, false
	}
	expected := fmt.Sprintf("a number from %g to %g", low, high)
	if whole {
		expected = fmt.Sprintf("a whole number from %g to %g", low, high)
	}
	v, err := strconv.ParseFloat(text, 64)
	if !reNumber.MatchString(text) || err != nil || !(v >= low && v <= high) || whole && v != math.Trunc(v) {
		f.Fail(r, column, fmt.Sprintf("%q is not such a number", cut(text)), expected)
		return 0, false
	}
	return v, true
}

// Date is the date in a cell, or no date where it is blank.
func (f *Fields) Date(r Row, column string) measure.Date {
	text := f.Text(r, column)
	if unmeasured(text) {
		return 0
	}
	d, err := measure.ParseDate(text)
	if err != nil {
		f.failWith(r, column, err)
	}
	return d
}
