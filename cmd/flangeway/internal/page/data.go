// Package page writes the result of a check as one HTML file for both departments to
// sign: style, script and drawings inside, nothing fetched from anywhere. It takes
// values and computes nothing.
package page

import "slices"

// Data is what a page shows. A section that is nil is absent.
type Data struct {
	Title    string
	Boxes    []Box // the head of the form
	Summary  Summary
	List     *Section // the locations, worst first
	Words    *Section // what the words mean
	Plan     *Section // the joint plan with its cost curve
	Orders   *Section // work orders
	Places   []Place  // location by location
	Wheels   *Section // wheels that conflict anywhere
	Classes  *Section // track class met
	Limits   *Section // readings beyond a limit, a table for each department
	Readings *Section // readings to take next
	Wear     *Section // when wear will bring what is clear to a conflict
	Assumed  *Section // defaults that entered
	Warnings *Section // what is odd in the sheets
	Cautions []string
	// Signers are the departments with a line to sign; none leaves the lines out.
	Signers []string
	Program string
	Hash    string // SHA-256 of the effective limits
}

// Box is one box in the head of the form: a small label and what stands in it.
type Box struct{ Label, Text string }

// Summary is the result in sentences and one small table.
type Summary struct {
	Sentences []string
	Table     *Table
}

// Section is one part of the page: words, tables, drawings, in that order.
type Section struct {
	ID       string // of the anchor; unique on the page
	Title    string
	Notes    []string
	Tables   []Table
	Drawings []Drawing
	After    []string // words behind the tables
}

// Place is one location: its risk, its worst pair drawn and explained, its tables.
type Place struct {
	ID     string
	Name   string
	Risk   string
	Notes  []string
	Worst  *Worst // nil where nothing is to explain
	Tables []Table
	After  []string
	Back   string // ID of the part that its link leads back to; "" no link
}

// Worst is the pair of a place that is drawn and explained.
type Worst struct {
	Title   string
	Drawing *Drawing
	Facts   []Fact
}

// Fact is one line of an explanation.
type Fact struct{ Label, Text string }

// Drawing is an SVG with what stands under it. SVG holds title and description and has
// its text escaped, as the draw package makes it.
type Drawing struct {
	SVG     []byte
	Caption string
}

// Table is a table of any section.
type Table struct {
	ID      string
	Caption string
	Columns []Column
	Rows    []Row
	Fixed   bool // too short or too fixed to sort and filter
}

// Wide reports whether the table needs more room than a small window has, so that its
// rows become blocks there.
func (t Table) Wide() bool {
	return len(t.Columns) > 5 && slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Typed })
}

// Column is the head of a column.
type Column struct {
	Name   string
	Number bool // right-aligned, sorts as numbers
	Typed  bool // readings as written, in the letters of a typewriter
	Head   bool // the column names its row
	Long   bool // may hold names without a blank, which are broken where they must be
}

// Row is one row of a table, a cell for each column.
type Row []Cell

// Cell is one cell. Key, where it is there, is what it sorts by.
type Cell struct {
	Text   string
	Lines  []string // further lines under the text
	Key    *float64
	Strong bool
	Link   string // the ID of a place on this page; "" none
}
