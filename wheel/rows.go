package wheel

import (
	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Rows reads rows of wheels.csv car by car, for readers that do not keep the sheet.
type Rows struct {
	*sheet.Fields
	reader *reader
}

// NewRows reads rows under the headings of a table.
func NewRows(table *sheet.Table, roster *Roster, columns map[string]measure.Spec, data *configs.Data, frame sheet.Frame,
	problems *measure.Problems) *Rows {
	return &Rows{&sheet.Fields{Table: table, Columns: columns, Problems: problems, Frame: frame},
		&reader{columns: columns, data: data, problems: problems, narrow: NewNarrowRule(columns), frame: frame,
			fleet: &Fleet{}, cars: map[string]*Car{}, roster: roster}}
}

// Begin forgets the rows that were read, and lends room for the wheels of the next ones.
func (x *Rows) Begin(room []Wheel) {
	clear(x.reader.cars)
	x.reader.fleet, x.reader.room = &Fleet{}, room
}

// Row reads a row; it is nil if its car or its position cannot be read.
func (x *Rows) Row(row sheet.Row) *Wheel { return x.reader.wheelRow(x.Fields, row) }

// Wheels are the newest rows of the wheels among those that were read since [Rows.Begin], by car and position, the
// wheels of an axle paired.
func (x *Rows) Wheels(rows []*Wheel) []*Wheel {
	r := x.reader
	r.newestOf(rows)
	r.sortFleet()
	r.axles()
	for _, w := range r.fleet.Wheels {
		r.oddWheel(w)
	}
	r.room = nil
	return r.fleet.Wheels
}

// Warnings are those since they were asked for last; they hold until the next row.
func (x *Rows) Warnings() []measure.Warning {
	list := x.reader.warnings
	x.reader.warnings = list[:0]
	return list
}

// OddIDs warns of ids that look alike; cars are sorted by id.
func OddIDs(cars []*Car, roster *Roster) []measure.Warning {
	r := &reader{fleet: &Fleet{Cars: cars}, roster: roster}
	r.oddIDs()
	return r.warnings
}
