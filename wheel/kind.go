package wheel

import (
	"regexp"
	"strings"
)

// reModel is a model of diesel locomotive, such as GP38-2 or SW1500.
var reModel = regexp.MustCompile(`^(gp|sd|sw|nw|mp|rs)[0-9]`)

// kindMeant is the kind of car that a word of the trade stands for, "" for one that is not known (common practice, no
// source). Of several words the last names the kind, "car" left out: covered hopper car.
func kindMeant(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text),
		func(r rune) bool { return r == ' ' || r == '-' || r == '_' })
	if kind := kindOfWord(strings.Join(words, " ")); kind != "" || len(words) == 0 {
		return kind
	}
	if reModel.MatchString(words[0]) {
		return "locomotive"
	}
	if n := len(words) - 1; n > 0 && (words[n] == "car" || words[n] == "cars") {
		words = words[:n]
	}
	return kindOfWord(words[len(words)-1])
}

// kindOfWord is the kind that a word alone stands for.
func kindOfWord(word string) string {
	for _, k := range []struct{ kind, words string }{
		{"freight", "gondola|gon|hopper|covered hopper|open hopper|tank|tank car|box|boxcar|box " +
			"car|flat|flatcar|flat car|reefer|refrigerator car|well|well car|spine car|" +
			"autorack|auto rack|ore car|ballast|ballast car|coil car|centerbeam|stock car|caboose|work " +
			"car|maintenance of way|mow|bulkhead flat|intermodal|wagon|freight car"},
		{"locomotive", "engine|loco|diesel|diesel locomotive|switcher|switch engine|road switcher|yard " +
			"engine|unit|slug|power|electric locomotive|genset"},
		{"passenger", "coach|passenger car|diner|dining car|sleeper|lounge|baggage|baggage car|commuter|cab " +
			"car|dome|business car|combine|pax"},
		{"steam", "steam locomotive|steam loco|steam engine|tender"},
	} {
		for w := range strings.SplitSeq(k.words, "|") {
			if w == word || w+"s" == word {
				return k.kind
			}
		}
	}
	return ""
}
