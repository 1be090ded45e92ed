package judge_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// cellOf is the cell of a yard that a finding names: the sheet, the row and the column.
func (d drawn) cellOf(f *judge.Finding, name string) (file string, at int, column string) {
	column, of, other := strings.Cut(name, " of ")
	position := f.Wheel.Position.String()
	switch {
	case of == "the mate":
		position = map[byte]string{'L': "R", 'R': "L"}[position[0]] + position[1:]
	case other:
		position = of
	}
	switch column {
	case "gross_lb", "kind", "truck_wheelbase", "truck_centers", "load_imbalance", "body":
		return "cars.csv", 0, column
	case "back_to_back", "back_to_back_max":
		position = "L" + position[1:]
	}
	if _, ok := track.QuantityOf(column); ok || column == "number" || column == "type" ||
		column == "rail" || column == "rail_cant" || column == "speed_mph" || column == "lubricated" {
		file = f.Feature.Kind.File()
		return file, slices.IndexFunc(d.rows[file],
				func(r row) bool { return r[f.Feature.Kind.String()] == f.Feature.ID }),
			column
	}
	return "wheels.csv", slices.IndexFunc(d.rows["wheels.csv"], func(r row) bool {
		return r["car"] == f.Wheel.Car.ID && r["position"] == position
	}), column
}

// readingOf is what the survey has in a cell.
func readingOf(s *survey.Survey, f *judge.Finding, file string, r row, column string) measure.Reading {
	if file == "wheels.csv" {
		for _, w := range s.Fleet.Wheels {
			if q, ok := wheel.QuantityOf(column); ok && w.Car.ID == r["car"] && w.Position.String() == r["position"] {
				return w.Read(q)
			}
		}
	}
	if q, ok := track.QuantityOf(column); ok && file != "cars.csv" {
		return f.Feature.Read(q)
	}
	return measure.Reading{}
}

// figuresFor are texts of a cell as somebody reads it who reads it exactly: over what was read, or
// over all that can be.
func figuresFor(r measure.Reading, column string, n int) (out []string) {
	write := func(v float64) string {
		switch column {
		case "face_angle", "gauge_face_angle":
			return strconv.FormatFloat(v, 'f', 12, 64)
		}
		return strconv.FormatFloat(v, 'f', 12, 64) + " mm"
	}
	if r.Measured() {
		for i := range n {
			out = append(out, write(r.Lo+(r.Hi-r.Lo)*float64(i)/float64(n-1)))
		}
		return out
	}
	for _, l := range [][]drawnColumn{wheelColumns(), placeColumns(track.Frog), placeColumns(track.Switch),
		placeColumns(track.Curve), {{"back_to_back", 0, sixteenths(53, 53.5)}, {"diameter", 0, sixteenths(34, 36)},
			{"gross_lb", 0, []string{"60000", "263000", "286000"}}, {"truck_wheelbase", 0, []string{"66", "70"}},
			{"kind", 0, []string{"freight", "locomotive"}}, {"rail_cant", 0, []string{"1:40", "1:20", "none"}},
			{"rail", 0, []string{"90RA-A", "115RE", "136RE"}}, {"speed_mph", 0, []string{"5", "10", "25"}},
			{"point_worn_down", 0, sixteenths(0, .625)},
			{"point_worn_back", 0, []string{"2", "12", "48"}}, {"warp", 0, sixteenths(0, 3)},
			{"crosslevel", 0, sixteenths(0, 4)}, {"truck_centers", 0, []string{"240", "480", "720"}},
			{"load_imbalance", 0, []string{"0", "20", "40"}}, {"body", 0, []string{"soft", "stiff"}},
			{"loaded_gauge", 0, sixteenths(56.5, 59)}, {"stock_rail_wear", 0, sixteenths(0, .75)}}} {
		for _, c := range l {
			if c.column == column {
				out = append(out, c.values...)
			}
		}
	}
	for len(out) > 3*n { // every other one is enough
		for i := range len(out) / 2 {
			out[i] = out[2*i]
		}
		out = out[:len(out)/2]
	}
	return out
}

