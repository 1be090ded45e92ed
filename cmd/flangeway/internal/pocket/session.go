// Package pocket is a survey that is taken on a phone: the places in walking order, one reading at a time, each judged
// where it is read, and the sheets with what was read. It knows no page; package engine hands it to one.
//
// A row of readings of today stands under the older row of its place, and holds what was read today alone: what was not
// read again is not measured, because a repair may lie between. What is no reading (number, type, class) comes along.
// The survey is then one of today: railroad.yaml has today's date if it had an older one.
//
// Every entry goes through the parser of the sheets with its own rows alone, and a place is judged by the plain rules
// against every wheel of the survey, a wheel against every place; what was prepared of the other side is kept, so that
// an answer comes before the next key. What shapes and forces say, and what was seen, comes check by check from a
// session of its own (Computed), because it takes longer.
package pocket

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/exposure"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// mostText caps an entry, in bytes: a note is the longest.
const mostText = 1000

// ErrEntry is an entry that cannot be taken.
var ErrEntry = errors.New("the entry cannot be taken")

// Entry is the text typed for one column of a place or a wheel; "" takes it back.
type Entry struct {
	Key    string `json:"key"` // frog/F4, wheel/CAR L2
	Column string `json:"column"`
	Text   string `json:"text"`
}

// Session is a survey with the entries of a day.
type Session struct {
	data    *configs.Data
	files   map[string][]byte // with the date of the survey, see Open
	given   map[string][]byte // as they were
	was     *survey.Survey    // without the entries
	now     *survey.Survey    // with them
	book    *limit.Book
	day     measure.Date
	dated   bool                         // railroad.yaml has an older date, which goes along
	entries map[string]map[string]string // by key and column
	things  map[string]*known
	sheets  map[string]*rows
	odds    map[string]bool // what was odd before
	// toPlaces has prepared the fleet, toWheels the track; nil: not yet.
	toPlaces, toWheels *judge.Engine
	computed           *judge.Engine // what was solved last
	rehearsed          *rehearsal    // the entry that was tried last, nil when something was entered since
	goes               *exposure.Exposure
}

// known is a thing as a survey holds it.
type known struct {
	file  string
	at    measure.Place // of its last row
	date  measure.Date
	lines []int // of all its rows
	w     *wheel.Wheel
	f     *track.Feature
}

// Open begins a day of readings of a survey's files.
func Open(files map[string][]byte, day string) (*Session, error) {
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	s := &Session{data: data, files: files, given: files, entries: map[string]map[string]string{},
		things: map[string]*known{}, sheets: map[string]*rows{}, odds: map[string]bool{}}
	if s.day, err = measure.ParseDate(day); err != nil {
		return nil, err
	}
	s.was, err = survey.ReadFS(memory(files), data)
	switch {
	case err == nil && s.was.Date >= s.day:
	case err == nil && s.was.Date.Known(): // no row may be of a day after that of its survey
		s.dated, err = true, s.datedAt(s.day)
	default: // without a date its rows are held to the device's clock, which may be behind
		err = s.datedAt(max(s.day, s.lastRow()))
	}
	if err != nil {
		return nil, err
	}
	one := *s.was
	s.now = &one
	if s.book, err = s.was.Book(); err != nil {
		return nil, err
	}
	s.goes = exposure.Of(s.was)
	for _, w := range s.was.Warnings {
		s.odds[w.Text] = true
	}
	for _, f := range s.was.Track.Features {
		k := &known{file: f.Kind.File(), at: f.Place, date: f.Date, lines: []int{f.Place.Line}, f: f}
		for _, e := range f.Earlier {
			k.lines = append(k.lines, e.Place.Line)
		}
		s.things[f.Name()] = k
	}
	for _, w := range s.was.Fleet.Wheels {
		k := &known{file: wheelFile, at: w.Place, date: w.Date, lines: []int{w.Place.Line}, w: w}
		for _, e := range w.Earlier {
			k.lines = append(k.lines, e.Place.Line)
		}
		s.things[wheelKey(w)] = k
	}
	return s, nil
}

func (s *Session) datedAt(day measure.Date) error {
	dated, err := survey.Dated(s.given[railroad], day)
	if err != nil {
		return err
	}
	s.files = maps.Clone(s.given)
	s.files[railroad] = dated
	s.was, err = survey.ReadFS(memory(s.files), s.data)
	return err
}

