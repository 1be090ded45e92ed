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

// Quantity is one reading of a feature; its name is the column of its sheet.
type Quantity uint8

// The readings of features.
const (
	Gauge Quantity = iota
	LoadedGauge
	FlangewayDepth
	FlangewayWidth
	GuardCheck
	GuardFace
	GuardFlangeway
	TreadWear
	PointWornDown
	PointWornBack
	PointGap
	PointDrop
	PointThickness
	ChipDepth
	ChipLength
	FaceAngle
	StockRailWear
	Undercut
	OpenClearance
	HeelRise
	Degree
	Elevation
	HeadWear
	GaugeFaceWear
	GaugeFaceAngle
	BarDepth
	Warp
	WarpShort
	Crosslevel
	CrosslevelLeast
	PointGuard
	NumQuantities
)

// Column is one column of the track's sheets. Its entry in the table is the only place where it is listed: headings,
// empty sheets, the cells of rows and the readings that a kind of feature has follow from it.
type Column struct {
	sheet.Column
	Kinds kindSet // whose sheets have it
	// behind is the column that it stands behind in the sheet of a kind, if not the one above it in the table.
	behind  map[Kind]string
	q       Quantity // if it is a reading
	reading bool
	read    func(entry, *Feature)
	// Wears is 1 if wear makes the reading greater, -1 if less, 0 if it does not tell wear.
	Wears int
	// Part is what is repaired together: a repair that one of its readings shows is one of all of them.
	Part string
}

// entry is a cell with what its reader knows besides.
type entry struct {
	sheet.Entry
	r *reader
}

type kindSet uint8

const _ = uint(8 - int(NumKinds)) // a kindSet has room for all kinds

func at(kinds ...Kind) (s kindSet) {
	for _, k := range kinds {
		s |= 1 << k
	}
	return s
}

// Has reports whether a kind is in the set.
func (s kindSet) Has(k Kind) bool { return s>>k&1 != 0 }

const (
	everywhere = kindSet(1<<NumKinds - 1)
	gauged     = everywhere &^ (1 << Joint) // where gauge and speed are of account
	warped     = kindSet(1<<Curve | 1<<Spot)
)

