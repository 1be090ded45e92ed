package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"flangeway/internal/measure"
)

// Stream is a sheet that stays in its file: the heading line is read, the rows are read in windows of bounded size,
// whatever the size of the file.
type Stream struct {
	Table *Table // file and headings; no rows
	// Body is where the rows begin, in bytes, and Line the line that begins there.
	Body  int64
	Line  int
	Size  int64 // of the file
	r     io.ReaderAt
	heads []Cell
}

// Open reads the heading line of a sheet, like [Read]. ok is false if the rows cannot be read under it; why is among
// the problems.
func Open(file string, r io.ReaderAt, size int64, known []string, problems *measure.Problems) (s *Stream, ok bool) {
	s = &Stream{Table: &Table{File: file, Heads: map[string]int{}}, r: r, Size: size, Line: 1}
	w := s.Window(0)
	if err := w.Extend(); err != nil {
		s.Fail(err, problems)
		return s, false
	}
	if bytes.HasPrefix(w.Bytes, bom) {
		s.Body = int64(len(bom))
	}
	pos, line := int(s.Body), 1
	for {
		row, _, next, lines, err := w.Row(pos, line)
		switch {
		case err != nil:
			s.Fail(err, problems)
			return s, false
		case row == nil:
			problems.Add(measure.Place{File: file, Line: 1, Col: 1}, "heading", "there is no heading line",
				"a first line with the column names: "+strings.Join(known, ","))
			return s, false
		}
		pos, line = next, line+lines
		if strings.HasPrefix(strings.TrimSpace(row[0].Text), "#") || blank(row) {
			w.Start, w.Bytes, pos = w.Start+int64(pos), append(w.Bytes[:0], w.Bytes[pos:]...), 0
			continue
		}
		s.heads = append([]Cell(nil), row...)
		s.Body, s.Line = w.Start+int64(pos), line
		return s, s.Table.headings(s.heads, known, problems)
	}
}

var bom = []byte("\xef\xbb\xbf")

// Fail adds what stopped the reading of rows to the problems.
func (s *Stream) Fail(err error, problems *measure.Problems) {
	var se *ScanError
	switch {
	case errors.As(err, &se):
		problems.Add(measure.Place{File: s.Table.File, Line: se.Line, Col: se.Col}, "row", se.Err.Error(),
			scanHint(se.Err))
	case errors.Is(err, ErrChanged):
		problems.Add(measure.Place{File: s.Table.File}, "", "the file "+ErrChanged.Error(),
			"a folder that nobody writes to meanwhile")
	case errors.Is(err, ErrWindow):
		problems.Add(measure.Place{File: s.Table.File}, "", err.Error(), "rows of cars")
	default:
		problems.Add(measure.Place{File: s.Table.File}, "", "the file cannot be read", "a file that can be read")
	}
}

// Fit makes cells a row under the headings. ok is false for a blank row, and for one that does not fit, which is a
// problem if problems are asked for. The row holds until the cells are overwritten.
func (s *Stream) Fit(cells []Cell, problems *measure.Problems) (row Row, ok bool) {
	if blank(cells) {
		return Row{}, false
	}
	if problems == nil {
		problems = &measure.Problems{}
	}
	fitted, ok := s.Table.fit(cells, s.heads, false, problems)
	return Row{Line: cells[0].Line, cells: fitted, heads: s.Table.Heads}, ok
}

// Headings are the column names by index; "" stands over a column without one.
func (s *Stream) Headings() []string {
	out := make([]string, len(s.heads))
	for name, i := range s.Table.Heads {
		out[i] = name
	}
	return out
}

// ReadAt reads bytes of the file.
func (s *Stream) ReadAt(b []byte, off int64) (int, error) { return s.r.ReadAt(b, off) }

// Sorted is the same sheet with its rows in another order: r holds them one behind the other from byte 0, each with its
// line end.
func (s *Stream) Sorted(r io.ReaderAt, size int64) *Stream {
	out := *s
	out.r, out.Size, out.Body, out.Line = r, size, 0, 1
	return &out
}

