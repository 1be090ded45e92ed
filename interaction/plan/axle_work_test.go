package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// backs is a random survey of axles at the guard rails of frogs.
func (r roller) backs(cars, places int) files {
	f := files{"cars.csv": {{"car", "kind", "owner"}},
		"wheels.csv": {{"car", "position", "flange_thickness", "back_to_back", "rim_thickness"}},
		"frogs.csv":  {{"location", "frog", "guard_check", "guard_face"}}}
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		f["cars.csv"] = append(f["cars.csv"],
			[]string{id, []string{"freight", "freight", "locomotive"}[r.IntN(3)], "own"})
		thick := 15 + r.IntN(8)
		f["wheels.csv"] = append(f["wheels.csv"],
			[]string{id, "L1", sixteenths(thick), r.inches(52*16+13, 53*16+9, 0.05),
				"1-1/4"}, []string{id, "R1", sixteenths(thick), "", "1-1/4"})
	}
	for p := range places {
		f["frogs.csv"] = append(f["frogs.csv"], []string{"yard", fmt.Sprintf("F%d", p), r.inches(54*16+1, 54*16+11, 0),
			r.inches(52*16+11, 53*16+3, 0)})
	}
	return f
}

// Without a lathe wheels are changed, for new ones or for turned second hand ones, or pressed to another place on their
// axle where the railroad can have that done. The plan costs what trying every work on every axle costs, each carried
// out by WhatIf and judged from the beginning, with the car held off each place where something is left.
func TestAxleWorksMatchBruteForce(t *testing.T) {
	t.Parallel()
	done, seeds := map[string]int{}, fixture.Drawn(12, 150)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(83, seed))}
		price := map[string]int64{"car_hold": 100 + r.Int64N(900), "engine_hold": 100 + r.Int64N(900),
			"wheelset_change": 100 + r.Int64N(900), "wheelset_swap": 100 + r.Int64N(600)}
		if seed%2 == 1 {
			price["axle_press"] = 50 + r.Int64N(400)
		}
		check := []string{"guard-bind", "frog-point"}[r.IntN(2)]
		b := byHand{files: r.backs(3, 2), price: price, engine: only(check)}
		sv := b.survey(t)
		opt := Options{Level: []string{LevelUndecided, LevelConflict}[seed%3%2], CarsOnly: true, IgnoreLimits: true}
		p, err := Make(b.engine(t, sv), opt)
		if err != nil {
			t.Fatal(err)
		}
		want := int64(0)
		before := verdicts(t, b.engine(t, sv))
		for _, car := range b.files["cars.csv"][1:] {
			want += b.leastOfCar(t, sv, car, before, opt.Level)
		}
		if p.Cents != want || p.Bound != want {
			t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, want)
		}
		for _, a := range p.Actions {
			done[a.Work]++
		}
	}
	for _, name := range []string{"wheelset_change", "wheelset_swap", "axle_press"} {
		if done[name] == 0 {
			t.Errorf("no %s among %v", name, done)
		}
	}
	if done["wheelset_turn"] > 0 {
		t.Error("turned without a lathe")
	}
}

