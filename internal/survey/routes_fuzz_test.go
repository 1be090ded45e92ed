package survey

import (
	"testing"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// FuzzTracks: any bytes as tracks.csv give tracks or problems at places, never a panic.
func FuzzTracks(f *testing.F) {
	for _, s := range []string{"track,order,location,feature,direction\n6,1,yard,,both\n6,1,,frog/F1,\n", "track\n;\n",
		"track,location\n\"6\n\",yard\n", "order,feature\n1,F3\n", "\ufefftrack,order\r\n6,1e9\r\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) { fuzzRoutes(t, b, []byte("job,tracks\nlocal,6\n")) })
}

// FuzzJobs: any bytes as jobs.csv likewise.
func FuzzJobs(f *testing.F) {
	for _, s := range []string{"job,tracks,cars,groups,trips_per_year\nlocal,6;6,A 1,home,10\n",
		"job,tracks\nlocal,;\n", "job,cars\nx,\"A 1;B 1\"\nx,\n", "tracks\n6\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) { fuzzRoutes(t, []byte("track,location\n6,yard\n"), b) })
}

func fuzzRoutes(t *testing.T, tracks, jobs []byte) {
	t.Helper()
	if len(tracks)+len(jobs) > 1<<16 {
		t.Skip("large input is the scanner's own fuzzing")
	}
	tr := &track.Track{Features: []*track.Feature{track.New(track.Frog, "yard", "F1", nil),
		track.New(track.Switch, "yard", "F1", nil), track.New(track.Joint, "mill", "J1", nil)}}
	cars := []*wheel.Car{{ID: "A 1", Group: "home"}, {ID: "B 1"}}
	var ps measure.Problems
	r := readRoutes(sheet.CSV("tracks.csv", tracks), sheet.CSV("jobs.csv", jobs), &ps).resolve(tr, cars, 250, &ps)
	for _, p := range ps.List() {
		if p.Place.File == "" || p.What == "" || p.Place.Line < 0 || p.Place.Col < 0 {
			t.Fatalf("a problem without a place or a text: %+v", p)
		}
	}
	for _, l := range r.Lines {
		seen := map[string]bool{}
		for _, stop := range l.Stops {
			for _, f := range stop.Features {
				if seen[f] {
					t.Fatalf("track %q passes %s twice", l.Name, f)
				}
				seen[f] = true
			}
		}
	}
	for _, j := range r.Jobs {
		if ps.Err() == nil && (j.Name == "" || len(j.Lines) == 0 || !(j.Trips >= 0)) {
			t.Fatalf("job %+v", j)
		}
	}
}
