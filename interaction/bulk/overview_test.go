package bulk_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/interaction"
	"flangeway/interaction/bulk"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	wheelbulk "flangeway/wheel/bulk"
)

// row is a row of a sheet by column.
type row map[string]string

// overviewOf counts a folder by the list of all pairs in memory, the plain way.
func overviewOf(dir string, opt interaction.Options) (*bulk.Overview, []measure.Warning, error) {
	s, err := survey.Read(dir)
	if err != nil {
		return nil, nil, err
	}
	book, err := s.Book()
	if err != nil {
		return nil, nil, err
	}
	return bulk.Of(judge.New(s, book, opt).Judge()), s.Warnings, nil
}

// summarized counts a folder with its wheels streamed in blocks of the given size.
func summarized(t testing.TB, dir string, opt interaction.Options, block int64) (*bulk.Overview, []measure.Warning,
	error) {
	t.Helper()
	s, err := survey.Open(dir)
	if err != nil {
		return nil, nil, err
	}
	if s.Wheels != nil && block > 0 {
		s.Wheels.Blocks(block)
	}
	defer s.Close()
	book, err := s.Book()
	if err != nil {
		return nil, nil, err
	}
	o, err := bulk.Summarize(t.Context(), s, book, opt)
	return o, s.Warnings, err
}

// printed is an overview as lines, so that a difference is readable. Margins to a
// millionth of a millimetre, as reports print them.
func printed(o *bulk.Overview) []string {
	out := []string{fmt.Sprintf("%d cars, %d wheels, %d locations", o.Cars, o.Wheels, o.Locations)}
	rows, err := o.List()
	if err != nil {
		return append(out, err.Error())
	}
	for _, r := range rows {
		margin := "-"
		if r.HasMargin {
			margin = strconv.FormatFloat(r.MarginMM, 'f', 6, 64)
		}
		out = append(out, fmt.Sprintf("%s %s %v both %d worst %s %s %s", r.Location, r.Check.ID, r.Counts, r.BothLegal,
			r.Car, r.Position, strings.TrimPrefix(margin, "-0.000000")))
	}
	return out
}

// sameOverview compares the two ways on one folder, with the wheels in blocks of each size.
func sameOverview(t *testing.T, dir string, opt interaction.Options, blocks ...int64) *bulk.Overview {
	t.Helper()
	want, wantWarnings, wantErr := overviewOf(dir, opt)
	// of the wheels only the first are worded, and the others counted
	more := 0
	wantWarnings = slices.DeleteFunc(wantWarnings, func(w measure.Warning) bool {
		if w.Place.File != "wheels.csv" || w.Place.Line == 0 {
			return false
		}
		more++
		return more > wheelbulk.MaxWarnings
	})
	more = max(0, more-wheelbulk.MaxWarnings)
	var got *bulk.Overview
	for _, block := range blocks {
		o, warnings, err := summarized(t, dir, opt, block)
		if got = o; wantErr != nil || err != nil {
			if diff := cmp.Diff(fmt.Sprint(wantErr), fmt.Sprint(err)); diff != "" {
				t.Fatalf("%s, blocks of %d: the errors differ (- plain, + streamed):\n%s", dir, block, diff)
			}
			got = nil
			continue
		}
		if diff := cmp.Diff(printed(want), printed(got)); diff != "" {
			t.Fatalf("%s, %+v, blocks of %d: the counts differ (- plain, + streamed):\n%s", dir, opt, block, diff)
		}
		if more != got.MoreWarnings {
			t.Fatalf("%s, blocks of %d: %d more warnings are counted, want %d", dir, block, got.MoreWarnings, more)
		}
		if diff := cmp.Diff(wantWarnings, warnings); diff != "" {
			t.Fatalf("%s, blocks of %d: the warnings differ (- plain, + streamed):\n%s", dir, block, diff)
		}
	}
	return got
}

