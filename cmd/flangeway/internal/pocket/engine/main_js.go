// Command engine is package pocket in a page and in what computes beside it: functions of the page's own that take and
// give JSON.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"syscall/js"

	"flangeway/cmd/flangeway/internal/pocket"
)

// answer holds the result of a function, or what is wrong.
type answer struct {
	Result any    `json:"result,omitempty"`
	Error  string `json:"error,omitempty"`
}

var errClosed = errors.New("no survey is open")

// give makes a function of the page that takes a value as JSON. One that panics has failed, and the engine goes on.
func give[T any](name string, f func(T) (any, error)) {
	called := func(text string) (out answer) {
		defer func() {
			if r := recover(); r != nil {
				out = answer{Error: fmt.Sprint(r)}
			}
		}()
		var in T
		if err := json.Unmarshal([]byte(text), &in); err != nil {
			return answer{Error: err.Error()}
		}
		result, err := f(in)
		if err != nil {
			return answer{Error: err.Error()}
		}
		return answer{Result: result}
	}
	js.Global().Set(name, js.FuncOf(func(_ js.Value, args []js.Value) any {
		text, err := json.Marshal(called(args[0].String()))
		if err != nil {
			return `{"error":"the answer cannot be written"}`
		}
		return string(text)
	}))
}

func main() {
	debug.SetGCPercent(400) // an entry ends before the memory of those before it is collected
	var s *pocket.Session
	entered := false // since memory was collected
	open := func(f func() (any, error)) (any, error) {
		if s == nil {
			return nil, errClosed
		}
		return f()
	}
	give("flangewayOpen", func(in struct {
		Files map[string]string `json:"files"`
		Day   string            `json:"day"`
	}) (any, error) {
		files := map[string][]byte{}
		for name, x := range in.Files {
			files[name] = []byte(x)
		}
		var err error
		s, err = pocket.Open(files, in.Day)
		return nil, err
	})
	give("flangewayEnter", func(e pocket.Entry) (any, error) {
		return open(func() (any, error) {
			entered = true
			return s.Enter(e)
		})
	})
	give("flangewayRehearse", func(e pocket.Entry) (any, error) {
		return open(func() (any, error) {
			entered = true
			return s.Rehearse(e)
		})
	})
	give("flangewayTake", func(list []pocket.Entry) (any, error) {
		return open(func() (any, error) { return s.Take(list) })
	})
	give("flangewayPrepare", func(key string) (any, error) {
		return open(func() (any, error) {
			if s.Prepare(key, 3) { // so few that a key which is pressed meanwhile hardly waits
				entered = true
				return true, nil
			}
			if entered {
				runtime.GC() // now, not while somebody waits for a verdict
				entered = false
			}
			return false, nil
		})
	})
	give("flangewayJudge", func(key string) (any, error) {
		return open(func() (any, error) { return s.Judge(key) })
	})
	give("flangewayChecks", func(key string) (any, error) {
		return open(func() (any, error) { return s.Checks(key), nil })
	})
	give("flangewayComputed", func(in struct {
		Key   string `json:"key"`
		Check string `json:"check"`
	}) (any, error) {
		return open(func() (any, error) { return s.Computed(in.Key, in.Check) })
	})
	give("flangewayFiles", func(int) (any, error) {
		return open(func() (any, error) {
			files, err := s.Changed()
			out := map[string]string{}
			for name, x := range files {
				out[name] = string(x)
			}
			return out, err
		})
	})
	give("flangewayBook", func(int) (any, error) { return open(func() (any, error) { return s.Workbook() }) })
	js.Global().Call("flangewayReady")
	select {}
}
