package interaction_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
)

// interval is a random reading in inches (hollow mm, angles degrees); it is written
// as a range, which with exact columns is the interval itself.
type interval struct{ lo, hi float64 }

func (v interval) cell() string { return fmt.Sprintf("%.4f..%.4f", v.lo, v.hi) }

// wearOf is how a quantity hurts a check: the sign of the change that is wear, and
// the field in which plausible values lie. needed says that the check is not
// measured without it.
type wearOf struct {
	side, column string
	hurts        float64
	lo, hi       float64
	needed       bool
}

// hurting lists, for every check, what wear does to it (CONTRACT §4, the signs of
// the margins).
func hurting() map[string]struct {
	kind track.Kind
	wear []wearOf
} {
	type list = []wearOf
	type c = struct {
		kind track.Kind
		wear []wearOf
	}
	h := wearOf{"wheel", "flange_height", 1, 1, 1.6, true}
	t := func(sign float64) wearOf { return wearOf{"wheel", "flange_thickness", sign, 0.8, 1.4, true} }
	b := func(sign float64) wearOf { return wearOf{"wheel", "back_to_back", sign, 52.8, 53.5, true} }
	q := wearOf{"wheel", "tread_hollow", 1, 0, 6, true}
	return map[string]c{
		"frog-floor":      {track.Frog, list{h, {"place", "flangeway_depth", -1, 1.1, 1.9, true}}},
		"frog-point":      {track.Frog, list{b(1), t(1), {"place", "guard_check", -1, 53.9, 54.8, true}}},
		"guard-bind":      {track.Frog, list{b(-1), {"place", "guard_face", 1, 52.5, 53.5, true}}},
		"flangeway-width": {track.Frog, list{t(1), {"place", "flangeway_width", -1, 0.9, 1.9, true}}},
		"guard-flangeway": {track.Frog, list{t(1), {"place", "guard_flangeway", -1, 0.9, 1.9, true}}},
		"frog-wing":       {track.Frog, list{q}},
		"joint-bar":       {track.Joint, list{h, {"place", "bar_depth", -1, 0.9, 1.9, true}}},
		"wide-gauge":      {track.Spot, list{b(-1), t(-1), {"place", "loaded_gauge", 1, 57.5, 59.5, true}}},
		"tight-gauge":     {track.Spot, list{b(1), t(1), {"place", "gauge", -1, 55, 57, true}}},
		"open-point":      {track.Switch, list{b(-1), t(-1), {"place", "open_clearance", -1, 1.5, 4, true}, {"place", "gauge", 1, 56, 58, true}}},
		"outer-tread":     {track.Switch, list{q, {"place", "heel_rise", -1, 0, 0.3, true}}},
		"point-climb": {track.Switch, list{{"wheel", "flange_height", -1, 1, 1.6, true}, {"place", "point_drop", 1, 0.2, 1.2, true},
			{"place", "chip_depth", 1, 0, 1.2, true}, {"place", "face_angle", -1, 50, 80, false}}},
		"point-pick": {track.Switch, list{{"wheel", "vertical_flange", 1, 0.3, 0.95, false}, {"wheel", "flange_thickness", -1, 0.8, 1.4, false},
			{"place", "point_gap", 1, 0, 0.5, true}, {"place", "stock_rail_wear", 1, 0, 0.5, false}, {"place", "undercut", -1, 0, 0.4, false}}},
		"hollow-curve": {track.Curve, list{q}},
	}
}

// world is one axle and one place with random readings.
type world struct {
	kind  track.Kind
	wheel map[string]string
	place map[string]string
}

