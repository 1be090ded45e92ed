package bulk

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"runtime"
	"slices"
	"sort"
	"sync"
	"sync/atomic"

	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/parallel"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
	wheelbulk "flangeway/wheel/bulk"
)

// summing is shared by the workers of a summary.
type summing struct {
	Survey              *survey.Survey
	Book                *limit.Book
	Rules               *interaction.Rules
	Checks              []*interaction.Check
	opt                 interaction.Options
	stream              *survey.Stream
	designed, reference [][]*interaction.Part
	wanted              []bool           // by check: a place may have it
	kinds               []kindSet        // by check: at which features
	multi               []bool           // by check: it rests on several readings
	single              []wheel.Quantity // by check: on which it rests alone
	// by kind of car and quantity: no regulation covers it
	never    [kindCount][wheel.NumQuantities]bool
	prepare  sync.Once
	prepared atomic.Bool      // the places and ends are there
	allWhole bool             // no wheel is counted by its entries
	features []*track.Feature // that are judged, as the track is sorted
	ends     []ends           // by check
}

// kindSet is a set of kinds of feature.
type kindSet [track.NumKinds]bool

// ends are the upper and the lower ends of the place parts of one check, sorted, each once.
type ends struct {
	hi, lo []float64
	any    bool // a place has the check
	join   bool // the parts do not add up
	noHi   bool // of some place only the lower end is known
}

// idle reports that the reading of no place is there.
func (x *ends) idle() bool { return !x.join && len(x.lo) == 0 }

func newSumming(s *survey.Stream, book *limit.Book, opt interaction.Options) *summing {
	u := &summing{Survey: s.Survey, Book: book, Rules: interaction.NewRules(s.Settings, s.Data),
		Checks: interaction.PlainChecks(), opt: opt, stream: s}
	u.designed, u.reference = interaction.DesignedParts(u.Rules, u.Checks),
		interaction.ReferenceParts(u.Rules, u.Checks)
	u.wanted, u.multi, u.single = make([]bool, len(u.Checks)), make([]bool, len(u.Checks)),
		make([]wheel.Quantity, len(u.Checks))
	u.kinds = make([]kindSet, len(u.Checks))
	for k, c := range u.Checks {
		u.wanted[k] = (u.opt.Check == "" || u.opt.Check == c.ID) && slices.ContainsFunc(c.Kinds, s.HasKind)
		for _, kind := range c.Kinds {
			u.kinds[k][kind] = u.wanted[k]
		}
		q, ok := u.only(k)
		u.single[k], u.multi[k] = q, !ok
	}
	for kind := range u.never {
		for q := range u.never[kind] {
			u.never[kind][q] = !u.hasRule(kind, wheel.Quantity(q))
		}
	}
	return u
}

// ready waits for the track and prepares its places.
func (u *summing) ready() {
	u.prepare.Do(func() {
		u.ends = make([]ends, len(u.Checks))
		u.features = u.stream.WaitTrack().Features
		if u.opt.Location != "" {
			u.features = slices.DeleteFunc(slices.Clone(u.features),
				func(f *track.Feature) bool { return f.Location != u.opt.Location })
		}
		parallel.Each(len(u.Checks), u.readyAt)
		u.prepared.Store(true)
	})
}

// readyAt finds the ends of the places at a check.
func (u *summing) readyAt(k int) {
	x := &u.ends[k]
	n := 0
	for _, f := range u.features {
		if u.judged(k, f) {
			n++
		}
	}
	if n == 0 {
		return
	}
	if x.any, x.join = true, u.Checks[k].Join != nil; x.join {
		return
	}
	x.hi, x.lo = make([]float64, 0, n), make([]float64, 0, n)
	var s interaction.PlaceSum
	for _, f := range u.features {
		if !u.judged(k, f) {
			continue
		}
		u.Checks[k].PutPlacePart(&s, u.Rules, f, false)
		if s.Missing != 0 {
			continue
		}
		x.lo = append(x.lo, s.Lo)
		if s.NoHi {
			x.noHi = true
		} else {
			x.hi = append(x.hi, s.Hi)
		}
	}
	for _, list := range []*[]float64{&x.hi, &x.lo} {
		slices.Sort(*list)
		*list = slices.Compact(*list)
	}
}

// judged reports whether a check is one for a feature.
func (u *summing) judged(k int, f *track.Feature) bool {
	return u.kinds[k][f.Kind] && u.Checks[k].Applies(f)
}

// candidate is a wheel that may be the worst: the ends of its part on the grid.
type candidate struct {
	hi, lo float64
	order  wheelbulk.Order
	ok     bool
}

