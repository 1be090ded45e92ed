package survey

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"flangeway/configs"
	"flangeway/internal/each"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/track"
	"flangeway/wheel"
)

// Settings are the figures of the pair checks, as the railroad has them.
type Settings struct {
	list []configs.Setting
}

// NewSettings takes the built-in settings.
func NewSettings(list []configs.Setting) Settings {
	return Settings{list: append([]configs.Setting(nil), list...)}
}

// Value is the value of a setting in mm, degrees or days. Every name of the built-in file is known; another is a
// mistake of the program and gives NaN, which no comparison takes for clear.
func (s Settings) Value(name string) float64 {
	if x, ok := s.Setting(name); ok {
		return x.Value
	}
	return math.NaN()
}

// Setting is the whole setting.
func (s Settings) Setting(name string) (configs.Setting, bool) {
	return each.First(s.list, func(x configs.Setting) bool { return x.Name == name })
}

// All lists the settings in the order of the built-in file.
func (s Settings) All() []configs.Setting { return s.list }

// With is a copy of the settings with one of them changed.
func (s Settings) With(name string, value float64, written string) Settings {
	out := Settings{list: append([]configs.Setting(nil), s.list...)}
	for i := range out.list {
		if out.list[i].Name == name {
			out.list[i].Value, out.list[i].Written, out.list[i].Given = value, written, true
		}
	}
	return out
}

const railroadFile = "railroad.yaml"

// readRailroad reads railroad.yaml; nil data is an absent file, with the defaults.
func (s *Survey) readRailroad(data []byte, problems *measure.Problems) track.Defaults {
	m := configs.ParseMapping(railroadFile, data, problems)
	if m.Has("schema") && m.Text("schema") != "1" {
		m.Fail("schema", fmt.Sprintf("%q is not a schema this program reads", m.Text("schema")), "schema: 1")
	}
	s.Railroad = strings.Join(strings.Fields(m.Text("railroad")), " ")
	if strings.ContainsFunc(s.Railroad, unicode.IsControl) { // it would reach the terminal
		m.Fail("railroad", fmt.Sprintf("%+q holds a control character", s.Railroad), "printable text")
	}
	var defaults track.Defaults
	defaults.Latest = measure.DateOf(time.Now())
	if m.Has("date") {
		d, err := measure.ParseDate(m.Text("date"))
		if err != nil {
			m.FailWith("date", err)
		}
		s.Date, defaults.Latest = d, d
	}
	if m.Has("track_class") {
		c, known := configs.TrackClass(m.Text("track_class"))
		if !known {
			expected := "excepted or 1 to 5"
			if word := configs.ClassMeant(m.Text("track_class")); word != "" {
				expected = fmt.Sprintf("write %q for it; %s", word, expected)
			}
			m.Fail("track_class", fmt.Sprintf("%q is not a track class", m.Text("track_class")), expected)
		}
		defaults.Class = c
	}
	s.Class = defaults.Class
	if m.Has("speed_mph") {
		v, ok := configs.PlainNumber(m.Text("speed_mph"))
		if !ok || v > track.MaxSpeedMPH {
			m.Fail("speed_mph", fmt.Sprintf("%q is not a speed", m.Text("speed_mph")),
				fmt.Sprintf("0 to %d mph", track.MaxSpeedMPH))
		} else {
			defaults.Speed, defaults.SpeedKnown = v, true
		}
	}
	switch units := m.Text("units"); {
	case units == "metric":
		s.Metric = true
	case m.Has("units") && units != "inches":
		m.Fail("units", fmt.Sprintf("%q is no system of units", units), "inches or metric")
	}
	s.readErrors(m.Sub("reading_error"))
	s.readSettings(m.Sub("settings"))
	s.readLimits(m, problems)
	s.readCosts(m.Sub("costs"))
	s.traffic = readTraffic(m.Sub("traffic"))
	s.incidents = readIncidents(m.Sub("incidents"))
	m.Done()
	return defaults
}

