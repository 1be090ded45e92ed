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

// Plain makes text fit for a terminal: control characters that steer it, but ends of lines and tabs, and characters
// that turn the direction of writing or are not seen are shown by their number.
func Plain(text []byte) []byte {
	if !bytes.ContainsFunc(text, steers) {
		return text
	}
	out := make([]byte, 0, len(text)+16)
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		if steers(r) {
			out = fmt.Appendf(out, "[U+%04X]", r)
		} else {
			out = append(out, text[:n]...)
		}
		text = text[n:]
	}
	return out
}

// steers reports whether a character is not to reach a terminal as it is.
func steers(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)
}

// Message is a message of one line: [Plain], its ends of lines shown, cut in the middle if it is long.
func Message(text string) string {
	return short(string(Plain([]byte(strings.ReplaceAll(text, "\n", `\n`)))))
}

// Messages is Message for each line of a text.
func Messages(text string) string {
	lines := strings.Split(string(Plain([]byte(text))), "\n")
	for i, l := range lines {
		lines[i] = short(l)
	}
	return strings.Join(lines, "\n")
}

// short cuts a long text in its middle.
func short(s string) string {
	if utf8.RuneCountInString(s) <= longLine {
		return s
	}
	r := []rune(s)
	return string(r[:longLine/2]) + fmt.Sprintf(" ... (%d characters) ... ", len(r)) + string(r[len(r)-longLine/4:])
}
