package judge_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// A small railroad of one truck and a few places, drawn about the limits of the checks,
// in which one cell is changed. Whoever knows less, or has more wear, never reads clear
// where he did not read it before.

// yards is how many of them a run draws: 4 with FLANGEWAY_VOLUME
// and any number with FLANGEWAY_YARDS. All 3,000, in some hours:
//
//	FLANGEWAY_YARDS=3000 go test ./interaction/judge -run 'KnowingLess|WearNever|Mirrored' -count=1 -timeout 0
func yards() int {
	if n, err := strconv.Atoi(os.Getenv("FLANGEWAY_YARDS")); err == nil {
		return n
	}
	if fixture.Volume() {
		return 4
	}
	return 1
}

// firstYard is the seed of the first of them; FLANGEWAY_YARD draws others.
func firstYard() uint64 {
	n, _ := strconv.ParseUint(os.Getenv("FLANGEWAY_YARD"), 10, 64) // not given: 0
	return n
}

// eachYard draws the yards and hands them over, with what draws on.
func eachYard(number int, stream uint64, try func(seed uint64, r *rand.Rand, d drawn)) {
	for seed := firstYard(); seed < firstYard()+uint64(number); seed++ {
		r := rand.New(rand.NewPCG(seed, stream))
		try(seed, r, yard(r))
	}
}

// spot of a yard: its sheet, the column and the values that are drawn, as an inspector
// writes them.
type drawnColumn struct {
	column string
	blank  float64 // the share that was not read
	values []string
}

func steps(from, to, by float64, format func(float64) string) []string {
	var out []string
	for v := from; v <= to+1e-9; v += by {
		out = append(out, format(v))
	}
	return out
}

func sixteenths(from, to float64) []string {
	return steps(from, to, 1.0/16, func(v float64) string { return measure.Inch(v * inch) })
}

func plainly(from, to, by float64) []string {
	return steps(from, to, by, func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) })
}

func wheelColumns() []drawnColumn {
	return []drawnColumn{
		{"flange_height", .1, sixteenths(1, 1.625)}, {"flange_thickness", .1, sixteenths(.875, 1.375)},
		{"vertical_flange", .2, append(sixteenths(.75, 1.0625), "<1", ">=1")},
		{"tread_hollow", .1, append(plainly(0, 6, .5), "none", "none", "none")},
		{"rim_width", .4, sixteenths(5.25, 5.75)},
	}
}

// A loaded gauge is drawn only as wide as one is tried that was not read: an inch over the
// widest gauge of the class. One that was read wider is open where a blank is clear, since
// no blank can be tried without end.
func placeColumns(kind track.Kind) []drawnColumn {
	gauge := []drawnColumn{{"gauge", .15, sixteenths(56.25, 58.25)}, {"loaded_gauge", .7, sixteenths(56.5, 58.875)},
		{"holding", .3, []string{"good", "fair", "poor"}}, {"speed_mph", .2, []string{"10", "15", "25"}}}
	switch kind {
	case track.Frog:
		return append(gauge, drawnColumn{"number", .2, []string{"5", "6", "7", "8", "10"}},
			drawnColumn{"type", .3, []string{"rbm", "bolted", "solid", "self-guarded"}},
			drawnColumn{"flangeway_depth", .1, sixteenths(1.25, 2)},
			drawnColumn{"flangeway_width", .1, sixteenths(1.25, 2)},
			drawnColumn{"guard_check", .1, sixteenths(53.875, 54.875)},
			drawnColumn{"guard_face", .1, sixteenths(52.625, 53.5)},
			drawnColumn{"guard_flangeway", .2, sixteenths(1.25, 2.125)},
			drawnColumn{"tread_wear", .4, sixteenths(0, .375)})
	case track.Switch:
		return append(gauge, drawnColumn{"point_gap", .1, sixteenths(0, .375)},
			drawnColumn{"point_drop", .1, sixteenths(0, .75)}, drawnColumn{"point_thickness", .3, sixteenths(0, .5)},
			drawnColumn{"chip_depth", .2, append(sixteenths(0, 1), "none", "none", "none")},
			drawnColumn{"chip_length", .3, plainly(1, 14, 1)}, drawnColumn{"face_angle", .5, plainly(58, 80, 2)},
			drawnColumn{"stock_rail_wear", .2, sixteenths(0, .375)}, drawnColumn{"undercut", .6, sixteenths(0, .25)},
			drawnColumn{"open_clearance", .2, sixteenths(2.25, 3.75)},
			drawnColumn{"heel_rise", .2, sixteenths(0, .375)})
	}
	return append(gauge, drawnColumn{"degree", .05, plainly(2, 14, 1)}, drawnColumn{"elevation", .2, plainly(0, 3, .5)},
		drawnColumn{"rail", .3, []string{"100RE", "115RE", "136RE"}},
		drawnColumn{"head_wear", .3, sixteenths(0, .375)}, drawnColumn{"gauge_face_wear", .3, sixteenths(0, .375)},
		drawnColumn{"gauge_face_angle", .6, plainly(60, 80, 2)},
		drawnColumn{"lubricated", .5, []string{"none", "high", "both"}})
}

