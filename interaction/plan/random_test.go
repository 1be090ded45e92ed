package plan

import (
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/track"
)

// files is a survey's sheets by name, as rows of cells with the headings first.
type files map[string][][]string

// write puts the sheets into a folder and reads them.
func (f files) write(t testing.TB, railroad string) *survey.Survey {
	t.Helper()
	dir := t.TempDir()
	for name, rows := range f {
		var b strings.Builder
		w := csv.NewWriter(&b)
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "railroad.yaml"), []byte(railroad), 0o600); err != nil {
		t.Fatal(err)
	}
	sv, err := survey.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return sv
}

// clone is a copy whose cells can be changed.
func (f files) clone() files {
	out := files{}
	for name, rows := range f {
		for _, r := range rows {
			out[name] = append(out[name], append([]string(nil), r...))
		}
	}
	return out
}

// set writes a value under a heading in the row that begins with the given cells.
func (f files) set(t testing.TB, name string, key []string, column, value string) {
	t.Helper()
	rows := f[name]
	at := -1
	for i, h := range rows[0] {
		if h == column {
			at = i
		}
	}
	if at < 0 {
		at = len(rows[0])
		for i := range rows {
			rows[i] = append(rows[i], "")
		}
		rows[0][at] = column
	}
	found := false
	for _, r := range rows[1:] {
		if strings.Join(r[:len(key)], "|") == strings.Join(key, "|") {
			r[at], found = value, true
		}
	}
	if !found {
		t.Fatalf("%s has no row %v", name, key)
	}
}

// roller makes random readings.
type roller struct{ *rand.Rand }

// inches is a reading between two sixteenths, now and then missing, go/no-go or decimal.
func (r roller) inches(lo, hi int, loose float64) string {
	n := lo + r.IntN(hi-lo+1)
	text := sixteenths(n)
	switch v := r.Float64(); {
	case v < loose/2:
		return ""
	case v < loose && n > 0:
		return ">" + text
	case v < 1.5*loose && n > 0:
		return "<" + text
	case v < 2*loose:
		return fmt.Sprintf("%.2f", float64(n)/16+0.003)
	}
	return text
}

// sixteenths writes so many of them.
func sixteenths(n int) string {
	switch {
	case n == 0:
		return "none"
	case n < 16:
		return fmt.Sprintf("%d/16", n)
	case n%16 == 0:
		return fmt.Sprint(n / 16)
	}
	return fmt.Sprintf("%d-%d/16", n/16, n%16)
}

