package pocket

import (
	"bytes"
	"encoding/csv"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/sheet"
)

// rows are those of a CSV sheet from its headings on.
type rows struct {
	list [][]string
	at   map[int]int // where the row of a line stands
}

func rowsOf(data []byte) (*rows, error) {
	r := &rows{at: map[int]int{}}
	scan := sheet.NewScanner(data, sheet.DefaultLimits)
	for scan.Scan() {
		row := each.Of(scan.Row(), func(c sheet.Cell) string { return c.Text })
		if len(r.list) == 0 && strings.HasPrefix(row[0], "#") {
			continue
		}
		r.at[scan.Row()[0].Line] = len(r.list)
		r.list = append(r.list, row)
	}
	return r, scan.Err()
}

// only is the sheet with the rows of some lines alone, and which lines these are then.
func (r *rows) only(lines []int) (text []byte, now map[int]int, _ error) {
	now = map[int]int{}
	if len(r.list) == 0 {
		return nil, now, nil
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.Write(r.list[0]); err != nil {
		return nil, nil, err
	}
	for _, line := range lines {
		i, ok := r.at[line]
		if !ok || i == 0 {
			continue
		}
		w.Flush()
		now[line] = bytes.Count(b.Bytes(), []byte("\n")) + 1
		if err := w.Write(r.list[i]); err != nil {
			return nil, nil, err
		}
	}
	w.Flush()
	return b.Bytes(), now, w.Error()
}
