package survey

import (
	"math"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/wheel/shape"
)

// given is a survey whose railroad set a setting.
func given(t *testing.T, name string, value float64) *Survey {
	data := fixture.Data(t)
	return &Survey{Data: data, Settings: NewSettings(data.Settings).With(name, value, "")}
}

// What a railroad says of its flanges must reach every shape that is built from quoted dimensions. What leaves no
// flange on the other dimensions leaves the design as it is, and says so.
func TestShapesHaveTheRailroadsFlange(t *testing.T) {
	for _, c := range []struct {
		why       string
		set, want float64 // degrees
		warns     bool
	}{
		{"the design's own", 75, 75, false},
		{"a face as of the EN", 70, 70, false},
		{"steeper", 77, 77, false},
		{"at the mark to which the tip turns: the tip turns less", 60, 60, false},
		{"below it", 50, 50, false},
		{"no straight face is left between throat and tip", 80, 75, true},
		{"upright", 90, 75, true},
	} {
		shapes, warnings, err := given(t, "flange_angle", c.set).Shapes()
		if err != nil {
			t.Fatal(err)
		}
		if got := len(warnings) > 0 && strings.Contains(warnings[0].Text, "flange_angle"); got != c.warns {
			t.Errorf("%s: warnings %v", c.why, warnings)
		}
		for _, name := range []string{"narrow flange 1:20", "wide flange 1:20"} {
			w, err := shape.Named(shapes, name)
			if err != nil {
				t.Errorf("%s: %s: %v", c.why, name, err)
				continue
			}
			if got, _, err := w.FlangeAngle(); err != nil || math.Abs(got*180/math.Pi-c.want) > 0.01 {
				t.Errorf("%s: %s has a face of %.3f degrees (%v), want %g", c.why, name, got*180/math.Pi, err, c.want)
			}
			if h, err := w.FlangeHeight(); err != nil || math.Abs(h-measure.MMPerInch) > 0.01 {
				t.Errorf("%s: %s is %g mm high (%v), want 1 in", c.why, name, h, err)
			}
		}
	}
}

// The exact profile is that of a standard, whatever a railroad's own flanges are.
func TestShapesLeaveExactProfiles(t *testing.T) {
	shapes, _, err := given(t, "flange_angle", 65).Shapes()
	if err != nil {
		t.Fatal(err)
	}
	own, err := fixture.Data(t).LoadShapes()
	if err != nil {
		t.Fatal(err)
	}
	a, _ := shapes.Wheel("S1002")
	b, _ := own.Wheel("S1002")
	if a.Freight != nil || len(a.Sections) != len(b.Sections) {
		t.Errorf("S1002 has changed: %v, want %v", a, b)
	}
}

func TestShapesHaveTheRailroadsTip(t *testing.T) {
	radius := func(set float64) (float64, int) {
		shapes, warnings, err := given(t, "flange_tip_radius", set*measure.MMPerInch).Shapes()
		if err != nil {
			t.Fatal(err)
		}
		w, _ := shapes.Wheel("narrow flange 1:20")
		return w.Freight.TipRadius / measure.MMPerInch, len(warnings)
	}
	for _, c := range []struct {
		set, want float64
		warnings  int
	}{{0.5, 0.5, 0}, {0.75, 0.75, 0}, {2, 0.6875, 2}} {
		if got, n := radius(c.set); math.Abs(got-c.want) > 1e-9 || n != c.warnings {
			t.Errorf("a tip of %g in: %g and %d warnings, want %g and %d", c.set, got, n, c.want, c.warnings)
		}
	}
}
