package sheet_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/internal/sheet"
)

func scan(data string, limits sheet.Limits) (rows [][]sheet.Cell, err error) {
	s := sheet.NewScanner([]byte(data), limits)
	for s.Scan() {
		rows = append(rows, append([]sheet.Cell(nil), s.Row()...))
	}
	return rows, s.Err()
}

func TestScan(t *testing.T) {
	type c struct {
		text      string
		line, col int
	}
	for _, tc := range []struct {
		name, data string
		want       [][]c
		reason     string
	}{
		{"empty", "", nil, "no rows"},
		{"line end only", "\n\r\n\n", nil, "blank lines are no rows"},
		{"one cell", "a", [][]c{{{"a", 1, 1}}}, "no line end at the end of the file"},
		{"two rows", "a,b\nc,d\n", [][]c{{{"a", 1, 1}, {"b", 1, 3}}, {{"c", 2, 1}, {"d", 2, 3}}}, "the plain case"},
		{"CRLF", "a,b\r\nc,d\r\n", [][]c{{{"a", 1, 1}, {"b", 1, 3}}, {{"c", 2, 1}, {"d", 2, 3}}}, "CRLF is a line end"},
		{"mixed line ends", "a\r\nb\nc", [][]c{{{"a", 1, 1}}, {{"b", 2, 1}}, {{"c", 3, 1}}}, "edited on two machines"},
		{"carriage return at the end", "a\r", [][]c{{{"a", 1, 1}}}, "half a CRLF is dropped"},
		{"carriage return inside", "a\rb", [][]c{{{"a\rb", 1, 1}}}, "an ordinary character"},
		{"two carriage returns", "a\r\r\nb", [][]c{{{"a\r", 1, 1}}, {{"b", 2, 1}}},
			"only the one before the line feed is an end"},
		{"blank lines count", "\na\n\n\nb", [][]c{{{"a", 2, 1}}, {{"b", 5, 1}}}, "lines are those of the file"},
		{"BOM", "\ufeffa,b", [][]c{{{"a", 1, 1}, {"b", 1, 3}}}, "the mark is no character of the sheet"},
		{"BOM and quote", "\ufeff\"a\",b", [][]c{{{"a", 1, 1}, {"b", 1, 5}}}, "the quote still opens the cell"},
		{"BOM only", "\ufeff", nil, "an empty sheet"},
		{"empty cells", ",a,,\n", [][]c{{{"", 1, 1}, {"a", 1, 2}, {"", 1, 4}, {"", 1, 5}}}, "cells between commas"},
		{"comma at the end", "a,", [][]c{{{"a", 1, 1}, {"", 1, 3}}}, "a last empty cell"},
		{"blanks kept", " a , b", [][]c{{{" a ", 1, 1}, {" b", 1, 5}}}, "cells are as typed"},
		{"inch mark", "1-7/16\",x", [][]c{{{`1-7/16"`, 1, 1}, {"x", 1, 9}}}, "a bare inch mark is accepted"},
		{"two inch marks", `4' 8",1"`, [][]c{{{`4' 8"`, 1, 1}, {`1"`, 1, 7}}}, "each belongs to its cell"},
		{"inch mark twice", `1"" 2`, [][]c{{{`1"" 2`, 1, 1}}}, "nothing is doubled in an unquoted cell"},
		{"blank before a quote", `a, "b"`, [][]c{{{"a", 1, 1}, {` "b"`, 1, 3}}},
			"only a quote right behind the comma opens a cell"},
		{"quoted", `"a, b",c`, [][]c{{{"a, b", 1, 1}, {"c", 1, 8}}}, "a comma inside quotes"},
		{"quoted empty", `"",a`, [][]c{{{"", 1, 1}, {"a", 1, 4}}}, "an empty quoted cell"},
		{"doubled quote", `"1-7/16""",x`, [][]c{{{`1-7/16"`, 1, 1}, {"x", 1, 12}}}, "a doubled quote stands for one"},
		{"only a doubled quote", `""""`, [][]c{{{`"`, 1, 1}}}, "one quote"},
		{"quoted line end", "\"a\nb\",c\nd", [][]c{{{"a\nb", 1, 1}, {"c", 2, 4}}, {{"d", 3, 1}}},
			"the cell behind stands in the second line"},
		{"quoted CRLF", "\"a\r\nb\",c\r\nd", [][]c{{{"a\nb", 1, 1}, {"c", 2, 4}}, {{"d", 3, 1}}},
			"one character inside a cell"},
		{"quoted CRLF first", "\"\r\n\",c", [][]c{{{"\n", 1, 1}, {"c", 2, 3}}}, "nothing before the line end"},
		{"quoted carriage return", "\"a\rb\"", [][]c{{{"a\rb", 1, 1}}}, "an ordinary character"},
		{"quoted at the end", "a,\"b\"\r", [][]c{{{"a", 1, 1}, {"b", 1, 3}}}, "half a CRLF behind a quote"},
		{"characters not bytes", "½é,x", [][]c{{{"½é", 1, 1}, {"x", 1, 4}}}, "columns count characters"},
		{"characters inside quotes", "\"½\né½\",x", [][]c{{{"½\né½", 1, 1}, {"x", 2, 5}}},
			"columns count characters of the last line"},
		{"hash", "#a\n", [][]c{{{"#a", 1, 1}}}, "the scanner knows no comments"},
		{"line of blanks", "  \n", [][]c{{{"  ", 1, 1}}}, "a row of one cell; the reader passes over it"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rows, err := scan(tc.data, sheet.DefaultLimits)
			var got [][]c
			for _, row := range rows {
				var cells []c
				for _, x := range row {
					cells = append(cells, c{x.Text, x.Line, x.Col})
				}
				got = append(got, cells)
			}
			if err != nil {
				t.Fatalf("%v; %s", err, tc.reason)
			}
			if diff := cmp.Diff(tc.want, got, cmp.AllowUnexported(c{})); diff != "" {
				t.Errorf("%s (-want +got):\n%s", tc.reason, diff)
			}
		})
	}
}