// settledBy reports whether the pair is decided for some figures of the cells that one entry of
// what settles it names.
func (d drawn) settledBy(t *testing.T, data *configs.Data, s *survey.Survey, f *judge.Finding, entry string) bool {
	t.Helper()
	var names []string
	for part := range strings.SplitSeq(entry, " and ") {
		column, whose, _ := strings.Cut(part, " of ")
		for w := range strings.SplitSeq(whose, ", ") { // "rim_width of L1, R1"
			name := column
			if w == "the mate" || w != "" && w != f.Wheel.Position.String() {
				name += " of " + w
			}
			names = append(names, name)
		}
	}
	n := map[int]int{1: 7, 2: 3}[len(names)]
	n = max(n, 3)
	lists := make([][]edit, len(names))
	for i, name := range names {
		file, at, column := d.cellOf(f, name)
		if at < 0 {
			t.Fatalf("%s: settled by %q, and there is no row of it", pairKey(f), name)
		}
		for _, text := range figuresFor(readingOf(s, f, file, d.rows[file][at], column), column, n) {
			lists[i] = append(lists[i], edit{file: file, at: at, column: column, text: text})
		}
		if len(lists[i]) == 0 {
			t.Fatalf("%s: the test knows no figure of %q", pairKey(f), name)
		}
	}
	at := make([]int, len(lists))
	for range 81 {
		other := d
		other.plus = maps.Clone(d.plus)
		for i := range lists {
			e := lists[i][at[i]]
			other = other.edited(e)
			if q, ok := track.QuantityOf(e.column); ok && f.Feature.Read(q).Measured() {
				if other.plus == nil {
					other.plus = map[string]float64{}
				}
				other.plus[e.column] = 0 // gauge and its like are never read closer than 1/16 in by themselves
			}
		}
		if g := other.only(t, data, f); g != nil && (g.Verdict == clears || g.Verdict == conflict) {
			return true
		}
		i := 0
		for ; i < len(at); i++ {
			if at[i]++; at[i] < len(lists[i]) {
				break
			}
			at[i] = 0
		}
		if i == len(at) {
			return false
		}
	}
	return false
}

// only judges one check of a yard and gives the pair of a finding.
func (d drawn) only(t *testing.T, data *configs.Data, f *judge.Finding) *judge.Finding {
	t.Helper()
	return computedOf(t, d.sheets().read(t, data), interaction.Options{Check: f.Check.ID})[pairKey(f)]
}

// TestSettlersSettle: what an undecided pair is said to be settled by decides it, for some figure
// that the reading can have, if the others stay as they are. The worst pair of each check and
// place is judged for those that are alike.
func TestSettlersSettle(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	data := fixture.Data(t)
	tried, looks, fails := 0, 0, map[string]int{}
	eachYard(yards(), 1884, func(seed uint64, r *rand.Rand, d drawn) {
		if r.IntN(2) == 0 { // of figures, as of notches
			d = notched(r, d)
		}
		s := d.sheets().read(t, data)
		res := resultOf(t, s, interaction.Options{})
		for i := range res.Tallies {
			f := res.Worst(&res.Tallies[i])
			if f.Verdict != undecided || f.Doubt != "" || f.Check.Wants != nil ||
				f.Check.Passes == interaction.InTruck && !fixture.Volume() { // a truck takes a second
				continue
			}
			if f.LookAt() != "" {
				looks++
			}
			for _, entry := range f.SettleBy() {
				tried++
				if !d.settledBy(t, data, s, f, entry) {
					fails[f.Check.ID+" "+entry]++
					t.Errorf("seed %d: %s is undecided (plain %s); settled by %q, and %s decides it nowhere%s", seed,
						pairKey(f),
						f.Plain, f.SettleBy(), entry, told(f, f))
				}
			}
		}
	})
	if tried == 0 {
		t.Error("nothing was tried")
	}
	t.Log(fmt.Sprint(tried, " tried, ", looks, " to look at ", fails))
}

// notched is a yard whose flanges were read by go/no-go.
func notched(r *rand.Rand, d drawn) drawn {
	for at := range d.rows["wheels.csv"] {
		for _, e := range []edit{{column: "flange_height", text: "<1-1/2"},
			{column: "flange_thickness", text: ">15/16"},
			{column: "vertical_flange", text: "<1"}} {
			if r.IntN(3) > 0 {
				e.file, e.at = "wheels.csv", at
				d = d.edited(e)
			}
		}
	}
	return d
}
