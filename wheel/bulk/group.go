package bulk

import (
	"bytes"
	"encoding/binary"
	"math/bits"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
)

// Group is the wheels of one car as numbers of their entries.
type Group struct {
	Order   Order     // of the car; a wheel's is its own with the slot added
	Kind    uint8     // index into [Kinds], or their number for an unknown kind
	Present uint16    // the wheels there are, by slot: L1 to L8, then R1 to R8
	at      [16]uint8 // by slot, where the wheel stands in rows
	count   uint8     // of the rows that are the car's
	rows    [17]GroupRow
}

// GroupRow is one wheel of a group.
type GroupRow struct {
	Entries [wheel.NumQuantities]int32
	Has     uint16 // the quantities that are not missing
	Design  int16  // index into the designs of configs and 1; 0 for none
	slot    uint8
}

const _ = uint(16 - int(wheel.NumQuantities)) // GroupRow.Has has room for all readings

// Row is a wheel that is present, by its slot.
func (g *Group) Row(slot int) *GroupRow { return &g.rows[g.at[slot&15]&15] }

// Mate is the slot of the other wheel of an axle.
func Mate(slot int) int { return slot ^ 8 }

// GroupVisitor is a visitor that takes cars as groups. The entries of a stream are those of the visitor's worker. Cars
// that need more than their entries say, such as those with a history, come by [Visitor.Car] all the same.
type GroupVisitor interface {
	Visitor
	Values(v *Values)
	Group(g *Group)
	// Whole asks for a car by [Visitor.Car].
	Whole(kind uint8, id []byte) bool
}

// column is how the cells under one heading are read.
type column struct {
	is      wheel.Plain
	q       wheel.Quantity
	entries *valueColumn
	// usual is how many bytes the last cell had that was not blank, and mark what stood behind it. Most cells are as
	// long as the one above, so where a cell ends need not be looked for.
	usual uint8
	mark  byte
	like  *decimals // of that length
	// alike are the entries that are written as decimals, by their length in bytes.
	alike [maxShort + 1]decimals
}

// dateText is the ten bytes of a date; the zero one is none.
type dateText struct {
	month uint64 // and the year, up to the second dash
	day   uint16
}

// groups reads rows by their bytes.
type groups struct {
	visit    GroupVisitor
	values   *Values
	data     *configs.Data
	columns  []column
	designs  map[string]int16
	narrows  []bool          // by the number of a design
	marks    map[string]bool // texts that are marks
	latest   measure.Date    // of a row
	dates    [64]dateText    // that were read, by the last digits of their day
	g        Group           // the row read last stands behind those of the car
	from, to int             // of the id in the row that was read
	same     bool            // it is the one that was likely
}

func newGroups(s *Stream, v GroupVisitor) *groups {
	x := &groups{visit: v, data: s.data, values: newValues(s.columns), designs: map[string]int16{},
		marks: map[string]bool{}, latest: s.frame.Latest}
	x.narrows = make([]bool, len(s.data.Designs)+1)
	for i, d := range s.data.Designs {
		x.designs[d.Name] = int16(i + 1)
		x.narrows[i+1] = d.Flange == "narrow"
	}
	for _, h := range s.sheet.Headings() {
		c := column{mark: ','}
		for _, known := range wheel.Columns(wheel.WheelSheet) {
			if known.Name != h {
				continue
			}
			c.is = known.Plain
			if q, ok := known.Reads(); ok {
				c.q, c.entries = q, &x.values.columns[q]
				x.values.Columns = append(x.values.Columns, q)
			}
		}
		x.columns = append(x.columns, c)
	}
	for k := range x.columns {
		x.columns[k].like = &x.columns[k].alike[0]
	}
	x.columns[len(x.columns)-1].mark = '\n'
	v.Values(x.values)
	return x
}

// maxID is the longest id that is read by its bytes.
const maxID = 64