func (w world) judge(t *testing.T, data *configs.Data, check string) interaction.Verdict {
	t.Helper()
	list := func(fixed string, cells map[string]string, columns []string) string {
		head, values := []string{}, []string{}
		for _, c := range columns {
			if v, ok := cells[c]; ok {
				head, values = append(head, c), append(values, v)
			}
		}
		return fixed + strings.Join(head, ",") + "\n" + strings.Join(values, ",") + "\n"
	}
	row := map[string]string{"car": "A 1", "position": "L1"}
	mate := map[string]string{"car": "A 1", "position": "R1"}
	for k, v := range w.wheel {
		row[k], mate[k] = v, v
		if k == "back_to_back" {
			mate[k] = ""
		}
	}
	columns := []string{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "tread_hollow", "back_to_back"}
	wheels := list("", row, columns)
	wheels += strings.SplitN(list("", mate, columns), "\n", 2)[1]
	place := map[string]string{"location": "here", w.kind.String(): "X1"}
	for k, v := range w.place {
		place[k] = v
	}
	s := sheets{exact: true, files: map[string]string{"wheels.csv": wheels, w.kind.File(): list("", place, w.kind.Columns())}}.read(t, data)
	for _, f := range judge(t, s, interaction.Options{Check: check}).all {
		if f.Wheel.Position.String() == "L1" {
			return f.Verdict
		}
	}
	t.Fatalf("%s: no pair", check)
	return 0
}

func random(r *rand.Rand, w wearOf) interval {
	v := w.lo + r.Float64()*(w.hi-w.lo)
	return interval{v, v + r.Float64()*r.Float64()*(w.hi-w.lo)/4}
}

// trials is how many random worlds each property looks at for each check.
const trials = 60

func eachWorld(t *testing.T, f func(t *testing.T, data *configs.Data, r *rand.Rand, check string, w world, wear []wearOf, values map[string]interval)) {
	data := builtIn(t)
	for check, h := range hurting() {
		t.Run(check, func(t *testing.T) {
			r := rand.New(rand.NewPCG(1, uint64(len(check))))
			for range trials {
				w := world{kind: h.kind, wheel: map[string]string{}, place: map[string]string{}}
				values := map[string]interval{}
				for _, x := range h.wear {
					values[x.column] = random(r, x)
					w.set(x, values[x.column].cell())
				}
				if check == "hollow-curve" {
					w.place["degree"] = fmt.Sprintf("%.2f", r.Float64()*14)
				}
				f(t, data, r, check, w, h.wear, values)
			}
		})
	}
}

func (w world) set(x wearOf, cell string) {
	if x.side == "wheel" {
		w.wheel[x.column] = cell
		return
	}
	w.place[x.column] = cell
}

// More wear never improves the verdict of the check it hurts.
func TestMoreWearNeverImproves(t *testing.T) {
	seen := map[interaction.Verdict]int{}
	eachWorld(t, func(t *testing.T, data *configs.Data, r *rand.Rand, check string, w world, wear []wearOf, values map[string]interval) {
		before := w.judge(t, data, check)
		seen[before]++
		for _, x := range wear {
			v := values[x.column]
			d := x.hurts * r.Float64() * (x.hi - x.lo) / 2
			if v.lo+d < 0 {
				d = -v.lo
			}
			w.set(x, interval{v.lo + d, v.hi + d}.cell())
			if after := w.judge(t, data, check); after > before {
				t.Errorf("%s by %+.3f of %s: %s became %s (%v %v)", x.column, d, v.cell(), before, after, w.wheel, w.place)
			}
			w.set(x, v.cell())
		}
	})
	for _, v := range []interaction.Verdict{conflict, undecided, interaction.Clear} {
		if seen[v] < 20 {
			t.Errorf("only %d worlds were %s: the property was hardly tried", seen[v], v)
		}
	}
}

// A wider interval never makes a pair clear that was not.
func TestWiderNeverClears(t *testing.T) {
	eachWorld(t, func(t *testing.T, data *configs.Data, r *rand.Rand, check string, w world, wear []wearOf, values map[string]interval) {
		before := w.judge(t, data, check)
		for _, x := range wear {
			v := values[x.column]
			lo := v.lo - r.Float64()*(x.hi-x.lo)/4
			if lo < 0 {
				lo = 0
			}
			w.set(x, interval{lo, v.hi + r.Float64()*(x.hi-x.lo)/4}.cell())
			after := w.judge(t, data, check)
			if after == interaction.Clear && before != interaction.Clear || before == undecided && after != undecided {
				t.Errorf("%s widened from %s: %s became %s (%v %v)", x.column, v.cell(), before, after, w.wheel, w.place)
			}
			w.set(x, v.cell())
		}
	})
}

