// Package pocket is a survey that is taken on a phone: the places in walking order, one reading at a time, each judged
// where it is read, and the sheets with what was read. It knows no page; package engine hands it to one.
//
// A row of readings of today stands under the older row of its place, and holds what was read today alone: what was not
// read again is not measured, because a repair may lie between. What is no reading (number, type, class) comes along.
// Every entry goes through the parser of the sheets, and a place is judged by the plain rules against every wheel of
// the survey, a wheel against every place.
package pocket

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// ErrEntry is an entry that cannot be taken.
var ErrEntry = errors.New("the entry cannot be taken")

// Entry is what was typed for one column of a place or a wheel; "" takes it back.
type Entry struct {
	Key    string `json:"key"` // frog/F4, wheel/CAR L2
	Column string `json:"column"`
	Text   string `json:"text"`
}

// Session is a survey with the entries of a day.
type Session struct {
	data    *configs.Data
	files   map[string][]byte
	sv      *survey.Survey // as it was
	day     measure.Date
	entries map[string]map[string]string // by key and column
}

// Open begins a day of readings of a survey's files.
func Open(files map[string][]byte, day string) (*Session, error) {
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	s := &Session{data: data, files: files, entries: map[string]map[string]string{}}
	if s.day, err = measure.ParseDate(day); err != nil {
		return nil, err
	}
	s.sv, err = survey.ReadFS(memory(files), data)
	return s, err
}

// Column is one thing to read.
type Column struct {
	Name    string   `json:"name"`
	Unit    string   `json:"unit,omitempty"`
	Meaning string   `json:"meaning"`
	Last    string   `json:"last,omitempty"`
	Words   []string `json:"words,omitempty"`
	Many    bool     `json:"many,omitempty"` // any of the words
}

// Thing is a place or a wheel to read.
type Thing struct {
	Key      string   `json:"key"`
	Location string   `json:"location"` // of a wheel its car
	Kind     string   `json:"kind"`
	Last     string   `json:"last,omitempty"` // the day of its last row
	Columns  []Column `json:"columns,omitempty"`
	// Lasts are what its columns had last, where the columns stand by kind.
	Lasts map[string]string `json:"lasts"`
}

// Things are the places in walking order, as they first stand in the sheets and there frogs before switches, curves,
// joints and spots, then the wheels car by car.
func (s *Session) Things() (out []Thing) {
	type walked struct {
		t    Thing
		rank [2]int
		f    *track.Feature
	}
	first := map[string][2]int{}
	for _, f := range s.sv.Track.Features {
		at := [2]int{int(f.Kind), f.Place.Line}
		if old, ok := first[f.Location]; !ok || slices.Compare(at[:], old[:]) < 0 {
			first[f.Location] = at
		}
	}
	var places []walked
	for _, f := range s.sv.Track.Features {
		t := Thing{Key: f.Name(), Location: f.Location, Kind: f.Kind.String(), Last: day(f.Date)}
		for _, c := range f.Kind.Columns() {
			x := Column{Name: c.Name, Unit: c.Unit, Meaning: c.Meaning}
			switch q, ok := track.QuantityOf(c.Name); {
			case ok && slices.Contains(f.Measured(), q):
				x.Last = f.Read(q).Written
			case c.Name == "marks":
				x.Words, x.Many, x.Last = f.Kind.Marks(), true, seen(f.Marks)
			case c.Name == "condition":
				x.Words, x.Last = []string{"good", "worn", "poor"}, f.Condition
			case c.Name == "note":
			default:
				continue
			}
			t.Columns = append(t.Columns, x)
		}
		places = append(places, walked{t, first[f.Location], f})
	}
	slices.SortStableFunc(places, func(a, b walked) int {
		return cmp.Or(slices.Compare(a.rank[:], b.rank[:]), cmp.Compare(a.t.Location, b.t.Location),
			cmp.Compare(a.f.Kind, b.f.Kind), cmp.Compare(a.f.Place.Line, b.f.Place.Line))
	})
	for _, p := range places {
		out = append(out, p.t)
	}
	for _, w := range s.sv.Fleet.Wheels {
		t := Thing{Key: wheelKey(w), Location: w.Car.ID, Kind: "wheel", Last: day(w.Date)}
		for _, c := range wheel.Columns(wheel.WheelSheet) {
			x := Column{Name: c.Name, Unit: c.Unit, Meaning: c.Meaning}
			switch q, ok := c.Reads(); {
			case ok:
				x.Last = w.Own(q).Written
			case c.Name == "marks":
				x.Words, x.Many, x.Last = wheel.Marks(), true, seen(w.Marks)
			case c.Name == "note":
			default:
				continue
			}
			t.Columns = append(t.Columns, x)
		}
		out = append(out, t)
	}
	return out
}

func day(d measure.Date) string {
	if !d.Known() {
		return ""
	}
	return d.String()
}

