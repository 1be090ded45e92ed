// Package parallel spreads work over all cores.
package parallel

import (
	"runtime"
	"sync"
)

// Each calls f for 0 to n-1 on all cores.
func Each(n int, f func(i int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}
