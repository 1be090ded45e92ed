package wheel

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Sheets are the two sheets of the car department; nil is an absent one.
type Sheets struct {
	Cars, Wheels *sheet.Source
	sheet.Frame
}

// Read reads cars.csv and wheels.csv. Problems are added to the list, so that all of them are reported at once;
// warnings say what is odd but possible. The fleet is complete only if no problem was added.
func Read(in Sheets, columns map[string]measure.Spec, data *configs.Data,
	problems *measure.Problems) (*Fleet, []measure.Warning) {
	return ReadWheels(in.Wheels, ReadCars(in.Cars, columns, data, problems), columns, data, in.Frame, problems)
}

// ReadWheels reads wheels.csv, nil for none, when the cars are read.
func ReadWheels(from *sheet.Source, roster *Roster, columns map[string]measure.Spec, data *configs.Data,
	frame sheet.Frame, problems *measure.Problems) (*Fleet, []measure.Warning) {
	r := &reader{columns: columns, data: data, problems: problems, narrow: NewNarrowRule(columns), frame: frame,
		fleet: &Fleet{}, cars: map[string]*Car{}, roster: roster}
	for _, listed := range roster.Cars() {
		c, _ := roster.car(listed.ID)
		r.cars[c.ID] = c
		r.fleet.Cars = append(r.fleet.Cars, c)
	}
	if from != nil {
		r.readWheels(from)
	}
	r.sortFleet()
	r.axles()
	r.oddIDs()
	for _, c := range r.fleet.Cars {
		r.oddCar(c)
	}
	for _, w := range r.fleet.Wheels {
		r.oddWheel(w)
	}
	return r.fleet, r.warnings
}

type reader struct {
	columns  map[string]measure.Spec
	data     *configs.Data
	problems *measure.Problems
	narrow   *NarrowRule
	frame    sheet.Frame
	fleet    *Fleet
	cars     map[string]*Car
	roster   *Roster // the listed cars, which the readers of a stream share
	room     []Wheel // lent for the wheels that are read
	warnings []measure.Warning
}

func (r *reader) warn(place measure.Place, format string, args ...any) {
	r.warnings = append(r.warnings, measure.Warning{Place: place, Text: fmt.Sprintf(format, args...)})
}

func (r *reader) readCars(from *sheet.Source) {
	t := from.Read(Headings(CarSheet), r.problems)
	f := &sheet.Fields{Table: t, Columns: r.columns, Problems: r.problems}
	if !t.Has("car") && len(t.Heads) > 0 {
		r.problems.Add(t.Place(1, 1), "car", "the column is missing", "a column car")
		return
	}
	for _, row := range t.Rows {
		id := f.NeedID(row, "car")
		c := &Car{ID: id, Place: f.Place(row, "car")}
		for i := range columns {
			column := &columns[i]
			if column.car != nil {
				column.car(entry{sheet.Entry{Fields: f, Row: row, Column: column.Name}, r}, c)
			}
		}
		if id == "" {
			continue
		}
		if first, twice := r.cars[id]; twice {
			f.Fail(row, "car", fmt.Sprintf("car %q stands twice", id),
				"each car once; the first stands in "+first.Place.LineText())
			continue
		}
		r.cars[id] = c
		r.fleet.Cars = append(r.fleet.Cars, c)
	}
}

func (r *reader) readWheels(from *sheet.Source) {
	t := from.Read(Headings(WheelSheet), r.problems)
	f := &sheet.Fields{Table: t, Columns: r.columns, Problems: r.problems, Frame: r.frame}
	if !Needed(t, r.problems) {
		return
	}
	var rows []*Wheel
	for _, row := range t.Rows {
		if w := r.wheelRow(f, row); w != nil {
			rows = append(rows, w)
		}
	}
	r.newestOf(rows)
	if !r.roster.Listed && len(r.fleet.Wheels) > 0 {
		r.warnings = append(r.warnings, NoCars(from.Place, from.Sibling("cars")))
	}
}

