package plan

import (
	"errors"
	"math"
	"testing"

	"flangeway/interaction"
)

// Passes by hand: a wheel that surely strikes counts all its passes, one that may
// strike its chance, a pool stands for all its trips.
func TestAssess(t *testing.T) {
	frogs := [][]string{{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}, {"mill", "F2", "1-7/8"}}
	cars := [][]string{{"car", "owner", "group", "trips_per_year"}, {"A 1", "own", "home", "100"},
		{"A 2", "own", "home", ""}, {"B 1", "foreign", "pool", ""}, {"B 2", "foreign", "pool", ""}}
	tests := []struct {
		name, reason, railroad string
		heights                [4]string // L1 of A 1, A 2, B 1, B 2
		total                  float64
	}{
		{"sure", "100 trips, one pass each", "", [4]string{"1-1/2", "1", "1", "1"}, 100},
		{"by default", "a trip every working day", "", [4]string{"1", "1-1/2", "1", "1"}, 250},
		{"working days", "of this railroad", "traffic: {working_days: 200}\n", [4]string{"1", "1-1/2", "1", "1"}, 200},
		{"two passes a trip", "there and back", "traffic: {passes: {yard: 2}}\n", [4]string{"1-1/2", "1", "1", "1"},
			200},
		{"even chance", "height and depth read alike: half of 100", "", [4]string{"1-3/8", "1", "1", "1"}, 50},
		{"does not go there", "the group stays at the mill", "traffic: {serves: {home: [mill]}}\n",
			[4]string{"1-1/2", "1-1/2", "1", "1"}, 0},
		{"pool", "one of two measured cars strikes: half of 1000 trips", "traffic: {pool: {pool: 1000}}\n",
			[4]string{"1", "1", "1-1/2", "1"}, 500},
		{"clear", "nothing can strike", "", [4]string{"1", "1", "1", "1"}, 0},
		{"seldom", "ten trips a year", "traffic: {working_days: 10}\n", [4]string{"1", "1-1/2", "1", "1"}, 10},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			wheels := [][]string{{"car", "position", "flange_height"}}
			for i, c := range []string{"A 1", "A 2", "B 1", "B 2"} {
				wheels = append(wheels, []string{c, "L1", tt.heights[i]})
			}
			sv := files{"frogs.csv": frogs, "cars.csv": cars, "wheels.csv": wheels}.write(t, "schema: 1\n"+tt.railroad)
			a, err := Assess(plain(t, sv))
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(a.Total-tt.total) > 1e-6 {
				t.Errorf("%g passes a year, want %g (%s)", a.Total, tt.total, tt.reason)
			}
			for _, g := range a.Pools {
				if g.Cars != 2 || g.Wheels != 2 || g.Bad != 1 || g.Passes != 500 {
					t.Errorf("pool %+v", g)
				}
			}
		})
	}
}

