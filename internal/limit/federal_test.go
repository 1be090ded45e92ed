package limit

import (
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// published is one figure of the federal rules, typed here from the rule's text and
// not from the built-in file: what may not be reached or passed, and in what unit.
type published struct {
	name     string
	subjects []string
	classes  []string
	carKind  string
	service  string
	flange   string
	frogType string
	not      []string // types of frog that have a figure of their own, or none
	trains   string
	quantity string
	value    float64 // inches, mph for speed_mph
	at       Word    // is the figure itself legal?
	less     Word    // one 64th (1 mph) below
	more     Word    // one 64th (1 mph) above
	with     map[string]measure.Reading
	reason   string
}

func places() []string       { return []string{"frog", "switch", "curve", "spot"} }
func just(s string) []string { return []string{s} }

func publishedFigures() []published {
	atMost := func(p published) published { p.less, p.at, p.more = Yes, Yes, No; return p }
	atLeast := func(p published) published { p.less, p.at, p.more = No, Yes, Yes; return p }
	orLess := func(p published) published { p.less, p.at, p.more = No, No, Yes; return p }
	orMore := func(p published) published { p.less, p.at, p.more = Yes, No, No; return p }
	var out []published
	add := func(p ...published) { out = append(out, p...) }

	// 49 CFR 213.4(e), 213.9(a): freight speeds.
	for class, v := range map[string]float64{"excepted": 10, "1": 10, "2": 25, "3": 40, "4": 60, "5": 80} {
		add(atMost(published{name: "speed, class " + class, subjects: places(), classes: just(class),
			quantity: "speed_mph", value: v, reason: "213.9(a): may not exceed"}))
	}
	for class, v := range map[string]float64{"excepted": 10, "1": 15, "2": 30, "3": 60, "4": 80, "5": 90} {
		add(atMost(published{name: "speed of passenger trains, class " + class, subjects: places(),
			classes: just(class), trains: "passenger", quantity: "speed_mph", value: v,
			reason: "213.9(a), the column of passenger trains"}))
	}
	// 49 CFR 213.4(e)(4), 213.53(b).
	add(atMost(published{name: "gauge, excepted", subjects: places(), classes: just("excepted"), quantity: "gauge",
		value: 58.25, reason: "4'10-1/4 at most"}), atMost(published{name: "loaded gauge, excepted", subjects: places(),
		classes: just("excepted"), quantity: "loaded_gauge", value: 58.25, reason: "213.13: as measured under load"}),
		atLeast(published{name: "least gauge", subjects: places(), classes: []string{"1", "2", "3", "4", "5"},
			quantity: "gauge", value: 56, reason: "4'8 in every class"}))
	for v, cl := range map[float64][]string{58: {"1"}, 57.75: {"2", "3"}, 57.5: {"4", "5"}} {
		add(atMost(published{name: "gauge, class " + cl[0], subjects: places(), classes: cl, quantity: "gauge",
			value: v, reason: "213.53(b), greatest gauge"}),
			atMost(published{name: "loaded gauge, class " + cl[0], subjects: places(), classes: cl,
				quantity: "loaded_gauge", value: v, reason: "213.13: as measured under load"}))
	}
	// 49 CFR 213.57, 213.63(a).
	add(atMost(published{name: "elevation, class 1, 2", subjects: just("curve"), classes: []string{"1", "2"},
		quantity: "elevation", value: 8, reason: "213.57(a)"}),
		atMost(published{name: "elevation, class 3 to 5", subjects: just("curve"), classes: []string{"3", "4", "5"},
			quantity: "elevation", value: 7, reason: "213.57(a)"}),
		atMost(published{name: "curve speed", subjects: just("curve"), classes: []string{"1", "2", "3", "4", "5"},
			quantity: "over_curve_speed", value: 0, reason: "213.57(c): the speed of the table is allowed"}))
	for class, v := range map[string]float64{"1": 3, "2": 2, "3": 1.75, "4": 1.25, "5": 1} {
		add(atLeast(published{name: "reverse elevation, class " + class, subjects: just("curve"), classes: just(class),
			quantity: "elevation", value: -v, reason: "213.63(a): so far the outer rail may be low"}),
			atLeast(published{name: "least crosslevel, class " + class, subjects: just("curve"), classes: just(class),
				quantity: "crosslevel_least", value: -v, reason: "213.63(a): reverse elevation at its least place"}),
			atMost(published{name: "left rail high, class " + class, subjects: []string{"spot", "switch"},
				classes: just(class), quantity: "crosslevel", value: v,
				reason: "213.63(a): deviation from zero on tangent"}),
			atLeast(published{name: "right rail high, class " + class, subjects: []string{"spot", "switch"},
				classes: just(class), quantity: "crosslevel", value: -v,
				reason: "213.63(a): deviation from zero on tangent"}))
	}
	for class, v := range map[string]float64{"1": 3, "2": 2.25, "3": 2, "4": 1.75, "5": 1.5} {
		add(atMost(published{name: "warp, class " + class, subjects: []string{"curve", "spot"}, classes: just(class),
			quantity: "warp", value: v, reason: "213.63(a), crosslevel difference"}),
			atMost(published{name: "warp within 10 ft, class " + class, subjects: []string{"curve", "spot"},
				classes: just(class), quantity: "warp_short", value: v,
				reason: "two points less than 62 ft apart too"}))
	}
	high := map[string]measure.Reading{"elevation": inch(7), "crosslevel_least": inch(6)}
	add(atMost(published{name: "warp, 6 in of elevation and more", subjects: just("curve"),
		classes: []string{"1", "2", "3", "4", "5"}, quantity: "warp", value: 1.5, with: high,
		reason: "213.63(a) note 1: at most 1-1/2 from a point with 6 in or more to a higher one"}))
	// 49 CFR 213.133(c), 213.137, 213.143.
	every := []string{"1", "2", "3", "4", "5"}
	frog := just("frog")
	add(atLeast(published{name: "flangeway", subjects: frog, classes: every, quantity: "flangeway_width", value: 1.5,
		reason: "213.133(c)"}), atLeast(published{name: "guard flangeway", not: just("self-guarded"),
		subjects: frog, classes: every, quantity: "guard_flangeway", value: 1.5, reason: "213.133(c)"}),
		atLeast(published{name: "depth, class 1", not: just("flange-bearing"),
			subjects: frog, classes: just("1"), quantity: "flangeway_depth", value: 1.375, reason: "213.137(a)"}),
		atLeast(published{name: "depth, class 2 to 5", not: just("flange-bearing"),
			subjects: frog, classes: every[1:], quantity: "flangeway_depth", value: 1.5, reason: "213.137(a)"}),
		atLeast(published{name: "depth, flange-bearing of class 1 at 11 mph", subjects: frog,
			classes: just("1"), frogType: "flange-bearing", quantity: "flangeway_depth", value: 1.375,
			with: map[string]measure.Reading{"speed_mph": mph(11)}, reason: "213.137(d): less only at class 1 speed"}),
		atLeast(published{name: "depth, flange-bearing at 25 mph",
			subjects: frog, classes: every[1:], frogType: "flange-bearing",
			quantity: "flangeway_depth", value: 1.5, with: map[string]measure.Reading{"speed_mph": mph(25)},
			reason: "213.137(d) lets a frog off 213.137(a) at class 1 speed only"}),
		atMost(published{name: "point worn down, 7 in back", subjects: frog, classes: every,
			quantity: "point_worn_down", value: 0.625, with: map[string]measure.Reading{"point_worn_back": inch(7)},
			reason: "213.137(b): more than 5/8 down and 6 back"}),
		atMost(published{name: "point worn back, 3/4 in down", subjects: frog, classes: every,
			quantity: "point_worn_back", value: 6, with: map[string]measure.Reading{"point_worn_down": inch(0.75)},
			reason: "213.137(b): more than 5/8 down and 6 back"}), atMost(published{name: "tread wear",
			subjects: frog, classes: every, quantity: "tread_wear", value: 0.375, reason: "213.137(c)"}),
		atLeast(published{name: "guard check, heavy point", subjects: frog, classes: just("5"), frogType: "heavy-point",
			quantity: "guard_check", value: 54.375, reason: "213.143(b)"}))
	for v, cl := range map[float64][]string{54.125: {"1"}, 54.25: {"2"}, 54.375: {"3", "4"}, 54.5: {"5"}} {
		other := just("self-guarded")
		if cl[0] == "5" {
			other = append(other, "heavy-point")
		}
		add(atLeast(published{name: "guard check, class " + cl[0], not: other, subjects: frog, classes: cl,
			quantity: "guard_check", value: v, reason: "213.143(a)"}), atLeast(published{name: "guarding face, class " +
			cl[0], subjects: frog, classes: cl, frogType: "self-guarded", quantity: "guard_check", value: v,
			reason: "213.143(a) names the guard rail or the guarding face"}))
	}
	for v, cl := range map[float64][]string{53.25: {"1"}, 53.125: {"2", "3", "4"}, 53: {"5"}} {
		add(atMost(published{name: "guard face, class " + cl[0], not: just("self-guarded"), subjects: frog, classes: cl,
			quantity: "guard_face", value: v, reason: "213.143(a)"}))
	}
	// 49 CFR 215.103, 229.73, 229.75, 230.112, 230.113.
	wheel, axle := just("wheel"), just("axle")
	add(orLess(published{name: "freight flange", subjects: wheel, carKind: "freight", quantity: "flange_thickness",
		value: 0.875, reason: "215.103(a): 7/8 or less"}),
		orMore(published{name: "freight height", subjects: wheel, carKind: "freight", quantity: "flange_height",
			value: 1.5, reason: "215.103(b): 1-1/2 or more"}),
		orLess(published{name: "freight rim", subjects: wheel, carKind: "freight", quantity: "rim_thickness",
			value: 0.6875, reason: "215.103(c): 11/16 or less"}),
		orLess(published{name: "locomotive flange", subjects: wheel, carKind: "locomotive",
			quantity: "flange_thickness", value: 0.875, reason: "229.75(f): 7/8 or less"}),
		orMore(published{name: "road engine hollow", subjects: wheel, carKind: "locomotive", service: "road",
			quantity: "tread_hollow", value: 0.3125, reason: "229.75(g): 5/16 or more"}),
		orMore(published{name: "yard engine hollow", subjects: wheel, carKind: "locomotive", service: "yard",
			quantity: "tread_hollow", value: 0.375, reason: "229.75(g): 3/8 or more"}),
		orMore(published{name: "locomotive height", subjects: wheel, carKind: "locomotive", quantity: "flange_height",
			value: 1.5, reason: "229.75(h): 1-1/2 or more"}),
		atLeast(published{name: "road engine rim", subjects: wheel, carKind: "locomotive", service: "road",
			quantity: "rim_thickness", value: 1, reason: "229.75(j): less than 1"}),
		atLeast(published{name: "yard engine rim", subjects: wheel, carKind: "locomotive", service: "yard",
			quantity: "rim_thickness", value: 0.75, reason: "229.75(j): less than 3/4"}),
		atLeast(published{name: "locomotive narrow", subjects: axle, carKind: "locomotive", quantity: "back_to_back",
			value: 53, reason: "229.73(c): 53 at least"}),
		atMost(published{name: "narrow flanges", subjects: axle, carKind: "locomotive", flange: "narrow",
			quantity: "back_to_back", value: 53.5, reason: "229.73(c): 53-1/2 at most, from memory"}),
		atMost(published{name: "narrow flanges round", subjects: axle, carKind: "locomotive", flange: "narrow",
			quantity: "back_to_back_max", value: 53.5, reason: "229.73(c) holds all round"}),
		atMost(published{name: "wide flanges", subjects: axle, carKind: "locomotive", flange: "wide",
			quantity: "back_to_back", value: 53.25, reason: "229.73(c): 53-1/4 at most"}),
		atMost(published{name: "wide flanges round", subjects: axle, carKind: "locomotive", flange: "wide",
			quantity: "back_to_back_max", value: 53.25, reason: "229.73(c) holds all round"}),
		atMost(published{name: "locomotive variation", subjects: axle, carKind: "locomotive",
			quantity: "back_to_back_variation", value: 0.25, reason: "229.73(d)"}),
		atLeast(published{name: "steam narrow", subjects: axle, carKind: "steam", quantity: "back_to_back", value: 53,
			reason: "230.112(b)"}),
		atMost(published{name: "steam wide", subjects: axle, carKind: "steam", quantity: "back_to_back", value: 53.375,
			reason: "230.112(b)"}),
		atMost(published{name: "steam wide round", subjects: axle, carKind: "steam", quantity: "back_to_back_max",
			value: 53.375, reason: "230.112(b) holds all round"}),
		atMost(published{name: "steam variation", subjects: axle, carKind: "steam", quantity: "back_to_back_variation",
			value: 0.25, reason: "230.112(c)"}),
		atLeast(published{name: "steam tire", subjects: wheel, carKind: "steam", quantity: "rim_width", value: 5.5,
			reason: "230.112(e)"}),
		orLess(published{name: "steam flange", subjects: wheel, carKind: "steam", quantity: "flange_thickness",
			value: 0.9375, reason: "230.113(g): 15/16 or less"}),
		orMore(published{name: "steam hollow", subjects: wheel, carKind: "steam", quantity: "tread_hollow",
			value: 0.3125, reason: "230.113(h): 5/16 or more"}),
		atLeast(published{name: "steam low flange", subjects: wheel, carKind: "steam", quantity: "flange_height",
			value: 1, reason: "230.113(i): less than 1"}),
		atMost(published{name: "steam high flange", subjects: wheel, carKind: "steam", quantity: "flange_height",
			value: 1.5, reason: "230.113(i): more than 1-1/2"}),
		atLeast(published{name: "steam rim", subjects: wheel, carKind: "steam", quantity: "rim_thickness", value: 1,
			reason: "230.113(j): less than 1"}))
	return out
}

// ways are the ways in which a subject of a figure may be: in each of its classes, as a frog of each type, a locomotive
// of each service and a wheel of each flange for which it holds, those that nobody knows among them.
func (p published) ways(subject string) (out []Subject) {
	or := func(word string, ask bool, all ...string) []string {
		if word != "" || !ask {
			return just(word)
		}
		return append(slices.DeleteFunc(all, func(x string) bool { return slices.Contains(p.not, x) }), "")
	}
	classes := p.classes
	if len(classes) == 0 {
		classes = just("")
	}
	for _, class := range classes {
		for _, frogType := range or(p.frogType, subject == "frog", configs.FrogTypes()...) {
			for _, service := range or(p.service, p.carKind == "locomotive", configs.Services()...) {
				for _, flange := range or(p.flange, p.carKind != "", configs.Flanges()...) {
					out = append(out, Subject{Trains: p.trains, Kind: subject, Class: class, CarKind: p.carKind,
						Service: service, Flange: flange, FrogType: frogType})
				}
			}
		}
	}
	return out
}

// heldFor are the ways in which a rule holds, one for each of the words it names or, for types of frog, lets stand.
func heldFor(r configs.Rule) (out []string) {
	each := func(list []string) []string {
		if len(list) == 0 {
			return just("")
		}
		return list
	}
	types := r.Types
	if r.Subject == "frog" && len(types) == 0 {
		types = slices.DeleteFunc(append(configs.FrogTypes(), ""),
			func(x string) bool { return slices.Contains(r.NotTypes, x) })
	}
	for _, class := range each(r.Classes) {
		for _, kind := range each(r.Kinds) {
			for _, service := range each(r.Services) {
				for _, flange := range each(r.Flanges) {
					for _, frogType := range each(types) {
						for _, trains := range each(r.Trains) {
							out = append(out, strings.Join([]string{r.ID, class, kind, service, flange, frogType,
								trains}, "|"))
						}
					}
				}
			}
		}
	}
	return out
}

// wayOf is the way in which a rule holds for a subject.
func wayOf(r configs.Rule, s Subject) string {
	word := func(list []string, of string) string {
		if len(list) == 0 {
			return ""
		}
		return of
	}
	frogType := ""
	if r.Subject == "frog" {
		frogType = s.FrogType
	}
	return strings.Join([]string{r.ID, word(r.Classes, s.Class), word(r.Kinds, s.CarKind), word(r.Services, s.Service),
		word(r.Flanges, s.Flange), frogType, word(r.Trains, s.trains())}, "|")
}

// Every federal figure condemns exactly what its text condemns, on every kind of feature,
// in every class, for every kind of car, type, service and flange that it has, and no rule of
// the book holds in a way that no figure here condemns.
func TestFederalFigures(t *testing.T) {
	b := book(t, "federal")
	condemning := map[string]bool{}
	for _, p := range publishedFigures() {
		t.Run(p.name, func(t *testing.T) {
			for _, subject := range p.subjects {
				for _, s := range p.ways(subject) {
					for _, step := range []struct {
						by   float64
						want Word
					}{{-1, p.less}, {0, p.at}, {1, p.more}} {
						all := map[string]measure.Reading{}
						for q, r := range p.with {
							all[q] = r
						}
						if p.quantity == "speed_mph" || p.quantity == "over_curve_speed" {
							all[p.quantity] = mph(p.value + step.by)
						} else {
							all[p.quantity] = inch(p.value + step.by/64)
						}
						s.Read = readings(all)
						if got, _ := b.Legality(s, p.quantity); got.Word != step.want {
							t.Errorf("%s of a %s, class %q, type %q, service %q, flange %q, %+g steps from %g: %s, "+
								"want %s (%s)", p.quantity, subject, s.Class, s.FrogType, s.Service, s.Flange, step.by,
								p.value, got.Word, step.want, p.reason)
						}
						for _, j := range b.Judge(s) {
							if j.Verdict == Beyond {
								for _, way := range heldFor(j.Rule) {
									condemning[way] = condemning[way] || way == wayOf(j.Rule, s)
								}
							}
						}
					}
				}
			}
		})
	}
	for _, r := range b.Rules {
		for _, way := range heldFor(r) {
			if !r.Reminder && !condemning[way] {
				t.Errorf("no figure of this test is condemned by %s", way)
			}
		}
	}
}

// What a rule leaves alone: other classes, kinds and types, and what nobody knows.
func TestWhereNoFederalRuleJudges(t *testing.T) {
	b := book(t, "federal")
	for _, tt := range []struct {
		name, quantity string
		s              Subject
		value          float64
		want           Word
		reason         string
	}{
		{"excepted depth", "flangeway_depth", Subject{Kind: "frog", Class: "excepted"}, 1, None,
			"excepted track has the limits of 213.4 and no other"},
		{"excepted narrow gauge", "gauge", Subject{Kind: "spot", Class: "excepted"}, 55, Yes,
			"213.53(b): no least gauge on excepted track"},
		{"excepted guard check", "guard_check", Subject{Kind: "frog", Class: "excepted"}, 53, None, "no rule"},
		{"excepted elevation", "elevation", Subject{Kind: "curve", Class: "excepted"}, 9, None, "no rule"},
		{"excepted warp", "warp", Subject{Kind: "spot", Class: "excepted"}, 4, None, "no rule"},
		{"excepted tread wear", "tread_wear", Subject{Kind: "frog", Class: "excepted"}, 1, None, "no rule"},
		{"flange-bearing, speed not read", "flangeway_depth",
			Subject{Kind: "frog", Class: "2", FrogType: "flange-bearing"}, 1, Unknown, "213.137(d) goes by the speed"},
		{"flange-bearing, deep, speed not read", "flangeway_depth",
			Subject{Kind: "frog", Class: "2", FrogType: "flange-bearing"}, 1.5, Yes, "kept at every speed"},
		{"class unknown, depth", "flangeway_depth", Subject{Kind: "frog"}, 1, Unknown, "it could be excepted track"},
		{"class unknown, gauge", "gauge", Subject{Kind: "curve"}, 60, No, "every class condemns it, excepted too"},
		{"class unknown, gauge of class 1", "gauge", Subject{Kind: "curve"}, 58, Unknown,
			"class 1 allows it, class 2 does not"},
		{"class unknown, gauge of class 5", "gauge", Subject{Kind: "curve"}, 57.5, Yes, "no class condemns it"},
		{"class unknown, narrow gauge", "gauge", Subject{Kind: "curve"}, 55, Unknown,
			"excepted track has no least gauge"},
		{"class unknown, deep", "flangeway_depth", Subject{Kind: "frog"}, 1.5, Yes, "no class condemns it"},
		{"class unknown, depth between", "flangeway_depth", Subject{Kind: "frog"}, 1.4375, Unknown,
			"class 2 condemns it"},
		{"class unknown, no rule", "point_gap", Subject{Kind: "switch"}, 1, None, "no class has a rule on it"},
		{"service unknown, hollow under both", "tread_hollow", Subject{Kind: "wheel", CarKind: "locomotive"}, 0.3, Yes,
			"both figures are met"},
		{"service unknown, hollow between", "tread_hollow", Subject{Kind: "wheel", CarKind: "locomotive"}, 0.34,
			Unknown, "5/16 on the road, 3/8 in the yard"},
		{"service unknown, hollow over both", "tread_hollow", Subject{Kind: "wheel", CarKind: "locomotive"}, 0.375, No,
			"both are broken"},
		{"service unknown, rim between", "rim_thickness", Subject{Kind: "wheel", CarKind: "locomotive"}, 0.9, Unknown,
			"1 on the road, 3/4 in the yard"},
		{"service unknown, thin rim", "rim_thickness", Subject{Kind: "wheel", CarKind: "locomotive"}, 0.7, No,
			"both are broken"},
		{"flange unknown, at the wide figure", "back_to_back", Subject{Kind: "axle", CarKind: "locomotive"}, 53.25, Yes,
			"both figures are met"},
		{"flange unknown, between", "back_to_back", Subject{Kind: "axle", CarKind: "locomotive"}, 53.375, Unknown,
			"beyond for wide flanges, not for narrow ones"},
		{"worn locomotive wheels unlike", "diameter_difference", Subject{Kind: "axle", CarKind: "locomotive"}, 1, None,
			"229.73(a) binds when they are applied or turned"},
		{"worn locomotive truck", "truck_diameter_difference", Subject{Kind: "truck", CarKind: "locomotive"}, 2, None,
			"229.73(b) binds when they are applied or turned"},
		{"worn steam wheels unlike", "diameter_difference", Subject{Kind: "axle", CarKind: "steam"}, 1, None,
			"230.112(a) binds when they are applied or turned"},
		{"flange likely narrow, between", "back_to_back", Subject{Kind: "axle", CarKind: "locomotive",
			LikelyFlange: "narrow"}, 53.375, Unknown, "a regulation goes by the design"},
		{"flange unknown, over both", "back_to_back", Subject{Kind: "axle", CarKind: "locomotive"}, 53.53125, No,
			"both are broken"},
		{"warp of a switch", "warp", Subject{Kind: "switch", Class: "1"}, 4, None, "no column of a switch"},
		{"excepted crosslevel", "crosslevel", Subject{Kind: "spot", Class: "excepted"}, 5, None, "no rule"},
		{"self-guarded face", "guard_face", Subject{Kind: "frog", Class: "1", FrogType: "self-guarded"}, 54, None,
			"no guard rail"},
		{"self-guarded flangeway", "flangeway_width", Subject{Kind: "frog", Class: "1", FrogType: "self-guarded"}, 1,
			No, "its own flangeway is one"},
		{"heavy point, class 4", "guard_check", Subject{Kind: "frog", Class: "4", FrogType: "heavy-point"}, 54.375, Yes,
			"the figure of class 4 holds for all"},
		{"heavy point, class 2", "guard_check", Subject{Kind: "frog", Class: "2", FrogType: "heavy-point"}, 54.125, No,
			"213.143(b) is of class 5"},
		{"kind unknown", "flange_thickness", Subject{Kind: "wheel"}, 0.5, Unknown, "judged by no book of a kind"},
		{"kind unknown, new", "flange_thickness", Subject{Kind: "wheel"}, 1.375, Unknown,
			"it cannot be told which rule holds"},
		{"kind unknown, no rule", "vertical_flange", Subject{Kind: "wheel"}, 1, None, "no kind has a rule on it"},
		{"passenger flange", "flange_thickness", Subject{Kind: "wheel", CarKind: "passenger"}, 0.75, None,
			"Part 238 has no profile limit"},
		{"freight hollow", "tread_hollow", Subject{Kind: "wheel", CarKind: "freight"}, 0.4, None,
			"Part 215 has no hollow limit"},
		{"freight back-to-back", "back_to_back", Subject{Kind: "axle", CarKind: "freight"}, 52, None,
			"Part 215 has no back-to-back limit"},
		{"steam flange between", "flange_thickness", Subject{Kind: "wheel", CarKind: "steam"}, 0.9, No,
			"15/16 for steam"},
		{"locomotive flange between", "flange_thickness", Subject{Kind: "wheel", CarKind: "locomotive"}, 0.9, Yes,
			"7/8 for locomotives"},
		{"joint", "bar_depth", Subject{Kind: "joint", Class: "1"}, 0, None, "no rule on the bar against the flange"},
		{"switch point", "point_gap", Subject{Kind: "switch", Class: "1"}, 2, None, "213.135 has no figure"},
		{"gauge of a joint", "gauge", Subject{Kind: "joint", Class: "1"}, 70, None, "a joint has no gauge"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.s.Read = readings(map[string]measure.Reading{tt.quantity: inch(tt.value)})
			if got, _ := b.Legality(tt.s, tt.quantity); got.Word != tt.want {
				t.Errorf("%s, want %s: %s", got.Word, tt.want, tt.reason)
			}
		})
	}
}

