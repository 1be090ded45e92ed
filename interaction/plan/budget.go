package plan

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// The weight of a pair is the conflicting passes a year that end when it is removed, weighed, in thousandths.
// weightScale is how many units of a network's price one of them is.
const (
	perPass     = 1000
	weightScale = 1024
)

// exactCandidates is up to how many offered actions a plan with a budget is searched to the end.
const exactCandidates = 40

// meet holds the passes that a car's option leaves at a place's option.
type meet struct {
	own  int64 // passes of the car itself, thousandths a year
	must bool  // a pair is worse than it was: the car has to be held
}

// spending chooses what removes most for limited money and days.
type spending struct {
	m     *model
	place [][]*placeOption
	opts  [][]carOption
	at    [][][]meet // car, place, option of the place times options of the car plus option of the car
	// place, option: passes of the pool that stand behind the sample, which only the track side ends
	rest     [][]int64
	cents    int64 // limits; noLimit if there is none
	days     int64
	frontier *frontier
	weight   []float64 // of a pass, by check
	// bounding has the joined combinations of axles too, below whose best no plan is; nil if none had to be joined.
	bounding *spending
	// least is the cheapest choice that answers what is beyond a regulation; nil if nothing is.
	least *outcome
}

const noLimit = int64(math.MaxInt64 / 8)

func newSpending(m *model) *spending { return newSpendingBy(m, cmp.Or(m.opt.By, ByHarm)) }

// newSpendingBy weighs passes in a way.
func newSpendingBy(m *model, by string) *spending {
	s := &spending{m: m, weight: m.weights(by), place: m.liveOptions(), cents: noLimit, days: noLimit}
	if m.opt.Budget != nil {
		s.cents = *m.opt.Budget - m.rereadCents
	}
	if m.opt.CrewDays != nil {
		s.days = *m.opt.CrewDays - m.rereadMillis
	}
	if m.chances == nil {
		m.chances = newChances(m)
	}
	ch := m.chances
	s.rest = make([][]int64, len(m.places))
	for pi := range m.places {
		s.rest[pi] = make([]int64, len(s.place[pi]))
	}
	all := make([][]carOption, len(m.cars))
	for ci := range m.cars {
		all[ci] = s.combinations(ch, &m.cars[ci])
	}
	real, some := unrelaxed(all)
	if some { // what no plan is below asks for the joined ones too
		b := *s
		b.takes(all)
		s.bounding = &b
	}
	s.takes(real)
	s.mustAnswer()
	return s
}

// combinations are the works on a car's axles, without those that another one is never worse than.
func (s *spending) combinations(ch *chances, c *carModel) []carOption {
	m := s.m
	at := s.starts(c)
	trips := make([][][2][]float64, len(m.places))
	for pi := range m.places {
		if c.meets[pi] {
			trips[pi] = m.tripWeights(ch, c, &m.places[pi], s.weight)
			for y, o := range s.place[pi] {
				pool := max(0, m.exposure.Trips(c.car)-m.exposure.Own(c.car)) * perPass
				s.rest[pi][y] += m.poolRest(c, &m.places[pi], o, trips[pi], pool)
			}
		}
	}
	list := m.combined(c, func(u unit, x *carOption) {
		x.left = make([]float64, at[len(m.places)])
		x.marks = make([]bitset, len(m.places))
		for pi := range m.places {
			x.marks[pi] = newBitset(len(s.place[pi]))
			if !c.meets[pi] {
				continue
			}
			for y, o := range s.place[pi] {
				m.eachMarked(c, &m.places[pi], o, func(k int) int { return x.levels[k] },
					func(axle, side, check int, bad, worse bool) {
						if !slices.Contains(u, axle) {
							return
						}
						if bad {
							x.left[at[pi]+y] += trips[pi][axle][side][check]
						}
						if worse {
							x.marks[pi].set(y)
						}
					})
			}
		}
	})
	nothing := func(x *carOption) {
		x.left, x.marks = make([]float64, at[len(m.places)]), make([]bitset, len(m.places))
		for pi := range m.places {
			x.marks[pi] = newBitset(len(s.place[pi]))
		}
	}
	list = m.withBars(c, list, func(x *carOption, pi int) bool {
		return !x.marks[pi].empty() || slices.ContainsFunc(x.left[at[pi]:at[pi+1]],
			func(v float64) bool { return v > 0 })
	}, func(x *carOption, pi int) {
		x.marks[pi].clear()
		for i := at[pi]; i < at[pi+1]; i++ {
			x.left[i] = 0
		}
	}, nothing)
	return m.withOut(c, list, nothing)
}

