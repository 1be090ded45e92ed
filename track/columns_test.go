package track_test

import (
	"slices"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
)

// TestColumns: what the sheets of the track hold besides readings, in the words and letters that people write.
func TestColumns(t *testing.T) {
	tr, problems, _ := read(t, fixture.Data(t), track.Defaults{}, map[string]string{
		"frogs.csv": "location,frog,type,track_class,holding,speed_mph,marks\ny,F1,RBM,Class " +
			"3,GOOD,N/A,point_nicked Floor_Bright\n",
		"switches.csv": "location,switch,direction,track_class,crosslevel,guard_rail,condition,marks\ny,S1,Facing,EXCEPTED,-1/8,Yes,Poor,None\ny,S2,,class 2,n/a,NO,N/M,\n",
		"curves.csv":   "location,curve,rail,rail_cant,lubricated,degree,warp,warp_over,warp_short,crosslevel_least,guard_rail,marks\ny,C1,90 ra-a,None,LOW,N/A,3/4,31,1/4,-1/8,yes,plates_moved\ny,C2,115re,N/A,na,6,,,,,,\n",
		"joints.csv":   "location,joint,rail,marks\ny,J1,100 RE,Bar_shaved\n",
		"gauge.csv": "location,spot,crosslevel,warp_over,warp_short,marks\ny,G1,1/2,n/m,1/8,rail_canted " +
			"band_gauge_corner\n",
	})
	holds(t, "problems", problems, nil, "all of it is how people write")
	at := map[string]*track.Feature{}
	for _, f := range tr.Features {
		at[f.Name()] = f
	}
	for _, tc := range []struct {
		name      string
		got, want any
		reason    string
	}{
		{"type", at["frog/F1"].Type, "rbm", "capital letters"},
		{"class of the frog", at["frog/F1"].Class, "3", "Class 3"},
		{"holding", at["frog/F1"].Holding, "good", "capital letters"},
		{"direction", at["switch/S1"].Direction, "facing", "capital letters"},
		{"class of the switch", at["switch/S1"].Class, "excepted", "capital letters"},
		{"guard rail", at["switch/S1"].GuardRail + " " + at["switch/S2"].GuardRail, "yes no", "along the switch"},
		{"condition", at["switch/S1"].Condition, "poor", "as judged by eye"},
		{"condition not judged", at["switch/S2"].Condition, "", "n/m"},
		{"rail", at["curve/C1"].Rail, "90RA-A", "a blank and small letters"},
		{"rail of the other curve", at["curve/C2"].Rail, "115RE", "small letters"},
		{"rail of a joint", at["joint/J1"].Rail, "100RE", "a blank"},
		{"cant", at["curve/C1"].Cant, "none", "a capital letter"},
		{"lubricated", at["curve/C1"].Lubricated, "low", "capital letters"},
		{"warp over", at["curve/C1"].WarpOverFt, 31.0, "whole feet"},
		{"warp over of a curve not given", at["curve/C2"].WarpOverFt, 62.0, "62 ft where blank"},
		{"warp over of a spot not given", at["spot/G1"].WarpOverFt, 62.0, "62 ft where blank"},
		{"degree not measured", at["curve/C1"].Read(track.Degree).Measured(), false, "n/a"},
	} {
		if tc.got != tc.want {
			t.Errorf("%s: %v, want %v; %s", tc.name, tc.got, tc.want, tc.reason)
		}
	}
	for _, tc := range []struct {
		feature string
		q       track.Quantity
		lo, hi  float64 // in
	}{
		{"switch/S1", track.Crosslevel, -5.0 / 32, -3.0 / 32}, {"curve/C1", track.WarpShort, 7.0 / 32, 9.0 / 32},
		{"curve/C1", track.CrosslevelLeast, -5.0 / 32, -3.0 / 32}, {"spot/G1", track.Crosslevel, 15.0 / 32, 17.0 / 32},
		{"spot/G1", track.WarpShort, 3.0 / 32, 5.0 / 32},
	} {
		r := at[tc.feature].Read(tc.q)
		if r.Lo != tc.lo*measure.MMPerInch || r.Hi != tc.hi*measure.MMPerInch {
			t.Errorf("%s %s: [%g, %g] in, want [%g, %g]", tc.feature, tc.q, r.Lo/measure.MMPerInch,
				r.Hi/measure.MMPerInch, tc.lo, tc.hi)
		}
	}
	for _, tc := range []struct {
		feature string
		seen    []string
		looked  bool
	}{
		{"frog/F1", []string{"floor_bright", "point_nicked"}, true}, {"switch/S1", nil, true},
		{"switch/S2", nil, false},
		{"curve/C1", []string{"plates_moved"}, true}, {"joint/J1", []string{"bar_shaved"}, true},
		{"spot/G1", []string{"band_gauge_corner", "rail_canted"}, true},
	} {
		if m := at[tc.feature].Marks; !slices.Equal(m.Seen, tc.seen) || m.Looked != tc.looked {
			t.Errorf("%s: marks %+v, want %v, looked at: %t", tc.feature, m, tc.seen, tc.looked)
		}
	}
}

// TestLatestDay: a row of a day to come is refused in every sheet.
func TestLatestDay(t *testing.T) {
	latest, err := measure.ParseDate("2026-03-31")
	if err != nil {
		t.Fatal(err)
	}
	for k := range track.NumKinds {
		text := "location," + k.String() + ",date\ny,1,2026-03-31\ny,2,2026-04-01\n"
		_, problems, _ := read(t, fixture.Data(t), track.Defaults{Frame: sheet.Frame{Latest: latest}},
			map[string]string{k.File(): text})
		holds(t, "problems", problems, []string{k.File() + ":3:5: date: 2026-04-01 lies after 2026-03-31"},
			"the newest row is the reading")
	}
}