// 213.137(d) lets a frog designed as flange-bearing off the depth of its class at class
// 1 speed, 10 mph for freight trains, and at no other.
func TestFlangeBearingDepthBySpeed(t *testing.T) {
	b := book(t, "federal")
	for _, tt := range []struct {
		name, class string
		depth       float64
		speed       measure.Reading
		want        Word
		reason      string
	}{
		{"class 2, below class 1 speed", "2", 1.4375, mph(9), Yes, "213.137(d)"},
		{"class 2, at class 1 speed", "2", 1.4375, mph(10), Yes, "213.137(d)"},
		{"class 2, above class 1 speed", "2", 1.4375, mph(11), No, "213.137(a): 1-1/2 in classes 2 to 5"},
		{"class 5, at its own speed", "5", 1.4375, mph(80), No, "213.137(a): 1-1/2 in classes 2 to 5"},
		{"class 1, at class 1 speed", "1", 1.25, mph(10), Yes, "213.137(d)"},
		{"class 1, above it", "1", 1.25, mph(11), No, "213.137(a): 1-3/8 in class 1"},
		{"class 2, speed not known", "2", 1.4375, measure.Reading{}, Unknown, "the speed decides"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := Subject{Kind: "frog", Class: tt.class, FrogType: "flange-bearing",
				Read: readings(map[string]measure.Reading{"flangeway_depth": inch(tt.depth), "speed_mph": tt.speed})}
			if got, _ := b.Legality(s, "flangeway_depth"); got.Word != tt.want {
				t.Errorf("%s, want %s: %s", got.Word, tt.want, tt.reason)
			}
		})
	}
}