// row reads the row at i, which a line feed ends somewhere in b, and gives the byte behind it. ok is false if the row
// is not of the plain kind; nothing is said of it then. id is that of the car at hand, the likely one. Behind the line
// feed b has some more bytes.
func (x *groups) row(b []byte, i int, id []byte) (end int, ok bool) {
	last, g := len(x.columns)-1, &x.g.rows[x.g.count]
	has := uint16(0)
	for k := range x.columns {
		f := &x.columns[k]
		switch {
		case f.is == wheel.PlainReading:
			// the cell as a number
			word := binary.LittleEndian.Uint64(b[i:])
			if byte(word) == f.mark {
				g.Entries[f.q] = 0
				break
			}
			// As long as usual it is if that gives an entry: none holds a mark.
			if n := f.usual; byte(word>>(8*n&63)) == f.mark {
				if entry, known := f.like.find(word); known {
					g.Entries[f.q] = entry
					has |= uint16(uint32(-entry)>>31) << f.q
					i += int(n)
					break
				}
			}
			entry, end := f.read(b, i, word, k == last)
			if entry < 0 {
				return 0, false
			}
			g.Entries[f.q] = entry
			has |= uint16(uint32(-entry)>>31) << f.q
			i = end
		case f.is == wheel.PlainCar:
			n := len(id)
			if i+n < len(b) && b[i+n] == ',' && n > 0 && string(b[i:i+n]) == string(id) {
				x.from, x.to, x.same = i, i+n, true
				i += n
				break
			}
			from := i
			for plainByte(b[i]) {
				i++
			}
			if i == from || i-from > maxID || i-from <= 3 && measure.Unmeasured(string(b[from:i])) {
				return 0, false
			}
			x.from, x.to, x.same = from, i, false
		case f.is == wheel.PlainPosition:
			side, axle := b[i]&^smallLetter, b[i+1]-'1'
			if side != 'L' && side != 'R' || axle > 7 {
				return 0, false
			}
			g.slot = axle | side>>1&1<<3 // L is even in its second bit, R odd
			i += 2
		case f.is == wheel.PlainDate:
			text := dateText{binary.LittleEndian.Uint64(b[i:]), binary.LittleEndian.Uint16(b[i+8:])}
			switch known := &x.dates[text.day&3<<4|text.day>>8&15]; {
			case text == *known && text.day != 0:
				i += 10
			case b[i] == ',' || b[i] == '\n' || b[i] == '\r':
			default:
				d, err := measure.ParseDate(string(b[i : i+10]))
				if err != nil || x.latest.Known() && d > x.latest {
					return 0, false
				}
				*known = text
				i += 10
			}
		case f.is == wheel.PlainDesign:
			from := i
			if i = cell(b, i, maxText); i < 0 {
				return 0, false
			}
			g.Design = 0
			if i > from {
				var known bool
				if g.Design, known = x.designs[string(b[from:i])]; !known {
					if g.Design, known = x.design(string(b[from:i])); !known {
						return 0, false
					}
				}
			}
		case f.is == wheel.PlainMarks:
			from := i
			if i = cell(b, i, maxText); i < 0 || i > from && !x.marked(b[from:i]) {
				return 0, false
			}
		case f.is == wheel.PlainBlank:
			if b[i] != ',' && b[i] != '\n' && b[i] != '\r' {
				return 0, false
			}
		case f.is == wheel.PlainText:
			if i = cell(b, i, maxNote); i < 0 {
				return 0, false
			}
		}
		if k < last {
			if b[i] != ',' {
				return 0, false
			}
			i++
		}
	}
	if b[i] == '\r' {
		i++
	}
	if b[i] != '\n' {
		return 0, false
	}
	g.Has = has
	return i + 1, true
}

// design is the number of a design that is written in another way than in configs.
func (x *groups) design(text string) (number int16, known bool) {
	text = strings.TrimSpace(text)
	if measure.Unmeasured(text) {
		return 0, true
	}
	d, known := x.data.Design(text)
	if !known {
		return 0, false
	}
	return x.designs[d.Name], true
}

// marked reports a cell of marks that every worker takes, and keeps those it has seen.
func (x *groups) marked(text []byte) bool {
	if x.marks[string(text)] {
		return true
	}
	words := bytes.Fields(text)
	one := len(words) == 1 && (measure.Unmeasured(string(words[0])) || measure.LookedAt(string(words[0])))
	for _, w := range words {
		if _, ok := measure.Canonical(string(w), wheel.Marks()); !ok && !one {
			return false
		}
	}
	if len(x.marks) < maxMarks {
		x.marks[string(text)] = true
	}
	return true
}

// maxMarks bounds the texts of marks that are kept.
const maxMarks = 1 << 10

// read reads a cell whose length is not the usual one; word is its first bytes. The entry is below zero if the cell is
// not plain.
func (f *column) read(b []byte, i int, word uint64, last bool) (entry int32, end int) {
	// up to the next comma, or the line's end in the last column; another line end in it makes a text that no entry has
	n := toComma(word)
	if last {
		n = toLineEnd(word)
	}
	if n <= maxShort {
		alike := &f.alike[n]
		entry, known := alike.find(word)
		if !known {
			if entry, known = f.entries.short.find(word & (1<<(8*uint(n)&63) - 1)); known {
				alike.put(b[i:i+n], word, entry)
			}
		}
		if known {
			if n > 0 {
				f.usual, f.mark, f.like = uint8(n), b[i+n], alike
			}
			return entry, i + n
		}
	}
	if end = cell(b, i, maxText); end < 0 {
		return whole, 0
	}
	return f.entries.text(b[i:end]), end
}

// padding is how many bytes [groups.row] may look at behind a line feed.
const padding = sheet.Padding

// toComma is the number of bytes before the first comma of eight, or 8.
func toComma(word uint64) int {
	x := word ^ 0x2C2C2C2C2C2C2C2C
	return bits.TrailingZeros64((x-0x0101010101010101)&^x&0x8080808080808080) >> 3
}

