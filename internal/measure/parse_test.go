package measure_test

import (
	"errors"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// TestParseValue pins the value and the ± of every notation of a reading. as, lo and hi are in the unit named by unit.
func TestParseValue(t *testing.T) {
	for _, tc := range []struct {
		name, cell string
		spec       measure.Spec
		unit       float64
		form       measure.Form
		as, lo, hi float64
		reason     string
	}{
		{"sixteenth with dash", "1-7/16", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"a 16th is ±1/32 in"},
		{"sixteenth with blank", "1 7/16", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"a blank joins as a dash does"},
		{"sixteenth with mark", `1 7/16"`, flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"an inch mark changes nothing"},
		{"sixteenth with two primes", "1 7/16''", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"two primes are an inch mark"},
		{"whole with two primes", "2''", flangeHeight, inch, measure.Point, 2, 1.96875, 2.03125,
			"two primes are an inch mark and no foot mark"},
		{"sixteenth with in", "1-7/16 in", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"in is the inch mark in words"},
		{"sixteenth with in and dot", "1-7/16in.", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"in. likewise"},
		{"sixteenth with inches", "1-7/16 inches", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"inches likewise"},
		{"blanks around", "  1-7/16\t", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"cells are trimmed"},
		{"bare sixteenth", `15/16"`, flangeHeight, inch, measure.Point, 0.9375, 0.90625, 0.96875,
			"a fraction without a whole number"},
		{"improper fraction", "23/16", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875, "23/16 is 1-7/16"},
		{"half", "1-1/2", flangeHeight, inch, measure.Point, 1.5, 1.46875, 1.53125, "halves are ±1/32 in too"},
		{"quarter", "1-1/4", flangeHeight, inch, measure.Point, 1.25, 1.21875, 1.28125, "quarters are ±1/32 in"},
		{"eighth", "1-3/8", flangeHeight, inch, measure.Point, 1.375, 1.34375, 1.40625, "eighths are ±1/32 in"},
		{"whole inch", "1", flangeHeight, inch, measure.Point, 1, 0.96875, 1.03125, "a whole inch is ±1/32 in"},
		{"32nd", "1-15/32", flangeHeight, inch, measure.Point, 1.46875, 1.453125, 1.484375, "a 32nd is ±1/64 in"},
		{"64th", "1-31/64", flangeHeight, inch, measure.Point, 1.484375, 1.4765625, 1.4921875, "a 64th is ±1/128 in"},
		{"unreduced 32nd", "1-14/32", flangeHeight, inch, measure.Point, 1.4375, 1.421875, 1.453125,
			"the denominator as written says how it was read"},
		{"two decimals", "1.50", flangeHeight, inch, measure.Point, 1.5, 1.495, 1.505,
			"1.50 is ±0.005: half of its last digit"},
		{"one decimal", "1.5", flangeHeight, inch, measure.Point, 1.5, 1.45, 1.55, "half the last digit"},
		{"four decimals", "1.4375", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"what a spreadsheet makes of 1 7/16"},
		{"quarter as a decimal", "1.25", flangeHeight, inch, measure.Point, 1.25, 1.21875, 1.28125,
			"the ± of 1-1/4, the larger"},
		{"quarter with a trailing zero", "1.250", flangeHeight, inch, measure.Point, 1.25, 1.2495, 1.2505,
			"no spreadsheet writes the zero: somebody read three decimals"},
		{"half as a decimal", "1.5", flangeHeight, inch, measure.Point, 1.5, 1.45, 1.55,
			"half the last digit is the larger"},
		{"32nd as a decimal", "1.46875", flangeHeight, inch, measure.Point, 1.46875, 1.453125, 1.484375,
			"the ± of 1-15/32"},
		{"64th as a decimal", "1.484375", flangeHeight, inch, measure.Point, 1.484375, 1.4765625, 1.4921875,
			"the ± of 1-31/64"},
		{"16th less a digit", "1.437", flangeHeight, inch, measure.Point, 1.437, 1.4365, 1.4375,
			"no whole number of 64ths"},
		{"16th as a decimal below 1", ".9375", flangeThickness, inch, measure.Point, 0.9375, 0.90625, 0.96875,
			"a leading zero may be missing"},
		{"16th as a decimal of feet", `2' 9.0625"`, diameter, inch, measure.Point, 33.0625, 33.03125, 33.09375,
			"behind feet likewise"},
		{"16th as a decimal of gauge", "56.5625", gauge, inch, measure.Point, 56.5625, 56.5, 56.625,
			"±1/16 in is the larger"},
		{"16th as a decimal of hollow", `0.0625"`, hollow, mm, measure.Point, 1.5875, 0.79375, 2.38125,
			"hollow in inches likewise"},
		{"dyadic millimetres", "36.25mm", flangeHeight, mm, measure.Point, 36.25, 36.245, 36.255,
			"no fraction stood behind millimetres"},
		{"dyadic angle", "71.25", faceAngle, deg, measure.Point, 71.25, 71.245, 71.255, "nor behind degrees"},
		{"dyadic hollow", "2.25", hollow, mm, measure.Point, 2.25, 2.245, 2.255, "nor behind hollow in mm"},

		{"full", "1-1/4+", flangeHeight, inch, measure.Range, 1.28125, 1.21875, 1.34375,
			"1-1/4..1-5/16, its ends widened by the step"},
		{"scant", "1-1/4-", flangeHeight, inch, measure.Range, 1.21875, 1.15625, 1.28125,
			"1-3/16..1-1/4, its ends widened by the step"},
		{"full without a whole number", "7/8+", flangeThickness, inch, measure.Range, 0.90625, 0.84375, 0.96875,
			"a bare fraction"},
		{"scant with blanks", "1 5/16 -", flangeHeight, inch, measure.Range, 1.28125, 1.21875, 1.34375,
			"a blank before the sign"},
		{"full before the mark", `1-1/4+"`, flangeHeight, inch, measure.Range, 1.28125, 1.21875, 1.34375,
			"an inch mark changes nothing"},
		{"full behind the mark", `1-1/4"+`, flangeHeight, inch, measure.Range, 1.28125, 1.21875, 1.34375,
			"an inch mark changes nothing"},
		{"full with a unicode fraction", "1¼+", flangeHeight, inch, measure.Range, 1.28125, 1.21875, 1.34375,
			"a phone's fraction"},
		{"scant with a typographic dash", "1¼–", flangeHeight, inch, measure.Range, 1.21875, 1.15625, 1.28125,
			"a word processor's dash"},
		{"full half", "1/2+", flangeHeight, inch, measure.Range, 0.53125, 0.5, 0.59375, "cut at the bound"},
		{"scant at the bound", "1/2-", flangeHeight, inch, measure.Range, 0.5, 0.5, 0.53125,
			"what lies beyond the bound cannot be"},
		{"full at the bound", "1-15/16+", flangeThickness, inch, measure.Range, 1.96875, 1.90625, 2,
			"cut at the bound"},
		{"full feet and inches", `4' 8-1/2"+`, gauge, inch, measure.Range, 56.53125, 56.46875, 56.59375,
			"the step widens, not the floor"},
		{"full hollow", `1/8"+`, hollow, mm, measure.Range, 3.96875, 2.675, 5.2625, "the step of hollow"},
		{"exact full", "1-1/4+", with(flangeHeight, func(s *measure.Spec) { s.Step = 0 }), inch, measure.Range, 1.28125,
			1.25, 1.3125, "step_error 0 makes its ends exact"},

		{"decimal without whole", ".94", flangeHeight, inch, measure.Point, 0.94, 0.935, 0.945,
			"a leading zero may be missing"},
		{"decimal with unit", "1.4375 in", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"a unit changes nothing"},
		{"spreadsheet noise", "1.30000000000000004", flangeHeight, inch, measure.Point, 1.3, 1.3, 1.3,
			"17 decimals, the most a spreadsheet writes, are taken"},
		{"millimetre decimal", "36.5mm", flangeHeight, mm, measure.Point, 36.5, 36.45, 36.55,
			"half the last digit in its own unit"},
		{"millimetre with blank", "36.5 mm", flangeHeight, mm, measure.Point, 36.5, 36.45, 36.55,
			"a blank before the unit"},
		{"whole millimetre", "36mm", flangeHeight, mm, measure.Point, 36, 35.5, 36.5, "a whole millimetre is ±0.5 mm"},

		{"feet and inches", `4' 8-1/2"`, gauge, inch, measure.Point, 56.5, 56.4375, 56.5625,
			"gauge is never better than ±1/16 in"},
		{"feet and inches close", "4'8½", gauge, inch, measure.Point, 56.5, 56.4375, 56.5625, "no blank, unicode half"},
		{"feet and inches in words", "4 ft 8-1/2 in", gauge, inch, measure.Point, 56.5, 56.4375, 56.5625, "ft and in"},
		{"feet dash inches", `4'-8-1/2"`, gauge, inch, measure.Point, 56.5, 56.4375, 56.5625, "the draftsman's dash"},
		{"feet blank dash blank inches", `4' - 8-1/2"`, gauge, inch, measure.Point, 56.5, 56.4375, 56.5625,
			"a dash with blanks on both sides joins"},
		{"feet alone", "5'", gauge, inch, measure.Point, 60, 59.9375, 60.0625, "no inches behind the feet"},
		{"feet and no inches", `5' 0"`, gauge, inch, measure.Point, 60, 59.9375, 60.0625, "0 in behind the feet"},
		{"feet and inches without floor", `2' 9-1/2"`, diameter, inch, measure.Point, 33.5, 33.46875, 33.53125,
			"feet and inches are ±1/32 in likewise"},
		{"feet and 32nds", `2' 9-1/32"`, diameter, inch, measure.Point, 33.03125, 33.015625, 33.046875,
			"the fraction says the ±"},
		{"feet and decimal inches", `2' 9.5"`, diameter, inch, measure.Point, 33.5, 33.45, 33.55,
			"half the last digit"},
		{"feet and 11-63/64", `2' 11-63/64"`, diameter, inch, measure.Point, 35.984375, 35.9765625, 35.9921875,
			"just under 12 in behind feet"},
		{"56-1/2", "56-1/2", gauge, inch, measure.Point, 56.5, 56.4375, 56.5625, "inches alone"},
		{"gauge 64th floor", "56-33/64", gauge, inch, measure.Point, 56.515625, 56.453125, 56.578125,
			"±1/16 in takes the place of ±1/128"},
		{"gauge coarse decimal", "56.5", gauge, inch, measure.Point, 56.5, 56.4375, 56.5625,
			"±1/16 in is wider than ±0.05"},
		{"gauge millimetres", "1435mm", gauge, inch, measure.Point, 1435 / inch, 1435/inch - 0.0625, 1435/inch + 0.0625,
			"±1/16 in is wider than ±0.5 mm"},
		{"floor under the notation", "10", with(wide, func(s *measure.Spec) { s.Floor = inch / 64 }), inch,
			measure.Point, 10, 9.96875, 10.03125, "a floor under the ± of the notation does nothing"},
		{"point drop floor", "1/64", pointDrop, inch, measure.Point, 0.015625, 0, 0.078125, "±1/16 in, cut at 0"},

		{"negative elevation", "-1-1/4", elevation, inch, measure.Point, -1.25, -1.28125, -1.21875,
			"reverse elevation"},
		{"negative decimal", "-.5", elevation, inch, measure.Point, -0.5, -0.55, -0.45, "a sign before a point"},
		{"negative range", "-1..-1/2", elevation, inch, measure.Range, -0.75, -1.03125, -0.46875,
			"the smaller end first"},

		{"greater", ">15/16", flangeThickness, inch, measure.Above, 0.9375, 0.90625, 1.4375,
			"the notch did not touch: thicker, up to the thickest that is made"},
		{"greater with blank", "> 15/16", flangeThickness, inch, measure.Above, 0.9375, 0.90625, 1.4375,
			"a blank behind the sign"},
		{"at least", ">=1", verticalFlange, inch, measure.Above, 1, 0.96875, 1.25, "touched at 1 in"},
		{"under", "<1", verticalFlange, inch, measure.Below, 1, 0, 1.03125, "not touched at 1 in, down to the bound"},
		{"at most", "<=15/16", flangeThickness, inch, measure.Below, 0.9375, 0.5, 0.96875,
			"step_error widens the given end"},
		{"under with fraction", "<1-1/2", flangeHeight, inch, measure.Below, 1.5, 0.9375, 1.53125,
			"whole and fraction"},
		{"step not notation", "<1.500", flangeHeight, inch, measure.Below, 1.5, 0.9375, 1.53125,
			"the step widens a go/no-go reading, whatever its notation"},
		{"step not floor", ">56", gauge, inch, measure.Above, 56, 55.96875, 62, "the floor is of one-value readings"},
		{"unicode at least", "≥1", verticalFlange, inch, measure.Above, 1, 0.96875, 1.25, "≥ is >="},
		{"unicode at most", "≤ 1", verticalFlange, inch, measure.Below, 1, 0, 1.03125, "≤ is <="},
		{"thicker than any that is made", ">1-1/2", flangeThickness, inch, measure.Above, 1.5, 1.46875, 1.5,
			"the step lies beyond: the reading ends there"},
		{"as thick as is made", ">=1-7/16", flangeThickness, inch, measure.Above, 1.4375, 1.40625, 1.4375,
			"at the thickest"},
		{"at most so thick", "<1-1/8", flangeThickness, inch, measure.Below, 1.125, 0.5, 1.15625,
			"a worn flange can be as thin as the bound"},
		{"lower than any that is made", "<7/8", flangeHeight, inch, measure.Below, 0.875, 0.875, 0.90625,
			"the step lies beyond: the reading begins there"},
		{"as low as is made", "<=15/16", flangeHeight, inch, measure.Below, 0.9375, 0.9375, 0.96875, "at the lowest"},
		{"at least so high", ">=1-1/2", flangeHeight, inch, measure.Above, 1.5, 1.46875, 2.5,
			"a worn flange can be as high as the bound"},
		{"vertical beyond any that is made", ">1-3/8", verticalFlange, inch, measure.Above, 1.375, 1.34375, 1.375,
			"the step lies beyond"},
		{"two-sided beyond what is made", "1-3/4", flangeThickness, inch, measure.Point, 1.75, 1.71875, 1.78125,
			"what was read stands"},
		{"range", "1-1/4..1-1/2", flangeHeight, inch, measure.Range, 1.375, 1.21875, 1.53125,
			"both ends widened by the step, the middle as written"},
		{"range with blanks", "1-1/4 .. 1-1/2", flangeHeight, inch, measure.Range, 1.375, 1.21875, 1.53125,
			"blanks around the dots"},
		{"range with ellipsis", "1-1/4…1-1/2", flangeHeight, inch, measure.Range, 1.375, 1.21875, 1.53125,
			"word processors join two dots"},
		{"range of one value", "1..1", flangeHeight, inch, measure.Range, 1, 0.96875, 1.03125,
			"equal ends are a range"},
		{"range at both bounds", "1/2..2-1/2", flangeHeight, inch, measure.Range, 1.5, 0.5, 2.5,
			"the widened ends are cut at the bounds"},
		{"range of two units", "30mm..1-1/2", flangeHeight, inch, measure.Range, (30/inch + 1.5) / 2, 30/inch - 0.03125,
			1.53125, "each end carries its own unit"},
		{"exact steps", ">=1", with(verticalFlange, func(s *measure.Spec) { s.Step = 0 }), inch, measure.Above, 1, 1,
			1.25, "step_error 0 makes steps exact"},

		{"at the lower bound", "1/2", flangeHeight, inch, measure.Point, 0.5, 0.5, 0.53125,
			"the interval is cut at the bound"},
		{"at the upper bound", "2-1/2", flangeHeight, inch, measure.Point, 2.5, 2.46875, 2.5,
			"the interval is cut at the bound"},
		{"one-sided at the upper bound", ">=2-1/2", flangeHeight, inch, measure.Above, 2.5, 2.46875, 2.5,
			"reaches to the bound and no further"},
		{"one-sided at the lower bound", "<1/2", flangeHeight, inch, measure.Below, 0.5, 0.5, 0.53125,
			"reaches to the bound and no further"},

		{"none", "none", verticalFlange, inch, measure.None, 0, 0, 0, "looked at and there is none: exactly 0"},
		{"none in spite of floor", "none", pointDrop, inch, measure.None, 0, 0, 0, "exactly 0, without the floor"},
		{"zero", "0", pointDrop, inch, measure.Point, 0, 0, 0.0625, "a measured 0 has its ±"},
		{"blank", "", flangeHeight, inch, measure.Missing, 0, 0, 0, "not measured, never zero"},
		{"blanks", "  ", flangeHeight, inch, measure.Missing, 0, 0, 0, "not measured"},
		{"no-break space", "\u00a0", flangeHeight, inch, measure.Missing, 0, 0, 0, "not measured"},
		{"dash", "-", flangeHeight, inch, measure.Missing, 0, 0, 0, "not measured"},
		{"en dash", "–", flangeHeight, inch, measure.Missing, 0, 0, 0, "what a word processor makes of the dash"},
		{"not measured", "n/m", gauge, inch, measure.Missing, 0, 0, 0, "not measured"},
		{"not measured in capitals", "N/M", gauge, inch, measure.Missing, 0, 0, 0, "upper and lower case are alike"},
		{"not available", "N/A", gauge, inch, measure.Missing, 0, 0, 0, "as offices say it"},
		{"not available without a stroke", "na", gauge, inch, measure.Missing, 0, 0, 0, "likewise"},
		{"none in capitals", "NONE", pointDrop, inch, measure.None, 0, 0, 0, "upper and lower case are alike"},

		{"hollow decimal", "2.5", hollow, mm, measure.Point, 2.5, 2.45, 2.55, "hollow is mm without a unit"},
		{"hollow whole", "2", hollow, mm, measure.Point, 2, 1.5, 2.5, "a whole millimetre is ±0.5 mm"},
		{"hollow with unit", "2 mm", hollow, mm, measure.Point, 2, 1.5, 2.5, "the same with its unit"},
		{"hollow in inches", `1/8"`, hollow, mm, measure.Point, 3.175, 2.38125, 3.96875,
			"with an inch mark the fraction is clear: ±1/32 in"},
		{"hollow go/no-go", ">3", hollow, mm, measure.Above, 3, 2.5, 12, "the step of hollow is 0.5 mm"},
		{"hollow range", "2..3", hollow, mm, measure.Range, 2.5, 1.5, 3.5, "both ends by 0.5 mm"},
		{"hollow none", "none", hollow, mm, measure.None, 0, 0, 0, "exactly 0"},
		{"hollow cut", "0", hollow, mm, measure.Point, 0, 0, 0.5, "cut at 0"},

		{"a count in groups", "263,000", pounds, deg, measure.Point, 263000, 262999.5, 263000.5, "as offices write it"},
		{"a count in thousands", "286K", pounds, deg, measure.Point, 286000, 285999.5, 286000.5, "likewise"},
		{"angle", "72", faceAngle, deg, measure.Point, 72, 71.5, 72.5, "half the last digit"},
		{"angle decimal", "71.5", faceAngle, deg, measure.Point, 71.5, 71.45, 71.55, "half the last digit"},
		{"angle mark", "72°", faceAngle, deg, measure.Point, 72, 71.5, 72.5, "with its mark"},
		{"angle word", "72 deg", faceAngle, deg, measure.Point, 72, 71.5, 72.5, "with its word"},
		{"angle cut", "90", faceAngle, deg, measure.Point, 90, 89.5, 90, "cut at 90"},
		{"angle go/no-go", ">=60", faceAngle, deg, measure.Above, 60, 60, 90,
			"up to the bound; a step of angle is not widened"},
		{"angle range", "60..72", faceAngle, deg, measure.Range, 66, 60, 72, "nor is a range"},

		{"unicode fraction", "1½", flangeHeight, inch, measure.Point, 1.5, 1.46875, 1.53125, "one sign for one half"},
		{"unicode eighth", "1⅞", flangeHeight, inch, measure.Point, 1.875, 1.84375, 1.90625,
			"one sign for seven eighths"},
		{"unicode fraction with dash", "1-½", flangeHeight, inch, measure.Point, 1.5, 1.46875, 1.53125,
			"a dash before the sign"},
		{"unicode fraction with mark", "1¼″", flangeHeight, inch, measure.Point, 1.25, 1.21875, 1.28125,
			"a double prime"},
		{"fraction slash", "1-7⁄16", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"the typographic slash"},
		{"curly quotes", "4’ 8-1/2”", gauge, inch, measure.Point, 56.5, 56.4375, 56.5625, "phones type curly quotes"},
		{"en dash joins", "1–7/16", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"word processors type en dashes"},
		{"no-break space joins", "1\u00a07/16", flangeHeight, inch, measure.Point, 1.4375, 1.40625, 1.46875,
			"a no-break space is a blank"},
		{"minus sign", "−1", elevation, inch, measure.Point, -1, -1.03125, -0.96875, "the typographic minus"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := tc.spec.Parse(tc.cell)
			if err != nil {
				t.Fatalf("Parse(%q): %v; %s", tc.cell, err, tc.reason)
			}
			if r.Form != tc.form || !same(r.As, tc.as*tc.unit) || !same(r.Lo, tc.lo*tc.unit) ||
				!same(r.Hi, tc.hi*tc.unit) {
				t.Errorf("Parse(%q) = form %d, %v [%v, %v] mm; want form %d, %v [%v, %v]; %s", tc.cell,
					r.Form, r.As, r.Lo, r.Hi, tc.form, tc.as*tc.unit, tc.lo*tc.unit, tc.hi*tc.unit, tc.reason)
			}
			if r.Written != strings.TrimSpace(tc.cell) {
				t.Errorf("Parse(%q) keeps %q as written", tc.cell, r.Written)
			}
		})
	}
}

