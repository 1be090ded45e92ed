package survey_test

import (
	"testing"

	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/wheel/bulk"
)

// TestTraffic: who goes where, by location, group and car.
func TestTraffic(t *testing.T) {
	files := func(traffic string) map[string]string {
		return map[string]string{"cars.csv": "car,group\nA 1,home\nA 2,home\nB 1,foreign\nC 1,\n",
			"wheels.csv": "car,position\nA 1,L1\n", "frogs.csv": "location,frog\nyard,F1\nmill,F2\n",
			"railroad.yaml": "schema: 1\n" + traffic}
	}
	for _, tc := range []struct {
		name, traffic, reason string
		goes                  string // car@location for all that go, in order
	}{
		{"nothing said", "", "every car goes everywhere",
			"A 1@yard A 1@mill A 2@yard A 2@mill B 1@yard B 1@mill C 1@yard C 1@mill"},
		{"by location", "traffic: {serves: {mill: [home]}}\n", "only the group goes to the mill",
			"A 1@yard A 1@mill A 2@yard A 2@mill B 1@yard C 1@yard"},
		{"by location, a car", "traffic: {serves: {mill: [A 1, C 1]}}\n", "cars by name",
			"A 1@yard A 1@mill A 2@yard B 1@yard C 1@yard C 1@mill"},
		{"by group", "traffic: {serves: {foreign: [yard]}}\n", "the group goes there alone",
			"A 1@yard A 1@mill A 2@yard A 2@mill B 1@yard C 1@yard C 1@mill"},
		{"both", "traffic: {serves: {mill: [home, foreign], foreign: [yard]}}\n", "both must allow it",
			"A 1@yard A 1@mill A 2@yard A 2@mill B 1@yard C 1@yard"},
		{"a car over its group", "traffic: {serves: {home: [yard], A 1: [mill]}}\n",
			"what is said of the car goes first", "A 1@mill A 2@yard B 1@yard B 1@mill C 1@yard C 1@mill"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, err := survey.Read(folder(t, files(tc.traffic)))
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			for _, c := range s.Fleet.Cars {
				for _, place := range []string{"yard", "mill"} {
					if s.Traffic.Goes(c, place) {
						got += " " + c.ID + "@" + place
					}
				}
			}
			if got != " "+tc.goes {
				t.Errorf("%s, want %s; %s", got, tc.goes, tc.reason)
			}
		})
	}
}

// TestTrafficOfAStream: a survey whose wheels stay in their file knows the same names.
func TestTrafficOfAStream(t *testing.T) {
	for _, tc := range []struct{ name, traffic, reason string }{
		{"all there", "traffic: {serves: {mill: [home, C 1], home: [yard]}, passes: {mill: 2}, pool: {foreign: 10}}\n",
			"nothing to say"},
		{"a car with wheels only", "traffic: {serves: {mill: [D 9]}, pool: {D 9: 3}}\n",
			"cars.csv does not list it, wheels.csv does"},
		{"nowhere", "traffic: {serves: {mill: [hom], nowhere: [home]}, passes: {mil: 2}, pool: {D 8: 1}, facing: " +
			"{switch/S1: 1}}\n", "none of them is in a sheet"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := folder(t, map[string]string{"cars.csv": "car,group\nA 1,home\nB 1,foreign\nC 1,\n",
				"wheels.csv": "car,position\nA 1,L1\nD 9,L1\n",
				"frogs.csv":  "location,frog\nyard,F1\nmill,F2\n", "railroad.yaml": "schema: 1\n" + tc.traffic})
			want := ""
			if _, err := survey.Read(dir); err != nil {
				want = err.Error()
			}
			if (want != "") != (tc.name == "nowhere") {
				t.Fatalf("read whole: %q; %s", want, tc.reason)
			}
			s, err := survey.Open(dir)
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			got := ""
			if err := s.Done(t.Context(), true, bulk.Totals{}); err != nil {
				got = err.Error()
			}
			if got != want {
				t.Errorf("%q, read whole %q; %s", got, want, tc.reason)
			}
		})
	}
}

