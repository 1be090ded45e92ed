package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// ErrWhatIf is an edit that cannot be made.
var ErrWhatIf = errors.New("cannot be tried")

func whatIf(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrWhatIf, fmt.Sprintf(format, args...))
}

// WhatIf is a copy of a survey with edits, each as it is typed: "frog F4 flangeway_depth=1-7/8", "drop car TRR 1204",
// "drop frog F4", "wheel TRR 1188 L2 tread_hollow=none". Several readings may follow one another. Every error wraps
// ErrWhatIf and says what was expected. notes are in words what moved along since geometry ties it to what was edited,
// and which edits contradict each other.
func WhatIf(sv *survey.Survey, edits []string) (edited *survey.Survey, notes []string, err error) {
	out := *sv
	out.Fleet = sv.Fleet.Clone()
	out.Track = &track.Track{Features: slices.Clone(sv.Track.Features)}
	for _, e := range edits {
		if err := edit(&out, e); err != nil {
			return nil, nil, err
		}
	}
	return &out, follow(sv, &out), nil
}

// follow moves along what geometry ties to the readings that were edited.
func follow(was, is *survey.Survey) (notes []string) {
	before := map[string]*track.Feature{}
	for _, f := range was.Track.Features {
		before[f.Name()] = f
	}
	for i, f := range is.Track.Features {
		old := before[f.Name()]
		if old == f {
			continue
		}
		var edited []track.Quantity
		for _, q := range f.Measured() {
			if f.Read(q) != old.Read(q) {
				edited = append(edited, q)
			}
		}
		moved, list := f.Follow(old, edited)
		is.Track.Features[i] = moved
		for _, q := range list {
			notes = append(notes, fmt.Sprintf("%s: %s moves along from %s to %s", f.Name(), q, old.Read(q).Written,
				moved.Read(q).Written))
		}
		switch now, then := moved.Contradiction(), old.Contradiction(); {
		case now == "" || now == then:
		case then != "":
			notes = append(notes, fmt.Sprintf("%s: nothing moves along, since the readings contradicted each other "+
				"before; now %s", f.Name(), now))
		default:
			notes = append(notes, fmt.Sprintf("warning: %s: the edited readings contradict each other: %s", f.Name(),
				now))
		}
	}
	return notes
}

func edit(sv *survey.Survey, text string) error {
	words := strings.Fields(text)
	// frog/F4, as the results print it
	if first, rest, ok := strings.Cut(text, "/"); ok && len(words) > 0 &&
		strings.HasPrefix(words[0], strings.TrimSpace(first)+"/") {
		words = strings.Fields(first + " " + rest)
	}
	if len(words) < 3 {
		return whatIf("%q (expected: frog F4 flangeway_depth=1-7/8, wheel CAR L2 tread_hollow=none, or drop car CAR)",
			text)
	}
	if words[0] == "drop" {
		return drop(sv, words[1], strings.Join(words[2:], " "))
	}
	// The first word with an equals sign begins the readings; what a value holds of blanks ("1 7/8") follows it.
	at := slices.IndexFunc(words[1:], func(w string) bool { return strings.Contains(w, "=") }) + 1
	if at < 2 {
		return whatIf("%q gives no reading (expected: column=value)", text)
	}
	name := strings.Join(words[1:at], " ")
	var sets [][2]string
	for _, w := range words[at:] {
		column, value, ok := strings.Cut(w, "=")
		if !ok || strings.HasSuffix(column, ">") || strings.HasSuffix(column, "<") {
			if len(sets) == 0 {
				return whatIf("%q gives no reading (expected: column=value)", text)
			}
			sets[len(sets)-1][1] += " " + w
			continue
		}
		sets = append(sets, [2]string{column, value})
	}
	if words[0] == "wheel" {
		return editWheel(sv, name, sets)
	}
	for k := range track.NumKinds {
		if k.String() == words[0] {
			return editFeature(sv, k, name, sets)
		}
	}
	return whatIf("%q is no thing of a survey (expected: wheel, frog, switch, curve, joint, spot, or drop)", words[0])
}

func drop(sv *survey.Survey, what, name string) error {
	if what == "car" {
		if !sv.Fleet.Drop(name) {
			return whatIf("there is no car %q", name)
		}
		return nil
	}
	n := len(sv.Track.Features)
	sv.Track.Features = slices.DeleteFunc(sv.Track.Features,
		func(f *track.Feature) bool { return f.Kind.String() == what && f.ID == name })
	if len(sv.Track.Features) == n {
		return whatIf("there is no %s %q", what, name)
	}
	return nil
}

// parse reads a value as the survey's sheet would.
func parse(sv *survey.Survey, column, text string) (measure.Reading, error) {
	if column == track.Degree.String() {
		r, err := measure.ParseDegree(text)
		if err != nil {
			return r, whatIf("%s=%s: %v", column, text, err)
		}
		return r, nil
	}
	spec, ok := sv.Columns[column]
	if !ok {
		return measure.Reading{}, whatIf("%q is no reading", column)
	}
	r, err := spec.Parse(text)
	if err != nil {
		return r, whatIf("%s=%s: %v", column, text, err)
	}
	r.Written = strings.TrimSpace(text)
	return r, nil
}

func editFeature(sv *survey.Survey, k track.Kind, id string, sets [][2]string) error {
	for i, f := range sv.Track.Features {
		if f.Kind != k || f.ID != id {
			continue
		}
		for _, s := range sets {
			if k == track.Switch && s[0] == "direction" {
				if !slices.Contains([]string{"facing", "trailing", "both"}, s[1]) {
					return whatIf("direction=%s (expected: facing, trailing, both)", s[1])
				}
				g := *f
				g.Direction, f = s[1], &g
				continue
			}
			q, ok := track.QuantityOf(s[0])
			if !ok || !slices.Contains(f.Measured(), q) {
				return whatIf("a %s has no reading %q (%s)", k, s[0], near(s[0], columnsOf(f)))
			}
			r, err := parse(sv, s[0], s[1])
			if err != nil {
				return err
			}
			f = f.With(q, r)
		}
		sv.Track.Features[i] = f
		return nil
	}
	return whatIf("there is no %s %q", k, id)
}

func columnsOf(f *track.Feature) []string {
	var out []string
	for _, q := range f.Measured() {
		out = append(out, q.String())
	}
	return out
}

func near(name string, known []string) string {
	if n := measure.Nearest(name, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return "expected: one of " + strings.Join(known, ", ")
}

func editWheel(sv *survey.Survey, name string, sets [][2]string) error {
	n := strings.LastIndex(name, " ")
	if n < 0 {
		return whatIf("%q names no wheel (expected: wheel CAR L2 column=value)", name)
	}
	for _, w := range sv.Fleet.Wheels {
		if w.Car.ID != name[:n] || w.Position.String() != name[n+1:] {
			continue
		}
		for _, s := range sets {
			q, ok := wheel.QuantityOf(s[0])
			if !ok {
				var known []string
				for q := range wheel.NumQuantities {
					known = append(known, q.String())
				}
				return whatIf("a wheel has no reading %q (%s)", s[0], near(s[0], known))
			}
			r, err := parse(sv, s[0], s[1])
			if err != nil {
				return err
			}
			w.Set(q, r)
		}
		return nil
	}
	return whatIf("there is no wheel %q", name)
}
