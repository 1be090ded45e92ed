//go:build !js

package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// WriteBook makes a workbook of empty sheets: all columns formatted as text, each heading with its comment and its unit
// above it, always in view, and lists to choose from where a column holds one of a few words. The same sheets give
// the same bytes.
func WriteBook(sheets []BookSheet) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	text, err := f.NewStyle(&excelize.Style{NumFmt: asText})
	if err != nil {
		return nil, err
	}
	head, err := f.NewStyle(&excelize.Style{NumFmt: asText, Font: &excelize.Font{Bold: true},
		Border: []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}})
	if err != nil {
		return nil, err
	}
	for i, s := range sheets {
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.Name)
		} else {
			_, err = f.NewSheet(s.Name)
		}
		if err == nil {
			err = writeEmpty(f, s, text, head)
		}
		if err != nil {
			return nil, fmt.Errorf("sheet %s: %w", s.Name, err)
		}
	}
	return BookBytes(f)
}

// headRow is the row of the headings, behind that of the units.
const headRow = 2

func writeEmpty(f *excelize.File, s BookSheet, text, head int) error {
	if err := f.SetCellStr(s.Name, "A1", "# unit"); err != nil { // a row that is not read
		return err
	}
	for i, c := range s.Columns {
		col, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		cell := col + strconv.Itoa(headRow)
		for _, set := range []func() error{
			func() error { return f.SetColStyle(s.Name, col, text) },
			func() error {
				return f.SetColWidth(s.Name, col, col, float64(max(utf8.RuneCountInString(c.Name)+2, 10)))
			},
			func() error { return f.SetCellStr(s.Name, cell, c.Name) },
			func() error { return f.SetCellStyle(s.Name, cell, cell, head) },
			func() error { return chosen(f, s.Name, col, c.Words) },
		} {
			if err := set(); err != nil {
				return err
			}
		}
		if c.Unit != "" && i > 0 {
			if err := f.SetCellStr(s.Name, col+"1", c.Unit); err != nil {
				return err
			}
		}
		if c.Note == "" {
			continue
		}
		lines := utf8.RuneCountInString(c.Note)/40 + 2
		note := excelize.Comment{Cell: cell, Author: "flangeway", Width: 260, Height: uint(18 * lines),
			Paragraph: []excelize.RichTextRun{{Text: c.Note}}}
		if err := f.AddComment(s.Name, note); err != nil {
			return err
		}
	}
	return f.SetPanes(s.Name, &excelize.Panes{Freeze: true, YSplit: headRow, TopLeftCell: "A3",
		ActivePane: "bottomLeft"})
}

// maxList is how long the words of a list may be together, because a spreadsheet takes no more.
const maxList = 255

// chosen lets a column be filled from a list. Another entry is asked about and taken, since words may be written in
// other ways.
func chosen(f *excelize.File, sheet, col string, words []string) error {
	if len(words) == 0 || len(strings.Join(words, ",")) > maxList {
		return nil
	}
	list := excelize.NewDataValidation(true)
	list.Sqref = fmt.Sprintf("%s%d:%s%d", col, headRow+1, col, excelize.TotalRows)
	if err := list.SetDropList(words); err != nil {
		return err
	}
	list.SetError(excelize.DataValidationErrorStyleWarning, "another word", "Known are "+strings.Join(words, ", ")+".")
	return f.AddDataValidation(sheet, list)
}

// BookBytes are the bytes of a workbook without the hour it was made at, so that the same content gives the same bytes.
func BookBytes(f *excelize.File) ([]byte, error) {
	const when = "2000-01-01T00:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "flangeway", LastModifiedBy: "flangeway", Created: when,
		Modified: when}); err != nil {
		return nil, err
	}
	f.SetActiveSheet(0)
	b, err := f.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return sorted(b.Bytes())
}

// sorted is a package with its parts in the order of their names: large sheets are packed in any order.
func sorted(data []byte) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	slices.SortFunc(in.File, func(a, b *zip.File) int { return strings.Compare(a.Name, b.Name) })
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range in.File {
		if err := z.Copy(f); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
