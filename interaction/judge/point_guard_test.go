package judge_test

import (
	"testing"

	"flangeway/interaction"
)

// A point guard holds a flange off a tip that stands out into it, as far as the axle has room to the other rail; a
// flange that has worn thin is held no farther than a new one, and what was not read helps nobody.
func TestPointGuard(t *testing.T) {
	const car = "flange_height 1.125; vertical_flange 0.875; back_to_back 53.3125; rim_width 5.5; flange_thickness "
	const place = "switch:gauge 57.125; point_gap none; point_drop 0.25; point_thickness 0.125; stock_rail_wear 0.4375; " +
		"undercut none"
	for _, v := range []struct {
		name, wheel, place string
		want               interaction.Verdict
	}{
		{"no guard", car + "0.9375", "", interaction.Conflict},
		{"one that holds it off", car + "0.9375", "; point_guard 3.375", interaction.Clear},
		{"one that is worn away", car + "0.9375", "; point_guard 4", interaction.Conflict},
		{"a new flange as well", car + "1.125", "; point_guard 3.375", interaction.Clear},
		{"one that wedges the axle", car + "1.125", "; gauge 56.5; point_guard 3", interaction.Conflict},
		{"one that may wedge it", car + "1.125", "; gauge 56.5; stock_rail_wear none; point_guard 3.25..3.625", interaction.Undecided},
		{"gauge not read", car + "0.9375", "; gauge n/m; point_guard 3.375", interaction.Conflict},
		{"gauge not read, nothing else wrong", car + "1.125",
			"; gauge n/m; stock_rail_wear none; point_guard 3.375", interaction.Undecided},
		{"back-to-back not read", car + "0.9375; back_to_back n/m", "; point_guard 3.375", interaction.Conflict},
		{"known from one side alone", car + "0.9375", "; point_guard >=3.375", interaction.Conflict},
	} {
		t.Run(v.name, func(t *testing.T) {
			f := passed(t, "point-pick", v.wheel, place+v.place, nil)
			if f == nil || f.Computed == nil {
				t.Fatalf("not computed: %+v", f)
			}
			if f.Verdict != v.want {
				t.Errorf("%s, want %s (%s)", f.Verdict, v.want, f.Computed.Why)
			}
		})
	}
}

// However thin a flange wears, beside a guard no verdict gets better, and no guard that stands farther off makes one.
func TestPointGuardGetsNoBetterByWear(t *testing.T) {
	const place = "switch:gauge 57.125; point_gap 0.125; point_drop 0.25; point_thickness 0.125; stock_rail_wear " +
		"0.3125; undercut none; point_guard "
	best := func(guard, thick string) interaction.Verdict {
		return passed(t, "point-pick", "flange_height 1.125; vertical_flange 0.875; back_to_back 53.3125; rim_width 5.5; "+
			"flange_thickness "+thick, place+guard, nil).Verdict
	}
	for _, guard := range []string{"3.5", "3.75"} {
		last := interaction.Clear
		for _, thick := range []string{"1.1875", "0.9375", "0.8125"} {
			v := best(guard, thick)
			if v > last {
				t.Errorf("guard %s: %s with a flange of %s, %s with a thicker one", guard, v, thick, last)
			}
			last = v
		}
	}
	last := interaction.Clear
	for _, guard := range []string{"3.5", "3.75", "4"} {
		v := best(guard, "0.9375")
		if v > last {
			t.Errorf("%s with a guard at %s, %s with a nearer one", v, guard, last)
		}
		last = v
	}
}