// TestParseRefuses holds what is no reading, and what the typist is told.
func TestParseRefuses(t *testing.T) {
	const date = "the spreadsheet changed it"
	for _, tc := range []struct {
		name, cell string
		spec       measure.Spec
		says       string // part of the message
		reason     string
	}{
		{"above the upper bound", "2-33/64", flangeHeight, "1/2 to 2-1/2 in", "just above 2-1/2 in"},
		{"below the lower bound", "31/64", flangeHeight, "1/2 to 2-1/2 in", "just below 1/2 in"},
		{"range beyond", "2..3", flangeHeight, "1/2 to 2-1/2 in", "its upper end is outside"},
		{"range before", "1/4..1", flangeHeight, "1/2 to 2-1/2 in", "its lower end is outside"},
		{"go/no-go beyond", ">3", flangeHeight, "1/2 to 2-1/2 in", "nothing lies above the bound"},
		{"negative go/no-go", "<-1", flangeHeight, "1/2 to 2-1/2 in", "a flange has no negative height"},
		{"hollow beyond", "12.5", hollow, "0 to 12 mm", "just above 12 mm"},
		{"negative hollow", "-1", hollow, "0 to 12 mm", "hollow is a depth"},
		{"angle beyond", "90.5", faceAngle, "0 to 90 deg", "just above 90 degrees"},
		{"negative angle", "-1", faceAngle, "0 to 90 deg", "measured from horizontal, downward"},
		{"millimetres without unit", "1435", gauge, "1435mm",
			"a number without a unit is inches; say how mm are written"},
		{"none where there is always some", "none", flangeHeight, "exactly 0", "a flange of height 0 does not exist"},
		{"none of gauge", "none", gauge, "exactly 0", "a gauge of 0 does not exist"},

		{"gauge half", "1/2", gauge, "deviation", "1/2 could be a deviation from standard gauge"},
		{"gauge three quarters over", "3/4", gauge, "56-1/2", "the message says how a gauge is written"},
		{"gauge tight", "-1/4", gauge, "deviation", "a negative deviation"},
		{"gauge none as zero", "0", gauge, "deviation", "0 could mean standard gauge"},
		{"gauge deviation in mm", "12mm", gauge, "deviation", "the same in millimetres"},
		{"gauge deviation one-sided", ">1/2", gauge, "deviation", "the same one-sided"},
		{"gauge deviation range", "1/2..3/4", gauge, "deviation", "the same as a range"},
		{"guard check deviation", "1/8", guardCheck, "guard_check", "the message names the column"},

		{"date 8-Jan", "8-Jan", flangeHeight, date, "1-8 or 8/1 became a date"},
		{"date Jan-16", "Jan-16", flangeHeight, date, "1/16 became a date"},
		{"date 16-Jul", "16-Jul", flangeHeight, date, "7/16 became a date"},
		{"date 7-Jan-16", "7-Jan-16", flangeHeight, date, "1-7/16 became a date"},
		{"date 1/7/2016", "1/7/2016", flangeHeight, date, "1-7/16 became a date"},
		{"date 1/7/16", "1/7/16", flangeHeight, date, "with a short year"},
		{"date 2016-01-07", "2016-01-07", flangeHeight, date, "as ISO writes it"},
		{"date 2016/01/07", "2016/01/07", flangeHeight, date, "year first with slashes"},
		{"date with time", "2016-01-07 00:00:00", flangeHeight, date, "with a time of day"},
		{"date with time of day", "1/7/2016 0:00", flangeHeight, date, "with a short time"},
		{"date 7-1-2016", "7-1-2016", flangeHeight, date, "with dashes"},
		{"date 07.01.2016", "07.01.2016", flangeHeight, date, "with dots"},
		{"date Jan 7, 2016", "Jan 7, 2016", flangeHeight, date, "in words"},
		{"date 7. Jan", "7. Jan", flangeHeight, date, "with a dot and a blank"},
		{"date lower case", "16-jul", flangeHeight, date, "case does not matter"},
		{"date en dashes", "7–Jan–16", flangeHeight, date, "with typographic dashes"},
		{"date of hollow", "1-Feb", hollow, date, "hollow too"},
		{"date of angle", "1-Feb", faceAngle, date, "angles too"},
		{"date number", "46143", flangeHeight, "date number", "a date as its day number"},
		{"date number of gauge", "46143", gauge, "date number", "likewise"},
		{"date number of hollow", "46143", hollow, "date number", "likewise"},
		{"date number of angle", "46143", faceAngle, "date number", "likewise"},

		{"hollow bare fraction", "1/8", hollow, "which unit", "inches or millimetres: ask"},
		{"hollow bare mixed fraction", "1-1/2", hollow, "which unit", "inches or millimetres: ask"},
		{"hollow bare go/no-go fraction", ">1/8", hollow, "which unit", "inches or millimetres: ask"},
		{"hollow half range", `1/8..1/4"`, hollow, "which unit", "the mark stands at one end only"},

		{"thirds", "1-1/3", flangeHeight, "64ths", "no rule shows thirds"},
		{"unicode third", "1⅓", flangeHeight, "64ths", "no rule shows thirds"},
		{"third before a digit", "⅓2", flangeHeight, "is not a", "must not read as 1/32"},
		{"two thirds before a digit", "1-⅔2", flangeHeight, "is not a", "must not read as 2/32"},
		{"tenths", "1-3/10", flangeHeight, "64ths", "no rule shows tenths as a fraction"},
		{"zero below", "1/0", flangeHeight, "64ths", "no division by zero"},
		{"fraction of one or more", "1-16/16", flangeHeight, "under 1", "a slip of the typist"},
		{"fraction above one", "1-23/16", flangeHeight, "under 1", "1 and 23/16 or 23/16?"},
		{"thirteen inches", `4' 13"`, gauge, "under 12", "feet hold 12 in"},
		{"twelve inches", `4' 12"`, gauge, "under 12", "12 in are a foot"},
		{"minus behind feet", `5' -1"`, gauge, "feet and inches", "a minus or a joining dash"},
		{"minus zero behind feet", `5' -0"`, gauge, "feet and inches", "likewise"},
		{"feet and dash", "5'-", gauge, "is not a length", "nothing behind the dash"},
		{"mm fraction", "36-1/2mm", flangeHeight, "is not a length", "millimetres have no fractions"},
		{"decimal feet", "4.7'", gauge, "is not a length", "feet stand with inches"},
		{"feet behind inches", `8" 4'`, gauge, "is not a length", "wrong way round"},
		{"inches twice", `56" 1/2`, gauge, "is not a length", "a mark in the middle"},
		{"quote first", "'8", gauge, "is not a length", "no feet before the mark"},
		{"quote only", `"`, gauge, "is not a length", "no number"},
		{"unit only", "mm", flangeHeight, "n/m", "no number: say how a missing reading is written"},

		{"dash dash", "--", flangeHeight, "n/m", "one dash, or n/m"},
		{"plus", "+1/2", flangeHeight, "is not a length", "a sign makes it a deviation"},
		{"two slashes", "1/2/3", flangeHeight, "is not a length", "no fraction and no date"},
		{"two points", "1.4.5", flangeHeight, "is not a length", "no decimal and no date"},
		{"exponent", "1e3", flangeHeight, "is not a length", "spreadsheets write 1E+03 for something else"},
		{"hexadecimal", "0x10", flangeHeight, "is not a length", "not a notation of the trade"},
		{"hexadecimal float", "0x1p1", flangeHeight, "is not a length", "not a notation of the trade"},
		{"underscore", "1_0", flangeHeight, "is not a length", "not a notation of the trade"},
		{"not a number", "NaN", flangeHeight, "is not a length", "must not become a NaN"},
		{"infinite", "inf", flangeHeight, "is not a length", "must not become infinite"},
		{"infinite range", "1..inf", flangeHeight, "is not a length", "must not become infinite"},
		{"dashes for slashes", "1-7-16", flangeHeight, "is not a length", "1-7/16 or a date: not guessed"},
		{"word behind", "57 3/4 wide", gauge, "the reading alone, 57-3/4", "a remark belongs in note"},
		{"standard", "std", gauge, "the reading itself, as 56-1/2; n/m", "a word is no reading"},
		{"standard where there is none", "std", flangeHeight, "such as 1-7/16", "a word is no reading"},
		{"ok", "ok", flangeHeight, "the reading itself; n/m", "a word is no reading"},
		{"ok of a notch", "OK", with(verticalFlange,
			func(s *measure.Spec) { s.Notch = "write <1 where it did not touch" }), "write <1 where",
			"how the notch is written"},
		{"feet by a dash, decimals", "4-8.5", gauge, "a foot mark behind the feet, 4' 8.5, or inches alone, 56-1/2",
			"a range falls"},
		{"touch of a notch", "touch", with(verticalFlange,
			func(s *measure.Spec) { s.Notch = "write <1 where it did not touch" }), "write <1 where",
			"how the notch is written"},
		{"pass of a notch", "pass", with(verticalFlange,
			func(s *measure.Spec) { s.Notch = "write <1 where it did not touch" }), "write <1 where",
			"how the notch is written"},
		{"wide", "1/4 wide", gauge, "the gauge itself, 56-3/4 where the standard one is 56-1/2",
			"the distance, not the deviation"},
		{"tight", `3/8" Tight`, gauge, "56-1/8", "the other way"},
		{"plus", "+1/4", gauge, "56-3/4", "a sign makes it a deviation"},
		{"wide, a decimal", ".25 wide", gauge, "the gauge itself, 56-3/4", "the point first"},
		{"wide, a letter", "1/4W", gauge, "the gauge itself, 56-3/4", "short for wide"},
		{"over", "1/2 over", gauge, "the gauge itself, 57", "another word for it"},
		{"wide gage", "5/8 wide gage", gauge, "the gauge itself, 57-1/8", "all words of it"},
		{"standard and more", "std + 1/4", gauge, "the gauge itself, 56-3/4", "a sum is no reading"},
		{"wide by feet", "12 wide", gauge, "the distance itself, as 56-1/2", "no track is that wide"},
		{"not touched of a notch", "not touched", with(verticalFlange,
			func(s *measure.Spec) { s.Notch = "write <1 where it did not touch" }), "write <1 where",
			"how the notch is written"},
		{"feet by a blank", "4 8-1/2", gauge, "a foot mark behind the feet, 4' 8-1/2, or inches alone, 56-1/2",
			"no mark at all"},
		{"whole feet and inches", "4-9", gauge, "a foot mark behind the feet, 4' 9, or inches alone, 57",
			"two numbers in a row"},
		{"wide guard check", "1/8 wide", guardCheck, "the distance itself, as 54-5/8",
			"no standard stands for all frogs"},
		{"feet by a dash", "4-8-1/2", gauge, "a foot mark behind the feet, 4' 8-1/2, or inches alone, 56-1/2",
			"three numbers in a row"},
		{"feet by a dash and a blank", "4-8 1/2", gauge, "4' 8-1/2", "likewise"},
		{"feet by a dash out of bounds", "1-8-1/2", gauge, "such as 1-7/16", "no gauge in any reading"},
		{"two halves", "½½", flangeHeight, "½½", "quoted as typed"},
		{"one and two halves", "1½½", flangeHeight, "1½½", "quoted as typed"},
		{"half and a digit", "½4", flangeHeight, "is not a", "must not read as 1/24"},
		{"two dots", "..", flangeHeight, "a number is missing", "no ends"},
		{"no upper end", "1..", flangeHeight, "a number is missing", "no upper end"},
		{"no lower end", "..1", flangeHeight, "a number is missing", "no lower end"},
		{"sign in a range", ">=..1", flangeHeight, "is not a length", "one or the other"},
		{"sign at an end", ">1..2", flangeHeight, "is not a length", "one or the other"},
		{"three ends", "1..1-1/4..2", flangeHeight, "is not a length", "two ends"},
		{"three dots", "1...94", flangeHeight, "three dots", "1 to 94 or 1 to .94"},
		{"backwards", "1-1/2..1", flangeHeight, "backwards", "the smaller end first"},
		{"two signs", ">>1", flangeHeight, "is not a length", "one sign"},
		{"sign alone", ">", flangeHeight, "a number is missing", "no number"},
		{"equals", "=1", flangeHeight, "is not a length", "a formula's rest"},
		{"full whole number", "1+", flangeHeight, "2, 4, 8 or 16",
			"what is the sixteenth beyond a whole inch? written 1..1-1/16"},
		{"full 32nd", "1-3/32+", flangeHeight, "2, 4, 8 or 16", "finer than what full says"},
		{"full decimal", "1.25+", flangeHeight, "2, 4, 8 or 16", "a decimal is not told so"},
		{"full millimetres", "36.5mm+", flangeHeight, "2, 4, 8 or 16", "millimetres are not told so"},
		{"full twice", "1-1/4++", flangeHeight, "is not a length", "one sign"},
		{"full and scant", "1-1/4+-", flangeHeight, "is not a length", "one sign"},
		{"plus and minus", "1-1/4+-1/32", flangeHeight, "is not a length", "the ± stands in railroad.yaml"},
		{"full notch", ">1-1/4+", flangeHeight, "range of its own", "one or the other"},
		{"full end", "1-1/4+..1-1/2", flangeHeight, "range of its own", "one or the other"},
		{"scant end", "1-1/4..1-1/2-", flangeHeight, "range of its own", "one or the other"},
		{"full angle", "60+", faceAngle, "2, 4, 8 or 16", "angles have no fractions"},
		{"full bare hollow", "1/8+", hollow, "which unit", "inches or millimetres: ask"},
		{"full negative", "-1/8+", elevation, "either way", "more, or more below?"},
		{"full third", "1-1/3+", flangeHeight, "64ths", "no rule shows thirds"},
		{"about", "~1", flangeHeight, "is not a length", "an estimate is written as a range"},
		{"decimal comma", "1,4375", flangeHeight, "decimal comma", "say what is wrong"},
		{"point without decimals", "1.", flangeHeight, "is not a length", "the ± is not known"},
		{"point alone", ".", flangeHeight, "is not a length", "no digits"},
		{"minus alone in a range", "-..1", elevation, "is not a length", "no digits"},
		{"full-width digit", "１", flangeHeight, "is not a length", "not taken as 1"},
		{"zero-width space", "1\u200b1/2", flangeHeight, "is not a length", "an invisible sign"},
		{"far too large", "99999999999999999999", wide, "is not a length", "no overflow"},
		{"far too large fraction", "99999999999999999999/2", wide, "is not a length", "no overflow"},
		{"far too many feet", "99999999999999999999'", wide, "is not a length", "no overflow"},
		{"too many decimals", "1.500000000000000000", flangeHeight, "more decimals", "18 decimals are no reading"},
		{"very long", strings.Repeat("1", 100000), flangeHeight, "too long", "cut in the message"},
		{"spreadsheet error", "#VALUE!", flangeHeight, "is not a length", "a formula that failed"},
		{"days as an angle", "30 deg", days, "not a number of days (days as a plain number)", "a count has no degrees"},
		{"days in a group too many", "3,65", days, "decimal comma", "no group of three"},
		{"days beyond", "366", days, "0 to 365 days", "the message names the unit"},
		{"angle in inches", `72"`, faceAngle, "degrees", "an angle has no inch mark"},
		{"angle fraction", "71-1/2", faceAngle, "degrees", "angles are decimals"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := tc.spec.Parse(tc.cell)
			if err == nil {
				t.Fatalf("Parse(%q) was taken as %+v; %s", tc.cell, r, tc.reason)
			}
			if !strings.Contains(err.Error(), tc.says) {
				t.Errorf("Parse(%q) says %q without %q; %s", tc.cell, err, tc.says, tc.reason)
			}
			checkFault(t, tc.cell, err)
		})
	}
}

