package judge_test

import (
	"fmt"
	"maps"
	"math"
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
	"flangeway/track"
	"flangeway/wheel"
)

// drawn is a random survey as rows, so that one thing in it can be changed and all
// else kept.
type drawn struct {
	rows map[string][]row // by file
	plus map[string]float64
}

// around is where a column's values are drawn: about the limits of its checks, so
// that all verdicts occur. Inches, hollow mm, degrees.
func around() map[string][2]float64 {
	return map[string][2]float64{
		"flange_height": {.9, 1.6}, "flange_thickness": {.8, 1.4}, "vertical_flange": {.5, 1.1}, "tread_hollow": {0, 5},
		"back_to_back": {52.7, 53.5}, "rim_width": {5.2, 5.8},
		"flangeway_depth": {1.2, 2}, "flangeway_width": {1, 1.9}, "guard_check": {53.8, 54.8},
		"guard_face": {52.5, 53.5}, "guard_flangeway": {1, 2.2},
		"gauge": {55.2, 58.7}, "loaded_gauge": {56, 59}, "point_gap": {0, .4}, "point_drop": {0, 1.1},
		"chip_depth": {0, 1.1}, "chip_length": {1, 3}, "face_angle": {52, 80},
		"stock_rail_wear": {0, .5}, "undercut": {0, .3}, "open_clearance": {2, 4.4}, "heel_rise": {0, .4},
		"degree": {1, 12}, "head_wear": {0, .5}, "bar_depth": {1, 1.7},
	}
}

// untold are the columns of a kind's checks of which around says nothing, with where they are drawn.
func untold(data *configs.Data, kind track.Kind) map[string][2]float64 {
	out, limits := map[string][2]float64{}, around()
	for _, c := range interaction.PlainChecks() {
		if slices.Contains(c.Kinds, kind) {
			maps.Copy(out, fixture.Untold(data, kind.String(), c.Formula, func(column string) bool {
				_, told := limits[column]
				return told
			}))
		}
	}
	return out
}

// draw makes a survey. Lengths are whole 64ths, which six decimals of an inch and of
// a millimetre both hold exactly.
func draw(data *configs.Data, r *rand.Rand) drawn {
	d := drawn{rows: map[string][]row{}, plus: map[string]float64{}}
	limits := around()
	for _, c := range slices.Sorted(maps.Keys(limits)) {
		d.plus[c] = []float64{0, 1.0 / 64, 1.0 / 32, 1.0 / 16}[r.IntN(4)] * inch
	}
	d.plus["tread_hollow"], d.plus["face_angle"] = float64(r.IntN(3))*.25, float64(r.IntN(3))*.5
	fill := func(to row, columns ...string) {
		for _, c := range columns {
			v := limits[c][0] + r.Float64()*(limits[c][1]-limits[c][0])
			text := text64(v)
			switch n := r.IntN(10); {
			case n < 2:
				text = ""
			case c != "degree" && n == 2:
				text = "<" + text
			case c != "degree" && n == 3:
				text = ">=" + text
			}
			to[c] = text
		}
	}
	for car := range 3 {
		for axle := 1; axle <= 4; axle++ {
			at := r.IntN(2) // the row of the axle's back-to-back
			for i, side := range []string{"L", "R"} {
				if r.IntN(12) == 0 {
					continue // a wheel that is not in the sheet
				}
				w := row{"car": fmt.Sprintf("A %d", car), "position": side + strconv.Itoa(axle)}
				fill(w, "flange_height", "flange_thickness", "vertical_flange", "tread_hollow", "rim_width")
				if i == at {
					b := limits["back_to_back"][0] + r.Float64()*.8
					if r.IntN(6) > 0 {
						w["back_to_back"] = text64(b)
					}
					if r.IntN(2) == 0 {
						w["back_to_back_max"] = text64(b + r.Float64()*.25)
					}
				}
				d.rows["wheels.csv"] = append(d.rows["wheels.csv"], w)
			}
		}
	}
	place := func(kind track.Kind, n int, columns ...string) {
		for i := range n {
			f := row{"location": "here", kind.String(): "X" + strconv.Itoa(i)}
			fill(f, columns...)
			d.rows[kind.File()] = append(d.rows[kind.File()], f)
			pick := func(column string, words ...string) { f[column] = words[r.IntN(len(words))] }
			switch kind {
			case track.Frog:
				pick("type", "", "rbm", "spring", "self-guarded", "flange-bearing")
			case track.Switch:
				pick("direction", "", "facing", "both", "trailing")
			case track.Joint:
				pick("rail", "", "90RA-A", "115RE", "136RE")
				continue
			}
			pick("holding", "", "good", "fair", "poor")
		}
	}
	place(track.Frog, 4, "flangeway_depth", "flangeway_width", "guard_check", "guard_face", "guard_flangeway", "gauge",
		"loaded_gauge")
	place(track.Switch, 5, "gauge", "loaded_gauge", "point_gap", "point_drop", "chip_depth", "chip_length",
		"face_angle", "stock_rail_wear", "undercut", "open_clearance", "heel_rise")
	place(track.Curve, 4, "gauge", "loaded_gauge", "degree")
	place(track.Joint, 4, "head_wear", "bar_depth")
	place(track.Spot, 3, "gauge", "loaded_gauge")
	apart := rand.New(rand.NewPCG(1, 1875)) // what is drawn here moves nothing else
	for kind := range track.NumKinds {
		more := untold(data, kind)
		for _, c := range slices.Sorted(maps.Keys(more)) {
			for _, f := range d.rows[kind.File()] {
				f[c] = text64(more[c][0] + apart.Float64()*(more[c][1]-more[c][0]))
			}
		}
	}
	return d
}

