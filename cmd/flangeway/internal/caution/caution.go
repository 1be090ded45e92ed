// Package caution holds what stands with every result: who decides, by which rule, and what a result does not know. It
// is the one place of these words.
package caution

import (
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/limit"
	"flangeway/internal/survey"
	"flangeway/wheel"
)

// Kinds are the kinds of the cars of a survey, in the order of the books; a car without a kind counts as any of them.
func Kinds(fleet *wheel.Fleet) []string {
	if fleet == nil {
		return nil
	}
	seen := map[string]bool{}
	for _, c := range fleet.Cars {
		if c.Kind == "" {
			return nil
		}
		seen[c.Kind] = true
	}
	var out []string
	for _, b := range books() {
		if seen[b.kind] {
			out = append(out, b.kind)
		}
	}
	return out
}

// book is the part of 49 CFR that governs a kind of car.
type book struct{ kind, part, of string }

func books() []book {
	return []book{{"freight", "215", "freight cars"}, {"locomotive", "229", "locomotives"},
		{"passenger", "238", "passenger equipment"}, {"steam", "230", "steam locomotives"}}
}

// parts names the rules for track and for the kinds of cars, all of them if no kind is known.
func parts(kinds []string) string {
	list := []string{"part 213 for track"}
	for _, b := range books() {
		if len(kinds) == 0 || slices.Contains(kinds, b.kind) {
			list = append(list, "part "+b.part+" for "+b.of)
		}
	}
	last := len(list) - 1
	return "49 CFR " + strings.Join(list[:last], ", ") + " and " + list[last]
}

// Release is the caution that no output goes without.
func Release(kinds []string) string {
	return "This result releases no track and no cars. A qualified person under the governing rule (" + parts(kinds) +
		") and the railroad's own instructions decide."
}

// Table are the cautions of a list of pairs or readings.
func Table(kinds []string) []string {
	out := []string{Release(kinds),
		"A verdict is as good as the readings: clear means clear at the places that were read, on the day they were " +
			"read.",
		"Pair checks are arithmetic on hand readings: speed, load and motion are not in them unless a verdict is " +
			"marked computed. Rules marked as the project's own or assumed are no standard.",
		Books(kinds)}
	return out
}

// OfSurvey are the cautions of a survey's table; that no federal rule judged it is said first.
func OfSurvey(sv *survey.Survey) []string {
	out := Table(Kinds(sv.Fleet))
	if !slices.Contains(sv.Sets, configs.Federal) {
		out = append([]string{limit.NotFederal + "."}, out...)
	}
	return out
}

// Books says how the figures of the books are known.
func Books(kinds []string) string {
	which := "Some figures of the books"
	if len(kinds) == 0 || slices.Contains(kinds, "freight") {
		which += ", those of freight wheels (49 CFR 215.103) among them,"
	}
	return which + " are from memory or second hand; flangeway limits says which. Compare them with the rule before " +
		"\"within limits\" is relied on."
}

// Limits are the cautions of a book of limits.
func Limits(kinds []string) []string {
	return []string{Release(kinds), "Check a figure against the current text of the rule before a decision rests on " +
		"it; the railroad's own instructions may be stricter."}
}

// Plan are the cautions of a plan of works.
func Plan(sv *survey.Survey) []string {
	return append(OfSurvey(sv), "The plan is chosen among the works that the program knows, at the costs it prints; "+
		"what else a place or a wheel needs is not in it.")
}

// Sources are the cautions of the list of values that are computed again.
func Sources() []string {
	return []string{"A value that agrees shows that the arithmetic is that of its source. It does not show that a " +
		"wheel, a place or a railroad is as the formula takes it.",
		"A source that was quoted from memory was read by nobody; look the figure up before it is relied on.",
		Release(nil)}
}

// Drawing is the line under every drawing.
func Drawing() string {
	return "Releases no track and no cars; a qualified person decides (49 CFR 213, 215, 229, 230, 238)."
}

// Curve are the cautions of a truck in a curve.
func Curve() []string {
	return []string{"A truck that runs steadily: motion, braking and train forces are not in the model. Forces of a " +
		"real three-piece truck by degree of curve were found in no public page; the model is checked by closed " +
		"forms, trends and a second program, not by measurements.", Release(nil)}
}

// Shape are the cautions of a wheel on a rail.
func Shape() []string {
	return []string{"Rigid shapes at rest: speed, load, twist and motion are not in them.", Release(nil)}
}

// Passage are the cautions of a wheel through a frog or over a switch.
func Passage() []string {
	return []string{"Rigid shapes rolled slowly, with a dip force for one wheel on an even bed: curving, bounce and " +
		"loose fastenings are not in them.", Release(nil)}
}

// Cases are the cautions of the investigation reports.
func Cases() []string {
	return []string{"A case shows that the tool says what people who were there found, on the readings that a report " +
		"gives and on those that were tried beside them. It is no investigation, and blames nobody.", Release(nil)}
}