// yard draws one.
func yard(r *rand.Rand) drawn {
	d := drawn{rows: map[string][]row{}}
	fill := func(to row, list []drawnColumn) {
		for _, c := range list {
			if r.Float64() >= c.blank {
				to[c.column] = c.values[r.IntN(len(c.values))]
			}
		}
	}
	hollow := r.IntN(3) > 0
	for axle := 1; axle <= 2; axle++ {
		size := 34 + float64(r.IntN(17))/8
		for _, side := range []string{"L", "R"} {
			w := row{"car": "FWR 1", "position": side + strconv.Itoa(axle)}
			fill(w, wheelColumns())
			if !hollow && w["tread_hollow"] != "" {
				w["tread_hollow"] = "none"
			}
			if r.IntN(3) > 0 { // mates differ little
				w["diameter"] = measure.Inch((size + float64(r.IntN(2))/16) * inch)
			}
			if side == "L" && r.IntN(8) > 0 {
				w["back_to_back"] = measure.Inch((53 + float64(r.IntN(7))/16) * inch)
			}
			d.rows["wheels.csv"] = append(d.rows["wheels.csv"], w)
		}
	}
	d.rows["cars.csv"] = []row{{"car": "FWR 1", "kind": "freight", "axles": "4"}}
	fill(d.rows["cars.csv"][0], []drawnColumn{{"gross_lb", .2, []string{"60000", "263000", "286000"}},
		{"truck_wheelbase", .3, []string{"66", "68", "70"}}})
	for _, kind := range []track.Kind{track.Frog, track.Switch, track.Curve} {
		f := row{"location": "here", kind.String(): "X1", "track_class": "1"}
		if kind == track.Switch {
			f["direction"] = "facing"
		}
		fill(f, placeColumns(kind))
		d.rows[kind.File()] = append(d.rows[kind.File()], f)
	}
	return d
}

// edit is one cell written otherwise.
type edit struct {
	file         string
	at           int
	column, text string
	reason       string
}

func (d drawn) edited(e edit) drawn {
	out := drawn{rows: maps.Clone(d.rows), plus: d.plus}
	out.rows[e.file] = slices.Clone(out.rows[e.file])
	out.rows[e.file][e.at] = maps.Clone(out.rows[e.file][e.at])
	out.rows[e.file][e.at][e.column] = e.text
	return out
}

// less gives the ways of knowing less of the cells of a yard, one a cell: not read, or an
// interval about it.
func (d drawn) less(r *rand.Rand) []edit {
	var out []edit
	for _, file := range slices.Sorted(maps.Keys(d.rows)) {
		for at, x := range d.rows[file] {
			for _, column := range slices.Sorted(maps.Keys(x)) {
				text := x[column]
				if text == "" || slices.Contains(neverLess(), column) {
					continue
				}
				v, number := measured(text)
				write := func(v float64) string {
					switch column {
					case "tread_hollow", "gauge_face_angle", "face_angle", "elevation", "chip_length":
						return strconv.FormatFloat(v, 'f', 3, 64)
					}
					return measure.Inch(v * inch)
				}
				wide := map[string]float64{"tread_hollow": 1, "face_angle": 4, "gauge_face_angle": 4}[column]
				if wide == 0 {
					wide = 1.0 / 8
				}
				switch k := r.IntN(4); {
				case k == 0 || !number || slices.Contains([]string{"speed_mph", "gross_lb", "degree", "number"},
					column):
					out = append(out, edit{file, at, column, "n/m", "not read"})
				case k == 1 && v > wide:
					out = append(out, edit{file, at, column, ">" + write(v-wide), "not less"})
				case k == 2:
					out = append(out, edit{file, at, column, "<" + write(v+wide), "not more"})
				default:
					out = append(out, edit{file, at, column, write(max(0, v-wide)) + ".." + write(v+wide), "between"})
				}
			}
		}
	}
	return out
}

// neverLess are the columns that a yard is not tried without: names, and those whose
// blank has a meaning of its own.
func neverLess() []string {
	return []string{"car", "position", "location", "frog", "switch", "curve", "direction", "holding", "kind", "axles",
		"track_class", "lubricated"}
}