// TestSummarizeKept: the demo and the samples come out alike, the defective ones
// with the same list of defects.
func TestSummarizeKept(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	dirs := []string{"../../testdata/demo", "../../testdata/samples/survey-a"}
	bad, err := filepath.Glob("../../testdata/samples/bad/*")
	if err != nil || len(bad) == 0 {
		t.Fatal("no defective samples", err)
	}
	for _, dir := range append(dirs, bad...) {
		sameOverview(t, dir, interaction.Options{}, 0, 300)
	}
	for _, opt := range []interaction.Options{{Check: "frog-floor"}, {Check: "point-climb"}, {Location: "North Jct"},
		{Car: "OSR 101"}} {
		sameOverview(t, dirs[0], opt, 1000)
	}
}

// loose draws a survey as people write it: every notation, histories, cars listed
// and not, columns in any order, notes with commas and line ends.
type loose struct {
	*rand.Rand
}

func (r loose) pick(words ...string) string { return words[r.IntN(len(words))] }

func (r loose) chance(n int) bool { return r.IntN(n) == 0 }

// length is a reading of about a value in inches, with the spread given.
func (r loose) length(v, spread float64) string {
	v += (r.Float64() - .5) * spread
	n := int(v * 64)
	switch r.IntN(17) {
	case 0:
		return ""
	case 1:
		return r.pick("-", "n/m", "N/A", "")
	case 2:
		return fmt.Sprintf("%d-%d/16", n/64, n%64/4)
	case 3:
		return fmt.Sprintf("%d-%d/32", n/64, n%64/2)
	case 4:
		return fmt.Sprintf("%d %d/64\"", n/64, n%64)
	case 5:
		return fmt.Sprintf("%.1fmm", v*measure.MMPerInch)
	case 6:
		return fmt.Sprintf("%.2f mm", v*measure.MMPerInch)
	case 7:
		return ">" + fmt.Sprintf("%d-%d/16", n/64, n%64/4)
	case 8:
		return "<=" + fmt.Sprintf("%.3f", v)
	case 9:
		return fmt.Sprintf("%.2f..%.2f", v, v+.05)
	case 10:
		return fmt.Sprintf("%.4f", v)
	case 11:
		return fmt.Sprintf("%.2f", v)
	case 12:
		return fmt.Sprintf("%d-%d/16%s", n/64, n%64/4, r.pick("+", "-"))
	case 13:
		return strconv.FormatFloat(float64(n)/64, 'f', -1, 64) // as a spreadsheet makes it of a fraction
	}
	return fmt.Sprintf("%.3f", v)
}

func (r loose) millimetres(most float64) string {
	v := r.Float64() * most
	switch r.IntN(8) {
	case 0:
		return ""
	case 1:
		return "none"
	case 2:
		return fmt.Sprintf("%.0f", v)
	case 3:
		return fmt.Sprintf("%d/32\"", int(v*32/measure.MMPerInch))
	case 4:
		return fmt.Sprintf(">%.1f", v)
	}
	return fmt.Sprintf("%.2f", v)
}

