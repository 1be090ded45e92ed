package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"
)

// progressAfter is how long work goes on in silence.
const progressAfter = 2 * time.Second

// progress says on a terminal what long work is at: one line, written over itself and taken away at the end.
type progress struct {
	w     io.Writer
	stop  chan struct{}
	ended sync.WaitGroup
	mu    sync.Mutex
	stage string
	shown int // characters of the line that stand
}

// watched reports whether a person sees what is written to w.
func watched(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// startProgress begins to watch the work; ticks are every second in use. Without a person who watches it does nothing.
func startProgress(w io.Writer, person bool, after, every time.Duration) *progress {
	p := &progress{w: w, stop: make(chan struct{})}
	if !person {
		return p
	}
	p.ended.Go(func() {
		begin := time.Now()
		wait := time.NewTimer(after)
		defer wait.Stop()
		for {
			select {
			case <-p.stop:
				p.line("")
				return
			case <-wait.C:
				wait.Reset(every)
				p.mu.Lock()
				stage := p.stage
				p.mu.Unlock()
				p.line(fmt.Sprintf("flangeway: %s, %d s so far", stage, int(time.Since(begin).Seconds())))
			}
		}
	})
	return p
}

// at says what the work is at now.
func (p *progress) at(stage string) {
	p.mu.Lock()
	p.stage = stage
	p.mu.Unlock()
}

// end takes the line away; what is written to the terminal then begins at its left.
func (p *progress) end() {
	select {
	case <-p.stop:
		return
	default:
		close(p.stop)
	}
	p.ended.Wait()
}

func (p *progress) line(text string) {
	if text == "" && p.shown == 0 {
		return
	}
	pad := strings.Repeat(" ", max(0, p.shown-len(text)))
	if text == "" {
		fmt.Fprintf(p.w, "\r%s\r", pad)
	} else {
		fmt.Fprintf(p.w, "\r%s%s", text, pad)
	}
	p.shown = len(text)
}
