package measure_test

import (
	"math"
	"testing"

	"flangeway/internal/measure"
)

// seeds are notations and near misses that the fuzzer starts from.
var seeds = []string{
	"1-7/16", "1 7/16", `1 7/16"`, "1 7/16''", "2''", `15/16"`, "1.4375", ".94", "23/16", `4' 8-1/2"`, "4'8½",
	`4'-8-1/2"`, "56-1/2",
	"36.5mm", "36.5 mm", "36 mm", ">15/16", "> 15/16", ">=1", "<=15/16", "<1-1/2", "1-1/4..1-1/2", "1…2", "≥1", "-1/4",
	"-1..1",
	"none", "n/m", "-", "", "1/8", "8-Jan", "Jan-16", "1/7/2016", "2016-01-07", "46143", "½½", "⅓2", `5' -1"`, "--",
	"..", "1...94",
	"1-1/4+", "1-1/4-", `1/8"+`, `1/8+"`, "1¼–", "1-1/4+-", "8/8-", "4'-8/8-", `16/16"+`,
	"-1/8+", "1.4375", "1.250", ".046875", "N/A", "NONE",
	">=..1", "NaN", "inf", "1e3", "0x10", "99999999999999999999", "1,5", "72°", "72 deg", "\u00a0", "1\u200b1/2",
	"0/32", "-0", "1-0/32",
}

// FuzzParse: whatever is typed gives a message for the typist or an interval that
// holds its value, lies in the column's bounds and survives printing.
func FuzzParse(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		for _, s := range allColumns() {
			r, err := s.Parse(cell)
			if err != nil {
				checkFault(t, cell, err)
				continue
			}
			if r.Measured() && !(r.Lo <= r.Hi && (r.Form == measure.None || s.Lo <= r.Lo && r.Hi <= s.Hi)) {
				t.Fatalf("%s: %q gives [%v, %v] in the bounds [%v, %v]", s.Column, cell, r.Lo, r.Hi, s.Lo, s.Hi)
			}
			if math.IsNaN(r.As) || r.As < r.Lo-1e-9 || r.As > r.Hi+1e-9 {
				t.Fatalf("%s: %q gives %v outside [%v, %v]", s.Column, cell, r.As, r.Lo, r.Hi)
			}
			checkPrint(t, s, cell, r)
		}
	})
}

// FuzzParseDegree: whatever is typed gives a message or a degree of 0 to 60.
func FuzzParseDegree(f *testing.F) {
	for _, s := range append([]string{"6.5", "6°30'", "D6-30", "6 deg 30", "R 955'", "62ft 6-1/4", `62' 6-1/4"`, "R 99",
		"62ft 129", "60", "6-60", "tangent", "62ft none"}, seeds...) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		r, err := measure.ParseDegree(cell)
		if err != nil {
			checkFault(t, cell, err)
			return
		}
		if !(r.As >= 0 && r.As <= measure.MaxDegree) || r.Lo != r.As || r.Hi != r.As {
			t.Fatalf("%q gives %v [%v, %v] degrees", cell, r.As, r.Lo, r.Hi)
		}
	})
}
