package configs

import (
	"strings"

	"flangeway/internal/measure"
)

// TrackClass is a track class as the tables of limits have it, from how people write it: 1, Class 1, Excepted.
func TrackClass(text string) (class string, ok bool) {
	text = strings.Join(strings.Fields(text), " ")
	if head, rest, two := strings.Cut(text, " "); two && strings.EqualFold(head, "class") {
		text = rest
	}
	return measure.Canonical(text, TrackClasses())
}

// ClassMeant is the track class that a word of the trade stands for, "" for one that is not known
// (common practice, no source). It is named, not taken.
func ClassMeant(text string) string {
	words := strings.Fields(strings.ToLower(text))
	if len(words) > 1 && words[0] == "class" {
		words = words[1:]
	}
	switch strings.Join(words, " ") {
	case "x", "ex", "exc", "except", "excepted track", "exempt":
		return "excepted"
	case "i", "ii", "iii", "iv":
		return map[string]string{"i": "1", "ii": "2", "iii": "3", "iv": "4"}[words[0]]
	case "v":
		return "5"
	}
	return ""
}

// Bodies are the words of a car's body, by how it gives way when track is twisted, the stiffest first.
func Bodies() []string { return []string{"stiff", "ordinary", "soft"} }
