package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
)

// The harm of one place, reckoned by hand: 2 wheels × 250 passes a year on a floor that both strike, of a million 1, 10
// and 100 end in a repair of 2,000, 3,000 and 4,000; the same flange at a guard check that lets it reach the point
// costs 30,000, 60,000 and 90,000 at 10 mph, and grows with the speed up to 40.
func TestHarmByHand(t *testing.T) {
	for _, tt := range []struct {
		name, check, speed, class string
		depth, guard              string
		low, mid, high            float64
	}{
		{"a floor that is struck", "frog-floor", "25", "2", "7/8", "54-5/8", 500 * 1e-6 * 2000, 500 * 1e-5 * 3000,
			500 * 1e-4 * 4000},
		{"a point that is reached, at 10 mph", "frog-point", "10", "2", "1-7/8", "53-1/2", 500 * 1e-6 * 30000,
			500 * 1e-5 * 60000, 500 * 1e-4 * 90000},
		{"at 25 mph", "frog-point", "25", "2", "1-7/8", "53-1/2", 2.5 * 500 * 1e-6 * 30000,
			2.5 * 500 * 1e-5 * 60000, 2.5 * 500 * 1e-4 * 90000},
		{"a speed that is not given is the class's", "frog-point", "", "2", "1-7/8", "53-1/2", 2.5 * 500 * 1e-6 * 30000,
			2.5 * 500 * 1e-5 * 60000, 2.5 * 500 * 1e-4 * 90000},
		{"without a class the greatest", "frog-point", "", "", "1-7/8", "53-1/2", 4 * 500 * 1e-6 * 30000,
			4 * 500 * 1e-5 * 60000, 4 * 500 * 1e-4 * 90000},
		{"not measured: nothing is sure, and it may be all", "frog-floor", "25", "2", "", "54-5/8", 0,
			500 * 1e-5 * 3000,
			500 * 1e-4 * 4000},
		{"clear", "frog-floor", "25", "2", "1-7/8", "54-5/8", 0, 0, 0},
	} {
		wheel := []string{"1.125", "1.25", "0.5", "53.25"}
		sv := files{"frogs.csv": {{"location", "frog", "speed_mph", "track_class", "flangeway_depth", "guard_check"},
			{"yard", "F1", tt.speed, tt.class, tt.depth, tt.guard}},
			"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "back_to_back"},
				append([]string{"A 1", "L1"}, wheel...), append([]string{"A 1", "R1"}, wheel...)}}.write(t,
			"schema: 1\ntraffic: {working_days: 250}\n")
		r := ranked(t, sv, interaction.Options{Check: tt.check})["yard"]
		for _, x := range [][2]float64{{r.Harm.Low, tt.low}, {r.Harm.Mid, tt.mid}, {r.Harm.High, tt.high}} {
			if math.Abs(x[0]-x[1]) > 1e-6 {
				t.Errorf("%s: harm %+v, want %g, %g, %g: %s", tt.name, r.Harm, tt.low, tt.mid, tt.high, r.Reason)
				break
			}
		}
		if silent := tt.high == 0; silent == strings.Contains(r.Reason, "harm") || silent != (r.FirstPercent == 0) {
			t.Errorf("%s: first in %g percent: %s", tt.name, r.FirstPercent, r.Reason)
		}
	}
}

// A log by hand: 500 passes a year of which ten in a million end in an accident let 0.025 be expected in five years.
// The chance weighs as one accident, so two of them make the harm (1+2)/(1+0.025) times as large, and none 1/1.025. A
// place that the log does not name stays as it is, and what is clear has no harm to multiply.
func TestOwnLogWeighsHarm(t *testing.T) {
	for _, tt := range []struct {
		incidents, depth, says string
		factor                 float64
	}{
		{"{years: 5, at: {yard: 2}}", "7/8", "2 accidents in 5 years by the railroad's own log: times 2.9", 3 / 1.025},
		{"{years: 5, at: {yard: 0}}", "7/8", "no accident in 5 years by the railroad's own log: times 1.0", 1 / 1.025},
		{"{years: 1}", "7/8", "", 1},
		{"{years: 1, at: {yard: 1}}", "1-7/8", "1 accident in 1 year by the railroad's own log, which nothing", 0},
	} {
		wheel := []string{"1.125", "1.25", "0.5", "53.25"}
		sv := files{"frogs.csv": {{"location", "frog", "speed_mph", "track_class", "flangeway_depth", "guard_check"},
			{"yard", "F1", "25", "2", tt.depth, "54-5/8"}},
			"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "vertical_flange", "back_to_back"},
				append([]string{"A 1", "L1"}, wheel...), append([]string{"A 1", "R1"}, wheel...)}}.write(t,
			"schema: 1\ntraffic: {working_days: 250}\nincidents: "+tt.incidents+"\n")
		r := ranked(t, sv, interaction.Options{Check: "frog-floor"})["yard"]
		if want := tt.factor * 500 * 1e-5 * 3000; math.Abs(r.Harm.Mid-want) > 1e-6 {
			t.Errorf("incidents %s: harm %g, want %g", tt.incidents, r.Harm.Mid, want)
		}
		if tt.says == "" && r.Logged != nil || !strings.Contains(r.Reason, tt.says) {
			t.Errorf("incidents %s: %q does not say %q", tt.incidents, r.Reason, tt.says)
		}
	}
}