// take keeps the worse of two candidates.
func (c *candidate) take(d candidate) {
	switch {
	case !d.ok:
	case !c.ok, d.hi < c.hi, d.hi == c.hi && (d.lo < c.lo || d.lo == c.lo && d.order < c.order):
		*c = d
	}
}

// joined has the common readings of wheels for a check whose parts do not add up.
type joined struct {
	lo, hi float64
	both   bool // within federal limits, and no conflict on an unworn place
}

// counts is one check over the wheels seen so far. A wheel's part conflicts with the places whose upper end is below
// some value, and is clear of those whose lower end is not below another: it is counted once at each.
type counts struct {
	all      tallied
	missing  tallied // wheels whose reading is missing
	conflict []int   // wheels that conflict at the first i places by upper end, by i
	both     []int   // of those, the ones with both: see joined
	clear    []int   // wheels that are clear from place i by lower end on, by i
	open     []candidate
	best     candidate
	// for places of which the upper end is not known: the wheels that are not clear there, by i, and the worst by lower
	// end
	notClear []tallied
	least    candidate
	joined   map[joined]tallied
}

func newCounts(x *ends) counts {
	if x.join {
		return counts{joined: map[joined]tallied{}}
	}
	c := counts{conflict: make([]int, len(x.hi)+1), both: make([]int, len(x.hi)+1), clear: make([]int, len(x.lo)+1),
		open: make([]candidate, len(x.lo)+1)}
	if x.noHi {
		c.notClear = make([]tallied, len(x.lo)+1)
	}
	return c
}

// add counts wheels with one part.
func (c *counts) add(x *ends, p *interaction.Part, both func() bool, t tallied) {
	c.all.take(t)
	if p.Missing != 0 {
		c.missing.take(t)
		return
	}
	if x.join {
		c.addJoined(joined{p.Lo, p.Hi, both()}, t)
		return
	}
	i := sort.Search(len(x.hi), func(i int) bool { return !(p.Hi+x.hi[i] < -measure.Near) })
	c.conflict[i] += t.n
	if i > 0 && both() {
		c.both[i] += t.n
	}
	j := sort.Search(len(x.lo), func(j int) bool { return p.Lo+x.lo[j] >= -measure.Near })
	c.clear[j] += t.n
	d := candidate{hi: interaction.OnGrid(p.Hi), lo: interaction.OnGrid(p.Lo), order: t.first, ok: true}
	c.open[j].take(d)
	c.best.take(d)
	if x.noHi {
		c.notClear[j].take(t)
		d.hi = 0 // no matter
		c.least.take(d)
	}
}

func (c *counts) addJoined(key joined, t tallied) {
	j := c.joined[key]
	j.take(t)
	c.joined[key] = j
}

// join takes over other counts.
func (c *counts) join(d *counts) {
	c.all.take(d.all)
	c.missing.take(d.missing)
	for i := range c.conflict {
		c.conflict[i] += d.conflict[i]
		c.both[i] += d.both[i]
	}
	for i := range c.clear {
		c.clear[i] += d.clear[i]
		c.open[i].take(d.open[i])
	}
	for i := range c.notClear {
		c.notClear[i].take(d.notClear[i])
	}
	c.best.take(d.best)
	c.least.take(d.least)
	for key, j := range d.joined {
		c.addJoined(key, j)
	}
}

// accumulate makes the counts ones up to each place: conflict[r+1] becomes what conflicts at place r by upper end,
// clear[r] what is clear at place r by lower end, open[r] the worst of those that are not.
func (c *counts) accumulate() {
	for i := len(c.conflict) - 2; i >= 0; i-- {
		c.conflict[i] += c.conflict[i+1]
		c.both[i] += c.both[i+1]
	}
	for i := 1; i < len(c.clear); i++ {
		c.clear[i] += c.clear[i-1]
	}
	for i := len(c.open) - 2; i > 0; i-- {
		c.open[i].take(c.open[i+1]) // what is clear only behind place i-1 is open there
	}
	for i := len(c.notClear) - 2; i > 0; i-- {
		c.notClear[i].take(c.notClear[i+1])
	}
}

// counter counts the wheels of one worker.
type counter struct {
	u   *summing
	all []counts // by check; nil before the track is ready
	// seen says that the one car came by, if only if no check applies
	seen   bool
	groups *grouped // nil if the wheels come whole
	// later are cars that came whole before the places were there
	later []wholeCar
}

// wholeCar is a car to count.
type wholeCar struct {
	wheels []*wheel.Wheel
	order  []wheelbulk.Order
}

// maxLater is how many cars wait for the places rather than the worker.
const maxLater = 4096

