package plan

import (
	"math/rand/v2"
	"slices"
	"testing"

	"flangeway/internal/fixture"
)

// A rough plan asks only of the actions that a reading may make needless what comes back without them. What to measure
// next is the same if it asks of all.
func TestRoughPlanAsksEnough(t *testing.T) {
	t.Parallel()
	valued, spared := 0, 0
	for k := range fixture.Drawn(1, 5) {
		seed := k + 2 // the first of which a reading has a value
		r := roller{rand.New(rand.NewPCG(59, seed))}
		f := r.shaped(1, 3)
		// A frog that is deep enough or not, which its reading leaves open, is all that a wheel of another car waits
		// for.
		f["frogs.csv"] = append(f["frogs.csv"],
			[]string{"lead", "F", "8", "rbm", "56-1/2", "1-1/4..1-1/2", "1-7/8", "54-5/8",
				"52-7/8", "1-3/4", "none"})
		f["cars.csv"] = append(f["cars.csv"], []string{"CAR A", "freight", "own", "4", "263000"})
		f["wheels.csv"] = append(f["wheels.csv"],
			[]string{"CAR A", "L1", r.inches(20, 23, 0), "1-3/16", "1/2", "1-1/4", "0",
				"53-3/16"}, []string{"CAR A", "R1", "1-1/8", "1-3/16", "1/2", "1-1/4", "0", ""})
		p, err := Make(engine(t, f.write(t, plainRailroad+"costs: {car_hold: 90000, wheelset_swap: 90000, "+
			"wheelset_change: 90000, place_close: 90000}\n"), true), Options{Level: LevelUndecided, Rough: true,
			NoCurve: true, IgnoreLimits: true})
		if err != nil {
			t.Fatal(err)
		}
		got := p.MeasureNext()
		every := func(int, int) need { return everything }
		list := append(p.withouts(), p.model.whole(p.chosen()))
		if rows, trucks := p.model.unknown(every, list...); len(rows)+len(trucks) > 0 {
			spared++
		}
		p.model.ask(every, list...)
		p.model.opt.Rough = false // by all verdicts
		p.write()
		if want := p.MeasureNext(); !slices.Equal(got, want) {
			t.Errorf("seed %d: %+v, asked of all actions %+v", seed, got, want)
		}
		if got[0].Value > 0 {
			valued++
		}
	}
	if spared == 0 || valued == 0 {
		t.Errorf("the engine was spared something %d times, a reading has a value %d times", spared, valued)
	}
}
