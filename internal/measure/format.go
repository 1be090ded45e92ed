package measure

import (
	"math"
	"strconv"
	"strings"
)

// Inch writes a length in mm as the trade writes inches: 1-7/16, 56-1/2, 3/32, 0. What is not a whole 64th is written
// as a decimal with three digits.
func Inch(mm float64) string {
	in := mm / MMPerInch
	n := math.Round(in * 64)
	if !(math.Abs(in*64-n) <= 1e-6) {
		s := strconv.FormatFloat(in, 'f', 3, 64)
		if s == "-0.000" {
			return "0.000"
		}
		return s
	}
	return SixtyFourths(int(n))
}

// UpToSixteenth writes a length in mm in whole sixteenths of an inch, not less than it.
func UpToSixteenth(mm float64) string {
	n := int(mm / Sixteenth)
	for float64(n)*Sixteenth < mm-Near {
		n++
	}
	return Inch(float64(n) * Sixteenth)
}

// DownToSixteenth writes a length in mm in whole sixteenths of an inch, not more than it.
func DownToSixteenth(mm float64) string {
	n := int(mm/Sixteenth) + 1
	for float64(n)*Sixteenth > mm+Near {
		n--
	}
	return Inch(float64(n) * Sixteenth)
}

// NearestInch writes a length in mm in the nearest nth of an inch (n a power of two up to 64).
func NearestInch(mm float64, n int) string {
	k := math.Round(mm / MMPerInch * float64(n))
	return SixtyFourths(int(k) * 64 / n)
}

// SixtyFourths writes n 64ths of an inch in lowest terms: 1-7/16.
func SixtyFourths(n int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, num, den := n/64, n%64, 64
	if num == 0 {
		return sign + strconv.Itoa(whole)
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	frac := strconv.Itoa(num) + "/" + strconv.Itoa(den)
	if whole == 0 {
		return sign + frac
	}
	return sign + strconv.Itoa(whole) + "-" + frac
}

// decimal writes v with at most two decimals, without trailing zeros.
func decimal(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Print writes a cell back as the trade writes it, in ASCII: 1½" becomes 1-1/2, 4'8½ becomes 56-1/2, 20/32 stays (its ±
// is another than that of 5/8), 36.50 mm stays. Reading it again gives the same interval. An entry that is no reading
// of the column comes back as it is. In a metric column all of it is written in millimetres.
func (s Spec) Print(cell string) string {
	cell = strings.TrimSpace(cell)
	e, f := s.entry(cell)
	if f != nil {
		return cell
	}
	switch e.form {
	case Missing:
		return ""
	case None:
		return "none"
	case Range:
		if e.first.tail != 0 {
			return s.write(e.first)
		}
		return s.write(e.first) + ".." + s.write(e.second)
	case Above, Below:
		sign := map[Form]string{Above: ">", Below: "<"}[e.form]
		if !e.strict {
			sign += "="
		}
		return sign + s.write(e.first)
	}
	return s.write(e.first)
}

// millimetres writes a length in mm: as typed if it is one, else to the tenth, or finer if its last digit is.
func (v value) millimetres() string {
	if !v.inches {
		return strconv.FormatFloat(v.number, 'f', max(v.decimals, 0), 64) + " mm"
	}
	return strings.TrimSuffix(strconv.FormatFloat(v.number*MMPerInch, 'f', max(1, v.decimals-1), 64), ".0") + " mm"
}

// write keeps what the ± of a value rests on: the denominator, the decimals and the unit, and whether it is full or
// scant.
func (s Spec) write(v value) string {
	if tail := v.tail; tail != 0 {
		v.tail = 0
		text, mark := strings.CutSuffix(s.write(v), `"`)
		if !strings.Contains(text, "/") && !s.Metric { // 8/8-, and 1- is no scant reading
			text += "-0/2"
		}
		if text += string(tail); mark {
			text += `"`
		}
		return text
	}
	if s.Metric && s.Unit != Degrees {
		return v.millimetres()
	}
	if s.Unit == Degrees {
		return strconv.FormatFloat(v.number, 'f', max(v.decimals, 0), 64)
	}
	if !v.inches {
		text := strconv.FormatFloat(v.number, 'f', max(v.decimals, 0), 64)
		if s.Unit == Millimetres {
			return text
		}
		return text + " mm"
	}
	mark := ""
	if s.Unit == Millimetres {
		mark = `"`
	}
	in := v.number
	switch {
	case v.decimals >= 0:
		return strconv.FormatFloat(in, 'f', v.decimals, 64) + mark
	case v.denominator <= 16: // one ± for all of them, and for whole inches
		return SixtyFourths(int(math.Round(in*64))) + mark
	}
	d := v.denominator
	n := int(math.Round(in * float64(d)))
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	text := strconv.Itoa(n%d) + "/" + strconv.Itoa(d)
	if n >= d {
		text = strconv.Itoa(n/d) + "-" + text
	}
	return sign + text + mark
}
