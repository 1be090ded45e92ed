package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"html"
	"strconv"
	"strings"

	"flangeway/internal/each"
)

// TextSheet is a sheet of texts in rows.
type TextSheet struct {
	Name string
	Rows [][]string
}

// WriteTexts makes a workbook of texts alone, each as it stands: a spreadsheet shows and keeps them so. The same sheets
// give the same bytes. It is written by hand because the library that reads workbooks is larger than all else in a page
// together.
func WriteTexts(sheets []TextSheet) ([]byte, error) {
	const (
		head = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
		main = `"http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		of   = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		pack = "http://schemas.openxmlformats.org/package/2006/"
		kind = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	)
	var types, list, links strings.Builder
	parts := []struct{ name, text string }{{"_rels/.rels", head + `<Relationships xmlns="` + pack + `relationships">` +
		`<Relationship Id="rId1" Type="` + of + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`}}
	for i, s := range sheets {
		n := strconv.Itoa(i + 1)
		part := `worksheets/sheet` + n + `.xml`
		types.WriteString(`<Override PartName="/xl/` + part + `" ContentType="` + kind + `worksheet+xml"/>`)
		list.WriteString(`<sheet name="` + written(s.Name) + `" sheetId="` + n + `" r:id="rId` + n + `"/>`)
		links.WriteString(`<Relationship Id="rId` + n + `" Type="` + of + `/worksheet" Target="` + part + `"/>`)
		var b strings.Builder
		b.WriteString(head + `<worksheet xmlns=` + main + `><cols><col min="1" max="64" width="16" style="1"/></cols>` +
			`<sheetData>`)
		for r, row := range s.Rows {
			fmt.Fprintf(&b, `<row r="%d">`, r+1)
			for c, text := range row {
				if text != "" {
					fmt.Fprintf(&b, `<c r="%s%d" s="1" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`,
						letters(c), r+1, written(text))
				}
			}
			b.WriteString(`</row>`)
		}
		b.WriteString(`</sheetData></worksheet>`)
		parts = append(parts, struct{ name, text string }{"xl/" + part, b.String()})
	}
	styles := strconv.Itoa(len(sheets) + 1)
	parts = append(parts, []struct{ name, text string }{
		{"xl/workbook.xml", head + `<workbook xmlns=` + main + ` xmlns:r="` + of + `"><sheets>` + list.String() +
			`</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", head + `<Relationships xmlns="` + pack + `relationships">` + links.String() +
			`<Relationship Id="rId` + styles + `" Type="` + of + `/styles" Target="styles.xml"/></Relationships>`},
		{"xl/styles.xml", head + `<styleSheet xmlns=` + main + `><fonts count="1"><font><sz val="11"/></font></fonts>` +
			`<fills count="2"><fill><patternFill patternType="none"/></fill>` +
			`<fill><patternFill patternType="gray125"/></fill></fills>` +
			`<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs>` +
			`<cellXfs count="2"><xf/><xf numFmtId="` +
			strconv.Itoa(asText) + `" applyNumberFormat="1"/></cellXfs></styleSheet>`},
	}...)
	first := struct{ name, text string }{"[Content_Types].xml", head + `<Types xmlns="` + pack + `content-types">` +
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Default Extension="xml" ContentType="application/xml"/>` +
		`<Override PartName="/xl/workbook.xml" ContentType="` + kind + `sheet.main+xml"/>` +
		`<Override PartName="/xl/styles.xml" ContentType="` + kind + `styles+xml"/>` + types.String() + `</Types>`}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range append([]struct{ name, text string }{first}, parts...) {
		w, err := z.Create(p.name)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write([]byte(p.text)); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// asText is the number format "@", under which a spreadsheet keeps what is typed.
const asText = 49

// letters name a column: A, Z, AA.
func letters(c int) string {
	if c < 26 {
		return string(rune('A' + c))
	}
	return letters(c/26-1) + string(rune('A'+c%26))
}

// written is a text in a part of a workbook: what XML cannot hold is a sign of its own, and what a spreadsheet would
// take for a character by its number (_x0041_) stays as it is.
func written(text string) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' || r == 0xfffe || r == 0xffff {
			return '\ufffd'
		}
		return r
	}, strings.ToValidUTF8(strings.ReplaceAll(text, "\r\n", "\n"), "\ufffd"))
	var b strings.Builder
	for i := range len(text) {
		if len(text) >= i+7 && text[i:i+2] == "_x" && text[i+6] == '_' {
			if _, err := strconv.ParseUint(text[i+2:i+6], 16, 16); err == nil {
				b.WriteString("_x005F")
			}
		}
		b.WriteByte(text[i])
	}
	return html.EscapeString(b.String())
}

// Rows are the rows of a CSV sheet as texts, comments among them.
func Rows(data []byte) (out [][]string, _ error) {
	scan := NewScanner(data, DefaultLimits)
	for scan.Scan() {
		row := each.Of(scan.Row(), func(c Cell) string { return c.Text })
		out = append(out, row)
	}
	return out, scan.Err()
}
