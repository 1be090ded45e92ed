package ask

import (
	"slices"
	"strings"
	"testing"

	"flangeway/track"
	"flangeway/track/shape"
)

// FuzzNotation: whatever is typed for a flag of a notation of its own gives a number within what the flag takes, or an
// error that names the flag and no number.
func FuzzNotation(f *testing.F) {
	for _, s := range []string{"", "0", "none", "1:40", "1/20", "1:0", "1:1e99", "0.35", "1e-2", "-0", "25 mph", "mph",
		"100kN", "35,750 lb", "2 kips", "n", "kn", "20kN.m", "-3e5 N·m", "31 ft", "0x1p4", "1_000", "NaN", "+Inf",
		"infinity", "1e400", "9e-400", "\x00", "½", "1,2", ",", "a,b,c",
		"L1=3mm,R2=1mm", "l1=3,L1=2", "L1=,R1=1", "=,=="} {
		f.Add(s)
	}
	of := func(lo, hi float64) func(string, string) (float64, error) {
		return func(flag, text string) (float64, error) { return Number(flag, text, lo, hi) }
	}
	parsers := []struct {
		name   string
		read   func(flag, text string) (float64, error)
		lo, hi float64
	}{
		{"number", of(-5, 7), -5, 7}, {"speed", Speed, 0, track.MaxSpeedMPH}, {"friction", Friction, 0.01, 1},
		{"rate", Rate, 0, 1000}, {"cant", Cant, 0, shape.CantOf(5)}, {"newtons", Newtons, 0, 1e7},
		{"pounds", Pounds, 0, 1e7}, {"moment", Moment, -1e9, 1e9}, {"feet", Feet, 1, 100},
		{"stiffness", Stiffness, 0, 1e15},
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, p := range parsers {
			v, err := p.read(p.name, text)
			switch {
			case err != nil && (v != 0 || !strings.Contains(err.Error(), "--"+p.name)):
				t.Errorf("%s %q: %g, %v", p.name, text, v, err)
			case err == nil && !(v >= p.lo && v <= p.hi): // NaN is in no range
				t.Errorf("%s %q is %g, outside %g to %g", p.name, text, v, p.lo, p.hi)
			case err == nil && strings.ContainsAny(strings.ToLower(text), "_x"):
				t.Errorf("%s %q is taken as %g", p.name, text, v)
			}
		}
		near, far, err := pair(text)
		if err == nil && (strings.Contains(near, ",") || strings.Contains(far, ",")) ||
			err != nil && near+far != "" {
			t.Errorf("%q is split into %q and %q, %v", text, near, far, err)
		}
		s, axle := &Start{Flags: Flags{"hollow": text}}, Truck{{Label: "L1"}, {Label: "R1"}}
		out, err := s.byPosition(axle, "hollow")
		if err == nil && strings.Contains(text, "=") && strings.Count(text, ",")+1 !=
			len(slices.DeleteFunc(out, func(v string) bool { return v == "" })) {
			t.Errorf("%q gives %q: one is lost", text, out)
		}
	})
}
