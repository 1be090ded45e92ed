package bulk

import (
	"math/bits"

	wheelbulk "flangeway/wheel/bulk"
)

// sumTable counts wheels by the two ends of a sum. Sums of readings that are written alike lie on a grid and are as
// wide as each other: when the first have been seen, those go to a list by their place on the grid, and only the others
// are looked for.
type sumTable struct {
	list    tallies
	base    int64  // of the lower end of list[0]
	width   int64  // of the sums in the list
	inverse uint64 // of the odd part of the grid's step, modulo 2^64
	twos    int    // in the step
	step    int64
	cells   []sumEntry // a power of two of them, or none
	used    int
	listed  bool // it was decided whether there is a list
}

type sumEntry struct {
	lo, hi int64
	tallied
}

// add counts a wheel.
func (t *sumTable) add(lo, hi int64, order wheelbulk.Order) {
	i, listed := t.place(lo, hi)
	if !listed && 2*t.used >= len(t.cells) {
		t.grow() // which may have made the list
		i, listed = t.place(lo, hi)
	}
	if listed {
		t.list.add(i, order)
		return
	}
	t.find(lo, hi).add(order)
}

// place is where a sum stands in the list; ok is false if it does not. A whole number of steps divides without a rest;
// any other distance gives a number beyond every list.
func (t *sumTable) place(lo, hi int64) (i int, ok bool) {
	n := bits.RotateLeft64(uint64(lo-t.base)*t.inverse, -t.twos)
	return int(n), n < uint64(t.list.len()) && hi-lo == t.width
}

// find gives the tally of a sum that is not in the list; a place is free.
func (t *sumTable) find(lo, hi int64) *tallied {
	last := uint64(len(t.cells) - 1)
	for i := hashOf(lo, hi) & last; ; i = (i + 1) & last {
		c := &t.cells[i]
		if c.n == 0 {
			c.lo, c.hi = lo, hi
			t.used++
			return &c.tallied
		}
		if c.lo == lo && c.hi == hi {
			return &c.tallied
		}
	}
}

func hashOf(lo, hi int64) uint64 {
	h := (uint64(lo) ^ uint64(hi)*0x9E3779B97F4A7C15) * 0xD6E8FEB86659FD93
	return h ^ h>>32
}

// firstCells is how many cells a table begins with; when half of them are used a list is tried.
const firstCells = 256

func (t *sumTable) grow() {
	old := t.cells
	if len(old) > 0 && !t.listed {
		t.listed = true
		t.tryList()
	}
	t.cells, t.used = make([]sumEntry, max(firstCells, 2*len(old))), 0
	for _, c := range old {
		if c.n == 0 {
			continue
		}
		if i, listed := t.place(c.lo, c.hi); listed {
			t.list.set(i, c.tallied)
			continue
		}
		*t.find(c.lo, c.hi) = c.tallied
	}
}

// maxList bounds a list.
const maxList = 1 << 14

// tryList makes a list for the commonest width of the sums so far.
func (t *sumTable) tryList() {
	widths := map[int64]int{}
	for _, c := range t.cells {
		if c.n > 0 {
			widths[c.hi-c.lo]++
		}
	}
	most := 0
	for w, n := range widths {
		if n > most || n == most && w < t.width {
			t.width, most = w, n
		}
	}
	var least, greatest, step int64
	first := true
	for _, c := range t.cells {
		if c.n == 0 || c.hi-c.lo != t.width {
			continue
		}
		if first {
			least, greatest, first = c.lo, c.lo, false
		}
		step = divisor(step, c.lo-least)
		least, greatest = min(least, c.lo), max(greatest, c.lo)
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
	for _, c := range t.cells {
		if c.n > 0 {
			f(c.lo, c.hi, c.tallied)
		}
	}
}
