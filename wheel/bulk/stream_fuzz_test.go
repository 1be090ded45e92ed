package bulk_test

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
	"flangeway/wheel/bulk"
)

// gathering collects the wheels of a stream as lines.
type gathering struct {
	lines  []string
	values *bulk.Values
}

func (g *gathering) gathered() []string { return g.lines }

func lineOf(order bulk.Order, slot int, read func(wheel.Quantity) (lo, hi float64, ok bool)) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d %d", order>>4, slot)
	for q := wheel.Quantity(0); q < wheel.NumQuantities; q++ {
		if lo, hi, ok := read(q); ok {
			fmt.Fprintf(&b, " %s [%.0f,%.0f]", q, math.Round(lo*1e9), math.Round(hi*1e9))
		}
	}
	return b.String()
}

func (g *gathering) Car(wheels []*wheel.Wheel, order []bulk.Order) {
	for i, w := range wheels {
		g.lines = append(g.lines, lineOf(order[i], int(order[i]&15), func(q wheel.Quantity) (lo, hi float64, ok bool) {
			r := w.Read(q)
			return r.Lo, r.Hi, r.Measured()
		}))
	}
}

// groupGathering takes groups.
type groupGathering struct{ gathering }

func (g *groupGathering) Values(v *bulk.Values)    { g.values = v }
func (g *groupGathering) Whole(uint8, []byte) bool { return false }
func (g *groupGathering) Group(x *bulk.Group) {
	for slot := range 16 {
		if x.Present>>slot&1 == 0 {
			continue
		}
		g.lines = append(g.lines, lineOf(x.Order|bulk.Order(slot), slot,
			func(q wheel.Quantity) (lo, hi float64, ok bool) {
				id := x.Row(slot).Entries[q]
				if (id != 0) != (x.Row(slot).Has>>q&1 != 0) {
					panic("a reading is there and not")
				}
				if id == 0 {
					return 0, 0, false
				}
				e := g.values.Ends(q)[id]
				return bulk.InMM(e.Lo), bulk.InMM(e.Hi), true
			}))
	}
}

// outcome is what a way of reading gives: the wheels, or what is wrong.
type outcome struct {
	Wheels, Problems, Warnings []string
	Cars                       int
}

func problemLines(ps *measure.Problems) (out []string) {
	if err := ps.Err(); err != nil {
		out = strings.Split(err.Error(), "\n")
	}
	return out
}

func warningLines(list []measure.Warning) (out []string) {
	for _, w := range list {
		out = append(out, w.Place.String()+": "+w.Text)
	}
	slices.Sort(out)
	return out
}

// sourceOf is a sheet, nil for an absent one.
func sourceOf(file string, data []byte) *sheet.Source {
	if data == nil {
		return nil
	}
	return sheet.CSV(file, data)
}

// readWhole reads both sheets in memory.
func readWhole(data *configs.Data, cars, wheels []byte) outcome {
	var ps measure.Problems
	fleet, warnings := wheel.Read(wheel.Sheets{Cars: sourceOf("cars.csv", cars),
		Wheels: sourceOf("wheels.csv", wheels)}, data.Columns, data, &ps)
	out := outcome{Problems: problemLines(&ps)}
	if ps.Len() > 0 {
		return out
	}
	out.Warnings, out.Cars = warningLines(warnings), len(fleet.Cars)
	for _, w := range fleet.Wheels {
		out.Wheels = append(out.Wheels, w.Car.ID+" "+w.Position.String()+
			lineOf(0, 0, func(q wheel.Quantity) (lo, hi float64, ok bool) {
				r := w.Read(q)
				return r.Lo, r.Hi, r.Measured()
			})[3:])
	}
	return out
}

