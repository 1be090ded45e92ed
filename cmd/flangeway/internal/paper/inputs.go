package paper

import (
	"regexp"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// inputUnit is the unit of a value that may have been typed without one, by the name under which it is listed; "" for a
// word or a figure without a unit.
func inputUnit(name string) string {
	has := func(words ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, w) })
	}
	switch {
	case has("hollow", "step", "amplitude", "max shift"):
		return "mm"
	case has("speed"):
		return "mph"
	case has("gross"):
		return "lb"
	case has("angle", "degree"):
		return "deg"
	case has("read over"):
		return ""
	case has("gauge", "height", "thickness", "vertical", "back-to-back", "diameter", "rim", "wear", "elevation",
		"wheelbase", "depth", "width", "gap", "drop", "chip", "check", "face", "clearance", "undercut", "rise",
		"worn", "warp", "centers"):
		return "in"
	}
	return ""
}

var (
	// bareInput is a figure, a step or a range without a unit.
	bareInput = regexp.MustCompile(`^[<>]?=?` + signed + `(?:\.\.` + signed + `)?$`)
	// wheelInput is one reading in the list of a wheel's.
	wheelInput = regexp.MustCompile(`\b(height|thickness|vertical|hollow) ([^,]+)`)
)

// input is a value that a computation started from, or one of each wheel, as the trade writes it and with its unit.
func input(name, value string) string {
	if strings.HasPrefix(name, "wheel ") { // of one position
		return wheelInput.ReplaceAllStringFunc(value, func(x string) string {
			of, v, _ := strings.Cut(x, " ")
			return of + " " + inputIn(inputUnit(of), v)
		})
	}
	unit := inputUnit(name)
	if unit == "lb" || strings.Contains(value, ", ") { // its commas set thousands apart
		return inputIn(unit, value)
	}
	parts := strings.Split(value, ",")
	for i, x := range parts {
		parts[i] = inputIn(unit, strings.TrimSpace(x))
	}
	return strings.Join(parts, ", ")
}

func inputIn(unit, value string) string {
	text := value
	switch unit {
	case "in":
		if strings.HasSuffix(value, "'") { // whole feet
			return value
		}
		text = strings.TrimSuffix(measure.Spec{}.Print(value), `"`)
	case "lb":
		if v, ok := measure.Count(value); ok {
			text = configs.Apart(number(&v, 0))
		}
	}
	if unit != "" && bareInput.MatchString(text) {
		return text + " " + unit
	}
	return apartValue(value)
}
