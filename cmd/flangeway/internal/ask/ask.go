// Package ask is what the commands shape, curve and passage start from. Each value is asked for once, by one chain: the
// flag, else the survey, else a setting, else a default; and the answer lists which it was.
//
// A reading of a survey is handed on as it was read there, with its interval. A reading that is typed as a flag is
// parsed by the same columns, with the railroad's own reading errors if a survey is given. Settings and limits are the
// railroad's.
package ask

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/configs"
	"flangeway/internal/each"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Flags are the flags of a command by name, as typed; "" is not given.
type Flags map[string]string

// With is a copy of the flags with some of them set: name, value, name, value.
func (f Flags) With(pairs ...string) Flags {
	out := maps.Clone(f)
	for i := 0; i+1 < len(pairs); i += 2 {
		out[pairs[i]] = pairs[i+1]
	}
	return out
}

// Any reports whether one of the flags is given.
func (f Flags) Any(names ...string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return f[n] != "" })
}

// Used is a value that entered, with where it came from.
type Used struct{ Name, Value, From string }

// Start holds the sources of one run of a command.
type Start struct {
	Flags    Flags
	Data     *configs.Data
	Shapes   *configs.Shapes
	Survey   *survey.Survey          // nil: none was named
	Columns  map[string]measure.Spec // how readings are parsed
	Settings survey.Settings
	Used     []Used
	Warnings []string
	// BuiltIn are the settings that entered and that no railroad has set.
	BuiltIn []configs.Setting
	unread  [4][]string // of wheels, by reading
	notches []notch
}

// Open reads the built-in files and the survey that --survey names.
func Open(f Flags) (*Start, error) {
	s := &Start{Flags: f}
	var err error
	if f["survey"] == "" {
		if f.Any("car", "position", "at") {
			return nil, cli.Usagef("--car, --position and --at need --survey")
		}
		if s.Data, err = configs.Load(); err != nil {
			return nil, err
		}
		s.Columns, s.Settings = s.Data.Columns, survey.NewSettings(s.Data.Settings)
		s.Shapes, err = s.Data.LoadShapes()
		return s, err
	}
	if s.Survey, err = survey.Read(f["survey"]); err != nil {
		return nil, err
	}
	book, err := s.Survey.Book()
	if err != nil { // a limit that loosens a regulation is a defect of the survey
		return nil, err
	}
	if !book.HasFederal() {
		s.Warn("%s", limit.NotFederal)
	}
	s.Data, s.Columns, s.Settings = s.Survey.Data, s.Survey.Columns, s.Survey.Settings
	var warnings []measure.Warning
	s.Shapes, warnings, err = s.Survey.Shapes()
	for _, w := range warnings {
		s.Warn("%s: %s", w.Place.File, w.Text)
	}
	return s, err
}

// Again is a fresh start from the same survey with other flags.
func (s *Start) Again(f Flags) *Start {
	return &Start{Flags: f, Warnings: slices.Clone(s.Warnings), Data: s.Data, Shapes: s.Shapes, Survey: s.Survey,
		Columns: s.Columns, Settings: s.Settings}
}

// Note lists a value that entered.
func (s *Start) Note(name, value, from string) { s.Used = append(s.Used, Used{name, value, from}) }

// Warn adds a line of what to know besides.
func (s *Start) Warn(format string, args ...any) {
	s.Warnings = append(s.Warnings, fmt.Sprintf(format, args...))
}

// Setting is a setting of the survey's railroad, or the built-in one.
func (s *Start) Setting(name string) configs.Setting {
	x, _ := s.Settings.Setting(name)
	return x
}

// Files are the files that no output may be written over: traced profiles and the survey's own.
func (s *Start) Files() []string {
	var files []string
	for _, flag := range []string{"wheel", "rail"} {
		for name := range strings.SplitSeq(s.Flags[flag], ",") {
			files = append(files, strings.TrimSpace(name))
		}
	}
	return files
}

// didYouMean is the hint of a word that is not known; "" if none is near.
func didYouMean(word string, known []string) string {
	if near := measure.Nearest(word, known); near != "" {
		return fmt.Sprintf(" (did you mean %q?)", near)
	}
	return ""
}

// Car is the car that --car names; nil if the flag is not given.
func (s *Start) Car() (*wheel.Car, error) {
	id := s.Flags["car"]
	if id == "" {
		return nil, nil
	}
	if c := s.Survey.Fleet.Car(strings.Join(strings.Fields(id), " ")); c != nil {
		return c, nil
	}
	known := each.Of(s.Survey.Fleet.Cars, func(c *wheel.Car) string { return c.ID })
	return nil, cli.Usagef("the survey has no car %q%s", id, didYouMean(id, known))
}

// Position is the wheel position that --position names.
func (s *Start) Position() (wheel.Position, error) {
	text := s.Flags["position"]
	at, ok := wheel.ParsePosition(strings.ToUpper(strings.TrimSpace(text)))
	if !ok {
		return at, cli.Usagef("--position %q is not L1 to L8 or R1 to R8", text)
	}
	return at, nil
}

// Wheel is the wheel that --car and --position name; nil if neither is given.
func (s *Start) Wheel() (*wheel.Wheel, error) {
	if (s.Flags["car"] == "") != (s.Flags["position"] == "") {
		return nil, cli.Usagef("--car and --position go together")
	}
	car, err := s.Car()
	if car == nil || err != nil {
		return nil, err
	}
	at, err := s.Position()
	if err != nil {
		return nil, err
	}
	var known []string
	for _, w := range s.Survey.Fleet.Wheels {
		if w.Car != car {
			continue
		}
		if w.Position == at {
			return w, nil
		}
		known = append(known, w.Position.String())
	}
	if known == nil {
		return nil, cli.Usagef("the survey has no wheel of car %q", car.ID)
	}
	return nil, cli.Usagef("the survey has no wheel %s of car %q (it has %s)", at, car.ID, strings.Join(known, ", "))
}

// Place is the feature that --at names, of any kind or of one of those given; nil if the flag is not given. As says
// what is asked for, with an example.
func (s *Start) Place(as string, kinds ...track.Kind) (*track.Feature, error) {
	name := strings.Join(strings.Fields(s.Flags["at"]), " ")
	if name == "" {
		return nil, nil
	}
	var known []string
	for _, f := range s.Survey.Track.Features {
		if len(kinds) > 0 && !slices.Contains(kinds, f.Kind) {
			continue
		}
		if f.Name() == name {
			return f, nil
		}
		known = append(known, f.Name())
	}
	hint := didYouMean(name, known)
	for _, k := range known {
		// the id without its kind
		if strings.EqualFold(k, name) || strings.HasSuffix(strings.ToLower(k), "/"+strings.ToLower(name)) {
			hint = fmt.Sprintf(" (did you mean %q?)", k)
		}
	}
	if hint == "" {
		hint = fmt.Sprintf(" (such as %s)", as)
	}
	what := "a feature"
	if len(kinds) == 1 {
		what = "a " + kinds[0].String()
	}
	return nil, cli.Usagef("--at %q is not %s of the survey%s", name, what, hint)
}