// leastOfCar is the least cost of a car of one axle.
func (b *byHand) leastOfCar(t testing.TB, sv *survey.Survey, car []string, before map[string]interaction.Verdict,
	level string) int64 {
	t.Helper()
	hold := b.price[map[string]string{"freight": "car_hold", "locomotive": "engine_hold"}[car[1]]]
	left := func(edits []string) (places int64) {
		edited, _, err := WhatIf(sv, edits)
		if err != nil {
			t.Fatal(err)
		}
		var at []string
		for key, v := range verdicts(t, b.engine(t, edited)) {
			parts := strings.Split(key, " | ")
			was := before[key]
			treated := was == interaction.Conflict || was == interaction.Undecided && level == LevelUndecided
			if strings.HasPrefix(parts[2], car[0]+" at ") && (v < was || treated && v != interaction.Clear) {
				at = append(at, parts[3])
			}
		}
		slices.Sort(at)
		return int64(len(slices.Compact(at)))
	}
	best := left(nil) * hold
	try := func(name string, thick, back string) {
		var edits []string
		for _, side := range []string{"L1", "R1"} {
			edit := "wheel " + car[0] + " " + side
			if side == "L1" {
				edit += " back_to_back=" + back
			}
			if thick != "" {
				edit += " flange_height=1 vertical_flange=<=1/2 tread_hollow=none flange_thickness=" + thick
			}
			if strings.Contains(edit, "=") {
				edits = append(edits, edit)
			}
		}
		best = min(best, b.price[name]+left(edits)*hold)
	}
	for _, row := range b.files["wheels.csv"][1:] {
		if row[0] != car[0] || row[1] != "L1" {
			continue
		}
		thick, _ := cell(row[2])
		design, back, at := "1-5/32", "53-3/8", 53.375
		if thick > 1.21875 { // a sixteenth over a new narrow flange
			design, back, at = "1-3/8", "53-3/32", 53.09375
		}
		try("wheelset_change", design, back)
		if car[1] == "freight" {
			try("wheelset_swap", "1-1/16", back)
		}
		was, known := cell(row[3])
		if price, can := b.price["axle_press"]; can && price > 0 && known && max(was-at, at-was) <= 0.25 {
			try("axle_press", "", back)
		}
	}
	return 100 * best
}

// Wheels are turned where the railroad has a lathe, or names the price of a shop that has one; pressed likewise.
func TestWhatTheShopHas(t *testing.T) {
	for _, tt := range []struct{ name, costs, back, want string }{
		{"nothing is said", "", "53-1/4", "wheelset_change wheelset_swap"},
		{"nothing is there", "costs: {shop: none}\n", "53-1/4", "wheelset_change wheelset_swap"},
		{"a lathe", "costs: {shop: lathe}\n", "53-1/4", "wheelset_turn wheelset_change wheelset_swap"},
		{"a price of another shop", "costs: {shop: none, wheelset_turn: 1200}\n", "53-1/4",
			"wheelset_turn wheelset_change wheelset_swap"},
		{"a press", "costs: {shop: Press}\n", "53-1/4", "axle_press wheelset_change wheelset_swap"},
		{"a press and a lathe", "costs: {shop: lathe; press}\n", "53-1/4",
			"wheelset_turn axle_press wheelset_change wheelset_swap"},
		{"as a list", "costs: {shop: [lathe, press]}\n", "53-1/4",
			"wheelset_turn axle_press wheelset_change wheelset_swap"},
		{"as far as a press reaches", "costs: {shop: press}\n", "53-1/8", "axle_press wheelset_change wheelset_swap"},
		{"farther", "costs: {shop: press}\n", "53-1/16", "wheelset_change wheelset_swap"},
		{"where it belongs", "costs: {shop: press}\n", "53-3/8", "wheelset_change wheelset_swap"},
		{"the back-to-back is known from one side alone", "costs: {shop: press}\n", ">53",
			"wheelset_change wheelset_swap"},
		{"the back-to-back was not read", "costs: {shop: press}\n", "", "wheelset_change wheelset_swap"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sv := files{"cars.csv": {{"car", "kind"}, {"A 1", "freight"}},
				"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "rim_thickness",
					"back_to_back"},
					{"A 1", "L1", "1-1/4", "1-5/32", "1-1/2", tt.back},
					{"A 1", "R1", "1-1/4", "1-5/32", "1-1/2",
						""}}}.write(t, plainRailroad+tt.costs)
			s, err := newShop(sv, interaction.NewRules(sv.Settings, sv.Data))
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, w := range s.works(sv.Fleet.Wheels[0].Axle()) {
				if !slices.Contains(got, w.name) {
					got = append(got, w.name)
				}
			}
			if strings.Join(got, " ") != tt.want {
				t.Errorf("%q, want %q", got, tt.want)
			}
		})
	}
}
