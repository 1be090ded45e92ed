package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"

	"flangeway/internal/fixture"
)

// toWorkbook makes a workbook of the CSV files of a folder, every cell as text.
func toWorkbook(dir, file string, t interface{ Fatalf(string, ...any) }) {
	names, _ := filepath.Glob(filepath.Join(dir, "*.csv"))
	f := excelize.NewFile()
	for i, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatalf("%v", err)
		}
		r := csv.NewReader(bytes.NewReader(data))
		r.FieldsPerRecord, r.LazyQuotes = -1, true
		rows, err := r.ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		sheet := strings.TrimSuffix(filepath.Base(name), ".csv")
		if i == 0 {
			err = f.SetSheetName("Sheet1", sheet)
		} else {
			_, err = f.NewSheet(sheet)
		}
		if err != nil {
			t.Fatalf("%v", err)
		}
		for i, row := range rows {
			for k, text := range row {
				cell, err := excelize.CoordinatesToCellName(k+1, i+1)
				if err == nil && text != "" {
					err = f.SetCellStr(sheet, cell, text)
				}
				if err != nil {
					t.Fatalf("%v", err)
				}
			}
		}
	}
	if err := f.SaveAs(file); err != nil {
		t.Fatalf("%v", err)
	}
}

// workbook makes a workbook in a script: workbook DIR FILE.xlsx. A cell SHEET!C4=VALUE behind it is set as a formula
// where VALUE begins with =, else as a date of the given number.
func workbook(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: workbook DIR FILE.xlsx [SHEET!CELL=VALUE...]")
	}
	file := ts.MkAbs(args[1])
	toWorkbook(ts.MkAbs(args[0]), file, ts)
	f, err := excelize.OpenFile(file)
	ts.Check(err)
	defer f.Close()
	date, err := f.NewStyle(&excelize.Style{NumFmt: 16})
	ts.Check(err)
	for _, a := range args[2:] {
		place, value, _ := strings.Cut(a, "=")
		sheet, cell, _ := strings.Cut(place, "!")
		if strings.HasPrefix(value, "=") {
			ts.Check(f.SetCellFormula(sheet, cell, value))
			continue
		}
		ts.Check(f.SetCellDefault(sheet, cell, value))
		ts.Check(f.SetCellStyle(sheet, cell, cell, date))
	}
	ts.Check(f.Save())
}

// cells prints a sheet of a workbook in a script, a line per row: cells FILE SHEET.
func cells(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: cells FILE.xlsx SHEET")
	}
	f, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	rows, err := f.GetRows(args[1], excelize.Options{RawCellValue: true})
	ts.Check(err)
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.Join(r, " | ") + "\n")
	}
	ts.Check(os.WriteFile(ts.MkAbs("cells.out"), []byte(b.String()), 0o644))
}

// What differs between a workbook and the same in CSV files: where a reading stands, and the sum of the files.
var rePlace = regexp.MustCompile(`survey(\*\*)? [0-9a-f]{12}\b|\([a-z]+\.csv:[0-9]+\)|\(survey\.xlsx:[a-z]+![A-Z]+[0-9]+\)`)

