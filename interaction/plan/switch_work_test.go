package plan

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/track"
)

// points is a random survey of flanges on worn and chipped switch points, all read in sixteenths.
func (r roller) points(cars, places int) files {
	f := files{"cars.csv": {{"car", "owner"}}, "wheels.csv": {{"car", "position", "flange_height"}},
		"switches.csv": {{"location", "switch", "direction", "point_drop", "chip_depth", "chip_length", "face_angle",
			"stock_rail_wear"}}}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, []string{"own", "foreign"}[r.IntN(2)])
		add("wheels.csv", id, "L1", r.inches(16, 23, 0))
	}
	for p := range places {
		add("switches.csv", "yard", fmt.Sprintf("P%d", p), []string{"facing", "both"}[r.IntN(2)], r.inches(3, 12, 0.05),
			r.inches(0, 17, 0.1), []string{"", "3", "8", "12", "13"}[r.IntN(5)],
			[]string{"", "", "50", "55", "58", "62", "72"}[r.IntN(7)], []string{"", "none", "1/8", "3/16"}[r.IntN(4)])
	}
	return f
}

// cell is a reading of the test's own sixteenths or degrees; ok is false for a blank and for one from one side.
func cell(text string) (v float64, ok bool) {
	var whole, n, d int
	switch {
	case text == "none":
		return 0, true
	case len(text) > 0 && (text[0] == '<' || text[0] == '>'):
		return 0, false
	}
	if k, _ := fmt.Sscanf(text, "%d-%d/%d", &whole, &n, &d); k == 3 {
		return float64(whole) + float64(n)/float64(d), true
	}
	if k, _ := fmt.Sscanf(text, "%d/%d", &n, &d); k == 2 {
		return float64(n) / float64(d), true
	}
	k, _ := fmt.Sscan(text, &v)
	return v, k == 1
}

// mended are the works on a switch point by hand: what is ground off a face of 3/4 in is an eighth at its top, what is
// welded on is 3/4 in high and a foot long at most, and beside a stock rail worn by more than an eighth faces and
// points are not mended alone.
func mended(row map[string]string) (out []worked) {
	drop, dropOK := cell(row["point_drop"])
	chip, chipOK := cell(row["chip_depth"])
	long, longOK := cell(row["chip_length"])
	face, faceOK := cell(row["face_angle"])
	wear, wearOK := cell(row["stock_rail_wear"])
	sound := wearOK && wear <= 0.125
	if row["direction"] == "both" {
		out = append(out, worked{[]string{trailingOnly}, map[string]string{"direction": "trailing"}})
	}
	if faceOK && sound && face < 70 {
		to := math.Pi/2 - math.Atan(math.Max(1/math.Tan(face*math.Pi/180)-1.0/6, 0))
		if deg := math.Floor(math.Min(70, to*180/math.Pi)); deg > face {
			out = append(out, worked{[]string{"point_grind"},
				map[string]string{"face_angle": fmt.Sprintf(">=%g", deg)}})
		}
	}
	if dropOK && chipOK && math.Max(drop, chip) <= 1 && (chip == 0 || longOK && long <= 12) &&
		(drop > 0.25 || chip > 0) {
		to := map[string]string{"point_drop": "1/4", "chip_depth": "none", "chip_length": "none"}
		if drop < 0.25 {
			to["point_drop"] = row["point_drop"]
		}
		if faceOK && sound || row["face_angle"] != "" && sound {
			to["face_angle"] = ">=70"
		}
		out = append(out, worked{[]string{"point_weld"}, to})
	}
	to := map[string]string{"point_drop": "1/4", "chip_depth": "none", "chip_length": "none", "face_angle": "75"}
	if sound {
		out = append(out, worked{[]string{"points_change"}, to})
	}
	return append(out, worked{[]string{"points_renew"}, to})
}

// A point on which flanges climb is ground, built up, changed or renewed, or run trailing only, whatever is cheapest of
// what reaches so far.
func TestPointWorksMatchBruteForce(t *testing.T) {
	t.Parallel()
	done, seeds := map[string]int{}, fixture.Drawn(12, 120)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(71, seed))}
		price := map[string]int64{"car_hold": 200 + r.Int64N(4000), "foreign_hold": 200 + r.Int64N(4000),
			"place_close": 1000 + r.Int64N(4000), "point_grind": 50 + r.Int64N(400), "point_weld": 100 + r.Int64N(900),
			"points_change": 100 + r.Int64N(2000), "points_renew": 400 + r.Int64N(3000),
			trailingOnly: 200 + r.Int64N(1500)}
		b := byHand{files: r.points(2, 2), price: price, engine: only("point-climb"), works: mended,
			level: []string{LevelUndecided, LevelConflict}[seed%3%2]}
		for _, a := range b.compare(t, seed).Actions {
			done[a.Work]++
		}
	}
	for _, name := range []string{"point_grind", "point_weld", "points_change", "points_renew", trailingOnly} {
		if done[name] == 0 {
			t.Errorf("no %s among %v", name, done)
		}
	}
}

