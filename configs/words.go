package configs

import (
	"strings"

	"flangeway/internal/measure"
)

// TrackClass is a track class as the tables of limits have it, from how people write it:
// 1, Class 1, Excepted.
func TrackClass(text string) (class string, ok bool) {
	text = strings.Join(strings.Fields(text), " ")
	if head, rest, two := strings.Cut(text, " "); two && strings.EqualFold(head, "class") {
		text = rest
	}
	return measure.Canonical(text, TrackClasses())
}

// Bodies are the words of a car's body, by how it gives way when track is twisted, the
// stiffest first.
func Bodies() []string { return []string{"stiff", "ordinary", "soft"} }
