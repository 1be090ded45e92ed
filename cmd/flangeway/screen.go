package main

import (
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

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

// fitted breaks the lines of a message between words to the width of the terminal that it goes to. What goes elsewhere
// keeps its lines, because other programs read a place and its defect on one line.
func fitted(w io.Writer, message string) string {
	columns, terminal := columnsOf(w)
	if !terminal {
		return message
	}
	const under = "  "
	var out []string
	for l := range strings.SplitSeq(message, "\n") {
		if utf8.RuneCountInString(l) <= columns {
			out = append(out, l)
			continue
		}
		for i, part := range paper.Wrap(l, columns-len(under)) {
			if i > 0 {
				part = under + part
			}
			out = append(out, part)
		}
	}
	return strings.Join(out, "\n")
}

// columnsOf is how wide a terminal is; one that does not say has what COLUMNS says, or 80 columns.
func columnsOf(w io.Writer) (columns int, terminal bool) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0, false
	}
	if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 {
		return columns, true
	}
	if columns, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && columns > 0 {
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
