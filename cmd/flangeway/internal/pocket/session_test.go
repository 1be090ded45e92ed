package pocket

import (
	"bytes"
	"encoding/csv"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// demo is the demo survey's files.
func demo(t testing.TB) map[string][]byte {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "..", "testdata", "demo")
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, e := range entries {
		if e.Name() == "README.md" { // no file of the survey
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = text
	}
	return files
}

func open(t testing.TB, files map[string][]byte, day string) *Session {
	t.Helper()
	s, err := Open(files, day)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func enter(t testing.TB, s *Session, key, column, text string) Answer {
	t.Helper()
	a, err := s.Enter(Entry{key, column, text})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func (a Answer) of(check string) Verdict {
	i := slices.IndexFunc(a.Verdicts, func(v Verdict) bool { return v.Check == check })
	if i < 0 {
		return Verdict{}
	}
	return a.Verdicts[i]
}

// TestReadings: a day's readings are a new row of their own, are judged at once, and what was not read is not measured.
func TestReadings(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-10-31")
	a := enter(t, s, "frog/F4", "flangeway_depth", "1-7/8")
	if a.Wrong != "" || a.of("frog-floor").Conflict > 0 || a.of("frog-floor").Clear < 300 ||
		a.of("frog-point").Verdict != "not measured" || !slices.Contains(a.Missing, "guard_check") {
		t.Errorf("a deep frog: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "flangeway_depth", "1"); a.of("frog-floor").Verdict != "conflict" ||
		a.of("frog-floor").Conflict == 0 || len(a.of("frog-floor").Fix) == 0 {
		t.Errorf("a shallow frog: %+v", a.of("frog-floor"))
	}
	if a = enter(t, s, "frog/F4", "flangeway_depth", "8-Jan"); !strings.Contains(a.Wrong, "date") ||
		a.of("frog-floor").Verdict != "conflict" {
		t.Errorf("a date: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "guard_check", "52"); a.Wrong != "" || len(a.Odd) == 0 &&
		a.of("frog-point").Verdict != "conflict" {
		t.Errorf("an odd guard check: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "guard_check", ""); a.of("frog-point").Verdict != "not measured" {
		t.Errorf("taken back: %+v", a.of("frog-point"))
	}
	if a = enter(t, s, "wheel/WPV 1204 L2", "flange_height", "1-7/16"); a.Wrong != "" ||
		a.of("frog-floor").Conflict == 0 {
		t.Errorf("a high flange: %+v", a)
	}
	if a = enter(t, s, "frog/F4", "marks", "floor_bright point_nicked"); a.Wrong != "" {
		t.Errorf("marks: %+v", a)
	}
	files, err := s.Changed()
	if err != nil {
		t.Fatal(err)
	}
	saved, want := slices.Sorted(maps.Keys(files)),
		[]string{"frogs.csv", "house-rules.yaml", "railroad.yaml", "wheels.csv"}
	if !slices.Equal(saved, want) {
		t.Fatalf("saved are %v", saved)
	}
	rows, err := csv.NewReader(bytes.NewReader(files["frogs.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var row []string
	for _, r := range rows[1:] {
		cells := map[string]string{}
		for i, c := range r {
			cells[rows[0][i]] = c
		}
		if cells["frog"] == "F4" && cells["date"] == "2026-10-31" {
			for _, c := range rows[0] {
				if cells[c] != "" {
					row = append(row, c+" "+cells[c])
				}
			}
		}
	}
	if got := strings.Join(row, ", "); got != "location Pinder yard west lead, frog F4, number 8, type rbm, "+
		"track_class 1, holding fair, flangeway_depth 1, date 2026-10-31, marks floor_bright point_nicked" {
		t.Errorf("the row of today is %q", got)
	}
	all, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for name, text := range all {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := survey.Read(dir); err != nil {
		t.Error(err)
	}
}

// TestKept: what was kept is taken again, whole; what cannot be taken is given back and takes nothing with it.
func TestKept(t *testing.T) {
	t.Parallel()
	files := demo(t)
	one, other := open(t, files, "2026-10-31"), open(t, files, "2026-10-31")
	list := []Entry{{"frog/F4", "flangeway_depth", "1-5/8"}, {"frog/F4", "guard_check", "54-5/8"},
		{"joint/J1", "bar_depth", "1-1/4"}}
	for _, e := range list {
		enter(t, one, e.Key, e.Column, e.Text)
	}
	refused, err := other.Take(append(list, Entry{"frog/NONE", "gauge", "57"}, Entry{"frog/F1", "gauge", "1/2"},
		Entry{"frog/F1", "number", "12"}))
	if err != nil || len(refused) != 3 {
		t.Errorf("refused: %v, %v", refused, err)
	}
	a, err := one.Changed()
	if err != nil {
		t.Fatal(err)
	}
	b, err := other.Changed()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range a {
		if string(b[name]) != string(text) {
			t.Errorf("%s is\n%s\nand was\n%s", name, b[name], text)
		}
	}
}

// TestWalkingOrder: every place and every wheel once, a location in one piece, a car axle by axle.
func TestWalkingOrder(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-10-31")
	seen, done, last, things := map[string]bool{}, map[string]bool{}, "", s.Things()
	for _, x := range things {
		if seen[x.Key] || len(x.Columns) == 0 {
			t.Errorf("%s stands twice or has nothing to read", x.Key)
		}
		seen[x.Key] = true
		if x.Location != last {
			if done[x.Location] {
				t.Errorf("%s is walked to twice", x.Location)
			}
			done[x.Location], last = true, x.Location
		}
	}
	for i, x := range things {
		if strings.Contains(x.Key, " L") && x.Mate != "" && things[i+1].Key != x.Mate {
			t.Errorf("behind %s stands %s and not %s: who reads on passes over axles", x.Key, things[i+1].Key, x.Mate)
		}
	}
	if len(seen) != len(s.was.Track.Features)+len(s.was.Fleet.Wheels) {
		t.Errorf("%d things, %d places and %d wheels", len(seen), len(s.was.Track.Features), len(s.was.Fleet.Wheels))
	}
}

// TestWalkAlongTracks: what lies on a track is read in its order, the rest behind it.
func TestWalkAlongTracks(t *testing.T) {
	t.Parallel()
	files := yard()
	files["switches.csv"] = []byte("location,switch,direction\nwest,S1,facing\nwest,S2,facing\nold yard,S3,facing\n")
	files["frogs.csv"] = []byte("location,frog,number\nold yard,F3,8\nwest,F1,8\nwest,F2,8\nrip,F4,8\n")
	files["tracks.csv"] = []byte("track,order,location,feature,direction\nlead,2,,frog/F1,\nlead,1,,switch/S1,facing\n" +
		"back,1,rip,,\nback,2,,switch/S1,\n")
	var got []string
	for _, x := range open(t, files, "2026-10-31").Things() {
		if x.Kind != "wheel" {
			got = append(got, x.Key)
		}
	}
	want := []string{"switch/S1", "frog/F1", "frog/F2", "switch/S2", "frog/F4", "frog/F3", "switch/S3"}
	if !slices.Equal(got, want) {
		t.Errorf("walked is %v, want %v", got, want)
	}
}

// TestPlacesOfACar: a car is judged at the places where its jobs take it, and the others are counted; a place is judged
// against every car.
func TestPlacesOfACar(t *testing.T) {
	t.Parallel()
	files := yard()
	files["frogs.csv"] = []byte("location,frog,number,type,flangeway_depth,flangeway_width\nlead,F1,8,rbm,1,1-7/8\n" +
		"rip,F2,8,rbm,1,1-7/8\n")
	files["tracks.csv"] = []byte("track,order,location,feature,direction\nlead,1,,frog/F1,\nrip track,1,,frog/F2,\n")
	files["jobs.csv"] = []byte("job,tracks,cars,trips_per_year\nyard job,lead,A 1,250\n")
	s := open(t, files, "2026-10-31")
	for _, tc := range []struct{ name, key, column, text, at string }{
		{"a wheel, where its car goes", "wheel/A 1 L1", "flange_height", "1-1/4", "frog/F1"},
		{"a place where no car goes", "frog/F2", "flangeway_depth", "1", "frog/F2"},
	} {
		a := enter(t, s, tc.key, tc.column, tc.text)
		computed, err := s.Computed(tc.key, "frog-floor")
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []Answer{a, computed} {
			if want := map[bool]int{true: 1}[tc.key[0] == 'w']; x.Away != want || len(x.Verdicts) == 0 {
				t.Errorf("%s: %d places left out, %d verdicts; want %d and some", tc.name, x.Away,
					len(x.Verdicts), want)
			}
			for _, v := range x.Verdicts {
				if v.Feature != tc.at {
					t.Errorf("%s: judged at %s, want %s alone", tc.name, v.Feature, tc.at)
				}
			}
		}
	}
}

// slow judges a thing of the whole survey read anew: what the quick way has to equal.
func (s *Session) slow(t testing.TB, key string) Answer {
	t.Helper()
	sv, err := s.whole()
	if err != nil {
		t.Fatal(err)
	}
	book, err := sv.Book()
	if err != nil {
		t.Fatal(err)
	}
	one := *sv
	if id, ok := strings.CutPrefix(key, "wheel/"); ok {
		car := id[:strings.LastIndexByte(id, ' ')]
		one.Fleet = sv.Fleet.Only(func(c *wheel.Car) bool { return c.ID == car })
	} else {
		one.Track = sv.Track.Only(map[string]bool{key: true})
	}
	return s.answer(key, judge.New(&one, book, interaction.Options{}), mostTold)
}

// TestQuickIsWhole: rows that are read alone, against what was prepared before, give the answer of the whole survey,
// also when the other side has changed in between.
func TestQuickIsWhole(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-11-30")
	kinds, n, things := map[string]bool{}, 0, s.Things()
	for i, x := range things {
		if x.Kind == "wheel" && i%97 > 0 || x.Kind != "wheel" && kinds[x.Kind] && i%9 > 0 {
			continue
		}
		kinds[x.Kind] = true
		for _, c := range x.Columns {
			text := c.Last
			if c.Unit != "in" && c.Unit != "mm" || i%2 > 0 && text == "" {
				continue
			}
			if text == "" {
				text = "1/8"
			}
			if n++; n%5 == 0 {
				s.Prepare(things[n%len(things)].Key, 3) // in parts, the last of which the next entry makes
			}
			if a := enter(t, s, x.Key, c.Name, text); n%17 == 0 && a.Wrong == "" && a.Odd == nil {
				if want := s.slow(t, x.Key); !reflect.DeepEqual(a, want) {
					t.Fatalf("%s %s %s: %+v\nwant %+v", x.Key, c.Name, text, a, want)
				}
			}
		}
	}
	if len(kinds) < 6 {
		t.Errorf("kinds: %v", kinds)
	}
}

// TestRehearse: what is rehearsed changes nothing.
func TestRehearse(t *testing.T) {
	t.Parallel()
	s, other := open(t, demo(t), "2026-11-30"), open(t, demo(t), "2026-11-30")
	kinds := map[string]string{}
	for _, x := range s.Things() {
		kinds[x.Kind] = x.Key
	}
	for _, x := range s.Things() {
		if kinds[x.Kind] != x.Key {
			continue
		}
		for _, c := range x.Columns {
			if _, err := s.Rehearse(Entry{x.Key, c.Name, c.Last}); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, key := range kinds {
		got, err := s.Judge(key)
		if err != nil {
			t.Fatal(err)
		}
		if want, err := other.Judge(key); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, %v\nwant %+v", key, got, err, want)
		}
	}
	if files, err := s.Changed(); err != nil || len(files) > 0 {
		t.Errorf("saved are %v, %v", files, err)
	}
}

// TestRehearsed: an entry that was rehearsed before comes to the same, whatever else was rehearsed, entered or taken
// between.
func TestRehearsed(t *testing.T) {
	t.Parallel()
	s, other := open(t, demo(t), "2026-11-30"), open(t, demo(t), "2026-11-30")
	rehearse := func(e Entry) {
		t.Helper()
		if _, err := s.Rehearse(e); err != nil {
			t.Fatal(err)
		}
	}
	deep, shallow := Entry{"frog/F4", "flangeway_depth", "1-7/8"}, Entry{"frog/F4", "flangeway_depth", "1"}
	wheel := Entry{"wheel/WPV 1204 L1", "flange_height", "1-1/4"}
	for i, step := range []struct {
		before []Entry
		e      Entry
	}{
		{[]Entry{deep}, deep}, {[]Entry{shallow, deep}, shallow}, {[]Entry{deep, shallow}, deep},
		{[]Entry{wheel}, shallow}, {[]Entry{wheel}, wheel},
		{[]Entry{{deep.Key, deep.Column, "1-"}}, Entry{deep.Key, deep.Column, "1-"}},
		{[]Entry{{deep.Key, deep.Column, ""}}, Entry{deep.Key, deep.Column, ""}}, {nil, deep},
		{[]Entry{{wheel.Key, "flange_thickness", "1"}}, Entry{wheel.Key, "flange_thickness", "1"}},
	} {
		for _, e := range step.before {
			rehearse(e)
		}
		if i == 3 { // what was taken makes what was rehearsed another thing
			rehearse(shallow)
			for _, s := range []*Session{s, other} {
				if _, err := s.Take([]Entry{{deep.Key, "guard_check", "54-1/2"}}); err != nil {
					t.Fatal(err)
				}
			}
		}
		got, err := s.Enter(step.e)
		if err != nil {
			t.Fatal(err)
		}
		want, err := other.Enter(step.e)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%d: %v: %+v, %v\nwant %+v", i, step.e, got, err, want)
		}
		files, err := s.Changed()
		if err != nil {
			t.Fatal(err)
		}
		if want, err := other.Changed(); err != nil || !reflect.DeepEqual(files, want) {
			t.Errorf("%d: %v: %s, %v\nwant %s", i, step.e, files, err, want)
		}
	}
}

// TestDayOfReadings: a survey with an older date is one of the day of the readings, and says so in what is saved; a
// device whose clock is behind is told.
func TestDayOfReadings(t *testing.T) {
	t.Parallel()
	files := demo(t)
	s := open(t, files, "2026-11-30")
	if a := enter(t, s, "frog/F4", "flangeway_depth", "1-7/8"); a.Wrong != "" || a.of("frog-floor").Clear == 0 {
		t.Fatalf("a month later: %+v", a)
	}
	changed, err := s.Changed()
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(string(files["railroad.yaml"]), "date: 2026-10-31", "date: 2026-11-30", 1)
	if got := string(changed["railroad.yaml"]); got != want || len(changed) != 3 {
		t.Errorf("%d files, railroad.yaml is\n%s", len(changed), got)
	}
	s = open(t, files, "2026-10-01")
	if a := enter(t, s, "frog/F4", "flangeway_depth", "1-7/8"); !strings.Contains(a.Wrong, "set the day") {
		t.Errorf("a clock that is behind: %+v", a)
	}
	if changed, err = s.Changed(); err != nil || len(changed) > 0 {
		t.Errorf("and something was taken: %v, %v", changed, err)
	}
	delete(files, "railroad.yaml")
	delete(files, "house-rules.yaml")
	s = open(t, files, "2026-11-30")
	enter(t, s, "frog/F4", "flangeway_depth", "1-7/8")
	if changed, err = s.Changed(); err != nil || len(changed) != 1 {
		t.Errorf("without settings of its own: %v, %v", changed, err)
	}
}

// TestOdd: what is odd is asked at once: heights of an axle that differ, a guard check that does not close.
func TestOdd(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-10-31")
	enter(t, s, "wheel/WPV 1204 L2", "flange_height", "1-1/8")
	if a := enter(t, s, "wheel/WPV 1204 R2", "flange_height", "1-3/8"); len(a.Odd) != 1 ||
		!strings.Contains(a.Odd[0], "differs by 1/4 in or more") {
		t.Errorf("an odd mate: %q", a.Odd)
	}
	if a := enter(t, s, "wheel/WPV 1204 R2", "flange_height", "1-5/16"); len(a.Odd) != 0 {
		t.Errorf("a likely mate: %q", a.Odd)
	}
	enter(t, s, "frog/F4", "gauge", "56-1/2")
	enter(t, s, "frog/F4", "guard_check", "54-5/8")
	if a := enter(t, s, "frog/F4", "guard_flangeway", "2-3/8"); len(a.Odd) != 1 ||
		!strings.Contains(a.Odd[0], "guard_check is gauge less guard_flangeway") {
		t.Errorf("a guard check that does not close: %q", a.Odd)
	}
	if a := enter(t, s, "frog/F4", "guard_flangeway", "1-7/8"); len(a.Odd) != 0 {
		t.Errorf("one that does: %q", a.Odd)
	}
}

// TestSeen: a bright floor under a frog that is clear by its readings leaves it open, and asks for the depth again.
func TestSeen(t *testing.T) {
	t.Parallel()
	files := map[string][]byte{
		"frogs.csv": []byte("location,frog,number,type,flangeway_depth,flangeway_width,date\n" +
			"lead,F1,8,rbm,1-7/8,1-7/8,2026-10-01\n"),
		"wheels.csv": []byte("car,position,date,flange_height,flange_thickness,tread_hollow\n" +
			"A 1,L1,2026-10-01,1,1-1/8,1\nA 1,R1,2026-10-01,1,1-1/8,1\n"),
	}
	s := open(t, files, "2026-10-31")
	enter(t, s, "frog/F1", "flangeway_depth", "1-7/8")
	a := enter(t, s, "frog/F1", "marks", "floor_bright")
	if a.of("frog-floor").Verdict != "clear" {
		t.Errorf("by the plain rule: %+v", a.of("frog-floor"))
	}
	if list := s.Checks("frog/F1"); !slices.Contains(list, "frog-floor") {
		t.Fatalf("checks: %v", list)
	}
	a, err := s.Computed("frog/F1", "frog-floor")
	if err != nil {
		t.Fatal(err)
	}
	if v := a.of("frog-floor"); v.Verdict != "undecided" || v.By == "" || len(v.Says) == 0 ||
		!slices.Contains(v.Settle, "flangeway_depth") {
		t.Errorf("with what was seen: %+v", v)
	}
}

// TestNotches: what did not touch is written as the sheets say, and means what they say.
func TestNotches(t *testing.T) {
	t.Parallel()
	got := map[string][]string{}
	for _, x := range open(t, demo(t), "2026-10-31").Things() {
		for _, c := range x.Columns {
			if len(c.Notches) > 0 {
				got[c.Name] = c.Notches
			}
		}
	}
	want := map[string][]string{"flange_height": {"<", ">="}, "flange_thickness": {">", "<="},
		"vertical_flange": {"<", ">="}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("notches: %v", got)
	}
}

// TestWorkbook: the workbook is the survey that the sheets are.
func TestWorkbook(t *testing.T) {
	t.Parallel()
	s := open(t, demo(t), "2026-10-31")
	enter(t, s, "frog/F4", "flangeway_depth", "1-5/8+")
	enter(t, s, "frog/F4", "note", "=1+1 <b>&amp; \"quoted\"")
	enter(t, s, "wheel/WPV 1204 L2", "flange_height", "<1-1/2")
	data, err := s.Workbook()
	if err != nil {
		t.Fatal(err)
	}
	files, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	sheets, book := t.TempDir(), t.TempDir()
	for name, text := range files {
		for _, dir := range []string{sheets, book} {
			if dir == book && strings.HasSuffix(name, ".csv") {
				continue
			}
			if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	name := filepath.Join(book, "readings.xlsx")
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	a, err := survey.Read(sheets)
	if err != nil {
		t.Fatal(err)
	}
	b, err := survey.Read(name)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range a.Track.Features {
		g := b.Track.Features[i]
		for _, q := range f.Measured() {
			if g.Name() != f.Name() || g.Read(q).Written != f.Read(q).Written || g.Read(q).Lo != f.Read(q).Lo ||
				g.Note != f.Note {
				t.Errorf("%s %s: %v and %v", f.Name(), q, f.Read(q), g.Read(q))
			}
		}
	}
	for i, w := range a.Fleet.Wheels {
		if v := b.Fleet.Wheels[i]; v.Read(wheel.FlangeHeight).Written != w.Read(wheel.FlangeHeight).Written ||
			v.Date != w.Date {
			t.Errorf("%s %s: %v and %v", w.Car.ID, w.Position, w, v)
		}
	}
}

// written writes files into a new folder.
func written(t testing.TB, files map[string][]byte) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestTwoPhones: what two people read of one yard is one survey, on one day or on two; another value of one reading and
// day is an error with both places.
func TestTwoPhones(t *testing.T) {
	t.Parallel()
	phone := func(day string, entries ...Entry) string {
		start := yard()
		start["railroad.yaml"] = []byte("schema: 1\ndate: 2026-10-01\nunits: metric\nlimits: [federal, house.yaml]\n")
		start["house.yaml"] = demo(t)["house-rules.yaml"]
		start["frogs.csv"] = bytes.ReplaceAll(start["frogs.csv"], []byte("1-7/8"), []byte("1-7/8 in"))
		start["wheels.csv"] = bytes.ReplaceAll(start["wheels.csv"], []byte("1,1-1/8"), []byte("1 in,1-1/8 in"))
		s := open(t, start, day)
		for _, e := range entries {
			if a := enter(t, s, e.Key, e.Column, e.Text); a.Wrong != "" {
				t.Fatal(a.Wrong)
			}
		}
		files, err := s.Changed() // what it saves, and nothing else
		if err != nil {
			t.Fatal(err)
		}
		return written(t, files)
	}
	one := phone("2026-11-30", Entry{"frog/F1", "flangeway_depth", "1-3/4"},
		Entry{"wheel/A 1 L1", "flange_height", "<1-1/2"})
	other := phone("2026-11-30", Entry{"frog/F1", "flangeway_width", "1-7/8"},
		Entry{"wheel/A 1 R1", "flange_height", "1-1/8"})
	later := phone("2026-12-01", Entry{"frog/F1", "flangeway_depth", "1-5/8"})
	against := phone("2026-11-30", Entry{"frog/F1", "flangeway_depth", "1-1/2"})
	for _, c := range []struct{ a, b, depth, width string }{{one, other, "1-3/4", "1-7/8"}, {later, one, "1-5/8", ""}} {
		m, err := survey.Merge(c.a, c.b)
		if err != nil {
			t.Fatal(err)
		}
		files := map[string][]byte{}
		for _, f := range m.Files {
			files[f.Name] = f.Data
		}
		sv, err := survey.Read(written(t, files))
		if err != nil {
			t.Fatal(err)
		}
		f := sv.Track.Only(map[string]bool{"frog/F1": true}).Features[0]
		if f.Read(track.FlangewayDepth).Written != c.depth || f.Read(track.FlangewayWidth).Written != c.width {
			t.Errorf("merged: %v, %v", f.Read(track.FlangewayDepth), f.Read(track.FlangewayWidth))
		}
	}
	_, err := survey.Merge(one, against)
	if err == nil || strings.Count(err.Error(), "frogs.csv:") != 2 ||
		!strings.Contains(err.Error(), "nothing is chosen") {
		t.Errorf("two values of one day: %v", err)
	}
}

// TestLate: a device whose clock runs ahead gives rows that no survey takes before that day, unless it is dated so.
func TestLate(t *testing.T) {
	t.Parallel()
	files := yard()
	files["railroad.yaml"] = []byte("schema: 1\nlimits: [federal]\n")
	s := open(t, files, "2199-01-01")
	if a := enter(t, s, "frog/F1", "flangeway_depth", "1-3/4"); a.Wrong != "" {
		t.Fatal(a.Wrong)
	}
	all, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := survey.Read(written(t, all)); err == nil || !strings.Contains(err.Error(), "lies after") {
		t.Errorf("a row of 2199: %v", err)
	}
}

// TestClock: a survey without a date opens whatever the clock of the device says, and nothing is taken of a day before
// the last row.
func TestClock(t *testing.T) {
	t.Parallel()
	for last, day := range map[string]string{"2026-09-01": "2020-01-01", "2198-01-01": "2198-02-01"} {
		files := yard()
		files["railroad.yaml"] = []byte("schema: 1\nlimits: [federal]\n")
		files["frogs.csv"] = []byte("location,frog,number,type,flangeway_depth,flangeway_width,date\n" +
			"lead,F1,8,rbm,1-7/8,1-7/8," + last + "\n")
		s := open(t, files, day)
		if a := enter(t, s, "frog/F1", "flangeway_depth", "1-3/4"); strings.Contains(a.Wrong,
			"set the day") != (day < last) {
			t.Errorf("a row of %s, and it is %s: %q", last, day, a.Wrong)
		}
	}
}

func BenchmarkEnter(b *testing.B) {
	for _, e := range []Entry{{"frog/F4", "flangeway_depth", "1-7/8"},
		{"wheel/WPV 1204 L2", "flange_height", "1-1/4"}} {
		b.Run(e.Key, func(b *testing.B) {
			s := open(b, demo(b), "2026-10-31")
			s.Prepare(e.Key, math.MaxInt)
			for b.Loop() {
				enter(b, s, e.Key, e.Column, e.Text)
			}
		})
	}
}
