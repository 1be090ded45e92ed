package sheet_test

import (
	"strings"
	"testing"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

var columns = []string{"car", "position", "flange_height", "note"}

func TestRead(t *testing.T) {
	for _, tc := range []struct {
		name, data string
		rows       int
		problems   []string // parts of the messages, in order
		reason     string
	}{
		{"plain", "car,position,flange_height\nA,L1,1-1/16\nA,R1,\n", 2, nil, "the plain case"},
		{"any order", "flange_height,car\n1,A\n", 1, nil, "column order is free"},
		{"heading only", "car,position\n", 0, nil, "a sheet without rows"},
		{"heading without line end", "car,position", 0, nil, "a sheet without rows"},
		{"empty file", "", 0, []string{"x.csv:1:1: heading: there is no heading line"}, "nothing to read"},
		{"BOM only", "\ufeff", 0, []string{"no heading line"}, "nothing to read"},
		{"explanations only", "# a\n# b\n", 0, []string{"no heading line"}, "nothing to read"},
		{"explanations before the heading", "# car: as stencilled\n\n  # more\n\"# a, b\"\n,,\ncar\nA\n", 1, nil,
			"passed over, blank rows too"},
		{"hash behind the heading", "car,note\n#12,x\n", 1, nil, "a row like any other"},
		{"blank rows", "car,note\n\n,\n  ,\t\nA,x\n", 1, nil, "no data, no problem"},
		{"BOM and CRLF", "\ufeffcar,note\r\nA,x\r\n", 1, nil, "as spreadsheets save it"},
		{"blanks around headings", " car , note\nA,x\n", 1, nil, "headings are trimmed"},
		{"extra blank cells", "car,note\nA,x,,\nB,y, \n", 2, nil, "a spreadsheet's ragged right edge"},
		{"extra blank headings", "car,note,,\nA,x,,\n", 1, nil, "a spreadsheet's empty columns"},
		{"extra cell", "car,note\nA,x,y\nB,z\n", 1,
			[]string{`x.csv:2:5: row: "y" stands under no heading (2 cells; a cell with a comma in it needs quotes)`},
			"a comma in a note shifts the row"},
		{"text under a blank heading", "car,,note\nA,y,x\n", 0, []string{`x.csv:2:3: row: "y" stands under no heading`},
			"whose column is it?"},
		{"short row", "car,position,note\nA,L1\nB,L1,x\n", 1,
			[]string{"x.csv:2:3: row: the row has 2 cells under 3 headings"}, "it may be cut off"},
		{"row swallowed by a quote", "car,note\nA,\"x\nB,1-1/2\",y\nC,z\n", 1,
			[]string{"x.csv:2:3: row: \"y\" stands under no heading"}, "reported where the quote opens"},
		{"unknown heading", "car,flange_hight\nA,1\n", 1,
			[]string{`x.csv:1:5: heading: "flange_hight" is not a column of this sheet (did you mean "flange_height"?)`}, "with a hint"},
		{"unknown heading, nothing near", "car,axle_load\nA,1\n", 1,
			[]string{"one of car, position, flange_height, note"}, "with the list"},
		{"capital heading", "Car\nA\n", 0, []string{`did you mean "car"?`}, "headings are exact"},
		{"every unknown heading", "kar,note,posit\n", 0, []string{":1:1: ", ":1:10: "}, "all of them at once"},
		{"heading twice", "car,note,car\nA,x,B\n", 1, []string{"x.csv:1:10: car: the column stands twice"},
			"which one counts?"},
		{"heading place after a fraction sign", "½,kar\n", 0, []string{"x.csv:1:1: ", "x.csv:1:3: "},
			"columns count characters"},
		{"semicolons", "car;position;note\nA;L1;x\n", 0,
			[]string{"x.csv:1:1: heading: the cells are separated by semicolons (commas"}, "refused with a hint, once"},
		{"semicolons with explanations", "# x\ncar;note\n", 0,
			[]string{"x.csv:2:1: heading: the cells are separated by semicolons"}, "at the heading line"},
		{"tabs", "car\tnote\nA\tx\n", 0, []string{"x.csv:1:1: heading: the cells are separated by tabs (commas"},
			"refused with a hint"},
		{"bare carriage returns", "car,note\rA,x\r", 0, []string{"a bare carriage return in the heading line"},
			"an old spreadsheet's line ends"},
		{"open quote", "car,note\nA,\"x\nB,y\n", 0,
			[]string{"x.csv:2:3: row: a quote that never closes (a closing quote"}, "at the line where it opens"},
		{"rows before an error", "car,note\nA,x\nB,\"y\" z\n", 1,
			[]string{"x.csv:3:6: row: text behind a closing quote (a comma or the line's end"},
			"they are read nevertheless"},
		{"not UTF-8", "car,note\nA,\xe9\n", 0, []string{"x.csv:2:3: row: bytes that are not UTF-8 text (save the " +
			"sheet as CSV UTF-8)"}, "say how to save it"},
		{"NUL", "car\nA\x00\n", 0, []string{"x.csv:2:1: row: a NUL byte"}, "no text"},
		{"long cell in a message", "car\nA," + strings.Repeat("½", 5000) + "\n", 0, []string{"..."},
			"cut in the message"},
		{"too many cells", "car\n" + strings.Repeat(",", 256) + "\n", 0,
			[]string{"x.csv:2:257: row: too many cells in a row (at most 256)"}, "257 cells"},
		{"most cells", "car\nA" + strings.Repeat(",", 255) + "\n", 1, nil, "256 cells, blank behind the first"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			table := sheet.Read("x.csv", []byte(tc.data), columns, &ps)
			if len(table.Rows) != tc.rows {
				t.Errorf("%d rows, want %d; %s", len(table.Rows), tc.rows, tc.reason)
			}
			if ps.Len() != len(tc.problems) {
				t.Fatalf("%d problems, want %d; %s:\n%v", ps.Len(), len(tc.problems), tc.reason, ps.Err())
			}
			if ps.Len() == 0 {
				return
			}
			for i, line := range strings.Split(ps.Err().Error(), "\n") {
				if !strings.Contains(line, tc.problems[i]) || len(line) > 300 {
					t.Errorf("problem %d is %q, want %q in it; %s", i+1, line, tc.problems[i], tc.reason)
				}
			}
		})
	}
}

// TestReadCells: cells are found by heading, with their places, also where a row begins behind a cell of two lines.
func TestReadCells(t *testing.T) {
	var ps measure.Problems
	table := sheet.Read("x.csv", []byte("note,car\n\"a\nb\",A\nc,B\n"), columns, &ps)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	if !table.Has("car") || table.Has("position") || len(table.Rows) != 2 {
		t.Fatalf("headings %v, %d rows", table.Heads, len(table.Rows))
	}
	for _, tc := range []struct {
		name   string
		row    int
		column string
		want   sheet.Cell
		reason string
	}{
		{"first cell", 0, "note", sheet.Cell{Text: "a\nb", Line: 2, Col: 1}, "the line where it opens"},
		{"cell behind two lines", 0, "car", sheet.Cell{Text: "A", Line: 3, Col: 4}, "its own line"},
		{"next row", 1, "car", sheet.Cell{Text: "B", Line: 4, Col: 3}, "the line of the file"},
		{"absent column", 1, "position", sheet.Cell{Line: 4}, "blank, with the row's line"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := table.Rows[tc.row].Cell(tc.column); got != tc.want {
				t.Errorf("got %+v, want %+v; %s", got, tc.want, tc.reason)
			}
		})
	}
}