// survey is a random survey; loose is the share of odd readings.
func (r roller) survey(cars, axles, places int, loose float64) files {
	f := files{"cars.csv": {{"car", "kind", "owner", "axles"}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "rim_thickness",
			"tread_hollow", "back_to_back"}},
		"frogs.csv": {{"location", "frog", "type", "gauge", "flangeway_depth", "flangeway_width", "guard_check",
			"guard_face", "guard_flangeway"}},
		"switches.csv": {{"location", "switch", "direction", "gauge", "point_gap", "point_drop", "chip_depth",
			"chip_length", "face_angle", "stock_rail_wear", "open_clearance", "heel_rise"}},
		"curves.csv": {{"location", "curve", "degree", "gauge", "loaded_gauge"}},
		"joints.csv": {{"location", "joint", "rail", "head_wear", "bar_depth"}},
		"gauge.csv":  {{"location", "spot", "gauge", "loaded_gauge", "holding"}}}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, "freight", []string{"own", "own", "foreign"}[r.IntN(3)], fmt.Sprint(axles))
		for a := 1; a <= axles; a++ {
			for _, side := range []string{"L", "R"} {
				b := ""
				if side == "L" {
					b = r.inches(53*16-2, 53*16+8, loose/2)
				}
				hollow := fmt.Sprintf("%.1f", 5*r.Float64()*r.Float64())
				add("wheels.csv", id, fmt.Sprintf("%s%d", side, a), r.inches(16, 24, loose), r.inches(14, 22, loose),
					[]string{"1/2", "<1", ">=1", ""}[r.IntN(4)], r.inches(13, 26, loose/4), hollow, b)
			}
		}
	}
	for p := range places {
		loc, id := fmt.Sprintf("place %d", p/2), fmt.Sprintf("P%d", p)
		gauge := func() string { return r.inches(56*16, 58*16, loose) }
		switch r.IntN(6) {
		case 0, 1:
			add("frogs.csv", loc, id, []string{"", "", "spring", "self-guarded"}[r.IntN(4)], gauge(),
				r.inches(19, 30, loose), r.inches(20, 32, loose), r.inches(54*16+1, 54*16+12, loose),
				r.inches(52*16+6, 53*16+4, loose), r.inches(24, 40, loose))
		case 2:
			add("switches.csv", loc, id, []string{"facing", "both", "trailing"}[r.IntN(3)], gauge(),
				r.inches(0, 6, loose), r.inches(2, 10, loose), r.inches(0, 15, loose), fmt.Sprint(r.IntN(8)),
				[]string{"", "75", "55"}[r.IntN(3)], r.inches(0, 5, loose), r.inches(36, 64, loose),
				r.inches(0, 5, loose))
		case 3:
			add("curves.csv", loc, id, fmt.Sprintf("%.1f", 14*r.Float64()), gauge(), r.inches(57*16, 60*16, loose))
		case 4:
			add("joints.csv", loc, id, []string{"100RE", "90RA-A", ""}[r.IntN(3)], r.inches(0, 7, loose),
				r.inches(16, 28, loose))
		default:
			add("gauge.csv", loc, id, gauge(), r.inches(57*16, 60*16, loose), []string{"", "poor", "good"}[r.IntN(3)])
		}
	}
	return f
}

// carry writes every planned reading of a plan into the sheets.
func carry(t testing.TB, f files, sv *survey.Survey, actions []Action) (files, map[string]bool, map[string]bool) {
	t.Helper()
	out := f.clone()
	held, closed := map[string]bool{}, map[string]bool{}
	for _, a := range actions {
		switch a.Effect {
		case Holds:
			held[strings.TrimPrefix(a.Where, "car/")+" at "+a.At] = true // at "": everywhere
			for _, f := range append(slices.Clone(a.Off), a.Behind...) {
				held[strings.TrimPrefix(a.Where, "car/")+" at "+f] = true
			}
		case Closes:
			closed[a.Where] = true
		case Reads: // nobody knows what will be read
		default:
			for _, column := range a.Columns() {
				if id, ok := strings.CutPrefix(a.Where, "wheel/"); ok {
					n := strings.LastIndex(id, " ")
					out.set(t, "wheels.csv", []string{id[:n], id[n+1:]}, column, a.Sets[column])
					continue
				}
				for _, p := range sv.Track.Features {
					if p.Name() == a.Where {
						out.set(t, p.Kind.File(), []string{p.Location, p.ID}, column, a.Sets[column])
					}
				}
			}
		}
	}
	return out, held, closed
}

// engine judges a survey: by the plain rules, or with what shapes and forces say.
func engine(t testing.TB, sv *survey.Survey, computed bool) *judge.Engine {
	t.Helper()
	book, err := sv.Book()
	if err != nil {
		t.Fatal(err)
	}
	e := judge.New(sv, book, interaction.Options{})
	if computed {
		if _, err := e.Compute(); err != nil {
			t.Fatal(err)
		}
	}
	return e
}

// plain judges a survey by the plain rules.
func plain(t testing.TB, sv *survey.Survey) *judge.Engine { return engine(t, sv, false) }

