package survey

import (
	"bytes"
	"fmt"
	"strings"

	"flangeway/configs"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// BlankFile is one file of an empty survey.
type BlankFile struct {
	Name string
	What string
	Data []byte
}

// firstLine keeps the fractions alive in a spreadsheet; it is the first line of every sheet.
const firstLine = "# Keep fractions: format all columns as Text before typing (else a spreadsheet turns 1-7/16 into " +
	"a date) and save as CSV UTF-8"

// blankSheet is one sheet of an empty survey.
type blankSheet struct {
	name, what string // "wheels", "one row a wheel"
	columns    []sheet.Column
	marks      []string // words of the column marks
}

func blankSheets() []blankSheet {
	cars, wheels := blankSheet{name: "cars", what: "one row a car"},
		blankSheet{name: "wheels", what: "one row a wheel", marks: wheel.Marks()}
	for _, c := range wheel.Columns(wheel.CarSheet) {
		cars.columns = append(cars.columns, c.Column)
	}
	for _, c := range wheel.Columns(wheel.WheelSheet) {
		wheels.columns = append(wheels.columns, c.Column)
	}
	out := []blankSheet{cars, wheels}
	for k := range track.NumKinds {
		s := blankSheet{name: k.Sheet(), what: "one row a " + k.String(), marks: k.Marks()}
		for _, c := range k.Columns() {
			s.columns = append(s.columns, c.Column)
		}
		out = append(out, s)
	}
	return append(out,
		blankSheet{name: tracksSheet, what: "one row a place that a track passes", columns: columnsOf(trackColumns[:])},
		blankSheet{name: jobsSheet, what: "one row a job", columns: columnsOf(jobColumns[:])})
}

// explained says what a column holds, with its unit and bounds.
func (s blankSheet) explained(data *configs.Data, c sheet.Column) string {
	text := c.Meaning
	if c.Name == "marks" {
		text += ": " + strings.Join(s.marks, ", ")
	}
	if c.Bounded {
		text += fmt.Sprintf(" [%s]", data.Columns[c.Name].BoundsText())
	}
	return text
}

// BlankBook is the workbook of an empty survey: columns formatted as text, so that no spreadsheet changes a fraction,
// and each heading explained in a comment.
func BlankBook(data *configs.Data) (BlankFile, error) {
	var sheets []sheet.BookSheet
	for _, s := range blankSheets() {
		b := sheet.BookSheet{Name: s.name}
		for _, c := range s.columns {
			b.Columns = append(b.Columns, sheet.BookColumn{Name: c.Name, Unit: c.Unit, Note: s.explained(data, c),
				Words: choices(data, c)})
		}
		sheets = append(sheets, b)
	}
	bytes, err := sheet.WriteBook(sheets)
	return BlankFile{workbookFile, "the sheets: " + strings.Join(sheetNames(), ", "), bytes}, err
}

// choices are the entries of a column's list: its words, or the names that the program knows.
func choices(data *configs.Data, c sheet.Column) []string {
	switch c.Name {
	case "rail":
		return data.SectionNames()
	case "design":
		return data.DesignNames()
	case "track_class":
		return configs.TrackClasses()
	}
	return c.Words
}

// BlankRailroad is the railroad.yaml of an empty survey.
func BlankRailroad(data *configs.Data) BlankFile {
	return BlankFile{railroadFile, "the railroad: name, date, class, limits, settings", []byte(blankRailroad(data))}
}

// Blank is an empty survey whose sheets explain their columns and read back without an error.
func Blank(data *configs.Data) []BlankFile {
	var out []BlankFile
	out = append(out, BlankRailroad(data))
	for _, s := range blankSheets() {
		var b bytes.Buffer
		fmt.Fprintln(&b, firstLine)
		fmt.Fprintf(&b, "# %s. Blank, -, n/m and n/a mean not measured; none means looked at and there is none. "+
			"Lines above the headings that begin with # are not read.\n", strings.ToUpper(s.what[:1])+s.what[1:])
		var heads []string
		for _, c := range s.columns {
			fmt.Fprintln(&b, quoteCell(fmt.Sprintf("# %s: %s", c.Name, s.explained(data, c))))
			heads = append(heads, c.Name)
		}
		fmt.Fprintln(&b, strings.Join(heads, ","))
		out = append(out, BlankFile{s.name + ".csv", s.what, b.Bytes()})
	}
	return out
}

// quoteCell quotes an explaining line with a comma or a quote in it, so that a spreadsheet keeps it in one cell.
func quoteCell(s string) string {
	if !strings.ContainsAny(s, ",\"") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

func blankRailroad(data *configs.Data) string {
	var b strings.Builder
	b.WriteString(`# The railroad. Every key is optional but schema. Lengths in quotes, "1/8", are
# inches without a unit.
schema: 1
railroad: ""
# date: 2026-03-31          # of the survey; readings are old or fresh against it
# track_class: 1            # excepted or 1 to 5, where a sheet gives none
# speed_mph: 10
# units: metric             # pages, drawings and orders in mm, m, km/h and kN; else inches, mph and kips
limits: [federal, early-warning]   # also: interchange, yard-practice, or a file of your own beside this one
# reading_error:            # your own +- for a column, in its unit; step_error for go/no-go readings
#   flange_height: "1/32"
#   step_error: "1/32"
# settings:                 # figures of the pair checks, with their defaults
`)
	for _, s := range data.Settings {
		value := s.Written
		if strings.Contains(value, "/") {
			value = `"` + value + `"`
		}
		unit := s.Unit
		if unit == "in" {
			unit = "inches"
		}
		fmt.Fprintf(&b, "#   %s: %s   # %s; %s\n", s.Name, value, unit, s.Meaning)
	}
	b.WriteString(`# traffic:                  # how often cars pass places; feeds the joint plan and the risk
#   working_days: 250       # a year; a car without trips_per_year makes a trip on each
#   serves:                 # by location who goes there, by group or car where it goes
#     mill spur: [home]
#     interchange: [depot siding]
#   passes: {mill spur: 2}  # of a location on one trip, else 1
#   facing: {switch/S1: 0.5} # share of facing moves, by switch or location
#   pool: {interchange: 3000} # trips a year of all cars of a group of which the sheet holds a sample
# incidents:                # your own log of derailments and broken parts; it weighs the rank of places
#   years: 5                # how many it goes back
#   at: {mill spur: 2}      # by location; 0: none happened there; not named: nothing is said of it
# costs:                    # in your currency; holds, closings, slow orders and lower classes are per year
#   currency: USD
#   horizon_years: 5        # over which they are counted; a work whose life ends within it is done again
`)
	for _, c := range data.Costs {
		fmt.Fprintf(&b, "#   %s: %s   # %s\n", c.Name, configs.Money(c.Cents), c.Meaning)
	}
	b.WriteString("#   shop: none              # what it has: lathe, press; wheels are turned or pressed where it " +
		"has one, or\n" +
		"#                           # where wheelset_turn or axle_press is a price of your own\n")
	b.WriteString("#   crew_days:              # by the same names\n")
	for _, c := range data.Costs {
		fmt.Fprintf(&b, "#     %s: %s\n", c.Name, configs.Days(c.Millis))
	}
	b.WriteString("#   tolerance:              # how far from its order a work can be kept, by the same names\n")
	b.WriteString("#     regauge: 1/8\n")
	b.WriteString("#   lengths:                # feet of wide or tight gauge, by curve or spot\n")
	b.WriteString("#     curve/C1: 120\n")
	return b.String()
}
