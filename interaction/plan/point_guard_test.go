package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// tips is a random survey of thin flanges at tips that stand out into them.
func (r roller) tips(cars, places int) files {
	f := files{"cars.csv": {{"car", "owner", "kind"}}, "wheels.csv": {{"car", "position", "flange_height",
		"flange_thickness", "vertical_flange", "back_to_back", "rim_width"}},
		"switches.csv": {{"location", "switch", "direction", "gauge", "point_gap", "point_drop", "point_thickness",
			"stock_rail_wear"}}}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, []string{"own", "foreign"}[r.IntN(2)], "freight")
		thick, rim := r.inches(15, 18, 0), r.inches(88, 92, 0.1)
		for _, side := range []string{"L", "R"} {
			back := ""
			if side == "L" {
				back = r.inches(53*16+3, 53*16+6, 0.1)
			}
			add("wheels.csv", id, side+"1", r.inches(16, 20, 0), thick, "1/2", back, rim)
		}
	}
	for p := range places {
		add("switches.csv", "yard", fmt.Sprintf("P%d", p), []string{"facing", "both"}[r.IntN(2)],
			r.inches(56*16+8, 57*16+8, 0.1), r.inches(0, 6, 0), "1/4", "1/8", r.inches(0, 8, 0))
	}
	return f
}

// guardedOrMended are the works on a switch whose flanges are picked: adjusted, run trailing only, new points, and a
// guard that leaves the widest new axle (53-3/8 + 5-1/2 + 1-5/32, or 53-3/32 + 5-23/32 + 1-3/8 in) 5/16 in of room.
func guardedOrMended(row map[string]string) (out []worked) {
	both := func(w worked) {
		out = append(out, w)
		gauge, ok := cell(row["gauge"])
		if !ok {
			return
		}
		guard := worked{append([]string{"point_guard"}, w.names...), map[string]string{
			"point_guard": sixteenths(int(math.Ceil(16 * (53 + 3.0/32 + 5 + 23.0/32 + 1 + 3.0/8 + 5.0/16 - gauge))))}}
		for k, v := range w.to {
			guard.to[k] = v
		}
		out = append(out, guard)
	}
	both(worked{nil, map[string]string{}})
	out = out[1:] // as it is, it is tried anyway
	both(worked{[]string{"switch_adjust"}, map[string]string{"point_gap": "none"}})
	out = append(out, worked{[]string{"points_renew"}, map[string]string{"point_gap": "none", "stock_rail_wear": "none"}})
	if wear, ok := cell(row["stock_rail_wear"]); ok && wear <= 0.125 {
		out = append(out, worked{[]string{"points_change"}, map[string]string{"point_gap": "none"}})
	}
	if row["direction"] == "both" {
		out = append(out, worked{[]string{trailingOnly}, map[string]string{"direction": "trailing"}})
	}
	return out
}

// A point guard is put in where it is the cheapest that ends what shapes say of a gapped tip, and where it wedges no
// axle.
func TestPointGuardMatchesBruteForce(t *testing.T) {
	t.Parallel()
	guards, seeds := 0, fixture.Drawn(1, 20)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(72, 11+seed))} // of which the first puts one in
		price := map[string]int64{"car_hold": 200 + r.Int64N(4000), "foreign_hold": 200 + r.Int64N(4000),
			"place_close": 2000 + r.Int64N(4000), "switch_adjust": 100 + r.Int64N(600), "point_guard": 50 + r.Int64N(700),
			"points_change": 600 + r.Int64N(2000), "points_renew": 900 + r.Int64N(3000), "regauge": 900000,
			"wheelset_swap": 900000, trailingOnly: 400 + r.Int64N(1500)}
		b := byHand{files: r.tips(2, 1), price: price, works: guardedOrMended, level: LevelConflict,
			engine: func(t testing.TB, sv *survey.Survey) *judge.Engine {
				e := only("point-pick")(t, sv)
				if _, err := e.Compute(); err != nil {
					t.Fatal(err)
				}
				return e
			}}
		for _, a := range b.compare(t, seed).Actions {
			if a.Work == "point_guard" {
				guards++
			}
		}
	}
	if guards == 0 {
		t.Error("no guard was put in")
	}
}
