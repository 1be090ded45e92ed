package cli

import (
	"strings"
	"testing"
)

func TestMessage(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"plain words", "frogs.csv: there is no file", "frogs.csv: there is no file"},
		{"colour of a terminal", "a\x1b[31mred", "a[U+001B][31mred"},
		{"eighth-bit control", "a\u009b31m", "a[U+009B]31m"},
		{"end of a line", "a\nflangeway: all clear", `a\nflangeway: all clear`},
		{"return of the carriage", "a\rb", "a[U+000D]b"},
		{"direction of writing", "a\u202eb", "a[U+202E]b"},
		{"letters of others", "Gleis Süd, Ost ½", "Gleis Süd, Ost ½"},
		{"bytes that are no text stay", "a\xffb", "a\xffb"},
	} {
		if got := Message(c.in); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	long := Message(strings.Repeat("ä", 30_000))
	if n := len([]rune(long)); n > longLine || !strings.Contains(long, "(30000 characters)") {
		t.Errorf("a long name takes %d characters", n)
	}
	if got := Messages("a\x1b\nb"); got != "a[U+001B]\nb" {
		t.Errorf("two lines: %q", got)
	}
}
