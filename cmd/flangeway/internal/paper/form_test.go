package paper

import (
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/survey"
	"flangeway/track"
)

// What a box of the form says can be typed under its column, and the places stand in the order in which the tracks run.
func TestYardForm(t *testing.T) {
	data, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	for name, spec := range data.Columns {
		for _, n := range notches(name) {
			if _, err := spec.Parse(n); err != nil {
				t.Errorf("%s %s: %v", name, n, err)
			}
		}
	}
	sv, err := survey.Read("../../../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	page, err := YardForm(sv, "flangeway")
	if err != nil {
		t.Fatal(err)
	}
	text := string(page)
	for _, f := range sv.Track.Features {
		if !strings.Contains(text, `<th scope="row">`+f.ID+`</th>`) {
			t.Errorf("%s has no row", f.Name())
		}
	}
	if n := strings.Count(text, "<th scope=\"row\">"); n != len(sv.Track.Features)+len(sv.Fleet.Wheels) {
		t.Errorf("%d rows for %d places and %d wheels", n, len(sv.Track.Features), len(sv.Fleet.Wheels))
	}
	var order []string
	for _, f := range walked(sv) {
		order = append(order, f.Name())
	}
	last := map[string]int{}
	for _, l := range sv.Routes.Lines[:1] {
		at := -1
		for _, s := range l.Stops {
			for _, name := range s.Features {
				i := indexOf(order, name)
				if f := featureOf(sv, name); f != nil {
					if at > i && last[f.Location] == 0 {
						t.Errorf("%s of track %s stands before what is passed earlier", name, l.Name)
					}
					at, last[f.Location] = max(at, i), 1
				}
			}
		}
	}
}

func indexOf(list []string, s string) int {
	for i, x := range list {
		if x == s {
			return i
		}
	}
	return -1
}

func featureOf(sv *survey.Survey, name string) *track.Feature {
	for _, f := range sv.Track.Features {
		if f.Name() == name {
			return f
		}
	}
	return nil
}
