package bulk

import (
	"math"
	"math/bits"
	"slices"

	"flangeway/internal/measure"
	"flangeway/wheel"
)

// Values are the entries of the columns of a stream, each different one parsed once by the parser of all readings. An
// entry is named by a number; 0 is a missing one.
type Values struct {
	Columns []wheel.Quantity // that the sheet has
	columns [wheel.NumQuantities]valueColumn
}

// PerMM is in how many parts a millimetre is told for entries: every notation with up to eight decimals of an inch is a
// whole number of them.
const PerMM = 1e9

// oddness holds the bounds that the warnings of wheels set to one reading.
type oddness uint8

const (
	oneSided oddness = 1 << iota
	isLow
	isHollow
	isStep // a thickness that ends elsewhere with a narrow flange
	isWide // a back-to-back of narrow flanges
)

// Reading is an entry by its column and number.
func (v *Values) Reading(q wheel.Quantity, id int32) measure.Reading {
	e := &v.columns[q].list[id]
	return measure.Reading{Written: e.written, Form: e.form, As: e.as, Lo: e.lo, Hi: e.hi}
}

// Count is the number of entries of a column, the missing one among them.
func (v *Values) Count(q wheel.Quantity) int { return len(v.columns[q].list) }

// Ends are the ends of one entry, in parts of [PerMM].
type Ends struct{ Lo, Hi int64 }

// Ends are those of a column's entries by their number.
func (v *Values) Ends(q wheel.Quantity) []Ends { return v.columns[q].ends }

// valueEntry is a reading that stands in no one place.
type valueEntry struct {
	written    string
	as, lo, hi float64
	form       measure.Form
}

type valueColumn struct {
	q     wheel.Quantity
	spec  measure.Spec
	list  []valueEntry
	ends  []Ends    // of list, as is what follows
	as    []int64   // in parts of [PerMM]
	odd   []oddness // a missing one counts as one-sided
	short shortTexts
	texts map[string]int32
	// narrow is the entry of a step with a narrow flange.
	narrow map[int32]int32
	rule   *wheel.NarrowRule
}

// Entries of at most maxShort bytes are found by those bytes as one number, longer ones by their text, of at most
// maxText.
const (
	maxShort  = 7
	maxText   = 64
	maxValues = 1 << 16
)

// whole is the number of an entry that has none: it is one that cannot be read, or that no whole number of parts tells.
const whole = -1

func newValues(columns map[string]measure.Spec) *Values {
	v := &Values{}
	rule := wheel.NewNarrowRule(columns)
	for q := wheel.Quantity(0); q < wheel.NumQuantities; q++ {
		v.columns[q] = valueColumn{q: q, spec: columns[q.String()], list: make([]valueEntry, 1, 64),
			ends: make([]Ends, 1, 64), as: make([]int64, 1, 64), odd: []oddness{oneSided}, texts: map[string]int32{},
			narrow: map[int32]int32{}, rule: rule}
		v.columns[q].short.grow()
		v.columns[q].short.put(0, 0) // a blank cell
	}
	return v
}

// shortTexts finds numbers of entries by their text as a number, first byte lowest.
type shortTexts struct {
	texts   []uint64 // a power of two of them; noText is a free place
	entries []uint16 // of texts
	shift   uint     // 64 less that power
	used    int
}

// noText is no text of at most maxShort bytes.
const noText = 1<<64 - 1

const spread = 0x9E3779B97F4A7C15

// find gives the number of an entry; ok is false if the text is a new one.
func (t *shortTexts) find(text uint64) (entry int32, ok bool) {
	texts := t.texts
	for i := text * spread >> (t.shift & 63); ; i++ {
		i &= uint64(len(texts) - 1)
		switch texts[i] {
		case text:
			return int32(t.entries[i]), true
		case noText:
			return 0, false
		}
	}
}

func (t *shortTexts) put(text uint64, entry int32) {
	if 3*t.used >= 2*len(t.texts) {
		t.grow()
	}
	i := text * spread >> t.shift
	for ; t.texts[i] != noText; i = (i + 1) & uint64(len(t.texts)-1) {
	}
	t.texts[i], t.entries[i] = text, uint16(entry)
	t.used++
}

func (t *shortTexts) grow() {
	texts, entries := t.texts, t.entries
	n := max(256, 2*len(texts))
	t.texts, t.entries = make([]uint64, n), make([]uint16, n)
	for i := range t.texts {
		t.texts[i] = noText
	}
	t.shift, t.used = 64-uint(bits.TrailingZeros(uint(n))), 0
	for i, text := range texts {
		if text != noText {
			t.put(text, int32(entries[i]))
		}
	}
}

// text names the entry that is written like this.
func (c *valueColumn) text(text []byte) int32 {
	if len(text) > maxShort {
		if id, ok := c.texts[string(text)]; ok {
			return id
		}
	}
	id := c.parse(text)
	if id == whole {
		return whole
	}
	if len(text) > maxShort {
		c.texts[string(text)] = id
		return id
	}
	word := uint64(0)
	for i, b := range text {
		word |= uint64(b) << (8 * i)
	}
	c.short.put(word, id)
	return id
}

// parse makes a new entry.
func (c *valueColumn) parse(text []byte) int32 {
	r, err := c.spec.Parse(string(text))
	if err != nil || len(c.list) >= maxValues || c.short.used+len(c.texts) >= 4*maxValues {
		return whole
	}
	if !r.Measured() {
		return 0
	}
	id := c.add(r)
	if c.q == wheel.FlangeThickness && id != whole {
		if n := c.rule.Narrow(r); n.Hi != r.Hi {
			if c.narrow[id] = c.add(n); c.narrow[id] == whole {
				return whole
			}
			c.odd[id] |= isStep
		}
	}
	return id
}

func (c *valueColumn) add(r measure.Reading) int32 {
	var parts [3]int64
	for i, mm := range []float64{r.Lo, r.Hi, r.As} {
		n, ok := Parts(mm)
		if !ok {
			return whole
		}
		parts[i] = n
	}
	odd := oddness(0)
	if r.OneSided() {
		odd |= oneSided
	}
	if c.q == wheel.FlangeHeight && wheel.Low(r) {
		odd |= isLow
	}
	if c.q == wheel.TreadHollow && wheel.Hollow(r) {
		odd |= isHollow
	}
	if c.q == wheel.BackToBack && c.rule.Wide(r) {
		odd |= isWide
	}
	if n := len(c.list); n == cap(c.list) { // most columns have some hundreds
		c.list, c.ends, c.as, c.odd = slices.Grow(c.list, n), slices.Grow(c.ends, n),
			slices.Grow(c.as, n), slices.Grow(c.odd, n)
	}
	c.list, c.ends = append(c.list, valueEntry{r.Written, r.As, r.Lo, r.Hi, r.Form}),
		append(c.ends, Ends{parts[0], parts[1]})
	c.as, c.odd = append(c.as, parts[2]), append(c.odd, odd)
	return int32(len(c.list) - 1)
}

// Parts is a length in parts of [PerMM]; ok is false if it is no whole number of them, but for what sums in floating
// point leave over.
func Parts(mm float64) (n int64, ok bool) {
	x := mm * PerMM
	r := math.Round(x)
	return int64(r), math.Abs(x-r) < 0.05 && math.Abs(r) < 1e15
}

// InMM is a length of whole parts in mm.
func InMM(parts int64) float64 { return float64(parts) / PerMM }