// practiceFigure is one figure of a set that is no regulation, typed here from its
// source: the rule, the readings that decide in inches or mm, and what is condemned.
type practiceFigure struct {
	rule, subject, quantity string
	value, step             float64 // mm
	less, at, more          Verdict
	with                    map[string]measure.Reading
	reason                  string
	car, service, class     string
}

// kind is the kind of car, freight where none is given.
func (p practiceFigure) kind() string {
	if p.car == "" {
		return "freight"
	}
	return p.car
}

func practiceFigures() []practiceFigure {
	step := in(1.0 / 64)
	below := func(rule, subject, quantity string, v float64, reason string) practiceFigure {
		return practiceFigure{rule: rule, subject: subject, quantity: quantity, value: v, step: step, less: Beyond,
			at: Within, more: Within, reason: reason}
	}
	orLess := func(rule, subject, quantity string, v float64, reason string) practiceFigure {
		return practiceFigure{rule: rule, subject: subject, quantity: quantity, value: v, step: step, less: Beyond,
			at: Beyond, more: Within, reason: reason}
	}
	over := func(rule, subject, quantity string, v float64, reason string) practiceFigure {
		return practiceFigure{rule: rule, subject: subject, quantity: quantity, value: v, step: step, less: Within,
			at: Within, more: Beyond, reason: reason}
	}
	orMore := func(rule, subject, quantity string, v float64, reason string) practiceFigure {
		return practiceFigure{rule: rule, subject: subject, quantity: quantity, value: v, step: step, less: Within,
			at: Beyond, more: Beyond, reason: reason}
	}
	with := func(p practiceFigure, quantity string, v float64) practiceFigure {
		p.with = map[string]measure.Reading{quantity: measure.Exact(v, "")}
		return p
	}
	of := func(car, service, class string, p practiceFigure) practiceFigure {
		p.car, p.service, p.class = car, service, class
		return p
	}
	return []practiceFigure{
		below("interchange-flange-thickness", "wheel", "flange_thickness", in(0.9375), "15/16 is the least in service"),
		orMore("interchange-vertical-flange", "wheel", "vertical_flange", in(0.875), "7/8 in, the stricter of two"),
		orMore("interchange-flange-height", "wheel", "flange_height", in(1.5), "1-1/2 or more"),
		over("interchange-tread-hollow", "wheel", "tread_hollow", 4, "over 4 mm"),
		orLess("interchange-rim-thickness", "wheel", "rim_thickness", in(0.75), "worn down to 3/4"),
		with(orLess("interchange-rim-thickness-36", "wheel", "rim_thickness", in(0.875),
			"7/8 for wheels of 36 and 38 in"), "nominal_diameter_most", in(36)),
		with(orMore("interchange-rim-thickness-36", "wheel", "nominal_diameter_most", in(36), "wheels of 36 and 38 in"),
			"rim_thickness", in(0.8)),
		with(orLess("interchange-rim-thickness-28", "wheel", "rim_thickness", in(0.875), "7/8 for wheels of 28 in"),
			"nominal_diameter", in(28)),
		with(orLess("interchange-rim-thickness-28", "wheel", "nominal_diameter", in(28), "wheels of 28 in"),
			"rim_thickness", in(0.8)),
		below("interchange-back-to-back-least", "axle", "back_to_back", in(52.9375), "52-15/16 at least"),
		over("interchange-back-to-back-most", "axle", "back_to_back", in(53.1875), "53-3/16 at most"),
		over("interchange-back-to-back-most-round", "axle", "back_to_back_max", in(53.1875), "53-3/16 at most"),
		orMore("yard-vertical-flange", "wheel", "vertical_flange", in(0.875), "7/8, heavier cars"),
		below("yard-frog-width", "frog", "flangeway_width", in(1.84375),
			"the standard flangeway of frogs, 1-7/8, less the 1/32 of a tape"),
		over("yard-point-gap", "switch", "point_gap", 3, "over 3 mm"),
		orMore("yard-point-gap-stop", "switch", "point_gap", in(0.25), "1/4 in"),
		with(over("yard-chip-reprofile", "switch", "chip_depth", 19, "deeper than 19 mm"), "chip_length", 60),
		with(orMore("yard-chip-reprofile", "switch", "chip_length", 50, "50 mm long"), "chip_depth", 20),
		with(over("yard-chip-slow", "switch", "chip_depth", 19, "deeper than 19 mm"), "chip_length", 110),
		with(orMore("yard-chip-slow", "switch", "chip_length", 100, "100 mm or more"), "chip_depth", 20),
		with(over("yard-chip-practice", "switch", "chip_depth", in(0.625), "5/8 in below"), "chip_length", in(8)),
		with(orMore("yard-chip-practice", "switch", "chip_length", in(6), "over 6 in"), "chip_depth", in(0.75)),
		orMore("yard-blunt-point-slow", "switch", "point_thickness", 5, "5 to 9 mm"),
		over("yard-blunt-point-worst", "switch", "point_thickness", 9, "over 9 mm"),
		below("yard-open-clearance", "switch", "open_clearance", 40, "under 40 mm"),
		// a sixteenth before the federal figure
		orLess("early-flange-thickness", "wheel", "flange_thickness", in(0.9375), "7/8 and a sixteenth"),
		of("locomotive", "", "", orLess("early-flange-thickness", "wheel", "flange_thickness", in(0.9375),
			"7/8 and a sixteenth")),
		of("steam", "", "", orLess("early-flange-thickness-steam", "wheel", "flange_thickness", in(1),
			"15/16 and a sixteenth")),
		orMore("early-flange-height", "wheel", "flange_height", in(1.4375), "1-1/2 less a sixteenth"),
		of("steam", "", "", over("early-flange-height-steam", "wheel", "flange_height", in(1.4375),
			"1-1/2 less a sixteenth")),
		orLess("early-rim-thickness", "wheel", "rim_thickness", in(0.75), "11/16 and a sixteenth"),
		of("locomotive", "road", "", below("early-rim-thickness-road", "wheel", "rim_thickness", in(1.0625),
			"1 and a sixteenth")),
		of("locomotive", "yard", "", below("early-rim-thickness-yard", "wheel", "rim_thickness", in(0.8125),
			"3/4 and a sixteenth")),
		of("steam", "", "", below("early-rim-thickness-steam", "wheel", "rim_thickness", in(1.0625),
			"1 and a sixteenth")),
		orMore("early-tread-hollow", "wheel", "tread_hollow", 4, "4 mm"),
		of("", "", "1", below("early-frog-depth-class1", "frog", "flangeway_depth", in(1.4375),
			"1-3/8 and a sixteenth")),
		of("", "", "2", below("early-frog-depth-class2-5", "frog", "flangeway_depth", in(1.5625),
			"1-1/2 and a sixteenth")),
		of("", "", "5", below("early-frog-depth-class2-5", "frog", "flangeway_depth", in(1.5625),
			"1-1/2 and a sixteenth")),
		below("early-elevation-over-balance", "curve", "unbalance", -in(2), "2 in more than the speed balances"),
		below("early-reverse-elevation", "curve", "elevation", -in(0.25), "the outer rail a quarter inch low"),
		below("early-reverse-elevation-least", "curve", "crosslevel_least", -in(0.25), "likewise at its least place"),
	}
}

