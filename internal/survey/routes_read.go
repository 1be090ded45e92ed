package survey

import (
	"cmp"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// The sheets of the operating department.
const (
	tracksSheet = "tracks"
	jobsSheet   = "jobs"
)

// trackRow is a row of tracks.csv before its names are looked up.
type trackRow struct {
	track, location, feature named
	direction                string
	order                    float64
	lost                     bool          // the order cannot be read
	place                    measure.Place // of the order, where a place standing twice is reported
}

// jobRow is a row of jobs.csv likewise.
type jobRow struct {
	job                  named
	tracks, cars, groups []named
	trips                float64
	tripsGiven           bool
}

// named is a name with the place where it stands; the name is blank if nothing does.
type named struct {
	name  string
	place measure.Place
}

// routeColumn is one column of tracks.csv or of jobs.csv. Its entry in the table is the only place where it is listed:
// headings, empty sheets and the cells of rows follow from it.
type routeColumn[T any] struct {
	sheet.Column
	read func(sheet.Entry, *T)
}

// trackColumns are the columns of tracks.csv in the order of the headings.
var trackColumns = [...]routeColumn[trackRow]{
	{sheet.Column{Name: "track", Meaning: "name of the track, as people call it: 6, or yard lead"},
		func(e sheet.Entry, r *trackRow) {
			if r.track = need(e); strings.Contains(r.track.name, ";") {
				e.Fail(fmt.Sprintf("%q has a ; in it", measure.Short(r.track.name)),
					"a name without it, because ; stands between the tracks of a job")
			}
		}},
	{sheet.Column{Name: "order", Meaning: "numbers that grow in the order in which a train passes the places of the " +
		"track"},
		func(e sheet.Entry, r *trackRow) {
			r.place = e.Place(e.Row, e.Column)
			if v, ok := e.Number(0, 1e6, false); ok {
				r.order = v
			} else if r.lost = e.Table.Has(e.Column); r.lost && measure.Unmeasured(e.Text()) {
				e.Fail("the order is missing", "a number, greater than that of the place before")
			}
		}},
	{sheet.Column{Name: "location", Meaning: "a place of the track sheets: all that lies there is passed"},
		func(e sheet.Entry, r *trackRow) { r.location = nameOf(e) }},
	{sheet.Column{Name: "feature", Meaning: "one feature in place of the whole location, such as frog/F4"},
		func(e sheet.Entry, r *trackRow) { r.feature = nameOf(e) }},
	{sheet.Column{Name: "direction",
		Meaning: "of a switch as the job runs over it: facing, trailing or both; blank is as the switch is run",
		Words:   []string{"facing", "trailing", "both"}},
		func(e sheet.Entry, r *trackRow) { r.direction = e.Word("facing", "trailing", "both") }},
}

// jobColumns are the columns of jobs.csv in the order of the headings.
var jobColumns = [...]routeColumn[jobRow]{
	{sheet.Column{Name: "job", Meaning: "name of the job, once in the sheet"},
		func(e sheet.Entry, r *jobRow) { r.job = need(e) }},
	{sheet.Column{Name: "tracks", Meaning: "its tracks in the order of the run, ; between them; one that is run over " +
		"twice stands twice"}, func(e sheet.Entry, r *jobRow) {
		if r.tracks = names(e); len(r.tracks) == 0 {
			e.Fail("the tracks are missing", "names of tracks.csv, ; between them")
		}
	}},
	{sheet.Column{Name: "cars", Meaning: "cars by number where they are known, ; between them; with cars and groups " +
		"blank any car may be in it"}, func(e sheet.Entry, r *jobRow) { r.cars = names(e) }},
	{sheet.Column{Name: "groups", Meaning: "groups of cars.csv, ; between them"},
		func(e sheet.Entry, r *jobRow) { r.groups = names(e) }},
	{sheet.Column{Name: "trips_per_year", Meaning: "how often the job runs; blank is once every working day"},
		func(e sheet.Entry, r *jobRow) { r.trips, r.tripsGiven = e.Number(0, 1e6, false) }},
}

// columnsOf are columns as an empty sheet explains them.
func columnsOf[T any](list []routeColumn[T]) (out []sheet.Column) {
	for _, c := range list {
		out = append(out, c.Column)
	}
	return out
}

func nameOf(e sheet.Entry) named { return named{e.Name(), e.Place(e.Row, e.Column)} }

// need is a name that must not be blank.
func need(e sheet.Entry) named { return named{e.NeedID(e.Row, e.Column), e.Place(e.Row, e.Column)} }

// names are those of a cell, with ; between them.
func names(e sheet.Entry) (out []named) {
	text := e.Text()
	if measure.Unmeasured(text) {
		return nil
	}
	for _, part := range strings.Split(text, ";") {
		name := join(part)
		if name == "" {
			e.Fail("a name is missing beside a ;", "names with ; between them, such as A 1; A 2")
			continue
		}
		out = append(out, named{name, e.Place(e.Row, e.Column)})
	}
	return out
}

// routeText is tracks.csv and jobs.csv as they are written, before the other sheets are known.
type routeText struct {
	tracks []trackRow
	jobs   []jobRow
	// ordered says that tracks.csv has an order of its own; else the rows stand in it.
	ordered bool
}

// readRoutes reads the two sheets; nil is an absent one.
func readRoutes(tracks, jobs *sheet.Source, problems *measure.Problems) (t routeText) {
	t.tracks, t.ordered = rowsOf(tracks, trackColumns[:], "track", "order", problems)
	t.jobs, _ = rowsOf(jobs, jobColumns[:], "job", "", problems)
	if !t.ordered {
		for i := range t.tracks {
			t.tracks[i].order = float64(i)
		}
	}
	return t
}

// rowsOf reads the rows of a sheet by its columns; has says whether it has a column at all.
func rowsOf[T any](from *sheet.Source, columns []routeColumn[T], key, asked string,
	problems *measure.Problems) (rows []T, has bool) {
	if from == nil {
		return nil, false
	}
	heads := each.Of(columns, func(c routeColumn[T]) string { return c.Name })
	t := from.Read(heads, problems)
	if !t.Has(key) {
		if len(t.Heads) > 0 {
			problems.Add(t.Place(1, 1), key, "the column is missing", "a column "+key)
		}
		return nil, false
	}
	f := &sheet.Fields{Table: t, Problems: problems}
	for _, row := range t.Rows {
		var r T
		for _, c := range columns {
			c.read(sheet.Entry{Fields: f, Row: row, Column: c.Name}, &r)
		}
		rows = append(rows, r)
	}
	return rows, t.Has(asked)
}

// named are the names that could be those of cars.
func (t routeText) named() map[string]bool {
	out := map[string]bool{}
	for _, r := range t.jobs {
		for _, c := range r.cars {
			out[c.name] = true
		}
	}
	return out
}

// resolve looks the names up in the other sheets. days are the working days of a year.
func (t routeText) resolve(tr *track.Track, cars []*wheel.Car, days float64, problems *measure.Problems) Routes {
	var out Routes
	if len(t.tracks)+len(t.jobs) == 0 {
		return out
	}
	x := resolver{problems: problems, at: map[string][]*track.Feature{}, features: map[string]*track.Feature{},
		ids: map[string][]*track.Feature{}}
	for _, f := range tr.Features {
		x.at[f.Location] = append(x.at[f.Location], f)
		x.features[f.Name()] = f
		x.ids[f.ID] = append(x.ids[f.ID], f)
	}
	out.Lines = x.lines(t.tracks)
	out.Jobs = x.jobs(t.jobs, out.Lines, cars, days)
	out.index()
	return out
}

// resolver looks names up.
type resolver struct {
	problems *measure.Problems
	at       map[string][]*track.Feature // by location
	features map[string]*track.Feature   // by name
	ids      map[string][]*track.Feature
}

func (x *resolver) unknown(n named, field, where, what string, known iter.Seq[string]) {
	expected := what
	if near := x.problems.Near(n.name, func() []string { return slices.Sorted(known) }); near != "" {
		expected = fmt.Sprintf("did you mean %q? %s", near, what)
	}
	x.problems.Add(n.place, field, fmt.Sprintf("%q is not in %s", measure.Short(n.name), where), expected)
}

// lines are the tracks, each with its places in order.
func (x *resolver) lines(rows []trackRow) []*Line {
	by := map[string][]trackRow{}
	for _, r := range rows {
		if r.track.name != "" {
			by[r.track.name] = append(by[r.track.name], r)
		}
	}
	var out []*Line
	for name, rows := range by {
		slices.SortStableFunc(rows, func(a, b trackRow) int { return cmp.Compare(a.order, b.order) })
		l := &Line{Name: name, place: rows[0].track.place}
		first := map[string]measure.Place{} // where a feature stands first on the track
		for i, r := range rows {
			if i > 0 && rows[i-1].order == r.order && !rows[i-1].lost && !r.lost {
				x.problems.Add(r.place, "order", fmt.Sprintf("track %q has the order %g twice", name, r.order),
					"which comes first? The other stands in "+rows[i-1].place.LineText())
			}
			l.Stops = append(l.Stops, x.stop(name, r, first))
		}
		out = append(out, l)
	}
	slices.SortFunc(out, func(a, b *Line) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// stop is the place that a row of a track names. A track that comes back to where it was is a circle: what lies behind
// a place could not be told.
func (x *resolver) stop(line string, r trackRow, first map[string]measure.Place) Stop {
	s := Stop{Direction: r.direction}
	list := x.passed(r)
	for _, f := range list {
		if before, twice := first[f.Name()]; twice {
			x.problems.Add(r.place, "track", fmt.Sprintf("track %q runs in a circle: it comes back to %s",
				line, f.Name()), "each place once; it stands in "+before.LineText()+
				" already (a job that runs over a track twice names it twice)")
			continue
		}
		first[f.Name()] = r.track.place
		if f.Kind == track.Switch && f.Direction != "both" && r.direction != "" && r.direction != f.Direction {
			x.problems.Add(r.place, "direction", fmt.Sprintf("%s is run %s by switches.csv and %s here", f.Name(),
				f.Direction, r.direction), "one of the two; which one is it?")
		}
		s.Features = append(s.Features, f.Name())
	}
	return s
}

func (x *resolver) passed(r trackRow) []*track.Feature {
	switch {
	case r.feature.name == "" && r.location.name == "":
		x.problems.Add(r.location.place, "location", "neither a location nor a feature is given",
			"a location, or a feature such as frog/F4")
		return nil
	case r.feature.name == "":
		list := x.at[r.location.name]
		if list == nil {
			x.unknown(r.location, "location", "the track sheets", "a location", maps.Keys(x.at))
		}
		return list
	}
	f := x.features[r.feature.name]
	if f == nil {
		if list := x.ids[r.feature.name]; len(list) == 1 {
			f = list[0]
		} else if len(list) > 1 {
			x.problems.Add(r.feature.place, "feature",
				fmt.Sprintf("%q could be %s or %s", r.feature.name, list[0].Name(), list[1].Name()), "kind/id")
			return nil
		}
	}
	switch {
	case f == nil:
		x.unknown(r.feature, "feature", "the track sheets", "kind/id, such as frog/F4", maps.Keys(x.features))
		return nil
	case r.location.name != "" && x.at[r.location.name] == nil:
		x.unknown(r.location, "location", "the track sheets", "a location", maps.Keys(x.at))
		return nil
	case r.location.name != "" && f.Location != r.location.name:
		x.problems.Add(r.location.place, "location", fmt.Sprintf("%s lies at %q", f.Name(), f.Location),
			"that location, or a blank")
		return nil
	}
	return []*track.Feature{f}
}

func (x *resolver) jobs(rows []jobRow, lines []*Line, cars []*wheel.Car, days float64) []*Job {
	byLine, ids, groups := map[string]*Line{}, map[string]bool{}, map[string]bool{}
	for _, l := range lines {
		byLine[l.Name] = l
	}
	for _, c := range cars {
		ids[c.ID] = true
		if c.Group != "" {
			groups[c.Group] = true
		}
	}
	var out []*Job
	first := map[string]measure.Place{}
	for _, r := range rows {
		j := &Job{Name: r.job.name, Trips: r.trips, TripsGiven: r.tripsGiven, place: r.job.place}
		if !r.tripsGiven {
			j.Trips = days
		}
		for _, n := range r.tracks {
			l := byLine[n.name]
			if l == nil {
				x.unknown(n, "tracks", "tracks.csv", "a track of tracks.csv", maps.Keys(byLine))
				continue
			}
			j.Lines = append(j.Lines, l)
		}
		j.Cars, j.cars = x.known(r.cars, "cars", "a car of cars.csv or wheels.csv", ids)
		j.Groups, j.groups = x.known(r.groups, "groups", "a group of cars.csv", groups)
		if before, twice := first[j.Name]; twice && j.Name != "" {
			x.problems.Add(j.place, "job", fmt.Sprintf("job %q stands twice", j.Name),
				"each job once; the first stands in "+before.LineText())
			continue
		}
		first[j.Name] = j.place
		out = append(out, j)
	}
	slices.SortFunc(out, func(a, b *Job) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// known are the names that the sheets have, each once.
func (x *resolver) known(list []named, field, what string, known map[string]bool) (out []string, set map[string]bool) {
	set = make(map[string]bool, len(list))
	for _, n := range list {
		switch {
		case !known[n.name]:
			x.unknown(n, field, "the sheets", what, maps.Keys(known))
		case set[n.name]:
			x.problems.Add(n.place, field, fmt.Sprintf("%q stands twice", measure.Short(n.name)), "each once")
		default:
			out, set[n.name] = append(out, n.name), true
		}
	}
	return out, set
}
