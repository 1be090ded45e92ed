package sheet

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Lookalike is the look of an id on paper, so that ids which people take for one have the same: capital letters as
// small ones, without blanks and the zeros before a number, without the characters that do not show, accents composed,
// and letters of other alphabets as the Latin ones that they look like.
func Lookalike(id string) string {
	return strings.ToLower(tight(unpadded(latin(norm.NFC.String(visible(id))))))
}

// visible leaves out the characters that do not show, which come along from web pages.
func visible(id string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, id)
}

// tight leaves out blanks.
func tight(id string) string { return strings.Join(strings.Fields(id), "") }

// unpadded leaves out the zeros before a number.
func unpadded(id string) string {
	var b strings.Builder
	number := false // within one whose first digit that counts was met
	for i := range len(id) {
		c := id[i]
		if c == '0' && !number && i+1 < len(id) && digit(id[i+1]) {
			continue
		}
		number = digit(c)
		b.WriteByte(c)
	}
	return b.String()
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// latin puts Latin letters in place of those of other alphabets that look like them.
func latin(id string) string {
	const (
		others = "АВЕКМНОРСТУХІЈЅаеорсухіјѕΑΒΕΖΗΙΚΜΝΟΡΤΥΧο"
		same   = "ABEKMHOPCTYXIJSaeopcyxijsABEZHIKMNOPTYXo"
	)
	return strings.Map(func(r rune) rune {
		if r < utf8.RuneSelf {
			return r
		}
		if i := strings.IndexRune(others, r); i >= 0 {
			return rune(same[utf8.RuneCountInString(others[:i])])
		}
		return r
	}, id)
}

// Differ says what sets two ids apart that look alike.
func Differ(a, b string) string {
	quoted := fmt.Sprintf("(%+q, %+q)", a, b)
	for _, x := range []struct {
		fold func(string) string
		text string
	}{
		{visible, "only in characters that do not show " + quoted}, {strings.ToLower, "only in capital letters"},
		{tight, "only in blanks"},
		{unpadded, "only in zeros before a number"}, {norm.NFC.String, "only in how an accent is written " + quoted},
		{latin, "only in letters of another alphabet " + quoted},
	} {
		if x.fold(a) == x.fold(b) {
			return "differ " + x.text
		}
	}
	return "look alike " + quoted
}

// Alike gathers whether ids can look alike at all, without keeping them: nearly all railroads write theirs in one way.
type Alike struct {
	bits    alikeBits
	pattern uint64 // of the first id; 0 for none
}

type alikeBits uint8

const (
	small alikeBits = 1 << iota
	capital
	foreign // anything beyond ASCII
	zeros   // a number with a zero before it
	spaced  // a blank wherever a letter meets a digit, and nowhere else
	close   // a letter meets a digit, and there are no blanks
	uneven  // blanks in some other way
	mixed   // ids of different patterns
)

// AddID takes an id.
func AddID[T string | []byte](a *Alike, id T) {
	const prime = 1099511628211 // FNV-1a
	bits, pattern := alikeBits(0), uint64(14695981039346656037)
	before, blank := byte(0), false // the kind of the last character that is no blank, and whether one stands behind it
	met, parted := false, false     // letter and digit, without and with a blank
	for i := range len(id) {
		c := id[i]
		kind := c
		switch {
		case c >= 'a' && c <= 'z':
			bits, kind = bits|small, 'a'
		case c >= 'A' && c <= 'Z':
			bits, kind = bits|capital, 'a'
		case c >= '0' && c <= '9':
			kind = '0'
			if c == '0' && (i == 0 || id[i-1] < '0' || id[i-1] > '9') && i+1 < len(id) && id[i+1] >= '0' &&
				id[i+1] <= '9' {
				bits |= zeros
			}
		case c >= utf8.RuneSelf:
			bits |= foreign
		}
		pattern = (pattern ^ uint64(kind)) * prime
		if kind == ' ' {
			blank = true
			continue
		}
		edge := before == 'a' && kind == '0' || before == '0' && kind == 'a'
		switch {
		case blank && edge:
			parted = true
		case blank && before != 0:
			bits |= uneven
		case edge:
			met = true
		}
		before, blank = kind, false
	}
	switch {
	case met && parted:
		bits |= uneven
	case parted:
		bits |= spaced
	case met:
		bits |= close
	}
	a.Join(Alike{bits, pattern})
}

// Join takes the ids of another gathering.
func (a *Alike) Join(b Alike) {
	a.bits |= b.bits
	switch {
	case a.pattern == 0:
		a.pattern = b.pattern
	case b.pattern != 0 && a.pattern != b.pattern:
		a.bits |= mixed
	}
}

// Possible reports whether two of the ids could look alike. Ids of one pattern, place by place a digit, a letter or the
// same sign, can differ in capital letters alone.
func (a *Alike) Possible() bool {
	has := func(bits alikeBits) bool { return a.bits&bits == bits }
	return has(foreign) || has(small|capital) || has(mixed) && (has(zeros) || has(uneven) || has(spaced|close))
}
