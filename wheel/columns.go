package wheel

import (
	"cmp"
	"fmt"
	"strings"

	"flangeway/configs"
	"flangeway/internal/sheet"
)

// Quantity is one reading of a wheel; its name is the column of wheels.csv.
type Quantity uint8

// The readings of a wheel. BackToBack and BackToBackMax belong to the axle and may stand on either of its rows.
const (
	FlangeHeight Quantity = iota
	FlangeThickness
	VerticalFlange
	RimThickness
	TreadHollow
	BackToBack
	BackToBackMax
	Diameter
	RimWidth
	NumQuantities
)

// Sheet is a set of the sheets of the car department.
type Sheet uint8

// The sheets of the car department.
const (
	CarSheet   Sheet = 1 << iota // cars.csv
	WheelSheet                   // wheels.csv
)

// Plain is the form of a cell of wheels.csv in a row that is read by its bytes.
type Plain uint8

// The forms of plain cells.
const (
	PlainBlank Plain = iota // nothing: a row with such a cell filled in is read as check reads it
	PlainCar
	PlainPosition
	PlainDate
	PlainDesign
	PlainMarks
	PlainText
	PlainReading
)

// Column is one column of cars.csv, of wheels.csv or of both. Its entry in the table is the only place where it is
// listed: headings, empty sheets, the cells of rows, and what is read by its bytes follow from it.
type Column struct {
	sheet.Column
	Sheets Sheet
	Plain  Plain
	q      Quantity // if it is a reading of a wheel
	car    func(entry, *Car)
	wheel  func(entry, *Wheel)
	// Wears is 1 if wear makes the reading greater, -1 if less, 0 if it does not tell wear.
	Wears int
}

// entry is a cell with what its reader knows besides.
type entry struct {
	sheet.Entry
	r *reader
}

// columns are in the order of the headings. The cells of car and position say what a row is of, so the readers of rows
// take them.
var columns = [...]Column{
	{Column: sheet.Column{Name: "car", Meaning: "reporting mark and number, written the same way in every sheet"},
		Sheets: CarSheet | WheelSheet, Plain: PlainCar},
	worded(ofCar("kind", "", "freight, locomotive, passenger or steam; blank is unknown and judged by no book of a "+
		"kind",
		func(e entry, c *Car) { c.Kind = e.WordMeant(e.Row, e.Column, kindMeant, Kinds()...) }), Kinds()...),
	ofWord("owner", "own, foreign or private; blank is own",
		func(c *Car, w string) { c.Owner = cmp.Or(w, "own") }, "own", "foreign", "private"),
	ofCar("gross_lb", "lb", "weight on the rail in pounds",
		func(e entry, c *Car) { c.GrossLb, _ = e.Number(1000, 2e6, false) }),
	ofCar("axles", "", "number of axles", func(e entry, c *Car) {
		axles, _ := e.Number(1, 8, true)
		c.Axles = int(axles)
	}),
	bounded(ofCar("truck_wheelbase", "in", "axle spacing within one truck",
		func(e entry, c *Car) { c.TruckWheelbase = e.Reading() })),
	ofCar("group", "", "cars that run together, for traffic", func(e entry, c *Car) { c.Group = e.Name() }),
	ofCar("trips_per_year", "", "trips a year over this railroad",
		func(e entry, c *Car) { c.TripsPerYear, _ = e.Number(0, 1e6, false) }),
	{Column: sheet.Column{Name: "position",
		Meaning: "L1 to L8 or R1 to R8: facing the B end and numbered from the B end; L1 and R1 are one axle"},
		Sheets: WheelSheet, Plain: PlainPosition},
	ofWheel("date", PlainDate, sheet.DateMeaning, func(e entry, w *Wheel) { w.Date = e.Date() }),
	reading(FlangeHeight, "flange_height", "in",
		"tape line to flange tip; go/no-go as <1-1/2 or >=1-1/2, full or scant as 1-1/4+ or 1-1/4-").worn(1),
	reading(FlangeThickness, "flange_thickness", "in",
		"3/8 in above the tread, back to face; a notch that did not touch is >15/16").worn(-1),
	reading(VerticalFlange, "vertical_flange", "in",
		"the height above the tread to which the flange face is vertical; touched at 1 in is >=1, not touched is <1").
		worn(1),
	reading(RimThickness, "rim_thickness", "in", "rim thickness at the tape line").worn(-1),
	reading(TreadHollow, "tread_hollow", "mm",
		"greatest depth under a straight edge from the field side, in mm without a unit").worn(1),
	reading(BackToBack, "back_to_back", "in",
		"between the flange backs: the least of the places read; on either row of the axle"),
	reading(BackToBackMax, "back_to_back_max", "in", "the greatest of the places read"),
	reading(Diameter, "diameter", "in", "at the tape line"),
	reading(RimWidth, "rim_width", "in", "back face to front face of the rim"),
	ofWheel("design", PlainDesign, "a wheel design known to the program", readDesign),
	{Column: sheet.Column{Name: "note", Meaning: sheet.NoteMeaning}, Sheets: CarSheet | WheelSheet, Plain: PlainText,
		car: func(e entry, c *Car) { c.Note = e.Text() }, wheel: func(e entry, w *Wheel) { w.Note = e.Text() }},
	ofWord("service", "of a locomotive: road or yard; blank is unknown",
		func(c *Car, w string) { c.Service = w }, configs.Services()...),
	bounded(ofCar("truck_centers", "in", "distance between the truck centers",
		func(e entry, c *Car) { c.TruckCenters = e.Reading() })),
	ofWord("body", "stiff, ordinary or soft: how it gives way on twisted track; blank is as the settings have it",
		func(c *Car, w string) { c.Body = w }, configs.Bodies()...),
	bounded(ofCar("load_imbalance", "percent", "by how many percent the heavier side of a truck carries more than half",
		func(e entry, c *Car) { c.LoadImbalance = e.Reading() })),
	ofWord("warp_stiffness", "new or worn: how the trucks hold square; blank is as the settings have it",
		func(c *Car, w string) { c.WarpStiffness = w }, "new", "worn"),
	ofWheel("turned", PlainDate, "YYYY-MM-DD: when the wheel was last turned",
		func(e entry, w *Wheel) { w.Turned = e.Date() }),
	ofWheel("profile", PlainBlank, sheet.ProfileMeaning, func(e entry, w *Wheel) { w.Profile = e.File() }),
	ofWheel("marks", PlainMarks, sheet.MarksMeaning, func(e entry, w *Wheel) { w.Marks = e.Marks(Marks()...) }),
}

