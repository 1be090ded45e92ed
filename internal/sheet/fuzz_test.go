package sheet_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// FuzzScanner: any bytes give rows or one error, with places inside the file. What
// encoding/csv accepts (no bare quotes) gives the same records at the same places.
func FuzzScanner(f *testing.F) {
	for _, s := range []string{
		"", "a,b\nc,d\n", "a,b\r\nc,d\r\n", "\ufeffa,b", `1-7/16",x`, `"1-7/16""",x`, "\"a\nb\",c", "\"a\r\nb\",c",
		"a\r", "a\rb", "a\r\r\n", "\"a\"\r",
		"a,\"", `"a" b`, "\xff", "a\x00", ",,,\n", "½,\"é\n½\",x\n", "\n\n#x\n", "a;b;c", strings.Repeat("a,", 300),
		strings.Repeat("\"\"\"\"", 20),
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, err := scan(string(data), sheet.DefaultLimits)
		text := strings.TrimPrefix(string(data), "\ufeff")
		lines := strings.Split(text, "\n")
		inside := func(line, col int) bool {
			return line >= 1 && line <= len(lines) && col >= 1 && col <= utf8.RuneCountInString(lines[line-1])+1
		}
		for _, row := range rows {
			if len(row) == 0 {
				t.Fatalf("%q gives a row without cells", data)
			}
			for _, c := range row {
				if !inside(c.Line, c.Col) || !utf8.ValidString(c.Text) || strings.ContainsRune(c.Text, 0) {
					t.Fatalf("%q gives the cell %+v", data, c)
				}
			}
		}
		if err != nil {
			var se *sheet.ScanError
			if !errors.As(err, &se) || !inside(se.Line, se.Col) {
				t.Fatalf("%q gives the error %v outside the file", data, err)
			}
			if errors.Is(err, sheet.ErrNotUTF8) || errors.Is(err, sheet.ErrNUL) || errors.Is(err, sheet.ErrLongCell) ||
				errors.Is(err, sheet.ErrColumns) {
				return // encoding/csv takes these
			}
		}
		compareWithCSV(t, text, lines, rows, err)
	})
}

func compareWithCSV(t *testing.T, text string, lines []string, rows [][]sheet.Cell, err error) {
	t.Helper()
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	for i := 0; ; i++ {
		record, csvErr := r.Read()
		if csvErr != nil {
			if csvErr.Error() == "EOF" && (err != nil || i != len(rows)) {
				t.Fatalf("%q: encoding/csv reads %d rows, the scanner %d with %v", text, i, len(rows), err)
			}
			return // a bare quote or an open one
		}
		if i >= len(rows) {
			t.Fatalf("%q: encoding/csv reads row %d, the scanner stops with %v", text, i+1, err)
		}
		if len(record) != len(rows[i]) {
			t.Fatalf("%q: row %d has %d cells, the scanner gives %d", text, i+1, len(record), len(rows[i]))
		}
		for k, c := range rows[i] {
			line, col := r.FieldPos(k)
			if want := utf8.RuneCountInString(lines[line-1][:col-1]) + 1; c.Text != record[k] || c.Line != line ||
				c.Col != want {
				t.Fatalf("%q: cell %d of row %d is %q at %d:%d, the scanner gives %+v", text, k+1, i+1, record[k],
					line, want, c)
			}
		}
	}
}

// FuzzRead: any bytes give a table whose rows fit its headings, or problems.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"", "car,date\nA,B\n", "# x\ncar\nA\n", "car;date", "car\tdate", "car,car\n", "kar\nA\n",
		"car,\nA,B\n", "car\rdate", "\"", "car,date\nA\n", "car,date\n\"A\nB,C\"\n"} {
		f.Add([]byte(s))
	}
	known := []string{"car", "date", "note"}
	f.Fuzz(func(t *testing.T, data []byte) {
		before := bytes.Clone(data)
		var ps measure.Problems
		table := sheet.Read("x.csv", data, known, &ps)
		if !slices.Equal(before, data) {
			t.Fatal("the input was changed")
		}
		if table == nil || ps.Len() == 0 && len(table.Heads) == 0 {
			t.Fatalf("%q gives neither headings nor a problem", data)
		}
		for _, row := range table.Rows {
			for _, k := range known {
				if c := row.Cell(k); table.Has(k) && (c.Line < 1 || c.Col < 1) {
					t.Fatalf("%q: the cell %s of line %d has no place", data, k, row.Line)
				}
			}
		}
	})
}