// Every figure of practice condemns what its source condemns, and no practice rule stands without a figure here.
func TestPracticeFiguresOneByOne(t *testing.T) {
	b := book(t, "interchange", "yard-practice", "early-warning")
	seen := map[string]map[string]bool{}
	for _, p := range practiceFigures() {
		t.Run(p.rule+" "+p.quantity, func(t *testing.T) {
			if seen[p.rule] == nil {
				seen[p.rule] = map[string]bool{}
			}
			seen[p.rule][p.quantity] = true
			for i, want := range []Verdict{p.less, p.at, p.more} {
				all := map[string]measure.Reading{p.quantity: measure.Exact(p.value+float64(i-1)*p.step, "")}
				for q, r := range p.with {
					all[q] = r
				}
				got := Verdict("")
				for _, j := range b.Judge(Subject{Kind: p.subject, CarKind: p.kind(), Service: p.service,
					Flange: "wide", Class: p.class, Read: readings(all)}) {
					if j.Rule.ID == p.rule {
						got = j.Verdict
					}
				}
				if got != want {
					t.Errorf("%+d steps from %g mm: %q, want %s: %s", i-1, p.value, got, want, p.reason)
				}
			}
		})
	}
	for _, r := range b.Rules {
		for _, c := range r.Condemns {
			if !seen[r.ID][c.Quantity] {
				t.Errorf("no figure of this test is on %s of %s", c.Quantity, r.ID)
			}
		}
	}
}

