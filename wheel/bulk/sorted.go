package bulk

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// maxUnsorted is the largest sheet, in bytes, whose rows are sorted here, in some eight times its size of memory:
// 1,200,000 wheels.
const maxUnsorted = 64 << 20

// sortRows makes the stream one of a copy of its rows in the order of their cars. What ends the reading of rows is kept
// for [Stream.Defects].
func (s *Stream) sortRows(ctx context.Context) error {
	type row struct {
		car      string
		from, to int64
		line     int
	}
	text := make([]byte, s.sheet.Size, s.sheet.Size+1)
	switch n, err := s.sheet.ReadAt(text, 0); {
	case n == len(text):
	case err == nil || errors.Is(err, io.EOF):
		return s.sheet.Changed()
	default:
		return err
	}
	text = append(text, '\n') // ends the last row
	rows := make([]row, 0, bytes.Count(text, []byte("\n")))
	names := map[string]string{}
	fields := sheet.Fields{Table: s.sheet.Table}
	err := s.eachText(ctx, func(cells []sheet.Cell, from, to int64) {
		r := row{from: from, to: to, line: cells[0].Line}
		if fit, ok := s.sheet.Fit(cells, nil); ok { // else it goes along for what is wrong in it
			id := fields.ID(fit, "car")
			if _, known := names[id]; !known {
				id = strings.Clone(id)
				names[id] = id
			}
			r.car = names[id]
		}
		rows = append(rows, r)
	})
	if defective(err) {
		s.broken = err
	} else if err != nil {
		return err
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.car, b.car) })
	sorted := make([]byte, 0, len(text))
	for _, r := range rows {
		for i := range bytes.Count(text[r.from:r.to], []byte("\n")) {
			s.lines = append(s.lines, int32(r.line+i))
		}
		sorted = append(sorted, text[r.from:r.to]...)
	}
	s.sheet = s.sheet.Sorted(bytes.NewReader(sorted), int64(len(sorted)))
	return nil
}

// line is the line of the file for one of the sheet, which may be sorted.
func (s *Stream) line(line int) int {
	if line > 0 && line <= len(s.lines) {
		return int(s.lines[line-1])
	}
	return line
}

// disorder adds the first row whose car comes behind a later one to the problems.
func (s *Stream) disorder(ctx context.Context, problems *measure.Problems) error {
	fields := sheet.Fields{Table: s.sheet.Table}
	last, found := "", false
	err := s.eachRow(ctx, func(row sheet.Row) {
		id := fields.ID(row, "car")
		if measure.Unmeasured(id) || found {
			return
		}
		if found = id < last; found {
			problems.Add(fields.Place(row, "car"),
				"car", fmt.Sprintf("car %s stands behind car %s, and a sheet of more than %d MiB is not sorted here",
					id, last, maxUnsorted>>20), fmt.Sprintf("rows sorted by car: by the spreadsheet, or those below "+
					"the headings by LC_ALL=C sort -t, -k%d,%[1]d", s.sheet.Table.Heads["car"]+1))
		}
		last = strings.Clone(id)
	}, nil)
	if err == nil && !found {
		return s.sheet.Changed()
	}
	return err
}
