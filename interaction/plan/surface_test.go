package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// twisted is a random survey in which nothing but the loads of wheels is judged: cars of four and six axles, of which
// no flange was read, on spots, a switch and curves out of level.
func (r roller) twisted(cars, places int) files {
	f := files{"cars.csv": {{"car", "owner", "axles", "gross_lb", "truck_centers", "body", "load_imbalance"}},
		"wheels.csv":   {{"car", "position", "rim_thickness"}},
		"gauge.csv":    {{"location", "spot", "warp", "warp_over", "crosslevel"}},
		"curves.csv":   {{"location", "curve", "degree", "elevation", "crosslevel_least", "speed_mph", "warp"}},
		"switches.csv": {{"location", "switch", "crosslevel"}}}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, []string{"own", "foreign"}[r.IntN(2)], []string{"4", "6"}[r.IntN(2)],
			[]string{"48,000", "60,000", "110,000", "263,000"}[r.IntN(4)], fmt.Sprint(30+r.IntN(30))+"'",
			[]string{"stiff", "stiff", "ordinary"}[r.IntN(3)],
			fmt.Sprint(r.IntN(60)))
		add("wheels.csv", id, "L1", "1")
	}
	for p := range places {
		id := fmt.Sprintf("P%d", p)
		switch r.IntN(5) {
		case 0:
			add("switches.csv", "yard", id, r.inches(0, 96, 0))
		case 1, 2:
			add("gauge.csv", "yard", id, r.inches(32, 64, 0.1), []string{"", "20", "40"}[r.IntN(3)], r.inches(16, 64, 0.1))
		default:
			least := ""
			if r.IntN(3) == 0 {
				least = "-" + r.inches(1, 16, 0)
			}
			add("curves.csv", "yard", id, fmt.Sprint(2+r.IntN(10)), r.inches(32, 110, 0), least,
				[]string{"10", "25"}[r.IntN(2)], r.inches(24, 56, 0.1))
		}
	}
	return f
}

// loaded judges the loads of wheels and nothing else.
func loaded(t testing.TB, sv *survey.Survey) *judge.Engine {
	t.Helper()
	book, err := sv.Book()
	if err != nil {
		t.Fatal(err)
	}
	e := judge.New(sv, book, interaction.Options{Check: "wheel-unloading"})
	if _, err := e.Compute(); err != nil {
		t.Fatal(err)
	}
	return e
}

// tamped is a row of a sheet by heading as tamping leaves it: half an inch of warp, level track, in a curve with new set
// an inch of elevation short of balance, 4 in at most. ok is false where nothing of it was read.
func tamped(row map[string]string, anew bool) (out map[string]string, ok bool) {
	out = map[string]string{}
	for _, q := range []struct{ column, to string }{{"warp", "1/2"}, {"crosslevel", "0"}} {
		if row[q.column] != "" {
			out[q.column] = q.to
		}
	}
	if row["degree"] == "" {
		return out, len(out) > 0
	}
	elevation := row["elevation"]
	if anew {
		var degree, mph float64
		fmt.Sscan(row["degree"], &degree)
		fmt.Sscan(row["speed_mph"], &mph)
		in := math.Round(16*min(max(0.0007*degree*mph*mph-1, 0), 4)) / 16
		elevation = fmt.Sprintf("%g", in)
		if n := math.Round(in * 16); n != 16*math.Floor(in) {
			elevation = fmt.Sprintf("%d/16", int(n))
		}
		out["elevation"] = elevation
	}
	if row["crosslevel_least"] != "" {
		out["crosslevel_least"] = elevation
	}
	return out, len(out) > 0
}

