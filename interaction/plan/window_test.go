package plan

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// atCorner is the actions of a plan with every reading at an end of its window, or now and then where the order asks
// for it.
func atCorner(r *rand.Rand, actions []Action) []Action {
	picked := map[string]string{}
	var out []Action
	for _, a := range actions {
		sets := map[string]string{}
		for _, column := range a.Columns() {
			sets[column] = a.Sets[column]
			w, ok := a.Window[column]
			if !ok {
				continue
			}
			key := a.Where + column
			if strings.HasPrefix(column, "back_to_back") { // of the axle
				key = strings.TrimRight(strings.NewReplacer(" L", " ", " R", " ").Replace(a.Where), "LR") + column
			}
			if picked[key] == "" {
				picked[key] = []string{w.Least, w.Most, a.Sets[column]}[min(r.IntN(5)/2, 2)]
			}
			sets[column] = picked[key]
		}
		a.Sets = sets
		out = append(out, a)
	}
	return out
}

// holdsAt carries a plan out at corners of its windows and judges the survey again: what the plan removes is gone, no
// pair is worse and no regulation is broken. It returns how many readings it moved.
func holdsAt(t *testing.T, r *rand.Rand, f files, railroad string, sv *survey.Survey, p *Plan,
	computed bool) (moved int) {
	t.Helper()
	before, doubted := verdictsAndDoubts(t, engine(t, sv, computed))
	actions := atCorner(r, p.Actions)
	out, held, closed := carry(t, f, sv, actions)
	carried := out.write(t, railroad)
	after, still := verdictsAndDoubts(t, engine(t, carried, computed))
	lawAfter(t, p, carried, held, closed)
	for key, v := range before {
		parts := strings.Split(key, " | ")
		car, _, _ := strings.Cut(parts[2], " at ")
		if held[parts[2]] || held[car+" at "] || closed[parts[3]] {
			continue
		}
		w := after[key]
		if p.leaves(key, v, w) && !(doubted[key] && still[key]) || w < v {
			t.Errorf("%s was %s and is %s within the windows", key, v, w)
		}
	}
	for i, a := range actions {
		for column, v := range a.Sets {
			if v != p.Actions[i].Sets[column] {
				moved++
			}
		}
	}
	if t.Failed() {
		for i, a := range actions {
			t.Logf("%s %s: %s; ordered %s, left %s; %v", a.ID, a.Where, a.What, p.Actions[i].SetsText(), a.SetsText(),
				a.Window)
		}
		for name, rows := range f {
			t.Log(name, rows)
		}
	}
	return moved
}

// Whoever works within the windows of his order keeps every promise of the plan.
func TestPlanHoldsInItsWindows(t *testing.T) {
	t.Parallel()
	moved := 0
	for seed := range fixture.Drawn(8, 60) {
		r := roller{rand.New(rand.NewPCG(61, seed))}
		railroad := plainRailroad
		if seed%2 == 1 {
			railroad += fmt.Sprintf("date: 2026-10-31\ntrack_class: %d\nspeed_mph: 10\n", 1+seed%4)
		}
		if seed%8 == 4 {
			railroad += "reading_error: {flange_height: \"0\", flangeway_depth: \"0\", gauge: 1/64}\n"
		}
		f := r.survey(3+r.IntN(3), 2, 5+r.IntN(6), 0.1)
		sv := f.write(t, railroad)
		p, err := Make(plain(t, sv), Options{Level: []string{LevelConflict, LevelUndecided}[seed%3/2], NoCurve: true})
		if err != nil {
			t.Fatal(err)
		}
		for range 4 {
			moved += holdsAt(t, r.Rand, f, railroad, sv, p, false)
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if moved < 100 {
		t.Errorf("only %d readings were moved", moved)
	}
}

// The same by the verdicts that shapes and forces give.
func TestPlanHoldsInItsWindowsComputed(t *testing.T) {
	if !fixture.Volume() {
		t.Skip("slow arithmetic: in the volume run")
	}
	t.Parallel()
	moved := 0
	for seed := uint64(1); seed < 6 && moved == 0; seed++ { // to the first that has works
		r := roller{rand.New(rand.NewPCG(71, seed))}
		f := r.shaped(2, 3)
		sv := f.write(t, plainRailroad)
		p, err := Make(engine(t, sv, true), Options{Level: LevelConflict, NoCurve: true})
		if err != nil {
			t.Fatal(err)
		}
		moved += holdsAt(t, r.Rand, f, plainRailroad, sv, p, true)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if moved == 0 {
		t.Error("no reading was moved")
	}
}
