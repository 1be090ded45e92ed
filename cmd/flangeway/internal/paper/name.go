package paper

import (
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
)

// How many characters of a name and of a sentence as typed are shown at most.
const (
	longName  = 80
	longWords = 400
)

// Name makes a name as typed fit to be shown: one line, at most 80 characters (cut in the middle, its length named),
// characters that turn the direction of writing or are not seen shown by their number, and letters beyond ASCII kept
// from turning the words around them.
func Name(s string) string { return oneLine(s, longName) }

// Words is Name for a sentence that may hold what was typed, of at most 400 characters.
func Words(s string) string { return oneLine(s, longWords) }

func oneLine(s string, most int) string {
	s = cli.Visible(cli.Cut(s, most))
	if !strings.ContainsFunc(s, func(r rune) bool { return r >= 127 }) {
		return s
	}
	return "\u2068" + s + "\u2069" // first strong isolate, pop directional isolate
}
