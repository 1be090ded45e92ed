package wheel

import (
	"math"

	"flangeway/internal/measure"
)

// Values are the entries of the columns of a stream, each different one parsed once
// by the parser of all readings. An entry is named by a number; 0 is a missing one.
type Values struct {
	Columns []Quantity // that the sheet has
	columns [NumQuantities]valueColumn
}

// PerMM is in how many parts a millimetre is told for entries: every notation with
// up to eight decimals of an inch is a whole number of them.
const PerMM = 1e9

// Value is one entry. Lo, Hi and As are whole parts of [PerMM].
type Value struct {
	Reading    measure.Reading
	Lo, Hi, As int64
	odd        oddness
}

// oddness is what the warnings of wheels ask of one reading.
type oddness uint8

const (
	oneSided oddness = 1 << iota
	isLow
	isHollow
)

// Value is an entry by its column and number.
func (v *Values) Value(q Quantity, id int32) *Value { return &v.columns[q].list[id] }

// Count is the number of entries of a column, the missing one among them.
func (v *Values) Count(q Quantity) int { return len(v.columns[q].list) }

// valueColumn is the entries of one column.
type valueColumn struct {
	q    Quantity
	spec measure.Spec
	list []Value
	// decimals finds the entries that are plain numbers by their digits behind the
	// point, 0 without one, and all their digits as a number.
	decimals [maxDigits + 1][]int32
	texts    map[string]int32
}

// Plain numbers of at most so many digits behind the point, and below maxPlain
// without it, are found without their text.
const (
	maxDigits = 4
	maxPlain  = 1 << 20
	maxText   = 64
	maxValues = 1 << 16
)

// whole is the number of an entry that has none: it is one that cannot be read, or
// that no whole number of parts tells.
const whole = -1

func newValues(columns map[string]measure.Spec) *Values {
	v := &Values{}
	for q := Quantity(0); q < NumQuantities; q++ {
		v.columns[q] = valueColumn{q: q, spec: columns[q.String()], list: make([]Value, 1, 64), texts: map[string]int32{}}
	}
	return v
}

// plain names the plain number with the given digits; text is how it is written.
func (c *valueColumn) plain(digits, n int, text []byte) int32 {
	t := c.decimals[digits]
	if n < len(t) && t[n] != 0 {
		return t[n]
	}
	id := c.parse(text)
	if n >= len(t) {
		t = append(t, make([]int32, max(n+1, 2*len(t))-len(t))...)
		c.decimals[digits] = t
	}
	t[n] = id
	return id
}

// text names any other entry.
func (c *valueColumn) text(text []byte) int32 {
	if id, ok := c.texts[string(text)]; ok {
		return id
	}
	id := c.parse(text)
	if id != whole {
		c.texts[string(text)] = id
	}
	return id
}

// parse makes a new entry.
func (c *valueColumn) parse(text []byte) int32 {
	r, err := c.spec.Parse(string(text))
	if err != nil || len(c.list) >= maxValues {
		return whole
	}
	if !r.Measured() {
		return 0
	}
	v := Value{Reading: r}
	for _, end := range []struct {
		mm    float64
		parts *int64
	}{{r.Lo, &v.Lo}, {r.Hi, &v.Hi}, {r.As, &v.As}} {
		n, ok := Parts(end.mm)
		if !ok {
			return whole
		}
		*end.parts = n
	}
	if r.OneSided() {
		v.odd |= oneSided
	}
	if c.q == FlangeHeight && low(r) {
		v.odd |= isLow
	}
	if c.q == TreadHollow && hollow(r) {
		v.odd |= isHollow
	}
	c.list = append(c.list, v)
	return int32(len(c.list) - 1)
}

// Parts is a length in parts of [PerMM]; ok is false where it is no whole number of
// them, but for what sums in floating point leave over.
func Parts(mm float64) (n int64, ok bool) {
	x := mm * PerMM
	r := math.Round(x)
	return int64(r), math.Abs(x-r) < 0.05 && math.Abs(r) < 1e15
}

// InMM is a length of whole parts in mm.
func InMM(parts int64) float64 { return float64(parts) / PerMM }
