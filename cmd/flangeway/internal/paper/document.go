// Package paper is one page for text, markdown and HTML. A page is a Document of headings,
// paragraphs, facts, tables and drawings; what stands on it is built once and worded once,
// and written as plain text of 80 columns, as markdown, or as one HTML file that fetches
// nothing. The package takes values and computes nothing.
package paper

import (
	"io"
	"slices"
	"strings"
)

// Document is a page as a list of blocks.
type Document struct {
	Blocks []Block
	Form   Form
}

// Form is the writing in which a page is given out.
type Form int

// The forms of a page.
const (
	Text Form = iota // ASCII in 80 columns, but for names, which stay as typed
	Markdown
	HTML
)

// Write writes the page in its form.
func (d *Document) Write(w io.Writer) error {
	b, err := d.bytes()
	if err != nil {
		return err
	}
	_, err = w.Write(b)
	return err
}

func (d *Document) bytes() ([]byte, error) {
	p := &printer{markdown: d.Form == Markdown}
	p.blocks(d.Blocks)
	return p.b.Bytes(), p.err
}

// Block is one part of a page: a Heading, Para, Line, Fact, Table, Drawing, Section or Gap.
type Block interface{ block() }

// Heading is a title: level 1 is the page's own.
type Heading struct {
	Level int
	Text  string
}

// Para is a paragraph, broken into lines as the page is wide.
type Para struct{ Text string }

// Line is a line that is never broken, such as a command.
type Line struct{ Text string }

// Fact is one entry of a list under a short label. Facts that follow one another are one list.
type Fact struct{ Label, Text string }

// Gap is an empty line of the text page; markdown and HTML set their blocks apart themselves.
type Gap struct{}

// Table is a table with typed columns.
type Table struct {
	ID      string
	Caption string
	Columns []Column
	Rows    []Row
	Fixed   bool // too short or too fixed to sort and filter
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

// Drawing is an SVG with what stands under it. SVG holds title and description and has
// its text escaped, as the draw package makes it. Only an HTML page shows it.
type Drawing struct {
	SVG     []byte
	Caption string
}

func (Heading) block() {}
func (Para) block()    {}
func (Line) block()    {}
func (Fact) block()    {}
func (Gap) block()     {}
func (Table) block()   {}
func (Drawing) block() {}

// Wide reports whether the table needs more room than a small window has, so that its
// rows become blocks there.
func (t Table) Wide() bool {
	return len(t.Columns) > 5 && slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Typed })
}

// plain is a cell on one line.
func (c Cell) plain() string {
	if len(c.Lines) == 0 {
		return c.Text
	}
	return strings.Join(append([]string{c.Text}, c.Lines...), ", ")
}

func (d *Document) add(b ...Block)              { d.Blocks = append(d.Blocks, b...) }
func (d *Document) heading(level int, s string) { d.add(Heading{level, s}) }
func (d *Document) para(s string)               { d.add(Para{s}) }
func (d *Document) line(s string)               { d.add(Line{s}) }
func (d *Document) item(label, s string)        { d.add(Fact{label, s}) }
func (d *Document) gap()                        { d.add(Gap{}) }

// table adds a table of plain words whose columns of these numbers hold figures; one
// without rows is none.
func (d *Document) table(heads []string, rows [][]string, figures ...int) {
	if len(rows) == 0 {
		return
	}
	t := Table{Columns: make([]Column, len(heads))}
	for i, h := range heads {
		t.Columns[i] = Column{Name: h, Number: slices.Contains(figures, i)}
	}
	for _, r := range rows {
		cells := make(Row, len(r))
		for i, c := range r {
			cells[i] = Cell{Text: c}
		}
		t.Rows = append(t.Rows, cells)
	}
	d.add(t)
}

// bullets adds a paragraph for each text, with a star before it.
func (d *Document) bullets(list []string) {
	for _, s := range list {
		d.para("* " + s)
	}
}