// What a point can be mended by, at the reach of each work and just beyond it.
func TestReachOfPointWorks(t *testing.T) {
	base := map[string]string{"point_drop": "1/2", "chip_depth": "1", "chip_length": "12", "face_angle": "60",
		"stock_rail_wear": "1/8", "point_thickness": "3/16"}
	tests := []struct {
		name, column, cell string
		want               []string
		face               string // after grinding
	}{
		{"all within reach", "point_drop", "1/2", []string{"point_grind", "point_weld", "points_change"}, ">=67"},
		{"a chip 3/4 in under a new point's top", "chip_depth", "1",
			[]string{"point_grind", "point_weld", "points_change"},
			">=67"},
		{"a sixteenth deeper", "chip_depth", "1-1/16", []string{"point_grind", "points_change"}, ">=67"},
		{"longer than a foot", "chip_length", "13", []string{"point_grind", "points_change"}, ">=67"},
		{"how long was not read", "chip_length", "", []string{"point_grind", "points_change"}, ">=67"},
		{"the chip was not read", "chip_depth", "", []string{"point_grind", "points_change"}, ">=67"},
		{"the chip is known from below alone", "chip_depth", ">1/2", []string{"point_grind", "points_change"}, ">=67"},
		{"the point's top was not read", "point_drop", "", []string{"point_grind", "points_change"}, ">=67"},
		{"the stock rail is worn", "stock_rail_wear", "3/16", []string{"point_weld"}, ""},
		{"the stock rail was not read", "stock_rail_wear", "", []string{"point_weld"}, ""},
		{"a face that needs nothing", "face_angle", "70", []string{"point_weld", "points_change"}, ""},
		{"a face that is nearly right", "face_angle", "65", []string{"point_grind", "point_weld", "points_change"},
			">=70"},
		{"a flat face", "face_angle", "50", []string{"point_grind", "point_weld", "points_change"}, ">=56"},
		{"a face known from below alone", "face_angle", "<60", []string{"point_weld", "points_change"}, ""},
	}
	columns := slices.Sorted(maps.Keys(base))
	rows := [][]string{append([]string{"location", "switch"}, columns...)}
	for i, tt := range tests {
		row := []string{"yard", fmt.Sprintf("S%02d", i)}
		for _, column := range columns {
			if column == tt.column {
				row = append(row, tt.cell)
			} else {
				row = append(row, base[column])
			}
		}
		rows = append(rows, row)
	}
	sv := files{"switches.csv": rows}.write(t, plainRailroad)
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := sv.Track.Features[i]
			s := workshop{rules: interaction.NewRules(sv.Settings, sv.Data), sv: sv, f: f,
				design: sv.Data.Designed[f.Kind.String()].Values}
			var got []string
			for _, d := range s.drafts(choices{tip: true, points: true})[1:] {
				name := d.acts[0].Work
				if got = append(got, name); name == "point_grind" && d.to[track.FaceAngle] != tt.face {
					t.Errorf("ground to %s, want %s", d.to[track.FaceAngle], tt.face)
				}
				if _, sets := d.to[track.FaceAngle]; name == "point_weld" && sets != s.stockFits(name) {
					t.Error("the face is promised beside a worn stock rail, or not beside a sound one")
				}
			}
			if want := append(slices.Clone(tt.want), "points_renew"); !slices.Equal(got, want) {
				t.Errorf("%v, want %v", got, want)
			}
		})
	}
}

// A switch is run trailing only where it is run both ways and nothing says that somebody has to run it facing.
func TestMayTrail(t *testing.T) {
	for _, tt := range []struct {
		name, direction, track, traffic string
		want                            bool
	}{
		{"both ways", "both", "", "", true},
		{"facing", "facing", "", "", false},
		{"trailing as it is", "trailing", "", "", false},
		{"on a track that does not say how", "both", ",", "", true},
		{"on a track that is run trailing", "both", ",trailing", "", true},
		{"on a track that is run both ways", "both", ",both", "", false},
		{"on a track that is run facing", "both", ",facing", "", false},
		{"half of its moves are facing", "both", "", "traffic: {facing: {switch/S1: 0.5}}\n", true},
		{"all of its moves are facing", "both", "", "traffic: {facing: {yard: 1}}\n", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := files{"switches.csv": {{"location", "switch", "direction"}, {"yard", "S1", tt.direction}}}
			if tt.track != "" {
				f["tracks.csv"] = [][]string{{"track", "location", "direction"}, {"6", "yard", tt.track[1:]}}
			}
			sv := f.write(t, plainRailroad+tt.traffic)
			if got := mayTrail(sv, sv.Track.Features[0]); got != tt.want {
				t.Errorf("%t, want %t", got, tt.want)
			}
		})
	}
}