// checkFault holds every message to what a typist can use: one short line, what
// was expected, ASCII apart from the entry, nothing of the program's insides.
func checkFault(t *testing.T, cell string, err error) {
	t.Helper()
	var f *measure.Fault
	if !errors.As(err, &f) {
		t.Fatalf("%q: the error %v is no Fault", cell, err)
	}
	if f.What == "" || f.Expected == "" {
		t.Errorf("%q: the message %q lacks what is wrong or what was expected", cell, err)
	}
	text := err.Error()
	if len(text) > 400 || strings.ContainsAny(text, "\n\r\x00") {
		t.Errorf("%q: the message is long or has line ends: %q", cell, text)
	}
	for _, inside := range []string{"strconv", "float64", "ParseFloat", "regexp", "%!"} {
		if strings.Contains(text, inside) && !strings.Contains(cell, inside) {
			t.Errorf("%q: the message %q shows the program's insides", cell, text)
		}
	}
	for _, r := range text {
		if r >= 0x80 && !strings.ContainsRune(cell, r) && r != '°' {
			t.Errorf("%q: %q is neither ASCII nor from the entry: %q", cell, r, text)
		}
	}
}

// TestReplace: a railroad's own reading_error takes the place of the notation's ±
// and of the floor, not of the step, and "none" stays exact.
func TestReplace(t *testing.T) {
	own := func(s measure.Spec, pm float64) measure.Spec {
		return with(s, func(s *measure.Spec) { s.Replace, s.HasReplace = pm, true })
	}
	for _, tc := range []struct {
		name, cell string
		spec       measure.Spec
		lo, hi     float64 // mm
		reason     string
	}{
		{"wider than the notation", "1-1/2", own(flangeHeight, inch/8), 1.375 * inch, 1.625 * inch, "replaces ±1/32"},
		{"narrower than the notation", "1-1/2", own(flangeHeight, inch/64), 1.484375 * inch, 1.515625 * inch,
			"replaces, not: the wider of both"},
		{"of a decimal", "1.50", own(flangeHeight, inch/8), 1.375 * inch, 1.625 * inch, "replaces half the last digit"},
		{"under the floor", "56-1/2", own(gauge, inch/32), 56.46875 * inch, 56.53125 * inch,
			"the floor is replaced too"},
		{"zero", "56-1/2", own(gauge, 0), 56.5 * inch, 56.5 * inch, "exact if the railroad says so"},
		{"of a go/no-go reading", ">=1", own(verticalFlange, inch/4), 0.96875 * inch, 1.25 * inch,
			"the step widens it"},
		{"of a range", "1..1-1/4", own(flangeHeight, inch/4), 0.96875 * inch, 1.28125 * inch, "the step widens it"},
		{"of none", "none", own(verticalFlange, inch/4), 0, 0, "exactly 0"},
		{"cut", "1/2", own(flangeHeight, inch/4), 0.5 * inch, 0.75 * inch, "the interval is cut after"},
		{"of hollow", "2", own(hollow, 1), 1, 3, "in the column's unit, mm"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := tc.spec.Parse(tc.cell)
			if err != nil {
				t.Fatal(err)
			}
			if !same(r.Lo, tc.lo) || !same(r.Hi, tc.hi) {
				t.Errorf("%q = [%v, %v] mm, want [%v, %v]; %s", tc.cell, r.Lo, r.Hi, tc.lo, tc.hi, tc.reason)
			}
		})
	}
}
