package track

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Sheet is the name of a kind's sheet.
func (k Kind) Sheet() string {
	return [NumKinds]string{"frogs", "switches", "curves", "joints", "gauge"}[k]
}

// File is the file name of a kind's sheet.
func (k Kind) File() string { return k.Sheet() + ".csv" }

// WarpFt is the distance in ft within which warp is read if no other is given: 49 CFR
// 213.63 limits the difference in crosslevel between any two points less than 62 ft apart.
const WarpFt = 62

// Defaults are the values that railroad.yaml gives for the whole railroad.
type Defaults struct {
	sheet.Frame
	Class      string
	Speed      float64 // mph
	SpeedKnown bool
}

// Read reads the track sheets; a nil entry is an absent sheet. Problems are added to the list; what is odd but possible
// comes besides. The track is complete only if no problem was added.
func Read(in [NumKinds]*sheet.Source, columns map[string]measure.Spec, data *configs.Data, defaults Defaults,
	problems *measure.Problems) (*Track, *Odd) {
	r := &reader{columns: columns, data: data, defaults: defaults, problems: problems, found: &Odd{}}
	t := &Track{}
	for k := Kind(0); k < NumKinds; k++ {
		if in[k] != nil {
			t.Features = append(t.Features, r.sheet(k, in[k])...)
		}
	}
	slices.SortStableFunc(t.Features, func(a, b *Feature) int {
		return cmp.Or(strings.Compare(a.Location, b.Location), cmp.Compare(a.Kind, b.Kind), strings.Compare(a.ID, b.ID))
	})
	r.oddNames(t.Features)
	for _, f := range t.Features {
		r.odd(f)
	}
	return t, r.found
}

type reader struct {
	columns  map[string]measure.Spec
	data     *configs.Data
	defaults Defaults
	problems *measure.Problems
	found    *Odd
	read     [NumQuantities]measure.Reading // of the row at hand
	features []Feature                      // room for those to come
	readings []measure.Reading
}

// roomFor is the features and the readings for which room is made at a time.
const roomFor = 256

func (r *reader) warn(place measure.Place, format string, args ...any) {
	r.found.warnings = append(r.found.warnings, measure.Warning{Place: place, Text: fmt.Sprintf(format, args...)})
}

// headings are the names of the columns of a kind's sheet.
func headings(k Kind) (out []string) {
	for _, c := range k.Columns() {
		out = append(out, c.Name)
	}
	return out
}

func (r *reader) sheet(k Kind, from *sheet.Source) []*Feature {
	clear(r.read[:])
	var rows []*Feature
	once := true // each id stands behind the one before, so none stands again
	from.Each(headings(k), r.problems, func(t *sheet.Table) func(sheet.Row) {
		for _, need := range []string{"location", k.String()} {
			if !t.Has(need) {
				r.problems.Add(t.Place(1, 1), need, "the column is missing", "a column "+need)
				return nil
			}
		}
		f := &sheet.Fields{Table: t, Columns: r.columns, Problems: r.problems, Frame: r.defaults.Frame}
		return func(row sheet.Row) {
			g := r.row(k, f, row)
			if g.ID == "" || g.Location == "" {
				return
			}
			once = once && (len(rows) == 0 || rows[len(rows)-1].ID < g.ID)
			rows = append(rows, g)
		}
	})
	if once {
		return rows
	}
	at := map[string]int{} // where the rows of an id stand in byID
	var byID [][]*Feature
	for i, g := range rows {
		if n, known := at[g.ID]; known {
			byID[n] = append(byID[n], g)
			continue
		}
		at[g.ID] = len(byID)
		byID = append(byID, rows[i:i+1:i+1])
	}
	var out []*Feature
	for _, rows := range byID {
		if g := r.newest(rows); g != nil {
			out = append(out, g)
		}
	}
	return out
}

func (r *reader) row(k Kind, f *sheet.Fields, row sheet.Row) *Feature {
	if len(r.features) == 0 {
		r.features = make([]Feature, roomFor)
	}
	g := &r.features[0]
	r.features = r.features[1:]
	*g = Feature{Kind: k, Location: f.NeedID(row, "location"), ID: f.NeedID(row, k.String()),
		Place: f.Place(row, k.String()), Holding: "fair", Class: r.defaults.Class}
	if k != Joint {
		g.Speed, g.SpeedKnown = r.defaults.Speed, r.defaults.SpeedKnown
	}
	columns := k.Columns()
	for i := range columns {
		if c := &columns[i]; c.read != nil {
			c.read(entry{sheet.Entry{Fields: f, Row: row, Column: c.Name}, r}, g)
		}
	}
	r.trace(f, row, g)
	if n := len(readingsOf(k)); cap(r.readings)-len(r.readings) < n {
		r.readings = make([]measure.Reading, 0, roomFor)
	}
	r.readings = g.take(r.readings, &r.read)
	return g
}

// trace takes what was not read from the traced rail of the row, and warns of what contradicts it.
func (r *reader) trace(f *sheet.Fields, row sheet.Row, g *Feature) {
	t, ok := f.Traced(row, "profile", g.Kind.Sheet(), g.Profile, g.Rail)
	if !ok {
		return
	}
	at := f.Place(row, "profile")
	var from []string
	for _, q := range readingsOf(g.Kind) {
		told := t.Readings[q.String()]
		read, taken, against := sheet.Laid(r.read[q], told, at)
		if r.read[q] = read; taken {
			from = append(from, q.String()+" "+told.Written)
		}
		if against {
			r.warn(read.Place, "%s %s of %s contradicts the trace %s, which gives %s (%s); the reading counts, "+
				"measure it again", q, read.Written, g.Name(), g.Profile, told.Written, t.Quality)
		}
	}
	if len(from) > 0 {
		r.warn(at, "%s taken from the trace %s: %s", strings.Join(from, ", "), g.Profile, t.Quality)
	}
}

// newest picks the reading of one feature and keeps its history; one id at two locations is a problem.
func (r *reader) newest(rows []*Feature) *Feature {
	first := rows[0]
	for _, g := range rows[1:] {
		if g.Location != first.Location {
			r.problems.Add(g.Place, g.Kind.String(), fmt.Sprintf("%s stands at %s and at %s", g.Name(), first.Location,
				g.Location), "each id once on the railroad; the first stands in "+first.Place.LineText())
			return nil
		}
	}
	g, earlier, ok := sheet.History(rows, first.Name(), first.Kind.String(), r.problems)
	if !ok {
		return nil
	}
	g.Earlier = earlier
	return g
}

// oddNames warns of ids and locations that look alike.
func (r *reader) oddNames(features []*Feature) {
	var ids, places sheet.Alike
	for _, f := range features {
		sheet.AddID(&ids, f.ID)
		sheet.AddID(&places, f.Location)
	}
	if ids.Possible() {
		seen := map[string]*Feature{}
		for _, f := range features {
			low := sheet.Lookalike(f.Name())
			if other := seen[low]; other != nil {
				r.warn(f.Place, "%s and %s %s; they are taken as two", other.Name(), f.Name(),
					sheet.Differ(other.Name(), f.Name()))
			}
			seen[low] = f
		}
	}
	if places.Possible() {
		seen := map[string]*Feature{}
		for _, f := range features {
			low := sheet.Lookalike(f.Location)
			if other := seen[low]; other != nil && other.Location != f.Location {
				r.warn(f.Place, "locations %s and %s %s; they are taken as two", other.Location, f.Location,
					sheet.Differ(other.Location, f.Location))
			}
			seen[low] = f
		}
	}
}
