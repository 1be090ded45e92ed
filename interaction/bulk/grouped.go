package bulk

import (
	"math/bits"
	"slices"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/wheel"
	wheelbulk "flangeway/wheel/bulk"
)

// kindCount is the kinds of car and the unknown one.
const kindCount = 5

// tallied counts wheels that have the same of something.
type tallied struct {
	n     int
	first wheelbulk.Order
}

func (t *tallied) add(order wheelbulk.Order) {
	if t.n++; t.n == 1 {
		t.first = order
	}
}

// take adds another tally.
func (t *tallied) take(d tallied) {
	if d.n > 0 && (t.n == 0 || d.first < t.first) {
		t.first = d.first
	}
	t.n += d.n
}

// tallies are tallied by a number from 0. The counts stand apart, because they alone are wanted all the time.
type tallies struct {
	n     []uint32
	first []wheelbulk.Order
}

func newTallies(n int) tallies { return tallies{make([]uint32, n), make([]wheelbulk.Order, n)} }

func (t *tallies) len() int { return len(t.n) }

// add counts a wheel at a number below the length.
func (t *tallies) add(i int, order wheelbulk.Order) {
	n := &t.n[i]
	if *n++; *n == 1 {
		t.first[i] = order
	}
}

func (t *tallies) get(i int) tallied { return tallied{int(t.n[i]), t.first[i]} }

// grow makes the length more than i.
func (t *tallies) grow(i int) {
	d := newTallies(2 * (i + 1))
	copy(d.n, t.n)
	copy(d.first, t.first)
	*t = d
}

// grouped counts the wheels of groups before any place is looked at: for a check that rests on one reading by its
// entry, for the others by the sum of their readings.
type grouped struct {
	u      *summing
	values *wheelbulk.Values
	// by kind of car, quantity and entry
	entries [kindCount][wheel.NumQuantities]tallies
	singles []wheel.Quantity // the quantities on which checks rest alone
	forms   map[pattern]*formSet
	common  [1 << 11]*formSet // of wheels whose mate has no design
	sums    []sums            // by check
	legal   [kindCount][wheel.NumQuantities]legality
	mixed   [kindCount]bool    // a rule for this kind of car asks for several readings
	none    wheelbulk.GroupRow // the mate that is not there
	wheels  int                // since the last flush
	full    bool               // there are so many wheels or different sums that they should be flushed
	settled bool               // the forms know what the places ask for
	spoiled bool               // a form was met that is no sum of readings: what was counted is of no use
}

// maxSums bounds the different sums that are kept for one check, maxWheels the wheels that tallies hold.
const (
	maxSums   = 1 << 17
	maxWheels = 1<<31 - 1 // what an int of 32 bits holds
)

// formSet is the forms of the checks that rest on several readings, for one pattern.
type formSet struct {
	forms   []*form    // that have a part
	missing []*form    // whose reading is missing
	wheels  [2]tallied // with the pattern; the second at which the axle is not listed
}

// sums is one check that rests on several readings.
type sums struct {
	missing tallied
	table   [2]sumTable // by whether no regulation stops a reading
	byEntry map[entryKey]*sumCell
}

// entryKey is a part that follows from its entries.
type entryKey struct {
	p     pattern
	id    [2]int32
	legal bool
}

func newGrouped(u *summing, v *wheelbulk.Values) *grouped {
	g := &grouped{u: u, values: v, forms: map[pattern]*formSet{}, sums: make([]sums, len(u.Checks))}
	seen := map[wheel.Quantity]bool{}
	for k := range u.Checks {
		if !u.wanted[k] || u.multi[k] {
			continue
		}
		if q := u.single[k]; !seen[q] {
			seen[q] = true
			g.singles = append(g.singles, q)
		}
	}
	for kind := range g.mixed {
		g.mixed[kind] = u.mixedRules(kind)
		for q := range g.legal[kind] {
			g.legal[kind][q].never = u.never[kind][q]
		}
	}
	return g
}

