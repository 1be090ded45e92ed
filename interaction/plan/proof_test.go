package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// manyAxles is a car whose axles are all hollow and narrow, over frogs that a hollow wheel and a narrow axle hurt.
func manyAxles(axles, frogs int) files {
	f := files{"cars.csv": {{"car", "owner", "axles"}, {"A 1", "own", fmt.Sprint(axles)}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "rim_thickness", "tread_hollow",
			"back_to_back"}},
		"frogs.csv": {{"location", "frog", "flangeway_depth", "guard_face", "guard_check", "gauge"}}}
	for a := 1; a <= axles; a++ {
		for _, side := range []string{"L", "R"} {
			b := "52-1/2"
			if side == "R" {
				b = ""
			}
			f["wheels.csv"] = append(f["wheels.csv"], []string{"A 1", fmt.Sprint(side, a), "1-1/8", "1-1/8", "1-1/2",
				"4",
				b})
		}
	}
	for i := range frogs {
		f["frogs.csv"] = append(f["frogs.csv"], []string{"yard", fmt.Sprint("F", i), "1-7/8", "53", "54-5/8", "56-1/2"})
	}
	return f
}

// TestEveryAxleIsAnOption: no combination of works on a car's axles is left out in silence. Eight new wheelsets end
// what forty holds would cost more to end, and what is proven is so.
func TestEveryAxleIsAnOption(t *testing.T) {
	t.Parallel()
	sv := manyAxles(8, 40).write(t, plainRailroad)
	p, err := Make(plain(t, sv), Options{Level: LevelConflict})
	if err != nil {
		t.Fatal(err)
	}
	if p.Cents != 1600000 || !p.Proven() {
		t.Errorf("cost %d, bound %d: eight wheelsets at 2,000 end all", p.Cents, p.Bound)
	}
	for _, a := range p.Actions {
		if !strings.HasPrefix(a.What, "change the wheelset") {
			t.Errorf("%s: a turning ends the hollow and leaves the axle narrow", a.What)
		}
	}
	budget := int64(1200000)
	p, err = Make(plain(t, manyAxles(6, 40).write(t, plainRailroad)), Options{Level: LevelConflict, Budget: &budget})
	if err != nil {
		t.Fatal(err)
	}
	if p.PassesAfter != 0 || p.Cents != budget || !p.Proven() {
		t.Errorf("%g passes left for %d, bound %g: six wheelsets at 2,000 end all", p.PassesAfter, p.Cents,
			p.PassesBound)
	}
}

// TestJoinedCombinations: combinations that were taken out have one that is never worse; if too many are left, each has
// a relaxed one below it, and what there is to choose from are combinations that there were.
func TestJoinedCombinations(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(5, seed))
		var list []carOption
		for i := range 60 {
			x := carOption{levels: []int{i}, cents: int64(r.IntN(20)), millis: int64(r.IntN(4)),
				marks: []bitset{newBitset(8)}, left: []float64{float64(r.IntN(4)), float64(r.IntN(4))}}
			for b := range 8 {
				if r.IntN(3) == 0 {
					x.marks[0].set(b)
				}
			}
			list = append(list, x)
		}
		days := seed%2 == 0
		below := func(in []carOption, x *carOption) bool {
			return slices.ContainsFunc(in, func(y carOption) bool {
				return y.cents <= x.cents && (!days || y.millis <= x.millis) && y.within(x)
			})
		}
		kept := pruneCar(list, days)
		few := joined(slices.Clone(kept), 7)
		chosen, some := unrelaxed([][]carOption{few})
		if !some || len(chosen[0]) > 7 {
			t.Fatalf("seed %d: %d of %d kept", seed, len(chosen[0]), len(kept))
		}
		for i := range list {
			if !below(kept, &list[i]) {
				t.Errorf("seed %d: nothing kept is as good as %+v", seed, list[i])
			}
			if !below(few, &list[i]) {
				t.Errorf("seed %d: no bound is below %+v", seed, list[i])
			}
		}
		for _, x := range chosen[0] {
			if !slices.ContainsFunc(list, func(y carOption) bool {
				return y.levels[0] == x.levels[0] && y.cents == x.cents && x.within(&y) && y.within(&x)
			}) {
				t.Errorf("seed %d: %+v is no combination that there was", seed, x)
			}
		}
	}
}

// TestHarmGoesFirst: for money that mends one of the two, a place where wheels drop in is mended before a worn joint
// that is met more often; counted alike the joint goes first.
func TestHarmGoesFirst(t *testing.T) {
	t.Parallel()
	sv := files{"cars.csv": {{"car", "owner", "trips_per_year"}, {"A 1", "foreign", "400"}, {"B 1", "foreign", "100"}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "back_to_back", "rim_width"},
			{"A 1", "L1", "1-7/16", "", "", ""}, {"B 1", "L1", "1", "1", "53", "5-1/2"}},
		"joints.csv": {{"location", "joint", "rail", "head_wear", "bar_depth"},
			{"yard", "J1", "115RE", "1/8", "1-1/8"}},
		"gauge.csv": {{"location", "spot", "gauge", "loaded_gauge"}, {"lead", "G1", "59-1/2", "60-1/2"}}}.write(t,
		plainRailroad+"costs: {bars_change: 1000, rail_change: 1000, regauge: 1000, foreign_hold: 5000}\n")
	budget := int64(100000)
	for by, want := range map[string]string{"": "spot/G1", ByHarm: "spot/G1", ByMoney: "spot/G1",
		ByPasses: "joint/J1"} {
		p, err := Make(plain(t, sv), Options{Level: LevelConflict, Budget: &budget, By: by,
			IgnoreLimits: true})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Actions) != 1 || p.Actions[0].Where != want || !p.Proven() {
			t.Errorf("by %q: %d actions, the first at %q, want %s; proven %t", by, len(p.Actions),
				append(p.Actions, Action{})[0].Where, want, p.Proven())
		}
		left := map[string]float64{"spot/G1": 400, "joint/J1": 100}[want]
		if p.PassesBefore != 500 || p.PassesAfter != left || p.PassesBound != 100 {
			t.Errorf("by %q: %g passes before, %g after, at least %g; the passes are not weighed", by, p.PassesBefore,
				p.PassesAfter, p.PassesBound)
		}
	}
}

// TestSequence: a work that brings a reading to its final value waits for those that change it, at its own place alone.
func TestSequence(t *testing.T) {
	t.Parallel()
	check := map[string]string{"guard_check": "54-5/8", "guard_face": "53"}
	list := []Action{
		{ID: "T1", Where: "frog/F1", Work: "guard_move", Effect: Sets, Sets: check},
		{ID: "T2", Where: "frog/F1", Work: "regauge", Effect: Sets, Sets: map[string]string{"gauge": "56-1/2",
			"guard_check": "54-5/8"}},
		{ID: "T3", Where: "frog/F1", Work: "flangeway_open", Effect: Sets, Sets: map[string]string{"guard_face": "53"}},
		{ID: "T4", Where: "frog/F1", Work: "frog_grind", Effect: Sets,
			Sets: map[string]string{"flangeway_depth": "1-5/8"}},
		{ID: "T5", Where: "frog/F2", Work: "regauge", Effect: Sets, Sets: check},
	}
	sequence(list)
	for i, want := range [][]string{{"T2", "T3"}, nil, nil, nil, nil} {
		if !slices.Equal(list[i].After, want) {
			t.Errorf("%s comes after %q, want %q", list[i].ID, list[i].After, want)
		}
	}
}
