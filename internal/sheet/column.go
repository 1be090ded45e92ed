package sheet

import "flangeway/internal/measure"

// Column is a column of a sheet as whoever fills it in has to know it.
type Column struct {
	Name    string
	Unit    string // of a number without one: in, mm, deg, lb; "" if no number with a unit stands in it
	Bounded bool   // it holds a reading whose physical range stands under its name in configs/bounds.yaml
	Meaning string
	Words   []string // that may stand in it, if it holds one of a few
}

// The meanings of columns that the sheets of wheels and of track share.
const (
	DateMeaning    = "YYYY-MM-DD; older rows of the same thing are its history and the newest row is the reading"
	NoteMeaning    = "anything; for a loaded gauge name the load here"
	MarksMeaning   = "what was seen, words separated by blanks; none is looked at and nothing seen"
	ProfileMeaning = "name of a file of traced x, y beside the sheet"
)

// Entry is the cell of a row under a column.
type Entry struct {
	*Fields
	Row    Row
	Column string
}

// Text is the text of the cell; see [Fields.Text].
func (e Entry) Text() string { return e.Fields.Text(e.Row, e.Column) }

// Name is a name; see [Fields.Name].
func (e Entry) Name() string { return e.Fields.Name(e.Row, e.Column) }

// File is the name of a file beside the sheet; see [Fields.File].
func (e Entry) File() string { return e.Fields.File(e.Row, e.Column) }

// Word is one of the allowed words; see [Fields.Word].
func (e Entry) Word(allowed ...string) string { return e.Fields.Word(e.Row, e.Column, allowed...) }

// Marks are the words that were seen; see [Fields.Marks].
func (e Entry) Marks(allowed ...string) Marks { return e.Fields.Marks(e.Row, e.Column, allowed...) }

// Number is a plain number; see [Fields.Number].
func (e Entry) Number(low, high float64, whole bool) (v float64, ok bool) {
	return e.Fields.Number(e.Row, e.Column, low, high, whole)
}

// Date is a date; see [Fields.Date].
func (e Entry) Date() measure.Date { return e.Fields.Date(e.Row, e.Column) }

// Reading is a reading; see [Fields.Reading].
func (e Entry) Reading() measure.Reading { return e.Fields.Reading(e.Row, e.Column) }

// Fail adds a problem at the cell; see [Fields.Fail].
func (e Entry) Fail(what, expected string) { e.Fields.Fail(e.Row, e.Column, what, expected) }
