package plan

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/each"
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
// "close frog F4", "wheel TRR 1188 L2 tread_hollow=none", "hold TRR 1204 off frog F4" (or off a track or a location),
// "turn TRR 1188 2". Several readings may follow one another. Every error wraps ErrWhatIf and says what was expected.
// notes are in words what moved along since geometry ties it to what was edited, what a turning takes, and which edits
// contradict each other.
func WhatIf(sv *survey.Survey, edits []string) (edited *survey.Survey, notes []string, err error) {
	out := *sv
	out.Fleet = sv.Fleet.Clone()
	out.Track = &track.Track{Features: slices.Clone(sv.Track.Features)}
	out.Held = maps.Clone(sv.Held)
	if out.Held == nil {
		out.Held = survey.Held{}
	}
	t := tried{sv: &out, set: map[[2]string]string{}}
	for _, e := range edits {
		if err := t.edit(e); err != nil {
			return nil, nil, err
		}
	}
	return &out, append(t.notes, follow(sv, &out)...), nil
}

// tried is a survey that is edited.
type tried struct {
	sv    *survey.Survey
	set   map[[2]string]string // by what and column
	notes []string
}

// sets notes what an edit sets, and warns if an earlier one set it otherwise.
func (t *tried) sets(what string, sets [][2]string) {
	for _, s := range sets {
		key := [2]string{what, s[0]}
		if was, twice := t.set[key]; twice && was != s[1] {
			t.notes = append(t.notes, fmt.Sprintf("warning: the edits contradict each other: %s %s=%s, then %s; the "+
				"last one counts", what, s[0], was, s[1]))
		}
		t.set[key] = s[1]
	}
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

func (t *tried) edit(text string) error {
	sv := t.sv
	words := strings.Fields(text)
	// frog/F4, as the results print it
	if first, rest, ok := strings.Cut(text, "/"); ok && len(words) > 0 &&
		strings.HasPrefix(words[0], strings.TrimSpace(first)+"/") {
		words = strings.Fields(first + " " + rest)
	}
	if len(words) == 2 && (words[0] == "close" || words[0] == "drop") {
		words = append(words[:1], strings.SplitN(words[1], "/", 2)...)
	}
	if len(words) > 1 && words[0] == "hold" {
		return t.hold(strings.Join(words[1:], " "))
	}
	if len(words) < 3 {
		return whatIf("%q (expected: frog F4 flangeway_depth=1-7/8, wheel CAR L2 tread_hollow=none, drop car CAR, "+
			"close frog F4, hold CAR off frog F4, turn CAR 2, or the id of a work of the plan, as T4)", text)
	}
	switch words[0] {
	case "turn":
		return t.turn(strings.Join(words[1:len(words)-1], " "), words[len(words)-1])
	case "close":
		if words[1] == "car" {
			return whatIf("a car is held and not closed (expected: hold %s)", strings.Join(words[2:], " "))
		}
		fallthrough
	case "drop":
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
	if t.sets(words[0]+"/"+name, sets); words[0] == "wheel" {
		return editWheel(sv, name, sets)
	}
	for k := range track.NumKinds {
		if k.String() == words[0] {
			return editFeature(sv, k, name, sets)
		}
	}
	return whatIf("%q is no thing of a survey (expected: wheel, frog, switch, curve, joint, spot, or drop, close, "+
		"hold, turn)", words[0])
}

// hold keeps a car off a feature, a track or a location, or off all: "CAR off frog F4", "CAR off track NAME", "CAR off
// LOCATION", "CAR".
func (t *tried) hold(text string) error {
	id, off, some := strings.Cut(text, " off ")
	if !some {
		return drop(t.sv, "car", id)
	}
	if t.sv.Fleet.Car(id) == nil {
		return whatIf("there is no car %q", id)
	}
	n := len(t.sv.Track.Features)
	var on []string
	if name, ok := strings.CutPrefix(off, "track "); ok {
		for _, l := range t.sv.Routes.Lines {
			if l.Name == name {
				for _, s := range l.Stops {
					on = append(on, s.Features...)
				}
			}
		}
	}
	for _, f := range t.sv.Track.Features {
		if f.Name() == off || f.Kind.String()+" "+f.ID == off || f.Location == off || slices.Contains(on, f.Name()) {
			t.sv.Held[[2]string{id, f.Name()}] = true
			n--
		}
	}
	if n == len(t.sv.Track.Features) {
		return whatIf("%q is no place (expected: frog F4 or another feature, track NAME, or a location)", off)
	}
	return nil
}

// turn turns an axle to its design, by what the lathe needs, whether or not the railroad has one.
func (t *tried) turn(id, axle string) error {
	c := t.sv.Fleet.Car(id)
	if c == nil {
		return whatIf("there is no car %q", id)
	}
	i := slices.IndexFunc(c.AxleList, func(a *wheel.Axle) bool { return strconv.Itoa(a.Number) == axle })
	if i < 0 {
		return whatIf("car %q has no axle %q in the sheet (expected: turn CAR 2)", id, axle)
	}
	sv := *t.sv
	sv.Costs.Lathe = true
	shop, err := newShop(&sv, interaction.NewRules(sv.Settings, sv.Data))
	if err != nil {
		return err
	}
	for _, w := range shop.works(c.AxleList[i]) {
		if w.name != "wheelset_turn" {
			continue
		}
		l, ok := shop.turn(c.AxleList[i], w)
		if !ok {
			continue
		}
		for _, a := range shop.actions(c.AxleList[i], w, l) {
			for _, e := range a.edits() {
				if err := t.edit(e); err != nil {
					return err
				}
			}
			t.notes = append(t.notes, a.Where+": "+a.What)
		}
		return nil
	}
	return whatIf("axle %s of %s cannot be turned: its rims were not read, or they do not hold what comes off", axle,
		id)
}

// edits are the edits that carry out an action.
func (a *Action) edits() []string {
	switch a.Effect {
	case Holds:
		if a.At == "" {
			return []string{"hold " + strings.TrimPrefix(a.Where, "car/")}
		}
		var out []string
		for _, at := range slices.Concat([]string{a.At}, a.Off, a.Behind) {
			if !strings.HasPrefix(at, "track/") {
				out = append(out, "hold "+strings.TrimPrefix(a.Where, "car/")+" off "+at)
			}
		}
		return out
	case Closes:
		return []string{"close " + strings.Replace(a.Where, "/", " ", 1)}
	case Sets:
		var sets []string
		for _, c := range a.Columns() {
			if c != "marks" && c != "condition" && c != "profile" { // what is gone with the work, and no reading
				sets = append(sets, c+"="+a.Sets[c])
			}
		}
		if len(sets) > 0 {
			return []string{strings.Replace(a.Where, "/", " ", 1) + " " + strings.Join(sets, " ")}
		}
	}
	return nil
}

// Edits are the edits of what-if that carry out a work of the plan; of a work on an axle both wheels are. The error
// wraps ErrWhatIf.
func (p *Plan) Edits(id string) ([]string, error) {
	i := slices.IndexFunc(p.Actions, func(a Action) bool { return a.ID == id })
	if i < 0 {
		return nil, whatIf("the plan has no %q (expected: an id of it, as T4)", id)
	}
	b := &p.Actions[i]
	var out []string
	for _, a := range p.Actions {
		if a.ID == id || a.Wheel != nil && b.Wheel != nil && a.order == b.order && a.axle == b.axle {
			out = append(out, a.edits()...)
		}
	}
	if len(out) == 0 {
		return nil, whatIf("%s changes no reading: %s", id, b.What)
	}
	return out, nil
}

// runAs is a feature with another speed or class.
func runAs(f *track.Feature, column, text string) (*track.Feature, error) {
	g := *f
	if column == "track_class" {
		if !slices.Contains(configs.TrackClasses(), text) {
			return nil, whatIf("track_class=%s (expected: %s)", text, strings.Join(configs.TrackClasses(), ", "))
		}
		g.Class, g.ClassGiven = text, true
		return &g, nil
	}
	v, ok := configs.PlainNumber(text)
	if !ok || v > track.MaxSpeedMPH {
		return nil, whatIf("speed_mph=%s (expected: 0 to %d)", text, track.MaxSpeedMPH)
	}
	g.Speed, g.SpeedKnown, g.SpeedGiven = v, true, true
	return &g, nil
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
			if s[0] == "speed_mph" || s[0] == "track_class" {
				var err error
				if f, err = runAs(f, s[0], s[1]); err != nil {
					return err
				}
				continue
			}
			q, ok := track.QuantityOf(s[0])
			if !ok || !slices.Contains(f.Measured(), q) {
				return whatIf("a %s has no reading %q (%s)", k, s[0],
					near(s[0], each.Of(f.Measured(), track.Quantity.String)))
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
