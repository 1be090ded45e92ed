package contact

import (
	"math"
	"testing"
)

// Half of what gauge less back-to-back has more is play to one side; the shapes counted are
// those of the axle's own room.
func TestOverTriesTheRooms(t *testing.T) {
	t.Parallel()
	a := axle(t, 1435, 40)
	s := Study{Axle: a, Amplitudes: []float64{3}}
	own, err := s.Over(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if own.Play.Lo != own.Play.Hi || own.Shapes != 1 {
		t.Errorf("one room: %+v", own)
	}
	got, err := s.Over(nil, nil, Room{a.Gauge - 2, a.BackToBack + 1}, Room{a.Gauge + 2, a.BackToBack - 1})
	if err != nil {
		t.Fatal(err)
	}
	if got.Shapes != 1 || math.Abs(got.Play.Lo-(own.Play.Lo-1.5)) > 0.02 ||
		math.Abs(got.Play.Hi-(own.Play.Lo+1.5)) > 0.02 {
		t.Errorf("play %+v of %d shapes, want 1.5 mm to either side of %g", got.Play, got.Shapes, own.Play.Lo)
	}
}
