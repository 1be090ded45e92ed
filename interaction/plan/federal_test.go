package plan

import (
	"testing"

	"flangeway/internal/limit"
	"flangeway/internal/survey"
)

// lawAfter judges the readings of a plan that was carried out by the book itself: none is beyond a regulation but of
// places that are closed or to be read again, and of cars that are out of service. No work of a plan breaks one.
func lawAfter(t *testing.T, p *Plan, sv *survey.Survey, held, closed map[string]bool) {
	t.Helper()
	again := map[string]bool{}
	for _, a := range p.Actions {
		if a.Effect == Reads && a.Federal {
			again[a.Where] = true
		}
	}
	if p.Options.IgnoreLimits {
		return
	}
	for _, l := range plain(t, sv).Judge().Limits {
		if l.Kind != "regulation" || l.Verdict != limit.Beyond {
			continue
		}
		if l.Side == "track" && (closed[l.Where] || again[l.Where] || l.Action == "10 mph" && l.Rule[:6] != "213.9(") {
			continue
		}
		if l.Side == "wheel" && held[carName(sv, l.Where)+" at "] {
			continue
		}
		t.Errorf("%s %s is beyond %s after the plan", l.Where, l.Quantity, l.Rule)
	}
	if n := p.Unanswered(); n > 0 {
		t.Errorf("%d readings beyond a federal limit are not answered", n)
	}
	for _, d := range p.Federal {
		if len(d.IDs) == 0 {
			t.Errorf("no action answers %s %s, %s", d.Where, d.Quantity, d.Rule)
		}
	}
}

// carName is the car of a wheel, an axle or a truck by its name.
func carName(sv *survey.Survey, where string) string {
	for _, c := range sv.Fleet.Cars {
		for _, kind := range []string{"wheel/", "axle/", "truck/"} {
			if len(where) > len(kind+c.ID) && where[:len(kind+c.ID)+1] == kind+c.ID+" " {
				return c.ID
			}
		}
	}
	return ""
}