// verdictsAndDoubts is the verdict of every pair, and which rest on a reading under a
// warning.
func verdictsAndDoubts(t testing.TB, e *judge.Engine) (map[string]interaction.Verdict, map[string]bool) {
	t.Helper()
	out, doubted := map[string]interaction.Verdict{}, map[string]bool{}
	r := e.Judge()
	if err := r.Engine().EachPair(r.Tallies, func(x *judge.Finding) error {
		key := x.Check.ID + " | " + x.Wheel.Car.ID + " " + x.Wheel.Position.String() + " | " + x.Wheel.Car.ID + " at " +
			x.Feature.Name() + " | " + x.Feature.Name()
		out[key], doubted[key] = x.Verdict, x.Doubt != "" || x.Unmarked()
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return out, doubted
}

// verdicts is the verdict of every pair.
func verdicts(t testing.TB, e *judge.Engine) map[string]interaction.Verdict {
	t.Helper()
	out, _ := verdictsAndDoubts(t, e)
	return out
}

// leaves reports whether a pair that the plan treats, by its key, is not ended by its verdict after the works: it has
// to be clear, but undecided is enough where a truck in a curve was computed and conflicts alone are treated.
func (p *Plan) leaves(key string, before, after interaction.Verdict) bool {
	if p.Options.Level == LevelUndecided {
		return before <= interaction.Undecided && after != interaction.Clear
	}
	truck := p.Computed && strings.HasPrefix(key, "hollow-curve |")
	return before == interaction.Conflict && after != interaction.Clear && !(truck && after == interaction.Undecided)
}

// recheck carries a plan out and judges the survey again: no treated pair is in
// conflict or undecided (where the plan had no budget), none is worse, and the counts of
// the plan are those of the check.
func recheck(t *testing.T, f files, railroad string, sv *survey.Survey, p *Plan, computed bool) {
	t.Helper()
	before, doubted := verdictsAndDoubts(t, engine(t, sv, computed))
	out, held, closed := carry(t, f, sv, p.Actions)
	carried := out.write(t, railroad)
	after, still := verdictsAndDoubts(t, engine(t, carried, computed))
	lawAfter(t, p, carried, held, closed)
	trailing := map[string]bool{}
	for _, a := range p.Actions {
		trailing[a.Where] = trailing[a.Where] || a.Work == trailingOnly
	}
	var left, undecided, was, inDoubt int
	for key, v := range before {
		parts := strings.Split(key, " | ")
		if v == interaction.Conflict {
			was++
		}
		car, _, _ := strings.Cut(parts[2], " at ")
		if held[parts[2]] || held[car+" at "] || closed[parts[3]] {
			continue
		}
		w, ok := after[key]
		if !ok && trailing[parts[3]] && (parts[0] == "point-climb" || parts[0] == "point-pick") {
			continue
		}
		if !ok {
			t.Fatalf("the pair %s is gone", key)
		}
		switch w {
		case interaction.Conflict:
			left++
			if doubted[key] && still[key] {
				inDoubt++
			}
		case interaction.Undecided:
			undecided++
		}
		if p.Options.Budget == nil && p.Options.CrewDays == nil && p.leaves(key, v, w) &&
			!(doubted[key] && still[key]) {
			t.Errorf("%s was %s and is %s after the plan", key, v, w)
		}
		if w < v {
			t.Errorf("%s was %s and is worse, %s, after the plan", key, v, w)
		}
	}
	if was != p.Conflict.Before || left != p.Conflict.After || undecided != p.Undecided.After {
		t.Errorf("the plan counts %+v conflicts, %+v undecided; the check %d, then %d and %d undecided", p.Conflict,
			p.Undecided, was, left, undecided)
	}
	if inDoubt != p.InDoubt {
		t.Errorf("the plan leaves %d conflicts to be read again, the check %d", p.InDoubt, inDoubt)
	}
	var sum int64
	for _, a := range p.Actions {
		sum += a.Cents
	}
	if sum != p.Cents || p.Bound > p.Cents {
		t.Errorf("cost %d, sum of the actions %d, bound %d", p.Cents, sum, p.Bound)
	}
	if t.Failed() {
		for _, a := range p.Actions {
			t.Logf("%s %s: %s; %s %s", a.ID, a.Where, a.What, a.SetsText(), a.At)
		}
		for name, rows := range f {
			t.Log(name, rows)
		}
	}
}

const plainRailroad = "schema: 1\nlimits: [federal, interchange]\n"

// The one promise that matters: carry out the plan, measure again, and it is so.
func TestCarriedOutPlanHolds(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	for seed := range fixture.Drawn(8, 28) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r := roller{rand.New(rand.NewPCG(11, seed))}
			railroad := plainRailroad
			switch seed % 4 {
			case 1:
				railroad += "reading_error: {flange_height: \"0\", guard_check: \"0\", gauge: 1/64}\n"
			case 2:
				railroad += "settings: {work_tolerance: 1/16}\n"
			case 3:
				railroad += "costs: {guard_move: 0, car_hold: 90000, foreign_hold: 70000, place_close: 100000, " +
					"trailing_only: 10}\n"
			}
			if seed%3 == 1 { // a class, so that its limits hold
				railroad += fmt.Sprintf("date: 2026-10-31\ntrack_class: %d\nspeed_mph: 25\n", 1+seed%4)
			}
			f := r.survey(3+r.IntN(4), 2+2*r.IntN(2), 6+r.IntN(8), 0.12)
			sv := f.write(t, railroad)
			opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed%2], TrackOnly: seed%7 == 3,
				CarsOnly: seed%7 == 5, IgnoreLimits: seed%3 == 0}
			p, err := Make(plain(t, sv), opt)
			if err != nil {
				t.Fatal(err)
			}
			recheck(t, f, railroad, sv, p, false)
			for _, a := range p.Actions {
				if !a.Federal && (opt.TrackOnly && a.Side != Track || opt.CarsOnly && a.Side != Car) {
					t.Errorf("%s %s is of the %s side", a.ID, a.What, a.Side)
				}
			}
			if p.Conflict.Before > 0 && len(p.Actions) == 0 {
				t.Error("conflicts and no action")
			}
		})
	}
}

