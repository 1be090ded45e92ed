package survey_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/wheel/bulk"
)

// routeFiles is a small railroad with tracks and jobs.
func routeFiles(tracks, jobs string) map[string]string {
	out := map[string]string{"cars.csv": "car,group\nA 1,home\nA 2,home\nB 1,\n",
		"wheels.csv": "car,position\nA 1,L1\nZ 9,L1\n", "frogs.csv": "location,frog\nyard,F1\nyard,F2\nmill,F3\n",
		"switches.csv": "location,switch,direction\nyard,S1,facing\nmill,S2,both\nmill,F3,\n"}
	if tracks != "" {
		out["tracks.csv"] = tracks
	}
	if jobs != "" {
		out["jobs.csv"] = jobs
	}
	return out
}

// TestRoutes: tracks pass their places in their order, whatever the order of the rows, and jobs run over them.
func TestRoutes(t *testing.T) {
	s, err := survey.Read(folder(t, routeFiles("track,order,location,feature,direction\n6,2,mill,,Both\n"+
		"6,1,yard,frog/F1,\n"+
		"lead,10,,F2,\nlead,9.5,,switch/S1,FACING\n",
		"job,tracks,cars,groups,trips_per_year\nlocal,lead;  6 ;lead,B 1; Z 9,home,50\nextra,6,,,\n")))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, j := range s.Routes.Jobs {
		j.Passes(func(l *survey.Line, f, direction string) {
			got = append(got, fmt.Sprintf("%s %s %s %s", j.Name, l.Name, f, direction))
		})
	}
	want := []string{"extra 6 frog/F1 ", "extra 6 frog/F3 both", "extra 6 switch/F3 both", "extra 6 switch/S2 both",
		"local lead switch/S1 facing", "local lead frog/F2 ", "local 6 frog/F1 ", "local 6 frog/F3 both",
		"local 6 switch/F3 both", "local 6 switch/S2 both", "local lead switch/S1 facing", "local lead frog/F2 "}
	if !slices.Equal(got, want) {
		t.Errorf("passes\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	local, extra := s.Routes.Job("local"), s.Routes.Job("extra")
	if local.Trips != 50 || extra.Trips != survey.DefaultWorkingDays || extra.TripsGiven || !extra.Anyone() {
		t.Errorf("trips %g and %g: a job without them runs every working day", local.Trips, extra.Trips)
	}
	var takes []string
	for _, c := range s.Fleet.Cars {
		if local.Takes(c) {
			takes = append(takes, c.ID)
		}
		if !extra.Takes(c) {
			t.Errorf("extra takes any car, not %s", c.ID)
		}
	}
	if !slices.Equal(takes, []string{"A 1", "A 2", "B 1", "Z 9"}) {
		t.Errorf("local takes %q: by group, by number, and a car that only wheels.csv has", takes)
	}
	if on := s.Routes.On("frog/F1"); len(on) != 1 || on[0].Name != "6" {
		t.Errorf("frog/F1 lies on %v", on)
	}
}

// TestRouteDefects: each defect of tracks.csv and jobs.csv is named with its place, all of them at once.
func TestRouteDefects(t *testing.T) {
	fixture.LeftToVolumes(t)
	const heads, jobs = "track,order,location,feature,direction\n", "job,tracks,cars,groups,trips_per_year\n"
	for _, tc := range []struct {
		name, tracks, jobs string
		want               []string
		reason             string
	}{
		{"no sheets", "", "", nil, "both may be absent"},
		{"headings alone", heads, jobs, nil, "an empty sheet says nothing"},
		{"without order", "track,location\n6,yard\n6,mill\n", "", nil, "the rows stand in the order of the run"},
		{"unknown location", heads + "6,1,yrad,,\n", "",
			[]string{`tracks.csv:2:5: location: "yrad" is not in the track sheets ... did you mean "yard"?`}, "a slip"},
		{"unknown feature", heads + "6,1,,frog/F9,\n", "", []string{"tracks.csv:2:6: feature: ... kind/id"}, "a slip"},
		{"two of an id", heads + "6,1,,F3,\n", "",
			[]string{`"F3" could be frog/F3 or switch/F3 (kind/id)`}, "nothing is guessed"},
		{"feature elsewhere", heads + "6,1,yard,frog/F3,\n", "",
			[]string{`tracks.csv:2:5: location: frog/F3 lies at "mill"`}, "the two contradict"},
		{"neither", heads + "6,1,,,\n", "", []string{"neither a location nor a feature"}, "the row says nothing"},
		{"a circle", heads + "6,1,,frog/F1,\n6,2,mill,,\n6,3,yard,,\n", "",
			[]string{`tracks.csv:4:3: track: track "6" runs in a circle: it comes back to frog/F1 ... line 2`},
			"what lies behind could not be told"},
		{"the same order", heads + "6,1,yard,,\n6,1,mill,,\n", "", []string{"tracks.csv:3:3: order: ... twice"},
			"which comes first?"},
		{"the same order on two tracks", heads + "6,1,yard,,\n7,1,mill,,\n", "", nil, "each track has its own"},
		{"no order", heads + "6,,yard,,\n", "", []string{"tracks.csv:2:3: order: the order is missing"},
			"one that is given must be given"},
		{"order is no number", heads + "6,first,yard,,\n", "",
			[]string{"tracks.csv:2:3: order: ... a number"}, "no number"},
		{"two orders that are no numbers", heads + "6,first,yard,,\n6,second,mill,,\n", "",
			[]string{"tracks.csv:2:3: order: ... a number", "tracks.csv:3:3: order: ... a number"},
			"they are not one twice"},
		{"direction", heads + "6,1,,switch/S2,left\n", "", []string{"direction: ... facing, trailing, both"}, "a word"},
		{"against the switch", heads + "6,1,,switch/S1,trailing\n", "",
			[]string{"switch/S1 is run facing by switches.csv and trailing here"},
			"a trailing switch has no point checks"},
		{"no track", heads + ",1,yard,,\n", "", []string{"track: the track is missing"}, "needed"},
		{"a name that no job could give", heads + "6;7,1,yard,,\n", "",
			[]string{`tracks.csv:2:1: track: "6;7" has a ; in it`}, "; stands between the tracks of a job"},
		{"no column track", "order,location\n1,yard\n", "",
			[]string{"tracks.csv:1:1: track: the column is missing"}, ""},
		{"unknown column", "track,place\n6,yard\n", "",
			[]string{`"place" is not a column`, "neither a location"}, "a slip"},
		{"unknown track", heads + "6,1,yard,,\n", jobs + "local,7; 6,,,\n",
			[]string{`jobs.csv:2:7: tracks: "7" is not in tracks.csv`}, "a slip"},
		{"no tracks.csv", "", jobs + "local,6,,,\n", []string{`"6" is not in tracks.csv`}, "nothing is known of it"},
		{"unknown car and group", heads + "6,1,yard,,\n", jobs + "local,6,A 1; A 3,hme,\n",
			[]string{`cars: "A 3" is not in the sheets`, `groups: "hme" is not in the sheets ... "home"`},
			"all at once"},
		{"a car twice", heads + "6,1,yard,,\n", jobs + "local,6,A 1; A 1,,\n",
			[]string{`cars: "A 1" stands twice`}, ""},
		{"a job twice", heads + "6,1,yard,,\n", jobs + "local,6,,,\nlocal,6,,,\n",
			[]string{`jobs.csv:3:1: job: job "local" stands twice ... line 2`}, "which counts?"},
		{"a blank name", heads + "6,1,yard,,\n", jobs + "local,6;;6,,,\n",
			[]string{"a name is missing beside a ;"}, ""},
		{"no tracks of a job", heads + "6,1,yard,,\n", jobs + "local,,,,\n",
			[]string{"tracks: the tracks are missing"}, ""},
		{"trips", heads + "6,1,yard,,\n", jobs + "local,6,,,-5\n", []string{"trips_per_year: ... from 0 to"}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := survey.Read(folder(t, routeFiles(tc.tracks, tc.jobs)))
			holds(t, "problems", problems(t, err), tc.want, tc.reason)
			st, err := survey.Open(folder(t, routeFiles(tc.tracks, tc.jobs)))
			if err == nil {
				st.WaitTrack()
				err = st.Done(t.Context(), true, bulk.Totals{})
				st.Close()
			}
			holds(t, "problems of the stream", problems(t, err), tc.want, tc.reason)
		})
	}
}
