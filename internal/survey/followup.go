package survey

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/internal/sheet"
)

// Change holds the readings that work leaves in one row of a sheet: readings by column, as one would write them.
type Change struct {
	Place measure.Place // of the row that is the reading now
	Date  measure.Date  // of that row; the zero Date if it has none
	Sets  map[string]string
	// Keeps says which columns that no change names keep what stood in an older row; nil: all. What was not read again
	// is not measured in a row of readings.
	Keeps func(column string) bool
}

// ErrFollowUp is a survey whose sheets cannot be continued.
var ErrFollowUp = errors.New("no follow-up sheet can be written")

// FollowUp are the files of a survey after work: all of them as they were read, but for the rows of the changes. A row
// of an earlier day than the work stays as history, and a new row of the day stands under it; one of that day,
// and one without a day, is changed where it stands. Every column that no change names keeps what stood there.
func (s *Survey) FollowUp(changes []Change, day measure.Date) ([]BlankFile, error) {
	byFile := map[string][]Change{}
	for _, c := range changes {
		if IsWorkbook(c.Place.File) {
			return nil, fmt.Errorf("%w: %s is a workbook (expected a folder of CSV sheets: save each sheet as CSV "+
				"there)", ErrFollowUp, c.Place.File)
		}
		byFile[c.Place.File] = append(byFile[c.Place.File], c)
	}
	var out []BlankFile
	for _, path := range append(slices.Clone(s.Files), s.traced()...) {
		data, err := regular.Read(path, maxSheet)
		if err != nil {
			return nil, fmt.Errorf("%w: %s: %s", ErrFollowUp, path, regular.Why(err))
		}
		name, err := filepath.Rel(s.Dir, path)
		if err != nil || strings.HasPrefix(name, "..") {
			return nil, fmt.Errorf("%w: %s stands outside of the folder (expected it beside the sheets)",
				ErrFollowUp, path)
		}
		f := BlankFile{Name: name, What: "as it was", Data: data}
		if list := byFile[name]; len(list) > 0 {
			if f.Data, err = continued(data, list, day); err != nil {
				return nil, fmt.Errorf("%w: %s: %w", ErrFollowUp, name, err)
			}
			f.What = fmt.Sprintf("%d rows of work that is done", len(list))
			if len(list) == 1 {
				f.What = "1 row of work that is done"
			}
		}
		out = append(out, f)
	}
	return out, nil
}

// dateColumn is the heading of the day of a row.
const dateColumn = "date"

// Continued is a CSV sheet with changes of its rows; see [Survey.FollowUp].
func Continued(data []byte, changes []Change, day measure.Date) ([]byte, error) {
	return continued(data, changes, day)
}

// continued is a CSV sheet with its changes.
func continued(data []byte, changes []Change, day measure.Date) ([]byte, error) {
	var rows [][]string
	at := map[int]int{} // line → row
	head := -1
	scan := sheet.NewScanner(data, sheet.DefaultLimits)
	for scan.Scan() {
		row := each.Of(scan.Row(), func(c sheet.Cell) string { return c.Text })
		if head < 0 && !strings.HasPrefix(row[0], "#") {
			head = len(rows)
		}
		at[scan.Row()[0].Line] = len(rows)
		rows = append(rows, row)
	}
	if err := scan.Err(); err != nil {
		return nil, err
	}
	column := func(name string) int {
		i := slices.IndexFunc(rows[head], func(h string) bool { return strings.EqualFold(strings.TrimSpace(h), name) })
		if i < 0 { // a reading that was not on the sheet yet
			rows[head] = append(rows[head], name)
			i = len(rows[head]) - 1
		}
		return i
	}
	below := map[int][]string{} // rows of the day, under those that they follow
	for _, c := range changes {
		i, ok := at[c.Place.Line]
		if !ok {
			return nil, fmt.Errorf("line %d is gone", c.Place.Line)
		}
		row := slices.Clone(rows[i])
		if c.Keeps != nil && c.Date != day {
			for k := range row {
				if k < len(rows[head]) && !c.Keeps(strings.TrimSpace(rows[head][k])) {
					row[k] = ""
				}
			}
		}
		set := func(name, text string) {
			k := column(name)
			for len(row) <= k {
				row = append(row, "")
			}
			row[k] = text
		}
		for _, name := range slices.Sorted(maps.Keys(c.Sets)) {
			set(name, c.Sets[name])
		}
		if c.Date.Known() && c.Date < day {
			set(dateColumn, day.String())
			below[i] = row
			continue
		}
		if c.Keeps != nil { // the row without a day is of this day now
			k := column(dateColumn)
			for len(row) <= k {
				row = append(row, "")
			}
			row[k] = day.String()
		}
		rows[i] = row
	}
	for i, row := range rows { // as long as the headings, which may have grown
		if i > head {
			for len(row) < len(rows[head]) {
				row = append(row, "")
			}
			rows[i] = row
		}
		if under, ok := below[i]; ok {
			for len(under) < len(rows[head]) {
				under = append(under, "")
			}
			below[i] = under
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for i, row := range rows {
		if err := w.Write(row); err != nil {
			return nil, err
		}
		if under, ok := below[i]; ok {
			if err := w.Write(under); err != nil {
				return nil, err
			}
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
