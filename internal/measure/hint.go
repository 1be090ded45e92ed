package measure

import (
	"sort"
	"strings"
	"unicode"

	"flangeway/internal/each"
)

// Nearest is the known word that a mistyped one is closest to, or "" if none is near: at most a third of its letters
// differ, blanks, dashes and capitals not counted, or it is a part of one known word alone ("hollow" of tread_hollow).
func Nearest(word string, known []string) string {
	fold := func(s string) string {
		return strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(s)))
	}
	w := []rune(fold(word))
	if len(w) > 64 || !strings.ContainsFunc(word, unicode.IsLetter) { // a number is no misspelt word
		return ""
	}
	type candidate struct {
		word string
		d    int
	}
	best := each.Of(known, func(k string) candidate { return candidate{k, distance(w, []rune(fold(k)))} })
	sort.SliceStable(best, func(i, j int) bool { return best[i].d < best[j].d })
	// One letter stands for no other one.
	if len(best) > 0 && best[0].d <= max(1, len(w)/3) && best[0].d < max(len(w), len([]rune(best[0].word))) {
		return best[0].word
	}
	part := ""
	for _, k := range known {
		if len(w) < 3 || !strings.Contains("_"+fold(k)+"_", "_"+string(w)+"_") {
			continue
		}
		if part != "" {
			return ""
		}
		part = k
	}
	return part
}

// distance counts the letters to insert, drop, change or swap with the neighbour (optimal string alignment).
func distance(a, b []rune) int {
	prev2, prev := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur := make([]int, len(b)+1)
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev = prev, cur
	}
	return prev[len(b)]
}
