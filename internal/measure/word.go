package measure

import (
	"strings"

	"flangeway/internal/each"
)

// Unmeasured reports a cell that says that nothing was measured there: blank, "-", n/m, n/a or na, capital letters or
// small.
func Unmeasured(cell string) bool {
	switch len(cell) {
	case 0:
		return true
	case 1:
		return cell == "-"
	case 2:
		return strings.EqualFold(cell, "na")
	case 3:
		return strings.EqualFold(cell, "n/m") || strings.EqualFold(cell, "n/a")
	}
	return false
}

// LookedAt reports the word of a cell that was looked at and has none: none.
func LookedAt(cell string) bool { return len(cell) == 4 && strings.EqualFold(cell, "none") }

// Canonical finds a word among the known ones, capital letters or small; ok is false if it is none of them.
func Canonical(word string, known []string) (canonical string, ok bool) {
	return each.First(known, func(k string) bool { return strings.EqualFold(word, k) })
}

// SameName reports whether two names of rails or of wheel designs are one: capital letters or small, with or without
// blanks.
func SameName(a, b string) bool {
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	return strings.EqualFold(squeeze(a), squeeze(b))
}