// measured is the value of a cell of one figure.
func measured(text string) (float64, bool) {
	if text == "none" {
		return 0, true
	}
	whole, frac, mixed := strings.Cut(text, "-")
	if !mixed {
		whole, frac = "", text
	}
	v := 0.0
	if whole != "" {
		f, err := strconv.ParseFloat(whole, 64)
		if err != nil {
			return 0, false
		}
		v = f
	}
	if a, b, ok := strings.Cut(frac, "/"); ok {
		x, err1 := strconv.ParseFloat(a, 64)
		y, err2 := strconv.ParseFloat(b, 64)
		return v + x/y, err1 == nil && err2 == nil
	}
	f, err := strconv.ParseFloat(frac, 64)
	return v + f, err == nil
}

// holds reports whether every reading of after spans what it spanned before.
func holds(before, after *survey.Survey) bool {
	spans := func(a, b measure.Reading) bool {
		return !b.Measured() || a.Measured() && b.Lo <= a.Lo+1e-9 && b.Hi >= a.Hi-1e-9
	}
	for i, w := range before.Fleet.Wheels {
		for q := range wheel.NumQuantities {
			if !spans(w.Read(q), after.Fleet.Wheels[i].Read(q)) {
				return false
			}
		}
	}
	for i, f := range before.Track.Features {
		for q := range track.NumQuantities {
			if !spans(f.Read(q), after.Track.Features[i].Read(q)) {
				return false
			}
		}
	}
	return true
}

func (d drawn) sheets() sheets {
	in := sheets{plus: d.plus, files: map[string]string{}, class: "1"}
	for file, rows := range d.rows {
		in.files[file] = sheet(rows...)
	}
	return in
}

// TestKnowingLessNeverClears: a cell less, or an interval about what was read, turns no
// pair into clear.
func TestKnowingLessNeverClears(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	j := newYardJudge(t, fixture.Data(t))
	tried := 0
	eachYard(yards(), lessStream, func(seed uint64, r *rand.Rand, d drawn) { tried += j.knowsLess(seed, r, d) })
	if tried == 0 {
		t.Error("nothing was tried")
	}
	t.Logf("%d yards, %d cells", j.yards, tried)
}

const lessStream = 1863

// TestYardsThatCleared are yards in which a cell less did turn a pair into clear: a weight that was
// not read on a rail that was not, a flange as a range, a worn face without its angle, a flange's
// height that was not read beside a low tip, a tip's thickness by a bound, a gauge that was not read, a
// back-to-back between those that were tried, a truck that did not converge, diameters by a bound, a yaw between
// those of a bound, a flange's room between the ends of its thickness, a worn face in a gauge that was not read,
// diameters of equal flange tips where tips are far apart, a back-to-back of another design than the flange speaks
// for, one by a bound that leaves no axle in its middle, an elevation by a bound beside a cant that was not read, a
// vertical face that was not read and not tried as high as one that was touched, a flange between the ends of its bound
// beside a back-to-back that was not read, one by a bound that turns how a thin axle bears, a diameter that was not
// read beside one that was, a wheel that is not hollow in a gauge that was not read, a tip that may be as high as the
// stock rail, a hollow within its bounds on a face worn more than a little.
func TestYardsThatCleared(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	seeds := []uint64{2000262, 2000343}
	if fixture.Volume() {
		seeds = append(seeds, 2000682, 5000163, 2000199, 2000263, 2000268, 2000302, 2000318, 2000568, 2000755, 3000032,
			3000036, 3000059, 3000095, 2000080, 4000043, 8000175, 8000217, 8000240, 8000318,
			6000075, 8000336, 11000006, 20000072, 20000077, 20000578, 20001174, 20001323, 20001414,
			20001861, 20001777, 20001458, 20002169, 30000098, 30000241, 30002062, 30003899, 30006508, 30010479, 30011807,
			30011734, 30012199, 30014210, 30017675)
	}
	j := newYardJudge(t, fixture.Data(t))
	for _, seed := range seeds {
		r := rand.New(rand.NewPCG(seed, lessStream))
		j.knowsLess(seed, r, yard(r))
	}
}

