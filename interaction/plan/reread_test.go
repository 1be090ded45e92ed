package plan

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// doubtful is a survey in which a flange lower than any wears meets a point that a new
// wheel clears, and a frog whose gauge, guard check and guard flangeway cannot all be so.
func doubtful() files {
	return files{
		"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "back_to_back", "rim_thickness"},
			{"A 1", "L1", "3/4", "1-1/8", "53-3/8", "1-1/2"}, {"A 1", "R1", "1", "1-1/8", "", "1-1/2"},
			{"A 2", "L1", "1-3/8", "1-3/8", "53-3/8", "1-1/2"}, {"A 2", "R1", "1", "1-1/8", "", "1-1/2"}},
		"switches.csv": {{"location", "switch", "point_drop", "chip_depth"}, {"yard", "S1", "5/8", "none"}},
		"frogs.csv": {{"location", "frog", "gauge", "guard_check", "guard_flangeway", "flangeway_depth"},
			{"yard", "F1", "56-1/2", "54-5/8", "1", "1-1/4"}},
	}
}

// Where the only reading against a pair is under a warning, the plan says to read it again
// and neither holds, turns nor moves anything by it; the pair is counted as left.
func TestReadAgainFirst(t *testing.T) {
	f := doubtful()
	sv := f.write(t, plainRailroad)
	p, err := Make(plain(t, sv), Options{})
	if err != nil {
		t.Fatal(err)
	}
	recheck(t, f, plainRailroad, sv, p, false)
	reads := map[string][]string{}
	for _, a := range p.Actions {
		if a.Effect != Reads {
			for _, why := range p.Because(a) {
				if strings.HasPrefix(why, "guard-flangeway") {
					t.Errorf("%s %s: because %s, which rests on readings under a warning", a.Where, a.What, why)
				}
			}
			continue
		}
		reads[a.Where] = a.Reads
		if a.Removes != 0 || a.Rests == 0 || a.Cents != 2500 || !strings.HasPrefix(a.What, "READ AGAIN FIRST") {
			t.Errorf("%s: %q, removes %d, %d rest on it, %d cents", a.Where, a.What, a.Removes, a.Rests, a.Cents)
		}
	}
	if want := []string{"gauge", "guard_check", "guard_flangeway"}; !slices.Equal(reads["frog/F1"], want) {
		t.Errorf("frog/F1 is read again for %v, want %v", reads["frog/F1"], want)
	}
	if want := []string{"flange_height"}; !slices.Equal(reads["wheel/A 1 L1"], want) {
		t.Errorf("A 1 L1 is read again for %v, want %v", reads["wheel/A 1 L1"], want)
	}
	if p.InDoubt == 0 || p.Conflict.After != p.InDoubt {
		t.Errorf("%d conflicts left, %d of them to be read again", p.Conflict.After, p.InDoubt)
	}
	if last := p.Curve[len(p.Curve)-1]; last.Conflicts != p.Conflict.After || last.Cents != p.Cents {
		t.Errorf("the cost curve ends at %+v, the plan costs %d and leaves %d", last, p.Cents, p.Conflict.After)
	}
	// The cells stand in the orders: those of the track in the inspector's, those of the
	// wheel in the car department's sheet.
	var words []string
	for _, o := range p.Orders() {
		for _, i := range o.Items {
			words = append(words, o.Crew+": "+i.What)
		}
	}
	for _, l := range p.CarSheet() {
		words = append(words, "cars: "+l.Car+" "+l.Position+" "+l.Do)
	}
	for _, want := range []string{"inspection: READ AGAIN FIRST (under a warning): gauge 56-1/2 (frogs.csv:2:9)",
		"cars: A 1 L1 READ AGAIN FIRST (under a warning): flange_height 3/4 (wheels.csv:2:8)"} {
		if !slices.ContainsFunc(words, func(s string) bool { return strings.HasPrefix(s, want) }) {
			t.Errorf("no order begins %q: %q", want, words)
		}
	}
}

// What the readings cost is money of the budget, and sides that do nothing read nothing.
func TestReadAgainKeepsToTheLimits(t *testing.T) {
	sv := doubtful().write(t, plainRailroad)
	for _, tt := range []struct {
		name  string
		opt   Options
		cents int64 // of the readings
	}{
		{"both fit", Options{Budget: new(int64)}, 0},
		{"one fits, what most pairs rest on", Options{Budget: cents(2500)}, 2500},
		{"both fit exactly", Options{Budget: cents(5000)}, 5000},
		{"the track alone", Options{TrackOnly: true}, 2500},
		{"the cars alone", Options{CarsOnly: true}, 2500},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, err := Make(plain(t, sv), tt.opt)
			if err != nil {
				t.Fatal(err)
			}
			sum := int64(0)
			for _, a := range p.Actions {
				if a.Effect == Reads {
					sum += a.Cents
				}
			}
			most := int64(math.MaxInt64)
			if tt.opt.Budget != nil {
				most = *tt.opt.Budget
			}
			if sum != tt.cents || p.Cents > most || p.Bound > p.Cents {
				t.Errorf("readings for %d, want %d; the plan costs %d within %d, at least %d", sum, tt.cents, p.Cents,
					most, p.Bound)
			}
		})
	}
}

func cents(v int64) *int64 { return &v }

// Once what is under a warning was read again and is well, nothing is left to do there.
func TestReadAgainAndWell(t *testing.T) {
	f := doubtful()
	f.set(t, "wheels.csv", []string{"A 1", "L1"}, "flange_height", "1")
	f.set(t, "frogs.csv", []string{"yard", "F1"}, "guard_flangeway", "1-7/8")
	p, err := Make(plain(t, f.write(t, plainRailroad)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range p.Actions {
		if a.Effect == Reads {
			t.Errorf("%s: %s", a.Where, a.What)
		}
	}
	if p.Conflict.After != 0 {
		t.Errorf("%d conflicts left", p.Conflict.After)
	}
}