// The habit of warning a sixteenth before the federal figure is practice: it is said, and
// never makes a reading illegal.
func TestEarlyWarningIsNoLaw(t *testing.T) {
	b := book(t, configs.DefaultSets()...)
	freight := Subject{Kind: "wheel", CarKind: "freight"}
	for _, tt := range []struct {
		name          string
		s             Subject
		quantity      string
		reading       measure.Reading
		law, practice Word
		reason        string
	}{
		{"15/16", freight, "flange_thickness", inch(0.9375), Yes, No, "a yard that works to 15/16 never meets 7/8"},
		{"above 15/16", freight, "flange_thickness", inch(0.9375 + 1.0/64), Yes, Yes, "neither"},
		{"7/8", freight, "flange_thickness", inch(0.875), No, No, "both"},
		{"high flange", freight, "flange_height", inch(1.4375), Yes, No, "a sixteenth before 1-1/2"},
		{"hollow", freight, "tread_hollow", measure.Exact(4, "4"), None, No, "no federal figure, 4 mm by habit"},
		{"frog depth", Subject{Kind: "frog", Class: "2"}, "flangeway_depth", inch(1.5), Yes, No,
			"a sixteenth before 1-1/2"},
		{"frog depth, class not known", Subject{Kind: "frog"}, "flangeway_depth", inch(1.5), Yes, Unknown,
			"warned of in class 2, not in class 1"},
		{"kind not known", Subject{Kind: "wheel"}, "flange_thickness", inch(0.9375), Unknown, Unknown,
			"no book of a kind judges it"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.s.Read = readings(map[string]measure.Reading{tt.quantity: tt.reading})
			if law, practice := b.Legality(tt.s, tt.quantity); law.Word != tt.law || practice.Word != tt.practice {
				t.Errorf("%s, %s, want %s, %s: %s", law.Word, practice.Word, tt.law, tt.practice, tt.reason)
			}
		})
	}
	for _, r := range b.Rules {
		if r.Set == "early-warning" && (r.Kind == regulation || !strings.Contains(r.ID, "early-")) {
			t.Errorf("%s of %s is of kind %s", r.ID, r.Set, r.Kind)
		}
	}
}