// TestJobsPass: what the jobs that take a car pass is counted, and nothing else of what lies on a track; without jobs
// all is as traffic says.
func TestJobsPass(t *testing.T) {
	frogs := [][]string{{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-3/8"}, {"mill", "F2", "1-3/8"},
		{"shed", "F3", "1-3/8"}}
	cars := [][]string{{"car", "group", "trips_per_year"}, {"A 1", "home", "100"}, {"A 2", "home", ""},
		{"B 1", "pool", ""}}
	tracks := [][]string{{"track", "order", "location"}, {"lead", "1", "yard"}, {"6", "1", "mill"}}
	heads := []string{"job", "tracks", "cars", "groups", "trips_per_year"}
	for _, tt := range []struct {
		name, reason, railroad string
		jobs                   [][]string
		high                   string     // the car whose wheel strikes every frog
		at                     [3]float64 // passes at yard, mill and shed
	}{
		{"no jobs", "100 trips, everywhere", "", nil, "A 1", [3]float64{100, 100, 100}},
		{"one job", "the job passes the lead alone; the shed lies on no track", "",
			[][]string{{"local", "lead", "A 1", "", "200"}}, "A 1", [3]float64{100, 0, 100}},
		{"a car of the job without trips", "it makes each trip of the job", "",
			[][]string{{"local", "lead", "", "home", "40"}},
			"A 2", [3]float64{40, 0, 40}},
		{"fewer trips than the car has", "no more is passed than the job runs", "",
			[][]string{{"local", "lead", "A 1", "", "30"}}, "A 1", [3]float64{30, 0, 30}},
		{"there and back", "the lead is run over twice a trip", "",
			[][]string{{"local", "lead;6;lead", "", "home", "40"}},
			"A 2", [3]float64{80, 40, 40}},
		{"two jobs", "its 100 trips by the trips of both, 3 to 1", "",
			[][]string{{"local", "lead", "A 1", "", "300"}, {"extra", "6", "A 1", "", "100"}}, "A 1",
			[3]float64{75, 25, 100}},
		{"another car's job", "no job takes it: as without the sheet", "",
			[][]string{{"local", "lead", "A 2", "", "40"}},
			"A 1", [3]float64{100, 100, 100}},
		{"any car", "the sheet does not say who is in it", "", [][]string{{"local", "lead", "", "", "40"}}, "A 2",
			[3]float64{40, 0, 40}},
		{"a pool", "the pool's trips, over what its job passes", "traffic: {pool: {pool: 1000}}\n",
			[][]string{{"local", "6", "", "pool", "40"}}, "B 1", [3]float64{0, 1000, 1000}},
		{"a job that does not run", "nothing is passed on its tracks", "",
			[][]string{{"local", "lead", "A 2", "", "0"}}, "A 2",
			[3]float64{0, 0, 0}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			wheels := [][]string{{"car", "position", "flange_height"}}
			for _, c := range []string{"A 1", "A 2", "B 1"} {
				height := "1"
				if c == tt.high {
					height = "1-1/2"
				}
				wheels = append(wheels, []string{c, "L1", height})
			}
			f := files{"frogs.csv": frogs, "cars.csv": cars, "wheels.csv": wheels}
			if tt.jobs != nil {
				f["tracks.csv"], f["jobs.csv"] = tracks, append([][]string{heads}, tt.jobs...)
			}
			a, err := Assess(plain(t, f.write(t, "schema: 1\n"+tt.railroad)))
			if err != nil {
				t.Fatal(err)
			}
			for i, l := range []string{"yard", "mill", "shed"} {
				if got := a.passes(l, "frog-floor"); math.Abs(got-tt.at[i]) > 1e-6 {
					t.Errorf("%s: %g passes a year, want %g (%s)", l, got, tt.at[i], tt.reason)
				}
			}
		})
	}
}

// TestTracksFace: a track says how its switches are run, for each pass of a job.
func TestTracksFace(t *testing.T) {
	for _, tt := range []struct {
		direction, tracks, reason string
		want                      float64
	}{
		{"facing", "6", "each pass faces the point", 100}, {"trailing", "6", "none does", 0},
		{"both", "6", "half of them", 50}, {"", "6", "as the switch is run: half", 50},
		{"facing", "6;6", "twice a trip", 200},
	} {
		sv := files{"cars.csv": {{"car"}, {"A 1"}},
			"wheels.csv":   {{"car", "position", "flange_thickness", "vertical_flange"}, {"A 1", "L1", "15/16", ">=1"}},
			"switches.csv": {{"location", "switch", "point_gap"}, {"yard", "S1", "1/2"}},
			"tracks.csv":   {{"track", "location", "direction"}, {"6", "yard", tt.direction}},
			"jobs.csv":     {{"job", "tracks", "trips_per_year"}, {"local", tt.tracks, "100"}}}.write(t, "schema: 1\n")
		a, err := Assess(plain(t, sv))
		if err != nil {
			t.Fatal(err)
		}
		if got := a.passes("yard", "point-pick"); math.Abs(got-tt.want) > 1e-6 {
			t.Errorf("%s over %s: %g passes, want %g (%s)", tt.direction, tt.tracks, got, tt.want, tt.reason)
		}
	}
}

