package measure

import (
	"strings"
)

var (
	// reFeetInches is feet and inches joined by a dash or a blank: 4-8-1/2, 4 8-1/2, 4-8.5 or 4-9.
	reFeetInches = pattern(`^([0-9]{1,2}) *[- ] *([0-9]{1,2})(?: *[- ] *([0-9]{1,2}/[0-9]{1,2})|(\.[0-9]{1,3})|) *"?$`)
	// reDeviation is how much track is wide or tight of its gauge: 1/4 wide, .25 W, +1/4, std + 1/4.
	reDeviation = pattern(`(?i)^(?:(std\.?|standard) *)?(\+?) *([0-9.][0-9/. -]*?) *"? *` +
		`(wide|open|over|w|tight|narrow|close|under|t|)(?: *(?:gauge|gage))?$`)
)

// meant is how to write an entry that people write and that is no reading, "" if nothing better is known than the forms
// of a reading.
func (s Spec) meant(text string) string {
	switch strings.ToLower(strings.Trim(text, ".! ")) {
	case "ok", "okay", "pass", "passes", "passed", "good", "go", "fail", "fails", "failed", "no go", "no-go", "nogo",
		"yes", "no", "y", "n", "x",
		"touch", "touches", "touched", "not touched", "no touch", "did not touch", "does not touch":
		if s.Notch != "" {
			return s.Notch
		}
		return "the reading itself; n/m where it was not measured"
	case "std", "standard":
		if s.Nominal != 0 {
			return "the reading itself, as " + Inch(s.Nominal) + "; n/m where it was not measured"
		}
	}
	if s.Unit != Inches {
		return ""
	}
	if m := reFeetInches().FindStringSubmatch(text); m != nil {
		feet := m[1] + "' " + m[2] + m[4]
		if m[3] != "" {
			feet += "-" + m[3]
		}
		if r, err := s.Parse(feet); err == nil {
			return "a foot mark behind the feet, " + feet + ", or inches alone, " + Inch(r.As)
		}
	}
	return s.deviation(text)
}

// deviation is how to write by how much a distance is off its standard, "" if the text says no such thing.
func (s Spec) deviation(text string) string {
	m := reDeviation().FindStringSubmatch(text)
	if m == nil || s.Nominal == 0 || m[1]+m[2]+m[4] == "" || m[1] != "" && m[2]+m[4] == "" {
		return ""
	}
	by, f := s.number(m[3], strings.TrimSpace(m[3]))
	switch {
	case f == nil && by.value >= s.Lo-Near && by.value <= s.Hi+Near:
		return "the reading alone, " + Inch(by.value) + "; what is to be said of it stands in note"
	case f != nil || by.value > 4*MMPerInch || !strings.HasSuffix(s.Column, "gauge"):
		return "the distance itself, as " + Inch(s.Nominal)
	}
	switch strings.ToLower(m[4]) {
	case "tight", "narrow", "close", "under", "t":
		by.value = -by.value
	}
	return "the gauge itself, " + Inch(s.Nominal+by.value) + " where the standard one is " + Inch(s.Nominal)
}
