package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
)

// byHand is a small survey of which the cheapest plan is found a second way: the works on each place are written down
// by the test from the cells of its row, each is carried out by WhatIf and judged from the beginning, and every choice
// of one for each place is tried. Cars are held or returned, and nothing is done on their axles.
type byHand struct {
	files
	price  map[string]int64 // by work, whole units; those of holds and of closing too
	engine func(t testing.TB, sv *survey.Survey) *judge.Engine
	level  string
	works  func(row map[string]string) []worked // of a place, beside leaving it and closing it
	// feet are the lengths of places that are given, and perFoot the works that are priced by them, over 39 ft.
	feet    map[string]int
	perFoot []string
}

// only judges by one check, by the plain rule.
func only(check string) func(t testing.TB, sv *survey.Survey) *judge.Engine {
	return func(t testing.TB, sv *survey.Survey) *judge.Engine {
		t.Helper()
		book, err := sv.Book()
		if err != nil {
			t.Fatal(err)
		}
		return judge.New(sv, book, interaction.Options{Check: check})
	}
}

// worked is works on a place at once, and what the row reads after them.
type worked struct {
	names []string
	to    map[string]string
}

// survey writes the survey: prices are those of one year, and works end where their orders say.
func (b *byHand) survey(t testing.TB) *survey.Survey {
	t.Helper()
	var costs []string
	for name, v := range b.price {
		costs = append(costs, fmt.Sprintf("%s: %d", name, v))
	}
	if b.price["wheelset_change"] == 0 {
		costs = append(costs, "wheelset_change: 900000")
	}
	slices.Sort(costs)
	var lengths []string
	for place, v := range b.feet {
		lengths = append(lengths, fmt.Sprintf("%s: %d", place, v))
	}
	slices.Sort(lengths)
	costs = append(costs, "lengths: {"+strings.Join(lengths, ", ")+"}")
	return b.write(t, plainRailroad+"settings: {work_tolerance: 0}\ncosts: {horizon_years: 1, "+
		strings.Join(costs, ", ")+"}\n")
}

// compare makes the plan and compares its cost with that of trying everything.
func (b *byHand) compare(t testing.TB, seed uint64) *Plan {
	t.Helper()
	sv := b.survey(t)
	want := b.least(t, sv)
	p, err := Make(b.engine(t, sv), Options{Level: b.level, IgnoreLimits: true})
	if err != nil {
		t.Fatal(err)
	}
	if p.Cents != want || p.Bound != want {
		t.Errorf("seed %d: cost %d, bound %d, by trying everything %d", seed, p.Cents, p.Bound, want)
		for _, a := range p.Actions {
			t.Log(a.Where, a.What, a.At, a.Cents)
		}
	}
	return p
}

// least is the least cost of all choices.
func (b *byHand) least(t testing.TB, sv *survey.Survey) int64 {
	t.Helper()
	before := verdicts(t, b.engine(t, sv))
	owner := map[string]string{}
	for _, row := range b.files["cars.csv"][1:] {
		owner[row[0]] = row[slices.Index(b.files["cars.csv"][0], "owner")]
	}
	// left are the cars of which pairs of a place are left.
	left := func(edits []string, place string) (cars []string) {
		edited := sv
		if len(edits) > 0 {
			var err error
			if edited, _, err = WhatIf(sv, edits); err != nil {
				t.Fatal(err)
			}
		}
		after := verdicts(t, b.engine(t, edited))
		for key, was := range before {
			parts := strings.Split(key, " | ")
			car, at, _ := strings.Cut(parts[2], " at ")
			v, met := after[key]
			treated := was == interaction.Conflict || was == interaction.Undecided && b.level == LevelUndecided
			if at == place && met && (v < was || treated && v != interaction.Clear) {
				cars = append(cars, car)
			}
		}
		slices.Sort(cars)
		return slices.Compact(cars)
	}
	type way struct {
		cents int64
		cars  []string // that are left
	}
	var ways [][]way // by place
	for _, p := range sv.Track.Features {
		at := []way{{100 * b.price["place_close"], nil}, {0, left(nil, p.Name())}}
		sheet := b.files[p.Kind.File()]
		for _, cells := range sheet[1:] {
			if cells[1] != p.ID {
				continue
			}
			row := map[string]string{}
			for i, h := range sheet[0] {
				row[h] = cells[i]
			}
			for _, w := range b.works(row) {
				edit, cents := p.Kind.String()+" "+p.ID, int64(0)
				for column, v := range w.to {
					edit += " " + column + "=" + v
				}
				for _, name := range w.names {
					price := 100 * b.price[name]
					if v, given := b.feet[p.Name()]; given && slices.Contains(b.perFoot, name) {
						price = 100 * ((b.price[name]*int64(v) + 38) / 39)
					}
					cents += price
				}
				at = append(at, way{cents, left([]string{edit}, p.Name())})
			}
		}
		ways = append(ways, at)
	}
	want := int64(-1)
	var try func(pi int, cents int64, returned []string)
	try = func(pi int, cents int64, returned []string) {
		if pi == len(ways) {
			if want < 0 || cents < want {
				want = cents
			}
			return
		}
		for _, w := range ways[pi] {
			cost, gone := w.cents, slices.Clone(returned)
			for _, car := range w.cars { // one of others is returned once, an own one kept off each place
				switch {
				case owner[car] == "own":
					cost += 100 * b.price["car_hold"]
				case !slices.Contains(gone, car):
					gone, cost = append(gone, car), cost+100*b.price["foreign_hold"]
				}
			}
			try(pi+1, cents+cost, gone)
		}
	}
	try(0, 0, nil)
	return want
}
