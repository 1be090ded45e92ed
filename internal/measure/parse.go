package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Fault says what is wrong with an entry and what was expected; the reader of the sheet adds the place.
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
	text        string  // as typed, for messages
	number      float64 // as written, in its own unit
	value       float64 // in mm or degrees
	half        float64 // ± of the notation
	denominator int     // of a fraction as written; 0 for none
	decimals    int     // digits behind the point; -1 without a point
	inches      bool    // inches, or feet and inches
	bare        bool    // written without a unit
	tail        byte    // '+' of a full fraction, '-' of a scant one
}

// entry is a whole cell.
type entry struct {
	form          Form
	first, second value
	strict        bool // ">" or "<" rather than ">=" or "<="
}

// maxEntry bounds a reading's text; no notation of the trade is longer.
const maxEntry = 64

const lengthForms = `such as 1-7/16, 1-7/16+, 1.4375, 36.5mm, >15/16 or 1-1/4..1-1/2`

// Parse reads one cell. Blank, "-" and "n/m" are not measured; "none" is exactly 0. A length is inches (a fraction of
// 2, 4, 8, 16 or a whole number ±1/32, of 32 ±1/64, of 64 ±1/128, a decimal ± half its last digit, or as the fraction
// that a spreadsheet made it of), feet and inches, or mm (a whole number ±0.5 mm). The interval is cut at the bounds of
// the column. The error is a [*Fault].
func (s Spec) Parse(cell string) (Reading, error) {
	cell = strings.TrimSpace(cell)
	if e, ok := s.plainEntry(cell); ok {
		if r, f := s.reading(e); f == nil {
			r.Written = cell
			return r, nil
		}
	}
	return s.parse(cell)
}

// parse reads a trimmed cell by the whole grammar.
func (s Spec) parse(cell string) (Reading, error) {
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
	if len(cell) > maxEntry {
		return entry{}, faultf(s.forms(), "%q is too long for a reading", Short(cell))
	}
	text := plain(cell)
	switch {
	case Unmeasured(text):
		return entry{form: Missing}, nil
	case LookedAt(text):
		return entry{form: None}, nil
	}
	e, f := s.notation(cell, text)
	// No length looks like a date, so the test can wait until there is a fault.
	if f != nil && looksLikeDate(text) {
		return entry{}, dateFault(cell)
	}
	if f != nil {
		if meant := s.meant(text); meant != "" {
			f.Expected = meant
		}
	}
	return e, f
}

// notation reads one value, a go/no-go reading or a range.
func (s Spec) notation(cell, text string) (entry, *Fault) {
	if a, b, ok := strings.Cut(text, ".."); ok {
		if strings.HasPrefix(b, ".") {
			return entry{}, faultf("two dots between the ends of a range, and a blank before a decimal point",
				"%q has three dots", cell)
		}
		first, f := s.value(cell, a)
		if f != nil {
			return entry{}, f
		}
		second, f := s.value(cell, b)
		if f != nil {
			return entry{}, f
		}
		if first.tail != 0 || second.tail != 0 {
			return entry{}, faultf("the ends alone", "%q: a full or scant fraction is a range of its own", cell)
		}
		return entry{form: Range, first: first, second: second}, nil
	}
	e, rest := entry{form: Point}, text
	switch {
	case strings.HasPrefix(text, ">="):
		e.form, rest = Above, text[2:]
	case strings.HasPrefix(text, "<="):
		e.form, rest = Below, text[2:]
	case strings.HasPrefix(text, ">"):
		e.form, rest, e.strict = Above, text[1:], true
	case strings.HasPrefix(text, "<"):
		e.form, rest, e.strict = Below, text[1:], true
	}
	var f *Fault
	if e.first, f = s.value(cell, rest); f == nil && e.first.tail != 0 {
		if e.form != Point {
			return entry{}, faultf("the notch alone", "%q: a full or scant fraction is a range of its own", cell)
		}
		e.form = Range
	}
	return e, f
}

func (s Spec) forms() string {
	switch s.Unit {
	case Degrees:
		if s.Noun != "" {
			return s.Noun + " as a plain number"
		}
		return "degrees, such as 72 or 71.5"
	case Millimetres:
		return `millimetres, such as 2.5, or inches with a mark, such as 1/8"`
	}
	return lengthForms
}

