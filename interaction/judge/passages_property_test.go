package judge_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
)

// passedDraw is a small random survey of frogs and switches, as figures in inches (hollow mm,
// angles degrees); what is not in it was not read.
type passedDraw struct {
	wheels, frogs, switches []map[string]float64
	words                   map[string]string // type and direction, by feature
}

// drawnColumns are the columns with the values that are drawn of them, about where verdicts
// turn.
var drawnColumns = map[string][]map[string][2]float64{
	"wheels": {{"flange_height": {1, 1.5}, "flange_thickness": {.875, 1.375}, "vertical_flange": {.25, 1},
		"tread_hollow": {0, 4}, "back_to_back": {53, 53.5}}},
	"frogs": {{"number": {5, 15}, "gauge": {56.25, 57.25}, "flangeway_depth": {1.25, 1.875},
		"flangeway_width": {1.625, 2.125}, "guard_check": {54.25, 54.75},
		"tread_wear": {0, .25}, "point_worn_down": {0, .5}, "point_worn_back": {2, 8}}},
	"switches": {{"gauge": {56.25, 57.25}, "point_gap": {0, .1875}, "point_drop": {.25, .5},
		"point_thickness": {.125, .25}, "chip_depth": {.125, .75}, "chip_length": {1, 8}, "stock_rail_wear": {0, .25},
		"heel_rise": {.125, .25}}},
}

// of are the rows of a sheet.
func (d passedDraw) of(file string) []map[string]float64 {
	return map[string][]map[string]float64{"wheels": d.wheels, "frogs": d.frogs, "switches": d.switches}[file]
}

func drawPassed(r *rand.Rand) passedDraw {
	d := passedDraw{words: map[string]string{}}
	fill := func(from map[string][2]float64, steps float64) map[string]float64 {
		out := map[string]float64{}
		for _, c := range slices.Sorted(maps.Keys(from)) {
			if lo, hi := from[c][0], from[c][1]; r.IntN(12) > 0 {
				out[c] = lo + float64(r.IntN(int((hi-lo)*steps)+1))/steps
			}
		}
		if v, ok := out["number"]; ok {
			out["number"] = float64(int(v))
		}
		return out
	}
	for range 4 {
		d.wheels = append(d.wheels, fill(drawnColumns["wheels"][0], 16))
	}
	for i := 1; i < len(d.wheels); i += 2 { // one row of an axle has the back-to-back
		delete(d.wheels[i], "back_to_back")
	}
	for i := range 2 {
		d.frogs = append(d.frogs, fill(drawnColumns["frogs"][0], 16))
		d.switches = append(d.switches, fill(drawnColumns["switches"][0], 16))
		d.words[fmt.Sprint("F", i)] = []string{"", "rbm", "bolted", "solid", "self-guarded"}[r.IntN(5)]
	}
	return d
}

// sheets writes the survey; say writes a cell, and may write it otherwise than it was drawn.
func (d passedDraw) sheets(say func(file string, i int, column string, v float64) string, mirrored,
	turned bool) sheets {
	in := sheets{files: map[string]string{}}
	write := func(file string, list []map[string]float64, id func(i int) row) {
		var rows []row
		for i, cells := range list {
			r := id(i)
			for _, c := range slices.Sorted(maps.Keys(drawnColumns[file][0])) {
				r[c] = ""
				if v, ok := cells[c]; ok {
					r[c] = say(file, i, c, v)
				}
			}
			rows = append(rows, r)
		}
		if turned {
			slices.Reverse(rows)
		}
		in.files[file+".csv"] = sheet(rows...)
	}
	sides := []string{"L", "R"}
	if mirrored {
		slices.Reverse(sides)
	}
	write("wheels", d.wheels, func(i int) row {
		return row{"car": "FWR 1", "position": sides[i%2] + fmt.Sprint(i/2+1)}
	})
	write("frogs", d.frogs, func(i int) row {
		return row{"location": "yard", "frog": fmt.Sprint("F", i), "type": d.words[fmt.Sprint("F", i)]}
	})
	write("switches", d.switches, func(i int) row {
		return row{"location": "yard", "switch": fmt.Sprint("S", i),
			"direction": "facing"}
	})
	return in
}

// asDrawn writes a cell in six decimals of an inch or as it is.
func asDrawn(_ string, _ int, column string, v float64) string {
	switch column {
	case "number":
		return fmt.Sprint(v)
	case "tread_hollow":
		return fmt.Sprintf("%.2f", v)
	}
	return fmt.Sprintf("%.6f", v)
}