func text64(v float64) string { return strconv.FormatFloat(math.Round(v*64)/64, 'f', 6, 64) }

// change is a copy of the survey with every entry of a column rewritten; blank ones
// are left.
func (d drawn) change(column string, f func(string) string) drawn {
	out := drawn{rows: map[string][]row{}, plus: d.plus}
	for file, rows := range d.rows {
		for _, r := range rows {
			c := maps.Clone(r)
			if c[column] != "" {
				c[column] = f(c[column])
			}
			out.rows[file] = append(out.rows[file], c)
		}
	}
	return out
}

// shift moves every entry of a column, cut at the column's bounds; the signs of
// go/no-go readings stay.
func (d drawn) shift(data *configs.Data, column string, by float64) drawn {
	return d.change(column, func(s string) string {
		number := strings.TrimLeft(s, "<>=")
		v, err := strconv.ParseFloat(number, 64)
		if err != nil {
			panic(err) // our own entry
		}
		lo, hi := 0.0, float64(measure.MaxDegree)
		if spec, ok := data.Columns[column]; ok {
			lo, hi = spec.Lo, spec.Hi
			if spec.Unit == measure.Inches {
				lo, hi = lo/inch, hi/inch
			}
		}
		return strings.TrimSuffix(s, number) + text64(math.Min(math.Max(v+by, lo), hi))
	})
}

func (d drawn) judge(t *testing.T, data *configs.Data, opt interaction.Options) map[string]*judge.Finding {
	t.Helper()
	in := sheets{plus: d.plus, files: map[string]string{}}
	for file, rows := range d.rows {
		in.files[file] = sheet(rows...)
	}
	return byPair(t, judgeAll(t, in.read(t, data), opt).all)
}

const draws = 4

// eachDraw runs f over some random surveys, the same ones in every run.
func eachDraw(t *testing.T, f func(t *testing.T, data *configs.Data, d drawn, r *rand.Rand)) {
	t.Helper()
	data := fixture.Data(t)
	for seed := range uint64(draws) {
		r := rand.New(rand.NewPCG(seed, 1875))
		f(t, data, draw(data, r), r)
	}
}