// lastRow is the day of the newest row of the sheets.
func (s *Session) lastRow() (day measure.Date) {
	for _, file := range survey.SheetFiles() {
		r, err := s.sheet(file)
		if err != nil || len(r.list) == 0 { // what is wrong with it is said where it is read
			continue
		}
		i := slices.IndexFunc(r.list[0], func(name string) bool {
			return strings.EqualFold(strings.TrimSpace(name), "date")
		})
		for _, row := range r.list[1:] {
			if i < 0 || i >= len(row) {
				continue
			}
			if d, err := measure.ParseDate(strings.TrimSpace(row[i])); err == nil {
				day = max(day, d)
			}
		}
	}
	return day
}

const (
	railroad  = "railroad.yaml"
	wheelFile = "wheels.csv"
	carFile   = "cars.csv"
)

// Column is one thing to read.
type Column struct {
	Name    string   `json:"name"`
	Unit    string   `json:"unit,omitempty"`
	Meaning string   `json:"meaning"`
	Last    string   `json:"last,omitempty"`
	Words   []string `json:"words,omitempty"`
	Many    bool     `json:"many,omitempty"` // any of the words
	// Notches are how a notch of a go/no-go gauge is written that did not touch, and one that did; none where no gauge
	// is.
	Notches []string `json:"notches,omitempty"`
}

// Thing is a place or a wheel to read.
type Thing struct {
	Key      string   `json:"key"`
	Location string   `json:"location"` // of a wheel its car
	Kind     string   `json:"kind"`
	Last     string   `json:"last,omitempty"`  // the day of its last row
	Mate     string   `json:"mate,omitempty"`  // of a wheel the other one of its axle
	Trace    bool     `json:"trace,omitempty"` // its last row names a traced profile
	Columns  []Column `json:"columns,omitempty"`
	// Lasts are the last texts of its columns, where the columns stand by kind.
	Lasts map[string]string `json:"lasts"`
}

// Things are the places in walking order, location by location: as they lie on the tracks of tracks.csv, what lies on
// none after it, as it stands in the sheets and there frogs before switches, curves, joints and spots. The wheels come
// behind, car by car and axle by axle.
func (s *Session) Things() (out []Thing) {
	type rank [3]int
	type walked struct {
		t        Thing
		location rank
		own      rank
	}
	walk := map[string]int{}
	for i, name := range s.was.Routes.Walk() {
		walk[name] = i
	}
	rankOf := func(f *track.Feature) rank {
		if i, ok := walk[f.Name()]; ok {
			return rank{i}
		}
		return rank{len(walk), int(f.Kind), f.Place.Line}
	}
	first := map[string]rank{}
	for _, f := range s.was.Track.Features {
		at := rankOf(f)
		if old, ok := first[f.Location]; !ok || slices.Compare(at[:], old[:]) < 0 {
			first[f.Location] = at
		}
	}
	var places []walked
	for _, f := range s.was.Track.Features {
		t := Thing{Key: f.Name(), Location: f.Location, Kind: f.Kind.String(), Last: day(f.Date),
			Columns: placeColumns(f, s.was.Columns), Trace: f.Profile != ""}
		places = append(places, walked{t, first[f.Location], rankOf(f)})
	}
	slices.SortStableFunc(places, func(a, b walked) int {
		return cmp.Or(slices.Compare(a.location[:], b.location[:]), cmp.Compare(a.t.Location, b.t.Location),
			slices.Compare(a.own[:], b.own[:]))
	})
	for _, p := range places {
		out = append(out, p.t)
	}
	for _, w := range slices.SortedStableFunc(slices.Values(s.was.Fleet.Wheels), func(a, b *wheel.Wheel) int {
		return cmp.Or(cmp.Compare(a.Car.ID, b.Car.ID), cmp.Compare(a.Position.Axle, b.Position.Axle))
	}) {
		t := Thing{Key: wheelKey(w), Location: w.Car.ID, Kind: "wheel", Last: day(w.Date),
			Columns: wheelColumns(w, s.was.Columns), Trace: w.Profile != ""}
		if m := w.Mate(); m != nil {
			t.Mate = wheelKey(m)
		}
		out = append(out, t)
	}
	return out
}

