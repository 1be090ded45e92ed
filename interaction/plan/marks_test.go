package plan

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/track"
	"flangeway/wheel"
)

// marked adds what was seen to the sheets.
func (r roller) marked(f files) files {
	out := f.clone()
	words := map[string][]string{"wheels.csv": wheel.Marks()}
	for k := range track.NumKinds {
		words[k.File()] = k.Marks()
	}
	for _, name := range slices.Sorted(maps.Keys(out)) { // a seed draws the same marks each time
		rows := out[name]
		if words[name] == nil {
			continue
		}
		for i := range rows {
			cell := "marks"
			if i > 0 {
				cell = []string{"", "", "none", words[name][r.IntN(len(words[name]))]}[r.IntN(4)]
				if name == track.Frog.File() && r.IntN(2) == 0 {
					cell = "floor_bright"
				}
			}
			rows[i] = append(rows[i], cell)
		}
	}
	return out
}

// TestWorkTakesMarksAway: a frog that is made deeper is no longer bright on its floor, and is still climbed on its
// wing.
func TestWorkTakesMarksAway(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	f := files{"wheels.csv": {{"car", "position", "flange_height", "flange_thickness", "tread_hollow", "back_to_back"},
		{"CAR 0", "L1", "1-7/16", "1-1/8", "0.5", "53-3/8"}, {"CAR 0", "R1", "1-1/16", "1-1/8", "0.5", ""}},
		"frogs.csv": {{"location", "frog", "number", "type", "gauge", "flangeway_depth", "flangeway_width",
			"guard_check",
			"guard_face", "guard_flangeway", "marks"},
			{"lead", "F1", "8", "rbm", "56-1/2", "1-1/4", "1-7/8", "54-5/8", "52-3/4", "1-7/8",
				"wing_climbed floor_bright"}}}
	for _, level := range []string{LevelConflict, LevelUndecided} {
		sv := f.write(t, plainRailroad)
		p, err := Make(engine(t, sv, true), Options{Level: level, TrackOnly: true})
		if err != nil {
			t.Fatal(err)
		}
		recheck(t, f, plainRailroad, sv, p, true)
		var sets []string
		for _, a := range p.Actions {
			if a.Effect == Sets {
				sets = append(sets, a.Sets["marks"])
			}
		}
		if len(sets) != 1 || sets[0] != "wing_climbed" {
			t.Errorf("level %s: the works leave the marks %q", level, sets)
		}
		for _, o := range p.Orders() {
			for _, i := range o.Items {
				if strings.Contains(strings.Join(i.Final, " "), "marks") {
					t.Errorf("an order asks for marks: %v", i.Final)
				}
			}
		}
	}
}

// TestCarriedOutPlanHoldsMarked: marks change nothing of the promise of TestCarriedOutPlanHolds. What a work takes away
// with the readings that it sets is gone from the sheets too, and the rest still tells against what it told against.
func TestCarriedOutPlanHoldsMarked(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	told, reads := 0, 0
	for seed := range fixture.Drawn(1, 5) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r := roller{rand.New(rand.NewPCG(47, seed))}
			f := r.shaped(int(fixture.Drawn(1, 2)), int(fixture.Drawn(4, 6)))
			delete(f, "curves.csv")
			f = r.marked(f)
			sv := f.write(t, plainRailroad)
			e := engine(t, sv, true)
			p, err := Make(e, Options{Level: []string{LevelUndecided, LevelConflict}[seed%2]})
			if err != nil {
				t.Fatal(err)
			}
			recheck(t, f, plainRailroad, sv, p, true)
			for _, fe := range sv.Track.Features {
				for k := range interaction.Checks() {
					for w := range sv.Fleet.Wheels {
						if e.Against(fe, k, w) {
							told++
						}
					}
				}
			}
			for _, a := range p.Actions {
				if strings.Contains(a.What, "what was seen") {
					reads++
				}
			}
			if next := p.MeasureNext(); len(next) == 0 && p.Undecided.Before > 0 {
				t.Error("undecided pairs, and nothing to measure next")
			}
		})
	}
	if told == 0 || reads == 0 {
		t.Errorf("%d pairs were told against, %d readings are to be taken again", told, reads)
	}
}
