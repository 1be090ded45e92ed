package sheet_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// styled is a cell with a number format.
type styled struct {
	value  any
	numFmt int    // a format every spreadsheet has
	custom string // else one of its own
}

// formula is a cell with a formula, without a value as a library leaves it.
type formula string

// makeBook makes a workbook of named sheets, each a list of rows.
func makeBook(t testing.TB, sheets map[string][][]any, change ...func(*excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	check := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	var names []string
	for n := range sheets {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		if i == 0 {
			check(f.SetSheetName("Sheet1", n))
		} else {
			_, err := f.NewSheet(n)
			check(err)
		}
		for r, row := range sheets[n] {
			for c, v := range row {
				cell, err := excelize.CoordinatesToCellName(c+1, r+1)
				check(err)
				switch v := v.(type) {
				case nil:
				case formula:
					check(f.SetCellFormula(n, cell, string(v)))
				case styled:
					check(f.SetCellValue(n, cell, v.value))
					style := excelize.Style{NumFmt: v.numFmt}
					if v.custom != "" {
						style.CustomNumFmt = &v.custom
					}
					id, err := f.NewStyle(&style)
					check(err)
					check(f.SetCellStyle(n, cell, cell, id))
				default:
					check(f.SetCellValue(n, cell, v))
				}
			}
		}
	}
	for _, c := range change {
		c(f)
	}
	buf, err := f.WriteToBuffer()
	check(err)
	return buf.Bytes()
}

// readBook reads one sheet of a workbook as lengths, names and dates; problems come as messages.
func readBook(t testing.TB, data []byte, name string, columns []string) (*sheet.Table, *measure.Problems) {
	t.Helper()
	var ps measure.Problems
	book, err := sheet.OpenWorkbook("survey.xlsx", data)
	if err != nil {
		t.Fatal(err)
	}
	src := book.Sources([]string{"wheels", "frogs"}, &ps)[name]
	if src == nil {
		return &sheet.Table{}, &ps
	}
	return src.Read(columns, &ps), &ps
}

func messages(ps *measure.Problems) []string {
	var list measure.ProblemsError
	if !errors.As(ps.Err(), &list) {
		return nil
	}
	var out []string
	for _, p := range list {
		out = append(out, p.Error())
	}
	return out
}

// TestWorkbookCells: a cell is what was typed, or odd.
func TestWorkbookCells(t *testing.T) {
	for _, tc := range []struct {
		name   string
		cell   any
		want   string
		odd    string // part of the message
		day    bool
		reason string
	}{
		{"text", "1-7/16", "1-7/16", "", false, "as typed"},
		{"text number", "1.50", "1.50", "", false, "the zero says how closely it was read"},
		{"text with a formula's sign", "=1+1", "=1+1", "", false, "a text cell is text"},
		{"text with blanks", " A  1 ", " A  1 ", "", false, "trimmed where a name is read, not here"},
		{"text of a date", "8-Jan", "8-Jan", "", false, "left to the reading, which refuses it with the same hint"},
		{"text of two lines", "a\r\nb", "a\nb", "", false, "one line end, as in a CSV file"},
		{"number", 1.4375, "1.4375", "", false, "a decimal"},
		{"whole number", 54, "54", "", false, "no decimals"},
		{"sum of tenths", 0.1 + 0.2, "0.3", "", false, "fifteen digits, as a spreadsheet shows them"},
		{"negative", -1.5, "-1.5", "", false, "an elevation may be"},
		{"zero", 0, "0", "", false, "not -0"},
		{"two decimals shown", styled{1.4375, 2, ""}, "1.4375", "", false, "the value, not what is shown of it"},
		{"number in a text column", styled{1.5, 49, ""}, "1.5", "", false, "typed before the column became text"},
		{"number in colour", styled{1.5, 0, `[Red]0.00;[Blue]-0.00`}, "1.5", "", false, "the d of Red is no day"},
		{"number with a unit shown", styled{1.5, 0, `0.00" inches and days"`}, "1.5", "", false,
			"quoted text is no format"},
		{"number as a power", styled{1500, 11, ""}, "1500", "", false, "0.00E+00"},
		{"fraction", styled{1.4375, 12, ""}, "1-7/16", "", false, "typed as 1 7/16, and read no closer than that"},
		{"fraction of two digits", styled{0.4375, 13, ""}, "7/16", "", false, "typed as 0 7/16"},
		{"fraction in sixteenths", styled{1.5, 0, "# ?/16"}, "1-1/2", "", false,
			"in lowest terms, which are read no closer"},
		{"whole fraction", styled{54, 12, ""}, "54", "", false, "no part"},
		{"negative fraction", styled{-1.25, 12, ""}, "-1-1/4", "", false, "an elevation may be"},
		{"64th", styled{1 + 1.0/64, 0, "# ??/??"}, "1-1/64", "", false, "the finest that a rule shows"},
		{"decimal shown as a fraction", styled{1.44, 12, ""}, "1.44", "", false, "no 64th: typed as a decimal"},
		{"third", styled{1.0 / 3, 12, ""}, "0.333333333333333", "a fraction of an inch that no rule shows", false,
			"0.333333333333333 would pass for a very close reading"},
		{"date", styled{42376, 14, ""}, "2016-01-07", `"2016-01-07" looks like a date`, true,
			"1/7/16 as the spreadsheet takes it"},
		{"day and month", styled{42376, 16, ""}, "2016-01-07", "looks like a date", true, "7-Jan"},
		{"month and year", styled{42370, 17, ""}, "2016-01-01", "looks like a date", true, "Jan-16"},
		{"own date format", styled{42376, 0, "dd/mm/yyyy"}, "2016-01-07", "looks like a date", true, "by its letters"},
		{"date of a language", styled{42376, 0, `[$-409]d\-mmm\-yy;@`}, "2016-01-07", "looks like a date", true,
			"as spreadsheets write it"},
		{"month alone", styled{42376, 0, "mmmm"}, "2016-01-07", "looks like a date", true,
			"m without h and s is a month"},
		{"first of 1900", styled{1, 14, ""}, "1900-01-01", "looks like a date", true, "the calendar begins there"},
		{"before the day that never was", styled{59, 14, ""}, "1900-02-28", "looks like a date", true,
			"last day of the shifted ones"},
		{"behind the day that never was", styled{61, 14, ""}, "1900-03-01", "looks like a date", true,
			"first day of the others"},
		{"length in a cell formatted as a date", styled{1.4375, 16, ""}, "1900-01-01 10:30", "looks like a date", false,
			"no reading of dates, and no day"},
		{"date and time", styled{42376.5, 22, ""}, "2016-01-07 12:00", "looks like a date", false, "no day alone"},
		{"time", styled{0.5, 20, ""}, "0.5", `"12:00" looks like a date`, false, "1:40 becomes a time of day"},
		{"own time format", styled{0.5, 0, "[h]:mm"}, "0.5", "looks like a date", false, "hours in brackets"},
		{"percent", styled{0.5, 9, ""}, "50%", `"50%" is a percentage`, false, "of what?"},
		{"true", true, "TRUE", "", false, "a word; whether it is known is the column's matter"},
		{"formula", formula("A1+1"), "", `holds the formula "=A1+1"`, false, "what it gives is not typed"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			table, ps := readBook(t, makeBook(t, map[string][][]any{"wheels": {{"a", "b"}, {tc.cell, "x"}}}), "wheels",
				[]string{"a", "b"})
			if err := ps.Err(); err != nil || len(table.Rows) != 1 {
				t.Fatalf("%v, %d rows; %s", err, len(table.Rows), tc.reason)
			}
			got := table.Rows[0].Cell("a")
			if got.Text != tc.want || got.Line != 2 || got.Col != 1 {
				t.Errorf("%+v, want %q at row 2, column 1; %s", got, tc.want, tc.reason)
			}
			if (got.Odd != nil) != (tc.odd != "") || got.Odd != nil && (!strings.Contains(got.Odd.Fault.What, tc.odd) ||
				got.Odd.Day != tc.day) {
				t.Errorf("odd: %+v, want %q in it; %s", got.Odd, tc.odd, tc.reason)
			}
		})
	}
}

