package measure

import (
	"strings"
	"unicode"
)

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

// CountMeant is a number as [Count] reads it for one with a unit, such as 286 k, 143 kips or
// 286,000 lb; "" where it is no such number.
func CountMeant(text string) string {
	body := strings.TrimRightFunc(text, func(r rune) bool { return !unicode.IsDigit(r) })
	_, known := Count(body)
	if !known {
		return ""
	}
	switch strings.ToLower(strings.Trim(text[len(body):], " .")) {
	case "k", "kip", "kips", "k lb", "klb", "klbs", "k lbs":
		return body + "K"
	case "lb", "lbs", "pounds", "#", "%", "percent", "mph":
		return body
	}
	return ""
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