// rank orders verdicts by how good they are; undecided and not measured are neither
// good nor bad.
func rank(v interaction.Verdict) int {
	switch v {
	case conflict:
		return 0
	case clears:
		return 2
	}
	return 1
}

// TestDrawsHoldEverything: without every verdict of every check in the random
// surveys the properties below would say little.
func TestDrawsHoldEverything(t *testing.T) {
	seen := map[string]int{}
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		for _, f := range d.judge(t, data, interaction.Options{}) {
			seen[f.Check.ID+" "+f.Verdict.String()]++
		}
	})
	for _, c := range interaction.PlainChecks() {
		for _, v := range []interaction.Verdict{conflict, undecided, notMeasured, clears} {
			if seen[c.ID+" "+v.String()] == 0 {
				t.Errorf("%s is never %s", c.ID, v)
			}
		}
	}
}

// worse lists, for every check, the columns and the direction that hurt it, with the
// reason in a word.
func worse() []struct {
	check, column string
	by            float64
	reason        string
} {
	return []struct {
		check, column string
		by            float64
		reason        string
	}{
		{"frog-floor", "flange_height", .125, "a higher flange"}, {"frog-floor", "flangeway_depth", -.125,
			"a shallower frog"},
		{"frog-point", "flange_thickness", .125, "a thicker flange"}, {"frog-point", "back_to_back_max", .125,
			"a wider axle"}, {"frog-point", "guard_check", -.125, "a worn guard"},
		{"guard-bind", "back_to_back", -.125, "a narrower axle"},
		{"guard-bind", "guard_face", .125, "a larger guard face"},
		{"flangeway-width", "flange_thickness", .125, "a thicker flange"}, {"flangeway-width", "flangeway_width", -.125,
			"a narrower flangeway"},
		{"guard-flangeway", "flange_thickness", .125, "a thicker flange"}, {"guard-flangeway", "guard_flangeway", -.125,
			"a narrower flangeway"},
		{"frog-wing", "tread_hollow", .5, "more hollow"},
		{"joint-bar", "flange_height", .125, "a higher flange"}, {"joint-bar", "bar_depth", -.125, "a higher bar"},
		{"joint-bar", "head_wear", .125, "a worn head"},
		{"wide-gauge", "flange_thickness", -.125, "a thinner flange"},
		{"wide-gauge", "back_to_back", -.125, "a narrower axle"}, {"wide-gauge", "rim_width", -.125, "a narrower rim"},
		{"wide-gauge", "gauge", .25, "wider gauge"}, {"wide-gauge", "loaded_gauge", .25, "wider gauge under load"},
		{"tight-gauge", "flange_thickness", .125, "thicker flanges"}, {"tight-gauge", "back_to_back_max", .125,
			"a wider axle"}, {"tight-gauge", "gauge", -.25, "tighter gauge"},
		{"open-point", "flange_thickness", -.125, "a thinner flange"},
		{"open-point", "back_to_back", -.125, "a narrower axle"}, {"open-point", "gauge", .25, "wider gauge"},
		{"open-point", "open_clearance", -.25, "a shorter throw"},
		{"outer-tread", "tread_hollow", .5, "more hollow"}, {"outer-tread", "heel_rise", -.0625, "a worn riser"},
		{"point-climb", "flange_height", -.125, "a lower flange"}, {"point-climb", "point_drop", .125, "a lower point"},
		{"point-climb", "chip_depth", .125, "a deeper chip"},
		{"point-climb", "chip_length", .5, "a longer chip"}, {"point-climb", "face_angle", -4, "a shallower face"},
		{"point-pick", "flange_thickness", -.125, "a thinner flange"},
		{"point-pick", "vertical_flange", .125, "a more vertical flange"},
		{"point-pick", "point_gap", .0625, "a greater gap"},
		{"point-pick", "stock_rail_wear", .125, "a worn stock rail"},
		{"point-pick", "undercut", -.125, "a smaller undercut"},
		{"hollow-curve", "tread_hollow", .5, "more hollow"}, {"hollow-curve", "degree", 2, "a sharper curve"},
	}
}

