package interaction_test

import (
	"testing"

	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

func demoSurvey(t testing.TB) *survey.Survey {
	t.Helper()
	s, err := survey.Read("../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The demo holds every check with every verdict, every cause, and conflicts where
// wheel and track are both within their limits.
func TestDemoShowsEverything(t *testing.T) {
	j := judge(t, demoSurvey(t), interaction.Options{})
	type key struct {
		check   string
		verdict interaction.Verdict
	}
	seen, causes, both := map[key]bool{}, map[interaction.Cause]bool{}, map[string]bool{}
	for _, f := range j.all {
		seen[key{f.Check.ID, f.Verdict}] = true
		if f.Verdict == conflict {
			causes[f.Cause] = true
		}
		if f.BothLegal() {
			both[f.Check.ID] = true
		}
	}
	for _, id := range interaction.CheckIDs() {
		for _, v := range []interaction.Verdict{conflict, undecided, notMeasured, interaction.Clear} {
			if !seen[key{id, v}] {
				t.Errorf("no pair of %s is %s", id, v)
			}
		}
	}
	for _, c := range []interaction.Cause{interaction.CausePlace, interaction.CauseWheel, interaction.CausePair} {
		if !causes[c] {
			t.Errorf("no conflict is caused by the %s", c)
		}
	}
	if !both["frog-floor"] || !both["wide-gauge"] {
		t.Errorf("both sides legal only at %v", both)
	}
}

// With new wheels and track as designed, whatever the demo's checks judge is clear:
// the rules themselves cry no wolf.
func TestNewWheelsOnUnwornTrackAreClear(t *testing.T) {
	s := demoSurvey(t)
	for i, f := range s.Track.Features {
		d := interaction.DesignedFeature(s.Data, f.Kind)
		d.Location, d.ID, d.Type, d.Direction = f.Location, f.ID, f.Type, f.Direction
		s.Track.Features[i] = d
	}
	for _, w := range interaction.ReferenceWheels(s.Data) {
		s.Fleet.Cars, s.Fleet.Wheels = []*wheel.Car{w.Car}, []*wheel.Wheel{w, w.Mate()}
		j := judge(t, s, interaction.Options{})
		if len(j.all) < 300 {
			t.Fatalf("only %d pairs", len(j.all))
		}
		for _, f := range j.all {
			if f.Verdict != interaction.Clear {
				t.Errorf("%s of a new %s at %s as designed is %s", f.Check.ID, w.Design, f.Feature.Name(), f.Verdict)
			}
		}
	}
}

// At track as bad as the federal class 1 limits allow, the table names places, not
// a list of innocent wheels.
func TestFederalLimitTrackNamesPlaces(t *testing.T) {
	s := demoSurvey(t)
	at := func(f *track.Feature, column string, in float64) *track.Feature {
		q, ok := track.QuantityOf(column)
		if !ok {
			t.Fatalf("no quantity %s", column)
		}
		return f.With(q, exactInch(in))
	}
	for i, f := range s.Track.Features {
		switch f.Kind { // 49 CFR 213.137(a), 213.143(a), 213.133(c), 213.53(b), class 1
		case track.Frog:
			f = at(at(at(at(at(f, "flangeway_depth", 1.375), "guard_check", 54.125), "guard_face", 53.25), "flangeway_width", 1.5), "guard_flangeway", 1.5)
			f = at(f, "gauge", 58)
		case track.Curve, track.Spot, track.Switch:
			f = at(f, "gauge", 58)
		}
		s.Track.Features[i] = f
	}
	for _, w := range interaction.ReferenceWheels(s.Data) {
		s.Fleet.Cars, s.Fleet.Wheels = []*wheel.Car{w.Car}, []*wheel.Wheel{w, w.Mate()}
		conflicts := 0
		for _, f := range judge(t, s, interaction.Options{}).all {
			if f.Verdict != conflict {
				continue
			}
			conflicts++
			if f.Cause != interaction.CausePlace {
				t.Errorf("%s of a new wheel at %s: cause %s", f.Check.ID, f.Feature.Name(), f.Cause)
			}
		}
		if conflicts == 0 {
			t.Error("no conflict at the federal limits: a new flange has no nominal margin at a guard check of 54-1/8")
		}
	}
}

// Legality of a pair is over the readings that enter it: a legal wheel at a legal
// place says yes and yes.
func TestDemoHeadlinePair(t *testing.T) {
	for _, f := range judge(t, demoSurvey(t), interaction.Options{Check: "frog-floor", Location: "Pinder yard east lead"}).all {
		if f.Wheel.Car.ID == "WPV 1204" && f.Wheel.Position.String() == "L2" && f.Feature.ID == "F2" {
			if !f.BothLegal() || f.WheelWithinLimits != limit.Yes || f.TrackWithinLimits != limit.Yes {
				t.Errorf("%+v", f)
			}
			return
		}
	}
	t.Error("no such pair")
}
