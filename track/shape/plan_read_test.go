package shape

import (
	"math"
	"slices"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/track"
)

func asRead(_ track.Quantity, r measure.Reading) float64 { return r.As }

// What was read stands in the plan, what was not is as designed or named.
func TestPlansAsRead(t *testing.T) {
	p := fixture.Figures(t)
	f := track.New(track.Frog, "yard", "F1", map[track.Quantity]measure.Reading{track.FlangewayDepth: measure.Exact(40,
		"40mm"), track.TreadWear: measure.Exact(3, "3mm")})
	f.Type = "solid"
	plan, missing := FrogPlanOf(f, p, asRead)
	if plan.FlangewayDepth != 40 || plan.TreadWear != 3 || plan.Type != "solid" ||
		plan.FlangewayWidth != p.Value("frog_flangeway_width") {
		t.Errorf("%+v", plan)
	}
	if !slices.Equal(missing, []string{"number", "flangeway_width"}) {
		t.Errorf("missing %v", missing)
	}
	f = f.With(track.FlangewayWidth, measure.Exact(45, "45mm"))
	f.Number = 9
	if plan, missing = FrogPlanOf(f, p, asRead); len(missing) > 0 || plan.Number != 9 || plan.FlangewayWidth != 45 {
		t.Errorf("%+v missing %v", plan, missing)
	}
	s := track.New(track.Switch, "yard", "S1", map[track.Quantity]measure.Reading{track.PointGap: measure.Exact(2,
		"2mm"), track.FaceAngle: measure.Exact(70, "70"), track.PointDrop: measure.Exact(8, "8mm")})
	sp, err := SwitchPlanOf(s, p, asRead)
	if err != nil || sp.Detail != "plain" || sp.Gap != 2 || sp.FaceAngle != 70 || sp.Drop != 8 ||
		!math.IsNaN(sp.HeelRise) || sp.Undercut >= 0 {
		t.Errorf("%+v %v", sp, err)
	}
	if m, err := NewSwitchModel(sp); err != nil || math.Abs(m.Top(0)-8) > 1e-9 || math.Abs(m.Top(m.Full)+6.35) > 1e-9 {
		t.Errorf("the top as read at the tip and the riser at the heel: %v", err)
	}
	s = s.With(track.Undercut, measure.Exact(6, "6mm"))
	if sp, err = SwitchPlanOf(s, p, asRead); err != nil || sp.Detail != "undercut" || sp.Undercut != 6 {
		t.Errorf("%+v %v", sp, err)
	}
	// An unread thing and one read as the detail has it are the same point.
	for _, d := range p.Details {
		a, err := NewSwitchPlan(p, d.Name)
		if err != nil {
			t.Fatal(err)
		}
		b := a
		b.Drop, b.TipThickness, b.HeelRise = d.Stations[0].Down, d.Stations[0].Thick,
			-d.Stations[len(d.Stations)-1].Down
		ma, err := NewSwitchModel(a)
		if err != nil {
			t.Fatal(err)
		}
		mb, err := NewSwitchModel(b)
		if err != nil {
			t.Fatal(err)
		}
		for x := 0.0; x < ma.Heel; x += 50 {
			if math.Abs(ma.Top(x)-mb.Top(x)) > 1e-9 || math.Abs(ma.Exposed(x)-mb.Exposed(x)) > 1e-9 {
				t.Fatalf("%s at %.0f: %.3f and %.3f", d.Name, x, ma.Top(x), mb.Top(x))
			}
		}
	}
}