// TestWearNeverHelps: what hurts a check never improves its verdict nor raises an end
// of its margin, and somewhere makes it worse.
func TestWearNeverHelps(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	changed := map[string]int{}
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		base := d.judge(t, data, interaction.Options{})
		for _, w := range worse() {
			for key, after := range d.shift(data, w.column, w.by).judge(t, data, interaction.Options{Check: w.check}) {
				before := base[key]
				// An axle set closer than 53-1/4 in may have wide flanges, so a notch that says
				// "thicker" ends at 1-7/16 in place of 1-7/32.
				if before != nil && w.column == "back_to_back" && endsHigher(before.Wheel, after.Wheel) {
					continue
				}
				if before == nil || rank(after.Verdict) > rank(before.Verdict) {
					t.Fatalf("%s: %s by %g makes %s out of %v", key, w.reason, w.by, after.Verdict, before)
				}
				if rank(after.Verdict) < rank(before.Verdict) {
					changed[w.check+" "+w.column]++
				}
				for _, m := range [][2]*float64{{before.Margin.Lo, after.Margin.Lo},
					{before.Margin.Hi, after.Margin.Hi}} {
					if m[0] != nil && m[1] != nil && *m[1] > *m[0]+1e-9 {
						t.Fatalf("%s: %s raises an end of the margin from %g to %g", key, w.reason, *m[0], *m[1])
					}
				}
			}
		}
	})
	for _, w := range worse() {
		if changed[w.check+" "+w.column] == 0 {
			t.Errorf("%s: %s makes no verdict worse anywhere", w.check, w.reason)
		}
	}
}

// endsHigher says that what a notch leaves of the thickness of a wheel's flange, or its mate's,
// ends higher after than before.
func endsHigher(before, after *wheel.Wheel) bool {
	higher := func(a, b *wheel.Wheel) bool {
		if a == nil || b == nil {
			return false
		}
		x, y := a.Read(wheel.FlangeThickness), b.Read(wheel.FlangeThickness)
		return x.Form == measure.Above && y.Hi > x.Hi+1e-9
	}
	return higher(before, after) || higher(before.Mate(), after.Mate())
}

// TestLessCertainNeverDecides: a reading that is known less well never decides a pair.
// The margin's interval holds the earlier one. chip_length is the exception: it does
// not enter the margin but says whether the chip counts, so a less certain one may
// bring a chip in; even that never makes a pair clear.
func TestLessCertainNeverDecides(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	widened, drawing := 0, 0
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		base := d.judge(t, data, interaction.Options{})
		drawing++
		for i, column := range slices.Sorted(maps.Keys(d.plus)) {
			if column == "degree" { // exact as written
				continue
			}
			if !fixture.Volume() && (i+drawing)%2 > 0 { // the next draw has it
				continue
			}
			wide := drawn{rows: d.rows, plus: maps.Clone(d.plus)}
			wide.plus[column] += map[bool]float64{true: 1.5, false: inch / 16}[column == "face_angle"]
			for key, after := range wide.judge(t, data, interaction.Options{}) {
				before := base[key]
				if before.Verdict != clears && after.Verdict == clears {
					t.Fatalf("%s: a less certain %s makes clear out of %s", key, column, before.Verdict)
				}
				if column == "chip_length" {
					continue
				}
				if before.Verdict != after.Verdict {
					if after.Verdict != undecided && after.Verdict != notMeasured {
						t.Fatalf("%s: a less certain %s makes %s out of %s", key, column, after.Verdict, before.Verdict)
					}
					if before.Verdict == undecided || before.Verdict == notMeasured {
						t.Fatalf("%s: a less certain %s makes %s out of %s", key, column, after.Verdict, before.Verdict)
					}
					widened++
				}
				if a, b := before.Margin.Lo, after.Margin.Lo; a != nil && b != nil && *b > *a+1e-9 {
					t.Fatalf("%s: a less certain %s raises the lower end", key, column)
				}
				if a, b := before.Margin.Hi, after.Margin.Hi; a != nil && b != nil && *b < *a-1e-9 {
					t.Fatalf("%s: a less certain %s lowers the upper end", key, column)
				}
			}
		}
	})
	if widened == 0 {
		t.Error("no pair became undecided: the test tests nothing")
	}
}