// starts is where the options of each place begin among all that a car meets; the last is how many there are.
func (s *spending) starts(c *carModel) []int {
	at := make([]int, len(s.place)+1)
	for pi := range s.place {
		at[pi+1] = at[pi]
		if c.meets[pi] {
			at[pi+1] += len(s.place[pi])
		}
	}
	return at
}

// takes takes the options of the cars, with what each leaves.
func (s *spending) takes(cars [][]carOption) {
	m := s.m
	s.opts, s.at = cars, nil
	for ci := range m.cars {
		c := &m.cars[ci]
		own, starts := m.exposure.Own(c.car)*perPass, s.starts(c)
		at := make([][]meet, len(m.places))
		for pi := range m.places {
			if !c.meets[pi] {
				continue
			}
			row := make([]meet, 0, len(s.place[pi])*len(cars[ci]))
			for y := range s.place[pi] {
				for x := range cars[ci] {
					o := &cars[ci][x]
					row = append(row, meet{int64(math.Round(o.left[starts[pi]+y] * own)), o.marks[pi].has(y)})
				}
			}
			if slices.ContainsFunc(row, func(x meet) bool { return x.own > 0 || x.must }) {
				at[pi] = row
			}
		}
		s.at = append(s.at, at)
	}
}

// tripWeights is how often a trip of a car meets each treated pair at a place, weighed, by axle of the car, side and
// check.
func (m *model) tripWeights(ch *chances, c *carModel, p *placeModel, weight []float64) [][2][]float64 {
	out := make([][2][]float64, len(c.axles))
	for k, ai := range c.axles {
		for side, w := range m.axles[ai].index {
			if w < 0 {
				continue
			}
			out[k][side] = make([]float64, len(p.checks))
			for q, check := range p.checks {
				if v := p.before[q][w]; m.asks(p, q, w) && m.trial.Has(check, m.shares[w], p.opts[0].narrow) {
					out[k][side][q] = ch.perTrip(v, q, w, p) * weight[check]
				}
			}
		}
	}
	return out
}

// asRead is the level of every axle that nothing is done to.
func asRead(int) int { return 0 }

// poolRest is what the pool behind a sampled car leaves at a place's option.
func (m *model) poolRest(c *carModel, p *placeModel, o *placeOption, trip [][2][]float64, pool float64) int64 {
	if pool == 0 {
		return 0
	}
	sum := 0.0
	m.eachMarked(c, p, o, asRead, func(axle, side, check int, bad, _ bool) {
		if bad {
			sum += trip[axle][side][check]
		}
	})
	return int64(math.Round(sum * pool))
}

// network prices cents, thousandths of a day and thousandths of a pass.
func (s *spending) network(cents, days, pass int64) *network {
	m := s.m
	n := &network{}
	for pi := range m.places {
		row := make([]int64, len(s.place[pi]))
		for y, o := range s.place[pi] {
			row[y] = cents*o.cents + days*o.millis + pass*s.rest[pi][y]
		}
		n.place = append(n.place, row)
	}
	for ci := range m.cars {
		row := make([]int64, len(s.opts[ci]))
		for x := range row {
			row[x] = cents*s.opts[ci][x].cents + days*s.opts[ci][x].millis
		}
		n.car = append(n.car, row)
	}
	for ci := range m.cars {
		hold := s.hold(ci)
		price := cents*hold.Cents + days*hold.Millis
		for pi, row := range s.at[ci] {
			if row == nil {
				continue
			}
			e := edge{place: pi, car: ci, price: make([]int64, len(row))}
			for i, x := range row {
				v := pass * x.own
				switch {
				case x.must && m.opt.TrackOnly:
					v = noPrice
				case x.must:
					v = price
				case !m.opt.TrackOnly && m.cars[ci].holdKind() != ownEngine:
					v = min(v, price)
				}
				e.price[i] = v
			}
			n.edges = append(n.edges, e)
		}
	}
	return n
}

