package limit

import (
	"slices"
	"strings"

	"flangeway/configs"
)

func ofType(r *configs.Rule, frogType string) bool {
	return (len(r.Types) == 0 || slices.Contains(r.Types, frogType)) && !slices.Contains(r.NotTypes, frogType)
}

// concerns reports whether a rule on such a subject is one for its type of frog and, if that is known, its kind of car.
// What else it asks for, [Subject.holds] looks at.
func concerns(r *configs.Rule, s Subject) bool {
	return ofType(r, s.FrogType) && among(r.Trains, s.trains()) && (s.CarKind == "" || among(r.Kinds, s.CarKind))
}

// trains says whose speed is judged: that of freight trains if it is not known that no other train runs, because theirs
// is the lower one.
func (s Subject) trains() string {
	if s.Trains == "" {
		return "freight"
	}
	return s.Trains
}

// among reports whether a list of a rule, in which none means any, holds a word.
func among(list []string, word string) bool { return len(list) == 0 || slices.Contains(list, word) }

// against is the subject as rules of a kind take it: no regulation goes by what a flange is likely to be.
func (s Subject) against(kind string) Subject {
	if kind != regulation && s.Flange == "" {
		s.Flange = s.LikelyFlange
	}
	return s
}

// asks is a word that a rule asks for and that may not be known of a subject.
type asks struct {
	what  string
	col   string   // the column that holds it
	fill  string   // what to fill in if it is not known
	known string   // of the subject; "" unknown
	words []string // the rule's; none means any
	all   []string // that there are
}

func (s Subject) asks(r *configs.Rule) [3]asks {
	return [3]asks{
		{"track class", "track_class", "fill track_class", s.Class, r.Classes, configs.TrackClasses()},
		{"service", "service", "fill service (road or yard) in cars.csv", s.Service, r.Services, configs.Services()},
		{"flange design", "design", "name a narrow or a wide flange under design in wheels.csv", s.Flange, r.Flanges,
			configs.Flanges()},
	}
}

// holds reports whether a rule holds for the subject, or may hold: what it asks for is so or is not known.
func (s Subject) holds(r *configs.Rule) bool {
	return (s.Class == "" || among(r.Classes, s.Class)) && (s.Service == "" || among(r.Services, s.Service)) &&
		(s.Flange == "" || among(r.Flanges, s.Flange))
}

// mayHold reports whether it is not known if a rule holds.
func (s Subject) mayHold(r *configs.Rule) bool {
	return s.Class == "" && len(r.Classes) > 0 || s.Service == "" && len(r.Services) > 0 || s.Flange == "" &&
		len(r.Flanges) > 0
}

// open says what is not known of a subject and decides whether a rule holds for it.
func (s Subject) open(r *configs.Rule) []string {
	var out []string
	for _, a := range s.asks(r) {
		if a.known == "" && len(a.words) > 0 {
			out = append(out, "the "+a.what+" is not known: "+a.fill+" (a rule of "+a.what+" "+
				strings.Join(a.words, ", ")+")")
		}
	}
	return out
}

// blank names the columns that decide whether a rule holds for a subject and that are not filled in.
func (s Subject) blank(r *configs.Rule) []string {
	var out []string
	for _, a := range s.asks(r) {
		if a.known == "" && len(a.words) > 0 {
			out = append(out, a.col)
		}
	}
	return out
}

// cases are the subject as it may be: with every word for each thing that one of the rules asks for and that is not
// known. They are the subject alone if all is known.
func (s Subject) cases(rules []*configs.Rule) []Subject {
	out := []Subject{s}
	spread := func(known string, of func(*configs.Rule) []string, all []string, set func(*Subject, string)) {
		if known != "" || !slices.ContainsFunc(rules, func(r *configs.Rule) bool { return len(of(r)) > 0 }) {
			return
		}
		var more []Subject
		for _, x := range out {
			for _, word := range all {
				set(&x, word)
				more = append(more, x)
			}
		}
		out = more
	}
	spread(s.Class, func(r *configs.Rule) []string { return r.Classes }, configs.TrackClasses(),
		func(x *Subject, w string) { x.Class = w })
	spread(s.Service, func(r *configs.Rule) []string { return r.Services }, configs.Services(),
		func(x *Subject, w string) { x.Service = w })
	spread(s.Flange, func(r *configs.Rule) []string { return r.Flanges }, configs.Flanges(),
		func(x *Subject, w string) { x.Flange = w })
	return out
}
