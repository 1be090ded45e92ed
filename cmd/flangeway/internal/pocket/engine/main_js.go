// Command engine is package pocket in a page: functions of the page's own window that take and give JSON.
package main

import (
	"encoding/json"
	"syscall/js"

	"flangeway/cmd/flangeway/internal/pocket"
)

// answer is what a function gives: its result, or what is wrong.
type answer struct {
	Result any    `json:"result,omitempty"`
	Error  string `json:"error,omitempty"`
}

func main() {
	var s *pocket.Session
	give := func(name string, f func(text string) (any, error)) {
		js.Global().Set(name, js.FuncOf(func(_ js.Value, args []js.Value) any {
			var out answer
			if result, err := f(args[0].String()); err != nil {
				out.Error = err.Error()
			} else {
				out.Result = result
			}
			text, err := json.Marshal(out)
			if err != nil {
				return `{"error":"the answer cannot be written"}`
			}
			return string(text)
		}))
	}
	give("flangewayOpen", func(text string) (any, error) {
		var in struct {
			Files map[string]string `json:"files"`
			Day   string            `json:"day"`
		}
		if err := json.Unmarshal([]byte(text), &in); err != nil {
			return nil, err
		}
		files := map[string][]byte{}
		for name, x := range in.Files {
			files[name] = []byte(x)
		}
		var err error
		if s, err = pocket.Open(files, in.Day); err != nil {
			return nil, err
		}
		return s.Things(), nil
	})
	give("flangewayEnter", func(text string) (any, error) {
		var e pocket.Entry
		if err := json.Unmarshal([]byte(text), &e); err != nil {
			return nil, err
		}
		return s.Enter(e)
	})
	give("flangewayTake", func(text string) (any, error) {
		var list []pocket.Entry
		if err := json.Unmarshal([]byte(text), &list); err != nil {
			return nil, err
		}
		return s.Take(list), nil
	})
	give("flangewayJudge", func(text string) (any, error) {
		var key string
		if err := json.Unmarshal([]byte(text), &key); err != nil {
			return nil, err
		}
		return s.Judge(key)
	})
	give("flangewayFiles", func(string) (any, error) {
		files, err := s.Changed()
		if err != nil {
			return nil, err
		}
		out := map[string]string{}
		for name, x := range files {
			out[name] = string(x)
		}
		return out, nil
	})
	js.Global().Call("flangewayReady")
	select {}
}
