package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// screen keeps what is written to it, from two goroutines, and says when.
type screen struct {
	mu    sync.Mutex
	text  bytes.Buffer
	wrote chan struct{}
}

func (s *screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	select {
	case s.wrote <- struct{}{}:
	default:
	}
	return s.text.Write(p)
}

// Long work says what it is at, on one line that is gone at the end.
func TestProgress(t *testing.T) {
	s := &screen{wrote: make(chan struct{}, 1)}
	p := startProgress(s, true, time.Millisecond, time.Millisecond)
	p.at("judging a long list of wheels")
	<-s.wrote
	p.at("writing")
	for range 20 {
		<-s.wrote
	}
	p.end()
	p.end() // as a deferred one does
	text := s.text.String()
	if !strings.Contains(text, "\rflangeway: writing, 0 s so far") || strings.Contains(text, "\n") {
		t.Errorf("the line was %q", text)
	}
	parts := strings.Split(text, "\r")
	if last := parts[len(parts)-1]; last != "" || strings.TrimSpace(parts[len(parts)-2]) != "" {
		t.Errorf("the line stands at the end: %q", text)
	}
	width := 0 // of what stands on the line; each part must cover the one before it
	for _, part := range parts[1 : len(parts)-1] {
		if len(part) < width {
			t.Errorf("%q leaves the end of a longer line", part)
		}
		width = len(strings.TrimRight(part, " "))
	}
}

// What can be counted has a share, and a time that is left if it goes on so.
func TestProgressShare(t *testing.T) {
	p := &progress{}
	p.steps("running trucks", 0, 8)
	if got := p.share(p.began); got != ", 0 percent" {
		t.Errorf("%q", got)
	}
	p.steps("running trucks", 2, 8)
	p.steps("running trucks", 1, 8) // said late by another goroutine
	if got := p.share(p.began.Add(10 * time.Second)); got != ", 25 percent, about 30 s left of it" {
		t.Errorf("%q", got)
	}
	p.steps("running trucks", 8, 8)
	if got := p.share(p.began.Add(40 * time.Second)); got != ", 100 percent" {
		t.Errorf("%q", got)
	}
	p.at("writing")
	if got := p.share(time.Now()); got != "" {
		t.Errorf("%q", got)
	}
}

// Without a person who watches, and with work that is short, nothing is written.
func TestProgressIsSilent(t *testing.T) {
	var b bytes.Buffer
	p := startProgress(&b, false, 0, time.Millisecond)
	p.at("x")
	time.Sleep(5 * time.Millisecond)
	p.end()
	q := startProgress(&b, true, time.Hour, time.Hour)
	q.at("x")
	q.end()
	if b.Len() > 0 {
		t.Errorf("%q", b.String())
	}
}

// A file and a buffer are watched by nobody.
func TestWatched(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "out"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if watched(f) || watched(&bytes.Buffer{}) {
		t.Error("a file or a buffer is taken for a terminal")
	}
}
