package bulk_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
	"flangeway/wheel/bulk"
)

// written is a file that somebody writes while it is read.
type written struct{ data atomic.Pointer[[]byte] }

func (f *written) ReadAt(b []byte, off int64) (int, error) {
	return bytes.NewReader(*f.data.Load()).ReadAt(b, off)
}

func (f *written) write(data []byte) { f.data.Store(&data) }

// writing takes groups, and has the file written at one car.
type writing struct {
	groupGathering
	at    bulk.Order
	write func()
}

func (c *writing) Group(x *bulk.Group) {
	if x.Order == c.at {
		c.write()
	}
}

// TestWrittenWhileRead: warnings of later blocks are worded, and wheels found again, when all rows have been counted. A
// file that has other rows by then has changed: the reading does not look for rows that are gone until the end of time,
// and does not take others for them.
func TestWrittenWhileRead(t *testing.T) {
	data, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	const head = "car,position,flange_height\n"
	var b strings.Builder
	b.WriteString(head)
	last := 0
	for i := range 40 {
		last = b.Len()
		fmt.Fprintf(&b, "C%03d,L1,0.800\nC%03d,R1,1.200\n", i, i)
	}
	whole := []byte(b.String())
	for name, now := range map[string][]byte{
		"cut off":            whole[:len(head)+30],
		"blank lines":        append(whole[:len(head):len(head)], bytes.Repeat([]byte("\n"), len(whole)-len(head))...),
		"other readings":     bytes.ReplaceAll(whole, []byte("0.800"), []byte("1.200")),
		"cars in disorder":   append(append([]byte(head), whole[last:]...), whole[len(head):last]...),
		"a car named anew":   bytes.ReplaceAll(whole, []byte("C03"), []byte("B03")),
		"positions, swapped": bytes.ReplaceAll(whole, []byte("R1"), []byte("R2")),
	} {
		t.Run(name, func(t *testing.T) {
			file := &written{}
			file.write(whole)
			var ps measure.Problems
			s := bulk.OpenStream(file, int64(len(whole)), wheel.ReadCars(nil, data.Columns, data, &ps), data.Columns,
				data, sheet.Frame{}, &ps)
			s.Blocks(200)
			done := make(chan bool)
			go func() {
				defer close(done)
				_, _, ok, err := s.Each(t.Context(), func() bulk.Visitor {
					return &writing{at: bulk.Order(last) << 4, write: func() { file.write(now) }}
				})
				if err == nil && !ok {
					err = s.Defects(t.Context(), &ps)
				}
				if err == nil && ps.Len() == 0 { // the wording had no need of what changed
					_, err = s.Finder().Wheel(bulk.Order(last)<<4 | 8)
				}
				if !errors.Is(err, sheet.ErrChanged) && ps.Len() == 0 {
					t.Errorf("the error is %v, want one that says that the file changed", err)
				}
			}()
			select {
			case <-done:
			case <-time.After(20 * time.Second):
				t.Fatal("the reading does not end")
			}
		})
	}
}

// TestLargeDisorder: a sheet that is too large to be sorted here is refused with the row that
// is out of order and with what sorts it; a smaller one is read.
func TestLargeDisorder(t *testing.T) {
	data := fixture.Data(t)
	text := []byte("position,car\nL1,B\nL1,A\nL1,C\n")
	size := int64(len(text))
	for _, tc := range []struct {
		name string
		most int64
		want []string
	}{
		{"below the largest that is sorted", size + 1, nil},
		{"the largest that is sorted", size, nil},
		{"larger", size - 1, []string{"wheels.csv:3:4: car: car A stands behind car B, and a sheet of more than 64 " +
			"MiB is not sorted here (rows sorted by car: by the spreadsheet, or those below the headings by LC_ALL=C " +
			"sort -t, -k2,2)"}},
	} {
		var ps measure.Problems
		s := bulk.OpenStream(bytes.NewReader(text), size, wheel.ReadCars(nil, data.Columns, data, &ps), data.Columns,
			data, sheet.Frame{}, &ps)
		s.SortUpTo(tc.most)
		_, totals, ok, err := s.Each(t.Context(), func() bulk.Visitor { return &groupGathering{} })
		if err == nil && !ok {
			err = s.Defects(t.Context(), &ps)
		}
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(tc.want, problemLines(&ps)); diff != "" {
			t.Errorf("%s (- want, + got):\n%s", tc.name, diff)
		}
		if ok != (tc.want == nil) || ok && totals.Wheels != 3 {
			t.Errorf("%s: %t with %d wheels of 3", tc.name, ok, totals.Wheels)
		}
	}
}