// readStream reads them as a stream; every wheel is found again by its order, and has the readings it was given with.
func readStream(t *testing.T, data *configs.Data, cars, wheels []byte, block int64, grouped bool) outcome {
	t.Helper()
	var ps measure.Problems
	roster := wheel.ReadCars(sourceOf("cars.csv", cars), data.Columns, data, &ps)
	s := bulk.OpenStream(bytes.NewReader(wheels), int64(len(wheels)), roster, data.Columns, data, sheet.Frame{}, &ps)
	if s == nil {
		return outcome{Problems: problemLines(&ps)}
	}
	s.Blocks(block)
	visitors, totals, ok, err := s.Each(t.Context(), func() bulk.Visitor {
		if grouped {
			return &groupGathering{}
		}
		return &gathering{}
	})
	if err != nil {
		t.Fatal(err)
	}
	if !ok {
		if err := s.Defects(t.Context(), &ps); err != nil {
			t.Fatal(err)
		}
		if ps.Len() == 0 {
			t.Fatal("a defect was met and is not found again")
		}
	}
	out := outcome{Problems: problemLines(&ps)}
	if ps.Len() > 0 {
		return out
	}
	out.Warnings, out.Cars = warningLines(totals.Warnings), roster.Count()+totals.Unlisted
	type found struct {
		order bulk.Order
		text  string
	}
	var wheelsFound []found
	finder := s.Finder()
	for _, v := range visitors {
		for _, line := range v.(interface{ gathered() []string }).gathered() {
			var at, slot int64
			if _, err := fmt.Sscanf(line, "%d %d", &at, &slot); err != nil {
				t.Fatal(err)
			}
			order := bulk.Order(at<<4 | slot)
			w, err := finder.Wheel(order)
			if err != nil {
				t.Fatalf("%s is not found again: %v", line, err)
			}
			again := lineOf(order, int(slot), func(q wheel.Quantity) (lo, hi float64, ok bool) {
				r := w.Read(q)
				return r.Lo, r.Hi, r.Measured()
			})
			if again != line {
				t.Fatalf("%q is found again as %q", line, again)
			}
			wheelsFound = append(wheelsFound, found{order, w.Car.ID + " " + w.Position.String() +
				line[len(fmt.Sprintf("%d %d", at, slot)):]})
		}
	}
	if len(wheelsFound) != totals.Wheels {
		t.Fatalf("%d wheels were given and %d counted", len(wheelsFound), totals.Wheels)
	}
	slices.SortFunc(wheelsFound, func(a, b found) int { return int(a.order - b.order) })
	for _, w := range wheelsFound {
		out.Wheels = append(out.Wheels, w.text)
	}
	return out
}

// FuzzStream: any wheels.csv, read in blocks of any size, gives the wheels in the
// same order, or the same defects, and the same warnings, as read whole.
func FuzzStream(f *testing.F) {
	data := fixture.Data(f)
	const head = "car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back,rim_width\n"
	for _, s := range []string{
		"", "car,position\n", head, head + "A,L1,2026-03-01,1.160,1.220,0.10,53.050,5.600\nA,R1,2026-03-01,1.2,1-7/32,,,\nB,L1,,,,,,\n",
		head + "B,L1,,1.1,,,,\nA,L1,,1.2,,,,\nB,R1,,1.3,,,,\n",
		head + "A,L1,2026-03-01,1.1,,,,\nA,L1,2026-02-01,1.2,,,,\n", head + "A,L1,,1.1,,,,\nA,L1,,1.2,,,,\n",
		head + "A,L1,,1.1,,,53.1,\nA,R1,,1.2,,,53.2,\n",
		head + "A,L1,,1.1,,3.1,,\r\n\r\nA,R1,,1.4,,,,\r\n,,,,,,,\r\nb,L2,,>1,,,,\nB,L2,,1.1,,,,",
		head + "A,L9,,1.1,,,,\n",
		"car,position,note,flange_height\nA,L1,\"two\nlines\",1.1\nA,R1,\"x,\"\"y\"\"\",1.2\n\"B 1\",L1,z,1.3\n",
		"car,position,design\nA,L1,narrow flange 1:20\nA,R1,unknown\n",
		"car,position,design,flange_thickness,back_to_back\nA,L1,,>15/16,53-5/16\nA,R1,,,\nB,L1,narrow flange " +
			"1:20,>15/16,\nB,R1,,>=1-1/4,53-1/4\n",
		"car,position,design,flange_thickness,back_to_back\nA,L1,,>15/16,53-1/4\nA,R1,,,\nB,L1,wide flange " +
			"1:20,>15/16,\nB,R1,,1-3/8,>53-1/4\n",
		"car,position,flange_height\nA,L1,1.1,\nA,R1\nA,L2,0.3\n", head + "A,L1,2026-02-30,1.1,,,,\n",
		head + "A,L1,\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00,1.1,,,,\n",
		head + "A,L1,,1.160,1.2,0.10,53.050,5.6\nA,R1,,1.16,1.200,3.1,,5.600\nA,L2,,1.159,1.20,0.11,53.05,5.60\nA,R2,,1.1/0,1.20,0.1,,5.60\n",
		"car,position,flange_height,rim_width\r\nA,L1,1.160,5.6\r\nA,R1,1.16,5.60\r\nA,L2,1.161,\r\nA,R2,1.160,5.60\r\nB,R1,1.160,5.61\r\nB,L1,1.160,5.60,\r\n", "position,flange_height,car\nL1,1.123456789,A\nL1,1.5, A  1\nR1,36mm,A 1\n",
	} {
		f.Add([]byte(s), uint16(40), []byte("car,kind,axles\nA,freight,4\nb,,\n"))
		f.Add([]byte(s), uint16(7), []byte(nil))
	}
	f.Fuzz(func(t *testing.T, wheels []byte, block uint16, cars []byte) {
		if len(cars) == 0 {
			cars = nil
		}
		want := readWhole(data, cars, wheels)
		for _, grouped := range []bool{false, true} {
			got := readStream(t, data, cars, wheels, int64(block)+1, grouped)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Fatalf("%q, blocks of %d, grouped %t (- whole, + stream):\n%s", wheels, block+1, grouped, diff)
			}
		}
	})
}
