//go:build !js

package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"flangeway/internal/measure"
)

// Workbook is a spreadsheet file (.xlsx) with a sheet per name. It is read by the values and types of its cells, never
// by what they show.
type Workbook struct {
	file    string
	book    *excelize.File
	formats map[int]format // of numbers, by style
	from    epoch
}

// oldWorkbook begins a file of the old binary form, and a workbook with a password.
const oldWorkbook = "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

// OpenWorkbook opens a workbook; file is what places call it. The error is a [*measure.Fault] that says why it cannot
// be read.
func OpenWorkbook(file string, data []byte) (*Workbook, error) {
	if bytes.HasPrefix(data, []byte(oldWorkbook)) {
		return nil, &measure.Fault{What: "the workbook has a password or the old form of .xls",
			Expected: "save it as .xlsx without a password"}
	}
	if fault := checkPackage(data); fault != nil {
		return nil, fault
	}
	w := &Workbook{file: file, formats: map[int]format{}}
	err := guarded(func() (err error) {
		w.book, err = excelize.OpenReader(bytes.NewReader(data),
			excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
		return err
	})
	if err != nil {
		return nil, damaged()
	}
	if fault := slimSheets(w.book); fault != nil {
		return nil, fault
	}
	err = guarded(func() error {
		if len(w.book.GetSheetList()) == 0 {
			return errDamaged
		}
		props, err := w.book.GetWorkbookProps()
		w.from = epoch(props.Date1904 != nil && *props.Date1904)
		return err
	})
	if err != nil {
		return nil, damaged()
	}
	return w, nil
}

var errDamaged = errors.New("the workbook is damaged")

// damaged is the defect of a file that is no workbook, or one cut off or changed.
func damaged() *measure.Fault {
	return &measure.Fault{What: "the file is not a workbook or is damaged",
		Expected: "a workbook that a spreadsheet saved as .xlsx"}
}

// guarded runs a part of the reading of a foreign file; a defect of the library on a damaged workbook is a damaged
// workbook.
func guarded(f func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = errDamaged
		}
	}()
	return f()
}

// Sources are the sheets of the workbook by name. One that is not among known, or hidden, is a problem; a sheet without
// any cell, as a new workbook has them, and one whose name begins with # are passed over.
func (w *Workbook) Sources(known []string, problems *measure.Problems) map[string]*Source {
	out := map[string]*Source{}
	for _, name := range w.book.GetSheetList() {
		place := measure.Place{File: w.file, Sheet: name}
		if strings.HasPrefix(strings.TrimSpace(name), "#") {
			continue
		}
		if !slices.Contains(known, name) {
			if w.empty(name) {
				continue
			}
			hint := "one of " + strings.Join(known, ", ") + ";"
			if near := measure.Nearest(name, known); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			problems.Add(place, "", fmt.Sprintf("%q is not a sheet known here", measure.Short(name)),
				hint+" a sheet of your own is passed over where its name begins with #")
			continue
		}
		if visible, err := w.book.GetSheetVisible(name); err != nil || !visible {
			problems.Add(place, "", "the sheet is hidden", "show it, so that what is judged can be seen, or delete it")
			continue
		}
		out[name] = &Source{Place: place, book: w}
	}
	return out
}

// empty reports a sheet without any cell.
func (w *Workbook) empty(name string) bool {
	none := true
	err := guarded(func() error {
		rows, err := w.book.Rows(name)
		if err != nil {
			return nil // a chart
		}
		for none && rows.Next() {
			cells, err := rows.Columns()
			if err != nil {
				return err
			}
			none = len(cells) == 0
		}
		return rows.Close()
	})
	return none && err == nil
}

// read reads one sheet; see [Read].
func (w *Workbook) read(name string, known []string, problems *measure.Problems) *Table {
	t := &Table{File: w.file, Name: name, Heads: map[string]int{}}
	b := builder{table: t, known: known, problems: problems, ragged: true}
	err := guarded(func() error {
		rows, err := w.values(name)
		if err != nil {
			return err
		}
		merges, err := w.book.GetMergeCells(name, true)
		if err != nil {
			return err
		}
		for _, r := range rows {
			if len(r.values) > DefaultLimits.Columns {
				problems.Add(t.Place(r.line, DefaultLimits.Columns+1), "row", fmt.Sprintf("%v (at most %d)", ErrColumns,
					DefaultLimits.Columns), "")
				return nil
			}
			row := make([]Cell, len(r.values))
			for i, v := range r.values {
				if row[i], err = w.cell(name, v, r.line, i+1); err != nil {
					return err
				}
				if len(row[i].Text) > DefaultLimits.CellBytes {
					problems.Add(t.Place(r.line, i+1), "row", fmt.Sprintf("%v (at most %d bytes)", ErrLongCell,
						DefaultLimits.CellBytes), "")
					return nil
				}
			}
			if !b.add(row) {
				return nil
			}
			if b.heads != nil && merges != nil {
				if refuseMerged(t, merges, r.line, problems) {
					return nil
				}
				merges = nil
			}
		}
		b.end()
		return nil
	})
	if err != nil {
		problems.Add(t.Place(0, 0), "", "the sheet is damaged or missing",
			"a workbook that a spreadsheet saved as .xlsx")
	}
	return t
}