// value reads one number with its unit; cell is the whole entry, for messages.
func (s Spec) value(cell, text string) (value, *Fault) {
	text = strings.TrimSpace(text)
	if text == "" {
		return value{}, faultf(s.forms(), "%q: a number is missing", cell)
	}
	v, f := s.number(asTyped(cell, text), text)
	if f != nil {
		if full, g, ok := s.fullOrScant(asTyped(cell, text), text); ok {
			v, f = full, g
		}
	}
	if f != nil && !strings.ContainsAny(text, "0123456789") {
		f.Expected += "; n/m where it was not measured"
	}
	return v, f
}

// fullOrScant reads a fraction with the sign of somewhat more, 1-1/4+, or of somewhat less, 1-1/4-, which stands behind
// halves to 16ths, before or behind the inch mark. ok is false for a text that is no number with such a sign.
func (s Spec) fullOrScant(name, text string) (v value, f *Fault, ok bool) {
	body, _ := cutMark(text, inchMarks...)
	tail := body[max(len(body)-1, 0):]
	if tail != "+" && tail != "-" {
		return value{}, nil, false
	}
	less := strings.TrimRight(body[:len(body)-1], " ")
	v, f = s.number(name, less+text[len(body):])
	switch {
	case f != nil:
		return value{}, f, f.What != s.notOne(name).What
	case strings.HasSuffix(less, "'") && !strings.HasSuffix(less, "''"):
		return value{}, nil, false // feet and a joining dash
	}
	if v.denominator == 0 || v.denominator > 16 {
		return value{}, faultf("a fraction of 2, 4, 8 or 16 before it, such as 1-1/4"+tail,
			"%q: a full or scant reading is not told of such a number", name), true
	}
	if v.number <= 0 {
		return value{}, faultf("a range, the smaller end first", "%q could be full either way", name), true
	}
	v.tail = tail[0]
	return v, nil, true
}

// asTyped is how a message names one number of an entry: the part itself, or the entry as typed if its marks were
// replaced.
func asTyped(cell, text string) string {
	if isASCII(cell) {
		return text
	}
	return cell
}

func (s Spec) number(name, text string) (value, *Fault) {
	if s.Unit == Degrees {
		body, marked := text, false
		if s.Noun == "" {
			body, marked = cutMark(text, "°", "deg", "deg.", "degrees")
		} else if _, plain := Decimal(text); !plain {
			if n, ok := Count(text); ok { // 263,000 or 286K
				body = strconv.FormatFloat(n, 'f', -1, 64)
			}
		}
		v, f := s.decimal(name, body, 1, 0.5)
		v.bare = !marked
		return v, f
	}
	if body, ok := cutMark(text, "mm", "mm."); ok {
		return s.decimal(name, body, 1, 0.5)
	}
	if feet, rest, ok := cutFeet(text); ok {
		return s.feet(name, feet, rest)
	}
	body, marked := cutMark(text, inchMarks...)
	if s.Unit == Millimetres && !marked {
		if strings.Contains(body, "/") {
			return value{}, faultf(s.forms(), "%q: which unit? a bare fraction could be inches or millimetres", name)
		}
		v, f := s.decimal(name, body, 1, 0.5)
		v.bare = true
		return v, f
	}
	v, f := s.inches(name, body)
	v.bare = !marked
	return v, f
}

// inches reads 1-7/16, 1 7/16, 23/16, 1.4375, .94 or 2.
func (s Spec) inches(name, body string) (value, *Fault) {
	if strings.Contains(body, "/") {
		return s.fraction(name, body)
	}
	v, f := s.decimal(name, body, MMPerInch, MMPerInch/32)
	v.inches = true
	if f == nil && v.decimals > 0 && body[len(body)-1] != '0' {
		v.half = math.Max(v.half, asFraction(v.number))
	}
	return v, f
}

// asFraction is the ± in mm of a number of inches written as a fraction, 0 if it is no whole number of 64ths: a
// spreadsheet makes 1.4375 of 1-7/16.
func asFraction(in float64) float64 {
	n := in * 64
	if n != math.Trunc(n) {
		return 0
	}
	switch k := int64(n); {
	case k%4 == 0:
		return MMPerInch / 32
	case k%2 == 0:
		return MMPerInch / 64
	}
	return MMPerInch / 128
}

