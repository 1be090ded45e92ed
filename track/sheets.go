package track

import (
	"cmp"
	"fmt"
	"regexp"
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

// Columns are the columns of a kind's sheet.
func (k Kind) Columns() []string {
	return [NumKinds][]string{
		{"location", "frog", "number", "type", "track_class", "speed_mph", "gauge", "loaded_gauge", "holding", "flangeway_depth", "flangeway_width",
			"guard_check", "guard_face", "guard_flangeway", "tread_wear", "point_worn_down", "point_worn_back", "date", "note", "marks"},
		{"location", "switch", "direction", "track_class", "speed_mph", "gauge", "loaded_gauge", "holding", "point_gap", "point_drop", "point_thickness",
			"chip_depth", "chip_length", "face_angle", "stock_rail_wear", "undercut", "open_clearance", "heel_rise", "date", "note",
			"crosslevel", "guard_rail", "condition", "marks"},
		{"location", "curve", "degree", "elevation", "speed_mph", "track_class", "gauge", "loaded_gauge", "holding", "rail", "head_wear",
			"gauge_face_wear", "gauge_face_angle", "rail_cant", "lubricated", "warp", "date", "note", "warp_over", "warp_short", "crosslevel_least", "guard_rail",
			"profile", "marks"},
		{"location", "joint", "rail", "head_wear", "bar_depth", "track_class", "date", "note", "marks"},
		{"location", "spot", "gauge", "loaded_gauge", "holding", "track_class", "speed_mph", "warp", "date", "note", "crosslevel", "warp_over", "warp_short", "marks"},
	}[k]
}

// Marks are what can be seen at a kind of feature.
func (k Kind) Marks() []string {
	return [NumKinds][]string{
		{"floor_bright", "point_nicked", "wing_climbed", "guard_bright"},
		{"point_nicked", "point_bright_top", "stock_rail_inside_worn"},
		{"band_gauge_corner", "rail_canted", "plates_moved"},
		{"bar_shaved"},
		{"band_gauge_corner", "rail_canted", "plates_moved"},
	}[k]
}

// WarpFt is the distance in ft within which warp is read where no other is given: 49 CFR
// 213.63 limits the difference in crosslevel between any two points less than 62 ft apart.
const WarpFt = 62

// Defaults are what railroad.yaml gives for the whole railroad.
type Defaults struct {
	sheet.Frame
	Class      string
	Speed      float64 // mph
	SpeedKnown bool
}

// Read reads the track sheets; a nil entry is an absent sheet. Problems are added
// to the list; what is odd but possible comes besides. The track is complete only
// where no problem was added.
func Read(in [NumKinds]*sheet.Source, columns map[string]measure.Spec, data *configs.Data, defaults Defaults, problems *measure.Problems) (*Track, *Odd) {
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

func (r *reader) sheet(k Kind, from *sheet.Source) []*Feature {
	clear(r.read[:])
	var rows []*Feature
	once := true // each id stands behind the one before, so none stands again
	from.Each(k.Columns(), r.problems, func(t *sheet.Table) func(sheet.Row) {
		for _, need := range []string{"location", k.String()} {
			if !t.Has(need) {
				r.problems.Add(t.Place(1, 1), need, "the column is missing", "a column "+need)
				return nil
			}
		}
		f := &sheet.Fields{Table: t, Columns: r.columns, Problems: r.problems, Frame: r.defaults.Frame}
		quantities := readingsOf(k)
		return func(row sheet.Row) {
			g := r.row(k, f, row, quantities)
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

var reCant = regexp.MustCompile(`^1 *[:/] *([1-9][0-9]{1,2})$`)

func (r *reader) row(k Kind, f *sheet.Fields, row sheet.Row, quantities []Quantity) *Feature {
	if len(r.features) == 0 {
		r.features = make([]Feature, roomFor)
	}
	g := &r.features[0]
	r.features = r.features[1:]
	*g = Feature{Kind: k, Location: f.NeedID(row, "location"), ID: f.NeedID(row, k.String()), Date: f.Date(row, "date"),
		Note: f.Text(row, "note"), Place: f.Place(row, k.String())}
	g.Class = r.class(f, row)
	g.ClassGiven = g.Class != ""
	if !g.ClassGiven {
		g.Class = r.defaults.Class
	}
	g.Speed, g.SpeedKnown = f.Number(row, "speed_mph", 0, MaxSpeedMPH, false)
	if !g.SpeedKnown && k != Joint {
		g.Speed, g.SpeedKnown = r.defaults.Speed, r.defaults.SpeedKnown
	}
	for _, q := range quantities {
		if q == Degree {
			r.read[q] = f.Degree(row, "degree")
			continue
		}
		r.read[q] = f.Reading(row, q.String())
	}
	if cap(r.readings)-len(r.readings) < len(quantities) {
		r.readings = make([]measure.Reading, 0, roomFor)
	}
	r.readings = g.take(r.readings, &r.read)
	g.Marks = f.Marks(row, "marks", k.Marks()...)
	g.Holding = "fair"
	if k != Joint {
		if h := f.Word(row, "holding", "good", "fair", "poor"); h != "" {
			g.Holding = h
		}
	}
	switch k {
	case Frog:
		g.Type = f.Word(row, "type", configs.FrogTypes()...)
		g.Number, _ = f.Number(row, "number", 2, 40, false)
	case Switch:
		g.Direction = f.Word(row, "direction", "facing", "trailing", "both")
		if g.Direction == "" {
			g.Direction = "both"
		}
		g.GuardRail = f.Word(row, "guard_rail", "yes", "no")
		g.Condition = f.Word(row, "condition", "good", "worn", "poor")
	case Curve:
		g.WarpOverFt = warpOver(f, row)
		g.GuardRail = f.Word(row, "guard_rail", "yes", "no")
		g.Profile = f.File(row, "profile")
		g.Cant = r.cant(f, row)
		g.Lubricated = f.Word(row, "lubricated", "high", "low", "both", "none")
		g.Rail = r.rail(f, row)
	case Joint:
		g.Rail = r.rail(f, row)
	case Spot:
		g.WarpOverFt = warpOver(f, row)
	}
	return g
}

// class is the track class of a row, "" where it gives none.
func (r *reader) class(f *sheet.Fields, row sheet.Row) string {
	text := f.Text(row, "track_class")
	if class, ok := configs.TrackClass(text); ok {
		return class
	}
	return f.Word(row, "track_class", configs.TrackClasses()...)
}

// warpOver is the distance in ft over which warp was read.
func warpOver(f *sheet.Fields, row sheet.Row) float64 {
	if ft, ok := f.Number(row, "warp_over", 1, 100, true); ok {
		return ft
	}
	return WarpFt
}

func (r *reader) rail(f *sheet.Fields, row sheet.Row) string {
	name := f.Name(row, "rail")
	if name == "" {
		return ""
	}
	section, ok := r.data.Section(name)
	if !ok {
		f.Fail(row, "rail", fmt.Sprintf("%q is not a rail section known here", name), "one of "+strings.Join(r.data.SectionNames(), ", "))
	}
	return section.Name
}

func (r *reader) cant(f *sheet.Fields, row sheet.Row) string {
	text := f.Text(row, "rail_cant")
	switch {
	case measure.Unmeasured(text):
		return ""
	case measure.LookedAt(text):
		return "none"
	}
	m := reCant.FindStringSubmatch(text)
	if m == nil {
		f.Fail(row, "rail_cant", fmt.Sprintf("%q is not a rail cant", text), "1:40, 1:20 or none")
		return ""
	}
	return "1:" + m[1]
}

// newest picks the reading of one feature and keeps its history; one id at two
// locations is a problem.
func (r *reader) newest(rows []*Feature) *Feature {
	first := rows[0]
	for _, g := range rows[1:] {
		if g.Location != first.Location {
			r.problems.Add(g.Place, g.Kind.String(), fmt.Sprintf("%s stands at %s and at %s", g.Name(), first.Location, g.Location),
				"each id once on the railroad; the first stands in "+first.Place.LineText())
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
				r.warn(f.Place, "%s and %s %s; they are taken as two", other.Name(), f.Name(), sheet.Differ(other.Name(), f.Name()))
			}
			seen[low] = f
		}
	}
	if places.Possible() {
		seen := map[string]*Feature{}
		for _, f := range features {
			low := sheet.Lookalike(f.Location)
			if other := seen[low]; other != nil && other.Location != f.Location {
				r.warn(f.Place, "locations %s and %s %s; they are taken as two", other.Location, f.Location, sheet.Differ(other.Location, f.Location))
			}
			seen[low] = f
		}
	}
}
