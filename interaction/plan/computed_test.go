package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// shaped is a random survey of which shapes and forces can be computed: frogs with numbers,
// switches, sharp curves, and cars with hollow wheels.
func (r roller) shaped(cars, places int) files {
	f := files{"cars.csv": {{"car", "kind", "owner", "axles", "gross_lb"}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "rim_thickness",
			"tread_hollow", "back_to_back"}},
		"frogs.csv": {{"location", "frog", "number", "type", "gauge", "flangeway_depth", "flangeway_width",
			"guard_check", "guard_face", "guard_flangeway", "tread_wear"}},
		"switches.csv": {{"location", "switch", "direction", "gauge", "point_gap", "point_drop", "chip_depth",
			"chip_length", "face_angle", "stock_rail_wear", "open_clearance", "heel_rise"}},
		"curves.csv": {{"location", "curve", "degree", "elevation", "speed_mph", "gauge", "loaded_gauge"}}}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, "freight", []string{"own", "own", "foreign"}[r.IntN(3)], "4", "263000")
		for a := 1; a <= 4; a++ {
			hollow := 5 * r.Float64() * r.Float64()
			if r.IntN(3) == 0 {
				hollow = 3 + 4*r.Float64()
			}
			for _, side := range []string{"L", "R"} {
				b := ""
				if side == "L" {
					b = r.inches(53*16+1, 53*16+6, 0)
				}
				add("wheels.csv", id, fmt.Sprintf("%s%d", side, a), r.inches(16, 24, 0), r.inches(15, 19, 0),
					[]string{"1/2", "<1", ">=1", ""}[r.IntN(4)], r.inches(15, 26, 0), fmt.Sprintf("%.1f", hollow), b)
			}
		}
	}
	for p := range places {
		loc, id := fmt.Sprintf("place %d", p), fmt.Sprintf("P%d", p)
		switch p % 3 {
		case 0:
			add("frogs.csv", loc, id, []string{"8", "10"}[r.IntN(2)], []string{"", "rbm", "self-guarded"}[r.IntN(3)],
				r.inches(56*16+6, 57*16, 0), r.inches(20, 28, 0), r.inches(26, 32, 0), r.inches(54*16+6, 54*16+11, 0),
				r.inches(52*16+10, 53*16+2, 0), r.inches(28, 34, 0), r.inches(0, 4, 0))
		case 1:
			add("switches.csv", loc, id, []string{"facing", "both"}[r.IntN(2)], r.inches(56*16+6, 57*16, 0),
				r.inches(0, 4, 0), r.inches(3, 8, 0), r.inches(0, 11, 0.2), fmt.Sprint(r.IntN(8)),
				[]string{"", "75", "62"}[r.IntN(3)], r.inches(0, 4, 0), r.inches(48, 64, 0), r.inches(1, 5, 0))
		default:
			add("curves.csv", loc, id, fmt.Sprintf("%.1f", 4+8*r.Float64()), []string{"none", "1", "2"}[r.IntN(3)],
				"10", r.inches(56*16+6, 57*16+8, 0), r.inches(57*16, 57*16+12, 0))
		}
	}
	return f
}

// The promise of TestCarriedOutPlanHolds by the verdicts that shapes and forces give: the
// survey with every planned reading in it, judged from the beginning, is what the plan says.
func TestCarriedOutPlanHoldsComputed(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	cars, places := 2, int(fixture.Drawn(3, 5))
	differs, works := 0, 0
	for k := range fixture.Drawn(1, 3) {
		seed := (k + 1) % 4 // the first that has works
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r := roller{rand.New(rand.NewPCG(41, seed))}
			railroad := plainRailroad
			if seed%2 == 1 {
				railroad += "costs: {guard_move: 0, car_hold: 90000, foreign_hold: 70000, place_close: 100000}\n"
			}
			f := r.shaped(cars, places)
			sv := f.write(t, railroad)
			opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed/2%2]}
			if budget := int64(r.IntN(600000)); seed%5 == 3 {
				opt.Budget = &budget
			}
			e := engine(t, sv, true)
			p, err := Make(e, opt)
			if err != nil {
				t.Fatal(err)
			}
			recheck(t, f, railroad, sv, p, true)
			before, plainly := verdicts(t, e), verdicts(t, plain(t, sv))
			for key, v := range before {
				if plainly[key] != v {
					differs++
				}
			}
			works += len(p.Actions)
		})
	}
	if differs == 0 || works == 0 {
		t.Errorf("%d verdicts differ from the plain ones, %d works", differs, works)
	}
}

