// Package parallel spreads work over all cores.
package parallel

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Each calls f for 0 to n-1 on all cores. Calls begin in this order, so what takes long had better come first. f(i) may
// write only what belongs to i. There are more goroutines than cores because one may wait for what another one makes.
func Each(n int, f func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(n, 2*runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	wait.Wait()
}
