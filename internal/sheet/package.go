//go:build !js

package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"flangeway/internal/measure"
)

// Bounds of a workbook. A survey beyond them stays in CSV files, which are read line by line.
const (
	maxUnpacked = 64 << 20  // bytes of all parts together
	maxParts    = 2000      // files within the package
	maxRows     = 100_000   // of one sheet, those without an entry not counted
	maxCells    = 2_000_000 // of one sheet, from the first column to the last with a cell
	maxMerges   = 1000      // merged ranges of one sheet
	maxText     = 32 << 20  // bytes of all cells together: one long text can stand in every cell
)

// checkPackage unpacks every part of a workbook once, to nowhere, within the bounds:
// a package can claim any size, and what reads it later does not compare checksums.
func checkPackage(data []byte) *measure.Fault {
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) { // the parts are never written to disk
		return damaged()
	}
	if len(r.File) > maxParts {
		return tooLarge(fmt.Sprintf("more than %d parts", maxParts))
	}
	var sum uint64
	for _, f := range r.File {
		if sum += f.UncompressedSize64; f.UncompressedSize64 > maxUnpacked || sum > maxUnpacked {
			return tooLarge(fmt.Sprintf("more than %d MiB unpacked", maxUnpacked>>20))
		}
	}
	for _, f := range r.File {
		if !intact(f) {
			return damaged()
		}
	}
	return nil
}

// intact reports whether a part unpacks to the size and checksum it claims.
func intact(f *zip.File) bool {
	rc, err := f.Open()
	if err != nil {
		return false
	}
	defer rc.Close()
	_, err = io.Copy(io.Discard, rc)
	return err == nil
}

func tooLarge(what string) *measure.Fault {
	return &measure.Fault{What: "the workbook is too large: " + what,
		Expected: "a workbook of entries alone; a larger survey stays in CSV files"}
}

// slimSheets takes the rows without an entry out of the sheets, before anything makes room for them: spreadsheets save
// formats down to row 1048576. What is left must keep to the bounds.
func slimSheets(book *excelize.File) (fault *measure.Fault) {
	texts, left := textsOf(book), maxText
	book.Pkg.Range(func(key, value any) bool {
		part, ok := value.([]byte)
		if !ok {
			return true
		}
		slim, err := slimSheet(part, texts, &left)
		var f *measure.Fault
		switch {
		case errors.As(err, &f):
			fault = f
		case err != nil && strings.HasPrefix(fmt.Sprint(key), "xl/worksheets/"):
			fault = damaged()
		case slim != nil:
			book.Pkg.Store(key, slim)
		}
		return fault == nil
	})
	return fault
}

var errNoSheet = errors.New("not a sheet")

// textsOf are the texts in the workbook's table of them, by their bytes.
func textsOf(book *excelize.File) (sizes []int) {
	part, ok := book.Pkg.Load("xl/sharedStrings.xml")
	if !ok {
		return nil
	}
	text, ok := part.([]byte)
	if !ok {
		return nil
	}
	for d, depth := xml.NewDecoder(bytes.NewReader(text)), 0; ; {
		tok, err := d.Token()
		if err != nil {
			return sizes
		}
		switch t := tok.(type) {
		case xml.StartElement:
			if depth++; depth == 2 && t.Name.Local == "si" {
				sizes = append(sizes, 0)
			}
		case xml.CharData:
			if depth > 2 && len(sizes) > 0 {
				sizes[len(sizes)-1] += len(t)
			}
		case xml.EndElement:
			depth--
		}
	}
}

// slimSheet is a part without its rows that have no entry, and with marks in cells that nobody typed so; nil if it is
// no sheet or has neither. The error is a [*measure.Fault] beyond the bounds, else one of the XML. texts are the sizes
// of the texts in the workbook, left is how many bytes of them cells may still hold.
func slimSheet(part []byte, texts []int, left *int) ([]byte, error) {
	s := slimmer{part: part, d: xml.NewDecoder(bytes.NewReader(part)), numbered: true, texts: texts, left: left,
		formulas: map[string]bool{}}
	if err := s.run(); err != nil {
		if errors.Is(err, errNoSheet) {
			return nil, nil
		}
		return nil, err
	}
	kept := s.full
	if !s.numbered {
		s.changes = slices.DeleteFunc(s.changes, func(c change) bool { return c.text == "" })
		kept = s.all
	}
	if err := s.beyond(kept); err != nil || len(s.changes) == 0 {
		return nil, err
	}
	var out []byte
	from := int64(0)
	for _, c := range s.changes {
		out = append(append(out, part[from:c.from]...), c.text...)
		from = c.to
	}
	return append(out, part[from:]...), nil
}

// change is a text in place of some bytes of a sheet.
type change struct {
	from, to int64
	text     string // "" leaves out a row
}

// rowCount is how much room rows take.
type rowCount struct{ last, cells int }

