package sheet

import (
	"fmt"
	"strings"
	"unicode"
)

// Lookalike is what an id looks like on paper: its capital letters as small ones,
// without the characters that do not show, which come along from web pages.
func Lookalike(id string) string { return strings.ToLower(shown(id)) }

func shown(id string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, id)
}

// Differ says what sets two ids apart that look alike.
func Differ(a, b string) string {
	if hidden := shown(a) != a || shown(b) != b; hidden {
		return fmt.Sprintf("differ only in characters that do not show (%+q, %+q)", a, b)
	}
	return "differ only in capital letters"
}
