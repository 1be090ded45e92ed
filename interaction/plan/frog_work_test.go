package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/track"
)

// floors is a random survey of flanges over the floors of frogs.
func (r roller) floors(cars, places int) files {
	f := files{"cars.csv": {{"car", "owner"}}, "wheels.csv": {{"car", "position", "flange_height"}},
		"frogs.csv": {{"location", "frog", "flangeway_depth"}}}
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		f["cars.csv"] = append(f["cars.csv"], []string{id, []string{"own", "foreign"}[r.IntN(2)]})
		f["wheels.csv"] = append(f["wheels.csv"], []string{id, "L1", r.inches(15, 27, 0.05)})
	}
	for p := range places {
		f["frogs.csv"] = append(f["frogs.csv"], []string{"yard", fmt.Sprintf("F%d", p), r.inches(10, 26, 0.05)})
	}
	return f
}

// A shallow frog is ground, welded or renewed, whatever is cheapest of what reaches so far: by hand an eighth, 3/4 in,
// and all of it.
func TestFrogWorksMatchBruteForce(t *testing.T) {
	t.Parallel()
	const design, ground, welded = 30, 2, 12 // sixteenths
	done, seeds := map[string]int{}, fixture.Drawn(12, 120)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(89, seed))}
		price := map[string]int64{"car_hold": 500 + r.Int64N(3000), "foreign_hold": 500 + r.Int64N(3000),
			"place_close": 2000 + r.Int64N(4000), "frog_grind": 100 + r.Int64N(400), "frog_weld": 200 + r.Int64N(1000),
			"frog_renew": 500 + r.Int64N(2000)}
		b := byHand{files: r.floors(2, 2), price: price, engine: only("frog-floor"),
			level: []string{LevelUndecided, LevelConflict}[seed%3%2]}
		b.works = func(row map[string]string) (out []worked) {
			to := func(name string, n int) {
				out = append(out, worked{[]string{name}, map[string]string{"flangeway_depth": sixteenths(n)}})
			}
			v, known := cell(row["flangeway_depth"])
			n := int(math.Floor(16*v + 1e-9))
			if known && n+ground < design {
				to("frog_grind", n+ground)
			}
			if known && n < design {
				to("frog_weld", min(design, n+welded))
			}
			to("frog_renew", design)
			return out
		}
		for _, a := range b.compare(t, seed).Actions {
			done[a.Work]++
		}
	}
	for _, name := range []string{"frog_grind", "frog_weld", "frog_renew"} {
		if done[name] == 0 {
			t.Errorf("no %s among %v", name, done)
		}
	}
}

// What grinding and welding reach at a frog, at the bounds of each work and just beyond them; a new frog is as
// designed.
func TestReachOfFrogWorks(t *testing.T) {
	type want struct{ ground, welded string }
	tests := []struct {
		name, depth, down, back string
		want                    want
		point                   bool // the point can be built up
	}{
		{"3/4 in below its design", "1-1/8", "3/4", "12", want{"1-1/4", "1-7/8"}, true},
		{"deeper worn: what a weld leaves is 3/4 in more", "1", "13/16", "12", want{"1-1/8", "1-3/4"}, false},
		{"worn back over more than a foot", "1-1/2", "1/2", "13", want{"1-5/8", "1-7/8"}, false},
		{"how far back was not read", "1-1/2", "1/2", "", want{"1-5/8", "1-7/8"}, true},
		{"nearly as designed: grinding would do what a weld does", "1-3/4", "", "", want{"", "1-7/8"}, false},
		{"as designed", "1-7/8", "none", "none", want{}, true},
		{"known to be within reach", ">=1-1/4", ">1/2", "6", want{"", "1-7/8"}, false},
		{"known from above alone", "<1-1/4", "<5/8", "<6", want{}, true},
	}
	rows := [][]string{{"location", "frog", "flangeway_depth", "point_worn_down", "point_worn_back"}}
	for i, tt := range tests {
		rows = append(rows, []string{"yard", fmt.Sprintf("F%d", i), tt.depth, tt.down, tt.back})
	}
	sv := files{"frogs.csv": rows}.write(t, plainRailroad)
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := sv.Track.Features[i]
			s := workshop{rules: interaction.NewRules(sv.Settings, sv.Data), sv: sv, f: f,
				design: sv.Data.Designed[f.Kind.String()].Values}
			var got want
			point, renewed := false, false
			for _, d := range s.drafts(choices{depth: true, point: true})[1:] {
				depth, deepens := d.to[track.FlangewayDepth]
				switch name := d.acts[0].Work; {
				case name == "frog_grind":
					got.ground = depth
				case name == "frog_weld" && deepens:
					got.welded = depth
				case name == "frog_weld":
					point = true
				case name == "frog_renew":
					renewed = depth == "1-7/8"
				}
			}
			if got != tt.want || point != tt.point || !renewed {
				t.Errorf("%+v, point %t, renewed as designed %t; want %+v, %t", got, point, renewed, tt.want, tt.point)
			}
		})
	}
}