// A day counts from 1904 where the workbook says so.
func TestWorkbookOf1904(t *testing.T) {
	data := makeBook(t, map[string][][]any{"wheels": {{"a"}, {styled{1, 14, ""}}}}, func(f *excelize.File) {
		yes := true
		if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}); err != nil {
			t.Fatal(err)
		}
	})
	table, _ := readBook(t, data, "wheels", []string{"a"})
	if got := table.Rows[0].Cell("a").Text; got != "1904-01-02" {
		t.Errorf("day 1 is %s, want 1904-01-02", got)
	}
}

// Odd cells are reported once, at their place, with nothing that follows from them; a
// date is at home in a column of dates.
func TestWorkbookFields(t *testing.T) {
	day := styled{42376, 14, ""}
	table, ps := readBook(t, makeBook(t, map[string][][]any{"wheels": {
		{"# typed by A. N. Other"},
		{"car", "date", "flange_height", "kind", "note"},
		{"A 1", day, "1-7/16", "freight", "=SUM(A1)"},
		{day, styled{42376.5, 22, ""}, day, day, formula("1+1")},
		{"A 3", "2016-13-01", "8-Jan", "frieght", "x"},
		{nil, nil, 1.25},
	}}), "wheels", []string{"car", "date", "flange_height", "kind", "note"})
	f := &sheet.Fields{Table: table,
		Problems: ps, Columns: map[string]measure.Spec{"flange_height": {Column: "flange_height", Unit: measure.Inches,
			Lo: 0, Hi: 100}}}
	var first string
	for i, r := range table.Rows {
		id, date, h, kind, note := f.NeedID(r, "car"), f.Date(r, "date"), f.Reading(r, "flange_height"),
			f.Word(r, "kind", "freight"), f.Text(r, "note")
		if i == 0 {
			first = fmt.Sprint(id, " ", date, " ", h.Written, " ", kind, " ", note)
		}
	}
	if want := "A 1 2016-01-07 1-7/16 freight =SUM(A1)"; first != want {
		t.Errorf("the good row gives %q, want %q", first, want)
	}
	const hint = "looks like a date: the spreadsheet changed it (format the column as text in the spreadsheet and " +
		"type the reading again)"
	want := []string{
		`survey.xlsx:wheels!A4: car: "2016-01-07" ` + hint,
		`survey.xlsx:wheels!B4: date: "2016-01-07 12:00" ` + hint,
		`survey.xlsx:wheels!C4: flange_height: "2016-01-07" ` + hint,
		`survey.xlsx:wheels!D4: kind: "2016-01-07" ` + hint,
		`survey.xlsx:wheels!E4: note: the cell holds the formula "=1+1" (the entry itself; paste it as a value)`,
		`survey.xlsx:wheels!B5: date: "2016-13-01" is not a date (YYYY-MM-DD)`,
		`survey.xlsx:wheels!C5: flange_height: "8-Jan" ` + hint,
		`survey.xlsx:wheels!D5: kind: "frieght" is not known here (did you mean "freight"? one of freight)`,
		`survey.xlsx:wheels!A6: car: the car is missing (a name)`,
	}
	got := messages(ps)
	for i := range max(len(got), len(want)) {
		g, w := "", ""
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if g != w {
			t.Errorf("problem %d\n got %s\nwant %s", i+1, g, w)
		}
	}
}

