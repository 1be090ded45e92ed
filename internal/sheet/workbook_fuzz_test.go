package sheet_test

import (
	"errors"
	"regexp"
	"testing"
	"unicode/utf8"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// readAll reads a workbook as far as it goes: a table whose cells have places, or faults, never a panic.
func readAll(t *testing.T, data []byte) {
	book, err := sheet.OpenWorkbook("x.xlsx", data)
	if err != nil {
		var fault *measure.Fault
		if !errors.As(err, &fault) || fault.What == "" {
			t.Fatalf("%T %v says nothing", err, err)
		}
		return
	}
	var ps measure.Problems
	for name, src := range book.Sources([]string{"wheels"}, &ps) {
		table := src.Read([]string{"a", "date"}, &ps)
		f := &sheet.Fields{Table: table, Problems: &ps,
			Columns: map[string]measure.Spec{"a": {Column: "a", Unit: measure.Inches, Lo: -100, Hi: 100}}}
		for _, r := range table.Rows {
			f.Reading(r, "a")
			f.Date(r, "date")
			for _, k := range []string{"a", "date"} {
				c := r.Cell(k)
				if table.Has(k) && (c.Line < 1 || c.Col < 1) || !utf8.ValidString(c.Text) {
					t.Fatalf("%s: the cell %+v", name, c)
				}
			}
		}
	}
	for _, m := range messages(&ps) {
		if m == "" || !utf8.ValidString(m) {
			t.Fatalf("the message %q", m)
		}
	}
}

// FuzzWorkbookBytes: any bytes by the name of a workbook.
func FuzzWorkbookBytes(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("car,position\n"))
	sound := pack(f, parts(twoRows, "", ""))
	f.Add(sound)
	f.Add(sound[:len(sound)/2])
	f.Fuzz(func(t *testing.T, data []byte) { readAll(t, data) })
}

// far is a row or column so far out that making room for it takes its time.
var far = regexp.MustCompile(`[0-9]{4}|[A-Za-z]{3}[0-9]`)

// FuzzWorkbookParts: any text as the parts that a sheet is read from, in a package that is sound.
func FuzzWorkbookParts(f *testing.F) {
	const xfs = `<numFmts><numFmt numFmtId="164" formatCode="d/m"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="12"/></cellXfs>`
	for _, s := range [][3]string{
		{twoRows, "", ""},
		{`<sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c r="A2" s="3"><v>1.4375</v></c><c r="B2" s="1"><v>42376</v></c></row></sheetData>`, `<si><t>a</t></si><si><r><t>da</t></r><r><t>te</t></r></si>`, xfs},
		{`<sheetData><row><c><f>1+1</f><v>2</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells>`,
			"", xfs},
		{`<sheetData><row r="3"><c r="C2" t="e"><v>#N/A</v></c></row><row r="1"><c r="A1" t="d"><v>2016-01-07T00:00:00</v></c></row></sheetData>`, "", ""},
		{`<sheetData><row r="1"><c r="A1" t="s"><v>99</v></c><c r="A1" s="-1"><v>1e999</v></c></row></sheetData>`,
			`<si/>`, `<cellXfs><xf numFmtId="-1"/></cellXfs>`},
		{`<cols><col min="1" max="16384" style="2"/></cols><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>a_x0000__xD800_</t></is></c><c r="B1" t="b"><v>1</v></c></row></sheetData>`, "", xfs},
		{`<sheetData><row r="1"><c r="A1"><f t="shared" si="0"/></c><c r="B1"><f t="shared" ref="B1:B9" si="0">A1</f></c></row></sheetData>`, "", ""},
	} {
		f.Add(s[0], s[1], s[2])
	}
	f.Fuzz(func(t *testing.T, sheetXML, shared, styles string) {
		if len(sheetXML)+len(shared)+len(styles) > 1<<14 || far.MatchString(sheetXML) {
			t.Skip("size is the bounds' matter")
		}
		readAll(t, pack(t, parts(sheetXML, shared, styles)))
	})
}
