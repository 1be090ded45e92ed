package pocket

import (
	"testing"

	"flangeway/internal/fixture"
	wheelshape "flangeway/wheel/shape"
)

// TestTraceIsOfItsDay: a traced wheel is judged by its trace, also when its mate is read, until it is read by hand
// itself: that row is of another day, and what was not read is not measured.
func TestTraceIsOfItsDay(t *testing.T) {
	t.Parallel()
	shapes, err := fixture.Data(t).LoadShapes()
	if err != nil {
		t.Fatal(err)
	}
	design, err := wheelshape.Named(shapes, "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	s := open(t, map[string][]byte{"traces/w1.csv": []byte(fixture.Traced(design.Outline)),
		"frogs.csv": []byte("location,frog,flangeway_depth,date\nlead,F1,1-1/2,2026-01-02\n"),
		"wheels.csv": []byte("car,position,date,flange_height,flange_thickness,profile\n" +
			"A 1,L1,2026-01-02,,,traces/w1.csv\nA 1,R1,2026-01-02,1-1/8,1-1/8,\n")}, "2026-10-31")
	for _, x := range s.Things() {
		if x.Trace != (x.Key == "wheel/A 1 L1") {
			t.Errorf("%s: a trace is %v", x.Key, x.Trace)
		}
	}
	if a := enter(t, s, "wheel/A 1 R1", "flange_height", "1-1/4"); a.of("frog-floor").Clear != 2 {
		t.Errorf("with the trace of its mate: %+v", a)
	}
	if a := enter(t, s, "wheel/A 1 L1", "flange_thickness", "1-1/8"); a.of("frog-floor").Unread != 1 ||
		a.of("frog-floor").Clear != 1 {
		t.Errorf("when it was read by hand: %+v", a)
	}
}