// withoutHolds prices the passes that a choice leaves, and its cents, if nobody is held who need not be.
func (s *spending) withoutHolds() (left, cents *network) {
	left, cents = &network{}, &network{}
	for pi := range s.place {
		row := make([]int64, len(s.place[pi]))
		for y, o := range s.place[pi] {
			row[y] = o.cents
		}
		left.place, cents.place = append(left.place, s.rest[pi]), append(cents.place, row)
	}
	for ci := range s.opts {
		row := make([]int64, len(s.opts[ci]))
		for x := range row {
			row[x] = s.opts[ci][x].cents
		}
		left.car, cents.car = append(left.car, make([]int64, len(row))), append(cents.car, row)
		for pi, at := range s.at[ci] {
			if at == nil {
				continue
			}
			e := edge{place: pi, car: ci, price: make([]int64, len(at))}
			h := edge{place: pi, car: ci, price: make([]int64, len(at))}
			must := false
			for i, x := range at {
				if x.must {
					h.price[i], must = s.hold(ci).Cents, true
				} else {
					e.price[i] = x.own
				}
			}
			left.edges = append(left.edges, e)
			if must {
				cents.edges = append(cents.edges, h)
			}
		}
	}
	return left, cents
}

// noPrice is a price that no choice pays; far above all sums, and small enough to be exact.
const noPrice = int64(1) << 46

// hold is what it takes to keep a car off one place.
func (s *spending) hold(ci int) Action { return s.m.holdWork[s.m.cars[ci].holdKind()] }

// The kinds of car that holds are priced by. Within limits an engine is held where it must be, and not to save passes.
const (
	ownCar = iota
	foreignCar
	ownEngine
	numHoldKinds
)

// holdKind is of which kind a car is.
func (c *carModel) holdKind() int {
	switch {
	case c.car.Owner != "own":
		return foreignCar
	case engineKind(c.car):
		return ownEngine
	}
	return ownCar
}

// outcome is a choice with its holds.
type outcome struct {
	choice choice
	holds  [][2]int // car, place
	cents  int64
	days   int64
	left   int64 // passes, thousandths
}

// heldAt is one hold that may be taken.
type heldAt struct {
	ci, pi int
	gain   int64
}

// works is a choice without a hold, but for the passes that a hold might end.
func (s *spending) works(c choice) outcome {
	out := outcome{choice: c}
	for pi, y := range c.place {
		o := s.place[pi][y]
		out.cents, out.days, out.left = out.cents+o.cents, out.days+o.millis, out.left+s.rest[pi][y]
	}
	for ci, x := range c.car {
		out.cents, out.days = out.cents+s.opts[ci][x].cents, out.days+s.opts[ci][x].millis
	}
	return out
}