// readErrors reads the railroad's own ± of columns.
func (s *Survey) readErrors(m *configs.Mapping) {
	s.Columns = maps.Clone(s.Data.Columns)
	for name, spec := range s.Columns {
		spec.Metric = s.Metric
		s.Columns[name] = spec
	}
	steps := measure.Spec{Column: "step_error", Unit: measure.Inches, Lo: 0, Hi: measure.MMPerInch}
	if step, ok := m.Length("step_error", steps); ok {
		for name, spec := range s.Columns {
			if spec.Unit != measure.Degrees {
				spec.Step = step.As
				s.Columns[name] = spec
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.Columns)) {
		spec := s.Columns[name]
		most := 4 * measure.MMPerInch
		if spec.Unit == measure.Degrees {
			most = 45
		}
		if r, ok := m.Length(name, measure.Spec{Column: "reading error", Unit: spec.Unit, Lo: 0, Hi: most}); ok {
			spec.Replace, spec.HasReplace = r.As, true
			s.Columns[name] = spec
		}
	}
	m.Done()
}

func (s *Survey) readSettings(m *configs.Mapping) {
	s.Settings = NewSettings(s.Data.Settings)
	for i, set := range s.Settings.list {
		if given, ok := set.Read(m); ok {
			s.Settings.list[i] = given
		}
	}
	m.Done()
}

// readLimits finds the limit sets by name, and a railroad's own files beside
// railroad.yaml; absent is [configs.DefaultSets]. Without the federal set every word of
// legality is one of the railroad's own books, which is warned of.
func (s *Survey) readLimits(m *configs.Mapping, problems *measure.Problems) {
	items := m.Texts("limits")
	if !m.Has("limits") {
		items = nil
		for _, name := range configs.DefaultSets() {
			items = append(items, configs.Item{Text: name})
		}
	} else if !slices.ContainsFunc(items, func(it configs.Item) bool { return it.Text == configs.Federal }) {
		s.Warnings = append(s.Warnings, measure.Warning{Place: m.PlaceOf("limits"), Text: limit.NotFederal})
	}
	for _, it := range items {
		if set, ok := s.Data.Sets[it.Text]; ok {
			s.Sets = append(s.Sets, it.Text)
			s.Limits = append(s.Limits, set)
			continue
		}
		known := slices.Sorted(maps.Keys(s.Data.Sets))
		expected := strings.Join(known, ", ") + ", or a file beside railroad.yaml"
		if ext := filepath.Ext(it.Text); ext != ".yaml" && ext != ".yml" {
			if near := measure.Nearest(it.Text, known); near != "" {
				expected = fmt.Sprintf("did you mean %q? ", near) + expected
			}
			problems.Add(it.Place, "limits", fmt.Sprintf("%q is not a limit set", it.Text), expected)
			continue
		}
		name := filepath.FromSlash(it.Text)
		if !filepath.IsAbs(name) {
			name = filepath.Join(s.Dir, name)
		}
		data, err := s.files.read(name, maxYAML)
		if err != nil {
			if os.IsNotExist(err) {
				problems.Add(it.Place, "limits", fmt.Sprintf("there is no file %q", it.Text), expected)
			} else {
				problems.Add(it.Place, "limits", fmt.Sprintf("%q: %s", it.Text, regular.Why(err)), expected)
			}
			continue
		}
		s.Files = append(s.Files, name)
		s.Sets = append(s.Sets, it.Text)
		set := configs.ParseSet(configs.ParseMapping(it.Text, data, problems), it.Text, problems)
		set.CheckReadings(Readable, problems)
		s.Limits = append(s.Limits, set)
	}
}

// Readable lists what a rule can judge of a subject.
func Readable(subject string) []string {
	for k := range track.NumKinds {
		if k.String() == subject {
			return k.Readable()
		}
	}
	return wheel.Readable(subject)
}

// Book is the effective book of limits: the sets in their order, later ones over
// earlier ones. Loosening a regulation is an error.
func (s *Survey) Book() (*limit.Book, error) {
	book, found := limit.Overlay(s.Limits...)
	var problems measure.Problems
	problems.Append(found...)
	if err := problems.Err(); err != nil {
		return nil, err
	}
	return book, nil
}