func TestScanRefuses(t *testing.T) {
	small := sheet.Limits{CellBytes: 8, Columns: 3}
	for _, tc := range []struct {
		name, data string
		err        error
		line, col  int
		rows       int // read before
		reason     string
	}{
		{"open quote", "a,b\nc,\"d\ne,f\n", sheet.ErrOpenQuote, 2, 3, 1,
			"at the line where it opens, not where the file ends"},
		{"open quote at the end", "a,\"", sheet.ErrOpenQuote, 1, 3, 0, "nothing behind it"},
		{"open quote behind a doubled one", `"a""`, sheet.ErrOpenQuote, 1, 1, 0, "the doubled quote does not close"},
		{"open quote, character column", "½½,\"x", sheet.ErrOpenQuote, 1, 4, 0, "columns count characters"},
		{"open quote, long file", "\"" + strings.Repeat("x\n", 50), sheet.ErrOpenQuote, 1, 1, 0,
			"not called a long cell"},
		{"open quote meets an inch mark", "a,\"b\nc,1\"x\n", sheet.ErrOpenQuote, 1, 3, 0,
			"a later inch mark hides where the quote was left open"},
		{"text behind a quote", `a,"b" c`, sheet.ErrAfterQuote, 1, 6, 0, "at the text"},
		{"undoubled inch mark", `a,"1-7/16" wheel"`, sheet.ErrAfterQuote, 1, 11, 0,
			"an inch mark inside quotes must be doubled"},
		{"long cell at the cap", "12345678,a\n123456789", sheet.ErrLongCell, 2, 1, 1, "8 bytes are taken, 9 are not"},
		{"long quoted cell", `"123456789"`, sheet.ErrLongCell, 1, 1, 0, "the cap holds inside quotes"},
		{"columns at the cap", "a,b,c\na,b,c,d", sheet.ErrColumns, 2, 7, 1, "3 cells are taken, 4 are not"},
		{"not UTF-8", "a,b\xff", sheet.ErrNotUTF8, 1, 3, 0, "at the cell"},
		{"not UTF-8 inside quotes", "a\n\"b\n\xe9\"", sheet.ErrNotUTF8, 2, 1, 1, "at the cell's beginning"},
		{"cut UTF-8", "a,\xc2", sheet.ErrNotUTF8, 1, 3, 0, "a character cut in two"},
		{"UTF-16", "\xff\xfea\x00,\x00", sheet.ErrNotUTF8, 1, 1, 0, "its mark is no UTF-8"},
		{"NUL", "a,b\x00", sheet.ErrNUL, 1, 3, 0, "no text file"},
		{"NUL inside quotes", "\"a\x00\"", sheet.ErrNUL, 1, 1, 0, "no text file"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rows, err := scan(tc.data, small)
			var se *sheet.ScanError
			if !errors.As(err, &se) || !errors.Is(err, tc.err) {
				t.Fatalf("error %v, want %v; %s", err, tc.err, tc.reason)
			}
			if se.Line != tc.line || se.Col != tc.col || len(rows) != tc.rows {
				t.Errorf("at %d:%d behind %d rows, want %d:%d behind %d; %s", se.Line, se.Col, len(rows), tc.line,
					tc.col, tc.rows, tc.reason)
			}
		})
	}
}

// TestScanStopsForGood: behind an error there are no further rows.
func TestScanStopsForGood(t *testing.T) {
	s := sheet.NewScanner([]byte("a\n\"b\"c\nd\n"), sheet.DefaultLimits)
	if !s.Scan() || s.Scan() || s.Scan() || s.Err() == nil {
		t.Errorf("the scanner went on behind %v", s.Err())
	}
}
