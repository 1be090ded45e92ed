package judge_test

import (
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
)

// A reading that was not taken never gives a better verdict than one that was, whatever it
// might have been, and it is named. One whose blank has a meaning leaves the pair clear, close.
func TestUnreadOfAPoint(t *testing.T) {
	const full = "flange_height 1.125; vertical_flange 0.5"
	const low = "point_gap 0.1875; stock_rail_wear none; undercut none; point_thickness 0.125; point_drop "
	for _, v := range []struct {
		name, check, place string
		verdict            interaction.Verdict
		close              bool
		settle, says       string
	}{
		{"worn stock rail", "point-pick", "point_gap 0.0625; stock_rail_wear 0.5; undercut none", interaction.Conflict,
			false, "", ""},
		{"wear not read", "point-pick", "point_gap 0.0625; stock_rail_wear n/m; undercut none", interaction.Undecided,
			false, "stock_rail_wear", ""},
		{"wear not read, hidden in any case", "point-pick", "point_gap none; stock_rail_wear n/m; undercut 0.5",
			interaction.Clear, false, "", ""},
		{"face not read", "point-climb", "point_gap none; face_angle n/m", interaction.Clear, true, "face_angle",
			"face_angle was not read: by tip height only; a face under 60 degrees would climb"},
		{"deep chip", "point-pick", "point_gap none; stock_rail_wear none; undercut none; chip_depth 1; chip_length 4",
			interaction.Clear, false, "", ""},
		{"chip not read", "point-pick", "point_gap none; stock_rail_wear none; undercut none; chip_depth n/m",
			interaction.Clear, false, "", ""},
		{"drop not read", "point-pick", low + "n/m",
			interaction.Undecided, false, "point_drop", ""},
		{"drop read", "point-pick", low + "0.25",
			interaction.Clear, false, "", ""},
		{"drop not read, nothing else to meet", "point-pick",
			"point_gap none; stock_rail_wear none; undercut none; point_thickness none; point_drop n/m",
			interaction.Undecided, false, "point_drop", ""},
		{"low drop read", "point-pick", low + "0.75",
			interaction.Undecided, false, "", ""},
		{"face read", "point-climb", "point_gap none; face_angle 75", interaction.Clear, false, "", ""},
	} {
		t.Run(v.name, func(t *testing.T) {
			f := passed(t, v.check, full, "switch:"+v.place, nil)
			if f == nil || f.Computed == nil {
				t.Fatalf("not computed: %+v", f)
			}
			if f.Verdict != v.verdict || f.Close != v.close || v.settle == "" && len(f.SettleBy()) > 0 ||
				v.settle != "" && !slices.Equal(f.SettleBy(), []string{v.settle}) {
				t.Errorf("%s, close %t, settled by %q: want %s, %t, %q (%s)", f.Verdict, f.Close, f.SettleBy(),
					v.verdict,
					v.close, v.settle, f.Computed.Why)
			}
			if !strings.Contains(f.Computed.Assumed, v.says) {
				t.Errorf("assumes %q, want %q in it", f.Computed.Assumed, v.says)
			}
			if strings.Contains(f.Computed.Assumed, "by -") {
				t.Errorf("room is given as a negative figure: %q", f.Computed.Assumed)
			}
		})
	}
}

// A low flange climbs a chip where the point lies tight to the stock rail, or that is worn little, and meets none of it
// where the point stands off: a bound that leaves both clears nothing.
func TestPointThatMayLieTight(t *testing.T) {
	const wheel = "flange_height 1.000; flange_thickness 1.375; vertical_flange 0.375; tread_hollow 2.31"
	const chipped = "switch:chip_depth 0.625; chip_length 6.3125; gauge n/m; heel_rise 0.25; point_drop 0.4375; " +
		"point_thickness 0.125; "
	for _, place := range []string{"point_gap none; stock_rail_wear 0.125", "point_gap >=0; stock_rail_wear 0.125",
		"point_gap 0..0.75; stock_rail_wear 0.125", "point_gap none; stock_rail_wear >=0.0625",
		"point_gap none; stock_rail_wear <=0.5"} {
		f := passed(t, "point-climb", wheel, chipped+place, nil)
		if f == nil || f.Verdict != interaction.Undecided {
			t.Errorf("%s: %+v, want undecided", place, f)
		}
	}
}

// A back-to-back that was not read is that of any design, where the sheet names none: a narrow axle that it may be yaws
// by more play than one of the design that its flanges speak for.
func TestUnreadBackToBackAtAPoint(t *testing.T) {
	const thin, wide = "design n/m; flange_thickness 1.000; vertical_flange 0.75; back_to_back ",
		"switch:gauge 57.750; point_gap 5.70mm; point_drop 0.125; point_thickness none; undercut none"
	for _, v := range []struct {
		back    string
		verdict interaction.Verdict
	}{{"53.375", interaction.Clear}, {"52.875", interaction.Undecided}, {"n/m", interaction.Undecided}} {
		if f := passed(t, "point-pick", thin+v.back, wide, nil); f == nil || f.Computed == nil ||
			f.Verdict != v.verdict {
			t.Errorf("back_to_back %s: %s, want %s: %s", v.back, f.Verdict, v.verdict, f.Computed.Text())
		} else if v.back == "n/m" && !slices.Contains(f.SettleBy(), "back_to_back") {
			t.Errorf("settled by %q", f.SettleBy())
		}
	}
}

// The loss of a frog's point that nobody saw makes a clear floor close if it could run far back, and
// leaves nothing open by itself.
func TestUnreadOfAFrogsPoint(t *testing.T) {
	const full, frog = "flange_height 1.125; vertical_flange 0.5; tread_hollow none", "flangeway_depth "
	for _, v := range []struct {
		name, place string
		close       bool
	}{
		{"looked at, and none", "1.375; point_worn_down none", false},
		{"not looked at", "1.375; point_worn_down n/m; point_worn_back n/m", true},
		{"not looked at, a deep floor", "2; point_worn_down n/m; point_worn_back n/m", false},
	} {
		t.Run(v.name, func(t *testing.T) {
			f := computedPairs(t, passingSurvey(t, full, frog+v.place, nil))["frog-floor frog/F1 FWR 1 L1"]
			if f == nil || f.Computed == nil {
				t.Fatalf("not computed: %+v", f)
			}
			said := strings.Contains(f.Computed.Assumed,
				"point_worn_down was not read: a loss of 5/8 in was tried over 48 in")
			if f.Verdict != clears || f.Computed.Close != v.close || said != v.close ||
				slices.Contains(f.SettleBy(), "point_worn_down") != v.close {
				t.Errorf("%s, close %t, settled by %q: %s", f.Verdict, f.Computed.Close, f.SettleBy(),
					f.Computed.Assumed)
			}
		})
	}
}
