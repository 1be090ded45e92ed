package bulk

import (
	"math/bits"

	wheelbulk "flangeway/wheel/bulk"
)

// sumTable counts wheels by the two ends of a sum. Sums of readings that are written alike lie on a grid and are as
// wide as each other: when the first have been seen, those go to a list by their place on the grid, and only the others
// are looked up.
type sumTable struct {
	list    tallies
	base    int64  // of the lower end of list[0]
	width   int64  // of the sums in the list
	inverse uint64 // of the odd part of the grid's step, modulo 2^64
	twos    int    // in the step
	step    int64
	others  map[[2]int64]*tallied
	tried   bool // it was decided whether there is a list
}

// firstSums is how many sums are seen before a list is tried; maxList bounds one.
const (
	firstSums = 128
	maxList   = 1 << 14
)

// add counts a wheel.
func (t *sumTable) add(lo, hi int64, order wheelbulk.Order) {
	if i, listed := t.place(lo, hi); listed {
		t.list.add(i, order)
		return
	}
	c := t.others[[2]int64{lo, hi}]
	if c == nil {
		if len(t.others) == firstSums && !t.tried {
			t.tryList()
			t.add(lo, hi, order)
			return
		}
		if t.others == nil {
			t.others = map[[2]int64]*tallied{}
		}
		c = &tallied{}
		t.others[[2]int64{lo, hi}] = c
	}
	c.add(order)
}

// place is where a sum stands in the list; ok is false if it does not. A whole number of steps divides without a rest;
// any other distance gives a number beyond every list.
func (t *sumTable) place(lo, hi int64) (i int, ok bool) {
	n := bits.RotateLeft64(uint64(lo-t.base)*t.inverse, -t.twos)
	return int(n), n < uint64(t.list.len()) && hi-lo == t.width
}

// tryList makes a list for the commonest width of the sums so far.
func (t *sumTable) tryList() {
	t.tried = true
	widths, most := map[int64]int{}, 0
	for ends := range t.others {
		widths[ends[1]-ends[0]]++
	}
	for w, n := range widths {
		if n > most || n == most && w < t.width {
			t.width, most = w, n
		}
	}
	var least, greatest, step int64
	first := true
	for ends := range t.others {
		lo := ends[0]
		if ends[1]-lo != t.width {
			continue
		}
		if first {
			least, greatest, first = lo, lo, false
		}
		step = divisor(step, lo-least)
		least, greatest = min(least, lo), max(greatest, lo)
	}
	if step == 0 || (greatest-least)/step > maxList/3 {
		return
	}
	n := (greatest - least) / step
	t.step = step
	t.base = least - n*step // as far again on either side
	t.twos = bits.TrailingZeros64(uint64(step))
	odd := uint64(step) >> t.twos
	t.inverse = odd // right in three bits; each round doubles them
	for range 5 {
		t.inverse *= 2 - odd*t.inverse
	}
	t.list = newTallies(int(3*n + 1))
	for ends, c := range t.others {
		if i, listed := t.place(ends[0], ends[1]); listed {
			t.list.n[i], t.list.first[i] = uint32(c.n), c.first
			delete(t.others, ends)
		}
	}
}

// divisor is the greatest common divisor.
func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// each gives every sum with its tally.
func (t *sumTable) each(f func(lo, hi int64, n tallied)) {
	for i := range t.list.len() {
		if n := t.list.get(i); n.n > 0 {
			lo := t.base + int64(i)*t.step
			f(lo, lo+t.width, n)
		}
	}
	for ends, c := range t.others {
		f(ends[0], ends[1], *c)
	}
}
