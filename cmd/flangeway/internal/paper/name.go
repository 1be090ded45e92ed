package paper

import (
	"fmt"
	"strings"
	"unicode"
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
	var b strings.Builder
	ascii := true
	for _, r := range cut(s, most) {
		switch {
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == 0xFFFE || r == 0xFFFF ||
			unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r):
			fmt.Fprintf(&b, "[U+%04X]", r)
		default:
			ascii = ascii && r < 127
			b.WriteRune(r)
		}
	}
	if ascii {
		return b.String()
	}
	return "\u2068" + b.String() + "\u2069" // first strong isolate, pop directional isolate
}

// cut shortens a long text in its middle.
func cut(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most/2]) + fmt.Sprintf(" ... (%d characters) ... ", len(r)) + string(r[len(r)-most/4:])
}
