package main

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/paper"
)

// fillHelp lets the help of a command and of those under it fit the width of a terminal; elsewhere it stands as it is
// written.
func (s streams) fillHelp(root *cobra.Command) {
	help := root.HelpFunc()
	root.SetHelpFunc(func(c *cobra.Command, args []string) {
		columns, terminal := columnsOf(s.out)
		if !terminal {
			help(c, args)
			return
		}
		var b bytes.Buffer
		c.SetOut(&b)
		help(c, args)
		c.SetOut(s.out)
		io.WriteString(s.out, filled(b.String(), columns))
	})
}

// filled breaks a help text between words: its paragraphs are filled, and what a flag or a command does goes on under
// itself.
func filled(text string, columns int) string {
	var out, paragraph []string
	end := func() {
		if len(paragraph) > 0 {
			out = append(out, paper.Wrap(strings.Join(paragraph, " "), columns)...)
		}
		paragraph = nil
	}
	for l := range strings.SplitSeq(text, "\n") {
		switch {
		case l == "":
			end()
			out = append(out, "")
		case l[0] != ' ':
			paragraph = append(paragraph, l)
		default:
			end()
			out = append(out, hung(l, columns)...)
		}
	}
	end()
	return strings.Join(out, "\n")
}

// hanging is what stands before the words that an entry of a list explains itself with.
var hanging = regexp.MustCompile(`^ +\S.*?  +`)

// hung breaks an entry of a list into lines of so many columns.
func hung(l string, columns int) []string {
	if utf8.RuneCountInString(l) <= columns {
		return []string{l}
	}
	const leastRoom = 24
	head := hanging.FindString(l)
	if columns-len(head) < leastRoom || head == "" {
		head = l[:len(l)-len(strings.TrimLeft(l, " "))]
	}
	var out []string
	for i, part := range paper.Wrap(l[len(head):], columns-len(head)) {
		before := head
		if i > 0 {
			before = strings.Repeat(" ", len(head))
		}
		out = append(out, before+part)
	}
	return out
}