func seen(m sheet.Marks) string {
	if m.Looked && len(m.Seen) == 0 {
		return "none"
	}
	return strings.Join(m.Seen, " ")
}

func wheelKey(w *wheel.Wheel) string { return "wheel/" + w.Car.ID + " " + w.Position.String() }

// row is where the last row of a thing stands, of which file and day.
func (s *Session) row(key string) (file string, at measure.Place, date measure.Date, ok bool) {
	for _, f := range s.sv.Track.Features {
		if f.Name() == key {
			return f.Kind.File(), f.Place, f.Date, true
		}
	}
	for _, w := range s.sv.Fleet.Wheels {
		if wheelKey(w) == key {
			return "wheels.csv", w.Place, w.Date, true
		}
	}
	return "", at, date, false
}

// keeps are the columns that come along from the last row: those that are no reading and say nothing of a day.
func keeps(column string) bool {
	switch column {
	case "date", "note", "marks", "condition", "profile":
		return false
	}
	_, ofWheel := wheel.QuantityOf(column)
	_, ofPlace := track.QuantityOf(column)
	return !ofWheel && !ofPlace
}

// Files are the survey's files with the entries of the day.
func (s *Session) Files() (map[string][]byte, error) {
	byFile := map[string][]survey.Change{}
	for _, key := range slices.Sorted(maps.Keys(s.entries)) {
		if len(s.entries[key]) == 0 {
			continue
		}
		file, at, date, ok := s.row(key)
		if !ok {
			return nil, fmt.Errorf("%w: there is no %s", ErrEntry, key)
		}
		if date.Known() && date > s.day {
			return nil, fmt.Errorf("%w: %s was read on %s, after today, %s", ErrEntry, key, date, s.day)
		}
		byFile[file] = append(byFile[file], survey.Change{Place: at, Date: date, Sets: maps.Clone(s.entries[key]),
			Keeps: keeps})
	}
	out := maps.Clone(s.files)
	for file, list := range byFile {
		text, err := survey.Continued(s.files[file], list, s.day)
		if err != nil {
			return nil, err
		}
		out[file] = text
	}
	return out, nil
}

// Answer is what an entry comes to.
type Answer struct {
	// Wrong is why an entry is not taken; Odd what is to be looked at again.
	Wrong    string    `json:"wrong,omitempty"`
	Odd      []string  `json:"odd,omitempty"`
	Verdicts []Verdict `json:"verdicts"`
	// Missing are the readings that pairs of the thing wait for.
	Missing []string `json:"missing,omitempty"`
}

// Verdict is a check at a place, its worst pair and how many pairs have each verdict.
type Verdict struct {
	Check    string   `json:"check"`
	Feature  string   `json:"feature"`
	Verdict  string   `json:"verdict"`
	Happens  string   `json:"happens"`
	Worst    string   `json:"worst"` // the wheel
	Margin   string   `json:"margin,omitempty"`
	Conflict int      `json:"conflict"`
	Open     int      `json:"undecided"`
	Unread   int      `json:"not_measured"`
	Clear    int      `json:"clear"`
	Settle   []string `json:"settle,omitempty"`
	Fix      []string `json:"fix,omitempty"`
}

// Enter takes an entry and judges its place or its wheel. One that cannot be read is not taken and says why.
func (s *Session) Enter(e Entry) (Answer, error) {
	if _, _, _, ok := s.row(e.Key); !ok {
		return Answer{}, fmt.Errorf("%w: there is no %s", ErrEntry, e.Key)
	}
	before, had := s.entries[e.Key][e.Column]
	s.put(e.Key, e.Column, strings.TrimSpace(e.Text))
	sv, err := s.read()
	var list measure.ProblemsError
	if errors.As(err, &list) {
		if s.put(e.Key, e.Column, ""); had {
			s.put(e.Key, e.Column, before)
		}
		var wrong []string
		for _, p := range list {
			text := p.What
			if p.Field != e.Column {
				text = p.Field + ": " + text
			}
			if p.Expected != "" {
				text += " (" + p.Expected + ")"
			}
			wrong = append(wrong, text)
		}
		a, err := s.Judge(e.Key)
		a.Wrong = strings.Join(wrong, "; ")
		return a, err
	}
	if err != nil {
		return Answer{}, err
	}
	a, err := s.judge(sv, e.Key)
	a.Odd = s.odd(sv)
	return a, err
}

func (s *Session) put(key, column, text string) {
	if s.entries[key] == nil {
		s.entries[key] = map[string]string{}
	}
	if s.entries[key][column] = text; text == "" {
		delete(s.entries[key], column)
	}
}

// read is the survey with the entries.
func (s *Session) read() (*survey.Survey, error) {
	files, err := s.Files()
	if err != nil {
		return nil, err
	}
	return survey.ReadFS(memory(files), s.data)
}