// How often each place is the first adds up to all draws, is drawn alike each time, and leans to the one with more
// passes; of two that are alike in kind the one with twice the passes is always the first.
func TestFirstInDraws(t *testing.T) {
	wheel := func(car string) [][]string {
		return [][]string{{car, "L1", "1-1/2", "1.25", "53.25"}, {car, "R1", "1-1/2", "1.25", "53.25"}}
	}
	head := []string{"location", "frog", "flangeway_depth", "guard_check"}
	f := files{"frogs.csv": {head, {"a floor", "F1", "7/8", "54-5/8"}, {"b floors", "F2", "7/8", "54-5/8"},
		{"b floors", "F3", "7/8", "54-5/8"}},
		"wheels.csv": append([][]string{{"car", "position", "flange_height", "flange_thickness", "back_to_back"}},
			wheel("A 1")...)}
	got := ranked(t, f.write(t, "schema: 1\n"), interaction.Options{Check: "frog-floor"})
	if a, b := got["a floor"], got["b floors"]; a.FirstPercent != 0 || b.FirstPercent != 100 || b.Rank != 1 {
		t.Errorf("first in %g and %g percent: %s; %s", a.FirstPercent, b.FirstPercent, a.Text(), b.Text())
	}
	f["frogs.csv"] = append(f["frogs.csv"], []string{"c point", "F4", "1-7/8", "53-1/2"})
	sv := f.write(t, "schema: 1\n")
	got = ranked(t, sv, interaction.Options{})
	sum := 0.0
	for name, r := range got {
		sum += r.FirstPercent
		if again := ranked(t, sv, interaction.Options{})[name]; again.FirstPercent != r.FirstPercent ||
			again.Harm != r.Harm {
			t.Errorf("%s: drawn twice, %g and %g percent", name, r.FirstPercent, again.FirstPercent)
		}
	}
	if math.Abs(sum-100) > 0.5 {
		t.Errorf("the places are first in %g percent together", sum)
	}
	if c := got["c point"]; c.Rank != 1 || c.FirstPercent < 50 || !strings.Contains(c.Reason, " % of 1,000 draws") {
		t.Errorf("%s", c.Text())
	}
}

// Whoever knows less, or has deeper hollow, never has less harm in the middle or at the most of its range, at any place
// or wheel; a range stands in order.
func TestLessKnowledgeIsNotLessHarm(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	columns := map[string][]string{"wheels.csv": {"flange_height", "flange_thickness", "back_to_back"},
		"frogs.csv": {"flangeway_depth", "flangeway_width", "guard_check", "guard_face", "guard_flangeway", "gauge"}}
	changed, worse := 0, 0
	for seed := range fixture.Drawn(3, 12) {
		r := roller{rand.New(rand.NewPCG(47, seed))}
		f := r.survey(3, 2, 6, 0.05)
		before := ranked(t, f.write(t, plainRailroad), interaction.Options{})
		for range 12 {
			name := []string{"wheels.csv", "frogs.csv"}[r.IntN(2)]
			rows := f[name]
			if len(rows) < 2 {
				continue
			}
			g := f.clone()
			row, column := 1+r.IntN(len(rows)-1), columns[name][r.IntN(len(columns[name]))]
			what := fmt.Sprintf("%s %v: %s not read", name, rows[row][:2], column)
			if hollow := slices.Index(rows[0], "tread_hollow"); name == "wheels.csv" && r.IntN(4) == 0 {
				g[name][row][hollow], what = "6", fmt.Sprintf("%s %v: hollow", name, rows[row][:2])
			} else {
				g[name][row][slices.Index(rows[0], column)] = ""
			}
			after := ranked(t, g.write(t, plainRailroad), interaction.Options{})
			changed++
			for place, a := range before {
				b := after[place]
				if b.Harm.Mid < a.Harm.Mid-1e-9 || b.Harm.High < a.Harm.High-1e-9 {
					t.Errorf("seed %d, %s: harm %+v at %s, before %+v\n%s\n%s", seed, what, b.Harm, place, a.Harm,
						a.Reason,
						b.Reason)
				}
				if b.Harm.Low > b.Harm.Mid || b.Harm.Mid > b.Harm.High {
					t.Errorf("seed %d, %s: %s: %+v is no range", seed, what, place, b.Harm)
				}
				if b.Harm.Mid > a.Harm.Mid+1e-9 {
					worse++
				}
			}
		}
	}
	if changed == 0 || worse == 0 {
		t.Errorf("%d changes, %d of them told", changed, worse)
	}
}
