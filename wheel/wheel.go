package wheel

import (
	"slices"
	"strconv"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Position is L1..L8 or R1..R8: facing the B end, numbered from the B end. Ln and Rn of one car are one axle.
type Position struct {
	Side byte // 'L' or 'R'
	Axle int  // 1 to 8
}

// String gives L1 and so on; "" for the zero Position.
func (p Position) String() string {
	if p.Axle == 0 {
		return ""
	}
	return string([]byte{p.Side, byte('0' + p.Axle)})
}

// ParsePosition reads L1..L8, R1..R8, capital letters or small.
func ParsePosition(s string) (Position, bool) {
	if len(s) != 2 || s[1] < '1' || s[1] > '8' {
		return Position{}, false
	}
	side := s[0] &^ smallLetter
	if side != 'L' && side != 'R' {
		return Position{}, false
	}
	return Position{Side: side, Axle: int(s[1] - '0')}, true
}

// smallLetter is the bit that sets a small letter apart from its capital one.
const smallLetter = 'a' - 'A'

// Wheel is the newest row of one wheel.
type Wheel struct {
	Car      *Car
	Position Position
	Date     measure.Date
	Design   string
	Flange   string // of the design: narrow or wide; "" if none is named
	Note     string
	Place    measure.Place
	Turned   measure.Date // the last turning; the zero Date is unknown
	Profile  string       // the file of its traced shape beside the sheet; "" none
	Marks    sheet.Marks
	readings [NumQuantities]measure.Reading
	others   uint16 // readings that are not those of the row, by bit
	against  uint16 // readings that its trace contradicts, by bit
	axle     *Axle
	narrow   narrow
	// Earlier holds the older dated rows, oldest first; they feed the forecast and no verdict.
	Earlier []*Wheel
}

// RowDate is the date of the wheel's row.
func (w *Wheel) RowDate() measure.Date { return w.Date }

// RowPlace is where the wheel's row stands.
func (w *Wheel) RowPlace() measure.Place { return w.Place }

// Read is a reading of the wheel. BackToBack and BackToBackMax are the axle's, whichever of its rows holds them.
func (w *Wheel) Read(q Quantity) measure.Reading {
	switch {
	case (q == BackToBack || q == BackToBackMax) && w.axle != nil:
		return w.axle.spread[q-BackToBack]
	case q == FlangeThickness && w.readings[q].Form == measure.Above:
		return w.narrowed(w.readings[q])
	}
	return w.readings[q]
}

// Own is the reading in the wheel's own row.
func (w *Wheel) Own(q Quantity) measure.Reading { return w.readings[q] }

// Mate is the other wheel of the axle, or nil if the sheet has none.
func (w *Wheel) Mate() *Wheel {
	switch {
	case w.axle == nil:
		return nil
	case w.Position.Side == 'L':
		return w.axle.R
	}
	return w.axle.L
}

// Name is that of a wheel in lists: its car and position.
func (w *Wheel) Name() string { return w.Car.ID + " " + w.Position.String() }

// Axle is the wheel's axle.
func (w *Wheel) Axle() *Axle { return w.axle }

// Axle is the two wheels of one axle; one of them may be missing in the sheet.
type Axle struct {
	Car    *Car
	Number int
	L, R   *Wheel
	spread [2]measure.Reading // back_to_back, back_to_back_max
}

// Name is that of an axle in lists: its car and number.
func (a *Axle) Name() string { return a.Car.ID + " " + strconv.Itoa(a.Number) }

// Listed is the wheel at which checks of the whole axle are listed: L, or R if the sheet has no L.
func (a *Axle) Listed() *Wheel {
	if a.L != nil {
		return a.L
	}
	return a.R
}

// Wheels are those of the axle that stand in the sheet.
func (a *Axle) Wheels() []*Wheel {
	return slices.DeleteFunc([]*Wheel{a.L, a.R}, func(w *Wheel) bool { return w == nil })
}

// Like is the wheel of the axle that stands on the side of another one.
func (a *Axle) Like(w *Wheel) *Wheel {
	if w.Position.Side == 'R' {
		return a.R
	}
	return a.L
}

// Car is a car of cars.csv, or one that only wheels.csv names.
type Car struct {
	ID             string
	Kind           string // freight, locomotive, passenger, steam; "" unknown
	Service        string // of a locomotive: road, yard; "" unknown
	Owner          string // own, foreign, private
	GrossLb        float64
	Axles          int
	TruckWheelbase measure.Reading
	TruckCenters   measure.Reading
	Body           string          // stiff, ordinary, soft; "" as the settings have it
	LoadImbalance  measure.Reading // of the heavier side of a truck over half its load, percent
	WarpStiffness  string          // of the trucks: new, worn; "" as the settings have it
	Group          string
	TripsPerYear   float64
	Note           string
	Place          measure.Place
	Rostered       bool    // there is a cars.csv; it need not have this car
	AxleList       []*Axle // in order of number
}

// Trucks groups the axle numbers of the car: 1-2 and 3-4 of a four-axle car, 1-3 and 4-6 of a six-axle unit. ok is
// false for other arrangements, which keep the rules of a single wheel and axle.
func (c *Car) Trucks() (trucks [][]int, ok bool) {
	n := c.Axles
	if n == 0 && len(c.AxleList) > 0 {
		n = c.AxleList[len(c.AxleList)-1].Number
	}
	switch n {
	case 4:
		return [][]int{{1, 2}, {3, 4}}, true
	case 6:
		return [][]int{{1, 2, 3}, {4, 5, 6}}, true
	}
	return nil, false
}

// Axle finds an axle by number, or nil.
func (c *Car) Axle(number int) *Axle {
	for _, a := range c.AxleList {
		if a.Number == number {
			return a
		}
	}
	return nil
}

// Fleet is every car and wheel of a survey, sorted by car and position.
type Fleet struct {
	Cars   []*Car
	Wheels []*Wheel
}

// Car finds a car by id, or nil.
func (f *Fleet) Car(id string) *Car {
	for _, c := range f.Cars {
		if c.ID == id {
			return c
		}
	}
	return nil
}