func (c *rowCount) add(row, cells int) {
	c.last = max(c.last, row)
	c.cells += cells
}

// slimmer walks over the XML of a sheet.
type slimmer struct {
	part []byte
	d    *xml.Decoder
	// numbered says that every row bears its number; else none can be left out.
	numbered  bool
	changes   []change // in order; rows without an entry are left out
	all, full rowCount
	merges    int
	texts     []int           // bytes of those in the workbook's table
	left      *int            // bytes of them that cells may still hold
	formulas  map[string]bool // that other cells share, by their number
}

func (s *slimmer) beyond(c rowCount) error {
	switch {
	case c.last > maxRows:
		return tooLarge(fmt.Sprintf("an entry in row %d, below row %d", c.last, maxRows))
	case c.cells > maxCells:
		return tooLarge(fmt.Sprintf("more than %d cells in a sheet", maxCells))
	}
	return nil
}

func (s *slimmer) run() error {
	first, row := true, 0
	for {
		start := s.d.InputOffset()
		tok, err := s.d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		el, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		switch {
		case first && el.Name.Local != "worksheet":
			return errNoSheet
		case el.Name.Local == "row":
			if row, err = s.row(start, el, row); err != nil {
				return err
			}
		case el.Name.Local == "mergeCell":
			if s.merges++; s.merges > maxMerges {
				return tooLarge(fmt.Sprintf("more than %d merged cells in a sheet", maxMerges))
			}
		}
		first = false
	}
}

// row takes one row; the number of the row before it stands for a missing one.
func (s *slimmer) row(start int64, el xml.StartElement, before int) (int, error) {
	number, err := strconv.Atoi(attr(el, "r"))
	if err != nil || number < 1 {
		s.numbered, number = false, before+1
	}
	entry, width, cells := false, 0, 0
	for depth := 1; depth > 0; {
		from := s.d.InputOffset()
		tok, err := s.d.Token()
		if err != nil {
			return 0, err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			if t.Name.Local != "c" {
				depth++
				continue
			}
			cells++
			width = max(width, cells)
			if name := attr(t, "r"); name != "" {
				col, _, err := excelize.CellNameToCoordinates(name)
				if err != nil {
					return 0, err
				}
				width = max(width, col)
			}
			full, err := s.cell(from, t)
			if err != nil {
				return 0, err
			}
			entry = entry || full
		case xml.EndElement:
			depth--
		}
	}
	s.all.add(number, width)
	if entry {
		s.full.add(number, width)
	} else {
		s.changes = append(s.changes, change{start, s.d.InputOffset(), ""})
	}
	return number, nil
}

// lostText marks a cell whose text is not in the workbook's table of texts, which the library takes for a blank one.
const lostText = "#LOST TEXT"

// cell takes one cell that begins at byte from; full is false without an entry.
func (s *slimmer) cell(from int64, el xml.StartElement) (full bool, err error) {
	var value, formula strings.Builder
	var f *xml.StartElement
	in := ""
	for depth := 1; depth > 0; {
		tok, err := s.d.Token()
		if err != nil {
			return false, err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			if depth++; depth == 2 {
				in = t.Name.Local
				full = full || in == "v" || in == "f" || in == "is"
				if in == "f" {
					f = &t
				}
			}
		case xml.CharData:
			switch {
			case depth == 2 && in == "v":
				value.Write(t)
			case depth == 2 && in == "f":
				formula.Write(t)
			}
		case xml.EndElement:
			depth--
		}
	}
	text := ""
	switch written := strings.TrimSpace(value.String()); {
	case f != nil && s.hidden(*f, formula.String()):
		if text = "<f>?</f>"; attr(*f, "t") == "dataTable" {
			text = "<f>TABLE()</f>"
		}
	case f == nil && attr(el, "t") == "s" && written != "":
		n, err := strconv.Atoi(written)
		if err != nil || n < 0 || n >= len(s.texts) {
			text = "<v>" + lostText + "</v>"
			break
		}
		if *s.left -= s.texts[n]; *s.left < 0 {
			return false, tooLarge(fmt.Sprintf("more than %d MiB of text in its cells", maxText>>20))
		}
	}
	if text != "" {
		name := ""
		if r := attr(el, "r"); r != "" {
			name = ` r="` + r + `"`
		}
		s.changes = append(s.changes, change{from, s.d.InputOffset(), "<c" + name + ` t="e">` + text + "</c>"})
	}
	return full, nil
}

// hidden reports a formula without words of its own, which the library does not tell from an entry that was typed: one
// left empty, or the formula of a data table.
func (s *slimmer) hidden(f xml.StartElement, words string) bool {
	shared := attr(f, "si")
	if strings.TrimSpace(words) != "" {
		if shared != "" {
			s.formulas[shared] = true
		}
		return false
	}
	return attr(f, "t") != "shared" || !s.formulas[shared]
}

func attr(el xml.StartElement, name string) string {
	for _, a := range el.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}