// The interchange and yard sets judge as practice and never as law.
func TestPracticeFigures(t *testing.T) {
	b := book(t, "federal", "interchange", "yard-practice")
	freight := Subject{Kind: "wheel", CarKind: "freight"}
	axle := Subject{Kind: "axle", CarKind: "freight"}
	narrow, wide := axle, axle
	narrow.Flange, wide.Flange = "narrow", "wide"
	mm := func(v float64) measure.Reading { return measure.Exact(v, "") }
	for _, tt := range []struct {
		name     string
		s        Subject
		quantity string
		reading  measure.Reading
		law      Word
		practice Word
		reason   string
	}{
		{"thin flange at", freight, "flange_thickness", inch(0.9375), Yes, Yes, "interchange: below 15/16"},
		{"thin flange below", freight, "flange_thickness", inch(0.9375 - 1.0/64), Yes, No,
			"legal, and not wanted in interchange"},
		{"vertical flange at 7/8", freight, "vertical_flange", inch(0.875), None, No, "heavier cars, Army text"},
		{"vertical flange below", freight, "vertical_flange", inch(0.875 - 1.0/64), None, Yes, "below both figures"},
		{"hollow at 4 mm", freight, "tread_hollow", mm(4), None, Yes, "over 4 mm condemns"},
		{"hollow above", freight, "tread_hollow", mm(4.1), None, No, "over 4 mm condemns"},
		{"rim at", freight, "rim_thickness", inch(0.75), Yes, No, "worn down to 3/4"},
		{"rim below", freight, "rim_thickness", inch(0.75 - 1.0/64), Yes, No, "legal, and not wanted in interchange"},
		{"axle least at", axle, "back_to_back", inch(52.9375), None, Yes, "52-15/16 at least"},
		{"axle least below", axle, "back_to_back", inch(52.9375 - 1.0/64), None, No, "52-15/16 at least"},
		{"narrow axle, new", narrow, "back_to_back", inch(53.375), None, Yes, "none is quoted for narrow flanges"},
		{"axle of unknown flange", axle, "back_to_back", inch(53.21875), None, Unknown,
			"beyond where its flanges are wide"},
		{"axle that stands wide", Subject{Kind: "axle", CarKind: "freight", LikelyFlange: "narrow"}, "back_to_back",
			inch(53.375), None, Yes, "practice takes such a set as narrow"},
		{"axle most at", axle, "back_to_back", inch(53.1875), None, Yes, "53-3/16 at most"},
		{"axle most above", wide, "back_to_back_max", inch(53.1875 + 1.0/64), None, No,
			"53-3/16 at most, at the widest place"},
		{"locomotive", Subject{Kind: "wheel", CarKind: "locomotive"}, "flange_thickness", inch(0.9), Yes, None,
			"freight cars only"},
		{"frog width, new", Subject{Kind: "frog", Class: "2"}, "flangeway_width", about(1.875, 1.0/32), Yes, Yes,
			"a new frog as a tape reads it"},
		{"frog width at", Subject{Kind: "frog", Class: "2"}, "flangeway_width", inch(1.84375), Yes, Yes,
			"1-7/8 less the 1/32 of a tape"},
		{"frog width below", Subject{Kind: "frog", Class: "2"}, "flangeway_width", about(1.8125, 1.0/32), Yes, No,
			"1-13/16 is narrower than 1-7/8"},
		{"frog width in millimetres, new", Subject{Kind: "frog", Class: "2"}, "flangeway_width", mm(47), Yes, Yes,
			"47.6 mm is 1-7/8 in"},
		{"point gap at 3 mm", Subject{Kind: "switch", Class: "1"}, "point_gap", mm(3), None, Yes, "over 3 mm"},
		{"point gap at 1/8 in", Subject{Kind: "switch", Class: "1"}, "point_gap", inch(0.125), None, No,
			"3.175 mm is over 3 mm"},
		{"open point", Subject{Kind: "switch"}, "open_clearance", mm(39.9), None, No,
			"practice asks for no class; under 40 mm"},
		{"open point at", Subject{Kind: "switch"}, "open_clearance", mm(40), None, Yes, "40 mm"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.s.Read = readings(map[string]measure.Reading{tt.quantity: tt.reading})
			if law, practice := b.Legality(tt.s, tt.quantity); law.Word != tt.law || practice.Word != tt.practice {
				t.Errorf("%s, %s, want %s, %s: %s", law.Word, practice.Word, tt.law, tt.practice, tt.reason)
			}
		})
	}
}