func (s Spec) fraction(name, body string) (value, *Fault) {
	body, negative := strings.CutPrefix(body, "-")
	whole, num, den, ok := cutFraction(body)
	if !ok {
		return value{}, s.notOne(name)
	}
	w, errW := 0, error(nil)
	if whole != "" {
		w, errW = strconv.Atoi(whole)
	}
	n, errN := strconv.Atoi(num)
	d, errD := strconv.Atoi(den)
	if errW != nil || errN != nil || errD != nil || w > maxNumber || n > maxNumber {
		return value{}, s.notOne(name)
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
		return value{}, faultf("halves, quarters, eighths, 16ths, 32nds or 64ths",
			"%q is not a fraction of an inch that a rule shows", name)
	}
	if whole != "" && n >= d {
		return value{}, faultf("a fraction under 1 behind a whole number",
			"%q: %d/%d is a whole inch or more", name, n, d)
	}
	in := float64(w) + float64(n)/float64(d)
	if negative {
		in = -in
	}
	return value{text: name, number: in, value: in * MMPerInch, half: half, denominator: d, decimals: -1, inches: true},
		nil
}

// feet reads 4' 8-1/2", 4'-8-1/2", 4'8½ or 56'.
func (s Spec) feet(name, feet, rest string) (value, *Fault) {
	feet, negative := strings.CutPrefix(feet, "-")
	ft, err := strconv.Atoi(feet)
	if err != nil || ft > maxNumber/12 {
		return value{}, s.notOne(name)
	}
	v := value{half: MMPerInch / 32, decimals: -1}
	if rest != "" {
		body, _ := cutMark(rest, inchMarks...)
		var f *Fault
		if v, f = s.inches(name, body); f != nil {
			return value{}, f
		}
		if body[0] == '-' || v.number >= 12 {
			return value{}, faultf("inches from 0 to under 12 behind feet", "%q is not feet and inches", name)
		}
	}
	v.number += float64(ft) * 12
	if negative {
		v.number = -v.number
	}
	v.value = v.number * MMPerInch
	v.text, v.inches = name, true
	return v, nil
}

// maxNumber and maxDecimals are beyond any reading; a spreadsheet writes up to 17 decimals.
const (
	maxNumber   = 1_000_000
	maxDecimals = 17
)

// decimal reads a number in a unit of mm millimetres (or degrees); wholeHalf is the ± of a number without a decimal
// point.
func (s Spec) decimal(name, body string, unit, wholeHalf float64) (value, *Fault) {
	digits, negative := strings.CutPrefix(body, "-")
	whole := leadingDigits(digits)
	point, decimals := digits[len(whole):], ""
	if strings.HasPrefix(point, ".") {
		decimals = leadingDigits(point[1:])
	}
	pointed := len(decimals) > 0 && len(point) == 1+len(decimals)
	if point != "" && !pointed || digits == "" {
		if strings.Contains(body, ",") {
			return value{}, faultf("a decimal point", "%q has a decimal comma", name)
		}
		return value{}, s.notOne(name)
	}
	n, err := strconv.ParseFloat(digits, 64)
	if err != nil || n > maxNumber {
		return value{}, s.notOne(name)
	}
	if len(decimals) > maxDecimals {
		return value{}, faultf(s.forms(), "%q has more decimals than any gauge shows", name)
	}
	if negative {
		n = -n
	}
	v := value{text: name, number: n, value: n * unit, half: wholeHalf, decimals: -1}
	if pointed {
		v.decimals = len(decimals)
		v.half = math.Pow10(-v.decimals) / 2 * unit
	}
	return v, nil
}

// notOne is the fault of a text that is no number of the column's unit.
func (s Spec) notOne(name string) *Fault {
	noun := "length"
	switch {
	case s.Noun != "":
		noun = "number of " + s.Noun
	case s.Unit == Degrees:
		noun = "number of degrees"
	}
	expected := s.forms()
	if meant := CountMeant(name); meant != "" && s.Noun != "" {
		expected = "write " + meant + " for it; " + expected
	}
	return faultf(expected, "%q is not a %s", name, noun)
}

// Short is s for a message, cut after 40 characters.
func Short(s string) string {
	r := []rune(s)
	if len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