// TestWorkbookRefuses: what cannot be a sheet of a survey is said at its place.
func TestWorkbookRefuses(t *testing.T) {
	head := []any{"a", "b"}
	hide := func(f *excelize.File) { _ = f.SetSheetVisible("wheels", false) }
	for _, tc := range []struct {
		name   string
		sheets map[string][][]any
		change func(*excelize.File)
		want   []string // parts of the messages, in order
		reason string
	}{
		{"sound", map[string][][]any{"wheels": {head, {"x"}}, "frogs": {head}, "Sheet2": nil, "#notes": {{"anything"}}},
			nil, nil, "an empty sheet and one marked # are passed over"},
		{"unknown sheet", map[string][][]any{"wheels": {head}, "frgos": {head}}, nil,
			[]string{`survey.xlsx:frgos!A1: file: "frgos" is not a sheet known here (did you mean "frogs"?`},
			"its readings would be missing"},
		{"capital sheet", map[string][][]any{"Wheels": {head}}, nil,
			[]string{`survey.xlsx:Wheels!A1: file: "Wheels" is not a sheet known here (did you mean "wheels"?`},
			"names are exact, as those of files"},
		{"far sheet", map[string][][]any{"wheels": {head}, "totals": {{1}}}, nil,
			[]string{"one of wheels, frogs; a sheet of your own"}, "with the list"},
		{"hidden sheet", map[string][][]any{"wheels": {head}, "#": nil}, hide,
			[]string{"survey.xlsx:wheels!A1: file: the sheet is hidden (show it"}, "nobody would see what is judged"},
		{"empty sheet", map[string][][]any{"wheels": nil}, nil, []string{"survey.xlsx:wheels!A1: heading: there " +
			"is no heading line (a first line with the column names: a,b)"}, "as an empty file"},
		{"unknown heading", map[string][][]any{"wheels": {{"a", "bb"}}}, nil,
			[]string{`survey.xlsx:wheels!B1: heading: "bb" is not a column`}, "as in a file"},
		{"heading twice", map[string][][]any{"wheels": {{"a", "a"}}}, nil,
			[]string{"survey.xlsx:wheels!B1: a: the column stands twice"}, "as in a file"},
		{"heading of a formula", map[string][][]any{"wheels": {{"a", formula("A1")}}}, nil,
			[]string{"survey.xlsx:wheels!B1: heading: the cell holds the formula"}, "no heading"},
		{"cell under no heading", map[string][][]any{"wheels": {head, {"x", "y", nil, "z"}, {"x"}}}, nil,
			[]string{`survey.xlsx:wheels!D2: row: "z" stands under no heading`}, "whose column is it?"},
		{"formula under no heading", map[string][][]any{"wheels": {head, {"x", "y", formula("A2")}}}, nil,
			[]string{`survey.xlsx:wheels!C2: `}, "it may be a total"},
		{"merged", map[string][][]any{"wheels": {head, {"x", "y"}, {"z"}}},
			func(f *excelize.File) { _ = f.MergeCell("wheels", "A2", "A3") },
			[]string{"survey.xlsx:wheels!A2: row: the cells A2 to A3 are merged (a cell of its own"},
			"which row has it?"},
		{"merged heading", map[string][][]any{"wheels": {head, {"x"}}},
			func(f *excelize.File) { _ = f.MergeCell("wheels", "A1", "B1") },
			[]string{"survey.xlsx:wheels!A1: row: the cells A1 to B1 are merged"}, "which column is it?"},
		{"merged above the headings", map[string][][]any{"wheels": {{"# title"}, head, {"x"}}},
			func(f *excelize.File) { _ = f.MergeCell("wheels", "A1", "B1") }, nil, "a title hurts nobody"},
		{"far column", map[string][][]any{"wheels": {head, {"x"}}},
			func(f *excelize.File) { _ = f.SetCellValue("wheels", "ZZ2", 1) },
			[]string{"survey.xlsx:wheels!IW2: row: too many cells in a row (at most 256)"}, "as in a file"},
		{"row far below", map[string][][]any{"wheels": {head, {"x"}}},
			func(f *excelize.File) { _ = f.SetCellStr("wheels", "A99999", "x") }, nil, "far below, but within"},
		{"format far below", map[string][][]any{"wheels": {head, {"x"}}}, func(f *excelize.File) {
			id, _ := f.NewStyle(&excelize.Style{NumFmt: 49})
			_ = f.SetCellStyle("wheels", "B1048576", "B1048576", id)
		}, nil, "spreadsheets format down to the last row"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var change []func(*excelize.File)
			if tc.change != nil {
				change = append(change, tc.change)
			}
			_, ps := readBook(t, makeBook(t, tc.sheets, change...), "wheels", []string{"a", "b"})
			got := messages(ps)
			if len(got) != len(tc.want) {
				t.Fatalf("%q, want %d of them; %s", got, len(tc.want), tc.reason)
			}
			for i, w := range tc.want {
				if !strings.Contains(got[i], w) {
					t.Errorf("%q, want %q in it; %s", got[i], w, tc.reason)
				}
			}
		})
	}
}

