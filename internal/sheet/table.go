package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"flangeway/internal/measure"
)

// Table is a whole sheet under its headings.
type Table struct {
	File  string
	Name  string         // of the sheet in a workbook
	Heads map[string]int // heading → index into a row
	Rows  []Row
}

// Row is the cells of one row, as many as there are headings.
type Row struct {
	Line  int
	cells []Cell
	heads map[string]int
}

// Cell is the row's cell under a heading; blank if the sheet has no such column.
func (r Row) Cell(column string) Cell {
	i, ok := r.heads[column]
	if !ok {
		return Cell{Line: r.Line}
	}
	return r.cells[i]
}

// Has reports whether the sheet has the column at all.
func (t *Table) Has(column string) bool {
	_, ok := t.Heads[column]
	return ok
}

// Place is a line and column of the table's file.
func (t *Table) Place(line, col int) measure.Place {
	return measure.Place{File: t.File, Sheet: t.Name, Line: line, Col: col}
}

// Read reads a sheet whose columns may stand in any order. A heading that is not in known, a heading twice, a row with
// another number of cells and whatever stops the scanner are added to problems; the rows that can be read are returned
// nevertheless. A file without a heading line is a problem too.
func Read(file string, data []byte, known []string, problems *measure.Problems) *Table {
	b := builder{table: &Table{File: file, Heads: map[string]int{}}, known: known, problems: problems}
	b.scan(data)
	return b.table
}

// builder takes the rows of a sheet, of whatever kind, into a table.
type builder struct {
	table    *Table
	known    []string
	problems *measure.Problems
	heads    []Cell
	// ragged rows of a workbook end at their last cell and are as long as the headings nevertheless.
	ragged bool
	room   []Cell // for the next rows
	// under gives what takes the rows under the headings, nil for nothing; if there is none the table keeps them.
	under func(*Table) func(Row)
	take  func(Row)
}

// scan takes the rows of a CSV file.
func (b *builder) scan(data []byte) {
	sc := NewScanner(data, DefaultLimits)
	for sc.Scan() {
		if !b.add(sc.Row()) {
			return
		}
	}
	if err := sc.Err(); err != nil {
		var se *ScanError
		errors.As(err, &se)
		b.problems.Add(b.table.Place(se.Line, se.Col), "row", se.Err.Error(), scanHint(se.Err))
		return
	}
	b.end()
}

// add takes the next row, which may be overwritten afterwards; false if nothing behind it can be read.
func (b *builder) add(row []Cell) bool {
	if b.heads == nil {
		if strings.HasPrefix(strings.TrimSpace(row[0].Text), "#") || blank(row) {
			return true
		}
		b.heads = append([]Cell(nil), row...)
		if !b.table.headings(b.heads, b.known, b.problems) {
			return false
		}
		if b.under != nil {
			b.take = b.under(b.table)
		}
		return true
	}
	if blank(row) {
		return true
	}
	cells, ok := b.table.fit(row, b.heads, b.ragged, b.problems)
	switch {
	case !ok:
	case b.take != nil:
		b.take(Row{Line: row[0].Line, cells: cells, heads: b.table.Heads})
	case b.under == nil:
		if len(b.room) < len(cells) {
			b.room = make([]Cell, max(len(cells), cellsAtOnce))
		}
		n := copy(b.room, cells)
		b.table.Rows = append(b.table.Rows, Row{Line: row[0].Line, cells: b.room[:n:n], heads: b.table.Heads})
		b.room = b.room[n:]
	}
	return true
}

// end reports a sheet without headings.
func (b *builder) end() {
	if b.heads == nil {
		b.problems.Add(b.table.Place(1, 1), "heading", "there is no heading line",
			"a first line with the column names: "+strings.Join(b.known, ","))
	}
}

func scanHint(err error) string {
	switch {
	case errors.Is(err, ErrNotUTF8):
		return "save the sheet as CSV UTF-8"
	case errors.Is(err, ErrOpenQuote):
		return "a closing quote; an inch mark inside a quoted cell is doubled"
	case errors.Is(err, ErrAfterQuote):
		return "a comma or the line's end; an inch mark inside a quoted cell is doubled"
	case errors.Is(err, ErrNUL):
		return "a text file; save the sheet as CSV UTF-8"
	}
	return ""
}