// Needed reports the columns without which no row can be read.
func Needed(t *sheet.Table, problems *measure.Problems) bool {
	for _, need := range []string{"car", "position"} {
		if !t.Has(need) && len(t.Heads) > 0 {
			problems.Add(t.Place(1, 1), need, "the column is missing", "a column "+need)
			return false
		}
	}
	return true
}

// NoCars is the warning of a survey without a sheet of cars.
func NoCars(place measure.Place, cars string) measure.Warning {
	return measure.Warning{Place: place, Text: "there is no " + cars +
		": the kind of every car is unknown, so no book of a kind judges its wheels"}
}

// newestOf adds the newest row of every wheel to the fleet.
func (r *reader) newestOf(all []*Wheel) {
	type key struct {
		car *Car
		pos Position
	}
	rows := map[key][]*Wheel{}
	var order []key
	for _, w := range all {
		k := key{w.Car, w.Position}
		if len(rows[k]) == 0 {
			order = append(order, k)
		}
		rows[k] = append(rows[k], w)
	}
	for _, k := range order {
		if w := r.newest(rows[k]); w != nil {
			r.fleet.Wheels = append(r.fleet.Wheels, w)
		}
	}
}

// newWheel is room for a wheel, in what the caller lent if there is some left.
func (r *reader) newWheel() *Wheel {
	if len(r.room) == 0 {
		return &Wheel{}
	}
	w := &r.room[0]
	r.room = r.room[1:]
	return w
}

// wheelRow reads a row and hangs it on its car; nil if car or position is unreadable.
func (r *reader) wheelRow(f *sheet.Fields, row sheet.Row) *Wheel {
	car := f.NeedID(row, "car")
	w := r.newWheel()
	*w = Wheel{Place: f.Place(row, "car"), narrow: narrow{rule: r.narrow}}
	posText := f.Text(row, "position")
	pos, ok := ParsePosition(posText)
	if !ok {
		f.Fail(row, "position", fmt.Sprintf("%q is not a wheel position", posText), "L1 to L8 or R1 to R8")
	}
	w.Position = pos
	for i := range columns {
		column := &columns[i]
		if column.wheel != nil {
			column.wheel(entry{sheet.Entry{Fields: f, Row: row, Column: column.Name}, r}, w)
		}
	}
	r.greatest(w.readings[BackToBack], w.readings[BackToBackMax])
	r.trace(f, row, w)
	if car == "" || !ok {
		return nil
	}
	c := r.cars[car]
	if c == nil {
		listed := false
		if c, listed = r.roster.car(car); !listed {
			c = &Car{ID: car, Owner: "own", Place: w.Place, Rostered: r.roster.Listed}
		}
		r.cars[car] = c
		r.fleet.Cars = append(r.fleet.Cars, c)
		if r.roster.Listed && !listed {
			hint := ""
			if near := r.roster.alike(car); near != "" {
				hint = fmt.Sprintf("; did you mean %s? They %s", near, sheet.Differ(near, car))
			}
			r.warn(w.Place, "car %s has wheels and stands in no row of %s: its kind is unknown%s", car,
				r.roster.name, hint)
		}
	}
	if c.Axles > 0 && pos.Axle > c.Axles {
		f.Fail(row, "position", fmt.Sprintf("car %s has %d axles", car, c.Axles), fmt.Sprintf("axle 1 to %d", c.Axles))
	}
	w.Car = c
	return w
}

// trace takes what was not gauged from the traced profile of the row, and warns of what contradicts it.
func (r *reader) trace(f *sheet.Fields, row sheet.Row, w *Wheel) {
	t, ok := f.Traced(row, "profile", "wheels", w.Profile, w.Design)
	if !ok {
		return
	}
	at := f.Place(row, "profile")
	var from []string
	for q := range NumQuantities {
		told := t.Readings[q.String()]
		read, taken, against := sheet.Laid(w.readings[q], told, at)
		if w.readings[q] = read; taken {
			from = append(from, q.String()+" "+told.Written)
		}
		if against {
			w.against |= 1 << q
			r.warn(read.Place, "%s %s contradicts the trace %s, which gives %s (%s); the reading counts, measure it "+
				"again", q, read.Written, w.Profile, told.Written, t.Quality)
		}
	}
	if len(from) > 0 {
		r.warn(at, "%s taken from the trace %s: %s", strings.Join(from, ", "), w.Profile, t.Quality)
	}
}