// pack makes a package of parts, as they stand.
func pack(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	var names []string
	for n := range parts {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		w, err := z.Create(n)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(parts[n])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// parts is a workbook of one sheet, wheels.
func parts(sheetXML, shared, styles string) map[string]string {
	const ns = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	const rel = `xmlns="http://schemas.openxmlformats.org/package/2006/relationships"`
	const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	return map[string]string{
		"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>`,
		"_rels/.rels": `<Relationships ` + rel + `><Relationship Id="rId1" Type="` + office +
			`/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml": `<workbook ` + ns + ` xmlns:r="` + office +
			`"><sheets><sheet name="wheels" sheetId="1" r:id="rId1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships ` + rel + `><Relationship Id="rId1" Type="` + office +
			`/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="` + office +
			`/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="rId3" Type="` + office +
			`/styles" Target="styles.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml": `<worksheet ` + ns + `>` + sheetXML + `</worksheet>`,
		"xl/sharedStrings.xml":     `<sst ` + ns + `>` + shared + `</sst>`,
		"xl/styles.xml":            `<styleSheet ` + ns + `>` + styles + `</styleSheet>`,
	}
}

const twoRows = `<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>a</t></is></c></row><row r="2"><c r="A2"><v>1.5</v></c></row></sheetData>`

// TestWorkbookDamaged: a file that is no workbook, is cut off or would unpack to more
// than a survey can be is refused as a whole.
func TestWorkbookDamaged(t *testing.T) {
	sound := makeBook(t, map[string][][]any{"wheels": {{"a"}, {"x"}}})
	without := func(name string) []byte {
		p := parts(twoRows, "", "")
		delete(p, name)
		return pack(t, p)
	}
	with := func(name, text string) []byte {
		p := parts(twoRows, "", "")
		p[name] = text
		return pack(t, p)
	}
	flipped := bytes.Clone(sound)
	flipped[len(flipped)/3] ^= 0x55
	lying := with("xl/media/image1.png", strings.Repeat("x", 1<<20))
	// the size in the directory of the package, made to claim a single byte
	for at := bytes.LastIndex(lying, []byte("xl/media/image1.png")) - 46 + 24; lying[at] != 1; {
		copy(lying[at:], []byte{1, 0, 0, 0})
	}
	wide := strings.Builder{}
	wide.WriteString("<sheetData>")
	for i := 1; i <= 200; i++ {
		fmt.Fprintf(&wide, `<row r="%d"><c r="A%d"><v>1</v></c><c r="XFD%d"/></row>`, i, i, i)
	}
	wide.WriteString("</sheetData>")
	// one text of 32 KiB in so many cells
	shared := func(cells int) []byte {
		return pack(t, parts(`<sheetData><row r="1">`+strings.Repeat(`<c t="s"><v>0</v></c>`,
			cells)+"</row></sheetData>", "<si><t>"+strings.Repeat("x", 32<<10)+"</t></si>", ""))
	}
	for _, tc := range []struct {
		name   string
		data   []byte
		want   string // part of the message; "" is sound
		reason string
	}{
		{"sound", sound, "", "the plain case"},
		{"sound parts", pack(t, parts(twoRows, "", "")), "", "the least that is a workbook"},
		{"empty", nil, "not a workbook or is damaged", "nothing"},
		{"text", []byte("car,position\n"), "not a workbook or is damaged", "a CSV file by another name"},
		{"cut off", sound[:len(sound)-40], "not a workbook or is damaged", "the directory stands at the end"},
		{"first half", sound[:len(sound)/2], "not a workbook or is damaged", "half a download"},
		{"changed byte", flipped, "not a workbook or is damaged", "the checksum tells"},
		{"old form", append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 600)...),
			"password or the old form", "another kind of file"},
		{"package of something else", pack(t, map[string]string{"a.txt": "x"}), "not a workbook or is damaged",
			"any archive is a package"},
		{"no workbook part", without("xl/workbook.xml"), "not a workbook or is damaged", "no list of sheets"},
		{"cut sheet", with("xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="1"><c r="A1"><v>1</v>`),
			"not a workbook or is damaged", "rows would be missing"},
		{"size that lies", lying, "not a workbook or is damaged", "it unpacks to more than it claims"},
		{"unpacked size", with("xl/media/image1.png", strings.Repeat("\x00", 64<<20)),
			"too large: more than 64 MiB unpacked", "a small file that unpacks to a large one"},
		{"far row", pack(t, parts(`<sheetData><row r="100001"><c r="A100001"><v>1</v></c></row></sheetData>`, "", "")),
			"too large: an entry in row 100001", "room would be made for every row above"},
		{"far empty row", pack(t, parts(`<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="A1048576" s="1"/></row></sheetData>`, "", "")), "", "a format alone"},
		{"wide rows", pack(t, parts(wide.String(), "", "")), "too large: more than 2000000 cells",
			"room would be made for every cell to the left"},
		{"merges", pack(t, parts(twoRows+"<mergeCells>"+strings.Repeat(`<mergeCell ref="A1:A2"/>`, 1001)+
			"</mergeCells>", "", "")), "too large: more than 1000 merged", "each is looked through for each cell"},
		{"text in all cells", shared(1024), "", "32 MiB in all"},
		{"more text in all cells", shared(1025), "too large: more than 32 MiB of text",
			"a workbook of a few kilobytes would take gigabytes"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := sheet.OpenWorkbook("survey.xlsx", tc.data)
			if tc.want == "" {
				if err != nil {
					t.Errorf("%v; %s", err, tc.reason)
				}
				return
			}
			var fault *measure.Fault
			if !errors.As(err, &fault) || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("%v, want %q in it; %s", err, tc.want, tc.reason)
			}
		})
	}
}

