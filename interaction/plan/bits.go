package plan

import "math/bits"

// bitset is a fixed set of small numbers.
type bitset []uint64

func newBitset(n int) bitset { return make(bitset, (n+63)/64) }

func (b bitset) set(i int)      { b[i/64] |= 1 << (i % 64) }
func (b bitset) has(i int) bool { return b[i/64]>>(i%64)&1 == 1 }

// or adds the members of another set.
func (b bitset) or(o bitset) {
	for i, w := range o {
		b[i] |= w
	}
}

// and leaves the members that are in another set too.
func (b bitset) and(o bitset) {
	for i, w := range o {
		b[i] &= w
	}
}

// count is how many members there are.
func (b bitset) count() (n int) {
	for _, w := range b {
		n += bits.OnesCount64(w)
	}
	return n
}

// within reports whether every member is one of the other set.
func (b bitset) within(o bitset) bool {
	for i, w := range b {
		if w&^o[i] != 0 {
			return false
		}
	}
	return true
}

func (b bitset) empty() bool {
	for _, w := range b {
		if w != 0 {
			return false
		}
	}
	return true
}

func (b bitset) clear() { clear([]uint64(b)) }

// cloned are copies of sets, in one piece of memory.
func cloned(sets []bitset) []bitset {
	n := 0
	for _, b := range sets {
		n += len(b)
	}
	out, all := make([]bitset, len(sets)), make(bitset, 0, n)
	for i, b := range sets {
		from := len(all)
		all = append(all, b...)
		out[i] = all[from:len(all):len(all)]
	}
	return out
}
