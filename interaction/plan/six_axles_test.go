package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"flangeway/internal/fixture"
)

// sixAxles is a locomotive of six axles, of which one truck was read, in a curve.
func (r roller) sixAxles() files {
	f := files{"cars.csv": {{"car", "kind", "owner", "axles", "gross_lb", "truck_wheelbase", "body", "load_imbalance"},
		{"LOCO 1", "locomotive", "own", "6", "390,000", "80", "ordinary", "0"}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "tread_hollow", "back_to_back", "diameter"}},
		"curves.csv": {{"location", "curve", "degree", "elevation", "speed_mph", "gauge", "loaded_gauge", "warp",
			"lubricated"},
			{"yard", "C1", fmt.Sprintf("%.1f", 1.5+1.5*r.Float64()), "1", "20", r.inches(56*16+4, 56*16+12, 0),
				r.inches(57*16, 57*16+4, 0), "1/2", "none"}}}
	for a := 1; a <= 3; a++ {
		for _, side := range []string{"L", "R"} {
			b := ""
			if side == "L" {
				b = r.inches(53*16+2, 53*16+6, 0)
			}
			f["wheels.csv"] = append(f["wheels.csv"], []string{"LOCO 1", fmt.Sprint(side, a), r.inches(16, 20, 0),
				r.inches(16, 20, 0), fmt.Sprintf("%.1f", 6*r.Float64()), b, "40"})
		}
	}
	return f
}

// A truck of three axles is one in a curve: what its axles leave hangs on all three. The plan of such a car costs what
// trying every work on every axle with every work on the place costs.
func TestSixAxlesMatchBruteForce(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	r := roller{rand.New(rand.NewPCG(70, 2))} // drawn because two axles and no more are changed
	e := engine(t, r.sixAxles().write(t, plainRailroad+"costs: {car_hold: 5000}\n"), true)
	opt := Options{Level: LevelUndecided, IgnoreLimits: true}
	p, err := Make(e, opt)
	if err != nil {
		t.Fatal(err)
	}
	if want := bruteComputed(t, e, opt); p.Cents < want || p.Bound > want || p.Proven() && p.Cents != want {
		t.Errorf("cost %d, bound %d, by trying everything %d", p.Cents, p.Bound, want)
	}
	works := 0
	for _, a := range p.Actions {
		t.Log(a.Where, a.What, a.At, a.Cents)
		if a.Work == "wheelset_change" {
			works++
		}
	}
	if works != 2*2 { // an action for each wheel
		t.Errorf("%d wheels changed, want those of two axles", works)
	}
}