// The small demo in a workbook gives the table of the same in CSV files, but for where a
// reading stands and the sum of the files; in a folder, and alone.
func TestDemoInAWorkbook(t *testing.T) {
	t.Parallel()
	without := func(out string) string { return rePlace.ReplaceAllString(out, "(place)") }
	dir, sheets := t.TempDir(), smallDemo(t)
	file := filepath.Join(dir, "survey.xlsx")
	toWorkbook(sheets, file, t)
	settings, err := filepath.Glob(filepath.Join(sheets, "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range settings {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, filepath.Base(name)), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, format := range []string{"markdown", "csv"} { // in text a longer place breaks lines elsewhere
		want, err := answered("check", sheets, "--plain", "--format", format, "--fail-on", "never")
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{dir, file} {
			got, err := answered("check", name, "--plain", "--format", format, "--fail-on", "never")
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(strings.ReplaceAll(without(want), sheets, name), without(got)); diff != "" {
				t.Errorf("%s of %s (-csv +workbook):\n%s", format, filepath.Base(name), diff)
			}
		}
	}
}

// A workbook of the result holds what the CSV holds, with names as typed.
func TestResultWorkbook(t *testing.T) {
	t.Parallel()
	dir, few := t.TempDir(), smallDemo(t)
	book := filepath.Join(dir, "result.xlsx")
	if out, stderr, code := runFor(t, "check", few, "--plain", "-o", book); code != exitFindings || out != "" {
		t.Fatalf("exit code %d, standard output %q: %s", code, out, stderr)
	}
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, want := f.GetSheetList(), []string{"summary", "findings", "limits", "track", "unsettled", "plan",
		"orders", "defaults_used", "warnings"}; !slices.Equal(got, want) {
		t.Errorf("sheets %q, want %q", got, want)
	}
	printed, err := answered("check", few, "--plain", "--format", "csv", "--fail-on", "never")
	if err != nil {
		t.Fatal(err)
	}
	want, err := csv.NewReader(strings.NewReader(printed)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.GetRows("findings", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(want) {
		t.Fatalf("%d rows, the CSV has %d", len(got), len(want))
	}
	// The same rows under the same heads, the worst first; the cautions stand on the sheet summary.
	var columns []int
	for _, h := range want[0][:len(want[0])-1] {
		i := slices.Index(got[0], strings.ReplaceAll(h, "_", " "))
		if i < 0 {
			t.Fatalf("the workbook has no column %s", h)
		}
		columns = append(columns, i)
	}
	rows := map[string]int{}
	for _, row := range want[1:] {
		rows[strings.Join(row[:len(columns)], "|")]++
	}
	rank := map[string]int{"conflict": 0, "undecided": 1, "not measured": 2, "clear": 3}
	last := 0
	for _, row := range got[1:] {
		var cells []string
		for _, i := range columns {
			cell := ""
			if i < len(row) {
				cell = row[i]
			}
			cells = append(cells, cell)
		}
		rows[strings.Join(cells, "|")]--
		if r := rank[row[0]]; r < last {
			t.Errorf("%s stands behind what is better", row[0])
		} else {
			last = r
		}
	}
	for row, n := range rows {
		if n != 0 {
			t.Errorf("%d times more in the CSV: %s", n, row)
		}
	}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil || len(rows) < 2 && sheet != "warnings" {
			t.Errorf("%s: %d rows, %v", sheet, len(rows), err)
		}
	}
}

// The same survey gives the same workbook, and an empty one is always the same.
func TestWorkbooksAreByteStable(t *testing.T) {
	fixture.InVolumes(t, "it makes each workbook twice")
	t.Parallel()
	dir, few := t.TempDir(), smallDemo(t)
	read := func(name string) []byte {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	var made [][]byte
	for _, n := range []string{"a", "b"} {
		name := filepath.Join(dir, n)
		runFor(t, "check", few, "--plain", "-o", name+"-result.xlsx")
		if _, stderr, code := runFor(t, "blank", name+".xlsx"); code != 0 {
			t.Fatal(stderr)
		}
		made = append(made, read(name+"-result.xlsx"), read(name+".xlsx"))
	}
	if !bytes.Equal(made[0], made[2]) || !bytes.Equal(made[1], made[3]) {
		t.Error("a workbook differs between two runs")
	}
}

func noteText(c excelize.Comment) string {
	text := c.Text
	for _, run := range c.Paragraph {
		text += run.Text
	}
	return text
}

// The blank workbook keeps what is typed: every column is text down to the last row,
// its heading stays in view and says the unit.
func TestBlankWorkbook(t *testing.T) {
	name := filepath.Join(t.TempDir(), "yard.xlsx")
	if _, stderr, code := runFor(t, "blank", "--xlsx", name); code != 0 {
		t.Fatal(stderr)
	}
	f, err := excelize.OpenFile(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, want := f.GetSheetList(), []string{"cars", "wheels", "frogs", "switches", "curves", "joints",
		"gauge", "tracks", "jobs"}; !slices.Equal(got, want) {
		t.Errorf("sheets %q, want %q", got, want)
	}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil || len(rows) != 2 || rows[0][0] != "# unit" {
			t.Fatalf("%s: %d rows, %v", sheet, len(rows), err)
		}
		notes, err := f.GetComments(sheet)
		if err != nil {
			t.Fatal(err)
		}
		explained := map[string]string{}
		for _, n := range notes {
			explained[n.Cell] = noteText(n)
		}
		for i, head := range rows[1] {
			col, _ := excelize.ColumnNumberToName(i + 1)
			id, err := f.GetColStyle(sheet, col)
			if err != nil {
				t.Fatal(err)
			}
			style, err := f.GetStyle(id)
			if err != nil || style.NumFmt != 49 {
				t.Errorf("%s!%s is not formatted as text", sheet, col)
			}
			if explained[col+"2"] == "" && head != "note" && head != "group" && head != "trips_per_year" {
				t.Errorf("%s!%s1 %s is not explained", sheet, col, head)
			}
		}
		panes, err := f.GetPanes(sheet)
		if err != nil || !panes.Freeze || panes.YSplit != 2 {
			t.Errorf("%s: the headings do not stay in view: %+v, %v", sheet, panes, err)
		}
	}
	notes, err := f.GetComments("wheels")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(notes, func(c excelize.Comment) bool {
		return strings.Contains(noteText(c), "in mm without a unit [")
	})
	if i < 0 {
		t.Error("tread_hollow does not say its unit and bounds")
	}
}