// brute is the least cost by trying every option of every place with every option of
// every axle, judged pair by pair.
func brute(t testing.TB, sv *survey.Survey, opt Options) int64 {
	t.Helper()
	m, err := rawModel(plain(t, sv), sv, opt)
	if err != nil {
		t.Fatal(err)
	}
	broken := func(f *track.Feature) bool {
		return f != nil && !opt.IgnoreLimits && len(open(m.law.place(f))) > 0
	}
	leaves := func(a *axleModel, j int, p *placeModel, y int) bool {
		o := &p.opts[y]
		if o.rows == nil {
			return false
		}
		for s, w := range a.index {
			for c, check := range p.checks {
				if w < 0 || !m.trial.Has(check, m.shares[w], o.narrow) {
					continue
				}
				before := p.before[c][w]
				doubt := o.rows[c].inDoubt(w, j > 0)
				n, x := m.plain(o.rows[c], &a.opts[j].wheels[s])
				for _, pair := range []interaction.Verdict{n, x} {
					if pair < before || m.treats(before) && pair != interaction.Clear && !doubt {
						return true
					}
				}
			}
		}
		return false
	}
	// Which axle options the lathe allows, and what every axle leaves at every option.
	type axle struct {
		cost []int64
		at   [][][]bool // option, place, its option
	}
	table := make([]axle, len(m.axles))
	for i := range m.axles {
		a := &m.axles[i]
		for j := range a.opts {
			if a.opts[j].work.name == "wheelset_turn" {
				if _, ok := m.shop.turn(a.axle, a.opts[j].work); !ok {
					continue
				}
			}
			if !opt.IgnoreLimits && len(m.law.axle(a.opts[j].axles[0])) > 0 {
				continue
			}
			var at [][]bool
			for pi := range m.places {
				var row []bool
				for y := range m.places[pi].opts {
					row = append(row, leaves(a, j, &m.places[pi], y))
				}
				at = append(at, row)
			}
			table[i].cost = append(table[i].cost, a.opts[j].cents)
			table[i].at = append(table[i].at, at)
		}
	}
	best := int64(-1)
	var places func(y []int, cost int64)
	places = func(y []int, cost int64) {
		if len(y) < len(m.places) {
			for o := range m.places[len(y)].opts {
				if x := &m.places[len(y)].opts[o]; !x.again && broken(x.f) {
					continue
				}
				places(append(y, o), cost+m.places[len(y)].opts[o].cents)
			}
			return
		}
		for ci := range m.cars {
			c := &m.cars[ci]
			least := int64(-1)
			if !opt.IgnoreLimits && len(c.beyond) > 0 {
				least = outOfService(sv, c.car, nil).Cents
			}
			var axles func(k int, cost int64, held []bool)
			axles = func(k int, cost int64, held []bool) {
				if k == len(c.axles) {
					off := map[string]bool{} // tracks once, places on none or on several by themselves
					for pi, h := range held {
						name := m.places[pi].f.Name()
						if on := sv.Routes.On(name); h && len(on) == 1 {
							off["track/"+on[0].Name] = true
						} else if h {
							off[name] = true
						}
					}
					if c.car.Owner == "own" || opt.TrackOnly {
						cost += int64(len(off)) * c.hold
					} else if len(off) > 0 {
						cost += c.hold // returned once
					}
					if least < 0 || cost < least {
						least = cost
					}
					return
				}
				x := table[c.axles[k]]
				for j := range x.cost {
					h := append([]bool(nil), held...)
					for pi := range y {
						h[pi] = h[pi] || x.at[j][pi][y[pi]]
					}
					axles(k+1, cost+x.cost[j], h)
				}
			}
			axles(0, 0, make([]bool, len(y)))
			cost += least
		}
		if best < 0 || cost < best {
			best = cost
		}
	}
	places(nil, 0)
	return best + m.rereadCents
}