// ofCar is a column of cars.csv.
func ofCar(name, unit, meaning string, read func(entry, *Car)) Column {
	return Column{Column: sheet.Column{Name: name, Unit: unit, Meaning: meaning}, Sheets: CarSheet, car: read}
}

// ofWord is a column of cars.csv that holds one of a few words; a blank is "".
func ofWord(name, meaning string, set func(*Car, string), words ...string) Column {
	return worded(ofCar(name, "", meaning, func(e entry, c *Car) { set(c, e.Word(words...)) }), words...)
}

// worded says which words may stand in a column.
func worded(c Column, words ...string) Column {
	c.Words = words
	return c
}

// ofWheel is a column of wheels.csv that holds no number.
func ofWheel(name string, plain Plain, meaning string, read func(entry, *Wheel)) Column {
	return Column{Column: sheet.Column{Name: name, Meaning: meaning}, Sheets: WheelSheet, Plain: plain, wheel: read}
}

func reading(q Quantity, name, unit, meaning string) Column {
	c := bounded(ofWheel(name, PlainReading, meaning, func(e entry, w *Wheel) { w.readings[q] = e.Reading() }))
	c.q, c.Unit = q, unit
	return c
}

// worn says which way wear takes a reading.
func (c Column) worn(sign int) Column {
	c.Wears = sign
	return c
}

// bounded is a column with its physical range in configs/bounds.yaml.
func bounded(c Column) Column {
	c.Bounded = true
	return c
}

// readDesign takes a wheel design known to configs.
func readDesign(e entry, w *Wheel) {
	name := e.Name()
	if name == "" {
		return
	}
	design, known := e.r.data.Design(name)
	w.narrow.design = design.Flange == "narrow"
	if w.Design, w.Flange = design.Name, design.Flange; !known {
		e.Fail(fmt.Sprintf("%q is not a wheel design known here", name),
			"one of "+strings.Join(e.r.data.DesignNames(), ", "))
	}
}

// Columns are the columns of a sheet in the order of its headings.
func Columns(s Sheet) (out []Column) {
	for _, c := range columns {
		if c.Sheets&s != 0 {
			out = append(out, c)
		}
	}
	return out
}

// Headings are the names of the columns of a sheet.
func Headings(s Sheet) (out []string) {
	for _, c := range Columns(s) {
		out = append(out, c.Name)
	}
	return out
}

// Reads is the reading of a wheel that the column holds; ok is false for any other column.
func (c Column) Reads() (q Quantity, ok bool) { return c.q, c.Plain == PlainReading }

// quantityNames are the columns of the readings of a wheel.
var quantityNames = func() (names [NumQuantities]string) {
	for _, c := range columns {
		if q, ok := c.Reads(); ok {
			names[q] = c.Name
		}
	}
	return names
}()

// String is the column of the quantity.
func (q Quantity) String() string { return quantityNames[q] }

// QuantityOf finds a quantity by its column.
func QuantityOf(column string) (Quantity, bool) {
	for i, c := range quantityNames {
		if c == column {
			return Quantity(i), true
		}
	}
	return 0, false
}

// Marks are the traces that can be seen at a wheel.
func Marks() []string { return []string{"tip_bright", "flat_spot", "edge_flow"} }

// Kinds are the kinds of car.
func Kinds() []string { return configs.CarKinds() }
