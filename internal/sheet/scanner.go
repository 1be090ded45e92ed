package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"unicode/utf8"
)

// Limits bound what a defective file can cost.
type Limits struct {
	CellBytes int // of one cell
	Columns   int // of one row
}

// DefaultLimits are far beyond any sheet a person keeps.
var DefaultLimits = Limits{CellBytes: 32 << 10, Columns: 256}

// Errors of the scanner, without their place.
var (
	ErrNotUTF8    = errors.New("bytes that are not UTF-8 text")
	ErrNUL        = errors.New("a NUL byte")
	ErrOpenQuote  = errors.New("a quote that never closes")
	ErrAfterQuote = errors.New("text behind a closing quote")
	ErrLongCell   = errors.New("a cell is too long")
	ErrColumns    = errors.New("too many cells in a row")
)

// Cell is one cell as typed, with its place. Col counts characters from 1; in a workbook it is the column.
type Cell struct {
	Text      string
	Line, Col int
	// Odd is what keeps a cell of a workbook from being read as typed, a date or a formula; nil for a sound one. Text
	// of a date is YYYY-MM-DD.
	Odd *Odd
}

// ScanError is the fault that stopped the scanner, with its place.
type ScanError struct {
	Line, Col int
	Err       error
}

func (e *ScanError) Error() string { return fmt.Sprintf("%d:%d: %v", e.Line, e.Col, e.Err) }

// Unwrap gives the sentinel error.
func (e *ScanError) Unwrap() error { return e.Err }

// Scanner walks over the rows of a sheet. The zero value is not usable.
type Scanner struct {
	data   []byte
	text   string // data, of which the cells are parts; "" if data changes later
	limits Limits
	pos    int // next byte
	line   int // of pos
	start  int // where the text line of pos begins, for the column
	began  int // where the row begins
	row    []Cell
	// counted is a byte of the line of pos, and column its character position; counting on from there keeps a long row
	// linear.
	counted, column int
	err             *ScanError
	// quoteAhead tells of data that is a part of a file whether a quote stands in what follows; nil if the data is the
	// whole.
	quoteAhead func() bool
}

// NewScanner scans data, which must stay as it is while the scanner is in use.
func NewScanner(data []byte, limits Limits) *Scanner {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	return &Scanner{data: data, text: string(data), limits: limits, line: 1, column: 1}
}

// Row is the row that the last Scan found; it is overwritten by the next.
func (s *Scanner) Row() []Cell { return s.row }

// Err is the fault that stopped the scanner before the end, or nil.
func (s *Scanner) Err() error {
	if s.err == nil {
		return nil
	}
	return s.err
}

// Scan advances to the next row that is not blank and reports whether there is one.
func (s *Scanner) Scan() bool {
	for s.err == nil && s.pos < len(s.data) {
		if n := s.lineEnd(s.pos); n > 0 { // a blank line
			s.newLine(n)
			continue
		}
		s.row, s.began = s.row[:0], s.pos
		return s.scanRow()
	}
	return false
}

// lineEnd is the length of the line end at i: 0 if there is none.
func (s *Scanner) lineEnd(i int) int {
	switch {
	case s.data[i] == '\n':
		return 1
	case s.data[i] == '\r' && i+1 < len(s.data) && s.data[i+1] == '\n':
		return 2
	case s.data[i] == '\r' && i+1 == len(s.data):
		return 1
	}
	return 0
}

func (s *Scanner) newLine(n int) {
	s.pos += n
	s.line++
	s.start = s.pos
	s.counted, s.column = s.pos, 1
}

// col is the character position of pos.
func (s *Scanner) col() int {
	s.column += utf8.RuneCount(s.data[s.counted:s.pos])
	s.counted = s.pos
	return s.column
}

func (s *Scanner) fail(at, line, start int, err error) bool {
	s.err = &ScanError{Line: line, Col: utf8.RuneCount(s.data[start:at]) + 1, Err: err}
	return false
}

