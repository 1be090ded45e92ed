package plan

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/track"
)

// Ranked is a feature as the roadmaster weighs it: what is wrong there, how often it is met, and what the plan's work
// there ends for its money.
type Ranked struct {
	Rank, Of int // 1 ends most for the money
	Feature  *track.Feature
	Counts   [interaction.NumVerdicts]int // pairs, as the result counts them
	// Hits are the checks with conflicts, if there is none those with undecided pairs: the most severe first, then the
	// most often met.
	Hits   []Hit
	Passes float64  // expected conflicting passes a year there
	Works  []Action // of the plan there, those on track first, then the cars that are held
	Cents  int64    // of the works
	Ends   int      // pairs that come back, or become worse, without the works
	// EndsPasses are the expected conflicting passes a year of these pairs, EndsWeighed the same as they weigh in what
	// the plan minimises within limits, one of the worst severity as 1.
	EndsPasses, EndsWeighed float64
	CarWorks                []string // ids of works on wheels and of cars out of service that end pairs too; not paid
	Federal                 []Defect // readings beyond a federal limit, with what answers them
}

// Hit is a check at a feature with its pairs of the worst verdict there, and how often they are met a year.
type Hit struct {
	Check  *interaction.Check
	Pairs  int
	Passes float64
}

// Verdict is the worst of the pairs there; ok is false if there is none.
func (x *Ranked) Verdict() (v interaction.Verdict, ok bool) {
	if i := slices.IndexFunc(x.Counts[:], func(n int) bool { return n > 0 }); i >= 0 {
		return interaction.Verdict(i), true
	}
	return interaction.Clear, false
}

// PerThousand are the passes that the works end a year for a thousand of the currency: passes, and passes as they
// weigh. ok is false if they end nothing or cost nothing.
func (x *Ranked) PerThousand() (passes, weighed float64, ok bool) {
	if x.EndsPasses <= 0 || x.Cents <= 0 {
		return 0, 0, false
	}
	thousands := float64(x.Cents) / 100_000
	return x.EndsPasses / thousands, x.EndsWeighed / thousands, true
}

// Ranked lists the features of some kinds, of all if none is named, by what the plan's work there ends for the money,
// as passes weigh in what the plan minimises; then those without such work as places are ranked: conflict, beyond a
// federal limit, undecided, not measured, clear. The result is of the engine that the plan was made for, so both
// count the same pairs.
func (p *Plan) Ranked(r *judge.Result, kinds ...track.Kind) []Ranked {
	m := p.model
	ranks := &ranking{p: p, weights: m.weights(cmp.Or(p.Options.By, ByHarm)), at: map[string]int{}}
	if ranks.chances = m.chances; ranks.chances == nil {
		ranks.chances = newChances(m)
	}
	for pi := range m.places {
		if f := m.places[pi].f; len(kinds) == 0 || slices.Contains(kinds, f.Kind) {
			ranks.at[f.Name()] = len(ranks.list)
			ranks.list = append(ranks.list, Ranked{Feature: f})
		}
	}
	ranks.judged(r, ranks.met())
	ranks.works()
	list := ranks.list
	slices.SortStableFunc(list, func(a, b Ranked) int {
		return cmp.Or(cmp.Compare(b.worth(), a.worth()), cmp.Compare(a.grade(), b.grade()),
			cmp.Compare(a.severity(), b.severity()), cmp.Compare(b.Passes, a.Passes))
	})
	for i := range list {
		list[i].Rank, list[i].Of = i+1, len(list)
	}
	return list
}

// ranking collects what a list of features says.
type ranking struct {
	p       *Plan
	list    []Ranked
	at      map[string]int // by name
	chances *chances
	weights []float64 // by check
}

// met counts how often the conflicts are met, and by check of each feature.
func (k *ranking) met() map[[2]string]float64 {
	m, met := k.p.model, map[[2]string]float64{}
	m.each(func(car *carModel, a *axleModel, side int, p *placeModel, check int, v interaction.Verdict) {
		i, ok := k.at[p.f.Name()]
		if !ok || v != interaction.Conflict && v != interaction.Undecided {
			return
		}
		passes := m.exposure.Trips(car.car) * k.chances.perTrip(v, check, a.index[side], p)
		k.list[i].Passes += passes
		met[[2]string{p.f.Name(), m.trial.Checks[p.checks[check]].ID}] += passes
	})
	return met
}