// placeColumns are the columns that are read at a place.
func placeColumns(f *track.Feature, specs map[string]measure.Spec) (out []Column) {
	for _, c := range f.Kind.Columns() {
		x := Column{Name: c.Name, Unit: c.Unit, Meaning: c.Meaning}
		switch q, ok := track.QuantityOf(c.Name); {
		case ok && slices.Contains(f.Measured(), q):
			x.Last, x.Notches = f.Read(q).Written, notches(specs[c.Name])
		case c.Name == "marks":
			x.Words, x.Many, x.Last = f.Kind.Marks(), true, seen(f.Marks)
		case c.Name == "condition":
			x.Words, x.Last = []string{"good", "worn", "poor"}, f.Condition
		case c.Name == "note":
		default:
			continue
		}
		out = append(out, x)
	}
	return out
}

// wheelColumns are the columns that are read of a wheel, with its last texts if it is not nil.
func wheelColumns(w *wheel.Wheel, specs map[string]measure.Spec) (out []Column) {
	if w == nil {
		w = &wheel.Wheel{}
	}
	for _, c := range wheel.Columns(wheel.WheelSheet) {
		x := Column{Name: c.Name, Unit: c.Unit, Meaning: c.Meaning}
		switch q, ok := c.Reads(); {
		case ok:
			x.Last, x.Notches = w.Own(q).Written, notches(specs[c.Name])
		case c.Name == "marks":
			x.Words, x.Many, x.Last = wheel.Marks(), true, seen(w.Marks)
		case c.Name == "note":
		default:
			continue
		}
		out = append(out, x)
	}
	return out
}

