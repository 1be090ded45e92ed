package wheel

import "strings"

// kindMeant is the kind of car that a word of the trade stands for, "" for one that is not known (common practice, no
// source).
func kindMeant(word string) string {
	word = strings.ToLower(strings.Join(strings.FieldsFunc(word,
		func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " "))
	for _, k := range []struct{ kind, words string }{
		{"freight", "gondola|gon|hopper|covered hopper|open hopper|tank|tank car|box|boxcar|box " +
			"car|flat|flatcar|flat car|reefer|refrigerator car|well|well car|spine car|" +
			"autorack|auto rack|ore car|ballast|ballast car|coil car|centerbeam|stock car|caboose|work " +
			"car|maintenance of way|mow|bulkhead flat|intermodal|wagon|freight car"},
		{"locomotive", "engine|loco|diesel|diesel locomotive|switcher|switch engine|road switcher|yard " +
			"engine|unit|slug|power|electric locomotive|gp38|gp40|sd40|sw1500|sw9|genset"},
		{"passenger", "coach|passenger car|diner|dining car|sleeper|lounge|baggage|baggage car|commuter|cab " +
			"car|dome|business car|combine"},
		{"steam", "steam locomotive|steam engine|tender"},
	} {
		for w := range strings.SplitSeq(k.words, "|") {
			if w == word || w+"s" == word {
				return k.kind
			}
		}
	}
	return ""
}
