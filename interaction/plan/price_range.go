package plan

import (
	"cmp"
	"math"
	"slices"
)

// PriceRange is between which prices of a work the plan stays the cheapest, the other prices as they are. Both ends are
// proven and none is the last, in hundredths of the currency, as costs.yaml has the work: a year if it is paid yearly.
type PriceRange struct {
	Work                string
	Cents, Least, Most  int64
	Yearly              bool
	BelowHalf, OverHalf bool // nothing changes down to half the price, up to twice
}

// Prices are tried down to half and up to twice what they are, and an end is looked for in so many steps at most. The
// network is solved anew for each, so that of a larger survey only those are tried on which most is spent, and of the
// largest none.
const (
	priceFactor   = 2
	pricesTried   = 3
	priceSteps    = 3
	pricesAll     = 5000 // cars times places up to which every price is tried
	pricesLargest = 20000
)

// priceRanges are those of the assumed prices that decide, of so many that were tried: somewhere between half and twice
// the price another plan may be cheaper. Of a plan that is not proven cheapest, or within limits, there are none.
func (p *Plan) priceRanges() (out []PriceRange, tried int) {
	m := p.model
	if p.Limited() || !p.Proven() || len(m.cars)*len(m.places) > pricesLargest {
		return nil, 0
	}
	spent := map[string]int64{}
	for i := range p.Actions {
		if a := &p.Actions[i]; a.Effect != Reads {
			spent[a.Work] += a.Cents
		}
	}
	for _, name := range m.worksInPlay() {
		spent[name] += 0
	}
	var names []string
	for name := range spent {
		if c, ok := m.sv.Costs.Of(name); ok && !c.Given && c.Cents > 0 {
			names = append(names, name)
		}
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(spent[b], spent[a]), cmp.Compare(a, b)) })
	restore := m.savedOptions()
	defer restore()
	if len(m.cars)*len(m.places) > pricesAll {
		names = names[:min(len(names), pricesTried)]
	}
	for _, name := range names {
		restore()
		c, _ := m.sv.Costs.Of(name)
		r := PriceRange{Work: name, Cents: c.Cents, Yearly: c.Yearly, Least: c.Cents, Most: c.Cents}
		r.Least, r.BelowHalf = p.provenTo(name, c.Cents, c.Cents/priceFactor)
		if r.Most, r.OverHalf = c.Cents*priceFactor, true; spent[name] > 0 { // what is not bought may cost any more
			r.Most, r.OverHalf = p.provenTo(name, c.Cents, r.Most)
		}
		if !r.BelowHalf || !r.OverHalf {
			out = append(out, r)
		}
	}
	return out, len(names)
}

// worksInPlay are the works that the options of places and axles hold, and the holds.
func (m *model) worksInPlay() (out []string) {
	for i := range m.places {
		out = append(out, m.places[i].offered...)
	}
	for i := range m.axles {
		for j := range m.axles[i].opts {
			out = append(out, m.axles[i].opts[j].work.name)
		}
	}
	for ci := range m.cars {
		out = append(out, m.holdWork[m.cars[ci].holdKind()].Work)
	}
	return out
}

// provenTo is how far the price of a work may move toward an end; all of it says that the end is reached. The least
// cost is concave in the price, so that from a plan that is cheaper at one price the next to try is where both cost
// the same.
func (p *Plan) provenTo(name string, price, end int64) (proven int64, all bool) {
	at := end
	for range priceSteps {
		cost, units, stays := p.staysAt(name, price, at)
		if stays {
			return at, at == end
		}
		mine := p.costAt(name, price, at)
		// by which the plan gets dearer for it
		per := float64(mine-p.Cents)/float64(at-price) - float64(units)/float64(at)
		next := at - int64(math.Ceil(float64(mine-cost)/math.Abs(per)))
		if end < price {
			next = at + int64(math.Ceil(float64(mine-cost)/math.Abs(per)))
		}
		at = wholeToward(next, price)
		if per == 0 || (at-price)*(end-price) <= 0 {
			break
		}
	}
	return price, false
}

// wholeToward is an amount of whole units of the currency, not farther from a price.
func wholeToward(cents, price int64) int64 {
	if cents < price {
		return (cents + 99) / 100 * 100
	}
	return cents / 100 * 100
}

