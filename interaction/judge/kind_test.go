package judge_test

import (
	"slices"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// A car of unknown kind may be of any: it is clear in no curve in which one of some kind is not.
func TestKindNotReadIsNoBetter(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	of := func(wheels []row, roster row, curve row) *judge.Finding {
		files := map[string]string{}
		var list []row
		for i, w := range wheels {
			w["car"], w["position"] = "A 1", seat(i)
			list = append(list, w)
		}
		curve["location"], curve["curve"] = "here", "C1"
		files["wheels.csv"], files["curves.csv"] = sheet(list...), sheet(curve)
		if roster != nil {
			roster["car"] = "A 1"
			files["cars.csv"] = sheet(roster)
		}
		s := sheets{class: "1", date: "2026-03-31", files: files}.read(t, fixture.Data(t))
		return computedOf(t, s, interaction.Options{Check: "hollow-curve"})["hollow-curve curve/C1 A 1 L1"]
	}
	weighed := func(kind string) row {
		return row{"kind": kind, "gross_lb": "263000", "truck_wheelbase": "70", "axles": "4"}
	}
	cars := map[float64]string{2: "9"}
	if fixture.Volume() {
		cars[0] = "8"
	}
	for hollow, degree := range cars {
		freight := of(hollowCar(hollow), weighed("freight"), plainCurve(degree))
		other := of(hollowCar(hollow), weighed("locomotive"), plainCurve(degree))
		blank := of(hollowCar(hollow), weighed(""), plainCurve(degree))
		if rank(blank.Verdict) > min(rank(freight.Verdict), rank(other.Verdict)) {
			t.Errorf("hollow %g, %s degrees: a freight car is %s, a locomotive %s, and a car of no kind %s: %s",
				hollow, degree, freight.Verdict, other.Verdict, blank.Verdict, blank.Computed.Why)
		}
	}
	for name, tc := range map[string]struct {
		roster  row
		verdict interaction.Verdict
	}{
		"freight, the usual weight and wheelbase":       {row{"kind": "freight", "axles": "4"}, clears},
		"a locomotive of unknown weight":                {row{"kind": "locomotive", "axles": "4"}, undecided},
		"no kind, no weight: it may be that locomotive": {row{"axles": "4"}, undecided},
		"no kind, wheelbase not read":                   {row{"axles": "4", "gross_lb": "263000"}, undecided},
		"no kind, as a freight car and as a locomotive": {weighed(""), clears},
		"no roster: it may be that locomotive":          {nil, undecided},
	} {
		if name == "no kind, wheelbase not read" && !fixture.Volume() {
			continue
		}
		if f := of(hollowCar(0), tc.roster, plainCurve("2")); f.Verdict != tc.verdict {
			t.Errorf("%s: %s, want %s: %s", name, f.Verdict, tc.verdict, f.Computed.Why)
		} else if tc.verdict == undecided && tc.roster["kind"] == "" && !slices.Contains(f.SettleBy(), "kind") {
			t.Errorf("%s: settled by %q, kind is not in it", name, f.SettleBy())
		}
	}
}