// A wheel that is unloaded is mended on either side: tamping, holding the car, or closing the place. The plan costs what
// trying every way at every place costs, each judged from the beginning.
func TestSurfacingMatchesBruteForce(t *testing.T) {
	t.Parallel()
	surfaced, elevated, held, closed, seeds := 0, 0, 0, 0, fixture.Drawn(8, 60)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(67, seed))}
		price := map[string]int64{"surface": 100 + r.Int64N(1500), "car_hold": 50 + r.Int64N(1500),
			"foreign_hold": 50 + r.Int64N(1500), "place_close": 500 + r.Int64N(2500)}
		railroad := plainRailroad + "settings: {work_tolerance: 0}\ncosts: {horizon_years: 1, "
		for name, v := range price {
			railroad += fmt.Sprintf("%s: %d, ", name, v)
		}
		railroad = strings.TrimSuffix(railroad, ", ") + "}\n"
		f := r.twisted(1+r.IntN(3), 2)
		sv := f.write(t, railroad)
		opt := Options{Level: []string{LevelUndecided, LevelConflict}[seed%3%2], IgnoreLimits: true}
		before := verdicts(t, loaded(t, sv))
		owner := map[string]string{}
		for _, row := range f["cars.csv"][1:] {
			owner[row[0]] = row[1]
		}
		// left are the cars of which pairs of a place are left.
		left := func(edits []string, place string) (cars []string) {
			edited := sv
			if len(edits) > 0 {
				var err error
				if edited, _, err = WhatIf(sv, edits); err != nil {
					t.Fatal(err)
				}
			}
			for key, v := range verdicts(t, loaded(t, edited)) {
				parts := strings.Split(key, " | ")
				car, at, _ := strings.Cut(parts[2], " at ")
				treated := before[key] == interaction.Conflict ||
					before[key] == interaction.Undecided && opt.Level == LevelUndecided
				if at == place && (v < before[key] || treated && v != interaction.Clear) {
					cars = append(cars, car)
				}
			}
			slices.Sort(cars)
			return slices.Compact(cars)
		}
		type way struct {
			cents int64
			cars  []string // that are left
		}
		var ways [][]way // by place
		for _, p := range sv.Track.Features {
			at := []way{{100 * price["place_close"], nil}, {0, left(nil, p.Name())}}
			sheet := f[p.Kind.File()]
			for _, cells := range sheet[1:] {
				row := map[string]string{}
				for i, h := range sheet[0] {
					row[h] = cells[i]
				}
				for _, anew := range []bool{false, true} {
					to, ok := tamped(row, anew)
					if cells[1] != p.ID || !ok {
						continue
					}
					edit := p.Kind.String() + " " + p.ID
					for column, v := range to {
						edit += " " + column + "=" + v
					}
					at = append(at, way{100 * price["surface"], left([]string{edit}, p.Name())})
				}
			}
			ways = append(ways, at)
		}
		want := int64(-1)
		var try func(pi int, cents int64, returned []string)
		try = func(pi int, cents int64, returned []string) {
			if pi == len(ways) {
				if want < 0 || cents < want {
					want = cents
				}
				return
			}
			for _, w := range ways[pi] {
				cost, gone := w.cents, slices.Clone(returned)
				for _, car := range w.cars { // one of others is returned once, an own one kept off each place
					switch {
					case owner[car] == "own":
						cost += 100 * price["car_hold"]
					case !slices.Contains(gone, car):
						gone, cost = append(gone, car), cost+100*price["foreign_hold"]
					}
				}
				try(pi+1, cents+cost, gone)
			}
		}
		try(0, 0, nil)
		p, err := Make(loaded(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		if p.Cents != want || p.Bound != want {
			t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, want)
			for _, a := range p.Actions {
				t.Log(a.Where, a.What, a.At, a.Cents)
			}
		}
		for _, a := range p.Actions {
			switch {
			case a.Sets["elevation"] != "":
				elevated++
			case a.Work == "surface":
				surfaced++
			case a.Effect == Closes:
				closed++
			case a.Effect == Holds:
				held++
			}
		}
	}
	if surfaced == 0 || seeds > 8 && (elevated == 0 || held == 0 || closed == 0) {
		t.Errorf("%d places tamped, %d with a new elevation, %d cars held, %d places closed: too few to tell", surfaced,
			elevated, held, closed)
	}
}