// costAt is the plan's cost if a work has another price.
func (p *Plan) costAt(name string, was, price int64) int64 {
	cost := p.Cents
	for i := range p.Actions {
		if a := &p.Actions[i]; a.Work == name && a.Effect != Reads {
			cost += scaled(a.Cents, was, price) - a.Cents
		}
	}
	return cost
}

// staysAt reports whether it is proven that no set of works is cheaper than the plan's if a work has another price;
// else what may be cheaper costs so much, of it units for that work. Every option is in play again, because what was
// needless need not be so at that price; what was never asked of the engine does all that it may do.
func (p *Plan) staysAt(name string, was, price int64) (cost, units int64, stays bool) {
	m := p.model
	if m.reprice(name, was, price) {
		m.prune()
	}
	n, bounding := m.assemble()
	s := n.solve()
	if bounding != nil {
		s.bound = min(s.bound, bounding.solve().bound)
	}
	for pi, y := range s.choice.place {
		for _, a := range n.places[pi][y].acts {
			if a.Work == name {
				units += scaled(a.Cents, was, price)
			}
		}
	}
	for ci, o := range s.choice.car {
		c, x := &m.cars[ci], &n.cars[ci][o]
		for k, ai := range c.axles {
			if w := &m.axles[ai].opts[x.levels[k]]; w.work.name == name {
				units += w.cents
			}
		}
		if hold := m.holdWork[c.holdKind()]; hold.Work == name {
			units += hold.Cents * int64(len(x.bars))
			for pi, y := range s.choice.place {
				if x.marks[pi].has(y) {
					units += hold.Cents
				}
			}
		}
		if x.out && outOfService(m.sv, c.car, nil).Work == name {
			units += x.cents
		}
	}
	return s.cost + m.rereadCents, units, s.bound+m.rereadCents >= p.costAt(name, was, price)
}

// scaled is what costs cents at one price at another.
func scaled(cents, was, price int64) int64 {
	return int64(math.Round(float64(cents) * float64(price) / float64(was)))
}

// reprice gives a work another price in all options, and reports whether any is dearer or cheaper for it or was.
func (m *model) reprice(name string, was, price int64) (changed bool) {
	sv := *m.sv
	sv.Costs.List = slices.Clone(sv.Costs.List)
	for i := range sv.Costs.List {
		if c := &sv.Costs.List[i]; c.Name == name {
			c.Cents = price
		}
	}
	m.sv = &sv
	m.priceHolds()
	for i := range m.axles {
		for j := range m.axles[i].opts {
			if o := &m.axles[i].opts[j]; o.work.name == name {
				o.cents, changed = work(sv.Costs, name).Cents, true
			}
		}
	}
	for i := range m.places {
		for y := range m.places[i].opts {
			o := &m.places[i].opts[y]
			o.cents = 0
			for _, a := range o.acts {
				if a.Work == name {
					o.cents, changed = o.cents+scaled(a.Cents, was, price), true
				} else {
					o.cents += a.Cents
				}
			}
		}
	}
	return changed
}

// savedOptions gives back the prices as they are and which options are in play.
func (m *model) savedOptions() (restore func()) {
	type option struct {
		cents int64
		gone  bool
	}
	sv := m.sv
	var live [][]int
	var axles, places [][]option
	for i := range m.places {
		p := &m.places[i]
		live, places = append(live, slices.Clone(p.live)), append(places, make([]option, len(p.opts)))
		for y := range p.opts {
			places[i][y].cents = p.opts[y].cents
		}
	}
	for i := range m.axles {
		a := &m.axles[i]
		axles = append(axles, make([]option, len(a.opts)))
		for j := range a.opts {
			axles[i][j] = option{a.opts[j].cents, a.opts[j].gone}
		}
	}
	return func() {
		m.sv = sv
		m.priceHolds()
		for i := range m.places {
			m.places[i].live = slices.Clone(live[i])
			for y := range m.places[i].opts {
				m.places[i].opts[y].cents = places[i][y].cents
			}
		}
		for i := range m.axles {
			for j := range m.axles[i].opts {
				o := &m.axles[i].opts[j]
				o.cents, o.gone = axles[i][j].cents, axles[i][j].gone
			}
		}
	}
}
