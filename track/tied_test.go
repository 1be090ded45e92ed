package track_test

import (
	"math"
	"strings"
	"testing"

	"flangeway/internal/measure"
	"flangeway/track"
)

// What geometry ties to an edited reading moves with it: the frog closes before and after.
func TestFollow(t *testing.T) {
	const in = measure.MMPerInch
	at := func(v float64) measure.Reading {
		r := measure.Exact(v*in, measure.Inch(v*in))
		r.Lo, r.Hi = r.Lo-in/16, r.Hi+in/16
		return r
	}
	frog := func() *track.Feature {
		return track.New(track.Frog, "yard", "F1", map[track.Quantity]measure.Reading{track.Gauge: at(56.5),
			track.LoadedGauge: at(56.75), track.GuardCheck: at(54.625),
			track.GuardFace: at(52.75), track.GuardFlangeway: at(1.875), track.FlangewayWidth: at(1.875)})
	}
	for _, tt := range []struct {
		name  string
		edits map[track.Quantity]float64
		want  map[track.Quantity]float64 // of what moves along
		open  bool                       // the edits contradict each other
	}{
		{"the guard rail moved by its check", map[track.Quantity]float64{track.GuardCheck: 54.5},
			map[track.Quantity]float64{track.GuardFace: 52.625, track.GuardFlangeway: 2}, false},
		{"the guard rail moved by its face", map[track.Quantity]float64{track.GuardFace: 53},
			map[track.Quantity]float64{track.GuardCheck: 54.875, track.GuardFlangeway: 1.625}, false},
		{"the guard rail moved by its flangeway", map[track.Quantity]float64{track.GuardFlangeway: 2.125},
			map[track.Quantity]float64{track.GuardCheck: 54.375, track.GuardFace: 52.5}, false},
		{"regauged with the guard rail", map[track.Quantity]float64{track.Gauge: 57},
			map[track.Quantity]float64{track.LoadedGauge: 57.25, track.GuardCheck: 55.125,
				track.GuardFace: 53.25}, false},
		{"regauged, the guard check kept", map[track.Quantity]float64{track.Gauge: 57, track.GuardCheck: 54.625},
			map[track.Quantity]float64{track.LoadedGauge: 57.25, track.GuardFlangeway: 2.375}, false},
		{"the lip ground off", map[track.Quantity]float64{track.FlangewayWidth: 2},
			map[track.Quantity]float64{track.GuardFace: 52.625}, false},
		{"two that fit each other", map[track.Quantity]float64{track.GuardCheck: 54.5, track.GuardFlangeway: 2},
			map[track.Quantity]float64{track.GuardFace: 52.625}, false},
		{"two that do not", map[track.Quantity]float64{track.GuardCheck: 54.5, track.GuardFlangeway: 1.5},
			map[track.Quantity]float64{track.GuardFace: 52.625}, true},
		{"the gauge under load alone moves nothing", map[track.Quantity]float64{track.LoadedGauge: 57.5},
			map[track.Quantity]float64{}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			was := frog()
			f := was
			var edited []track.Quantity
			for q, v := range tt.edits {
				f, edited = f.With(q, at(v)), append(edited, q)
			}
			got, moved := f.Follow(was, edited)
			if len(moved) != len(tt.want) {
				t.Errorf("%v moved, want %v", moved, tt.want)
			}
			for q, v := range tt.want {
				if r := got.Read(q); math.Abs(r.As-v*in) > 1e-9 || math.Abs(r.Hi-r.Lo-in/8) > 1e-9 {
					t.Errorf("%s is %s, want %g in with its error", q, r.Written, v)
				}
			}
			for q, v := range tt.edits {
				if math.Abs(got.Read(q).As-v*in) > 1e-9 {
					t.Errorf("the edited %s is %s", q, got.Read(q).Written)
				}
			}
			if open := got.Contradiction() != ""; open != tt.open {
				t.Errorf("contradiction %q", got.Contradiction())
			}
		})
	}
	torn := frog().With(track.GuardFlangeway, at(1))
	if got, moved := torn.With(track.GuardFlangeway, at(1.875)).Follow(torn,
		[]track.Quantity{track.GuardFlangeway}); len(moved) > 0 || got.Contradiction() != "" {
		t.Errorf("of readings that contradicted each other %v moved: %s", moved, got.Contradiction())
	}
	guarded := frog()
	guarded.Type = "self-guarded"
	if _, moved := guarded.With(track.Gauge, at(57)).Follow(guarded, []track.Quantity{track.Gauge}); len(moved) != 1 ||
		!strings.HasPrefix(moved[0].String(), "loaded") {
		t.Errorf("at a self-guarded frog %v moved", moved)
	}
}
