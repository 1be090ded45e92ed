package measure

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Fault says what is wrong with an entry and what was expected; the reader of the
// sheet adds the place.
type Fault struct {
	What     string
	Expected string
}

func (f *Fault) Error() string {
	if f.Expected == "" {
		return f.What
	}
	return f.What + " (" + f.Expected + ")"
}

func faultf(expected, format string, args ...any) *Fault {
	return &Fault{What: fmt.Sprintf(format, args...), Expected: expected}
}

// value is one number as written, in mm or degrees, with the ± of its notation.
type value struct {
	text        string
	value       float64
	half        float64 // ± of the notation
	denominator int     // of a fraction as written; 0 for none
	decimals    int     // digits behind the point; -1 without a point
	inches      bool    // inches, or feet and inches
	bare        bool    // written without a unit
}

// entry is a whole cell.
type entry struct {
	form          Form
	first, second value
	strict        bool // ">" or "<" rather than ">=" or "<="
}

// maxEntry bounds a reading's text; no notation of the trade is longer.
const maxEntry = 64

const lengthForms = `such as 1-7/16, 1.4375, 36.5mm, >15/16 or 1-1/4..1-1/2`

// Parse reads one cell (CONTRACT §2). Blank, "-" and "n/m" are not measured;
// "none" is exactly 0. A length is inches (a fraction of 2, 4, 8, 16 or a whole
// number ±1/32, of 32 ±1/64, of 64 ±1/128, a decimal ± half its last digit), feet
// and inches, or mm (a whole number ±0.5 mm). The interval is cut at the bounds of
// the column. The error is a [*Fault].
func (s Spec) Parse(cell string) (Reading, error) {
	cell = strings.TrimSpace(cell)
	e, f := s.entry(cell)
	if f != nil {
		return Reading{}, f
	}
	r, f := s.reading(e)
	if f != nil {
		return Reading{}, f
	}
	r.Written = cell
	return r, nil
}

// entry reads the notation of a cell, before any bound is looked at.
func (s Spec) entry(cell string) (entry, *Fault) {
	switch cell {
	case "", "-", "n/m":
		return entry{form: Missing}, nil
	case "none":
		return entry{form: None}, nil
	}
	if len(cell) > maxEntry {
		return entry{}, faultf(s.forms(), "%q is too long for a reading", cut(cell))
	}
	if looksLikeDate(cell) {
		return entry{}, faultf("format the column as text in the spreadsheet and type the reading again",
			"%q looks like a date: the spreadsheet changed it", cell)
	}
	text := plain(cell)
	if a, b, ok := strings.Cut(text, ".."); ok {
		first, f := s.value(a)
		if f != nil {
			return entry{}, f
		}
		second, f := s.value(b)
		if f != nil {
			return entry{}, f
		}
		return entry{form: Range, first: first, second: second}, nil
	}
	form, rest, strict := Point, text, false
	switch {
	case strings.HasPrefix(text, ">="):
		form, rest = Above, text[2:]
	case strings.HasPrefix(text, "<="):
		form, rest = Below, text[2:]
	case strings.HasPrefix(text, ">"):
		form, rest, strict = Above, text[1:], true
	case strings.HasPrefix(text, "<"):
		form, rest, strict = Below, text[1:], true
	}
	v, f := s.value(rest)
	if f != nil {
		return entry{}, f
	}
	return entry{form: form, first: v, strict: strict}, nil
}

func (s Spec) forms() string {
	switch s.Unit {
	case Degrees:
		return "degrees, such as 72 or 71.5"
	case Millimetres:
		return `millimetres, such as 2.5, or inches with a mark, such as 1/8"`
	}
	return lengthForms
}