func blank(row []Cell) bool {
	return !slices.ContainsFunc(row, func(c Cell) bool { return strings.TrimSpace(c.Text) != "" || c.Odd != nil })
}

// headings checks the heading line and reports whether the rows can be read under it.
func (t *Table) headings(heads []Cell, known []string, problems *measure.Problems) bool {
	place := func(c Cell) measure.Place { return t.Place(c.Line, c.Col) }
	if len(heads) == 1 && strings.Count(heads[0].Text, ";") >= 1 {
		problems.Add(place(heads[0]), "heading", "the cells are separated by semicolons",
			"commas; export the sheet as comma-separated CSV")
		return false
	}
	if len(heads) == 1 && strings.Count(heads[0].Text, "\t") >= 1 {
		problems.Add(place(heads[0]), "heading", "the cells are separated by tabs",
			"commas; export the sheet as comma-separated CSV")
		return false
	}
	for _, h := range heads {
		if strings.Contains(h.Text, "\r") {
			problems.Add(place(h), "heading", "a bare carriage return in the heading line",
				"lines that end in a line feed; save the sheet as CSV UTF-8")
			return false
		}
	}
	ok := true
	for i, h := range heads {
		if h.Odd != nil {
			problems.Add(place(h), "heading", h.Odd.Fault.What, h.Odd.Fault.Expected)
			ok = false
			continue
		}
		name := strings.TrimSpace(h.Text)
		if name == "" {
			continue // a spreadsheet's empty last column; fit refuses text under it
		}
		if !slices.Contains(known, name) {
			hint := "one of " + strings.Join(known, ", ")
			if near := measure.Nearest(name, known); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			problems.Add(place(h), "heading",
				fmt.Sprintf("%q is not a column of this sheet", measure.Short(name)), hint)
			ok = false
			continue
		}
		if _, twice := t.Heads[name]; twice {
			problems.Add(place(h), name, "the column stands twice", "each column once")
			ok = false
			continue
		}
		t.Heads[name] = i
	}
	// The cells under good headings are still read, so that their errors are reported in the same run.
	return ok || len(t.Heads) > 0
}

// cellsAtOnce is how many cells are allocated together.
const cellsAtOnce = 1024

// fit makes a row, which the scanner overwrites, as long as the heading line. Blank cells beyond it are dropped; a row
// that is shorter may be cut off and is refused, unless rows are ragged.
func (t *Table) fit(row, heads []Cell, ragged bool, problems *measure.Problems) ([]Cell, bool) {
	for i, c := range row {
		beyond := i >= len(heads)
		if (beyond || strings.TrimSpace(heads[i].Text) == "") && (strings.TrimSpace(c.Text) != "" || c.Odd != nil) {
			if ragged {
				problems.Add(t.Place(c.Line, c.Col), "row", fmt.Sprintf("%q stands under no heading",
					measure.Short(c.Text)), "a heading above it, or a sheet of its own")
				return nil, false
			}
			t.misfit(row, c, problems, fmt.Sprintf("%q stands under no heading", measure.Short(c.Text)),
				fmt.Sprintf("%d cells; a cell with a comma in it needs quotes", len(heads)))
			return nil, false
		}
	}
	if ragged {
		out := make([]Cell, len(heads))
		for i := copy(out, row); i < len(heads); i++ {
			out[i] = Cell{Line: row[0].Line, Col: i + 1}
		}
		return out, true
	}
	if len(row) < len(heads) {
		t.misfit(row, row[len(row)-1], problems, fmt.Sprintf("the row has %d cells under %d headings", len(row),
			len(heads)), "a comma for every column; is the line cut off?")
		return nil, false
	}
	return row[:len(heads)], true
}

// misfit reports a row that does not fit the heading line, at c, or at the quote that runs over a line's end and so may
// have swallowed cells.
func (t *Table) misfit(row []Cell, c Cell, problems *measure.Problems, what, expected string) {
	for _, q := range row {
		if strings.Contains(q.Text, "\n") {
			c, expected = q, expected+"; is the quote that opens here closed where it should be?"
			break
		}
	}
	problems.Add(t.Place(c.Line, c.Col), "row", what, expected)
}