// write writes rows under columns in any order.
func (r loose) write(dir, file string, rows []row, columns []string, crlf bool) error {
	r.Shuffle(len(columns), func(i, j int) { columns[i], columns[j] = columns[j], columns[i] })
	end := "\n"
	if crlf {
		end = "\r\n"
	}
	var b strings.Builder
	b.WriteString(strings.Join(columns, ",") + end)
	for i, x := range rows {
		for k, c := range columns {
			if k > 0 {
				b.WriteByte(',')
			}
			cell := x[c]
			if strings.ContainsAny(cell, ",\n") || strings.HasPrefix(cell, `"`) || r.chance(40) {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			b.WriteString(cell)
		}
		if i < len(rows)-1 || !r.chance(3) {
			b.WriteString(end)
		}
		if r.chance(30) {
			b.WriteString(end)
		}
	}
	return os.WriteFile(filepath.Join(dir, file), []byte(b.String()), 0o644)
}

// survey writes a folder; simple leaves plain decimals alone, sorted by car.
func (r loose) survey(t *testing.T, cars int, simple bool) string {
	t.Helper()
	dir := t.TempDir()
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	yaml := "schema: 1\nrailroad: Test\ndate: 2026-03-31\ntrack_class: " + r.pick("excepted", "1", "2", "3") +
		"\nlimits: [federal, " + r.pick("interchange", "yard-practice") + "]\n"
	if r.chance(3) {
		yaml += "reading_error: {flange_height: 1/64, step_error: 0}\n"
	}
	if r.chance(3) {
		yaml += "settings: {rim_width: 5.7, wing_hollow: 2.5}\n"
	}
	must(os.WriteFile(filepath.Join(dir, "railroad.yaml"), []byte(yaml), 0o644))
	var list, wheels []row
	for i := range cars {
		id := fmt.Sprintf("%s %04d", r.pick("ABC", "ABC", "XYZ", "M"), i)
		if simple {
			id = fmt.Sprintf("CAR%04d", i)
		}
		if r.chance(30) && !simple {
			id = strings.ToLower(id)
			if r.chance(2) {
				list = append(list, row{"car": strings.ToUpper(id)})
			}
		}
		if !r.chance(6) {
			list = append(list, row{"car": id, "kind": r.pick("freight", "freight", "locomotive", "passenger", "steam",
				""), "owner": r.pick("", "own", "foreign")})
		}
		design := ""
		if r.chance(4) {
			design = r.pick("narrow flange 1:20", "wide flange 1:20", "Narrow  flange 1:20", "N/M")
		}
		for axle := 1; axle <= 4; axle++ {
			b, at := 53.05+(r.Float64()-.5)*.5, r.IntN(3)
			for n, side := range []string{"L", "R"} {
				if r.chance(25) {
					continue
				}
				for repeat := range 1 + max(0, r.IntN(30)-28) {
					w := row{"car": id, "position": side + strconv.Itoa(axle),
						"date": fmt.Sprintf("2026-0%d-%02d", 1+repeat, 1+r.IntN(28)), "design": design}
					if simple {
						w["flange_height"], w["flange_thickness"] = fmt.Sprintf("%.3f", 1+r.Float64()*.6),
							fmt.Sprintf("%.3f", .85+r.Float64()*.55)
						w["tread_hollow"], w["rim_width"] = fmt.Sprintf("%.2f", r.Float64()*4),
							fmt.Sprintf("%.3f", 5.3+r.Float64()*.5)
					} else {
						w["flange_height"], w["flange_thickness"], w["vertical_flange"] = r.length(1.25, .5),
							r.length(1.1, .5), r.length(.9, .4)
						w["tread_hollow"], w["rim_width"] = r.millimetres(5), r.length(5.6, .3)
					}
					if at == n || at == 2 && r.chance(2) {
						w["back_to_back"] = fmt.Sprintf("%.3f", b)
						if r.chance(2) {
							w["back_to_back_max"] = fmt.Sprintf("%.3f", b+r.Float64()*.1)
						}
					}
					if r.chance(8) {
						w["note"] = r.pick("bent", "see file, page 2", "half inch 1/2\"", "two\nlines", "größer",
							"\"quoted\"")
					}
					if !simple {
						w["marks"], w["turned"] = r.pick("", "", "none", "Tip_bright edge_flow"),
							r.pick("", "", "n/a", "2025-11-30")
					}
					wheels = append(wheels, w)
				}
			}
		}
	}
	switch {
	case simple || r.chance(2):
		slices.SortStableFunc(wheels, func(a, b row) int { return strings.Compare(a["car"], b["car"]) })
		if !simple && r.chance(2) { // rows of one car in any order
			r.shuffleCars(wheels)
		}
	case r.chance(2):
		r.Shuffle(len(wheels), func(i, j int) { wheels[i], wheels[j] = wheels[j], wheels[i] })
	}
	columns := []string{"car", "position", "date", "flange_height", "flange_thickness", "tread_hollow", "back_to_back",
		"rim_width"}
	if !simple {
		columns = append(columns, "vertical_flange", "back_to_back_max", "design", "note", "marks", "turned")
	}
	must(r.write(dir, "wheels.csv", wheels, columns, r.chance(3)))
	if r.chance(2) {
		must(r.write(dir, "cars.csv", list, []string{"car", "kind", "owner"}, false))
	}
	apart := loose{Rand: rand.New(rand.NewPCG(uint64(cars), 8))} // what is drawn here moves nothing else
	place := func(file, kind string, n int, columns []string, fill func(row)) {
		var rows []row
		for i := range n {
			f := row{"location": "P" + strconv.Itoa(r.IntN(8)), kind: fmt.Sprintf("%s%d", kind, i),
				"date": "2026-03-01"}
			fill(f)
			rows = append(rows, f)
		}
		columns = append(columns, "location", kind, "date")
		must(r.write(dir, file, rows, columns, false))
		untold := map[string][2]float64{}
		for _, c := range interaction.PlainChecks() {
			told := func(column string) bool { return slices.Contains(columns, column) }
			maps.Copy(untold, fixture.Untold(fixture.Data(t), kind, c.Formula, told))
		}
		if len(untold) == 0 {
			return
		}
		for _, c := range slices.Sorted(maps.Keys(untold)) {
			columns = append(columns, c)
			for _, f := range rows {
				f[c] = apart.length((untold[c][0]+untold[c][1])/2, untold[c][1]-untold[c][0])
			}
		}
		must(apart.write(dir, file, rows, columns, false))
	}
	gauge := func(f row) {
		f["gauge"], f["loaded_gauge"], f["holding"] = r.length(56, 3), r.length(58.7, 2.5),
			r.pick("", "good", "fair", "poor")
	}
	place("frogs.csv", "frog", 8, []string{"type", "gauge", "loaded_gauge", "holding", "flangeway_depth",
		"flangeway_width", "guard_check", "guard_face", "guard_flangeway"}, func(f row) {
		gauge(f)
		f["type"] = r.pick("", "rbm", "spring", "self-guarded", "flange-bearing")
		f["flangeway_depth"], f["flangeway_width"], f["guard_check"] = r.length(1.6, .5), r.length(1.6, .5),
			r.length(54.4, .5)
		f["guard_face"], f["guard_flangeway"] = r.length(52.85, .5), r.length(1.2, .8)
	})
	place("switches.csv", "switch", 6, []string{"direction", "gauge", "loaded_gauge", "holding", "point_gap",
		"point_drop", "chip_depth", "chip_length", "face_angle", "stock_rail_wear", "undercut", "open_clearance",
		"heel_rise"}, func(f row) {
		gauge(f)
		f["direction"] = r.pick("", "facing", "trailing")
		f["point_gap"], f["point_drop"], f["chip_depth"], f["chip_length"] = r.length(.3, .2), r.length(.6, 1),
			r.length(.6, 1), r.length(2.2, 2)
		f["face_angle"] = r.pick("", strconv.Itoa(50+r.IntN(30)))
		f["stock_rail_wear"], f["undercut"], f["open_clearance"], f["heel_rise"] = r.length(.3, .3), r.length(.3, .2),
			r.length(3.4, 1), r.length(.2, .3)
	})
	place("curves.csv", "curve", 5, []string{"degree", "gauge", "loaded_gauge", "holding"}, func(f row) {
		gauge(f)
		f["degree"] = r.pick("", strconv.Itoa(1+r.IntN(12)))
	})
	place("joints.csv", "joint", 5, []string{"rail", "head_wear", "bar_depth"}, func(f row) {
		f["rail"], f["head_wear"], f["bar_depth"] = r.pick("", "90RA-A", "115RE", "136RE"), r.length(.3, .4),
			r.pick("", r.length(1.3, .4))
	})
	place("gauge.csv", "spot", 5, []string{"gauge", "loaded_gauge", "holding"}, gauge)
	return dir
}

// shuffleCars mixes the rows of each car.
func (r loose) shuffleCars(rows []row) {
	for from := 0; from < len(rows); {
		to := from
		for to < len(rows) && rows[to]["car"] == rows[from]["car"] {
			to++
		}
		part := rows[from:to]
		r.Shuffle(len(part), func(i, j int) { part[i], part[j] = part[j], part[i] })
		from = to
	}
}

// TestSummarizeDrawn: random surveys come out alike in both ways, whatever the size
// of a block.
func TestSummarizeDrawn(t *testing.T) {
	t.Parallel()
	seen, both := map[string]int{}, 0
	for seed := range fixture.Drawn(14, 24) {
		r := loose{Rand: rand.New(rand.NewPCG(seed, 8))}
		dir := r.survey(t, 3+r.IntN(40), seed%3 == 0)
		block := int64(r.IntN(2) * (40 + r.IntN(3000))) // 0 is the usual size
		if o := sameOverview(t, dir, interaction.Options{}, block); o != nil {
			rows, err := o.List()
			if err != nil {
				t.Fatal(err)
			}
			for _, row := range rows {
				for v, n := range row.Counts {
					if n > 0 {
						seen[row.Check.ID+" "+interaction.Verdict(v).String()]++
					}
				}
				both += row.BothLegal
			}
		}
		if s, err := survey.Read(dir); err == nil {
			c := s.Fleet.Cars[r.IntN(len(s.Fleet.Cars))]
			if len(c.AxleList) > 0 {
				sameOverview(t, dir, interaction.Options{Car: c.ID, Location: "P" + strconv.Itoa(r.IntN(8))}, 500)
			}
		}
	}
	// Without every verdict of every check the comparison would say little.
	for _, c := range interaction.PlainChecks() {
		for _, v := range []interaction.Verdict{interaction.Conflict, interaction.Undecided, interaction.NotMeasured,
			interaction.Clear} {
			if seen[c.ID+" "+v.String()] == 0 {
				t.Errorf("%s is never %s", c.ID, v)
			}
		}
	}
	if both == 0 {
		t.Error("no conflict has both sides within limits")
	}
}

// TestSummarizeLarger: so many wheels that the tables of sums grow and that the places
// come while wheels are counted.
func TestSummarizeLarger(t *testing.T) {
	t.Parallel()
	cars := int(fixture.Drawn(300, 500))
	for seed := range fixture.Drawn(1, 2) {
		r := loose{Rand: rand.New(rand.NewPCG(seed, 10))}
		if sameOverview(t, r.survey(t, cars, true), interaction.Options{}, 0, 5000) == nil {
			t.Fatal("the survey has a defect")
		}
	}
}

// TestSummarizeDecimals: readings that are written alike, which are found by their
// digits and counted by their place on a grid, with some among them that are not.
func TestSummarizeDecimals(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	cars, places := fixture.Drawn(80, 400), fixture.Drawn(15, 40)
	for seed := range fixture.Drawn(2, 4) {
		r := rand.New(rand.NewPCG(seed, 11))
		cell := func(from, to, digits int, odd ...string) string {
			switch n := r.IntN(60); {
			case n < 2:
				return ""
			case n < 4 && seed > 0:
				return odd[r.IntN(len(odd))]
			}
			v := from + r.IntN(to-from)
			return strconv.FormatFloat(float64(v)/float64([]int{1, 10, 100, 1000}[digits]), 'f', digits, 64)
		}
		wheels, frogs, gauge := &strings.Builder{}, &strings.Builder{}, &strings.Builder{}
		fmt.Fprintln(wheels, "car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back,rim_width")
		for car := range cars {
			for k := range 8 {
				back := ""
				if k < 4 {
					back = cell(52900, 53250, 3, "53.0", "53-1/16", "53.10000", ">=53", "1346mm")
				}
				fmt.Fprintf(wheels, "C%05d,%s%d,2026-03-%02d,%s,%s,%s,%s,%s\n", car, "LLLLRRRR"[k:k+1], 1+k%4, 1+car%28,
					cell(1000, 1620, 3, "1.16", "1-1/8", "<1.2"),
					cell(800, 1400, 3, "1.16", "1.2000", "1-3/16", ">15/16", "1.1..1.2", "1.13175..1.2",
						"1.116125..1.2", "1.1005..1.2"), cell(0, 640, 2, "2", "2.5", "none", ">3", "2.125"), back,
					cell(5300, 5900, 3, "5.5", "5-1/2", "5.50", "140mm"))
			}
		}
		fmt.Fprintln(frogs, "location,frog,loaded_gauge,flangeway_depth,flangeway_width,guard_check,guard_face")
		fmt.Fprintln(gauge, "location,spot,gauge,loaded_gauge")
		for i := range places {
			fmt.Fprintf(frogs, "P%d,F%d,%s,%s,%s,%s,%s\n", i, i, cell(56500, 58900, 3, "58"),
				cell(1100, 2000, 3, "1-1/2"), cell(1200, 2100, 3, "1-3/4"), cell(54000, 54700, 3, "54-3/8"),
				cell(52500, 53300, 3, "53"))
			fmt.Fprintf(gauge, "P%d,S%d,%s,%s\n", i, i, cell(55500, 57500, 3, "56-1/2"), cell(56500, 58900, 3, "58"))
		}
		dir := t.TempDir()
		for name, b := range map[string]*strings.Builder{"wheels.csv": wheels, "frogs.csv": frogs, "gauge.csv": gauge} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if sameOverview(t, dir, interaction.Options{}, 0, 20_000) == nil {
			t.Fatal("the survey has a defect")
		}
	}
}

// TestSummarizeManyWarnings: more warnings than are worded, in rows of any order. The
// first by line are worded, as the check without a summary prints them.
func TestSummarizeManyWarnings(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	for name, shuffle := range map[string]func(*rand.Rand, []string){
		"cars in order, rows of a car not": func(r *rand.Rand, rows []string) {
			for from := 0; from < len(rows); from += 8 {
				r.Shuffle(8, func(i, j int) { rows[from+i], rows[from+j] = rows[from+j], rows[from+i] })
			}
		},
		"cars in no order": func(r *rand.Rand, rows []string) {
			r.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
		},
		"cars backward": func(_ *rand.Rand, rows []string) { slices.Reverse(rows) },
	} {
		for _, id := range []string{"C%03d", "C %03d"} { // the latter go whole
			t.Run(name+" "+id, func(t *testing.T) {
				r := rand.New(rand.NewPCG(3, 12))
				var rows []string
				for car := range 120 {
					for k := range 8 {
						height := "1.2"
						switch r.IntN(3) {
						case 0:
							height = "0.8"
						case 1:
							height = "1.5"
						}
						rows = append(rows, fmt.Sprintf("%s,%c%d,%s,%s\n", fmt.Sprintf(id, car), "LR"[k/4], k%4+1,
							height, []string{"", "2.5"}[r.IntN(2)]))
					}
				}
				shuffle(r, rows)
				dir := t.TempDir()
				for file, text := range map[string]string{
					"wheels.csv": "car,position,flange_height,tread_hollow\n" + strings.Join(rows, ""),
					"cars.csv":   "car\n" + fmt.Sprintf(id, 7) + "\n",
					"frogs.csv":  "location,frog,flangeway_depth\nyard,F1,1-1/2\n",
				} {
					if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				if o := sameOverview(t, dir, interaction.Options{}, 0, 700, 5000); o == nil ||
					o.MoreWarnings < wheelbulk.MaxWarnings {
					t.Fatal("there are few warnings")
				}
			})
		}
	}
}

// TestSummarizeMissingColumn: without the column of cars or positions no row can be
// read, and that is what both ways say.
func TestSummarizeMissingColumn(t *testing.T) {
	for _, head := range []string{"position,flange_height", "car,flange_height", "car,car"} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "wheels.csv"), []byte(head+"\nL1,1.2\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		if sameOverview(t, dir, interaction.Options{}, 0) != nil {
			t.Errorf("%s is taken", head)
		}
	}
}

// TestSummarizeDefects: a defect anywhere gives the same list in both ways.
func TestSummarizeDefects(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	failed, seeds := 0, fixture.Drawn(9, 30)
	for seed := range seeds {
		r := loose{Rand: rand.New(rand.NewPCG(seed, 9))}
		dir := r.survey(t, 3+r.IntN(12), seed%2 == 0)
		name := filepath.Join(dir, r.pick("wheels.csv", "wheels.csv", "wheels.csv", "frogs.csv"))
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for range 1 + r.IntN(3) {
			at := r.IntN(len(data))
			bad := r.pick("\"", "\x00", "\xff", ",", "\n", "x", "\"\n", ",,", "-", "\r")
			data = append(data[:at:at], append([]byte(bad), data[at:]...)...)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
		if sameOverview(t, dir, interaction.Options{}, int64(r.IntN(2)*(40+r.IntN(2000)))) == nil {
			failed++
		}
	}
	if failed < int(seeds)/3 {
		t.Errorf("only %d of the changed surveys have a defect", failed)
	}
}