// best is the choice with the holds that end most passes within the limits; of those the cheapest. With leave >= 0 it
// is the cheapest that leaves at most that.
func (s *spending) best(c choice, leave int64) (outcome, bool) {
	m, out := s.m, s.works(c)
	// By the kinds of car that are held to save passes, each at one price.
	var lists [ownEngine][]heldAt
	price := &m.holdWork
	for ci, x := range c.car {
		kind := m.cars[ci].holdKind()
		for pi, row := range s.at[ci] {
			if row == nil {
				continue
			}
			e := row[c.place[pi]*len(s.opts[ci])+x]
			switch {
			case e.must && m.opt.TrackOnly:
				return out, false
			case e.must:
				out.cents, out.days = out.cents+price[kind].Cents, out.days+price[kind].Millis
				out.holds = append(out.holds, [2]int{ci, pi})
			case e.own > 0:
				out.left += e.own
				if !m.opt.TrackOnly && kind != ownEngine {
					lists[kind] = append(lists[kind], heldAt{ci, pi, e.own})
				}
			}
		}
	}
	if out.cents > s.cents || out.days > s.days {
		return out, false
	}
	var sums [2][]int64
	for k := range lists {
		lists[k] = bestHolds(lists[k], s.affordable(out, price[k]))
		sums[k] = []int64{0}
		for _, h := range lists[k] {
			sums[k] = append(sums[k], sums[k][len(sums[k])-1]+h.gain)
		}
	}
	fits := func(a, b int) bool {
		return out.cents+int64(a)*price[0].Cents+int64(b)*price[1].Cents <= s.cents &&
			out.days+int64(a)*price[0].Millis+int64(b)*price[1].Millis <= s.days
	}
	cost := func(a, b int) int64 { return int64(a)*price[0].Cents + int64(b)*price[1].Cents }
	bestA, bestB := -1, -1
	for a := 0; a < len(sums[0]) && fits(a, 0); a++ {
		// The most of the other kind that fit; with a target, the fewest that reach it.
		b := sort.Search(len(sums[1]), func(b int) bool { return !fits(a, b) }) - 1
		if leave >= 0 {
			need := out.left - leave - sums[0][a]
			k := sort.Search(len(sums[1]), func(b int) bool { return sums[1][b] >= need })
			if k > b {
				continue
			}
			b = k
		}
		gain := func(a, b int) int64 { return sums[0][a] + sums[1][b] }
		switch {
		case bestA < 0,
			leave < 0 && gain(a, b) > gain(bestA, bestB),
			(leave >= 0 || gain(a, b) == gain(bestA, bestB)) && cost(a, b) < cost(bestA, bestB):
			bestA, bestB = a, b
		}
	}
	if bestA < 0 {
		return out, false
	}
	for k, n := range [2]int{bestA, bestB} {
		for _, h := range lists[k][:n] {
			out.holds = append(out.holds, [2]int{h.ci, h.pi})
			out.left -= h.gain
		}
		out.cents, out.days = out.cents+int64(n)*price[k].Cents, out.days+int64(n)*price[k].Millis
	}
	return out, leave < 0 || out.left <= leave
}

// affordable is how many holds of a kind an outcome has the money and days for.
func (s *spending) affordable(x outcome, hold Action) int {
	n := int64(math.MaxInt32)
	if hold.Cents > 0 {
		n = min(n, (s.cents-x.cents)/hold.Cents)
	}
	if hold.Millis > 0 {
		n = min(n, (s.days-x.days)/hold.Millis)
	}
	return int(n)
}

// bestHolds are the n holds that end most passes, the most first.
func bestHolds(list []heldAt, n int) []heldAt {
	order := func(a, b heldAt) int {
		if a.gain != b.gain {
			return cmp.Compare(b.gain, a.gain)
		}
		return cmp.Or(a.ci-b.ci, a.pi-b.pi)
	}
	if n*8 > len(list) {
		slices.SortFunc(list, order)
		return list[:min(n, len(list))]
	}
	top := make([]heldAt, 0, n+1)
	for _, h := range list {
		if len(top) == n && (n == 0 || order(top[n-1], h) <= 0) {
			continue
		}
		at, _ := slices.BinarySearchFunc(top, h, order)
		top = slices.Insert(top, at, h)
		top = top[:min(n, len(top))]
	}
	return top
}

