package ask

import (
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/configs"
	"flangeway/internal/measure"
)

// Value is the answer of one source to a question.
type Value struct {
	Text string // as it is listed
	From string
	// Readings are what the survey, a setting or the program knows as a reading: one, or near and far. A value that was
	// typed, or is a word, has none.
	Readings []measure.Reading
	name     string // of the question
	flag     string // the flag that gives another value
}

// Given reports whether there is a value at all.
func (v Value) Given() bool { return v.Text != "" }

// Source is where a value may come from; ok is false if it has none.
type Source func(*Start) (v Value, ok bool)

// Flag is the text as typed.
func Flag(name string) Source {
	return func(s *Start) (Value, bool) {
		text := s.Flags[name]
		return Value{Text: text, From: "flag", flag: name}, text != ""
	}
}

func row(place measure.Place) string { return "survey " + place.String() }

// Read is a reading of a row of the survey.
func Read(r measure.Reading, place measure.Place) Source {
	return func(*Start) (Value, bool) {
		return Value{Text: r.Written, From: row(place), Readings: []measure.Reading{r}}, r.Measured()
	}
}

// Both are readings of a wheel or rail and its mate, of which one may be missing.
func Both(near, far measure.Reading, place measure.Place) Source {
	return func(*Start) (Value, bool) {
		return Value{Text: Written(near) + "," + Written(far), From: row(place),
			Readings: []measure.Reading{near, far}}, near.Measured() || far.Measured()
	}
}

// Written is a reading as typed, n/m if there is none.
func Written(r measure.Reading) string {
	if !r.Measured() {
		return "n/m"
	}
	return r.Written
}

// Word is a word of a row of the survey; "" is none.
func Word(word string, place measure.Place) Source {
	return func(*Start) (Value, bool) { return Value{Text: word, From: row(place)}, word != "" }
}

// Known is a number of a row of the survey; text is how it is listed.
func Known(v float64, known bool, text string, place measure.Place) Source {
	return func(*Start) (Value, bool) {
		return Value{Text: text, From: row(place), Readings: []measure.Reading{measure.Exact(v, text)}}, known
	}
}

// Setting is a setting of the railroad, or the built-in one.
func Setting(name string) Source {
	return func(s *Start) (Value, bool) {
		x, ok := s.Settings.Setting(name)
		from := "setting " + name + " (" + x.Kind + ")"
		switch {
		case x.Given:
			from = "setting " + name + " (railroad.yaml)"
		case ok && !slices.ContainsFunc(s.BuiltIn, func(b configs.Setting) bool { return b.Name == name }):
			s.BuiltIn = append(s.BuiltIn, x)
		}
		return Value{Text: x.Text(), From: from, Readings: []measure.Reading{measure.Exact(x.Value, x.Text())}}, ok
	}
}

// Default is the value if no source has one, with its reason.
func Default(text, why string) Source {
	return func(*Start) (Value, bool) { return Value{Text: text, From: why}, text != "" }
}

// Ask takes the first source that has a value, and lists it under the name.
func (s *Start) Ask(name string, sources ...Source) Value {
	none := Value{name: name}
	for _, source := range sources {
		v, ok := source(s)
		if v.flag != "" {
			none.flag = v.flag
		}
		if ok {
			v.name, v.flag = name, none.flag
			s.Note(name, v.Text, v.From)
			return v
		}
	}
	return none
}

// askOnce is Ask of one of several wheels: a setting or default that stands for all of them is listed for the first
// alone.
func (s *Start) askOnce(name string, sources ...Source) Value {
	before := len(s.Used)
	v := s.Ask(name, sources...)
	said := func(u Used) bool { return u.From == v.From && kindOf(u.Name) == kindOf(name) }
	if v.Given() && !strings.HasPrefix(v.From, "survey ") && v.From != "flag" &&
		slices.ContainsFunc(s.Used[:before], said) {
		s.Used = s.Used[:before]
	}
	return v
}

// kindOf is the kind that a name of one wheel says besides the wheel.
func kindOf(name string) string { return name[:strings.LastIndexByte(name, ' ')+1] }

// typed parses what was typed, or a default.
func (v Value) typed(text string, spec measure.Spec) (measure.Reading, error) {
	r, err := spec.Parse(text)
	if err == nil && !r.Measured() {
		err = &measure.Fault{What: "a value is expected"}
	}
	if err != nil {
		return r, cli.Usagef("--%s: %v", v.flag, err)
	}
	return r, nil
}