func (c *counter) prepare() {
	if c.all != nil {
		return
	}
	c.u.ready()
	c.all = make([]counts, len(c.u.Checks))
	for k := range c.all {
		c.all[k] = newCounts(&c.u.ends[k])
	}
}

// Car counts the wheels of a car.
func (c *counter) Car(wheels []*wheel.Wheel, order []wheelbulk.Order) {
	if !c.u.prepared.Load() && len(c.later) < maxLater {
		c.later = append(c.later, wholeCar{wheels, slices.Clone(order)})
		return
	}
	c.count(wheels, order)
}

func (c *counter) count(wheels []*wheel.Wheel, order []wheelbulk.Order) {
	c.prepare()
	if c.u.opt.Car != "" {
		if wheels[0].Car.ID != c.u.opt.Car {
			return
		}
		c.seen = true
	}
	for i, w := range wheels {
		var bits [interaction.WheelBits]interaction.Legality
		asked := false
		for k, check := range c.u.Checks {
			x := &c.u.ends[k]
			if !x.any || !check.ListedAt(w) {
				continue
			}
			p := check.WheelPart(c.u.Rules, w, false).Part
			both := func() bool {
				if !asked {
					bits = interaction.WheelLegality(c.u.Book, w)
					asked = true
				}
				return c.u.bothAt(k, &p, &bits)
			}
			c.all[k].add(x, &p, both, tallied{1, order[i]})
		}
	}
}

// bothAt reports whether a conflict of the wheel could be one of the pair with both sides legal: no regulation stops
// one of its readings and it does not conflict on an unworn place.
func (u *summing) bothAt(k int, p *interaction.Part, words *[interaction.WheelBits]interaction.Legality) bool {
	stops := false
	p.Uses.Each(func(bit uint) { stops = stops || words[bit].Limits.Word.Stops() })
	return !stops && !u.unworn(k, p)
}

// unworn reports a conflict even on track as designed.
func (u *summing) unworn(k int, p *interaction.Part) bool {
	return slices.ContainsFunc(u.designed[k], func(d *interaction.Part) bool {
		return u.Checks[k].Margin(u.Rules, p, d).Verdict == interaction.Conflict
	})
}

// Values takes the entries of the worker's stream.
func (c *counter) Values(v *wheelbulk.Values) { c.groups = newGrouped(c.u, v) }

// Whole asks for the car that is counted apart, and for kinds of car of which a rule looks at several readings
// together.
func (c *counter) Whole(kind uint8, id []byte) bool {
	return c.u.allWhole || c.groups.mixed[kind] || c.u.opt.Car != "" && string(id) == c.u.opt.Car
}

// Group counts the wheels of a car.
func (c *counter) Group(g *wheelbulk.Group) {
	if c.u.opt.Car != "" { // the car that was asked for comes whole
		return
	}
	c.groups.Group(g)
	if c.groups.full {
		c.flush()
	}
}

// flush moves the counts by entries, and the cars that wait, to the places.
func (c *counter) flush() {
	c.prepare()
	for _, x := range c.later {
		c.count(x.wheels, x.order)
	}
	c.later = nil
	if c.groups != nil {
		c.groups.flush(c.all)
	}
}

// verdicts is one check at one feature over all wheels.
type verdicts struct {
	counts    [interaction.NumVerdicts]int
	bothLegal int
	worst     wheelbulk.Order
	m         interaction.Margin // of the worst, but for the value as written
}