// Two cars and two places: the plan costs what trying everything costs, and says so.
func TestSmallSurveysMatchBruteForce(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	worth, cuts, searched, seeds := 0, 0, 0, fixture.Drawn(16, 36)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(23, seed))}
		f := r.survey(2, 2, 2, 0.06)
		sv := f.write(t, plainRailroad+"costs: {wheelset_turn: "+fmt.Sprint(100+r.IntN(900))+", car_hold: "+
			fmt.Sprint(50+r.IntN(2000))+", guard_move: "+fmt.Sprint(100+r.IntN(1500))+", trailing_only: "+
			fmt.Sprint(50+seed*50)+"}\n")
		opt := Options{Level: []string{LevelConflict, LevelUndecided}[seed%2], IgnoreLimits: seed%3 == 2}
		p, err := Make(plain(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		if want := brute(t, sv, opt); p.Cents != want || p.Bound != want {
			t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, want)
		}
		if p.Cents > 0 {
			worth++
		}
		cuts += p.Cuts
		searched += p.Parts - p.Cuts
	}
	if worth < int(seeds)/2 || searched == 0 || cuts == 0 {
		t.Errorf("only %d surveys had anything to do; %d parts cut, %d searched", worth, cuts, searched)
	}
}

// plain is a survey of one wheelset on one frog.
func (r roller) plain(t testing.TB) *survey.Survey {
	t.Helper()
	return files{"wheels.csv": {{"car", "position", "flange_height", "rim_thickness"}, {"A 1", "L1", "1-1/2", "1-1/2"},
		{"A 1", "R1", "1-1/4", "1-1/2"}},
		"frogs.csv": {{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}}}.write(t, plainRailroad)
}