// replacer brings the marks that phones, spreadsheets and word processors put
// into a cell back to the typed ones.
func plain(s string) string {
	if isASCII(s) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		if f, ok := fractionOf(r); ok {
			if prev := b.String(); prev != "" && prev[len(prev)-1] >= '0' && prev[len(prev)-1] <= '9' && i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(f)
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

// Compiled patterns of the notations; the only package-level values here.
var (
	reFeet     = regexp.MustCompile(`^(-?)([0-9]+) *(?:'|ft\.?|feet|foot) *-? *(.*)$`)
	reWholeDiv = regexp.MustCompile(`^(-?)([0-9]+)(?: *- *| +)([0-9]+) */ *([0-9]+)$`)
	reDiv      = regexp.MustCompile(`^(-?)([0-9]+) */ *([0-9]+)$`)
	reDecimal  = regexp.MustCompile(`^(-?)([0-9]*)(?:\.([0-9]+))?$`)
	reMM       = regexp.MustCompile(`^(.*?) *mm\.?$`)
	reInchMark = regexp.MustCompile(`^(.*?) *(?:"|''|in\.?|inch|inches)$`)
	reDegMark  = regexp.MustCompile(`^(.*?) *(?:°|deg\.?|degrees)$`)
	reDate     = regexp.MustCompile(`(?i)^(?:[0-9]{1,4}[-/. ](?:jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec)[a-z]*\.?(?:[-/. ,]+[0-9]{2,4})?|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec)[a-z]*\.?[-/. ][0-9]{1,4}(?:[-/. ,]+[0-9]{2,4})?|[0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}|[0-9]{1,2}-[0-9]{1,2}-[0-9]{4}|[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:[T ].*)?|[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{2,4})$`)
)

func looksLikeDate(s string) bool { return reDate.MatchString(s) }

// value reads one number with its unit.
func (s Spec) value(text string) (value, *Fault) {
	text = strings.TrimSpace(text)
	if text == "" {
		return value{}, faultf(s.forms(), "a number is missing")
	}
	if s.Unit == Degrees {
		return s.angle(text)
	}
	if m := reMM.FindStringSubmatch(text); m != nil {
		v, f := s.decimal(text, m[1], 1, 0.5)
		return v, f
	}
	if m := reFeet.FindStringSubmatch(text); m != nil {
		return s.feet(text, m[1] != "", m[2], m[3])
	}
	body, marked := text, false
	if m := reInchMark.FindStringSubmatch(text); m != nil {
		body, marked = m[1], true
	}
	if s.Unit == Millimetres && !marked {
		if strings.Contains(body, "/") {
			return value{}, faultf(s.forms(), "%q: which unit? a bare fraction could be inches or millimetres", text)
		}
		v, f := s.decimal(text, body, 1, 0.5)
		v.bare = true
		return v, f
	}
	v, f := s.inches(text, body)
	v.bare = !marked
	return v, f
}

func (s Spec) angle(text string) (value, *Fault) {
	if m := reDegMark.FindStringSubmatch(text); m != nil {
		return s.decimal(text, m[1], 1, 0.5)
	}
	return s.decimal(text, text, 1, 0.5)
}

// inches reads 1-7/16, 1 7/16, 23/16, 1.4375, .94 or 2.
func (s Spec) inches(text, body string) (value, *Fault) {
	if m := reWholeDiv.FindStringSubmatch(body); m != nil {
		return s.fraction(text, m[1] != "", m[2], m[3], m[4])
	}
	if m := reDiv.FindStringSubmatch(body); m != nil {
		return s.fraction(text, m[1] != "", "", m[2], m[3])
	}
	v, f := s.decimal(text, body, MMPerInch, MMPerInch/32)
	v.inches = true
	return v, f
}

func (s Spec) fraction(text string, negative bool, whole, num, den string) (value, *Fault) {
	w, errW := 0, error(nil)
	if whole != "" {
		w, errW = strconv.Atoi(whole)
	}
	n, errN := strconv.Atoi(num)
	d, errD := strconv.Atoi(den)
	if errW != nil || errN != nil || errD != nil || w > 1e6 || n > 1e6 {
		return value{}, faultf(s.forms(), "%q is not a length", text)
	}
	half := 0.0
	switch d {
	case 2, 4, 8, 16:
		half = MMPerInch / 32
	case 32:
		half = MMPerInch / 64
	case 64:
		half = MMPerInch / 128
	default:
		return value{}, faultf("halves, quarters, eighths, 16ths, 32nds or 64ths", "%q is not a fraction of an inch that a rule shows", text)
	}
	if whole != "" && n >= d {
		return value{}, faultf("a fraction under 1 behind a whole number", "%q: %d/%d is a whole inch or more", text, n, d)
	}
	v := (float64(w) + float64(n)/float64(d)) * MMPerInch
	if negative {
		v = -v
	}
	return value{text: text, value: v, half: half, denominator: d, decimals: -1, inches: true}, nil
}

// feet reads 4' 8-1/2", 4'8½ or 56'.
func (s Spec) feet(text string, negative bool, feet, rest string) (value, *Fault) {
	ft, err := strconv.Atoi(feet)
	if err != nil || ft > 1e5 {
		return value{}, faultf(s.forms(), "%q is not a length", text)
	}
	rest = strings.TrimSpace(rest)
	if m := reInchMark.FindStringSubmatch(rest); m != nil {
		rest = m[1]
	}
	v := value{half: MMPerInch / 32, decimals: -1}
	if rest != "" {
		var f *Fault
		if v, f = s.inches(text, rest); f != nil {
			return value{}, f
		}
		if v.value < 0 || v.value >= 12*MMPerInch {
			return value{}, faultf("inches under 12 behind feet", "%q is not feet and inches", text)
		}
	}
	v.value += float64(ft) * 12 * MMPerInch
	if negative {
		v.value = -v.value
	}
	v.text, v.inches = text, true
	return v, nil
}

// decimal reads a number in a unit of mm millimetres (or degrees); wholeHalf is
// the ± of a number without a decimal point.
func (s Spec) decimal(text, body string, unit, wholeHalf float64) (value, *Fault) {
	body = strings.TrimSpace(body)
	m := reDecimal.FindStringSubmatch(body)
	if m == nil || m[2]+m[3] == "" {
		if strings.Contains(body, ",") {
			return value{}, faultf("a decimal point", "%q has a decimal comma", text)
		}
		return value{}, faultf(s.forms(), "%q is not a %s", text, s.noun())
	}
	n, err := strconv.ParseFloat(strings.TrimPrefix(body, "-"), 64)
	if err != nil || n > 1e7 {
		return value{}, faultf(s.forms(), "%q is not a %s", text, s.noun())
	}
	v := value{text: text, value: n * unit, half: wholeHalf, decimals: -1}
	if m[3] != "" {
		v.decimals = len(m[3])
		v.half = math.Pow10(-v.decimals) / 2 * unit
	}
	if m[1] != "" {
		v.value = -v.value
	}
	return v, nil
}

func (s Spec) noun() string {
	if s.Unit == Degrees {
		return "number of degrees"
	}
	return "length"
}

func cut(s string) string {
	r := []rune(s)
	if len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
