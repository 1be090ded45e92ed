package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// BookColumn is a column of a workbook to be filled in.
type BookColumn struct {
	Name string
	Note string // a comment at the heading
}

// BookSheet is an empty sheet of a workbook.
type BookSheet struct {
	Name    string
	Columns []BookColumn
}

// textFormat is the number format "@", under which a spreadsheet keeps what is typed.
const textFormat = 49

// WriteBook makes a workbook of empty sheets: all columns formatted as text, each heading with its comment and always
// in view. The same sheets give the same bytes.
func WriteBook(sheets []BookSheet) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	text, err := f.NewStyle(&excelize.Style{NumFmt: textFormat})
	if err != nil {
		return nil, err
	}
	head, err := f.NewStyle(&excelize.Style{NumFmt: textFormat, Font: &excelize.Font{Bold: true},
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

func writeEmpty(f *excelize.File, s BookSheet, text, head int) error {
	for i, c := range s.Columns {
		col, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if err := f.SetColStyle(s.Name, col, text); err != nil {
			return err
		}
		if err := f.SetColWidth(s.Name, col, col, float64(max(utf8.RuneCountInString(c.Name)+2, 10))); err != nil {
			return err
		}
		if err := f.SetCellStr(s.Name, col+"1", c.Name); err != nil {
			return err
		}
		if err := f.SetCellStyle(s.Name, col+"1", col+"1", head); err != nil {
			return err
		}
		if c.Note == "" {
			continue
		}
		lines := utf8.RuneCountInString(c.Note)/40 + 2
		note := excelize.Comment{Cell: col + "1", Author: "flangeway", Width: 260, Height: uint(18 * lines),
			Paragraph: []excelize.RichTextRun{{Text: c.Note}}}
		if err := f.AddComment(s.Name, note); err != nil {
			return err
		}
	}
	return f.SetPanes(s.Name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
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