// notches are the signs of a gauge's notch that did not touch and of one that did, as the bounds say how to write them.
func notches(c measure.Spec) (signs []string) {
	for _, word := range strings.Fields(c.Notch) {
		if word[0] == '<' || word[0] == '>' {
			signs = append(signs, strings.TrimRight(word, "0123456789-/"))
		}
	}
	return signs
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

func wheelKey(w *wheel.Wheel) string { return "wheel/" + w.Name() }

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

// change lays the entries of a thing on its row; at is where its last row stands.
func (s *Session) change(key string, at measure.Place) survey.Change {
	return survey.Change{Place: at, Date: s.things[key].date, Sets: maps.Clone(s.entries[key]), Keeps: keeps}
}

// Files are the survey's files with the entries of the day.
func (s *Session) Files() (map[string][]byte, error) {
	byFile := map[string][]survey.Change{}
	for _, key := range slices.Sorted(maps.Keys(s.entries)) {
		if len(s.entries[key]) == 0 {
			continue
		}
		k := s.things[key]
		byFile[k.file] = append(byFile[k.file], s.change(key, k.at))
	}
	out := maps.Clone(s.given)
	for file, list := range byFile {
		text, err := survey.Continued(s.files[file], list, s.day)
		if err != nil {
			return nil, err
		}
		out[file] = text
	}
	if len(byFile) > 0 && s.dated {
		out[railroad] = s.files[railroad]
	}
	return out, nil
}

// Answer is the result of an entry.
type Answer struct {
	// Wrong is why an entry is not taken; Odd what is to be looked at again.
	Wrong    string    `json:"wrong,omitempty"`
	Odd      []string  `json:"odd,omitempty"`
	Verdicts []Verdict `json:"verdicts"`
	// Missing are the readings that pairs of the thing wait for.
	Missing []string `json:"missing,omitempty"`
	More    int      `json:"more,omitempty"` // verdicts that are no worse and not told
	Away    int      `json:"away,omitempty"` // places where the wheel's car does not go, which are not told of
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
	// By is what has judged if it is more than the plain rule, Says what was seen and tells against it.
	By   string   `json:"by,omitempty"`
	Says []string `json:"says,omitempty"`
}

// rehearsal is an entry that was tried, what it would make of the survey, and its answer.
type rehearsal struct {
	of      Entry
	entries map[string]map[string]string
	now     *survey.Survey
	answer  Answer
}

// Enter takes an entry and judges its place or its wheel. One that cannot be read is not taken and says why.
func (s *Session) Enter(e Entry) (Answer, error) {
	tried := s.rehearsed
	s.rehearsed = nil
	if tried != nil && tried.of == e {
		s.entries, s.now = tried.entries, tried.now
		return tried.answer, nil
	}
	before, had := s.entries[e.Key][e.Column]
	wrong, odd, err := s.enter(e)
	if err != nil {
		return Answer{}, err
	}
	if wrong != "" {
		if s.put(e.Key, e.Column, ""); had {
			s.put(e.Key, e.Column, before)
		}
	}
	a, err := s.judge(e.Key, mostTold)
	a.Wrong, a.Odd = wrong, odd
	return a, err
}

// Rehearse takes an entry on a copy, which counts when it is entered next, so that nobody waits for it then. Code of a
// page runs slowly the first times, too.
func (s *Session) Rehearse(e Entry) (Answer, error) {
	try, now := *s, *s.now
	try.now, try.entries, try.rehearsed = &now, maps.Clone(s.entries), nil
	try.entries[e.Key] = maps.Clone(s.entries[e.Key])
	a, err := try.Enter(e)
	if s.rehearsed = nil; err == nil {
		s.rehearsed = &rehearsal{e, try.entries, try.now, a}
	}
	return a, err
}

func (s *Session) enter(e Entry) (wrong string, odd []string, err error) {
	k, ok := s.things[e.Key]
	if !ok {
		return "", nil, fmt.Errorf("%w: there is no %s", ErrEntry, e.Key)
	}
	if k.date.Known() && k.date > s.day {
		return fmt.Sprintf("%s was read on %s, and the day of these readings is %s: set the day", e.Key, k.date, s.day),
			nil, nil
	}
	if !s.takes(k, e.Column) {
		return "", nil, fmt.Errorf("%w: %s has no %s", ErrEntry, e.Key, e.Column)
	}
	if len(e.Text) > mostText {
		return fmt.Sprintf("the entry is longer than %d bytes", mostText), nil, nil
	}
	s.put(e.Key, e.Column, strings.TrimSpace(e.Text))
	warnings, err := s.reread(e.Key)
	var list measure.ProblemsError
	if errors.As(err, &list) {
		return s.words(list, e.Column), nil, nil
	}
	if err != nil {
		return "", nil, err
	}
	for _, w := range warnings {
		if !s.odds[w.Text] {
			odd = append(odd, w.Text)
		}
	}
	return "", odd, nil
}

func (s *Session) words(list measure.ProblemsError, column string) string {
	var wrong []string
	for _, p := range list {
		text := p.What
		if p.Field != column {
			text = p.Field + ": " + text
		}
		if p.Expected != "" {
			text += " (" + p.Expected + ")"
		}
		wrong = append(wrong, text)
	}
	return strings.Join(wrong, "; ")
}

// takes reports whether a column of a thing is read in a yard.
func (s *Session) takes(k *known, column string) bool {
	var columns []Column
	if k.f != nil {
		columns = placeColumns(k.f, s.was.Columns)
	} else {
		columns = wheelColumns(nil, s.was.Columns)
	}
	return slices.ContainsFunc(columns, func(c Column) bool { return c.Name == column })
}

func (s *Session) put(key, column, text string) {
	if s.entries[key] == nil {
		s.entries[key] = map[string]string{}
	}
	if s.entries[key][column] = text; text == "" {
		delete(s.entries[key], column)
	}
}

// reread reads the rows of a thing anew, a wheel with its whole car, and lays them into the survey of now.
func (s *Session) reread(key string) ([]measure.Warning, error) {
	k := s.things[key]
	sheets := map[string][]byte{}
	if k.f != nil {
		text, err := s.part(k.file, []string{key})
		if err != nil {
			return nil, err
		}
		sheets[k.file] = text
		_, features, warnings, err := s.was.Reread(sheets)
		if err != nil {
			return nil, err
		}
		next := &track.Track{Features: slices.Clone(s.now.Track.Features)}
		i := slices.IndexFunc(next.Features, func(f *track.Feature) bool { return f.Name() == key })
		if len(features.Features) != 1 || i < 0 {
			return nil, fmt.Errorf("%w: the rows of %s are others now", ErrEntry, key)
		}
		next.Features[i] = features.Features[0]
		s.now.Track = next
		return warnings, nil
	}
	var of []string
	for _, w := range s.was.Fleet.Wheels {
		if w.Car == k.w.Car {
			of = append(of, wheelKey(w))
		}
	}
	text, err := s.part(wheelFile, of)
	if err != nil {
		return nil, err
	}
	sheets[wheelFile] = text
	if _, ok := s.files[carFile]; ok {
		if sheets[carFile], err = s.carRow(k.w.Car); err != nil {
			return nil, err
		}
	}
	fleet, _, warnings, err := s.was.Reread(sheets)
	if err != nil {
		return nil, err
	}
	next := &wheel.Fleet{}
	for _, c := range s.now.Fleet.Cars {
		if c.ID == k.w.Car.ID {
			c = fleet.Car(c.ID)
		}
		if c == nil {
			return nil, fmt.Errorf("%w: the rows of %s are others now", ErrEntry, key)
		}
		next.Cars = append(next.Cars, c)
	}
	read := fleet.Wheels
	for _, w := range s.now.Fleet.Wheels {
		if w.Car.ID == k.w.Car.ID {
			if len(read) == 0 {
				return nil, fmt.Errorf("%w: the rows of %s are others now", ErrEntry, key)
			}
			w, read = read[0], read[1:]
		}
		next.Wheels = append(next.Wheels, w)
	}
	s.now.Fleet = next
	return warnings, nil
}

// part is a sheet with the rows of some things alone, and what was entered of them.
func (s *Session) part(file string, keys []string) ([]byte, error) {
	from, err := s.sheet(file)
	if err != nil {
		return nil, err
	}
	var lines []int
	for _, key := range keys {
		lines = append(lines, s.things[key].lines...)
	}
	text, now, err := from.only(lines)
	if err != nil {
		return nil, err
	}
	var list []survey.Change
	for _, key := range keys {
		if len(s.entries[key]) > 0 {
			at := s.things[key].at
			at.Line = now[at.Line]
			list = append(list, s.change(key, at))
		}
	}
	if len(list) == 0 {
		return text, nil
	}
	return survey.Continued(text, list, s.day)
}

func (s *Session) carRow(c *wheel.Car) ([]byte, error) {
	from, err := s.sheet(carFile)
	if err != nil {
		return nil, err
	}
	var lines []int
	if c.Place.File == carFile {
		lines = append(lines, c.Place.Line)
	}
	text, _, err := from.only(lines)
	return text, err
}

func (s *Session) sheet(file string) (*rows, error) {
	if r, ok := s.sheets[file]; ok {
		return r, nil
	}
	r, err := rowsOf(s.files[file])
	s.sheets[file] = r
	return r, err
}

// whole reads the survey with all entries anew.
func (s *Session) whole() (*survey.Survey, error) {
	files, err := s.Files()
	if err != nil {
		return nil, err
	}
	if text, ok := s.files[railroad]; ok {
		files[railroad] = text
	}
	return survey.ReadFS(memory(files), s.data)
}

// Prepare prepares what the next entry of a thing is judged against, so that it need not wait: what was entered on that
// side since, and so many more cars or places. It reports whether some are left.
func (s *Session) Prepare(key string, most int) (more bool) {
	one, e, done := *s.now, &s.toPlaces, 0
	if strings.HasPrefix(key, "wheel/") {
		e, one.Fleet = &s.toWheels, &wheel.Fleet{}
		if *e != nil {
			done = len((*e).Survey.Track.Features)
		}
		if len(one.Track.Features)-done > most {
			one.Track, more = &track.Track{Features: one.Track.Features[:done+most]}, true
		}
	} else {
		one.Track = &track.Track{}
		if *e != nil {
			done = len((*e).Survey.Fleet.Cars)
		}
		if len(one.Fleet.Cars)-done > most {
			cars := map[*wheel.Car]bool{}
			for _, c := range one.Fleet.Cars[:done+most] {
				cars[c] = true
			}
			one.Fleet, more = one.Fleet.Only(func(c *wheel.Car) bool { return cars[c] }), true
		}
	}
	switch {
	case *e == nil:
		*e = judge.New(&one, s.book, interaction.Options{NoLimits: true})
	case e == &s.toPlaces && s.toPlaces.Survey.Fleet != one.Fleet,
		e == &s.toWheels && s.toWheels.Survey.Track != one.Track:
		*e = (*e).With(&one, interaction.Options{NoLimits: true})
	}
	return more
}

// Judge judges a place or a wheel by the plain rules, with the entries there are.
func (s *Session) Judge(key string) (Answer, error) { return s.judge(key, math.MaxInt) }

func (s *Session) judge(key string, most int) (Answer, error) {
	k, ok := s.things[key]
	if !ok {
		return Answer{}, fmt.Errorf("%w: there is no %s", ErrEntry, key)
	}
	s.Prepare(key, math.MaxInt)
	if k.f != nil {
		one := *s.now
		one.Fleet, one.Track = s.toPlaces.Survey.Fleet, s.now.Track.Only(map[string]bool{key: true})
		return s.answer(key, s.toPlaces.With(&one, interaction.Options{NoLimits: true}), most), nil
	}
	one := *s.now
	one.Track = s.toWheels.Survey.Track
	one.Fleet = s.now.Fleet.Only(func(c *wheel.Car) bool { return c.ID == k.w.Car.ID })
	return s.answer(key, s.toWheels.With(&one, interaction.Options{NoLimits: true}), most), nil
}

// Checks are the checks that judge a thing by shapes and forces or by what was seen, in their order.
func (s *Session) Checks(key string) (out []string) {
	k, ok := s.things[key]
	if !ok {
		return nil
	}
	for _, c := range interaction.Checks() {
		if k.f != nil && c.Applies(k.f) || k.f == nil && slices.ContainsFunc(s.was.Track.Features, c.Applies) {
			out = append(out, c.ID)
		}
	}
	return out
}

// Computed judges a thing at one check as `flangeway check` does: by shapes and forces, and by what was seen.
func (s *Session) Computed(key, check string) (Answer, error) {
	k, ok := s.things[key]
	if !ok {
		return Answer{}, fmt.Errorf("%w: there is no %s", ErrEntry, key)
	}
	one := *s.now
	if k.f != nil {
		one.Track = s.now.Track.Only(map[string]bool{key: true})
	} else {
		one.Fleet = s.now.Fleet.Only(func(c *wheel.Car) bool { return c.ID == k.w.Car.ID })
		one.Track = s.metBy(k.w.Car)
	}
	e := judge.New(&one, s.book, interaction.Options{Check: check, NoLimits: true})
	var err error
	if s.computed != nil {
		_, err = e.ComputeBeside(s.computed)
	} else {
		_, err = e.Compute()
	}
	if err != nil {
		return Answer{}, err
	}
	s.computed = e
	return s.answer(key, e, math.MaxInt), nil
}

// metBy is the places that a car goes to, by the tracks, the jobs and the traffic of the survey.
func (s *Session) metBy(c *wheel.Car) *track.Track {
	out := &track.Track{}
	for _, f := range s.now.Track.Features {
		if s.goes.Meets(c, f) {
			out.Features = append(out.Features, f)
		}
	}
	return out
}

// mostTold is of how many checks and places an entry's answer tells, the worst first; the others are no worse, and told
// when somebody asks (Judge).
const mostTold = 10

// answer is an engine's verdicts on a thing, at most so many of them.
func (s *Session) answer(key string, e *judge.Engine, most int) Answer {
	r := e.Judge()
	a := Answer{Verdicts: []Verdict{}}
	list := make([]*judge.Tally, 0, len(r.Tallies))
	w := s.things[key].w
	for i := range r.Tallies {
		if t := &r.Tallies[i]; w == nil || s.goes.Meets(w.Car, t.Feature) {
			list = append(list, t)
		}
	}
	if w != nil {
		a.Away = len(s.now.Track.Features) - len(s.metBy(w.Car).Features)
	}
	slices.SortStableFunc(list, func(x, y *judge.Tally) int { return cmp.Compare(worst(x), worst(y)) })
	asked := map[*interaction.Check]int{} // of how many places it is told what is missing
	for i, t := range list {
		unread := worst(t) == interaction.NotMeasured && asked[t.Check] < mostAsked
		if i >= most && !unread {
			continue
		}
		f := r.Worst(t)
		if unread {
			asked[t.Check]++
			for _, name := range f.Settle() {
				if s.has(key, name) {
					a.Missing = append(a.Missing, name)
				}
			}
		}
		if i < most {
			a.Verdicts = append(a.Verdicts, told(t, f, e.Computing()))
		}
	}
	a.More = len(list) - len(a.Verdicts)
	slices.Sort(a.Missing)
	a.Missing = slices.Compact(a.Missing)
	return a
}

// mostAsked is at how many places it is looked at what a check waits for: it is the same at most of them.
const mostAsked = 3

// worst is the worst verdict of a tally.
func worst(t *judge.Tally) interaction.Verdict {
	for v := range interaction.NumVerdicts {
		if t.Counts[v] > 0 {
			return v
		}
	}
	return interaction.NumVerdicts
}

// told is a tally with its worst pair, in words.
func told(t *judge.Tally, f *judge.Finding, computing bool) Verdict {
	v := Verdict{Check: t.Check.ID, Feature: t.Feature.Name(), Verdict: f.Verdict.String(), Happens: t.Check.Happens,
		Worst: f.Wheel.Name(), Margin: margin(f.Margin),
		Conflict: t.Counts[interaction.Conflict], Open: t.Counts[interaction.Undecided],
		Unread: t.Counts[interaction.NotMeasured], Clear: t.Counts[interaction.Clear]}
	if f.Verdict != interaction.Clear {
		v.Settle = f.Settle()
		v.Fix = append(slices.Clone(f.FixTrack), f.FixWheel...)
	}
	if computing {
		v.By = "readings and what was seen"
		if f.Computed != nil {
			v.By = "shapes and forces"
		}
		for _, x := range f.Evidence {
			v.Says = append(v.Says, x.Text())
		}
	}
	return v
}

// has reports whether a thing has a reading.
func (s *Session) has(key, column string) bool {
	k := s.things[key]
	if k.f == nil {
		_, ok := wheel.QuantityOf(column)
		return ok
	}
	q, ok := track.QuantityOf(column)
	return ok && slices.Contains(k.f.Measured(), q)
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

// Take takes entries that were kept, and no others. Those that cannot be taken any more are given back.
func (s *Session) Take(list []Entry) (refused []Entry, _ error) {
	s.entries, s.rehearsed = map[string]map[string]string{}, nil
	one := *s.was
	s.now, s.toPlaces, s.toWheels = &one, nil, nil
	var fine []Entry
	for _, e := range list {
		k, ok := s.things[e.Key]
		if !ok || len(e.Text) > mostText || !s.takes(k, e.Column) || k.date.Known() && k.date > s.day {
			refused = append(refused, e)
			continue
		}
		fine = append(fine, e)
		s.put(e.Key, e.Column, strings.TrimSpace(e.Text))
	}
	sv, err := s.whole()
	if err == nil {
		s.now = sv
		return refused, nil
	}
	// One of them is wrong: they are taken one by one.
	s.entries = map[string]map[string]string{}
	for _, e := range fine {
		before, had := s.entries[e.Key][e.Column]
		wrong, _, err := s.enter(e)
		if err == nil && wrong == "" {
			continue
		}
		if s.put(e.Key, e.Column, ""); had {
			s.put(e.Key, e.Column, before)
		}
		refused = append(refused, e)
	}
	s.now, err = s.whole()
	return refused, err
}

// Changed are the sheets that the entries change, whole, and what says how they are read: the settings, the limits and
// the traces beside them. With these they are a survey of their own, which can be checked and merged with another's.
func (s *Session) Changed() (map[string][]byte, error) {
	files, err := s.Files()
	if err != nil {
		return nil, err
	}
	out, beside := map[string][]byte{}, map[string][]byte{}
	for name, text := range files {
		switch {
		case !slices.Contains(survey.SheetFiles(), name):
			beside[name] = text
		case string(text) != string(s.given[name]):
			out[name] = text
		}
	}
	if len(out) > 0 {
		maps.Copy(out, beside)
	}
	return out, nil
}

// Workbook is the survey's sheets as they now stand, in one workbook. Settings, limits and traces stay beside it.
func (s *Session) Workbook() ([]byte, error) {
	files, err := s.Files()
	if err != nil {
		return nil, err
	}
	var sheets []sheet.TextSheet
	for _, name := range survey.SheetFiles() {
		text, ok := files[name]
		stem, isCSV := strings.CutSuffix(name, ".csv")
		if !ok || !isCSV {
			continue
		}
		list, err := sheet.Rows(text)
		if err != nil {
			return nil, err
		}
		sheets = append(sheets, sheet.TextSheet{Name: stem, Rows: list})
	}
	return sheet.WriteTexts(sheets)
}
