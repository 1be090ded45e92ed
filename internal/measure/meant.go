package measure

import (
	"strings"
)

var (
	// reThreeParts is feet, inches and a fraction joined by dashes: 4-8-1/2, or 4-8.5.
	reThreeParts = pattern(`^([0-9]{1,2}) *- *([0-9]{1,2})(?: *[- ] *([0-9]{1,2}/[0-9]{1,2})|(\.[0-9]{1,3})) *"?$`)
	// reDeviation is how much track is wide or tight of its gauge: 1/4 wide, +1/4.
	reDeviation = pattern(`(?i)^(\+?)([0-9][0-9/. -]*?) *"? *(wide|open|tight|narrow|close|)$`)
)

// meant is how to write an entry that people write and that is no reading, "" if nothing better is known than the forms
// of a reading.
func (s Spec) meant(text string) string {
	switch strings.ToLower(strings.Trim(text, ".! ")) {
	case "ok", "okay", "pass", "passes", "passed", "good", "go", "fail", "fails", "failed", "no go", "no-go", "nogo",
		"yes", "no", "y", "n", "x",
		"touch", "touches", "touched":
		if s.Notch != "" {
			return s.Notch
		}
		return "the reading itself; n/m where it was not measured"
	}
	if s.Unit != Inches {
		return ""
	}
	if m := reThreeParts().FindStringSubmatch(text); m != nil {
		feet := m[1] + "' " + m[2] + m[4]
		if m[3] != "" {
			feet += "-" + m[3]
		}
		if r, err := s.Parse(feet); err == nil {
			return "a foot mark behind the feet, " + feet + ", or inches alone, " + Inch(r.As)
		}
	}
	m := reDeviation().FindStringSubmatch(text)
	if m == nil || s.Nominal == 0 || m[1] == "" && m[3] == "" {
		return ""
	}
	by, f := s.number(m[2], strings.TrimSpace(m[2]))
	if f != nil || !strings.HasSuffix(s.Column, "gauge") {
		return "the distance itself, as " + Inch(s.Nominal)
	}
	if word := strings.ToLower(m[3]); word == "tight" || word == "narrow" || word == "close" {
		by.value = -by.value
	}
	return "the gauge itself, " + Inch(s.Nominal+by.value) + " where the standard one is " + Inch(s.Nominal)
}
