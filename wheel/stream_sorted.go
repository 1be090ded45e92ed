package wheel

import (
	"bytes"
	"context"
	"errors"
	"io"
	"slices"
	"sort"
	"strings"
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
	for at := s.sheet.Body; at < s.sheet.Size && s.broken == nil; {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := w.Reset(at, int(s.block)+slack); err != nil {
			return err
		}
		pos := 0
		for int64(pos) < s.block {
			cells, from, to, lines, err := w.Row(pos, line)
			if err != nil {
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
			id := ""
			if row, ok := s.sheet.Fit(cells, nil); ok {
				id = p.fields.ID(row, "car")
			}
			// A row without a car goes along, for what is wrong in it.
			n, known := ids[id]
			if !known {
				id = strings.Clone(id)
				n = uint32(len(names))
				ids[id] = n
				names = append(names, id)
			}
			text := bytes.TrimSuffix(bytes.TrimSuffix(w.Bytes[from:to], []byte("\n")), []byte("\r"))
			first := cells[0].Line
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
		if want := int64(row.length) - skip; want > 0 {
			part := b[n:min(len(b), n+int(want))]
			got, err := v.r.ReadAt(part, row.from+skip)
			if got < len(part) {
				return n + got, err
			}
			n += got
			skip += int64(got)
		}
		if n < len(b) && skip == int64(row.length) {
			b[n] = '\n'
			n++
		}
		i++
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