// Group counts the wheels of a car.
func (g *grouped) Group(x *wheelbulk.Group) {
	if !g.settled && g.u.prepared.Load() {
		g.countMissing()
		g.settled = true
		g.forget()
	}
	g.wheels += bits.OnesCount16(x.Present)
	g.full = g.full || g.wheels > maxWheels-16
	entries := &g.entries[x.Kind]
	for rest := x.Present; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest) & 15
		w, order := x.Row(slot), x.Order|wheelbulk.Order(slot)
		for _, q := range g.singles {
			id := int(w.Entries[q])
			if id >= entries[q].len() {
				entries[q].grow(id)
			}
			entries[q].add(id, order)
		}
		mate := &g.none
		p := pattern(w.Has)
		alone := x.Present>>wheelbulk.Mate(slot)&1 == 0
		if !alone {
			mate = x.Row(wheelbulk.Mate(slot))
			has := pattern(mate.Has)
			p |= has >> wheel.FlangeThickness & 1 << interaction.MateThickness
			p |= has >> wheel.RimWidth & 1 << interaction.MateRimWidth
			p |= pattern(mate.Design) << designBits
		}
		var set *formSet
		if p < pattern(len(g.common)) {
			set = g.common[p]
		}
		if set == nil {
			set = g.formsOf(p)
		}
		axle := slot >= 8 && !alone // the axle is listed at its other wheel
		if axle {
			set.wheels[1].add(order)
		} else {
			set.wheels[0].add(order)
		}
		for _, f := range set.forms {
			switch {
			case f.axle && axle:
			case f.byEntry:
				g.countEntries(&g.sums[f.check], f, p, &w.Entries, &mate.Entries, int(x.Kind), order)
			default:
				legal := 0
				if g.allLegal(f, &w.Entries, &mate.Entries, int(x.Kind)) {
					legal = 1
				}
				lo, hi := f.sum(g.values, &w.Entries, &mate.Entries)
				table := &g.sums[f.check].table[legal]
				table.add(lo, hi, order)
				g.full = g.full || len(table.others) > maxSums
			}
		}
	}
}

// allLegal reports whether no regulation stops one of the readings of a form.
func (g *grouped) allLegal(f *form, e, m *entries, kind int) bool {
	for i := range f.terms {
		t := &f.terms[i]
		if !g.isLegal(&g.legal[kind][t.q], kind, t.q, t.of(e, m)) {
			return false
		}
	}
	return true
}

// countEntries counts one wheel at a check whose part follows from its entries.
func (g *grouped) countEntries(s *sums, f *form, p pattern, e, m *entries, kind int, order wheelbulk.Order) {
	key := entryKey{p: p, legal: g.allLegal(f, e, m, kind)}
	for i := range f.terms {
		key.id[i&1] = f.terms[i].of(e, m)
	}
	c := s.byEntry[key]
	if c == nil {
		if s.byEntry == nil {
			s.byEntry = map[entryKey]*sumCell{}
		}
		// the part itself, from the readings
		left, right := map[wheel.Quantity]measure.Reading{}, map[wheel.Quantity]measure.Reading{}
		for _, t := range f.terms {
			if t.mate {
				right[t.q] = g.values.Reading(t.q, m[t.q])
			} else {
				left[t.q] = g.values.Reading(t.q, e[t.q])
			}
		}
		c = &sumCell{part: g.u.Checks[f.check].WheelPart(g.u.Rules, wheel.NewAxle(left, right, ""), false).Part}
		s.byEntry[key] = c
		g.full = g.full || len(s.byEntry) > maxSums
	}
	c.add(order)
}

// sumCell is wheels with one part.
type sumCell struct {
	tallied
	part interaction.Part
}

// formsOf finds the forms for a pattern, and keeps them.
func (g *grouped) formsOf(p pattern) *formSet {
	set := g.forms[p]
	if set != nil {
		return set
	}
	set = &formSet{}
	g.forms[p] = set
	if p < pattern(len(g.common)) {
		g.common[p] = set
	}
	probe := g.u.probe(p)
	for k := range g.u.Checks {
		if !g.u.wanted[k] || !g.u.multi[k] {
			continue
		}
		f := g.u.formOf(k, probe)
		// if no place has its reading only how many wheels there are matters
		if f.missing || g.settled && g.u.ends[k].idle() {
			set.missing = append(set.missing, f)
			continue
		}
		g.spoiled = g.spoiled || f.whole
		set.forms = append(set.forms, f)
	}
	return set
}

// countMissing counts the wheels of each pattern at the checks whose reading they miss.
func (g *grouped) countMissing() {
	for _, set := range g.forms {
		for _, f := range set.missing {
			for i, t := range set.wheels {
				if i == 0 || !f.axle {
					g.sums[f.check].missing.take(t)
				}
			}
		}
		clear(set.wheels[:])
	}
}

// forget makes the forms be sorted again, by what the places ask for.
func (g *grouped) forget() {
	clear(g.forms)
	clear(g.common[:])
}

// legality is which entries of a column no regulation stops for one kind of car.
type legality struct {
	never bool   // no regulation covers the column
	known []int8 // by entry: 0 not asked yet, 1 legal, 2 not
}