// priced is a choice with the holds that pay at the prices, whatever the limits.
func (s *spending) priced(c choice, cents, days, pass int64) outcome {
	out := s.works(c)
	for ci, x := range c.car {
		hold := s.hold(ci)
		price := cents*hold.Cents + days*hold.Millis
		for pi, row := range s.at[ci] {
			if row == nil {
				continue
			}
			switch e := row[c.place[pi]*len(s.opts[ci])+x]; {
			case e.must,
				e.own > 0 && !s.m.opt.TrackOnly && s.m.cars[ci].holdKind() != ownEngine && price < pass*e.own:
				out.holds = append(out.holds, [2]int{ci, pi})
				out.cents, out.days = out.cents+hold.Cents, out.days+hold.Millis
			default:
				out.left += e.own
			}
		}
	}
	return out
}

// asIs is doing nothing; if readings are beyond a regulation, the least that answers all of them.
func (s *spending) asIs() choice {
	if s.least != nil {
		return s.least.choice.clone()
	}
	return choice{make([]int, len(s.m.places)), make([]int, len(s.m.cars))}
}

// mustAnswer finds the cheapest choice that answers what is beyond a regulation and keeps both limits. If none is found
// that does, the limits are raised to the cheapest of all, because nobody may leave a reading unanswered.
func (s *spending) mustAnswer() {
	if !s.m.answersLaw() {
		return
	}
	x := s.answer(1, 0)
	for days := int64(1); x.days > s.days && days < weightScale*weightScale; days *= 2 {
		if y := s.answer(1, days); y.cents > s.cents {
			break
		} else if y.days <= s.days {
			x = y
		}
	}
	s.least = &x
	s.cents, s.days = max(s.cents, x.cents), max(s.days, x.days)
	if s.bounding != nil {
		s.bounding.least, s.bounding.cents, s.bounding.days = s.least, s.cents, s.days
	}
}

// answer is the choice that answers what is beyond a regulation at the least of money and days, each at its price;
// among alike the one with the fewest days.
func (s *spending) answer(cents, days int64) outcome {
	return s.priced(s.network(weightScale*cents, weightScale*days+1, 0).solve().choice, cents, days, 0)
}

// result is an outcome with the bounds that were proven for it.
type result struct {
	outcome
	relaxed    relaxed
	leastLeft  int64 // no plan within the limits leaves less
	leastCents int64 // no plan that leaves no more costs less
}

func (a outcome) better(b outcome) bool {
	return a.left < b.left || a.left == b.left && (a.cents < b.cents || a.cents == b.cents && a.days < b.days)
}

// keep takes an outcome that is better, if it is one, with a choice of its own.
func (a *outcome) keep(b outcome, ok bool) {
	if ok && b.better(*a) {
		b.choice = b.choice.clone()
		*a = b
	}
}

// ratios are the prices of a cent and of a thousandth of a day that are tried, against a price of weightScale for a
// thousandth of a pass.
func (s *spending) ratios() [][2]float64 {
	switch {
	case s.cents < noLimit && s.days < noLimit:
		scale := float64(s.cents+1) / float64(s.days+1)
		return [][2]float64{{1, 0}, {0, scale}, {1, scale}, {1, scale / 4}, {1, 4 * scale}}
	case s.days < noLimit:
		return [][2]float64{{0, 1}}
	}
	return [][2]float64{{1, 0}}
}

// relaxed is what no plan within the limits leaves less than, in units of the network's price, with the prices of money
// and days that say so and the choice that is the cheapest at them.
type relaxed struct {
	bound       float64
	cents, days int64
	choice      choice
}

// spend finds the plan that leaves least within the limits: among the choices of the frontier, each with its best
// holds.
func (s *spending) spend(first relaxed) result {
	if s.frontier == nil {
		s.frontier = newFrontier(s)
	}
	start, _ := s.best(s.asIs(), -1)
	r := result{outcome: start, relaxed: first}
	base := s.base(r.relaxed.cents, r.relaxed.days)
	s.frontier.each(s.network(r.relaxed.cents, r.relaxed.days, weightScale),
		func() int64 { return weightScale*r.left + base },
		func(c choice) {
			got, ok := s.best(c, -1)
			r.keep(got, ok)
		})
	return r
}