// at counts the verdicts at a place.
func (c *counter) at(k int, p *interaction.PlaceSum) verdicts {
	chosen := &c.all[k]
	v := verdicts{worst: -1}
	if chosen.all.n == 0 {
		return v
	}
	x := &c.u.ends[k]
	both := 0
	switch {
	case p.Missing != 0:
		v.counts[interaction.NotMeasured], v.worst, v.m = chosen.all.n, chosen.all.first,
			interaction.Margin{Verdict: interaction.NotMeasured}
		return v
	case x.join:
		both = c.joinedAt(k, p, &v)
	case p.NoHi:
		lo, _ := slices.BinarySearch(x.lo, p.Lo)
		v.counts[interaction.Clear] = chosen.clear[lo]
		v.counts[interaction.NotMeasured] = chosen.all.n - v.counts[interaction.Clear]
		if v.counts[interaction.NotMeasured] > 0 {
			open := chosen.missing
			open.take(chosen.notClear[lo+1])
			v.worst, v.m = open.first, interaction.Margin{Verdict: interaction.NotMeasured}
			return v
		}
		v.worst, v.m = chosen.least.order, interaction.Margin{Verdict: interaction.Clear, NoHi: true,
			Lo: chosen.least.lo*measure.Near + p.Lo}
	default:
		hi, _ := slices.BinarySearch(x.hi, p.Hi)
		lo, _ := slices.BinarySearch(x.lo, p.Lo)
		both = chosen.both[hi+1]
		v.counts[interaction.Conflict], v.counts[interaction.Clear],
			v.counts[interaction.NotMeasured] = chosen.conflict[hi+1], chosen.clear[lo], chosen.missing.n
		v.counts[interaction.Undecided] = chosen.all.n - v.counts[interaction.Conflict] -
			v.counts[interaction.Clear] - v.counts[interaction.NotMeasured]
		worst, verdict := chosen.best, interaction.Clear
		switch {
		case v.counts[interaction.Conflict] > 0:
			verdict = interaction.Conflict
		case v.counts[interaction.Undecided] > 0:
			verdict, worst = interaction.Undecided, chosen.open[lo+1]
		case v.counts[interaction.NotMeasured] > 0:
			verdict, worst = interaction.NotMeasured, candidate{order: chosen.missing.first}
		}
		v.worst, v.m = worst.order, interaction.Margin{Verdict: verdict, Hi: worst.hi*measure.Near + p.Hi,
			Lo: worst.lo*measure.Near + p.Lo}
	}
	if both > 0 && !c.u.anyWheel(k, p) && c.u.legalPlace(p) {
		v.bothLegal = both
	}
	return v
}

// joinedAt counts the verdicts of a check whose parts do not add up, over what its wheels have in common. It gives how
// many of the conflicts are with both.
func (c *counter) joinedAt(k int, p *interaction.PlaceSum, v *verdicts) (both int) {
	check, of := c.u.Checks[k], &c.all[k]
	if v.counts[interaction.NotMeasured] = of.missing.n; of.missing.n > 0 {
		v.worst, v.m = of.missing.first, interaction.Margin{Verdict: interaction.NotMeasured}
	}
	for key, j := range of.joined {
		m := check.Margin(c.u.Rules, &interaction.Part{Lo: key.lo, Hi: key.hi}, &p.Part)
		if m.Verdict == interaction.Conflict && key.both {
			both += j.n
		}
		v.counts[m.Verdict] += j.n
		if v.worst < 0 || interaction.Worse(m, v.m) || !interaction.Worse(v.m, m) && j.first < v.worst {
			v.worst, v.m = j.first, m
		}
	}
	return both
}

// anyWheel reports a conflict of a reference wheel.
func (u *summing) anyWheel(k int, p *interaction.PlaceSum) bool {
	return slices.ContainsFunc(u.reference[k], func(w *interaction.Part) bool {
		return u.Checks[k].Margin(u.Rules, w, &p.Part).Verdict == interaction.Conflict
	})
}

// legalPlace reports whether no regulation stops the readings of a place that enter.
func (u *summing) legalPlace(p *interaction.PlaceSum) bool {
	legal, subject := true, p.F.Subject()
	p.Uses.Each(func(bit uint) {
		legal = legal && !interaction.LegalityOf(u.Book, subject,
			track.Quantity(bit-interaction.TrackBit).String()).Limits.Word.Stops()
	})
	return legal
}

// resolved is a wheel that is the worst somewhere, with its part.
type resolved struct {
	car      string
	position wheel.Position
	part     interaction.Part
}

// resolve finds the wheels of a check that may be shown: the part of each is made again from its readings, so that the
// value as written is that of the plain way.
func (c *counter) resolve(k int) (map[wheelbulk.Order]*resolved, error) {
	of := &c.all[k]
	out := map[wheelbulk.Order]*resolved{}
	worst := []tallied{of.all, of.missing}
	for _, x := range append(of.open, of.best, of.least) {
		if x.ok {
			worst = append(worst, tallied{1, x.order})
		}
	}
	worst = append(slices.AppendSeq(worst, maps.Values(of.joined)), of.notClear...)
	var finder *wheelbulk.Finder
	for _, t := range worst {
		if t.n == 0 || out[t.first] != nil {
			continue
		}
		if finder == nil {
			finder = c.u.stream.Wheels.Finder()
		}
		w, err := finder.Wheel(t.first)
		if err != nil {
			return nil, err
		}
		out[t.first] = &resolved{w.Car.ID, w.Position, c.u.Checks[k].WheelPart(c.u.Rules, w, false).Part}
	}
	return out, nil
}

