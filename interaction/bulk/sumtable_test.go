package bulk

import (
	"maps"
	"math/rand/v2"
	"testing"

	wheelbulk "flangeway/wheel/bulk"
)

// A table of sums counts what a map counts, whatever lies on a grid and what does
// not.
func TestSumTable(t *testing.T) {
	type key struct{ lo, hi int64 }
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 3))
		step := 1 + r.Int64N(50_000_000)
		if seed%4 == 0 {
			step <<= 8
		}
		var table sumTable
		want := map[key]tallied{}
		for i := range 20_000 {
			lo := 1_300_000_000_000 + step*r.Int64N(700)
			width := 2 * step
			odd := r.IntN(20)
			if i < 300 { // the first decide on the grid
				odd = 3
			}
			switch odd {
			case 0:
				lo += r.Int64N(step)
			case 1:
				width += step
			case 2:
				lo -= 1_000_000 * step
			}
			table.add(lo, lo+width, wheelbulk.Order(i))
			n := want[key{lo, lo + width}]
			n.add(wheelbulk.Order(i))
			want[key{lo, lo + width}] = n
		}
		if table.list.len() == 0 {
			t.Errorf("seed %d: no list was made for steps of %d", seed, step)
		}
		got := map[key]tallied{}
		table.each(func(lo, hi int64, n tallied) {
			if _, twice := got[key{lo, hi}]; twice {
				t.Fatalf("seed %d: [%d,%d] comes twice", seed, lo, hi)
			}
			got[key{lo, hi}] = n
		})
		if !maps.Equal(got, want) {
			t.Fatalf("seed %d: %d sums are counted otherwise than %d", seed, len(got), len(want))
		}
	}
}
