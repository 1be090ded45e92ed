package text

import (
	"flangeway/internal/limit"
)

// CautionsFor are the cautions of a result that was judged by a book: that it has no
// federal rule is said first.
func CautionsFor(book *limit.Book) []string {
	if book.HasFederal() {
		return Cautions()
	}
	return append([]string{limit.NotFederal + "."}, Cautions()...)
}

// Cautions stand with every result.
func Cautions() []string {
	return []string{
		"This table releases no track and no cars. A qualified person under the governing rule (49 CFR 213.7 for track, 215.11 for cars) and the railroad's own instructions decide.",
		"A verdict is as good as the readings: clear means clear at the places that were read, on the day they were read.",
		"Pair checks are arithmetic on hand readings: speed, load and motion are not in them unless a verdict is marked computed, and twist of the track is in none. Rules marked as the project's own or assumed are no standard.",
		"Some figures of the books, those of freight wheels (49 CFR 215.103) among them, are from memory or second hand; flangeway limits says which. Compare them with the rule before \"within limits\" is relied on.",
	}
}
