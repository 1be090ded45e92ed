package main

import (
	"io"
	"os"
	"slices"
	"strings"

	"golang.org/x/term"

	"flangeway/cmd/flangeway/internal/paper"
)

// The words of --color.
const (
	colorAuto   = "auto"
	colorAlways = "always"
	colorNever  = "never"
)

func colors() []string { return []string{colorAuto, colorAlways, colorNever} }

// screen is the terminal that results go to: none if they go to a file or to another program.
func (s streams) screen() paper.Screen {
	choice := colorAuto
	if s.color != nil {
		choice = *s.color
	}
	columns, terminal := columnsOf(s.out)
	return screenFor(choice, os.Getenv("NO_COLOR"), os.Getenv("TERM"), columns, terminal)
}

// screenFor says how a page is shown. NO_COLOR, if it is not empty, and a terminal that calls itself dumb take the
// emphasis away that --color auto gives (https://no-color.org); always and never are the last word.
func screenFor(choice, noColor, name string, columns int, terminal bool) paper.Screen {
	out := paper.Screen{Emphasis: choice == colorAlways}
	if terminal {
		out.Columns = columns
		out.Emphasis = out.Emphasis || choice == colorAuto && noColor == "" && name != "dumb"
	}
	return out
}

// columnsOf is how wide a terminal is; one that does not say has 80 columns.
func columnsOf(w io.Writer) (columns int, terminal bool) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0, false
	}
	if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 {
		return columns, true
	}
	return 80, true
}

// show writes a page to standard output, as wide as the terminal is.
func (s streams) show(page *paper.Document) *paper.Document {
	page.Screen = s.screen()
	return page
}

// knownColor refuses a word of --color that is none.
func (s streams) knownColor() error {
	if !slices.Contains(colors(), *s.color) {
		return usagef("--color %q is not one of %s", *s.color, strings.Join(colors(), ", "))
	}
	return nil
}