// odd are the warnings that the survey did not have before.
func (s *Session) odd(sv *survey.Survey) (out []string) {
	old := map[string]bool{}
	for _, w := range s.sv.Warnings {
		old[w.Text] = true
	}
	for _, w := range sv.Warnings {
		if !old[w.Text] {
			out = append(out, w.Text)
		}
	}
	return out
}

// Judge judges a place or a wheel with the entries there are.
func (s *Session) Judge(key string) (Answer, error) {
	sv, err := s.read()
	if err != nil {
		return Answer{}, err
	}
	return s.judge(sv, key)
}

func (s *Session) judge(sv *survey.Survey, key string) (Answer, error) {
	book, err := sv.Book()
	if err != nil {
		return Answer{}, err
	}
	one, opt := *sv, interaction.Options{}
	if id, ok := strings.CutPrefix(key, "wheel/"); ok {
		car := id[:strings.LastIndexByte(id, ' ')]
		one.Fleet = sv.Fleet.Only(func(c *wheel.Car) bool { return c.ID == car })
	} else {
		one.Track = sv.Track.Only(map[string]bool{key: true})
		for _, f := range one.Track.Features {
			opt.Location = f.Location // the limits of the wheels are no matter here
		}
	}
	r := judge.New(&one, book, opt).Judge()
	a := Answer{Verdicts: []Verdict{}}
	for _, l := range r.Locations() {
		for i := range l.Tallies {
			t := &l.Tallies[i]
			f := r.Worst(t)
			v := Verdict{Check: t.Check.ID, Feature: t.Feature.Name(), Verdict: f.Verdict.String(), Happens: t.Check.Happens,
				Worst: f.Wheel.Car.ID + " " + f.Wheel.Position.String(), Margin: margin(f.Margin),
				Conflict: t.Counts[interaction.Conflict], Open: t.Counts[interaction.Undecided],
				Unread: t.Counts[interaction.NotMeasured], Clear: t.Counts[interaction.Clear]}
			if f.Verdict != interaction.Clear {
				v.Settle = f.Settle()
				v.Fix = append(slices.Clone(f.FixTrack), f.FixWheel...)
			}
			a.Verdicts = append(a.Verdicts, v)
			if f.Verdict == interaction.NotMeasured {
				for _, name := range f.Settle() {
					if s.has(key, name) {
						a.Missing = append(a.Missing, name)
					}
				}
			}
		}
	}
	slices.SortStableFunc(a.Verdicts, func(x, y Verdict) int { return cmp.Compare(rank(x), rank(y)) })
	slices.Sort(a.Missing)
	a.Missing = slices.Compact(a.Missing)
	return a, nil
}

// has reports whether a thing has a reading.
func (s *Session) has(key, column string) bool {
	if strings.HasPrefix(key, "wheel/") {
		_, ok := wheel.QuantityOf(column)
		return ok
	}
	for _, f := range s.sv.Track.Features {
		if q, ok := track.QuantityOf(column); ok && f.Name() == key {
			return slices.Contains(f.Measured(), q)
		}
	}
	return false
}

// rank puts the worst verdict first.
func rank(v Verdict) int {
	for k := range interaction.NumVerdicts {
		if k.String() == v.Verdict {
			return int(k)
		}
	}
	return int(interaction.NumVerdicts)
}

// margin is a margin as it stands on the screen: the room that is left at least and at most, negative where they hit.
func margin(m judge.Margin) string {
	if m.Lo == nil || m.Hi == nil {
		return ""
	}
	switch {
	case m.Degrees:
		return fmt.Sprintf("%+.1f..%+.1f deg", *m.Lo, *m.Hi)
	case m.Metric:
		return fmt.Sprintf("%+.1f..%+.1f mm", *m.Lo, *m.Hi)
	}
	return fmt.Sprintf("%+.2f..%+.2f in", *m.Lo/measure.MMPerInch, *m.Hi/measure.MMPerInch)
}

// Take takes entries that were kept. Those that cannot be taken any more are given back.
func (s *Session) Take(list []Entry) (refused []Entry) {
	for _, e := range list {
		if _, _, _, ok := s.row(e.Key); !ok {
			refused = append(refused, e)
			continue
		}
		s.put(e.Key, e.Column, strings.TrimSpace(e.Text))
	}
	if _, err := s.read(); err == nil {
		return refused
	}
	// One of them is wrong: they are taken one by one.
	s.entries, refused = map[string]map[string]string{}, nil
	for _, e := range list {
		if a, err := s.Enter(e); err != nil || a.Wrong != "" {
			refused = append(refused, e)
		}
	}
	return refused
}

// Changed are the sheets that the entries change, whole.
func (s *Session) Changed() (map[string][]byte, error) {
	files, err := s.Files()
	if err != nil {
		return nil, err
	}
	out := map[string][]byte{}
	for name, text := range files {
		if string(text) != string(s.files[name]) {
			out[name] = text
		}
	}
	return out, nil
}