// newest picks the reading of one wheel and keeps its history.
func (r *reader) newest(rows []*Wheel) *Wheel {
	if len(rows) == 1 {
		return rows[0]
	}
	w, earlier, ok := sheet.History(rows,
		fmt.Sprintf("wheel %s %s", rows[0].Car.ID, rows[0].Position), "position", r.problems)
	if !ok {
		return nil
	}
	w.Earlier = earlier
	return w
}

func (r *reader) sortFleet() {
	sort.Slice(r.fleet.Cars, func(i, j int) bool { return r.fleet.Cars[i].ID < r.fleet.Cars[j].ID })
	sort.Slice(r.fleet.Wheels, func(i, j int) bool {
		a, b := r.fleet.Wheels[i], r.fleet.Wheels[j]
		if a.Car != b.Car {
			return a.Car.ID < b.Car.ID
		}
		if a.Position.Side != b.Position.Side {
			return a.Position.Side < b.Position.Side
		}
		return a.Position.Axle < b.Position.Axle
	})
}

// axles pairs the wheels and finds the axle's back-to-back on either row.
func (r *reader) axles() {
	for _, w := range r.fleet.Wheels {
		a := w.Car.Axle(w.Position.Axle)
		if a == nil {
			a = &Axle{Car: w.Car, Number: w.Position.Axle}
			w.Car.AxleList = append(w.Car.AxleList, a)
		}
		if w.Position.Side == 'L' {
			a.L = w
		} else {
			a.R = w
		}
		w.axle = a
	}
	for _, c := range r.fleet.Cars {
		sort.Slice(c.AxleList, func(i, j int) bool { return c.AxleList[i].Number < c.AxleList[j].Number })
		for _, a := range c.AxleList {
			for i := range a.spread {
				a.spread[i] = r.eitherRow(a, BackToBack+Quantity(i))
			}
			if least, most := a.spread[0], a.spread[1]; least.Place.Line != most.Place.Line {
				r.greatest(least, most) // of one row it is seen with the row
			}
		}
	}
}

// greatest adds a problem if the greatest back-to-back of an axle is below its least.
func (r *reader) greatest(least, most measure.Reading) {
	if least.Measured() && most.Measured() && most.Hi < least.Lo {
		r.problems.Add(most.Place, BackToBackMax.String(),
			fmt.Sprintf("the greatest back_to_back %s is below the least, %s", most.Written, least.Written),
			"the greater of the places read; the least stands in "+least.Place.LineText())
	}
}

// sameValue is the difference in mm below which two entries say the same.
const sameValue = 1e-6

func (r *reader) eitherRow(a *Axle, q Quantity) measure.Reading {
	var left, right measure.Reading
	if a.L != nil {
		left = a.L.readings[q]
	}
	if a.R != nil {
		right = a.R.readings[q]
	}
	switch {
	case !right.Measured():
		return left
	case !left.Measured():
		return right
	case left.Form != right.Form || math.Abs(left.As-right.As) > sameValue:
		first, second := left, right
		if first.Place.Line > second.Place.Line {
			first, second = second, first
		}
		r.problems.Add(second.Place, q.String(), fmt.Sprintf("axle %d of car %s has two values, %s and %s",
			a.Number, a.Car.ID, first.Written, second.Written),
			"one value an axle, on either of its rows; the other stands in "+first.Place.LineText())
	}
	if right.Width() > left.Width() { // the same value written with less certainty: keep to the wider
		return right
	}
	return left
}

// oddIDs warns of car ids that look alike, but for a listed car and one that is not, which is told of the latter.
func (r *reader) oddIDs() {
	seen := map[string]*Car{}
	for _, c := range r.fleet.Cars {
		as := sheet.Lookalike(c.ID)
		if other := seen[as]; other != nil && r.roster.Has(other.ID) == r.roster.Has(c.ID) {
			r.warn(c.Place, "cars %s and %s %s; they are taken as two cars", other.ID, c.ID,
				sheet.Differ(other.ID, c.ID))
		}
		seen[as] = c
	}
}