// Note 1 of 49 CFR 213.63(a) holds from a point with 6 in of elevation to a higher one: of a curve of less elevation
// and of one that goes down to less it says nothing, or nobody can tell.
func TestWarpWithHighElevation(t *testing.T) {
	b := book(t, "federal")
	for _, tt := range []struct {
		name           string
		elevation, low measure.Reading
		warp           measure.Reading
		want           Verdict
		law            Word
		fill           string
		reason         string
	}{
		{"all of the curve high", inch(7.5), inch(6), inch(1.625), Beyond, No, "", "each point has 6 in or more"},
		{"at the figure", inch(7.5), inch(6), inch(1.5), Within, Yes, "", "1-1/2 at most"},
		{"elevation at 6", inch(6), inch(6), inch(1.625), Beyond, No, "", "equals or exceeds 6"},
		{"a low curve", inch(5.75), measure.Reading{}, inch(2.5), Within, Yes, "", "no point has 6 in"},
		{"goes down to less", inch(7), inch(5), inch(2.5), Within, Yes, "",
			"the low point of the warp may have less; the sheets do not say"},
		{"least not read", inch(7), measure.Reading{}, inch(2.5), Unsure, Unknown, "crosslevel_least",
			"the points may both be high"},
		{"least not read, little warp", inch(7), measure.Reading{}, inch(1.25), Within, Yes, "",
			"kept wherever the points lie"},
		{"no elevation read", measure.Reading{}, measure.Reading{}, inch(2.5), NotMeasured, Yes, "",
			"nothing says that the curve is high"},
		{"nothing read", measure.Reading{}, measure.Reading{}, measure.Reading{}, NotMeasured, None, "", ""},
		{"near the figure", about(7.5, 1.0/32), about(6.25, 1.0/32), about(1.5, 1.0/32), Straddles, Yes, "",
			"within as written"},
	} {
		s := Subject{Kind: "curve", Class: "1", Read: readings(map[string]measure.Reading{"elevation": tt.elevation,
			"crosslevel_least": tt.low, "warp": tt.warp})}
		for _, j := range b.Judge(s) {
			if j.Rule.ID == "213.63(a)-note1" && (j.Verdict != tt.want || strings.Join(j.Fill, " ") != tt.fill ||
				tt.want != NotMeasured && j.Quantity != "warp") {
				t.Errorf("%s: %s %s, to fill %q, want %s and %q: %s", tt.name, j.Quantity, j.Verdict, j.Fill, tt.want,
					tt.fill, tt.reason)
			}
		}
		if law, _ := b.Legality(s, "warp"); law.Word != tt.law {
			t.Errorf("%s: warp is %s, want %s: %s", tt.name, law.Word, tt.law, tt.reason)
		}
		if law, _ := b.Legality(s, "elevation"); tt.elevation.Measured() && law.Word != Yes {
			t.Errorf("%s: elevation is %s, want yes: note 1 judges the warp", tt.name, law.Word)
		}
	}
}
