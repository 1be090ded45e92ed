package sheet_test

import (
	"fmt"
	"testing"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// TestWriteTexts: what is written as texts is read as these texts, whatever they are.
func TestWriteTexts(t *testing.T) {
	t.Parallel()
	rows := [][]string{{"car", "position", "flange_height", "note"}, {"A & B <1>", "L1", "1-1/8", "\"quoted\" 'so'"},
		{"_x0041_", "R1", "8-Jan", "two\nlines"}, {"_x_x0041_", "L2", ">=15/16", "=1+1"},
		{" space ", "R2", "", "\u202eödd\t😀"},
		{"bell", "L3", "1.50", "a\u0007b"}}
	var heads, cells []string
	for i := range 30 {
		heads, cells = append(heads, fmt.Sprintf("h%d", i)), append(cells, fmt.Sprintf("c%d", i))
	}
	sheets := []sheet.TextSheet{{Name: "wheels", Rows: rows}, {Name: "frogs", Rows: [][]string{heads, cells}}}
	data, err := sheet.WriteTexts(sheets)
	if err != nil {
		t.Fatal(err)
	}
	again, err := sheet.WriteTexts(sheets)
	if err != nil || string(again) != string(data) {
		t.Errorf("the same sheets give other bytes, %v", err)
	}
	book, err := sheet.OpenWorkbook("book.xlsx", data)
	if err != nil {
		t.Fatal(err)
	}
	var problems measure.Problems
	sources := book.Sources([]string{"wheels", "frogs"}, &problems)
	table := sources["wheels"].Read([]string{"car", "position", "flange_height", "note"}, &problems)
	if len(sources) != 2 || len(table.Rows) != len(rows)-1 {
		t.Fatalf("%d sheets, %d rows, %v", len(sources), len(table.Rows), problems.Err())
	}
	rows[len(rows)-1][3] = "a\ufffdb"
	for i, row := range table.Rows {
		for k, name := range rows[0] {
			if got := row.Cell(name).Text; got != rows[i+1][k] {
				t.Errorf("%s of row %d is %q, was %q", name, i, got, rows[i+1][k])
			}
		}
	}
	table = sources["frogs"].Read(heads, &problems)
	for i, name := range heads {
		if got := table.Rows[0].Cell(name).Text; got != cells[i] {
			t.Errorf("%s is %q, was %q", name, got, cells[i])
		}
	}
	if err := problems.Err(); err != nil {
		t.Error(err)
	}
}