// prove finds what no plan within the limits leaves less than, and a cheaper plan that leaves no more. exact: the
// search goes on to the end.
func (s *spending) prove(r *result, exact bool) {
	if nodes := s.nodes(exact); nodes > 0 && float64(weightScale*r.left) > r.relaxed.bound {
		r.relaxed.bound = s.exhaust(r, nodes, exact)
	}
	bound := s.narrow(func() int64 { return r.left }, r.relaxed, maxNarrowed, func(choice) {})
	r.leastLeft = min(r.left, max(0, int64(math.Ceil(bound/weightScale-1e-6))))
	s.cheapen(r, exact)
	if s.bounding != nil {
		r.leastLeft = min(r.leastLeft, s.bounding.leastLeft(r.left))
		low, _, _ := s.bounding.leastCost(r.left, func(choice) {})
		r.leastCents = min(r.leastCents, s.wholeCents(low))
	}
}

// leastLeft is what no plan within the limits leaves less than, no more than what one leaves.
func (s *spending) leastLeft(left int64) int64 {
	bound := s.narrow(func() int64 { return left }, s.bound(), maxNarrowed, func(choice) {})
	return min(left, max(0, int64(math.Ceil(bound/weightScale-1e-6))))
}

// base is what the limits are worth at prices.
func (s *spending) base(cents, days int64) (v int64) {
	if s.cents < noLimit {
		v += cents * s.cents
	}
	if s.days < noLimit {
		v += days * s.days
	}
	return v
}

// bound raises the prices of money and days until the cheapest choice keeps to the limits; every price gives a bound.
func (s *spending) bound() relaxed {
	best := relaxed{bound: math.Inf(-1)}
	try := func(cents, days int64) (fits bool) {
		sol := s.network(cents, days, weightScale).solve()
		if low := float64(sol.bound) - float64(s.base(cents, days)); low > best.bound {
			best = relaxed{low, cents, days, sol.choice}
		}
		at := s.priced(sol.choice, cents, days, weightScale)
		return at.cents <= s.cents && at.days <= s.days
	}
	if try(0, 0) {
		return best // the limits do not bind
	}
	steps := s.steps(10, 24)
	for _, ratio := range s.ratios() {
		lo, hi := 0.0, math.Log(float64(weightScale)*1e7/math.Max(ratio[0], ratio[1]/1e3))
		for range steps {
			mid := (lo + hi) / 2
			if v := math.Exp(mid); try(int64(math.Round(v*ratio[0])), int64(math.Round(v*ratio[1]))) {
				hi = mid
			} else {
				lo = mid
			}
		}
	}
	return best
}

// nodes is how far the search goes on: to the end with few candidates, some way if the network is of moderate size.
func (s *spending) nodes(exact bool) int {
	switch {
	case exact:
		return 20000
	case s.prices() < 60000:
		return 150
	}
	return 0
}

// prices counts the prices of the network's edges.
func (s *spending) prices() int {
	n := 0
	for ci := range s.at {
		for _, row := range s.at[ci] {
			n += len(row)
		}
	}
	return n
}

// steps is how many times the network is solved if wanted are wished for: fewer of a large one.
func (s *spending) steps(least, wanted int) int {
	return min(wanted, max(least, 2_000_000/(1+s.prices())))
}

// exhaust searches on from the best prices: branch and bound over the choices, each counted with its best holds within
// the limits. It returns the bound that was proven; exact takes what was found even if the search did not end.
func (s *spending) exhaust(r *result, nodes int, exact bool) float64 {
	bound, cents, days := r.relaxed.bound, r.relaxed.cents, r.relaxed.days
	base := s.base(cents, days)
	effort := maxEffort
	b := newBounded(s.network(cents, days, weightScale), &effort)
	b.grain, b.maxNodes = 1, nodes
	b.best, b.bestCost = r.choice, weightScale*r.left+base
	found := r.outcome
	b.value = func(c choice) (int64, bool) {
		got, ok := s.best(c, -1)
		found.keep(got, ok)
		return weightScale*got.left + base, ok
	}
	b.branch(rootRounds)
	low := float64(weightScale * found.left)
	if exact || !b.exhausted { // a search that did not end finds what hangs on the limits in more than what fits
		r.outcome = found
	}
	if b.exhausted {
		return math.Max(bound, math.Min(b.openBound-float64(base), low))
	}
	return low
}