// columns are in the order of the headings. The cells of the location and of the id say what
// a row is of, so the readers of rows take them.
var columns = [...]Column{
	{Column: sheet.Column{Name: "location", Meaning: "name of the place, written the same way in every sheet"},
		Kinds: everywhere},
	id(Frog), id(Switch), id(Curve), id(Joint), id(Spot),
	other("number", at(Frog), "frog number, such as 8",
		func(e entry, f *Feature) { f.Number, _ = e.Number(2, 40, false) }),
	word("type", at(Frog), "bolted, rbm, solid, heavy-point, self-guarded, spring or flange-bearing; blank is none "+
		"of the special ones", func(f *Feature, w string) { f.Type = w }, configs.FrogTypes()...),
	word("direction", at(Switch), "facing, trailing or both; blank is both",
		func(f *Feature, w string) { f.Direction = cmp.Or(w, "both") }, "facing", "trailing", "both"),
	angle(Degree, "degree", at(Curve),
		"of the curve: 6.5, 6 deg 30, D6-30, R 955', or the mid-ordinate of a 62 ft cord as 62ft 6-1/4"),
	length(Elevation, "elevation", at(Curve), "of the outer rail; negative where it is the lower one"),
	{Column: sheet.Column{Name: "track_class", Meaning: "excepted or 1 to 5; blank is the railroad's"},
		Kinds:  everywhere,
		behind: map[Kind]string{Curve: "speed_mph", Joint: "bar_depth", Spot: "holding"}, read: readClass},
	{Column: sheet.Column{Name: "speed_mph", Unit: "mph", Meaning: "speed at the place; blank is the railroad's"},
		Kinds: gauged, behind: map[Kind]string{Spot: "track_class"}, read: readSpeed},
	length(Gauge, "gauge", gauged,
		`track gauge 5/8 in below the top of rail, as 56-1/2 or 4' 8-1/2"`).worn(1, gaugePart),
	length(LoadedGauge, "loaded_gauge", gauged, "the same under the load that the note names").worn(1, gaugePart),
	word("holding", gauged, "good, fair or poor: what ties and fastenings hold; blank is fair",
		func(f *Feature, w string) { f.Holding = cmp.Or(w, "fair") }, "good", "fair", "poor"),
	length(FlangewayDepth, "flangeway_depth", at(Frog),
		"straight edge across the tread to the floor: the least of throat, point and 6 in behind").worn(-1, frogPart),
	length(FlangewayWidth, "flangeway_width", at(Frog), "between wing and point at the gauge line"),
	length(GuardCheck, "guard_check", at(Frog),
		"frog gauge line to guard line, at the 1/2 in point; of a self-guarded frog, to its guarding face").
		worn(-1, gaugePart),
	length(GuardFace, "guard_face", at(Frog), "between the guard lines, at the 1/2 in point"),
	length(GuardFlangeway, "guard_flangeway", at(Frog), "between guard rail and running rail"),
	length(TreadWear, "tread_wear", at(Frog), "of the frog casting, below its original contour").worn(1, frogPart),
	length(PointWornDown, "point_worn_down", at(Frog),
		"of the frog point: how far down, and how far back from the tip").worn(1, frogPart),
	length(PointWornBack, "point_worn_back", at(Frog),
		"of the frog point: how far down, and how far back from the tip").worn(1, frogPart),
	length(PointGap, "point_gap", at(Switch), "between closed point and stock rail").worn(1, pointsPart),
	length(PointDrop, "point_drop", at(Switch),
		"top of the point below the top of the stock rail at the first full-bearing station").worn(1, pointsPart),
	length(PointThickness, "point_thickness", at(Switch), "of the point at its tip"),
	length(ChipDepth, "chip_depth", at(Switch), "top of the point below the top of the stock rail at the deepest "+
		"chip within chip_length; none where there is no chip").worn(1, pointsPart),
	length(ChipLength, "chip_length", at(Switch), "length of the chip").worn(1, pointsPart),
	angle(FaceAngle, "face_angle", at(Switch),
		"shallowest face angle of point or stock rail in the first 2 ft, degrees from horizontal").worn(-1, pointsPart),
	length(StockRailWear, "stock_rail_wear", at(Switch),
		"side wear of the stock rail at the point").worn(1, pointsPart),
	length(Undercut, "undercut", at(Switch), "depth of the recess under the stock rail's head"),
	length(OpenClearance, "open_clearance", at(Switch),
		"narrowest stock rail to open point, not the throw").worn(-1, pointsPart),
	length(HeelRise, "heel_rise", at(Switch),
		"rise of the point rail where the tread leaves the stock rail").worn(-1, pointsPart),
	other("rail", at(Curve, Joint), "rail section, such as 115RE", readRail),
	length(HeadWear, "head_wear", at(Curve, Joint), "vertical, at the centre of the head").worn(1, railPart),
	length(GaugeFaceWear, "gauge_face_wear", at(Curve), "side wear at the gauge face").worn(1, railPart),
	angle(GaugeFaceAngle, "gauge_face_angle", at(Curve),
		"of the worn gauge face, degrees from horizontal").worn(-1, railPart),
	length(BarDepth, "bar_depth", at(Joint),
		"present top of rail to the highest part of the bar at the gauge side").worn(-1, railPart),
	other("rail_cant", at(Curve), "1:40, 1:20 or none", readCant),
	word("lubricated", at(Curve), "high, low, both or none",
		func(f *Feature, w string) { f.Lubricated = w }, "high", "low", "both", "none"),
	length(Warp, "warp", warped,
		"greatest difference in crosslevel between two points up to 62 ft apart").worn(1, surfacePart),
	other("date", everywhere, sheet.DateMeaning, func(e entry, f *Feature) { f.Date = e.Date() }),
	other("note", everywhere, sheet.NoteMeaning, func(e entry, f *Feature) { f.Note = e.Text() }),
	length(Crosslevel, "crosslevel", at(Switch, Spot), "left rail over right rail, negative where the left one is low"),
	{Column: sheet.Column{Name: "warp_over", Unit: "ft",
		Meaning: "the distance over which warp was read, whole feet from 1 to 100; blank is 62"}, Kinds: warped,
		read: readWarpOver},
	length(WarpShort, "warp_short", warped, "greatest difference in crosslevel within 10 ft").worn(1, surfacePart),
	length(CrosslevelLeast, "crosslevel_least", at(Curve),
		"least crosslevel within the curve, where elevation is that of its full body; negative is reverse"),
	word("guard_rail", at(Switch, Curve), "yes or no: a guard rail along it",
		func(f *Feature, w string) { f.GuardRail = w }, "yes", "no"),
	length(PointGuard, "point_guard", at(Switch),
		"of a point guard beside the stock rail at the tip: from its guarding face to the stock rail's gauge line, "+
			"the greater of both points; blank where there is none"),
	word("condition", at(Switch), "good, worn or poor, as judged by eye",
		func(f *Feature, w string) { f.Condition = w }, "good", "worn", "poor"),
	other("profile", at(Curve), sheet.ProfileMeaning, func(e entry, f *Feature) { f.Profile = e.File() }),
	other("marks", everywhere, sheet.MarksMeaning, func(e entry, f *Feature) { f.Marks = e.Marks(f.Kind.Marks()...) }),
}

// id is the column of the name of a kind's features.
func id(k Kind) Column {
	return Column{Column: sheet.Column{Name: k.String(), Meaning: "its id, once on the railroad"}, Kinds: at(k)}
}

// other is a column that holds no reading.
func other(name string, kinds kindSet, meaning string, read func(entry, *Feature)) Column {
	return Column{Column: sheet.Column{Name: name, Meaning: meaning}, Kinds: kinds, read: read}
}

// word is a column that holds one of a few words; a blank is "".
func word(name string, kinds kindSet, meaning string, set func(*Feature, string), words ...string) Column {
	c := other(name, kinds, meaning, func(e entry, f *Feature) { set(f, e.Word(words...)) })
	c.Words = words
	return c
}

