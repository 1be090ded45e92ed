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
			f["wheels.csv"] = append(f["wheels.csv"], []string{"A 1", fmt.Sprint(side, a), "1-1/8", "1-1/8", "1-1/2", "4",
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
		t.Errorf("%g passes left for %d, bound %g: six wheelsets at 2,000 end all", p.PassesAfter, p.Cents, p.PassesBound)
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
