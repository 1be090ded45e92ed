package shaped

import (
	"maps"
	"sync"
)

// kept holds values that are made once for each key, by whichever core asks first; the others wait
// for it. The zero value is ready.
type kept[K comparable, V any] struct {
	lock  sync.Mutex // of cells
	cells map[K]*keptCell[V]
}

type keptCell[V any] struct {
	once  sync.Once
	value V
	err   error
}

// get gives what stands under a key, made if it is not there; an error is kept too.
func (k *kept[K, V]) get(key K, create func() (V, error)) (V, error) {
	k.lock.Lock()
	cell := k.cells[key]
	if cell == nil {
		if k.cells == nil {
			k.cells = map[K]*keptCell[V]{}
		}
		cell = &keptCell[V]{}
		k.cells[key] = cell
	}
	k.lock.Unlock()
	cell.once.Do(func() { cell.value, cell.err = create() })
	return cell.value, cell.err
}

// len is how many keys there are.
func (k *kept[K, V]) len() int {
	k.lock.Lock()
	defer k.lock.Unlock()
	return len(k.cells)
}

// forget drops what stands under keys that are not wanted any more.
func (k *kept[K, V]) forget(unwanted func(K) bool) {
	k.lock.Lock()
	defer k.lock.Unlock()
	maps.DeleteFunc(k.cells, func(key K, _ *keptCell[V]) bool { return unwanted(key) })
}
