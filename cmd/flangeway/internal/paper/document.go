// Package paper is one page for text, markdown and HTML. A page is a Document of headings, paragraphs, facts, tables
// and drawings; what stands on it is built once and worded once, and written as plain text of 80 columns, as markdown,
// or as one HTML file that fetches nothing. The package takes values and computes nothing.
//
// # HTML
//
// One template, one style sheet and one script are embedded. A *Section that is nil is absent with its link. Every name
// as typed goes through [Name] (sentences through [Words]): one line, cut in its middle beyond 80 characters,
// characters that turn the writing shown by their number. Escaping is html/template's. The page forbids itself
// everything but its own script (a content security policy with the script's hash); without JavaScript it loses
// sorting, filtering and jumping, and nothing else. Column heads that sort are spans with a role, because Chromium
// leaves button elements blank when it repeats a head in print. In a small window (up to 64 rem for tables with
// readings, 45 rem for all) a row becomes a block whose cells name their column; table roles are written out because
// display: block takes them away in some browsers. In print a table is always a table.
package paper

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"flangeway/internal/survey"
)

// Document is a page as a list of blocks, with the head and the foot of an HTML page.
type Document struct {
	Form
	Title   string
	Boxes   []Fact // the head of the form
	Caution string // stands in the head
	Blocks
	Program string
	Hash    string         // SHA-256 of the effective limits
	Sheet   string         // what stands at the foot of every printed sheet
	Screen  Screen         // that a text page is shown on; none for a file
	Units   Units          // in which the page is written
	Survey  *survey.Survey // whose names no system of units changes; nil: none
	Spoken  bool           // columns and settings are written as people say them, not by their names
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

// measured sets the page in the units of a survey, and in the words of those who made it.
func (d *Document) measured(sv *survey.Survey) *Document {
	d.Units, d.Survey, d.Spoken = UnitsOf(sv), sv, true
	return d
}

func (d *Document) bytes() ([]byte, error) {
	if d.Units != AsBuilt {
		in := *d
		in.Units, in.Blocks = AsBuilt, d.Units.converted(d.Blocks, d.Survey)
		return in.bytes()
	}
	if d.Form == HTML {
		return d.html()
	}
	p := &printer{markdown: d.Form == Markdown, screen: d.Screen}
	p.blocks(d.inWords())
	return p.b.Bytes(), p.err
}

// Block is one part of a page.
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

// Indented is a paragraph under a line, set in from it.
type Indented struct{ Text string }

// indented is how far an Indented paragraph is set in.
const indented = "      "

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
	Long   bool // may hold names without a blank, which are broken if they must be
}

// Row is one row of a table, a cell for each column.
type Row []Cell

// Cell is one cell. Key, if it is there, is what it sorts by.
type Cell struct {
	Text   string
	Lines  []string // further lines under the text
	Key    *float64
	Strong bool
	Link   string // the ID of a place on this page; "" none
}

// Drawing is an SVG with what stands under it. SVG holds title and description and has its text escaped, as the draw
// package makes it. Only an HTML page shows it.
type Drawing struct {
	SVG     []byte
	Caption string
}

// Section is a part of the page with its title; a place is one within a section.
type Section struct {
	ID    string // of the anchor; unique on the page
	Title string
	About string // goes on behind the title if no caption says it
	Place bool
	Risk  string // of a place
	Back  string // ID of the part that a link at its end leads back to; "" no link
	Blocks
}

// Later is a section that is built when it is written and forgotten then, because a survey may have thousands of
// places.
type Later func() (*Section, error)

// Explained is a finding in facts, drawn or not.
type Explained struct {
	Title   string
	Drawing *Drawing
	Blocks  // facts
}

// Bullets is a list of sentences.
type Bullets []string

// Signatures are the departments with a line to sign.
type Signatures []string

func (Heading) block()    {}
func (Para) block()       {}
func (Line) block()       {}
func (Indented) block()   {}
func (Fact) block()       {}
func (Gap) block()        {}
func (Table) block()      {}
func (Drawing) block()    {}
func (Section) block()    {}
func (Later) block()      {}
func (Explained) block()  {}
func (Bullets) block()    {}
func (Signatures) block() {}

// Wide reports whether the table needs more room than a small window has, so that its rows become blocks there.
func (t Table) Wide() bool {
	return len(t.Columns) > 8 ||
		len(t.Columns) > 5 && slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Typed })
}

// plain is a cell on one line.
func (c Cell) plain() string {
	if len(c.Lines) == 0 {
		return c.Text
	}
	return strings.Join(append([]string{c.Text}, c.Lines...), ", ")
}

// Blocks are parts of a page in their order.
type Blocks []Block

func (b *Blocks) add(list ...Block)           { *b = append(*b, list...) }
func (b *Blocks) heading(level int, s string) { b.add(Heading{level, s}) }
func (b *Blocks) para(s string)               { b.add(Para{s}) }
func (b *Blocks) line(s string)               { b.add(Line{s}) }
func (b *Blocks) gap()                        { b.add(Gap{}) }

// item adds a fact; one without a text is none.
func (b *Blocks) item(label, s string) {
	if s != "" {
		b.add(Fact{label, s})
	}
}

// apart sets what follows apart from what stands there already.
func (b *Blocks) apart() {
	if len(*b) > 0 {
		b.gap()
	}
}

// table adds a table of plain words whose columns of these numbers hold figures; one without rows is none.
func (b *Blocks) table(heads []string, rows [][]string, figures ...int) {
	if len(rows) == 0 {
		return
	}
	t := Table{Columns: make([]Column, len(heads))}
	for i, h := range heads {
		t.Columns[i] = Column{Name: h, Number: slices.Contains(figures, i)}
	}
	for _, r := range rows {
		t.Rows = append(t.Rows, cells(r...))
	}
	b.add(t)
}

// cells is a row of plain words.
func cells(list ...string) Row {
	out := make(Row, len(list))
	for i, s := range list {
		out[i].Text = s
	}
	return out
}

func figure(n int) Cell { return ranked(fmt.Sprint(n), n) }

// ranked is a cell that sorts by a rank rather than by its letters.
func ranked(s string, rank int) Cell {
	v := float64(rank)
	return Cell{Text: s, Key: &v}
}

// lines is a cell with a line for each text.
func lines(list []string) Cell {
	if len(list) == 0 {
		return Cell{}
	}
	return Cell{Text: list[0], Lines: list[1:]}
}

// name is a name as typed, fit for the form: an HTML page shows it on one line, cut if it is long, and keeps it from
// turning the words around it.
func (f Form) name(s string) string {
	if f == HTML {
		return Name(s)
	}
	return s
}

// words is name for a sentence that may hold what was typed.
func (f Form) words(s string) string {
	if f == HTML {
		return Words(s)
	}
	return s
}

// margin is a margin or a range in the letters of the form.
func (f Form) margin(s string) string {
	if f == HTML {
		return strings.ReplaceAll(s, "+-", "±")
	}
	return s
}