// A sheet that the workbook lists and does not hold is said at its name.
func TestWorkbookMissingSheet(t *testing.T) {
	p := parts(twoRows, "", "")
	delete(p, "xl/worksheets/sheet1.xml")
	_, ps := readBook(t, pack(t, p), "wheels", []string{"a"})
	if got := messages(ps); len(got) != 1 || !strings.HasPrefix(got[0],
		"survey.xlsx:wheels!A1: file: the sheet is damaged or missing") {
		t.Errorf("%q", got)
	}
}

// Rows without a number, as some programs write them, are counted.
func TestWorkbookUnnumberedRows(t *testing.T) {
	table, ps := readBook(t, pack(t, parts(`<sheetData><row><c t="inlineStr"><is><t>a</t></is></c></row><row/><row><c><v>1.5</v></c></row></sheetData>`, "", "")), "wheels", []string{"a"})
	if err := ps.Err(); err != nil || len(table.Rows) != 1 || table.Rows[0].Cell("a").Text != "1.5" ||
		table.Rows[0].Line != 3 {
		t.Errorf("%v, %+v", err, table.Rows)
	}
}

// TestWorkbookCellsNobodyTyped: a cell whose text is lost, and formulas that have no words
// of their own, are refused at their cell; what a spreadsheet leaves blank is blank.
func TestWorkbookCellsNobodyTyped(t *testing.T) {
	const head = `<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>a</t></is></c><c r="B1" t="inlineStr"><is><t>b</t></is></c></row>`
	for _, tc := range []struct {
		name, row string
		want      []string
		reason    string
	}{
		{"texts that are there", `<c r="A2" t="s"><v>0</v></c><c r="B2" t="s"><v> 1 </v></c>`, nil, "the plain case"},
		{"text beyond the table", `<c r="A2" t="s"><v>2</v></c><c r="B2"><v>1</v></c>`,
			[]string{"survey.xlsx:wheels!A2: a: the text of the cell is not in the workbook"},
			"it would read as not measured"},
		{"last text beyond the table", `<c r="A2"><v>1</v></c><c r="B2" t="s"><v>999</v></c>`,
			[]string{"survey.xlsx:wheels!B2: b: the text of the cell"}, "in the last column too"},
		{"text below the table", `<c r="A2" t="s"><v>-1</v></c>`,
			[]string{"survey.xlsx:wheels!A2: a: the text of the cell"}, "no such place"},
		{"text by no number", `<c r="A2" t="s"><v>x</v></c>`,
			[]string{"survey.xlsx:wheels!A2: a: the text of the cell"}, "it would read as the first text"},
		{"text of a formatted blank cell", `<c r="A2" t="s"/><c r="B2"><v>1</v></c>`, nil, "nothing was typed"},
		{"formula", `<c r="A2"><f>B2+1</f><v>2</v></c><c r="B2"><v>1</v></c>`, []string{`the formula "=B2+1"`},
			"as in every sheet"},
		{"empty formula", `<c r="A2"><f></f><v>1.5</v></c>`,
			[]string{`survey.xlsx:wheels!A2: a: the cell holds the formula "=?"`}, "its value was computed"},
		{"empty formula closed at once", `<c r="A2"><f/><v>1.5</v></c>`, []string{`the formula "=?"`}, "likewise"},
		{"data table", `<c r="A2"><f t="dataTable" ref="A2:A3" dt2D="0" dtr="0" r1="B2"/><v>1.5</v></c>`,
			[]string{`the formula "=TABLE()"`}, "its values are computed"},
		{"shared formula", `<c r="A2"><f t="shared" ref="A2:B2" si="0">1+1</f><v>2</v></c><c r="B2"><f t="shared" si="0"/><v>2</v></c>`, []string{`A2: a: the cell holds the formula "=1+1"`, `B2: b: the cell holds the formula "=1+1"`}, "the second has the words of the first"},
		{"shared formula of nobody", `<c r="A2"><f t="shared" si="7"/><v>2</v></c>`, []string{`the formula "=?"`},
			"its words are lost"},
		{"without a name", `<c><f/><v>2</v></c>`, []string{`survey.xlsx:wheels!A2: a: the cell holds the formula`},
			"cells in order need none"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			data := pack(t, parts(head+`<row r="2">`+tc.row+`</row><row r="3"/></sheetData>`,
				`<si><t>x</t></si><si><r><t>y</t></r></si>`, ""))
			table, ps := readBook(t, data, "wheels", []string{"a", "b"})
			fields := sheet.Fields{Table: table, Problems: ps}
			for _, row := range table.Rows {
				for _, column := range []string{"a", "b"} {
					fields.Text(row, column)
				}
			}
			got := messages(ps)
			if len(got) != len(tc.want) {
				t.Fatalf("%q, want %d of them; %s", got, len(tc.want), tc.reason)
			}
			for i, w := range tc.want {
				if !strings.Contains(got[i], w) {
					t.Errorf("%q, want %q in it; %s", got[i], w, tc.reason)
				}
			}
		})
	}
}