// TestWearClearsNoUnevenTruck: a truck with room to spare on a worn rail has none where that was new, or worn a
// little; so neither more wear of its face clears it, nor wear between the two.
func TestWearClearsNoUnevenTruck(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	d := yard(rand.New(rand.NewPCG(30001413, lessStream)))
	maps.DeleteFunc(d.rows, func(file string, _ []row) bool {
		return file == track.Frog.File() || file == track.Switch.File()
	})
	for _, wear := range []string{"3/32", "0..3/16"} { // as 1/16 alone
		d := d.edited(edit{file: track.Curve.File(), column: "gauge_face_wear", text: wear})
		const pair = "hollow-curve curve/X1 FWR 1 L1"
		if f := computedOf(t, d.sheets().read(t, fixture.Data(t)), interaction.Options{})[pair]; f.Verdict != undecided {
			t.Errorf("%s with a face worn %s in: %s", f.Verdict, wear, f.Computed.Text())
		}
	}
}

// knowsLess judges a yard and some of the ways of knowing less of it.
func (j *yardJudge) knowsLess(seed uint64, r *rand.Rand, d drawn) (tried int) {
	t := j.t
	j.next()
	whole := &findings{t: t, s: d.sheets().read(t, j.data)}
	before := j.verdicts(whole.s, everything)
	list := d.less(r)
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	for _, e := range list[:min(lessTried, len(list))] {
		less := &findings{t: t, s: d.edited(e).sheets().read(t, j.data)}
		if !holds(whole.s, less.s) {
			continue
		}
		tried++
		after := j.verdicts(less.s, openBefore(before, onlyAt(e.file)))
		for _, key := range cleared(before, after, e.column) {
			b, f := whole.of(key), less.of(key)
			if whole.differ(key, before[key]) || less.differ(key, after[key]) || meant(f, e.column) {
				continue
			}
			t.Errorf("seed %d: %s: %s was %s, with %s %q of row %d (%s) for %q it is clear%s", seed, e.file, key,
				b.Verdict, e.column, e.text, e.at+1, e.reason, d.rows[e.file][e.at][e.column], told(b, f))
		}
	}
	return tried
}

// lessTried is how many cells of a yard are written otherwise.
const lessTried = 6

// meant are the columns whose blank has a meaning by the plain rule, where that alone judges the
// pair, and those of which a pair that is clear says that they were not read: it is close for that
// (a face at a switch point, how far a frog's point is worn).
func meant(f *judge.Finding, column string) bool {
	if f.Computed == nil {
		return blankMeant(column)
	}
	switch column {
	case "point_worn_back":
		column = "point_worn_down"
	case "face_angle", "point_worn_down":
	default:
		return false
	}
	return f.Close && strings.Contains(f.Computed.Assumed, column+" was not read")
}

// unmated reports a pair of a truck with readings that the wheels of one axle cannot have. They are to be read again:
// whoever left them blank has misread nothing.
func unmated(s *survey.Survey, key string) bool {
	car := key[:strings.LastIndex(key, " ")]
	return strings.HasPrefix(key, "hollow-curve ") && slices.ContainsFunc(s.Fleet.Wheels, func(w *wheel.Wheel) bool {
		return strings.HasSuffix(car, " "+w.Car.ID) &&
			(w.Axle().Unmated(wheel.Diameter) || w.Axle().Unmated(wheel.FlangeHeight))
	})
}

func blankMeant(column string) bool {
	switch column {
	case "stock_rail_wear", "loaded_gauge", "rim_width", "chip_length", "face_angle", "vertical_flange":
		return true
	}
	return false
}

func told(before, after *judge.Finding) string {
	var out strings.Builder
	for _, f := range []*judge.Finding{before, after} {
		if f.Computed != nil {
			out.WriteString(fmt.Sprintf("; %s: %s", f.Computed.Text(), f.Computed.Why))
		} else {
			out.WriteString("; plain: " + strings.Join(f.Notes, ", "))
		}
	}
	return out.String()
}

// TestWearNeverClears: more wear of the readings that hurt a check turns none of its pairs
// into clear, computed.
func TestWearNeverClears(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	j := newYardJudge(t, fixture.Data(t))
	tried := 0
	eachYard(yards(), wearStream, func(seed uint64, r *rand.Rand, d drawn) { tried += j.wearsMore(seed, r, d) })
	if tried == 0 {
		t.Error("nothing was tried")
	}
	t.Logf("%d yards, %d columns", j.yards, tried)
}

const wearStream = 1866

// TestYardsThatWearCleared are yards in which more wear did: a deeper chip that gave a flange a steeper face to meet.
func TestYardsThatWearCleared(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	j := newYardJudge(t, fixture.Data(t))
	const seed = 30016119
	r := rand.New(rand.NewPCG(seed, wearStream))
	j.wearsMore(seed, r, yard(r))
}