// A frog depth that alone decides a pair is worth what its repair costs, times the
// chance that it is deep enough.
func TestMeasureNext(t *testing.T) {
	sv := files{"wheels.csv": {{"car", "position", "flange_height"}, {"A 1", "L1", "1.375"}},
		"frogs.csv": {{"location", "frog", "flangeway_depth"}, {"yard", "F1", "1-1/4..1-1/2"}}}.write(t,
		"schema: 1\ncosts: {car_hold: 9000, wheelset_change: 9000, place_close: 9000}\nreading_error: "+
			"{flange_height: \"0\", step_error: \"0\"}\n")
	p, err := Make(plain(t, sv), Options{Level: LevelUndecided})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Actions) != 1 || p.Actions[0].Work != "frog_grind" && p.Actions[0].Work != "frog_weld" {
		t.Fatalf("%+v", p.Actions)
	}
	got := p.MeasureNext()
	if len(got) == 0 || got[0].Reading != "flangeway_depth" || got[0].Where != "frog/F1" {
		t.Fatalf("%+v", got)
	}
	if x := got[0]; math.Abs(x.Chance-0.5) > 0.05 || x.Saves != p.Cents ||
		math.Abs(x.Value-x.Chance*float64(x.Saves)) > 1 || x.Pairs != 1 {
		t.Errorf("%+v; the plan costs %d", x, p.Cents)
	}
}

func TestWhatIf(t *testing.T) {
	sv := roller{}.plain(t)
	edited, _, err := WhatIf(sv, []string{"frog F1 flangeway_depth=1 7/8",
		"wheel A 1 L1 flange_height=<1-1/4 tread_hollow=none back_to_back=53-1/4"})
	if err != nil {
		t.Fatal(err)
	}
	was, now := verdicts(t, plain(t, sv)), verdicts(t, plain(t, edited))
	key := "frog-floor | A 1 L1 | A 1 at frog/F1 | frog/F1"
	if was[key] != interaction.Conflict || now[key] != interaction.Clear {
		t.Errorf("was %s, is %s", was[key], now[key])
	}
	if r := edited.Fleet.Wheels[1].Read(5); r.Written != "53-1/4" {
		t.Errorf("the mate's back-to-back is %q: it is the axle's", r.Written)
	}
	if verdicts(t, plain(t, sv))[key] != interaction.Conflict {
		t.Error("the survey itself was changed")
	}
	if gone, _, err := WhatIf(sv, []string{"drop car A 1"}); err != nil || len(gone.Fleet.Wheels) != 0 ||
		len(sv.Fleet.Wheels) != 2 {
		t.Errorf("%v", err)
	}
	if gone, _, err := WhatIf(sv, []string{"drop frog F1"}); err != nil || len(gone.Track.Features) != 0 ||
		len(sv.Track.Features) != 1 {
		t.Errorf("%v", err)
	}
	for _, bad := range []string{"", "frog", "frog F1", "frog F1 =", "frog F1 >=1", "frog F9 flangeway_depth=1",
		"frog F1 point_gap=1/8", "frog F1 flangeway_depth=8-Jan", "frog =1 2",
		"wheel A 1 L1 depth=1", "wheel A 1 L7 flange_height=1", "wheel A flange_height=1", "drop", "drop car",
		"drop car A 9", "drop tree T1", "tree T1 a=1", "curve C1 degree=9"} {
		if _, _, err := WhatIf(sv, []string{bad}); !errors.Is(err, ErrWhatIf) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// FuzzWhatIf: any text is an edit or says why not, never a panic.
func FuzzWhatIf(f *testing.F) {
	for _, s := range []string{"frog F1 flangeway_depth=1-7/8", "wheel A 1 L1 flange_height=>=1 tread_hollow=none",
		"drop car A 1", "frog F1 flangeway_depth= 1 >=2 =", "curve C1 degree=6"} {
		f.Add(s)
	}
	var sv = map[bool]*model{}
	f.Fuzz(func(t *testing.T, text string) {
		if sv[true] == nil {
			sv[true] = &model{sv: roller{}.plain(t)}
		}
		if _, _, err := WhatIf(sv[true].sv, []string{text}); err != nil && !errors.Is(err, ErrWhatIf) {
			t.Errorf("%q: %v", text, err)
		}
	})
}
