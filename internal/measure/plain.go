package measure

import "math"

// plainEntry reads the two commonest notations without allocating: a plain number (1.4375, .94, 53) and, of inches, a
// common fraction (1-7/16, 23/32). It takes what the grammar takes in the same sense, and leaves all else, faults too,
// to it.
func (s *Spec) plainEntry(cell string) (e entry, ok bool) {
	const most = 9 // digits that a float64 holds many times over
	if len(cell) == 0 || len(cell) > most+2 {
		return entry{}, false
	}
	unit, wholeHalf := 1.0, 0.5
	if s.Unit == Inches {
		unit, wholeHalf = MMPerInch, MMPerInch/32
	}
	n, i := leadingNumber(cell, 0)
	digits, decimals := i, -1
	if i < len(cell) && cell[i] == '.' {
		from := i + 1
		for i = from; i < len(cell) && isDigit(cell[i]); i++ {
			n = n*10 + int(cell[i]-'0')
		}
		decimals = i - from
		if decimals == 0 {
			return entry{}, false
		}
	}
	if i == len(cell) && i > 0 && digits <= 6 {
		v := value{number: float64(n), half: wholeHalf, decimals: decimals}
		if decimals > 0 {
			v.number /= math.Pow10(decimals) // both exact, so rounded once, as the library does
			v.half = math.Pow10(-decimals) / 2 * unit
			if s.Unit == Inches && cell[i-1] != '0' {
				v.half = math.Max(v.half, asFraction(v.number))
			}
		}
		v.value = v.number * unit
		return entry{form: Point, first: v}, true
	}
	if s.Unit != Inches || decimals >= 0 || digits == 0 || digits > 4 {
		return entry{}, false
	}
	whole := 0
	hasWhole := i < len(cell) && (cell[i] == '-' || cell[i] == ' ')
	if hasWhole {
		from := i + 1
		whole = n
		if n, i = leadingNumber(cell, from); i == from || i-from > 4 {
			return entry{}, false
		}
	}
	if i >= len(cell) || cell[i] != '/' {
		return entry{}, false
	}
	d, end := leadingNumber(cell, i+1)
	if end != len(cell) {
		return entry{}, false
	}
	v := value{decimals: -1, denominator: d}
	switch d {
	case 2, 4, 8, 16:
		v.half = MMPerInch / 32
	case 32:
		v.half = MMPerInch / 64
	case 64:
		v.half = MMPerInch / 128
	default:
		return entry{}, false
	}
	if hasWhole && n >= d {
		return entry{}, false
	}
	v.number = float64(whole) + float64(n)/float64(d)
	v.value = v.number * MMPerInch
	return entry{form: Point, first: v}, true
}

// leadingNumber is the number whose digits begin at i, and where they end.
func leadingNumber(s string, i int) (n, end int) {
	for ; i < len(s) && isDigit(s[i]); i++ {
		n = n*10 + int(s[i]-'0')
	}
	return n, i
}
