package measure

import "strings"

// Count reads a plain number as offices write large ones: 263000, 263,000 or 286K, with
// or without decimals; ok is false for anything else, such as a sign or an exponent.
func Count(text string) (v float64, ok bool) {
	body, thousands := strings.CutSuffix(text, "K")
	if !thousands {
		body, thousands = strings.CutSuffix(text, "k")
	}
	if v, ok = Decimal(ungrouped(body)); ok && thousands {
		v *= 1000
	}
	return v, ok
}

// ungrouped is a number without the commas between its groups of three digits; a text
// whose commas stand otherwise comes back as it is.
func ungrouped(text string) string {
	whole, rest, point := strings.Cut(text, ".")
	groups := strings.Split(whole, ",")
	if len(groups) == 1 || len(groups[0]) > 3 {
		return text
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return text
		}
	}
	if whole = strings.Join(groups, ""); point {
		whole += "." + rest
	}
	return whole
}
