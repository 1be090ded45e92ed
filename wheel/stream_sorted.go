package wheel

import (
	"bytes"
	"context"
	"errors"
	"io"
	"slices"
	"sort"
	"strings"

	"flangeway/internal/sheet"
)

// sortRows makes the stream one of the same sheet with its rows sorted by car, read
// through a table of where each row stands: some forty bytes a row. What ends the
// reading of rows is kept for [Stream.Defects].
func (s *Stream) sortRows(ctx context.Context) error {
	n, err := s.lineCount(ctx)
	if err != nil {
		return err
	}
	v := &sortedView{r: s.sheet, rows: make([]rowAt, 0, n), spans: map[uint32]int32{}}
	ids := map[string]uint32{}
	var names []string
	cars := make([]uint32, 0, n) // of each row
	p := newPass(s, nil, nil)
	line, w := s.sheet.Line, p.window
	car, heads := s.sheet.Table.Heads["car"], len(s.sheet.Headings())
	for at := s.sheet.Body; at < s.sheet.Size && s.broken == nil; {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := w.Reset(at, int(s.block)+slack); err != nil {
			return err
		}
		pos := 0
		for int64(pos) < s.block {
			from, first, lines := pos, line, 1
			id, to, plain := plainLine(w.Bytes, pos, car, heads)
			if !plain {
				var cells []sheet.Cell
				var err error
				if cells, from, to, lines, err = w.Row(pos, line); err != nil {
					if !defective(err) {
						return err
					}
					s.broken = err
					break
				}
				if cells == nil {
					pos, line = to, line+lines
					break
				}
				first, id = cells[0].Line, id[:0]
				if row, ok := s.sheet.Fit(cells, nil); ok {
					id = []byte(p.fields.ID(row, "car"))
				}
			}
			// A row without a car goes along, for what is wrong in it.
			n, known := ids[string(id)]
			if !known {
				n = uint32(len(names))
				names = append(names, string(id))
				ids[names[n]] = n
			}
			text := bytes.TrimSuffix(bytes.TrimSuffix(w.Bytes[from:to], []byte("\n")), []byte("\r"))
			if span := line + lines - first; span > 1 {
				v.spans[uint32(len(v.rows))] = int32(span)
			}
			cars = append(cars, n)
			v.rows = append(v.rows, rowAt{w.Start + int64(from), int32(len(text)), int32(first)})
			pos, line = to, line+lines
		}
		at = w.Start + int64(pos)
	}
	v.sort(names, cars)
	s.sheet = s.sheet.Sorted(v, v.size())
	s.view = v
	return nil
}

// plainLine is the row at pos where it is a line of printable ASCII without quotes and
// has as many cells as there are headings, its car in the column of that number as a
// plain word, and the byte behind the line. ok is false for any other.
func plainLine(b []byte, pos, car, heads int) (id []byte, end int, ok bool) {
	column, from := 0, pos
	for i := pos; i < len(b); i++ {
		c := b[i]
		switch {
		case c == ',' || c == '\n' || c == '\r' && i+1 < len(b) && b[i+1] == '\n':
			if column == car {
				if id = b[from:i]; len(id) == 0 || !isPlain(id) {
					return nil, 0, false
				}
			}
			if c != ',' {
				return id, bytes.IndexByte(b[i:], '\n') + i + 1, column == heads-1
			}
			column, from = column+1, i+1
		case c < ' ' || c > '~' || c == '"':
			return nil, 0, false
		}
	}
	return nil, 0, false
}

func isPlain(id []byte) bool {
	for _, c := range id {
		if !plainByte(c) {
			return false
		}
	}
	return true
}

// lineCount is the number of line ends in the sheet, and one more: at least its
// rows.
func (s *Stream) lineCount(ctx context.Context) (int, error) {
	n, b := 1, make([]byte, s.block)
	for at := s.sheet.Body; at < s.sheet.Size; {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		got, err := s.sheet.ReadAt(b, at)
		n += bytes.Count(b[:got], []byte("\n"))
		if got == 0 {
			if err != nil && !errors.Is(err, io.EOF) {
				return 0, err
			}
			break
		}
		at += int64(got)
	}
	return n, nil
}

// rowAt is where a row stands in the file; its line end is not counted.
type rowAt struct {
	from   int64
	length int32
	line   int32
}

// sortedView is the rows of a sheet one behind the other in another order, each with
// a line feed behind it.
type sortedView struct {
	r     io.ReaderAt
	rows  []rowAt          // in the order of the file
	spans map[uint32]int32 // lines of the rows that have several
	order []uint32         // rows in the order of the view
	start []int64          // of each row in the view, and the end behind the last
	first []int32          // line of the view, from 1, at which each row begins
}

// sort puts the rows in the order of their cars; rows of one car keep theirs.
func (v *sortedView) sort(names []string, cars []uint32) {
	byName := make([]uint32, len(names))
	for i := range byName {
		byName[i] = uint32(i)
	}
	slices.SortFunc(byName, func(a, b uint32) int { return strings.Compare(names[a], names[b]) })
	next := make([]int, len(names)) // where the next row of a car goes
	for _, c := range cars {
		next[c]++
	}
	at := 0
	for _, n := range byName {
		at, next[n] = at+next[n], at
	}
	v.order = make([]uint32, len(cars))
	for i, c := range cars {
		v.order[next[c]] = uint32(i)
		next[c]++
	}
	v.start, v.first = make([]int64, len(v.order)+1), make([]int32, len(v.order))
	line := int32(1)
	for i, n := range v.order {
		v.start[i+1] = v.start[i] + int64(v.rows[n].length) + 1
		v.first[i] = line
		line += max(1, v.spans[n])
	}
}

func (v *sortedView) size() int64 { return v.start[len(v.start)-1] }

// ReadAt reads the rows as if they stood in this order.
func (v *sortedView) ReadAt(b []byte, off int64) (n int, err error) {
	i := sort.Search(len(v.order), func(i int) bool { return v.start[i+1] > off })
	for n < len(b) {
		if i >= len(v.order) {
			return n, io.EOF
		}
		skip := off + int64(n) - v.start[i]
		row := v.rows[v.order[i]]
		length := int64(row.length)
		// Rows that follow each other in the file too, as those of a car mostly do, are
		// read at once.
		for i++; i < len(v.order) && length-skip < int64(len(b)-n); i++ {
			next := v.rows[v.order[i]]
			if next.from != row.from+length+1 {
				break
			}
			length += 1 + int64(next.length)
		}
		if want := length - skip; want > 0 {
			part := b[n:min(len(b), n+int(want))]
			got, err := v.r.ReadAt(part, row.from+skip)
			if got < len(part) {
				return n + got, err
			}
			n += got
			skip += int64(got)
		}
		if n < len(b) && skip == length {
			b[n] = '\n'
			n++
		}
	}
	return n, nil
}

// lineAt is the line of the view that begins with byte at, 0 behind the last.
func (v *sortedView) lineAt(at int64) int {
	i, _ := slices.BinarySearch(v.start, at)
	if i == len(v.first) {
		return 0
	}
	return int(v.first[i])
}

// line is where a line of the view stands in the file.
func (v *sortedView) line(n int) int {
	i := sort.Search(len(v.first), func(i int) bool { return int(v.first[i]) > n }) - 1
	if i < 0 {
		return n
	}
	return int(v.rows[v.order[i]].line) + n - int(v.first[i])
}