// worsePassage is which way wear moves a column, and by how much.
var worsePassage = map[string]float64{"flange_height": 1. / 16, "tread_hollow": .5, "flangeway_depth": -1. / 16,
	"guard_check": -1. / 16, "point_worn_down": 1. / 16, "point_gap": 1. / 16, "point_drop": 1. / 16,
	"chip_depth": 1. / 16, "stock_rail_wear": 1. / 16, "heel_rise": -1. / 32}

// Over random small surveys of frogs and switches: a cell that is removed, a reading that is
// a range or one-sided in place of a value, and more wear make nothing clear; mirrored sides,
// other units and another order of rows change no verdict.
func TestKnowingLessClearsNoPassage(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	j, worsened := newYardJudge(t, fixture.Data(t)), 0
	seeds := []uint64{22} // many pairs of these are clear by the plain rule and not by what is computed
	if fixture.Volume() {
		seeds = append(seeds, 2, 16, 29)
	}
	for _, seed := range seeds {
		r := rand.New(rand.NewPCG(seed, 1014))
		d := drawPassed(r)
		base := computedPairs(t, d.sheets(asDrawn, false, false))
		type spot struct {
			file   string
			i      int
			column string
		}
		var spots []spot
		for file := range drawnColumns {
			for i, cells := range d.of(file) {
				for c := range cells {
					spots = append(spots, spot{file, i, c})
				}
			}
		}
		slices.SortFunc(spots, func(a, b spot) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
		at := func(what spot, say func(v float64) string) sheets {
			return d.sheets(func(file string, i int, column string, v float64) string {
				if (spot{file, i, column}) == what {
					return say(v)
				}
				return asDrawn(file, i, column, v)
			}, false, false)
		}
		unit := func(column string) (string, float64) { // how a value is written, and a step of it
			if column == "tread_hollow" {
				return "%.2f", 1
			}
			return "%.6f", 1. / 16
		}
		// More of the hollow lifts the tread off the floor, and a higher flange meets a point better.
		helps := func(s spot, check string) bool {
			return s.column == "flange_height" && check == "point-climb" || s.column == "tread_hollow" &&
				(check == "frog-floor" || check == "frog-point") || s.column == "flange_height" && check == "point-pick"
		}
		j.next()
		read := d.sheets(asDrawn, false, false).read(t, j.data)
		whole := j.verdicts(read, everything)
		for _, what := range spots {
			f, by := unit(what.column)
			for _, written := range []struct {
				name string
				say  func(v float64) string
			}{
				{"removed", func(float64) string { return "" }},
				{"a range", func(v float64) string { return fmt.Sprintf(f+".."+f, max(0, v-by), v+by) }},
				{"at most", func(v float64) string { return fmt.Sprintf("<="+f, v+by) }},
				{"at least", func(v float64) string { return fmt.Sprintf(">="+f, max(0, v-by)) }},
				{"worn", func(v float64) string { return fmt.Sprintf(f, max(0, v+worsePassage[what.column])) }},
			} {
				name := written.name
				if name != "removed" && what.column == "number" || name == "worn" && worsePassage[what.column] == 0 ||
					name != "removed" && r.IntN(8) > 0 {
					continue
				}
				asked := openBefore(whole, onlyAt(what.file+".csv"))
				less := &findings{t: t, s: at(what, written.say).read(t, j.data)}
				if name != "worn" && !holds(read, less.s) {
					continue
				}
				for key, after := range j.verdicts(less.s, asked) {
					before, ok := whole[key]
					if !ok || name == "worn" && helps(what, after.check.ID) {
						continue
					}
					if after.Verdict == interaction.Clear && before.Verdict != interaction.Clear &&
						!meant(less.of(key), what.column) {
						t.Errorf("seed %d, %s: %v %s (%s): clear after %s", seed, key, what, name,
							written.say(d.of(what.file)[what.i][what.column]), before.Verdict)
					}
					if after.Verdict < before.Verdict {
						worsened++
					}
				}
			}
		}
		other := strings.NewReplacer(" L", " R", " R", " L")
		for _, v := range []struct {
			name string
			in   sheets
			key  func(string) string
		}{
			{"mirrored", d.sheets(asDrawn, true, false), other.Replace},
			{"in another order", d.sheets(asDrawn, false, true), func(s string) string { return s }},
		} {
			for key, after := range computedPairs(t, v.in) {
				if before := base[v.key(key)]; before != nil && before.Verdict != after.Verdict {
					t.Errorf("seed %d, %s %s: %s after %s", seed, key, v.name, after.Verdict, before.Verdict)
				}
			}
		}
	}
	if worsened == 0 {
		t.Error("no verdict got worse: the test tests nothing")
	}
}
