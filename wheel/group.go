package wheel

import (
	"encoding/binary"
	"math/bits"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Group is the wheels of one car as numbers of their entries.
type Group struct {
	Order   Order      // of the car; a wheel's is its own with the slot added
	Kind    uint8      // index into [Kinds], or their number for an unknown kind
	Present uint16     // the wheels there are, by slot: L1 to L8, then R1 to R8
	Has     [16]uint16 // the quantities that are not missing, by wheel
	Entries [16][NumQuantities]int32
	Designs [16]int16 // index into the designs of configs and 1; 0 for none
}

// Mate is the slot of the other wheel of an axle.
func Mate(slot int) int { return slot ^ 8 }

// GroupVisitor is a visitor that takes cars as groups. The entries of a stream are
// those of the visitor's worker. Cars that need more than their entries say, such as
// those with a history, come by [Visitor.Car] all the same.
type GroupVisitor interface {
	Visitor
	Values(v *Values)
	Group(g *Group)
	// Whole asks for a car by [Visitor.Car].
	Whole(kind uint8, id []byte) bool
}

// field is what a column holds.
type field uint8

const (
	fieldNone field = iota // no heading: cells are blank
	fieldCar
	fieldPosition
	fieldDate
	fieldDesign
	fieldNote
	fieldReading // and the quantity
)

// groups reads rows by their bytes.
type groups struct {
	visit    GroupVisitor
	values   *Values
	fields   []field
	designs  map[string]int16
	date     uint64 // the first eight bytes of the last row's date
	day      uint16 // and the other two
	g        Group
	entries  [NumQuantities]int32
	design   int16
	has      uint16
	slot     int
	from, to int  // of the id in the row that was read
	same     bool // it is the one that was likely
}

func newGroups(s *Stream, v GroupVisitor) *groups {
	x := &groups{visit: v, values: newValues(s.columns), designs: map[string]int16{}}
	for i, d := range s.data.Designs {
		x.designs[d.Name] = int16(i + 1)
	}
	for _, h := range s.sheet.Headings() {
		f := fieldNone
		switch h {
		case "car":
			f = fieldCar
		case "position":
			f = fieldPosition
		case "date":
			f = fieldDate
		case "design":
			f = fieldDesign
		case "note":
			f = fieldNote
		default:
			if q, ok := QuantityOf(h); ok {
				f = fieldReading + field(q)
				x.values.Columns = append(x.values.Columns, q)
			}
		}
		x.fields = append(x.fields, f)
	}
	v.Values(x.values)
	return x
}

// maxID is the longest id that is read by its bytes.
const maxID = 64

// row reads the row at i, which a line feed ends somewhere in b, and gives the byte
// behind it. ok is false where the row is not of the plain kind; nothing is said
// of it then. id is that of the car at hand, the likely one. Behind the line feed b
// has some more bytes.
func (x *groups) row(b []byte, i int, id []byte) (end int, ok bool) {
	last := len(x.fields) - 1
	x.has = 0
	for k, f := range x.fields {
		switch {
		case f >= fieldReading:
			q := f - fieldReading
			c := &x.values.columns[q]
			// the cell as a number, up to the next comma, or the line's end in the last
			// column; another line end in it makes a text that no entry has
			word := binary.LittleEndian.Uint64(b[i:])
			n := toComma(word)
			if k == last {
				n = toLineEnd(word)
			}
			if n <= maxShort {
				word &= 1<<(8*uint(n)&63) - 1
				if entry, known := c.short.find(word); known {
					x.entries[q] = entry
					x.has |= uint16(uint32(-entry)>>31) << q
					i += n
					break
				}
			}
			from := i
			if i = cell(b, i, maxText); i < 0 {
				return 0, false
			}
			entry := c.text(b[from:i])
			if entry < 0 {
				return 0, false
			}
			x.entries[q] = entry
			x.has |= uint16(uint32(-entry)>>31) << q
		case f == fieldCar:
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
			if i == from || i-from > maxID || (i-from == 1 && b[from] == '-') || string(b[from:i]) == "n/m" {
				return 0, false
			}
			x.from, x.to, x.same = from, i, false
		case f == fieldPosition:
			side, axle := b[i], b[i+1]-'1'
			if side != 'L' && side != 'R' || axle > 7 {
				return 0, false
			}
			x.slot = int(axle) | int(side>>1&1)<<3 // L is even in its second bit, R odd
			i += 2
		case f == fieldDate:
			switch {
			case binary.LittleEndian.Uint64(b[i:]) == x.date && binary.LittleEndian.Uint16(b[i+8:]) == x.day:
				i += 10
			case b[i] == ',' || b[i] == '\n' || b[i] == '\r':
			default:
				if _, err := measure.ParseDate(string(b[i : i+10])); err != nil {
					return 0, false
				}
				x.date, x.day = binary.LittleEndian.Uint64(b[i:]), binary.LittleEndian.Uint16(b[i+8:])
				i += 10
			}
		case f == fieldDesign:
			from := i
			if i = cell(b, i, maxText); i < 0 {
				return 0, false
			}
			x.design = 0
			if i > from {
				var known bool
				if x.design, known = x.designs[string(b[from:i])]; !known {
					return 0, false
				}
			}
		case f == fieldNote:
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
	return i + 1, true
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

// cell is where the plain cell at from ends: at the next comma or line end. It is -1
// where the cell is quoted, longer than most, or holds more than printable ASCII.
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

// add keeps the row that was read as one of the car at hand; ok is false where the
// wheel stands twice.
func (x *groups) add() (ok bool) {
	bit := uint16(1) << x.slot
	if x.g.Present&bit != 0 {
		return false
	}
	x.g.Present |= bit
	x.g.Entries[x.slot], x.g.Has[x.slot] = x.entries, x.has
	x.g.Designs[x.slot] = x.design
	return true
}

// settle gives both wheels of each axle the axle's back-to-back, and counts the
// warnings that the car would draw. ok is false where the rows of an axle do not
// agree by their numbers alone.
func (x *groups) settle() (warnings int, ok bool) {
	heights, hollows := x.values.columns[FlangeHeight].list, x.values.columns[TreadHollow].list
	for rest := x.g.Present; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest)
		e := &x.g.Entries[slot]
		if h := &heights[e[FlangeHeight]]; h.odd&isLow != 0 {
			warnings++
		}
		if e[BackToBack] != 0 && e[BackToBackMax] != 0 &&
			x.values.columns[BackToBackMax].list[e[BackToBackMax]].Hi <= x.values.columns[BackToBack].list[e[BackToBack]].Lo {
			return 0, false
		}
		mate := Mate(slot)
		hasMate := x.g.Present>>mate&1 != 0
		if q := &hollows[e[TreadHollow]]; q.odd&isHollow != 0 && (!hasMate || x.g.Entries[mate][TreadHollow] == 0) {
			warnings++
		}
		if !hasMate || slot >= 8 {
			continue
		}
		m := &x.g.Entries[mate]
		a, b := &heights[e[FlangeHeight]], &heights[m[FlangeHeight]]
		if e[FlangeHeight] != 0 && m[FlangeHeight] != 0 && (a.odd|b.odd)&oneSided == 0 {
			if d := a.As - b.As; d >= unlikeParts || -d >= unlikeParts {
				warnings++
			}
		}
	}
	// Only now are the rows changed: above, each axle was still as written.
	for rest := x.g.Present & 0xff; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest)
		if x.g.Present>>Mate(slot)&1 == 0 {
			continue
		}
		l, r := &x.g.Entries[slot], &x.g.Entries[Mate(slot)]
		for q := BackToBack; q <= BackToBackMax; q++ {
			switch {
			case l[q] == r[q]:
			case l[q] == 0:
				l[q] = r[q]
				x.g.Has[slot] |= 1 << q
			case r[q] == 0:
				r[q] = l[q]
				x.g.Has[Mate(slot)] |= 1 << q
			default:
				return 0, false
			}
		}
	}
	return warnings, true
}

// unlikeParts is unlikeHeights in parts, less what comparisons take for none.
const unlikeParts = unlikeHeights*PerMM - measure.Near*PerMM
