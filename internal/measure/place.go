package measure

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// MMPerInch is the international inch in millimetres, exact.
const MMPerInch = 25.4

// Sixteenth is 1/16 inch in mm, the step in which the trade orders work.
const Sixteenth = MMPerInch / 16

// Place is where an entry stands: a file, a line and a character position, both counted from 1. A zero Line means the
// whole file. In a workbook, Sheet names the sheet, Line is its row and Col its column.
type Place struct {
	File      string
	Sheet     string
	Line, Col int
}

// Source is the file, with the sheet of a workbook behind it.
func (p Place) Source() string {
	if p.Sheet == "" {
		return p.File
	}
	return p.File + ":" + p.Sheet
}

// LineText names the line within its file: "line 5", or "row 5" of a workbook.
func (p Place) LineText() string {
	if p.Sheet != "" {
		return fmt.Sprintf("row %d", p.Line)
	}
	return fmt.Sprintf("line %d", p.Line)
}

// Short is the place to its line, file:line; in a workbook the cell, because that is what a person looks for there.
func (p Place) Short() string {
	if p.Sheet == "" {
		p.Col = 0
	}
	return p.String()
}

// String gives file:line:col, without the parts that are not known; in a workbook file:sheet!C14.
func (p Place) String() string {
	if p.Sheet != "" {
		switch {
		case p.Line == 0:
			return p.Source()
		case p.Col == 0:
			return fmt.Sprintf("%s!%d", p.Source(), p.Line)
		}
		return fmt.Sprintf("%s!%s%d", p.Source(), columnLetters(p.Col), p.Line)
	}
	switch {
	case p.Line == 0:
		return p.File
	case p.Col == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// columnLetters is a column of a workbook as its heading shows it: A, Z, AA.
func columnLetters(col int) string {
	var b []byte
	for ; col > 0; col = (col - 1) / 26 {
		b = append(b, byte('A'+(col-1)%26))
	}
	slices.Reverse(b)
	return string(b)
}

// Compare orders places by file, sheet, line and column.
func (p Place) Compare(q Place) int {
	return cmp.Or(cmp.Compare(p.File, q.File), cmp.Compare(p.Sheet, q.Sheet), cmp.Compare(p.Line, q.Line),
		cmp.Compare(p.Col, q.Col))
}

// Warning is something odd but possible in the input, with its place.
type Warning struct {
	Place Place
	Text  string
}

// SortWarnings puts warnings in the order in which they are printed.
func SortWarnings(w []Warning) {
	slices.SortStableFunc(w, func(a, b Warning) int {
		return cmp.Or(a.Place.Compare(b.Place), cmp.Compare(a.Text, b.Text))
	})
}

// Problem is one defect of the input: where it stands, in which field, what is wrong and what was expected. A defect of
// a whole file has no line: it is printed at the file's first character, because whoever reads the list by program
// expects a line and a column in each. It is an error.
type Problem struct {
	Place    Place
	Field    string
	What     string
	Expected string
}

// Error gives "file:line:col: field: what is wrong (what was expected)".
func (p *Problem) Error() string {
	place := p.Place
	if place.Line == 0 {
		place.Line, place.Col = 1, 1
	}
	var b strings.Builder
	b.WriteString(place.String() + ": " + cmp.Or(p.Field, wholeFile) + ": " + p.What)
	if p.Expected != "" {
		b.WriteString(" (" + p.Expected + ")")
	}
	return b.String()
}

// wholeFile is the field of a defect that concerns no single entry.
const wholeFile = "file"

// Problems collects defects, so that a typist sees all of them at once.
type Problems struct {
	list   []*Problem
	looked int // names that were looked for among all others
}

// mostLooked bounds a sheet full of names that are nowhere: each costs as much as there are names.
const mostLooked = 100

// Near is the known name that an unknown one is closest to, as [Nearest] finds it, of the first hundred names; "" for
// the others.
func (ps *Problems) Near(name string, known func() []string) string {
	if ps.looked++; ps.looked > mostLooked {
		return ""
	}
	return Nearest(name, known())
}

// Add appends one defect, which may be worded anew while the sheet is read on.
func (ps *Problems) Add(place Place, field, what, expected string) *Problem {
	p := &Problem{Place: place, Field: field, What: what, Expected: expected}
	ps.list = append(ps.list, p)
	return p
}

// Append takes over the defects of another list.
func (ps *Problems) Append(list ...*Problem) { ps.list = append(ps.list, list...) }

// Len is the number of defects so far.
func (ps *Problems) Len() int { return len(ps.list) }

// List is the defects so far, in the order in which they were found.
func (ps *Problems) List() []*Problem { return ps.list }

// Err is nil without defects, else a [ProblemsError] with the defects in order of file, line and column.
func (ps *Problems) Err() error {
	if len(ps.list) == 0 {
		return nil
	}
	sorted := slices.Clone(ps.list)
	slices.SortStableFunc(sorted, func(a, b *Problem) int { return a.Place.Compare(b.Place) })
	return ProblemsError(sorted)
}

// ProblemsError is every defect of an input, in order.
type ProblemsError []*Problem

// maxShown bounds what a file of a million bad rows prints.
const maxShown = 1000

// Error lists the defects one a line, the first thousand of them.
func (e ProblemsError) Error() string {
	lines := make([]string, 0, min(len(e), maxShown+1))
	for i, p := range e {
		if i == maxShown {
			lines = append(lines, fmt.Sprintf("and %d more", len(e)-maxShown))
			break
		}
		lines = append(lines, p.Error())
	}
	return strings.Join(lines, "\n")
}
