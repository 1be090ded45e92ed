package plan

import (
	"fmt"
	"testing"
)

// What is paid every year and what holds for years are weighed over the horizon: a car is held for one year and turned
// for five; a work whose life ends within the horizon is paid again.
func TestHorizon(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		years, cents int64
		hold         bool
	}{
		{1, 500_00, true},
		{2, 1000_00, true},      // two years of holding, less than a turning
		{3, 1200_00, false},     // a turning
		{5, 1200_00, false},     // its life
		{6, 2 * 1200_00, false}, // done again
	} {
		sv := files{"wheels.csv": {{"car", "position", "flange_height", "rim_thickness"},
			{"A 1", "L1", "1-1/2", "1-1/2"},
			{"A 1", "R1", "1-1/4", "1-1/2"}},
			"frogs.csv": {{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}}}.write(t, plainRailroad+
			fmt.Sprintf("costs: {horizon_years: %d, car_hold: 500, wheelset_turn: 1200, wheelset_change: 90000, "+
				"frog_grind: 90000, frog_weld: 90000, frog_renew: 90000}\n", tt.years))
		p, err := Make(plain(t, sv), Options{IgnoreLimits: true})
		if err != nil {
			t.Fatal(err)
		}
		held := len(p.Actions) > 0 && p.Actions[0].Effect == Holds
		if p.Cents != tt.cents || p.Bound != tt.cents || held != tt.hold || p.HorizonYears() != tt.years {
			t.Errorf("%d years: %d, held %v; expected %d, %v", tt.years, p.Cents, held, tt.cents, tt.hold)
		}
	}
}