// valueRow is one row that is not empty, its values as stored.
type valueRow struct {
	line   int
	values []string
}

// values are all rows of a sheet. They are read as a stream before anything asks for a single cell, because that would
// write the sheet anew first.
func (w *Workbook) values(name string) ([]valueRow, error) {
	rows, err := w.book.Rows(name)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []valueRow
	for line := 1; rows.Next(); line++ {
		values, err := rows.Columns()
		if err != nil {
			return nil, err
		}
		if len(values) > 0 {
			out = append(out, valueRow{line, values})
		}
	}
	return out, rows.Close()
}

// refuseMerged reports the cells that are merged from the heading line on: which row would their reading belong to? It
// reports whether there are any.
func refuseMerged(t *Table, merges []excelize.MergeCell, heading int, problems *measure.Problems) bool {
	found := false
	for _, m := range merges {
		col, row, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		_, last, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err != nil || err2 != nil || last < heading {
			continue
		}
		problems.Add(t.Place(row, col), "row", fmt.Sprintf("the cells %s to %s are merged", m.GetStartAxis(),
			m.GetEndAxis()), "a cell of its own for each entry; unmerge them")
		found = true
	}
	return found
}

// cell is one cell with its value as stored.
func (w *Workbook) cell(sheet, value string, line, col int) (Cell, error) {
	c := Cell{Line: line, Col: col}
	name, err := excelize.CoordinatesToCellName(col, line)
	if err != nil {
		return c, err
	}
	formula, err := w.book.GetCellFormula(sheet, name)
	if err != nil {
		return c, err
	}
	if formula != "" {
		c.Odd = &Odd{Fault: measure.Fault{What: fmt.Sprintf("the cell holds the formula %q",
			measure.Short("="+strings.TrimPrefix(formula, "="))), Expected: "the entry itself; paste it as a value"}}
		return c, nil
	}
	if value == "" {
		return c, nil
	}
	kind, err := w.book.GetCellType(sheet, name)
	if err != nil {
		return c, err
	}
	switch kind {
	case excelize.CellTypeUnset, excelize.CellTypeNumber:
		style, err := w.book.GetCellStyle(sheet, name)
		if err != nil {
			return c, err
		}
		c.Text, c.Odd = w.from.number(value, w.format(style))
	case excelize.CellTypeDate: // stored as 2016-01-07T00:00:00
		c.Text, c.Odd = isoDate(value)
	case excelize.CellTypeError:
		if value == lostText {
			c.Odd = &Odd{Fault: measure.Fault{What: "the text of the cell is not in the workbook",
				Expected: "a workbook that a spreadsheet saved as .xlsx; type the entry again"}}
			break
		}
		c.Odd = &Odd{Fault: measure.Fault{What: fmt.Sprintf("the cell holds the error %s", measure.Short(value)),
			Expected: "the entry itself"}}
	case excelize.CellTypeBool:
		c.Text = map[string]string{"1": "TRUE", "0": "FALSE"}[value]
	default:
		c.Text = strings.ToValidUTF8(strings.ReplaceAll(value, "\r\n", "\n"), "\ufffd")
		if strings.ContainsRune(c.Text, 0) {
			c.Odd = &Odd{Fault: measure.Fault{What: "the cell holds a NUL character", Expected: "printable text"}}
		}
	}
	return c, nil
}

// format is how a style shows numbers.
func (w *Workbook) format(style int) format {
	if f, ok := w.formats[style]; ok {
		return f
	}
	f := plainNumber
	if s, err := w.book.GetStyle(style); err == nil {
		f = builtinFormat(s.NumFmt)
		if s.CustomNumFmt != nil {
			f = customFormat(*s.CustomNumFmt)
		}
	}
	w.formats[style] = f
	return f
}