// money is the price of a cent while the cheapest plan is looked for.
const money = 1024

// cheapen looks for a cheaper plan that leaves no more, and for the least that one can cost.
func (s *spending) cheapen(r *result, exact bool) {
	left := r.left
	take := func(c choice) {
		got, ok := s.best(c, left)
		r.keep(got, ok)
	}
	bound, pass, days := s.leastCost(left, func(c choice) {
		if exact {
			take(c)
		}
	})
	base := pass * left
	if days > 0 {
		base += days * s.days
	}
	n := s.network(money, days, pass)
	s.frontier.each(n, func() int64 { return money*r.cents + base }, take)
	if exact {
		effort := maxEffort
		b := newBounded(n, &effort)
		b.grain, b.maxNodes = 1, 20000
		b.best, b.bestCost = r.choice, money*r.cents+base
		b.value = func(c choice) (int64, bool) {
			got, ok := s.best(c, left)
			r.keep(got, ok)
			return money*got.cents + base, ok
		}
		b.branch(rootRounds)
		switch {
		case b.exhausted:
			bound = math.Max(bound, b.openBound-float64(base))
		default:
			bound = float64(money * r.cents)
		}
	}
	r.leastCents = min(r.cents, s.wholeCents(bound))
}

// wholeCents is the least possible cost at or above a bound.
func (s *spending) wholeCents(bound float64) int64 {
	g := float64(s.grain())
	return max(0, int64(math.Ceil((bound/money-1e-6)/g)*g))
}

// leastCost is what no plan that leaves no more costs less than, in units of money, with the prices of a pass and of a
// day that give it. do takes the choices that were met.
func (s *spending) leastCost(left int64, do func(choice)) (bound float64, bestPass, bestDays int64) {
	bound = math.Inf(-1)
	daysPrices, steps := []int64{0}, s.steps(6, 18)
	if s.days < noLimit {
		daysPrices, steps = []int64{0, 1e4, 1e5, 4e5, 1.6e6, 6.4e6, 2.56e7}, s.steps(2, 8)
	}
	for _, days := range daysPrices {
		lo, hi := 0.0, math.Log(money*1e6)
		for range steps {
			mid := (lo + hi) / 2
			pass := int64(math.Round(math.Exp(mid)))
			sol := s.network(money, days, pass).solve()
			v := float64(sol.bound) - float64(pass)*float64(left)
			if days > 0 {
				v -= float64(days) * float64(s.days)
			}
			if v > bound {
				bound, bestPass, bestDays = v, pass, days
			}
			do(sol.choice)
			if s.priced(sol.choice, money, days, pass).left <= left {
				hi = mid
			} else {
				lo = mid
			}
		}
	}
	return bound, bestPass, bestDays
}

// grain is an amount of which every price is a multiple.
func (s *spending) grain() int64 {
	n := &network{}
	for i := range s.place {
		for _, o := range s.place[i] {
			n.place = append(n.place, []int64{o.cents})
		}
	}
	for ci := range s.opts {
		n.car = append(n.car, []int64{s.hold(ci).Cents})
		for _, o := range s.opts[ci] {
			n.car = append(n.car, []int64{o.cents})
		}
	}
	return n.gcd()
}

// passesBefore is the weight of all treated pairs, thousandths a year.
func (s *spending) passesBefore() int64 {
	var sum int64
	for pi := range s.rest {
		sum += s.rest[pi][0]
	}
	for ci := range s.at {
		for _, row := range s.at[ci] {
			if row != nil {
				sum += row[0].own
			}
		}
	}
	return sum
}