// Padding is the least room that Bytes of a window has behind its end.
const Padding = 16

// windowStep is by how much a window grows, and at least what it holds at first.
const windowStep = 64 << 10

// Window is a part of a sheet in memory, from a byte of the file on.
type Window struct {
	Start int64  // of Bytes in the file
	Bytes []byte // ends in a line feed if EOF; Row may replace it by a longer one
	EOF   bool   // Bytes reaches the end of the file
	s     *Stream
	scan  Scanner
}

// Window begins an empty window at a byte of the file.
func (s *Stream) Window(at int64) *Window { return &Window{Start: at, s: s} }

// Reset moves the window and reads n bytes there, or up to the end of the file.
func (w *Window) Reset(at int64, n int) error {
	w.Start, w.Bytes, w.EOF = at, w.Bytes[:0], false
	return w.read(n)
}

// maxWindow is the most that a window holds: the rows of one car, or blank lines.
const maxWindow = 64 << 20

// ErrWindow is more between two cars than any car has.
var ErrWindow = errors.New("more than 64 MiB of rows or blank lines without another car")

// ErrChanged is a sheet that somebody wrote to while it was read.
var ErrChanged = errors.New("changed while it was read")

// Changed is [ErrChanged] with the name of the file.
func (s *Stream) Changed() error { return fmt.Errorf("%s %w", s.Table.File, ErrChanged) }

// Extend reads on behind the window.
func (w *Window) Extend() error {
	if len(w.Bytes) > maxWindow {
		return ErrWindow
	}
	return w.read(max(windowStep, len(w.Bytes)/4))
}

func (w *Window) read(n int) error {
	if w.EOF {
		return nil
	}
	from := len(w.Bytes)
	left := max(0, w.s.Size-w.Start-int64(from))
	if int64(n) >= left {
		n, w.EOF = int(left), true
	}
	if cap(w.Bytes) < from+n+Padding+1 {
		b := make([]byte, from, from+n+n/8+Padding+1)
		copy(b, w.Bytes)
		w.Bytes = b
	}
	w.Bytes = w.Bytes[:from+n]
	got, err := w.s.r.ReadAt(w.Bytes[from:], w.Start+int64(from))
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	if got < n { // the file became shorter
		return w.s.Changed()
	}
	if w.EOF && len(w.Bytes) > 0 && w.Bytes[len(w.Bytes)-1] != '\n' {
		w.Bytes = append(w.Bytes, '\n') // the end of the file ends a line
	}
	return nil
}

// Row scans the row at pos of the window, which begins the given line; blank lines before it are passed over. It gives
// the cells, which the next call overwrites, where the row begins and ends, in bytes of the window, and the number of
// lines passed. No cells and no error is the end of the file. The window is extended if it ends inside the row.
func (w *Window) Row(pos, line int) (cells []Cell, from, to, lines int, err error) {
	for {
		s := &w.scan
		*s = Scanner{data: w.Bytes, limits: DefaultLimits, pos: pos, line: line, start: pos, counted: pos, column: 1,
			row: w.scan.row[:0]}
		if !w.EOF {
			s.quoteAhead = w.quoteAhead
		}
		found := s.Scan()
		switch {
		case !w.EOF && s.pos >= len(w.Bytes):
			// the row, or its line end, may go on behind the window
			if err := w.Extend(); err != nil {
				return nil, 0, 0, 0, err
			}
		case s.err != nil:
			return nil, 0, 0, 0, s.err
		case !found:
			return nil, s.pos, s.pos, s.line - line, nil
		default:
			return s.row, s.began, s.pos, s.line - line, nil
		}
	}
}

// quoteAhead reports whether a quote stands behind the window.
func (w *Window) quoteAhead() bool {
	b := make([]byte, 1<<20)
	for at := w.Start + int64(len(w.Bytes)); at < w.s.Size; {
		n, err := w.s.r.ReadAt(b, at)
		if bytes.IndexByte(b[:n], '"') >= 0 {
			return true
		}
		if err != nil || n == 0 {
			break
		}
		at += int64(n)
	}
	return false
}
