package plan

import (
	"cmp"
	"math"
	"slices"
)

// A car's axles are worked on together: what it leaves at a place is what all of them leave. The combinations of their
// works are made unit by unit, a unit being an axle or a truck that is judged as one, and after each unit those are
// taken out that another one is never worse than. What follows adds the same to both, so nothing that could be the best
// is lost.

// maxCarOptions is up to how many combinations of a car's axles are kept. With more, those that cost alike are joined:
// one of them stays to choose from, and a relaxed one that does what all of them do stands in the bound alone.
const maxCarOptions = 2048

// roughCarOptions is that number if a rough choice is enough.
const roughCarOptions = 128

// mostCarOptions is the one that holds for the model.
func (m *model) mostCarOptions() int {
	if m.opt.Rough {
		return roughCarOptions
	}
	return maxCarOptions
}

// unit is the axles of a car, as they stand in its list, that are judged as one.
type unit []int

// units are those of a car, by their first axle.
func (c *carModel) units() (out []unit) {
	at := map[*truckModel]int{}
	for k := range c.axles {
		t := c.truckOf[k]
		if i, ok := at[t]; ok && t != nil {
			out[i] = append(out[i], k)
			continue
		}
		at[t] = len(out)
		out = append(out, unit{k})
	}
	return out
}

// worksOf are the combinations of works on the axles of a unit that are not needless by axle.
func (m *model) worksOf(c *carModel, u unit) []carOption {
	out := []carOption{{levels: make([]int, len(c.axles))}}
	for _, k := range u {
		a := &m.axles[c.axles[k]]
		var next []carOption
		for j := range a.opts {
			o := &a.opts[j]
			if o.gone {
				continue
			}
			for _, base := range out {
				x := carOption{levels: slices.Clone(base.levels), cents: base.cents + o.cents, millis: base.millis +
					o.millis}
				x.levels[k] = j
				next = append(next, x)
			}
		}
		out = next
	}
	return out
}

// both joins a combination with one of the next unit.
func (x *carOption) both(y *carOption) carOption {
	out := carOption{levels: slices.Clone(x.levels), cents: x.cents + y.cents, millis: x.millis + y.millis,
		relaxed: x.relaxed || y.relaxed}
	for k, j := range y.levels {
		if j != 0 {
			out.levels[k] = j
		}
	}
	out.marks = cloned(x.marks)
	for i := range out.marks {
		out.marks[i].or(y.marks[i])
	}
	if x.left != nil {
		out.left = make([]float64, len(x.left))
		for i := range out.left {
			out.left[i] = x.left[i] + y.left[i]
		}
	}
	return out
}

// within reports whether a combination leaves nothing that another one does not leave.
func (x *carOption) within(y *carOption) bool {
	for i := range x.marks {
		if !x.marks[i].within(y.marks[i]) {
			return false
		}
	}
	for i := range x.left {
		if x.left[i] > y.left[i]+1e-9 {
			return false
		}
	}
	return true
}

// amount is how much a combination leaves: not more than one that leaves as much everywhere.
func (x *carOption) amount() float64 {
	sum := 0.0
	for i := range x.marks {
		sum += float64(x.marks[i].count())
	}
	for _, v := range x.left {
		sum += v
	}
	return sum
}

// pruneCar takes out combinations that another one is never worse than. The order stays. days says that crew days
// count too.
func pruneCar(list []carOption, days bool) []carOption {
	if len(list) < 2 {
		return list
	}
	order, amount := make([]int, len(list)), make([]float64, len(list))
	for i := range list {
		order[i], amount[i] = i, list[i].amount()
	}
	// Whatever could take another one out stands before it.
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &list[i], &list[j]
		c := cmp.Compare(a.cents, b.cents)
		if c == 0 && days {
			c = cmp.Compare(a.millis, b.millis)
		}
		return cmp.Or(c, cmp.Compare(amount[i], amount[j]))
	})
	var kept []int
	for _, j := range order {
		x := &list[j]
		if !slices.ContainsFunc(kept, func(q int) bool {
			y := &list[q]
			return !(days && y.millis > x.millis) && amount[q] <= amount[j]+1e-6 && (x.relaxed || !y.relaxed) &&
				y.within(x)
		}) {
			kept = append(kept, j)
		}
	}
	slices.Sort(kept)
	out := make([]carOption, len(kept))
	for i, j := range kept {
		out[i] = list[j]
	}
	return out
}

// joined keeps maxCarOptions of too many combinations to choose from, with relaxed ones for the others.
func joined(list []carOption, most int) []carOption {
	if len(list) <= most {
		return list
	}
	slices.SortStableFunc(list, func(a, b carOption) int { return cmp.Compare(a.cents, b.cents) })
	var out []carOption
	for from := 0; from < len(list); {
		to := min(len(list), from+(len(list)+most-1)/most)
		best, relaxed := from, list[from].copied()
		for i := from + 1; i < to; i++ {
			x := &list[i]
			if list[best].relaxed || !x.relaxed && x.amount() < list[best].amount() {
				best = i
			}
			relaxed.relaxed = true
			relaxed.millis = min(relaxed.millis, x.millis) // cents are the least already
			for k := range relaxed.marks {
				relaxed.marks[k].and(x.marks[k])
			}
			for k := range relaxed.left {
				relaxed.left[k] = math.Min(relaxed.left[k], x.left[k])
			}
		}
		if !list[best].relaxed {
			out = append(out, list[best])
		}
		if relaxed.relaxed {
			out = append(out, relaxed)
		}
		from = to
	}
	return out
}

func (x *carOption) copied() carOption {
	out := *x
	out.marks, out.left, out.levels = cloned(x.marks), slices.Clone(x.left), slices.Clone(x.levels)
	return out
}

// combined are the combinations over all units of a car; leaves fills in what one of a unit leaves.
func (m *model) combined(c *carModel, leaves func(u unit, x *carOption)) []carOption {
	var out []carOption
	for i, u := range c.units() {
		list := m.worksOf(c, u)
		for n := range list {
			leaves(u, &list[n])
		}
		list = pruneCar(list, m.opt.limited())
		if i == 0 {
			out = list
			continue
		}
		var next []carOption
		for n := range list {
			for b := range out {
				next = append(next, out[b].both(&list[n]))
			}
		}
		out = joined(pruneCar(next, m.opt.limited()), m.mostCarOptions())
	}
	return out
}