// total joins what workers counted, none of them counting any more: the counts come to be ones up to each place, ready
// for rows. found are the wheels that the rows may show, by check.
func (u *summing) total(counters []*counter) (c *counter, found []map[wheelbulk.Order]*resolved, err error) {
	if len(counters) == 0 {
		counters = append(counters, &counter{u: u})
	}
	parallel.Each(len(counters), func(i int) { counters[i].flush() })
	c = counters[0]
	for _, d := range counters[1:] {
		c.seen = c.seen || d.seen
	}
	found = make([]map[wheelbulk.Order]*resolved, len(u.Checks))
	errs := make([]error, len(u.Checks))
	parallel.Each(len(u.Checks), func(k int) {
		for _, d := range counters[1:] {
			c.all[k].join(&d.all[k])
		}
		c.all[k].accumulate()
		found[k], errs[k] = c.resolve(k)
	})
	return c, found, errors.Join(errs...)
}

// featuresAtOnce is at how many features a core makes rows before it hands them over.
const featuresAtOnce = 128

// walk makes the rows by location and check on all cores, and has them taken in order: see [Overview.Each].
func (c *counter) walk(ctx context.Context, found []map[wheelbulk.Order]*resolved, word func([]byte, *Row) []byte,
	take func([]Row, []byte) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	cores := runtime.GOMAXPROCS(0)
	shares := make(chan chan *lister, cores) // in order, each of whole locations
	free := make(chan *lister, cores+1)
	for range cap(free) {
		free <- newLister(c, found)
	}
	go func() {
		defer close(shares)
		for from, to := 0, 0; from < len(c.u.features) && ctx.Err() == nil; from = to {
			to = c.edge(min(from+featuresAtOnce, len(c.u.features)))
			share, l, features := make(chan *lister, 1), <-free, c.u.features[from:to]
			shares <- share
			go func() {
				l.list(features, word)
				share <- l
			}()
		}
	}()
	var err error
	for share := range shares {
		l := <-share
		if err == nil {
			if err = take(l.rows, l.text); err != nil {
				stop()
			}
		}
		free <- l
	}
	if err == nil {
		err = ctx.Err()
	}
	return err
}

// edge is the first feature from i on with another location than the one before.
func (c *counter) edge(i int) int {
	f := c.u.features
	for i > 0 && i < len(f) && f[i-1].Location == f[i].Location {
		i++
	}
	return i
}

// lister makes rows, one for each core.
type lister struct {
	*counter
	byID  []int // the checks as rows of a location are sorted
	found []map[wheelbulk.Order]*resolved
	place interaction.PlaceSum
	worst interaction.Part // of the places at hand
	rows  []Row
	text  []byte // of the rows, if they are worded
}

func newLister(c *counter, found []map[wheelbulk.Order]*resolved) *lister {
	l := &lister{counter: c, found: found}
	for k := range c.u.Checks {
		l.byID = append(l.byID, k)
	}
	slices.SortFunc(l.byID, func(a, b int) int { return cmp.Compare(c.u.Checks[a].ID, c.u.Checks[b].ID) })
	return l
}

// list makes the rows of whole locations.
func (l *lister) list(features []*track.Feature, word func([]byte, *Row) []byte) {
	l.rows, l.text = l.rows[:0], l.text[:0]
	for from := 0; from < len(features); {
		to := from
		for to < len(features) && features[to].Location == features[from].Location {
			to++
		}
		for _, k := range l.byID {
			if row, ok := l.make(k, features[from:to]); ok {
				l.rows = append(l.rows, row)
				if word != nil {
					l.text = word(l.text, &row)
				}
			}
		}
		from = to
	}
}

// make makes the row of a check at the features of one location; ok is false if no pair is judged.
func (l *lister) make(k int, features []*track.Feature) (row Row, ok bool) {
	var worst verdicts
	for _, f := range features {
		if !l.u.judged(k, f) {
			continue
		}
		l.u.Checks[k].PutPlacePart(&l.place, l.u.Rules, f, false)
		v := l.at(k, &l.place)
		if v.worst < 0 {
			continue
		}
		for n := range v.counts {
			row.Counts[n] += v.counts[n]
		}
		row.BothLegal += v.bothLegal
		if !ok || interaction.Worse(v.m, worst.m) || !interaction.Worse(worst.m, v.m) && v.worst < worst.worst {
			l.worst, worst, ok = l.place.Part, v, true
		}
	}
	if !ok {
		return row, false
	}
	check, w := l.u.Checks[k], l.found[k][worst.worst]
	row.Location, row.Check, row.Car, row.Position = features[0].Location, check, w.car, w.position
	row.MarginMM, row.HasMargin = shownMargin(check, check.Margin(l.u.Rules, &w.part, &l.worst))
	return row, true
}