// judged counts the pairs, finds the checks that hit and the readings beyond a federal limit.
func (k *ranking) judged(r *judge.Result, met map[[2]string]float64) {
	for i := range r.Tallies {
		t := &r.Tallies[i]
		at, ok := k.at[t.Feature.Name()]
		if !ok {
			continue
		}
		x := &k.list[at]
		for v, n := range t.Counts {
			x.Counts[v] += n
		}
	}
	for i := range r.Tallies {
		t := &r.Tallies[i]
		at, ok := k.at[t.Feature.Name()]
		if !ok {
			continue
		}
		x := &k.list[at]
		if v, _ := x.Verdict(); v <= interaction.Undecided && t.Counts[v] > 0 {
			x.Hits = append(x.Hits, Hit{t.Check, t.Counts[v], met[[2]string{t.Feature.Name(), t.Check.ID}]})
		}
	}
	for i := range k.list {
		slices.SortStableFunc(k.list[i].Hits, func(a, b Hit) int {
			return cmp.Or(cmp.Compare(a.Check.Severity, b.Check.Severity), cmp.Compare(b.Passes, a.Passes))
		})
	}
	for _, d := range k.p.Federal {
		if at, ok := k.at[d.Where]; ok {
			k.list[at].Federal = append(k.list[at].Federal, d)
		}
	}
}

// works adds what the plan does at each feature, and what that ends. The cars behind a measured sample are not held, so
// a hold ends the passes of the car itself alone.
func (k *ranking) works() {
	m := k.p.model
	type ended struct{ track, held map[pairAt]bool }
	ends := make([]ended, len(k.list))
	for i := range ends {
		ends[i] = ended{map[pairAt]bool{}, map[pairAt]bool{}}
	}
	for _, a := range k.p.Actions {
		if at, ok := k.at[cmp.Or(a.At, a.Where)]; ok {
			x := &k.list[at]
			x.Works, x.Cents = append(x.Works, a), x.Cents+a.Cents
			for _, pair := range a.pairs {
				switch {
				case a.Effect == Reads:
				case a.Side == Track:
					ends[at].track[pair] = true
				default:
					ends[at].held[pair] = true
				}
			}
			continue
		}
		for _, pair := range a.pairs {
			at, ok := k.at[m.places[pair.place].f.Name()]
			if list := k.list; ok && a.Effect != Reads && !slices.Contains(list[at].CarWorks, a.ID) {
				list[at].CarWorks = append(list[at].CarWorks, a.ID)
			}
		}
	}
	for i := range k.list {
		for _, pair := range sortedPairs(ends[i].track) {
			k.list[i].end(k, pair, m.exposure.Trips(m.cars[pair.car].car))
		}
		for _, pair := range sortedPairs(ends[i].held) {
			if !ends[i].track[pair] {
				k.list[i].end(k, pair, m.exposure.Own(m.cars[pair.car].car))
			}
		}
	}
}

// sortedPairs are pairs in one order, so that sums of theirs are the same in every run.
func sortedPairs(set map[pairAt]bool) []pairAt {
	return slices.SortedFunc(maps.Keys(set), func(a, b pairAt) int {
		return cmp.Or(cmp.Compare(a.place, b.place), cmp.Compare(a.check, b.check), cmp.Compare(a.wheel, b.wheel))
	})
}

// end counts a pair that the works end. One that only would become worse is met no less often afterwards.
func (x *Ranked) end(k *ranking, pair pairAt, trips float64) {
	m := k.p.model
	place := &m.places[pair.place]
	x.Ends++
	v := place.before[pair.check][pair.wheel]
	if !m.treats(v) {
		return
	}
	passes := trips * k.chances.perTrip(v, pair.check, pair.wheel, place)
	x.EndsPasses += passes
	x.EndsWeighed += passes * k.weights[place.checks[pair.check]]
}

// worth is what the works end for the money, as passes weigh; free works are worth most.
func (x *Ranked) worth() float64 {
	switch _, weighed, ok := x.PerThousand(); {
	case ok:
		return weighed
	case x.EndsPasses > 0:
		return math.Inf(1)
	}
	return 0
}

func (x *Ranked) grade() grade { return gradeOf(x.Counts, len(x.Federal)) }

func (x *Ranked) severity() interaction.Severity {
	if len(x.Hits) == 0 {
		return interaction.Marginal + 1
	}
	return x.Hits[0].Check.Severity
}
