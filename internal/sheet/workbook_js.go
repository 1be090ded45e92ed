package sheet

import (
	"errors"

	"flangeway/internal/measure"
)

// In a page there are no workbooks: their library is larger than all else together, and a phone takes CSV files.

// ErrNoBooks is a workbook in a page.
var ErrNoBooks = errors.New("a page reads and writes no workbooks")

// Workbook is none here.
type Workbook struct{}

// OpenWorkbook refuses every workbook.
func OpenWorkbook(string, []byte) (*Workbook, error) {
	return nil, &measure.Fault{What: ErrNoBooks.Error(), Expected: "CSV sheets"}
}

// Sources are none.
func (*Workbook) Sources([]string, *measure.Problems) map[string]*Source { return nil }

func (*Workbook) read(string, []string, *measure.Problems) *Table {
	return &Table{Heads: map[string]int{}}
}

// WriteBook refuses.
func WriteBook([]BookSheet) ([]byte, error) { return nil, ErrNoBooks }
