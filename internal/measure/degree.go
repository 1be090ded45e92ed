package measure

import (
	"math"
	"strconv"
	"strings"
)

// MaxDegree is the sharpest curve taken as input, degrees by the chord definition (radius about 100 ft); railroad
// curves end well below it.
const MaxDegree = 60

var (
	reRadius  = pattern(`^[Rr] *=? *([0-9]+(?:\.[0-9]+)?) *(?:'|ft\.?|feet)?$`)
	reCord    = pattern(`^62 *(?:ft\.?|'|-ft) *:? *(.+)$`)
	reDegrees = pattern(`^(?:[Dd] *)?([0-9]+(?:\.[0-9]+)?) *(?:°|deg\.?|degrees)?$`)
	reDegMin  = pattern(`^(?:[Dd] *)?([0-9]+) *(?:°|deg\.?|-) *([0-9]+(?:\.[0-9]+)?) *(?:'|min\.?)?$`)
)

const degreeForms = `such as 6.5, 6°30', D6-30, 6 deg 30, R 955' or 62ft 6-1/4`

// ParseDegree reads a degree of curve by the chord definition: 6.5, 6°30', D6-30, 6 deg 30, the radius R 955', or the
// mid-ordinate of a 62 ft cord, 62ft 6-1/4. The value is exact as written, in degrees. Blank, "-" and "n/m" are not
// measured.
func ParseDegree(cell string) (Reading, error) {
	cell = strings.TrimSpace(cell)
	if len(cell) > maxEntry {
		return Reading{}, faultf(degreeForms, "%q is too long for a degree of curve", Short(cell))
	}
	text := plain(cell)
	if Unmeasured(text) {
		return Reading{}, nil
	}
	d, f := degreeOf(cell, text)
	if f != nil && looksLikeDate(text) {
		return Reading{}, dateFault(cell)
	}
	if f != nil {
		return Reading{}, f
	}
	if !(d >= 0 && d <= MaxDegree) {
		return Reading{}, faultf("0 to 60 degrees", "%q is outside what a railroad curve can be", cell)
	}
	r := Exact(d, cell)
	return r, nil
}

func degreeOf(cell, text string) (float64, *Fault) {
	if LookedAt(text) {
		return 0, nil
	}
	if d, ok := Decimal(text); ok { // as most are written; the patterns below would say the same
		return d, nil
	}
	if m := reRadius().FindStringSubmatch(text); m != nil {
		ft, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			return 0, faultf(degreeForms, "%q is not a radius", cell)
		}
		d, err := DegreeOfRadius(ft)
		if err != nil {
			return 0, faultf("a radius in feet of 100 or more", "%q is not a radius of a railroad curve", cell)
		}
		return d, nil
	}
	if m := reCord().FindStringSubmatch(text); m != nil {
		ordinate := Spec{Column: "mid-ordinate", Unit: Inches, Lo: 0, Hi: 40 * MMPerInch}
		r, err := ordinate.Parse(m[1])
		if err != nil || r.Form != Point && r.Form != None {
			return 0, faultf(degreeForms, "%q is not a mid-ordinate of a 62 ft cord", cell)
		}
		d, outside := DegreeOfOrdinate(r.As / MMPerInch)
		if outside != nil {
			return 0, faultf(degreeForms, "%q is not a mid-ordinate of a 62 ft cord", cell)
		}
		return d, nil
	}
	if m := reDegMin().FindStringSubmatch(text); m != nil {
		deg, errD := strconv.ParseFloat(m[1], 64)
		minutes, errM := strconv.ParseFloat(m[2], 64)
		if errD != nil || errM != nil || minutes >= 60 {
			return 0, faultf("minutes under 60", "%q is not degrees and minutes", cell)
		}
		return deg + minutes/60, nil
	}
	if m := reDegrees().FindStringSubmatch(text); m != nil {
		d, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			return 0, faultf(degreeForms, "%q is not a degree of curve", cell)
		}
		return d, nil
	}
	return 0, faultf(degreeForms, "%q is not a degree of curve", cell)
}

// Decimal reads digits, with or without a point and more digits behind it; ok is false for anything else, such as a
// sign or an exponent.
func Decimal(text string) (v float64, ok bool) {
	whole, rest, point := strings.Cut(text, ".")
	if !isDigits(whole) || point && !isDigits(rest) {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

func isDigits(s string) bool {
	for i := range len(s) {
		if !isDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

// chordFt is the chord that the American railroad degree of curve subtends, ft.
const chordFt = 100

// RadiusFt is the radius in feet of a curve of d degrees by the chord definition, R = 50 / sin(D/2), for 0 < d <=
// [MaxDegree]; outside it the error is a [*Fault].
//
// Source: surveying texts; the radii of Vose, Handbook of Railroad Construction, agree (see the published checks).
func RadiusFt(d float64) (float64, error) {
	if !(d > 0 && d <= MaxDegree) {
		return 0, faultf("above 0 to 60 degrees", "no radius for %g degrees", d)
	}
	return chordFt / 2 / math.Sin(d/2*math.Pi/180), nil
}

// DegreeOfRadius is the degree of curve of a radius in feet, the inverse of [RadiusFt], for 100 ft to 10,000,000 ft;
// outside that the error is a [*Fault].
func DegreeOfRadius(ft float64) (float64, error) {
	if !(ft >= chordFt && ft <= 1e7) {
		return 0, faultf("100 ft or more", "no degree of curve for a radius of %g ft", ft)
	}
	return math.Min(2*math.Asin(chordFt/2/ft)*180/math.Pi, MaxDegree), nil // 100 ft is 60 degrees, not a rounding more
}

// cordFt is the cord (string line) on which curves are measured by hand, ft.
const cordFt = 62

// DegreeOfOrdinate is the exact degree of curve of a mid-ordinate of m inches on a 62 ft cord: R = (31² + (m/12)²)/(2
// m/12). A mid-ordinate of 0 is tangent track. It is for 0 to 59 in, where the curve has reached [MaxDegree]; outside
// that the error is a [*Fault].
//
// Source: the sagitta of a circle, with the chord definition of [RadiusFt].
func DegreeOfOrdinate(m float64) (float64, error) {
	const most = 59
	if !(m >= 0 && m <= most) {
		return 0, faultf("0 to 59 in", "no degree of curve for a mid-ordinate of %g in on a 62 ft cord", m)
	}
	if m == 0 {
		return 0, nil
	}
	half, ord := cordFt/2.0, m/12
	r := (half*half + ord*ord) / (2 * ord)
	return 2 * math.Asin(chordFt/2/r) * 180 / math.Pi, nil
}

// OrdinateIn is the mid-ordinate in inches of a cord of the given length in feet on a curve of d degrees: R − sqrt(R² −
// (cord/2)²), for d of [RadiusFt] and a cord above 0 and not over the diameter; outside that the error is a [*Fault].
func OrdinateIn(d, cord float64) (float64, error) {
	r, err := RadiusFt(d)
	if err != nil {
		return 0, err
	}
	if !(cord > 0 && cord/2 <= r) {
		return 0, faultf("a cord above 0 and not over the diameter",
			"no mid-ordinate of a %g ft cord on a %g ft radius", cord, r)
	}
	return (r - math.Sqrt(r*r-cord*cord/4)) * 12, nil
}
