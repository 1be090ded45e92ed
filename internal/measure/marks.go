package measure

import (
	"strings"
	"unicode/utf8"
)

// plain brings the marks that phones, spreadsheets and word processors put into a cell back to the typed ones.
func plain(s string) string {
	if isASCII(s) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if f, ok := fractionOf(r); ok {
			if prev := b.String(); prev != "" && isDigit(prev[len(prev)-1]) {
				b.WriteByte(' ')
			}
			b.WriteString(f)
			b.WriteByte(' ') // a digit typed behind it is no part of the denominator
			continue
		}
		switch r {
		case '’', '‘', '′', '´':
			b.WriteByte('\'')
		case '”', '“', '″', '„':
			b.WriteByte('"')
		case '–', '‐', '‑', '−', '—':
			b.WriteByte('-')
		case '⁄', '∕':
			b.WriteByte('/')
		case '≥':
			b.WriteString(">=")
		case '≤':
			b.WriteString("<=")
		case '…':
			b.WriteString("..")
		case '\u00a0', '\u2009', '\u202f', '\u2007':
			b.WriteByte(' ')
		case 'º', '˚':
			b.WriteRune('°')
		default:
			b.WriteRune(r)
		}
	}
	return strings.TrimSpace(b.String())
}

func isASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

func fractionOf(r rune) (string, bool) {
	switch r {
	case '½':
		return "1/2", true
	case '¼':
		return "1/4", true
	case '¾':
		return "3/4", true
	case '⅛':
		return "1/8", true
	case '⅜':
		return "3/8", true
	case '⅝':
		return "5/8", true
	case '⅞':
		return "7/8", true
	case '⅓':
		return "1/3", true // refused later, with its reason
	case '⅔':
		return "2/3", true
	}
	return "", false
}

var inchMarks = []string{`"`, "''", "in", "in.", "inch", "inches"}

// cutMark takes a unit mark and the blanks before it off the end of a text.
func cutMark(text string, marks ...string) (body string, ok bool) {
	if text == "" || isDigit(text[len(text)-1]) { // the common case: no unit
		return text, false
	}
	for _, m := range marks {
		if body, ok = strings.CutSuffix(text, m); ok {
			return strings.TrimRight(body, " "), true
		}
	}
	return text, false
}

// cutFeet splits 4' 8-1/2" at the foot mark. A dash that joins feet and inches goes with the mark: 4'-8 and 4' - 8, but
// not 5' -1, which could be a minus.
func cutFeet(text string) (feet, rest string, ok bool) {
	unsigned := strings.TrimPrefix(text, "-")
	digits := leadingDigits(unsigned)
	if digits == "" {
		return "", "", false
	}
	feet = text[:len(text)-len(unsigned)+len(digits)]
	rest = strings.TrimLeft(unsigned[len(digits):], " ")
	for _, m := range []string{"'", "ft.", "ft", "feet", "foot"} {
		if r, found := strings.CutPrefix(rest, m); found && !(m == "'" && strings.HasPrefix(r, "'")) {
			rest, ok = r, true
			break
		}
	}
	if !ok {
		return "", "", false
	}
	inches := strings.TrimLeft(rest, " ")
	if after, dash := strings.CutPrefix(inches, "-"); dash &&
		(len(inches) == len(rest) || strings.HasPrefix(after, " ")) && strings.Trim(after, " ") != "" {
		inches = strings.TrimLeft(after, " ")
	}
	return feet, inches, true
}

// cutFraction splits 1-7/16, 1 7/16 and 23/16 (without a whole number) into digits.
func cutFraction(s string) (whole, num, den string, ok bool) {
	num = leadingDigits(s)
	if num == "" {
		return "", "", "", false
	}
	rest := s[len(num):]
	if next := strings.TrimLeft(rest, " "); !strings.HasPrefix(next, "/") {
		if len(next) == len(rest) && !strings.HasPrefix(next, "-") {
			return "", "", "", false
		}
		whole = num
		next = strings.TrimLeft(strings.TrimPrefix(next, "-"), " ")
		if num = leadingDigits(next); num == "" {
			return "", "", "", false
		}
		rest = next[len(num):]
	}
	rest, ok = strings.CutPrefix(strings.TrimLeft(rest, " "), "/")
	rest = strings.TrimLeft(rest, " ")
	den = leadingDigits(rest)
	return whole, num, den, ok && den != "" && den == rest
}

func leadingDigits(s string) string {
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			return s[:i]
		}
	}
	return s
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
