package cli

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longLine is how many characters of a message are shown at most.
const longLine = 2000

// Plain makes text fit for a terminal: what steers it, but ends of lines and tabs, is shown by its number.
func Plain(text []byte) []byte {
	return numbered(text, func(r rune) bool { return steers(r) && r != '\n' && r != '\t' })
}

// Visible is [Plain] for a word or a sentence: ends of lines and tabs are shown by their numbers too.
func Visible(text string) string { return string(numbered([]byte(text), steers)) }

// numbered writes some characters by their numbers.
func numbered(text []byte, which func(r rune) bool) []byte {
	if !bytes.ContainsFunc(text, which) {
		return text
	}
	out := make([]byte, 0, len(text)+16)
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		if which(r) {
			out = fmt.Appendf(out, "[U+%04X]", r)
		} else {
			out = append(out, text[:n]...)
		}
		text = text[n:]
	}
	return out
}

// steers reports whether a character is not to reach a reader as it is: it steers a terminal, turns the direction of
// writing, or is not seen.
func steers(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) || r == 0xFFFE || r == 0xFFFF
}

// Message is a message of one line: [Plain], its ends of lines shown, cut in the middle if it is long.
func Message(text string) string {
	return Cut(string(Plain([]byte(strings.ReplaceAll(text, "\n", `\n`)))), longLine)
}

// Messages is Message for each line of a text.
func Messages(text string) string {
	lines := strings.Split(string(Plain([]byte(text))), "\n")
	for i, l := range lines {
		lines[i] = Cut(l, longLine)
	}
	return strings.Join(lines, "\n")
}

// Cut shortens a text of more than so many characters in its middle, and names its length there.
func Cut(s string, most int) string {
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	r := []rune(s)
	return string(r[:most/2]) + fmt.Sprintf(" ... (%d characters) ... ", len(r)) + string(r[len(r)-most/4:])
}