// toLineEnd is the number of bytes before the first line end of eight, or 8.
func toLineEnd(word uint64) int {
	x := word ^ 0x0A0A0A0A0A0A0A0A
	n := bits.TrailingZeros64((x-0x0101010101010101)&^x&0x8080808080808080) >> 3
	if n > 0 && n < 8 && byte(word>>(8*uint(n-1)&63)) == '\r' {
		n--
	}
	return n
}

// maxNote is the longest note that is passed over by its bytes.
const maxNote = 4096

// cell is where the plain cell at from ends: at the next comma or line end. It is -1 if the cell is quoted, longer than
// most, or holds more than printable ASCII.
func cell(b []byte, from, most int) int {
	if b[from] == '"' {
		return -1
	}
	i := from
	for ; b[i] != ','; i++ {
		c := b[i]
		if c == '\n' {
			return i
		}
		if c < ' ' || c >= 0x7f {
			if c == '\r' && b[i+1] == '\n' {
				return i
			}
			return -1
		}
		if i-from > most {
			return -1
		}
	}
	return i
}

// plainByte reports a byte of ids that need no trimming or joining.
func plainByte(c byte) bool { return c > ' ' && c <= '~' && c != ',' && c != '"' }

// begin makes the row that was read the first of a new car.
func (x *groups) begin() {
	x.g.rows[0] = x.g.rows[x.g.count]
	x.g.count, x.g.Present = 0, 0
}

// add keeps the row that was read as one of the car at hand; ok is false if the wheel stands twice.
func (x *groups) add() (ok bool) {
	g := &x.g
	slot := g.rows[g.count].slot & 15
	if g.Present>>slot&1 != 0 {
		return false
	}
	g.Present |= 1 << slot
	g.at[slot] = g.count
	g.count++
	return true
}

// settle gives both wheels of each axle the axle's back-to-back, and counts the warnings that the car would draw. ok is
// false if the rows of an axle do not agree by their numbers alone.
func (x *groups) settle() (warnings int, ok bool) {
	g := &x.g
	heights, hollows := &x.values.columns[wheel.FlangeHeight], &x.values.columns[wheel.TreadHollow]
	pairs := g.Present & (g.Present >> 8)
	for rest := g.Present; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest)
		e := &g.Row(slot).Entries
		if heights.odd[e[wheel.FlangeHeight]]&isLow != 0 {
			warnings++
		}
		if hollows.odd[e[wheel.TreadHollow]]&isHollow != 0 &&
			(pairs>>(slot&7)&1 == 0 || g.Row(Mate(slot)).Entries[wheel.TreadHollow] == 0) {
			warnings++
		}
		least, most := e[wheel.BackToBack], e[wheel.BackToBackMax]
		if least != 0 && most != 0 &&
			x.values.Ends(wheel.BackToBackMax)[most].Hi <= x.values.Ends(wheel.BackToBack)[least].Lo {
			return 0, false
		}
	}
	for rest := pairs; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest)
		l, r := g.Row(slot), g.Row(Mate(slot))
		a, b := l.Entries[wheel.FlangeHeight], r.Entries[wheel.FlangeHeight]
		if (heights.odd[a]|heights.odd[b])&oneSided == 0 {
			if d := heights.as[a] - heights.as[b]; d >= unlikeParts || -d >= unlikeParts {
				warnings++
			}
		}
		for q := wheel.BackToBack; q <= wheel.BackToBackMax; q++ {
			switch {
			case l.Entries[q] == r.Entries[q]:
			case l.Entries[q] == 0:
				l.Entries[q] = r.Entries[q]
				l.Has |= 1 << q
			case r.Entries[q] == 0:
				r.Entries[q] = l.Entries[q]
				r.Has |= 1 << q
			default:
				return 0, false
			}
		}
	}
	if len(x.values.columns[wheel.FlangeThickness].narrow) > 0 {
		x.narrow()
	}
	return warnings, true
}

// narrow gives the wheels of which only the least thickness was read the entry that ends where their flange can end.
func (x *groups) narrow() {
	g, thick := &x.g, &x.values.columns[wheel.FlangeThickness]
	for rest := g.Present; rest != 0; rest &= rest - 1 {
		r := g.Row(bits.TrailingZeros16(rest))
		e := &r.Entries[wheel.FlangeThickness]
		if thick.odd[*e]&isStep != 0 &&
			(x.narrows[r.Design] || x.values.columns[wheel.BackToBack].odd[r.Entries[wheel.BackToBack]]&isWide != 0) {
			*e = thick.narrow[*e]
		}
	}
}

// unlikeParts is wheel.UnlikeHeights in parts, less what comparisons take for none.
const unlikeParts = wheel.UnlikeHeights*PerMM - measure.Near*PerMM

// smallLetter is the bit that sets a small letter apart from its capital one.
const smallLetter = 'a' - 'A'