// TestCosts: amounts and days as typed, to the cent.
func TestCosts(t *testing.T) {
	s, err := survey.Read(folder(t, map[string]string{"frogs.csv": "location,frog\nyard,F1\n",
		"railroad.yaml": "schema: 1\ncosts: {currency: CAD, frog_weld: 2500.25, car_hold: 0, crew_days: {frog_weld: " +
			"0.125}}\n"}))
	if err != nil {
		t.Fatal(err)
	}
	c, ok := s.Costs.Of("frog_weld")
	if !ok || c.Cents != 250025 || c.Millis != 125 || !c.Given || !c.DayGiven || s.Costs.Currency != "CAD" {
		t.Errorf("%+v %s", c, s.Costs.Currency)
	}
	if c, _ := s.Costs.Of("car_hold"); c.Cents != 0 || !c.Given || c.DayGiven {
		t.Errorf("a hold that costs nothing: %+v", c)
	}
	if c, _ := s.Costs.Of("regauge"); c.Given || c.Cents == 0 || c.Kind != "assumed" {
		t.Errorf("a default: %+v", c)
	}
	if s.Tolerance("regauge", "gauge") != measure.MMPerInch/8 || s.Tolerance("frog_weld", "flangeway_width") !=
		s.Settings.Value("work_tolerance") {
		t.Errorf("regauging is kept to %g mm, what nothing is said of to %g", s.Tolerance("regauge", "gauge"),
			s.Tolerance("frog_weld", "flangeway_width"))
	}
	own, err := survey.Read(folder(t, map[string]string{"frogs.csv": "location,frog\nyard,F1\n",
		"railroad.yaml": "schema: 1\ncosts: {tolerance: {regauge: 1/16}}\nsettings: {work_tolerance: 1/32}\n"}))
	if err != nil {
		t.Fatal(err)
	}
	if own.Tolerance("regauge", "gauge") != measure.Sixteenth || own.Tolerance("guard_move", "guard_check") !=
		measure.Sixteenth/2 {
		t.Errorf("the railroad's own: %g mm, %g mm", own.Tolerance("regauge", "gauge"), own.Tolerance("guard_move",
			"guard_check"))
	}
	long, err := survey.Read(folder(t, map[string]string{"gauge.csv": "location,spot\nyard,G1\nyard,G2\n",
		"railroad.yaml": "schema: 1\ncosts: {regauge: 1000, lengths: {spot/G1: 20}}\n"}))
	if err != nil {
		t.Fatal(err)
	}
	c, _ = long.Costs.Of("regauge")
	if at, feet, byDefault := long.Costs.At(c, "spot/G1"); at.Cents != 51300 || at.Millis != 520 || feet != 20 ||
		byDefault { // 20/39 of 1,000 and of a day, rounded up
		t.Errorf("%d cents, %d thousandths of a day, %g ft, by default %t", at.Cents, at.Millis, feet, byDefault)
	}
	if at, feet, byDefault := long.Costs.At(c, "spot/G2"); at.Cents != 100000 || feet != 39 || !byDefault {
		t.Errorf("%d cents, %g ft, by default %t", at.Cents, feet, byDefault)
	}
	for _, tc := range []struct{ name, text, says string }{
		{"a length of no place", "costs: {lengths: {spot/G1: 20}}\n",
			`railroad.yaml:1:28: lengths: ... not in the sheets`},
		{"a shop with nothing known", "costs: {shop: forge}\n",
			`railroad.yaml:1:15: shop: "forge" ... lathe, press, or none`},
		{"a length of nothing", "costs: {lengths: {spot/G1: x}}\n", "railroad.yaml:1:28: spot/G1: ... not a number"},
		{"no year", "costs: {horizon_years: 0}\n", "railroad.yaml:1:24: horizon_years"},
		{"half a year", "costs: {horizon_years: 2.5}\n", "railroad.yaml:1:24: horizon_years"},
		{"a work that leaves no reading", "costs: {tolerance: {car_hold: 1/8}}\n", "railroad.yaml:1:21: car_hold"},
		{"too loose", "costs: {tolerance: {regauge: 2}}\n", "railroad.yaml:1:30: regauge"},
		{"below zero", "costs: {frog_weld: -1}\n", "railroad.yaml:1:20: frog_weld"},
		{"a fraction of a cent", "costs: {frog_weld: 1.005}\n", "railroad.yaml:1:20: frog_weld: ... decimals"},
		{"octal", "costs: {frog_weld: 0100}\n", "railroad.yaml:1:20: frog_weld: ... octal"},
		{"no such work", "costs: {frog_wled: 1}\n",
			`railroad.yaml:1:9: frog_wled: there is no such key (did you mean "frog_weld"?)`},
		{"no currency", "costs: {currency: ''}\n", "railroad.yaml:1:19: currency"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := survey.Read(folder(t, map[string]string{"railroad.yaml": tc.text}))
			holds(t, "problems", problems(t, err), []string{tc.says}, tc.name)
		})
	}
}