// TestMissingIsNeverClear: without a reading that the check needs, no pair of it is
// clear; it is not measured, but for the conflict that one depth of a point proves.
// Columns joined by + are needed together: one of them would do.
func TestMissingIsNeverClear(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	needs := map[string][]string{
		"frog-floor": {"flange_height", "flangeway_depth"}, "frog-point": {"flange_thickness", "guard_check",
			"back_to_back+back_to_back_max"},
		"guard-bind": {"back_to_back", "guard_face"}, "flangeway-width": {"flange_thickness", "flangeway_width"},
		"guard-flangeway": {"flange_thickness", "guard_flangeway"},
		"frog-wing":       {"tread_hollow"}, "joint-bar": {"flange_height", "bar_depth+head_wear"},
		"wide-gauge":  {"flange_thickness", "back_to_back", "gauge+loaded_gauge"},
		"tight-gauge": {"flange_thickness", "gauge", "back_to_back+back_to_back_max"},
		"open-point":  {"flange_thickness", "back_to_back", "gauge", "open_clearance"},
		"outer-tread": {"tread_hollow", "heel_rise"}, "point-climb": {"flange_height", "point_drop",
			"point_drop+chip_depth"}, "point-pick": {"point_gap"}, "hollow-curve": {"tread_hollow", "degree"},
	}
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		for _, c := range interaction.PlainChecks() {
			check := c.ID
			needed := needs[check]
			if len(needed) == 0 {
				needed = fixture.Columns(data, c.Formula)
			}
			for _, columns := range needed {
				blank := d
				for c := range strings.SplitSeq(columns, "+") {
					blank = blank.change(c, func(string) string { return "n/m" })
				}
				n := 0
				for key, f := range blank.judge(t, data, interaction.Options{Check: check}) {
					n++
					proven := check == "point-climb" && columns == "point_drop" && f.Verdict == conflict &&
						f.Margin.Lo == nil
					if f.Verdict != notMeasured && !proven {
						t.Fatalf("%s: %s without %s", key, f.Verdict, columns)
					}
					if f.Verdict == notMeasured && (f.Margin.Lo != nil || f.Margin.Hi != nil || f.Margin.As != nil ||
						len(f.SettleBy()) == 0) {
						t.Fatalf("%s: not measured carries a margin or names no reading", key)
					}
				}
				if n == 0 && len(c.AnyOf) == 0 {
					t.Fatalf("%s has no pair", check)
				}
			}
		}
	})
}

// sameFinding compares verdict and margins. Degrees are compared to 1e-5: the arc of a
// flange tip is level at its lowest point, where a difference of 1e-16 in the ratio
// of two lengths is one of 1e-6 degrees.
func sameFinding(a, b *judge.Finding) bool {
	by := 1e-9
	if a != nil && a.Check.Degrees {
		by = 1e-5
	}
	same := func(x, y *float64) bool { return (x == nil) == (y == nil) && (x == nil || closeTo(*x, *y, by)) }
	return a != nil && b != nil && a.Verdict == b.Verdict && a.Cause == b.Cause && a.Close == b.Close &&
		same(a.Margin.Lo, b.Margin.Lo) && same(a.Margin.Hi, b.Margin.Hi) && same(a.Margin.As, b.Margin.As)
}