// Reading is the value as a reading; a missing one if there is no value.
func (v Value) Reading(spec measure.Spec) (measure.Reading, error) {
	switch {
	case !v.Given():
		return measure.Reading{}, nil
	case v.Readings != nil:
		return v.Readings[0], nil
	}
	return v.typed(v.Text, spec)
}

// Length is the one value as written, mm or degrees; 0 if there is no value. A go/no-go reading has none and is
// refused.
func (v Value) Length(spec measure.Spec) (float64, error) {
	r, err := v.Reading(spec)
	if err != nil {
		return 0, err
	}
	return v.one(r)
}

// measured is the value as a reading and as written, as [Value.Length]. What was not read (a default, a setting) has no
// interval.
func (v Value) measured(spec measure.Spec) (r measure.Reading, as float64, err error) {
	if r, err = v.Reading(spec); err != nil {
		return r, 0, err
	}
	if as, err = v.one(r); v.From != "flag" && !strings.HasPrefix(v.From, "survey ") {
		r = measure.Exact(as, r.Written)
	}
	return r, as, err
}

// By is a number that is typed in a notation of its own, which parse reads; 0 if there is no value.
func (v Value) By(parse func(flag, text string) (float64, error)) (float64, error) {
	switch {
	case !v.Given():
		return 0, nil
	case v.Readings != nil:
		return v.one(v.Readings[0])
	}
	return parse(v.flag, v.Text)
}

// Length asks for the one value as written of a reading, as [Value.Length].
func (s *Start) Length(name string, spec measure.Spec, sources ...Source) (float64, error) {
	return s.Ask(name, sources...).Length(spec)
}

// By asks for a number in a notation of its own, as [Value.By].
func (s *Start) By(name string, parse func(flag, text string) (float64, error), sources ...Source) (float64, error) {
	return s.Ask(name, sources...).By(parse)
}

// Number asks for a plain number from lo to hi; 0 if no source has it.
func (s *Start) Number(name string, lo, hi float64, sources ...Source) (float64, error) {
	return s.By(name, func(flag, text string) (float64, error) { return Number(flag, text, lo, hi) }, sources...)
}

// one is the reading's value as written.
func (v Value) one(r measure.Reading) (float64, error) {
	switch {
	case !r.OneSided():
		return r.As, nil
	case v.From == "flag":
		return 0, cli.Usagef("--%s: %q is a go/no-go reading (one value is expected)", v.flag, r.Written)
	}
	return 0, cli.Inputf("%s is %s, a go/no-go reading without a value of its own (%s; --%s gives one)", v.name,
		r.Written, v.From, v.flag)
}

// Pair asks for a reading of two wheels or rails, typed as NEAR[,FAR]; each may be missing.
func (s *Start) Pair(name string, spec measure.Spec, sources ...Source) (r [2]measure.Reading, v Value, err error) {
	v = s.Ask(name, sources...)
	switch len(v.Readings) {
	case 1:
		return [2]measure.Reading{v.Readings[0], v.Readings[0]}, v, nil
	case 2:
		return [2]measure.Reading(v.Readings), v, nil
	}
	if !v.Given() {
		return r, v, nil
	}
	near, far, err := v.Two()
	if err != nil {
		return r, v, err
	}
	for i, text := range []string{near, far} {
		if text == "n/m" || text == "-" {
			continue
		}
		if r[i], err = v.typed(text, spec); err != nil {
			return r, v, err
		}
	}
	return r, v, nil
}

// Lengths asks for the values as written of [Start.Pair]; both are expected if one is given.
func (s *Start) Lengths(name string, spec measure.Spec, sources ...Source) (mm [2]float64, err error) {
	r, v, err := s.Pair(name, spec, sources...)
	if err != nil || !v.Given() {
		return mm, err
	}
	for i := range r {
		if !r[i].Measured() {
			return mm, cli.Usagef("--%s: a value is expected", v.flag)
		}
		if mm[i], err = v.one(r[i]); err != nil {
			return mm, err
		}
	}
	return mm, nil
}

// Two splits NEAR[,FAR].
func (v Value) Two() (near, far string, err error) {
	if near, far, err = pair(v.Text); err != nil {
		err = cli.Usagef("--%s: %v", v.flag, err)
	}
	return near, far, err
}