// wearsMore judges a yard and some of the ways in which it can be worn more.
func (j *yardJudge) wearsMore(seed uint64, r *rand.Rand, d drawn) (tried int) {
	t := j.t
	j.next()
	whole := &findings{t: t, s: d.sheets().read(t, j.data)}
	list := worse()
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	for _, w := range list[:6] {
		at := func(_ *track.Feature, c *interaction.Check) bool { return c.ID == w.check }
		moved := &findings{t: t, s: d.moved(w.column, w.by*float64(1+r.IntN(3))).sheets().read(t, j.data)}
		before := j.verdicts(whole.s, at)
		after := j.verdicts(moved.s, openBefore(before, at))
		tried++
		for _, key := range cleared(before, after, "") {
			if b, f := whole.of(key), moved.of(key); !whole.differ(key, before[key]) &&
				!moved.differ(key, after[key]) {
				t.Errorf("seed %d: %s was %s, with %s (%s by %g) it is clear%s", seed, key, b.Verdict, w.reason,
					w.column, w.by, told(b, f))
			}
		}
	}
	return tried
}

// moved has every entry of a column moved, those of one figure alone.
func (d drawn) moved(column string, by float64) drawn {
	return d.change(column, func(s string) string {
		v, ok := measured(s)
		if !ok {
			return s
		}
		v = max(0, v+by)
		switch column {
		case "tread_hollow", "degree", "face_angle", "chip_length":
			return strconv.FormatFloat(v, 'f', -1, 64)
		}
		return measure.Inch(v * inch)
	})
}

// TestMirroredYards: with left and right of every wheel swapped and rows in another order, or
// with lengths in millimetres, the computed verdicts are the same.
func TestMirroredYards(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	j := newYardJudge(t, fixture.Data(t))
	eachYard(yards(), mirrorStream, func(seed uint64, _ *rand.Rand, d drawn) { j.mirrors(seed, d) })
	t.Logf("%d yards", j.yards)
}

const mirrorStream = 1869

// TestYardThatNeverEnded: a truck that rolled on by steps that were good as they were guessed was never told to have
// rolled long enough.
func TestYardThatNeverEnded(t *testing.T) {
	leftToVolumes(t)
	const seed = 30001404
	newYardJudge(t, fixture.Data(t)).mirrors(seed, yard(rand.New(rand.NewPCG(seed, mirrorStream))))
}

// mirrors judges a yard, its mirror image and its millimetres.
func (j *yardJudge) mirrors(seed uint64, d drawn) {
	t := j.t
	swap := func(s string) string { return map[byte]string{'L': "R", 'R': "L"}[s[0]] + s[1:] }
	j.next()
	d.plus = map[string]float64{} // the same in either unit
	for _, c := range lengths() {
		d.plus[c] = inch / 32
	}
	mirrored := d.change("position", swap)
	for _, rows := range mirrored.rows {
		slices.Reverse(rows)
	}
	asRead := func(d drawn) (*findings, map[string]pairVerdict) {
		f := &findings{t: t, s: d.sheets().read(t, j.data)}
		return f, j.verdicts(f.s, everything)
	}
	written, before := asRead(d)
	turned, after := asRead(mirrored)
	millimetres, metric := asRead(d.metric())
	for key, v := range before {
		other := key
		if !v.check.Axle && !v.check.Car {
			other = key[:len(key)-2] + swap(key[len(key)-2:])
		}
		if after[other].Verdict != v.Verdict {
			t.Errorf("seed %d: %s is %s, mirrored it is another%s", seed, key, v.Verdict,
				told(written.of(key), turned.of(other)))
		}
		if metric[key].Verdict != v.Verdict {
			t.Errorf("seed %d: %s is %s, in millimetres it is another%s", seed, key, v.Verdict,
				told(written.of(key), millimetres.of(key)))
		}
	}
}

// lengths are the columns of a yard that are lengths in inches where no unit is written.
func lengths() []string {
	var out []string
	for _, list := range [][]drawnColumn{wheelColumns(), placeColumns(track.Frog), placeColumns(track.Switch),
		placeColumns(track.Curve), {{column: "back_to_back"}, {column: "diameter"}}} {
		for _, c := range list {
			switch c.column {
			case "tread_hollow", "face_angle", "gauge_face_angle", "degree", "speed_mph", "number", "type", "rail",
				"holding", "lubricated":
			default:
				out = append(out, c.column)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// metric is the yard with its lengths in millimetres.
func (d drawn) metric() drawn {
	for _, column := range lengths() {
		d = d.change(column, func(s string) string {
			number := strings.TrimLeft(s, "<>=")
			v, ok := measured(number)
			if s == "none" || !ok {
				return s
			}
			return strings.TrimSuffix(s, number) + strconv.FormatFloat(v*inch, 'f', 6, 64) + "mm"
		})
	}
	return d
}