func length(q Quantity, name string, kinds kindSet, meaning string) Column {
	c := other(name, kinds, meaning, func(e entry, _ *Feature) { e.r.read[q] = e.Reading() })
	c.q, c.Unit, c.Bounded, c.reading = q, "in", true, true
	return c
}

// What is repaired together. The guard rail goes with the gauge, because its check is taken from the gauge line.
const (
	gaugePart   = "gauge and guard rail"
	frogPart    = "frog"
	pointsPart  = "points"
	railPart    = "rail"
	surfacePart = "surface"
)

// worn says which way wear takes a reading, and what it is repaired with.
func (c Column) worn(sign int, part string) Column {
	c.Wears, c.Part = sign, part
	return c
}

func angle(q Quantity, name string, kinds kindSet, meaning string) Column {
	c := length(q, name, kinds, meaning)
	if c.Unit = "deg"; q == Degree { // its bounds stand in measure, because it has notations of its own
		c.Bounded = false
		c.read = func(e entry, _ *Feature) { e.r.read[q] = e.Degree(e.Row, e.Column) }
	}
	return c
}

func readClass(e entry, f *Feature) {
	class, ok := configs.TrackClass(e.Text())
	if !ok {
		class = e.WordMeant(e.Row, e.Column, configs.ClassMeant, configs.TrackClasses()...)
	}
	if f.ClassGiven = class != ""; f.ClassGiven {
		f.Class = class
	}
}

func readSpeed(e entry, f *Feature) {
	if v, ok := e.Number(0, MaxSpeedMPH, false); ok {
		f.Speed, f.SpeedKnown, f.SpeedGiven = v, true, true
	}
}

// readWarpOver takes the distance in ft over which warp was read.
func readWarpOver(e entry, f *Feature) {
	f.WarpOverFt = WarpFt
	if ft, ok := e.Number(1, 100, true); ok {
		f.WarpOverFt = ft
	}
}

// readRail takes a rail section known to configs.
func readRail(e entry, f *Feature) {
	name := e.Name()
	if name == "" {
		return
	}
	section, ok := e.r.data.Section(name)
	if !ok {
		e.Fail(fmt.Sprintf("%q is not a rail section known here", name),
			"one of "+strings.Join(e.r.data.SectionNames(), ", "))
	}
	f.Rail = section.Name
}

var reCant = regexp.MustCompile(`^1 *[:/] *([1-9][0-9]{1,2})$`)

func readCant(e entry, f *Feature) {
	text := e.Text()
	switch m := reCant.FindStringSubmatch(text); {
	case measure.Unmeasured(text):
	case measure.LookedAt(text):
		f.Cant = "none"
	case m == nil:
		e.Fail(fmt.Sprintf("%q is not a rail cant", text), "1:40, 1:20 or none")
	default:
		f.Cant = "1:" + m[1]
	}
}

// table holds the lists that follow from the columns.
var table = func() (t struct {
	names    [NumQuantities]string
	angular  [NumQuantities]bool
	columns  [NumKinds][]Column   // of a kind's sheet, in the order of its headings
	readings [NumKinds][]Quantity // of those
}) {
	for _, c := range columns {
		if c.reading {
			t.names[c.q], t.angular[c.q] = c.Name, c.Unit == "deg"
		}
	}
	for k := range NumKinds {
		t.columns[k] = sheetOf(k)
		for _, c := range t.columns[k] {
			if c.reading {
				t.readings[k] = append(t.readings[k], c.q)
			}
		}
	}
	return t
}()

// sheetOf puts the columns of a kind's sheet in the order of its headings.
func sheetOf(k Kind) (out []Column) {
	var moved []Column
	for _, c := range columns {
		switch {
		case !c.Kinds.Has(k):
		case c.behind[k] != "":
			moved = append(moved, c)
		default:
			out = append(out, c)
		}
	}
	for _, c := range moved {
		i := slices.IndexFunc(out, func(o Column) bool { return o.Name == c.behind[k] })
		out = slices.Insert(out, i+1, c)
	}
	return out
}

// Columns are the columns of a kind's sheet in the order of its headings.
func (k Kind) Columns() []Column { return table.columns[k] }

// readingsOf lists the readings that a kind's sheet holds.
func readingsOf(k Kind) []Quantity { return table.readings[k] }

// String is the column of the quantity.
func (q Quantity) String() string { return table.names[q] }

// QuantityOf finds a quantity by its column.
func QuantityOf(column string) (Quantity, bool) {
	for i, c := range table.names {
		if c == column {
			return Quantity(i), true
		}
	}
	return 0, false
}

// Angular reports whether the quantity is in degrees rather than mm.
func (q Quantity) Angular() bool { return table.angular[q] }

// Marks are the traces that can be seen at a kind of feature.
func (k Kind) Marks() []string {
	return [NumKinds][]string{
		{"floor_bright", "point_nicked", "wing_climbed", "guard_bright"},
		{"point_nicked", "point_bright_top", "stock_rail_inside_worn"},
		{"band_gauge_corner", "rail_canted", "plates_moved"},
		{"bar_shaved"},
		{"band_gauge_corner", "rail_canted", "plates_moved"},
	}[k]
}