func (s *Scanner) scanRow() bool {
	for {
		if len(s.row) >= s.limits.Columns {
			return s.fail(s.pos, s.line, s.start, fmt.Errorf("%w (at most %d)", ErrColumns, s.limits.Columns))
		}
		cell := Cell{Line: s.line, Col: s.col()}
		var ok bool
		if s.pos < len(s.data) && s.data[s.pos] == '"' {
			ok = s.quoted(&cell)
		} else {
			ok = s.unquoted(&cell)
		}
		if !ok {
			return false
		}
		s.row = append(s.row, cell)
		if s.pos >= len(s.data) {
			return true
		}
		if s.data[s.pos] == ',' {
			s.pos++
			continue
		}
		s.newLine(s.lineEnd(s.pos))
		return true
	}
}

// unquoted reads up to the next comma or line end.
func (s *Scanner) unquoted(cell *Cell) bool {
	from := s.pos
	for s.pos < len(s.data) {
		c := s.data[s.pos]
		if c == ',' || (c == '\n' || c == '\r') && s.lineEnd(s.pos) > 0 {
			break
		}
		s.pos++
		if s.pos-from > s.limits.CellBytes {
			return s.fail(from, s.line, s.start, fmt.Errorf("%w (at most %d bytes)", ErrLongCell, s.limits.CellBytes))
		}
	}
	if s.text == "" {
		return s.fill(cell, s.data[from:s.pos], "")
	}
	return s.fill(cell, s.data[from:s.pos], s.text[from:s.pos])
}

// quoted reads a cell that begins with a quote; a doubled quote stands for one.
func (s *Scanner) quoted(cell *Cell) bool {
	openLine, openStart, open := s.line, s.start, s.pos
	s.pos++
	from := s.pos
	var joined []byte // pieces before a doubled quote or a CRLF
	for {
		if s.pos >= len(s.data) {
			return s.fail(open, openLine, openStart, ErrOpenQuote)
		}
		if s.pos-open > s.limits.CellBytes {
			// An unclosed quote swallows the rest of the file: say so, rather than that a cell is long.
			if !s.closesWithin() {
				return s.fail(open, openLine, openStart, ErrOpenQuote)
			}
			return s.fail(open, openLine, openStart, fmt.Errorf("%w (at most %d bytes)", ErrLongCell,
				s.limits.CellBytes))
		}
		switch c := s.data[s.pos]; c {
		case '"':
			if s.pos+1 < len(s.data) && s.data[s.pos+1] == '"' {
				joined = append(joined, s.data[from:s.pos+1]...)
				s.pos += 2
				from = s.pos
				continue
			}
			piece := s.data[from:s.pos]
			if joined != nil {
				piece = append(joined, piece...)
			}
			if !s.fill(cell, piece, "") {
				return false
			}
			s.pos++
			if s.pos < len(s.data) && s.data[s.pos] != ',' && s.lineEnd(s.pos) == 0 {
				if s.line > openLine { // more likely the quote was never meant to reach here
					return s.fail(open, openLine, openStart,
						fmt.Errorf("%w, or closes in line %d with text behind it", ErrOpenQuote, s.line))
				}
				return s.fail(s.pos, s.line, s.start, ErrAfterQuote)
			}
			return true
		case '\r':
			if s.pos+1 < len(s.data) && s.data[s.pos+1] == '\n' { // a line end inside a cell is one character
				joined = append(joined, s.data[from:s.pos]...)
				if joined == nil {
					joined = []byte{}
				}
				s.pos++
				from = s.pos
				continue
			}
			s.pos++
		case '\n':
			s.newLine(1)
		default:
			s.pos++
		}
	}
}

// closesWithin reports whether any quote follows in the file.
func (s *Scanner) closesWithin() bool {
	return bytes.IndexByte(s.data[s.pos:], '"') >= 0 || s.quoteAhead != nil && s.quoteAhead()
}

// fill puts text into a cell: b, of which same is a copy that stays, or "".
func (s *Scanner) fill(cell *Cell, b []byte, same string) bool {
	switch {
	case !utf8.Valid(b):
		s.err = &ScanError{Line: cell.Line, Col: cell.Col, Err: ErrNotUTF8}
	case bytes.IndexByte(b, 0) >= 0:
		s.err = &ScanError{Line: cell.Line, Col: cell.Col, Err: ErrNUL}
	case same != "":
		cell.Text = same
	default:
		cell.Text = string(b)
	}
	return s.err == nil
}