// A missing reading never gives clear: the pair is not measured, or, where the
// other depth of a point proves it, a conflict.
func TestMissingNeverClears(t *testing.T) {
	eachWorld(t, func(t *testing.T, data *configs.Data, _ *rand.Rand, check string, w world, wear []wearOf, values map[string]interval) {
		for _, x := range wear {
			if !x.needed {
				continue
			}
			w.set(x, "")
			after := w.judge(t, data, check)
			proven := check == "point-climb" && after == conflict && (x.column == "point_drop" || x.column == "chip_depth")
			if after != notMeasured && !proven {
				t.Errorf("%s blank: %s", x.column, after)
			}
			w.set(x, values[x.column].cell())
		}
	})
}

// Swapping L and R of every wheel gives the mirrored result; inches and the same
// lengths in mm give the same verdicts and margins.
func TestMirrorAndUnits(t *testing.T) {
	data := builtIn(t)
	const wheels = `car,position,flange_height,flange_thickness,back_to_back,tread_hollow
A 1,L1,1.40,1.05,53.10,2.0
A 1,R1,1.25,0.95,,3.5
A 1,L2,1.10,1.15,53.30,0.5
A 1,R2,1.45,1.00,,1.0
`
	const frogs = `location,frog,gauge,flangeway_depth,flangeway_width,guard_check,guard_face
here,F1,57.0,1.42,1.5,54.3,53.1
`
	base := judge(t, sheets{exact: true, files: map[string]string{"wheels.csv": wheels, "frogs.csv": frogs}}.read(t, data), interaction.Options{})
	swap := strings.NewReplacer(",L1,", ",R1,", ",R1,", ",L1,", ",L2,", ",R2,", ",R2,", ",L2,")
	mirrored := byPair(t, judge(t, sheets{exact: true, files: map[string]string{"wheels.csv": swap.Replace(wheels), "frogs.csv": frogs}}.read(t, data), interaction.Options{}).all)
	inMM := func(text string) string {
		lines := strings.Split(strings.TrimSpace(text), "\n")
		for i, l := range lines {
			cells := strings.Split(l, ",")
			for k, c := range cells {
				head := strings.Split(lines[0], ",")[k]
				if spec, ok := data.Columns[head]; ok && i > 0 && c != "" && spec.Unit == measure.Inches {
					v, err := spec.Parse(c)
					if err != nil {
						t.Fatal(err)
					}
					cells[k] = fmt.Sprintf("%.6fmm", v.As)
				}
			}
			lines[i] = strings.Join(cells, ",")
		}
		return strings.Join(lines, "\n") + "\n"
	}
	metric := byPair(t, judge(t, sheets{exact: true, files: map[string]string{"wheels.csv": inMM(wheels), "frogs.csv": inMM(frogs)}}.read(t, data), interaction.Options{}).all)
	if len(base.all) < 30 {
		t.Fatalf("only %d pairs", len(base.all))
	}
	for _, f := range base.all {
		other := swap.Replace("," + f.Wheel.Position.String() + ",")
		key := f.Check.ID + " " + f.Feature.Name() + " " + f.Wheel.Car.ID + " "
		if f.Check.Axle {
			other = "," + f.Wheel.Position.String() + ","
		}
		m := mirrored[key+strings.Trim(other, ",")]
		if f.Margin.As == nil {
			if m == nil || m.Verdict != f.Verdict {
				t.Errorf("%s%s mirrored: %+v", key, other, m)
			}
			continue
		}
		if m == nil || m.Verdict != f.Verdict || *m.Margin.As-*f.Margin.As > 1e-9 || *f.Margin.As-*m.Margin.As > 1e-9 {
			t.Errorf("%s%s mirrored: %+v", key, other, m)
		}
		g := metric[key+f.Wheel.Position.String()]
		if g == nil || g.Verdict != f.Verdict || !closeTo(*g.Margin.As, *f.Margin.As, 1e-5) {
			t.Errorf("%s%s in mm: %+v", key, f.Wheel.Position, g)
		}
	}
}
