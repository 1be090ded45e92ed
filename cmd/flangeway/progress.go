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
	// done of total steps of the stage, which began then; no total if they cannot be counted
	done, total int
	began       time.Time
	shown       int // characters of the line that stand
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
				stage := p.stage + p.share(time.Now())
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
	p.stage, p.done, p.total = stage, 0, 0
	p.mu.Unlock()
}

// steps says how much of a stage is done, which is what the work is at from then on.
func (p *progress) steps(stage string, done, total int) {
	p.mu.Lock()
	if stage != p.stage || p.total != total {
		p.began = time.Now()
	}
	p.stage, p.total = stage, total
	p.done = max(done, min(p.done, total))
	if done == 0 {
		p.done = 0
	}
	p.mu.Unlock()
}

// share is how much of the stage is done, and how long the rest takes if it goes on so.
func (p *progress) share(now time.Time) string {
	if p.total == 0 {
		return ""
	}
	s := fmt.Sprintf(", %d percent", 100*p.done/p.total)
	if p.done > 0 && p.done < p.total {
		left := now.Sub(p.began) * time.Duration(p.total-p.done) / time.Duration(p.done)
		s += fmt.Sprintf(", about %d s left of it", int(left.Round(time.Second).Seconds()))
	}
	return s
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
