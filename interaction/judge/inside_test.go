package judge_test

import (
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/track"
)

// A small railroad that is written otherwise than those of yard: much is blank, one-sided
// or a range, cars are of every kind, frogs of every number and type, and more columns are
// filled. In it one cell is written in several ways, wide and narrow.

// oddYard draws one with one place.
func oddYard(r *rand.Rand, kind track.Kind) drawn {
	d := drawn{rows: map[string][]row{}}
	inches := func(v float64) string {
		switch r.IntN(4) {
		case 0:
			return strconv.FormatFloat(v, 'f', 3, 64)
		case 1:
			return strconv.FormatFloat(v*inch, 'f', 1, 64) + "mm"
		}
		return measure.Inch(v * inch)
	}
	// written is a figure as somebody writes it: most as it is, some by what it is not.
	written := func(column, text string) string {
		v, ok := measured(text)
		if !ok || slices.Contains(pointColumns(), column) {
			return text
		}
		write, wide := inches, 1.0/8
		if bareColumn(column) {
			write, wide = func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }, 1
		}
		switch n := r.IntN(12); {
		case n == 0 && v > wide:
			return ">" + write(v-wide)
		case n == 1:
			return "<" + write(v+wide)
		case n == 2:
			return write(max(0, v-wide)) + ".." + write(v+wide)
		case n < 6 || text == "none":
			return text
		}
		return write(v)
	}
	blank := []float64{.5, 1, 2}[r.IntN(3)]
	fill := func(to row, list []drawnColumn) {
		for _, c := range list {
			if r.Float64() >= c.blank*blank {
				to[c.column] = written(c.column, c.values[r.IntN(len(c.values))])
			}
		}
	}
	car := row{"car": "FWR 1", "axles": "4"}
	fill(car, []drawnColumn{{"kind", .1, []string{"freight", "freight", "freight", "passenger", "locomotive", "steam"}},
		{"gross_lb", .2, []string{"58000", "110000", "220000", "263000", "286000"}},
		{"truck_wheelbase", .3, []string{"60", "66", "70", "72", "102"}}})
	d.rows["cars.csv"] = []row{car}
	wheels := append(wheelColumns(), drawnColumn{"design", .7, []string{"narrow flange 1:20", "wide flange 1:20"}})
	wheels[1].values = append(wheels[1].values, ">15/16", "<15/16", ">1-1/16", ">1")
	wheels[0].values = append(wheels[0].values, "<1-1/2", "<1-3/8", ">1-1/2")
	hollow := r.IntN(3) > 0
	for axle := 1; axle <= 2; axle++ {
		size := 33 + float64(r.IntN(40))/8
		for _, side := range []string{"L", "R"} {
			w := row{"car": "FWR 1", "position": side + strconv.Itoa(axle)}
			fill(w, wheels)
			if !hollow && w["tread_hollow"] != "" {
				w["tread_hollow"] = "none"
			}
			if r.IntN(3) > 0 {
				w["diameter"] = written("diameter", measure.Inch((size+float64(r.IntN(2))/16)*inch))
			}
			if side == "L" && r.IntN(8) > 0 {
				w["back_to_back"] = written("back_to_back", measure.Inch((53+float64(r.IntN(8))/16)*inch))
			}
			d.rows["wheels.csv"] = append(d.rows["wheels.csv"], w)
		}
	}
	f := row{"location": "here", kind.String(): "X1"}
	fill(f, append(placeColumns(kind), drawnColumn{"track_class", .1, []string{"excepted", "1", "2", "3"}}))
	switch kind {
	case track.Frog:
		fill(f, []drawnColumn{{"number", .2, plainly(4, 20, 1)},
			{"type", .2, []string{"rbm", "bolted", "solid", "self-guarded", "spring", "heavy-point", "flange-bearing"}},
			{"point_worn_down", .3, append(sixteenths(0, .375), "none")}, {"point_worn_back", .4, plainly(2, 20, 2)}})
	case track.Switch:
		fill(f, []drawnColumn{{"direction", .2, []string{"facing", "both"}}})
	default:
		fill(f, []drawnColumn{{"rail_cant", .6, []string{"1:40", "1:20", "none"}},
			{"rail", .3, []string{"90RA-A", "100RE", "132RE", "141RE"}}})
	}
	d.rows[kind.File()] = []row{f}
	return d
}

// bareColumn reports a column of which a figure without a unit is no inches.
func bareColumn(column string) bool {
	return slices.Contains([]string{"tread_hollow", "face_angle", "gauge_face_angle", "point_worn_back", "chip_length"},
		column)
}