func (g *grouped) isLegal(l *legality, kind int, q wheel.Quantity, id int32) bool {
	if l.never {
		return true
	}
	if int(id) >= len(l.known) {
		l.known = append(l.known, make([]int8, int(id)+1+len(l.known))...)
	}
	if l.known[id] == 0 {
		l.known[id] = 2
		law, _ := g.u.Book.Legality(subjectOf(kind, q, g.values.Reading(q, id)), q.String())
		if !law.Word.Stops() {
			l.known[id] = 1
		}
	}
	return l.known[id] == 1
}

// subjectOf is a wheel, or an axle, of which one reading alone is known.
func subjectOf(kind int, q wheel.Quantity, r measure.Reading) limit.Subject {
	s := limit.Subject{Kind: "wheel", Read: func(name string) measure.Reading {
		if name == q.String() {
			return r
		}
		return measure.Reading{}
	}}
	if q == wheel.BackToBack || q == wheel.BackToBackMax {
		s.Kind = "axle"
	}
	if kinds := wheel.Kinds(); kind < len(kinds) {
		s.CarKind = kinds[kind]
	}
	return s
}

// flush moves what was counted into counts at the places, and counts from nothing again.
func (g *grouped) flush(all []counts) {
	g.countMissing()
	defer func() {
		g.full, g.wheels = false, 0
		clear(g.sums)
		g.forget()
		for kind := range g.entries {
			for q := range g.entries[kind] {
				clear(g.entries[kind][q].n)
			}
		}
	}()
	for k := range g.u.Checks {
		x := &g.u.ends[k]
		if !x.any {
			continue
		}
		if g.u.multi[k] {
			g.flushSums(k, x, &all[k])
			continue
		}
		for kind := range kindCount {
			g.flushEntries(k, kind, x, &all[k])
		}
	}
}

func (g *grouped) flushEntries(k, kind int, x *ends, to *counts) {
	q := g.u.single[k]
	law := &g.legal[kind][q]
	list := &g.entries[kind][q]
	w := wheel.NewAxle(nil, nil, "")
	var id int
	missing := interaction.Part{Missing: 1}
	p := &missing
	both := func() bool { return g.isLegal(law, kind, q, int32(id)) && !g.u.unworn(k, p) }
	for id = range list.len() {
		t := list.get(id)
		if t.n == 0 {
			continue
		}
		if id > 0 {
			w.Set(q, g.values.Reading(q, int32(id)))
			p = &g.u.Checks[k].WheelPart(g.u.Rules, w, false).Part
		}
		to.add(x, p, both, t)
	}
}

func (g *grouped) flushSums(k int, x *ends, to *counts) {
	s := &g.sums[k]
	if s.missing.n > 0 {
		to.add(x, &interaction.Part{Missing: 1}, nil, s.missing)
	}
	var p interaction.Part
	for legal := range s.table {
		both := func() bool { return legal == 1 && !g.u.unworn(k, &p) }
		s.table[legal].each(func(lo, hi int64, t tallied) {
			p = interaction.Part{Lo: wheelbulk.InMM(lo), Hi: wheelbulk.InMM(hi)}
			to.add(x, &p, both, t)
		})
	}
	for key, c := range s.byEntry {
		to.add(x, &c.part, func() bool { return key.legal && !g.u.unworn(k, &c.part) }, c.tallied)
	}
}

// hasRule reports whether a regulation could cover a reading of a wheel.
func (u *summing) hasRule(kind int, q wheel.Quantity) bool {
	s := subjectOf(kind, q, measure.Reading{})
	for _, r := range u.Book.Rules {
		if r.Kind == "regulation" && ruleFor(&r, s) &&
			slices.ContainsFunc(r.Condemns, func(c configs.Condition) bool { return c.Quantity == q.String() }) {
			return true
		}
	}
	return false
}

// mixedRules reports whether a rule for wheels or axles of a kind of car looks at more than one reading, or at what the
// car does and what flanges it has.
func (u *summing) mixedRules(kind int) bool {
	for q := range wheel.NumQuantities {
		s := subjectOf(kind, q, measure.Reading{})
		for _, r := range u.Book.Rules {
			known := s.CarKind != "" || len(r.Kinds) == 0 // else the reading is unknown whatever else the rule asks for
			if r.Kind == "regulation" && ruleFor(&r, s) && known && len(r.Condemns)+len(r.Services)+len(r.Flanges) > 1 {
				return true
			}
		}
	}
	return false
}

// ruleFor reports whether a rule is, or may be, one for the subject and its kind of car.
func ruleFor(r *configs.Rule, s limit.Subject) bool {
	return !r.Reminder && r.Subject == s.Kind && (len(r.Kinds) == 0 || s.CarKind == "" ||
		slices.Contains(r.Kinds, s.CarKind))
}
