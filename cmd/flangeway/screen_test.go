package main

import (
	"testing"

	"flangeway/cmd/flangeway/internal/paper"
)

func TestScreenFor(t *testing.T) {
	for _, c := range []struct {
		name, choice, noColor, term string
		columns                     int
		terminal                    bool
		want                        paper.Screen
	}{
		{"a terminal", "auto", "", "xterm", 120, true, paper.Screen{Columns: 120, Emphasis: true}},
		{"a file", "auto", "", "xterm", 0, false, paper.Screen{}},
		{"NO_COLOR", "auto", "1", "xterm", 120, true, paper.Screen{Columns: 120}},
		{"a terminal that shows letters alone", "auto", "", "dumb", 80, true, paper.Screen{Columns: 80}},
		{"never on a terminal", "never", "", "xterm", 80, true, paper.Screen{Columns: 80}},
		{"always in a file keeps its width", "always", "", "", 0, false, paper.Screen{Emphasis: true}},
		{"always is above NO_COLOR", "always", "1", "dumb", 80, true, paper.Screen{Columns: 80, Emphasis: true}},
	} {
		if got := screenFor(c.choice, c.noColor, c.term, c.columns, c.terminal); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}
