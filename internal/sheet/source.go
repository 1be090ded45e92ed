package sheet

import (
	"flangeway/internal/measure"
)

// Source is a sheet that is not yet read: a CSV file, or a sheet of a workbook. Nil is an absent sheet.
type Source struct {
	// Place is the sheet as a whole, for what concerns no single line.
	Place measure.Place
	data  []byte
	book  *Workbook
}

// CSV is a CSV file; data must stay as it is until it is read.
func CSV(file string, data []byte) *Source {
	return &Source{Place: measure.Place{File: file}, data: data}
}

// Name is the sheet as a message names it: "cars.csv", or "the sheet cars".
func (s *Source) Name() string {
	if s.book != nil {
		return "the sheet " + s.Place.Sheet
	}
	return s.Place.File
}

// Sibling is how another sheet of the same form is called: "cars.csv" beside a CSV file, "sheet cars" in a workbook.
func (s *Source) Sibling(name string) string {
	if s.book != nil {
		return "sheet " + name
	}
	return name + ".csv"
}

// Read reads the sheet; see [Read].
func (s *Source) Read(known []string, problems *measure.Problems) *Table {
	if s.book != nil {
		return s.book.read(s.Place.Sheet, known, problems)
	}
	return Read(s.Place.File, s.data, known, problems)
}

// Each gives the rows of the sheet one by one, so that they need not be kept. under is called if rows can be read, with
// the headings, and gives what takes the rows, nil for nothing; a row holds until the next.
func (s *Source) Each(known []string, problems *measure.Problems, under func(*Table) func(Row)) {
	if s.book == nil {
		b := builder{table: &Table{File: s.Place.File, Heads: map[string]int{}}, known: known,
			problems: problems, under: under}
		b.scan(s.data)
		return
	}
	t := s.book.read(s.Place.Sheet, known, problems)
	if len(t.Heads) == 0 {
		return
	}
	if take := under(t); take != nil {
		for _, row := range t.Rows {
			take(row)
		}
	}
}

// Bytes are those of a CSV file; nil of a sheet of a workbook.
func (s *Source) Bytes() []byte { return s.data }
