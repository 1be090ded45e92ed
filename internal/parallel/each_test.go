package parallel

import (
	"sync/atomic"
	"testing"
)

func TestEach(t *testing.T) {
	t.Parallel()
	for _, n := range []int{0, 1, 1000} {
		calls := make([]atomic.Int32, n)
		Each(n, func(i int) { calls[i].Add(1) })
		for i := range calls {
			if got := calls[i].Load(); got != 1 {
				t.Errorf("%d of %d was called %d times", i, n, got)
			}
		}
	}
}
