package plan

import (
	"testing"
)

// A locomotive in a sharp curve of poor ties: it drops in, and its trucks conflict because the gauge is wide. Once the
// gauge is spiked the trucks are undecided, as trucks in such a curve are without wear too, and no conflict: that ends
// it, and nobody keeps the locomotive off, or closes the curve, for the rest. At the level undecided they do.
func TestUndecidedTruckEndsAConflict(t *testing.T) {
	t.Parallel()
	f := files{"cars.csv": {{"car", "kind", "owner", "gross_lb", "axles", "truck_wheelbase"},
		{"LOCO 1", "locomotive", "own", "368000", "6", "79"}},
		"curves.csv": {{"location", "curve", "degree", "elevation", "speed_mph", "track_class", "gauge", "loaded_gauge",
			"holding", "rail", "head_wear", "gauge_face_wear", "gauge_face_angle", "rail_cant", "lubricated", "warp"},
			{"wye", "C1", "R 478'", "1/2", "10", "excepted", "58", "58-7/8", "poor", "90RA-A", "3/8", "1/2", "66",
				"none",
				"none", "2"}},
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "rim_thickness",
			"tread_hollow", "back_to_back"},
			{"LOCO 1", "L4", "1-1/4", "1.00", "1/2", "1-5/8", "0.5", "53-5/32"},
			{"LOCO 1", "R4", "1-1/4", "1-1/16", "5/8", "1-5/8", "0.4", ""},
			{"LOCO 1", "L5", "1-1/4", "1-1/16", "1/2", "1-3/16", "0.5", "53-5/32"},
			{"LOCO 1", "R5", "1-3/16", "1-1/8", "1/2", "1-5/8", "0.5", ""},
			{"LOCO 1", "L6", "1-1/4", "1-1/16", "3/8", "1-1/8", "0.5", "53-1/8"},
			{"LOCO 1", "R6", "1-1/4", "1-1/8", "9/16", "1.74", "0.4", ""}}}
	e := engine(t, f.write(t, plainRailroad+"settings: {least_bearing: \"1\"}\n"), true)
	for _, tc := range []struct {
		level, holding, reason string
		open                   int
	}{
		{LevelConflict, "", "the four conflicts of the truck are undecided", 4},
		{LevelUndecided, "engine_hold", "nothing but keeping it off ends what is undecided", 0},
	} {
		p, err := Make(e, Options{Level: tc.level})
		if err != nil {
			t.Fatal(err)
		}
		works := map[string]bool{}
		for _, a := range p.Actions {
			works[a.Work] = true
		}
		if want := (Count{8, 0}); p.Conflict != want || p.Open != tc.open || !works["spot_ties"] ||
			works["engine_hold"] != (tc.holding != "") || works["place_close"] {
			t.Errorf("level %s: conflicts %+v, %d of them open, works %v: %s", tc.level, p.Conflict, p.Open, works,
				tc.reason)
		}
	}
}