// pointColumns are written as one figure or not at all.
func pointColumns() []string {
	return []string{"speed_mph", "gross_lb", "degree", "number", "truck_wheelbase", "type", "rail", "lubricated",
		"holding", "kind", "track_class", "design", "rail_cant", "direction"}
}

// texts are the texts of a cell, wide ones and narrow ones.
func (d drawn) texts(r *rand.Rand, file string, at int, column string) (wide, narrow []string) {
	text := d.rows[file][at][column]
	wide = []string{"n/m"}
	var list []drawnColumn
	for _, l := range [][]drawnColumn{wheelColumns(), placeColumns(track.Frog), placeColumns(track.Switch),
		placeColumns(track.Curve), {{"back_to_back", 0, sixteenths(53, 53.4375)}, {"diameter", 0, sixteenths(34, 36)},
			{"gross_lb", 0, []string{"60000", "110000", "263000", "286000"}},
			{"truck_wheelbase", 0, []string{"60", "66", "70", "102"}},
			{"rail_cant", 0, []string{"1:40", "1:20", "none"}},
			{"kind", 0, []string{"freight", "passenger", "locomotive"}},
			{"track_class", 0, []string{"1", "2", "3", "excepted"}},
			{"design", 0, []string{"narrow flange 1:20", "wide flange 1:20"}},
			{"point_worn_down", 0, sixteenths(0, .375)}, {"point_worn_back", 0, plainly(2, 20, 2)}}} {
		for _, c := range l {
			if c.column == column {
				list = append(list, c)
			}
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	values := list[r.IntN(len(list))].values
	if slices.Contains(pointColumns(), column) {
		for range 4 {
			narrow = append(narrow, values[r.IntN(len(values))])
		}
		return wide, slices.Compact(append(narrow, text))
	}
	var v float64
	for ok := false; !ok; {
		v, ok = measured(values[r.IntN(len(values))])
	}
	write := func(v float64) string { return strconv.FormatFloat(max(0, v), 'f', 4, 64) }
	by := []float64{1.0 / 16, 1.0 / 8, 1.0 / 4}[r.IntN(3)]
	if bareColumn(column) {
		by *= 16
	}
	wide = append(wide, ">"+write(v-by), "<"+write(v+by), write(v-by)+".."+write(v+by))
	for _, at := range []float64{-1, -.5, 0, .5, 1} {
		narrow = append(narrow, write(v+at*by))
	}
	for range 3 {
		if x, ok := measured(values[r.IntN(len(values))]); ok {
			narrow = append(narrow, write(x))
		}
	}
	return wide, narrow
}

// TestClearIsClearInside: where a cell as it is written leaves a pair clear, every reading
// that it can be does; and where it is named as what settles a pair, some reading does.
func TestClearIsClearInside(t *testing.T) {
	leftToVolumes(t)
	if os.Getenv("FLANGEWAY_YARDS") == "" {
		t.Skip("hours of drawing; FLANGEWAY_YARDS=number runs it, FLANGEWAY_YARD=seed from there, " +
			"FLANGEWAY_KIND=frog, switch or curve alone")
	}
	data := fixture.Data(t)
	j := newYardJudge(t, data)
	tried, named := 0, 0
	for seed := firstYard(); seed < firstYard()+uint64(yards()); seed++ {
		r := rand.New(rand.NewPCG(seed, 1871))
		kind := []track.Kind{track.Frog, track.Switch, track.Curve}[seed%3]
		if only := os.Getenv("FLANGEWAY_KIND"); only != "" && only != kind.String() {
			continue
		}
		j.next()
		a, b := oddYard(r, kind).inside(j, r, kind, seed)
		tried, named = tried+a, named+b
	}
	t.Logf("%d yards, %d comparisons, %d named", j.yards, tried, named)
}

func (d drawn) inside(j *yardJudge, r *rand.Rand, kind track.Kind, seed uint64) (tried, settled int) {
	type cell struct {
		file   string
		at     int
		column string
	}
	var list []cell
	for _, file := range []string{"wheels.csv", kind.File(), "cars.csv"} {
		for at := range d.rows[file] {
			columns := map[string][]drawnColumn{"wheels.csv": append(wheelColumns(), drawnColumn{column: "diameter"},
				drawnColumn{column: "design"}), kind.File(): append(placeColumns(kind),
				drawnColumn{column: "track_class"}), "cars.csv": {{column: "gross_lb"}, {column: "kind"},
				{column: "truck_wheelbase"}}}[file]
			for _, c := range columns {
				list = append(list, cell{file, at, c.column})
			}
			if file == "wheels.csv" && at%2 == 0 {
				list = append(list, cell{file, at, "back_to_back"})
			}
			if file == track.Curve.File() {
				list = append(list, cell{file, at, "rail_cant"})
			}
			if file == track.Frog.File() {
				list = append(list, cell{file, at, "point_worn_down"}, cell{file, at, "point_worn_back"})
			}
		}
	}
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	n := 3
	for _, c := range list {
		if n == 0 {
			break
		}
		wide, narrow := d.texts(r, c.file, c.at, c.column)
		if len(narrow) < 2 {
			continue
		}
		n--
		tried2, settled2 := d.insideCell(j, c.file, c.at, c.column, wide, narrow, seed)
		tried, settled = tried+tried2, settled+settled2
	}
	return tried, settled
}

// writing is a yard with a cell written in one way.
type writing struct {
	text string
	findings
	all map[string]pairVerdict
}

func (d drawn) insideCell(j *yardJudge, file string, at int, column string, wide, narrow []string, seed uint64) (tried,
	settled int) {
	t := j.t
	reported := map[string]bool{}
	judged := func(text string) *writing {
		s := d.edited(edit{file: file, at: at, column: column, text: text}).sheets().read(t, j.data)
		return &writing{text, findings{t: t, s: s}, j.verdicts(s, everything)}
	}
	var points, far []*writing
	for _, text := range narrow {
		points = append(points, judged(text))
	}
	for _, text := range wide {
		w := judged(text)
		decided := map[string]bool{}
		inside := 0
		for _, p := range points {
			if !holds(p.s, w.s) {
				continue
			}
			inside++
			tried++
			for key, v := range p.all {
				decided[key] = decided[key] || v.Verdict == clears || v.Verdict == conflict
			}
			for _, key := range cleared(p.all, w.all, column) {
				once := w.all[key].check.ID + column + text
				if reported[once] || unmated(p.s, key) || p.differ(key, p.all[key]) || w.differ(key, w.all[key]) ||
					meant(w.of(key), column) {
					continue
				}
				reported[once] = true
				t.Errorf("BETTER seed %d: %s: %s was %s with %s %q of row %d, with %q it is clear%s", seed, file, key,
					p.all[key].Verdict, column, p.text, at+1, text, told(p.of(key), w.of(key)))
			}
		}
		if inside < 3 {
			continue
		}
		for key, v := range w.all {
			if v.Verdict != undecided || decided[key] || v.check.Passes == interaction.PlainAlone {
				continue
			}
			own := file != "wheels.csv" || strings.HasSuffix(key, " "+d.rows[file][at]["position"]) ||
				column == "back_to_back" && strings.HasSuffix(key, strconv.Itoa(at/2+1))
			if !own {
				continue
			}
			f := w.of(key)
			if f.Computed == nil || f.Doubt != "" || !slices.Contains(f.SettleBy(), column) {
				continue
			}
			settled++
			if reported["S"+f.Check.ID+column+text] {
				continue
			}
			reported["S"+f.Check.ID+column+text] = true
			if far == nil { // what is drawn may lie too close together to decide
				far = []*writing{}
				if spec, ok := j.data.Columns[column]; ok && !slices.Contains(pointColumns(), column) {
					for i := range 5 {
						by := measure.MMPerInch
						if bareColumn(column) {
							by = 1
						}
						at := (spec.Lo + (spec.Hi-spec.Lo)*float64(i)/4) / by
						far = append(far, judged(strconv.FormatFloat(at, 'f', 4, 64)))
					}
				}
			}
			decides := func(p *writing) bool {
				v := p.all[key].Verdict
				return holds(p.s, w.s) && (v == clears || v == conflict)
			}
			if slices.ContainsFunc(far, decides) {
				continue
			}
			// What is written for a bound or a range may be off by a step: its reading ends beyond what was drawn.
			if r := readingOf(w.s, f, file, d.rows[file][at], column); r.Measured() &&
				slices.ContainsFunc(figuresFor(r, column, 5), func(text string) bool { return decides(judged(text)) }) {
				continue
			}
			var seen []string
			for _, p := range points {
				seen = append(seen, p.text)
			}
			t.Errorf("SETTLE seed %d: %s: %s undecided with %s %q of row %d, settled by %q; none of %s decides%s", seed,
				file, key, column, text, at+1, f.SettleBy(), strings.Join(seen, " "), told(f, f))
		}
	}
	return tried, settled
}