// Trying everything, each pair judged by the engine: the plan costs as much, and its bound
// is never above that. Federal limits are left out: trying everything knows no answers to them,
// TestSmallSurveysMatchBruteForce does.
func TestComputedPlanMatchesBruteForce(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	dearer := 0
	for seed := range fixture.Drawn(1, 4) {
		r := roller{rand.New(rand.NewPCG(43, seed))}
		f := r.shaped(1, 3)
		sv := f.write(t, plainRailroad+fmt.Sprintf("costs: {wheelset_turn: %d, car_hold: %d, guard_move: %d}\n",
			100+r.IntN(900), 50+r.IntN(2000), 100+r.IntN(1500)))
		opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed%2], IgnoreLimits: true}
		e := engine(t, sv, true)
		p, err := Make(e, opt)
		if err != nil {
			t.Fatal(err)
		}
		want := bruteComputed(t, e, opt)
		if p.Cents < want || p.Bound > want || p.Proven() && p.Cents != want {
			t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, want)
		}
		cheap, err := Make(plain(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		if cheap.Cents != p.Cents {
			dearer++
		}
	}
	if dearer == 0 {
		t.Error("every plan costs what the plain one costs")
	}
}

// bruteComputed is the least cost over all options of all places and axles of one car, with
// every row and truck judged again by itself, and what is read again beside.
func bruteComputed(t *testing.T, e *judge.Engine, opt Options) int64 {
	t.Helper()
	m, err := rawModel(e, e.Survey, opt)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.axles {
		a := &m.axles[i]
		for j := range a.opts {
			if a.opts[j].work.name == "wheelset_turn" {
				_, ok := m.shop.turn(a.axle, a.opts[j].work)
				a.opts[j].never = !ok
			}
		}
	}
	c := &m.cars[0]
	best := int64(-1)
	var levels []int
	level := func(_, k int) int { return levels[k] }
	var axles func(k int, cents int64)
	axles = func(k int, cents int64) {
		if k < len(c.axles) {
			for j := range m.axles[c.axles[k]].opts {
				if o := &m.axles[c.axles[k]].opts[j]; !o.never {
					levels = append(levels[:k], j)
					axles(k+1, cents+o.cents)
				}
			}
			return
		}
		// With one car the places hang on each other only if it is returned, which is paid once.
		once, clearAll, returned, apart := c.car.Owner != "own", cents, cents+c.hold, cents
		for pi := range m.places {
			p := &m.places[pi]
			clear, any := int64(-1), int64(-1)
			for y := range p.opts {
				o := &p.opts[y]
				if any < 0 || o.cents < any {
					any = o.cents
				}
				if clear >= 0 && o.cents >= clear {
					continue
				}
				place := func(i int) *placeOption {
					if i == pi {
						return o
					}
					return &m.places[i].opts[0]
				}
				m.ask(func(int, int) need { return everything }, m.whole(chosen{place: place, level: level}))
				left := false
				m.eachPair(c, p, o, func(k int) int { return levels[k] }, func(x *pair) {
					bad, worse := m.comesBack(x)
					left = left || bad || worse
				})
				if !left {
					clear = o.cents
				}
			}
			returned += any
			if clear < 0 {
				clearAll, apart = -1, apart+any+c.hold
				continue
			}
			if clearAll >= 0 {
				clearAll += clear
			}
			apart += min(clear, any+c.hold)
		}
		if cents = apart; once {
			if cents = returned; clearAll >= 0 {
				cents = min(cents, clearAll)
			}
		}
		if best < 0 || cents < best {
			best = cents
		}
	}
	axles(0, 0)
	return best + m.rereadCents
}