// TestMirror: with L and R of every wheel swapped the result is the mirrored one.
// What is listed once an axle stays listed at L where there is an L.
func TestMirror(t *testing.T) {
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		swap := func(s string) string { return map[byte]string{'L': "R", 'R': "L"}[s[0]] + s[1:] }
		base, mirrored := d.judge(t, data, interaction.Options{}), d.change("position", swap).judge(t, data,
			interaction.Options{})
		if len(base) != len(mirrored) {
			t.Fatalf("%d pairs, mirrored %d", len(base), len(mirrored))
		}
		for key, f := range base {
			other := key[:len(key)-2] + swap(key[len(key)-2:])
			g := mirrored[other]
			if f.Check.Axle && g == nil {
				g = mirrored[key]
			}
			if !sameFinding(f, g) {
				t.Fatalf("%s is %s; mirrored it is another", key, f.Verdict)
			}
		}
	})
}

// TestUnits: the same values in inches and in millimetres, with the same
// reading_error, give the same result.
func TestUnits(t *testing.T) {
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		metric := d
		for column := range around() {
			if column == "degree" || column == "face_angle" {
				continue
			}
			metric = metric.change(column, func(s string) string {
				number := strings.TrimLeft(s, "<>=")
				v, err := strconv.ParseFloat(number, 64)
				if err != nil {
					t.Fatal(err)
				}
				if column == "tread_hollow" { // mm without a unit: the other notation names it
					return s + " mm"
				}
				return strings.TrimSuffix(s, number) + strconv.FormatFloat(v*inch, 'f', 6, 64) + "mm"
			})
		}
		metric = metric.change("back_to_back_max", func(s string) string {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			return strconv.FormatFloat(v*inch, 'f', 6, 64) + " mm"
		})
		plus := maps.Clone(d.plus)
		plus["back_to_back_max"] = plus["back_to_back"]
		inches := drawn{rows: d.rows, plus: plus}.judge(t, data, interaction.Options{})
		metric.plus = plus
		for key, g := range metric.judge(t, data, interaction.Options{}) {
			if f := inches[key]; !sameFinding(f, g) {
				t.Fatalf("%s is %s in inches, %s in millimetres", key, f.Verdict, g.Verdict)
			}
		}
	})
}

// TestRowOrder: the order of the rows does not matter.
func TestRowOrder(t *testing.T) {
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, r *rand.Rand) {
		base := d.judge(t, data, interaction.Options{})
		shuffled := drawn{rows: map[string][]row{}, plus: d.plus}
		for _, file := range slices.Sorted(maps.Keys(d.rows)) {
			rows := slices.Clone(d.rows[file])
			r.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
			shuffled.rows[file] = rows
		}
		after := shuffled.judge(t, data, interaction.Options{})
		if len(after) != len(base) {
			t.Fatalf("%d pairs, shuffled %d", len(base), len(after))
		}
		for key, f := range base {
			if g := after[key]; !sameFinding(f, g) || !slices.Equal(f.SettleBy(), g.SettleBy()) ||
				f.Sharing != g.Sharing {
				t.Fatalf("%s changes with the order of the rows", key)
			}
		}
	})
}

// TestNarrowing: looking at one location, car or check gives the same pairs as
// looking at all of them and picking.
func TestNarrowing(t *testing.T) {
	eachDraw(t, func(t *testing.T, data *configs.Data, d drawn, _ *rand.Rand) {
		base := d.judge(t, data, interaction.Options{})
		for _, opt := range []interaction.Options{{Car: "A 1"}, {Check: "wide-gauge"}, {Location: "here"},
			{Location: "here", Car: "A 2", Check: "frog-floor"}} {
			got, want := d.judge(t, data, opt), 0
			for key, f := range base {
				if opt.Car != "" && f.Wheel.Car.ID != opt.Car || opt.Check != "" && f.Check.ID != opt.Check ||
					opt.Location != "" && f.Feature.Location != opt.Location {
					continue
				}
				want++
				if !sameFinding(f, got[key]) {
					t.Fatalf("%+v: %s differs", opt, key)
				}
			}
			if len(got) != want || want == 0 {
				t.Errorf("%+v: %d pairs, want %d", opt, len(got), want)
			}
		}
	})
}
